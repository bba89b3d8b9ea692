"""Mending flattened outlines."""

from __future__ import annotations

from stopcut.shape.flat import Flat

__all__ = ["mended"]


def mended(flat: Flat) -> Flat:
    """First version."""
    return flat
