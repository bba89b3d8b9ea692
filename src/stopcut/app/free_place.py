"""Where on a board there is room for something more: an ornament that is brought in, a knot that is noted."""

from __future__ import annotations

from collections.abc import Sequence

from stopcut.shape.outline import Bounds

__all__ = ["free_place"]

SHARES = (0.5, 0.35, 0.25, 0.18, 0.12)
"""Sizes that are tried, as shares of the room within the margins. Our choice: at most half: words come first."""
STEPS = 12
"""Places tried along each side. Our choice."""


def free_place(room: Bounds, taken: Sequence[Bounds], aspect: float, largest_mm: float) -> tuple[float, float, float]:
    """Centre and width for a shape of this aspect (width by height) in the room, clear of what is taken. [mm]

    The largest size that fits clear of all comes first, up to largest_mm wide, and of its places the one with the most
    room round it; where nothing is clear, the middle of the room at the smallest size.
    """
    for share in SHARES:
        width = min(share * room.width, share * room.height * aspect, largest_mm)
        half_w, half_h = width / 2, width / aspect / 2
        places = [
            (
                room.left + half_w + i / STEPS * (room.width - width),
                room.bottom + half_h + j / STEPS * (room.height - 2 * half_h),
            )
            for i in range(STEPS + 1)
            for j in range(STEPS + 1)
        ]
        clear, x, y = max((_clear(px, py, half_w, half_h, taken), px, py) for px, py in places)
        if clear > 0:
            return x, y, width
    width = min(SHARES[-1] * room.width, SHARES[-1] * room.height * aspect, largest_mm)
    return (room.left + room.right) / 2, (room.bottom + room.top) / 2, width


def _clear(x: float, y: float, half_w: float, half_h: float, taken: Sequence[Bounds]) -> float:
    """How far a box stands from the nearest of the others; negative where it lies on one. [mm]"""
    return min(
        (
            max(box.left - (x + half_w), x - half_w - box.right, box.bottom - (y + half_h), y - half_h - box.top)
            for box in taken
        ),
        default=1.0,
    )
