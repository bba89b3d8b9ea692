"""Benchmarks and pictures: run as `python -m bench.NAME`."""
