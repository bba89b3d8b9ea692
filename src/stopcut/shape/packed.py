"""Outlines as bytes for the cache, and back, equal to the last bit."""

from __future__ import annotations

import json
from typing import Any

from stopcut.shape.outline import Contour, Outline

__all__ = ["outline_from_plain", "pack_outline", "plain_outline", "unpack_outline"]


def pack_outline(outline: Outline) -> bytes:
    """An outline as bytes."""
    return json.dumps(plain_outline(outline), allow_nan=False, separators=(",", ":")).encode()


def unpack_outline(packed: bytes) -> Outline:
    """What pack_outline packed."""
    return outline_from_plain(json.loads(packed))


def plain_outline(outline: Outline) -> list[list[list[float]]]:
    """An outline as nested lists: contours, segments, and each segment's numbers in a row."""
    return [[[v for point in segment for v in point] for segment in contour.segments] for contour in outline.contours]


def outline_from_plain(plain: Any) -> Outline:
    """What plain_outline made."""
    return Outline(
        tuple(
            Contour(tuple(tuple((piece[i], piece[i + 1]) for i in range(0, len(piece), 2)) for piece in contour))
            for contour in plain
        )
    )
