"""Profiles: how far a letter's two sides stand back, row by row, which is all that the spacing knows of a letter.

An outline is cut into level rows a hundredth of the cap height high. In every row stands the leftmost and the rightmost
ink, exactly (the extremes of the flattened outline within the row, not a sample of it). Unit throughout: thousandths of
the face's cap height, y = 0 on the baseline. A profile is made once a glyph and kept.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from stopcut.arrays import Array
from stopcut.keep import keep, pack_arrays, unpack_arrays
from stopcut.shape.flat import flatten
from stopcut.shape.outline import Bounds, Outline

__all__ = ["BAND", "ROW", "Profile", "profile", "slices"]


ROW = 10.0
"""Height of a row. [1/1000 cap height] Our choice, because a finer row changes no gap by a thousandth."""

BAND = 100
"""Rows of the band from the baseline to cap height, in which the light between letters is judged."""

_TOLERANCE = 0.25
"""How near the flattened outline keeps to the curves. [1/1000 cap height] Our choice: 0.015 mm on a 60 mm letter."""

VERSION = 1
"""Raised when an outline's profile comes out otherwise, so that what is kept from before is not taken for it."""


@dataclass(frozen=True, eq=False)
class Profile:
    """A letter's sides in rows.

    first is the number of the lowest row (row r lies from 10·r to 10·(r + 1)); left and right, both (n,), the leftmost
    and rightmost ink in each row, inf and −inf where a row has none; x_left and x_right the ink's extents.
    [1/1000 cap height] bounds are the outline's own, exact; points (n, 2) its flattened vertices and ends (n, 2) those
    that follow each on its ring. [em]
    columns are the same upright: the number of the leftmost column, lowest and highest ink in each. scale is how many
    thousandths of the cap height an em has.
    """

    first: int
    left: Array
    right: Array
    x_left: float
    x_right: float
    bounds: Bounds
    points: Array
    ends: Array
    columns: tuple[int, Array, Array]
    scale: float

    @property
    def y_bottom(self) -> float:
        """The ink's lowest point. [1/1000 cap height]"""
        return self.bounds.bottom * self.scale

    @property
    def y_top(self) -> float:
        """The ink's highest point. [1/1000 cap height]"""
        return self.bounds.top * self.scale

    def band(self, lean: float = 0.0) -> tuple[Array, Array, float, float]:
        """The two sides within the band: left and right (100,), and the extents there.

        lean (the tangent of a slanted face's angle) sets the letter upright first, about the baseline. A letter with no
        ink in the band (a low line) is seen as a wall of its own extents.
        """
        left, right = self.rows(0, BAND)
        if not np.isfinite(left).any():
            left[:], right[:] = self.x_left, self.x_right
        elif lean:
            upright = lean * (np.arange(BAND) + 0.5) * ROW
            left, right = left - upright, right - upright
        return left, right, float(left.min()), float(right.max())

    def rows(self, first: int, last: int) -> tuple[Array, Array]:
        """Left and right ink in rows first … last − 1, wherever the letter's own rows are."""
        left, right = np.full(last - first, np.inf), np.full(last - first, -np.inf)
        low, high = max(self.first, first), min(self.first + len(self.left), last)
        if low < high:
            left[low - first : high - first] = self.left[low - self.first : high - self.first]
            right[low - first : high - first] = self.right[low - self.first : high - self.first]
        return left, right


def profile(outline: Outline, cap_height: float) -> Profile:
    """The profile of an outline whose face's capitals are cap_height high (both in em, cap_height > 0).

    Raises ValueError for an empty outline: a space has no sides.
    """
    scale = 1000.0 / cap_height
    return keep().remembered(
        "profile",
        (outline.digest, cap_height),
        lambda: _measured(outline, scale),
        version=VERSION,
        pack=_packed,
        unpack=lambda packed: _unpacked(packed, outline.bounds, scale),
    )


def _measured(outline: Outline, scale: float) -> Profile:
    rings = flatten(outline, _TOLERANCE / scale, area_true=False).rings
    if not rings:
        raise ValueError("an empty outline has no sides")
    points = np.concatenate(rings)
    ends = np.concatenate([np.roll(ring, -1, axis=0) for ring in rings])
    rows, columns = slices(points * scale, ends * scale), slices(points[:, ::-1] * scale, ends[:, ::-1] * scale)
    return _profile(rows, columns, points, ends, outline.bounds, scale)


Slices = tuple[int, Array, Array]


def _profile(rows: Slices, columns: Slices, points: Array, ends: Array, bounds: Bounds, scale: float) -> Profile:
    first, left, right = rows
    return Profile(first, left, right, bounds.left * scale, bounds.right * scale, bounds, points, ends, columns, scale)


def _packed(one: Profile) -> bytes:
    first, lowest, highest = one.columns
    return pack_arrays(
        {
            "firsts": np.array([one.first, first], dtype=np.int64),
            "left": one.left,
            "right": one.right,
            "lowest": lowest,
            "highest": highest,
            "points": one.points,
            "ends": one.ends,
        }
    )


def _unpacked(packed: bytes, bounds: Bounds, scale: float) -> Profile:
    held = unpack_arrays(packed)
    rows, columns = (int(first) for first in held["firsts"])
    return _profile(
        (rows, held["left"], held["right"]),
        (columns, held["lowest"], held["highest"]),
        held["points"],
        held["ends"],
        bounds,
        scale,
    )


def slices(start: Array, end: Array) -> tuple[int, Array, Array]:
    """Edges cut into slices of ROW along y: the number of the lowest slice, and least and greatest x in each.

    start and end, both (n, 2), are the edges' ends. Slices between that no edge reaches hold inf and −inf.
    """
    rising = start[:, 1] != end[:, 1]  # a level edge's ends belong to its neighbours
    start, end = start[rising], end[rising]
    swap = (start[:, 1] > end[:, 1])[:, None]
    low, high = np.where(swap, end, start), np.where(swap, start, end)
    lowest = np.floor(low[:, 1] / ROW).astype(np.int64)
    highest = np.maximum(lowest, np.ceil(high[:, 1] / ROW).astype(np.int64) - 1)
    count = highest - lowest + 1
    edge = np.repeat(np.arange(len(count)), count)
    row = np.arange(len(edge)) - np.repeat(np.cumsum(count) - count, count) + lowest[edge]
    slope = (high[:, 0] - low[:, 0]) / (high[:, 1] - low[:, 1])
    below = low[edge, 0] + slope[edge] * (np.maximum(row * ROW, low[edge, 1]) - low[edge, 1])
    above = low[edge, 0] + slope[edge] * (np.minimum((row + 1) * ROW, high[edge, 1]) - low[edge, 1])
    first = int(lowest.min())
    least = np.full(int(highest.max()) - first + 1, np.inf)
    greatest = np.full(len(least), -np.inf)
    np.minimum.at(least, row - first, np.minimum(below, above))
    np.maximum.at(greatest, row - first, np.maximum(below, above))
    return first, least, greatest
