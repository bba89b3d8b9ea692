"""The Bench section: one cut at a time, large, for a tablet that stands at the bench."""
