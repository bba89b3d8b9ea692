"""Benchmarks and pictures: run as `python -m benchmarks.NAME`."""
