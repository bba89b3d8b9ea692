"""Variants of a job: what else could be carved, or carved first. Each is a job of its own, as a text."""
