"""The Bench section: one step at a time, large, for a tablet that stands at the bench."""
