"""Letters as they stand on an arc, seen from its centre: their sides in rings instead of rows.

A letter on an arc stands upright to it, the middle of its ink on the arc. Seen from the circle's centre, moving it
along the arc only turns it, so two neighbours on an arc can be looked at like two on a straight line: rows are rings
about the centre, and how far ink reaches to a side is an angle, written as a length along the circle at mid cap height
(along which gaps are measured too). On a very large circle rings are rows and the lengths are those of the straight
line.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from stopcut.arrays import Array
from stopcut.setting.profile import BAND, ROW, Profile, slices

__all__ = ["Bow", "bent"]


_TOLERANCE = 0.1
"""How far a straight edge, bent in rings, may be off. [1/1000 cap height] Our choice: less than outlines are flattened
by."""

_HAIR = 3
"""Decimals of heights, so that a flat foot on a large circle does not spill a hair into the next ring. [1/1000 cap
height]"""


@dataclass(frozen=True, slots=True)
class Bow:
    """The circle that a line stands on, in 1/1000 of its cap height.

    radius is the baseline's, > 0; heads 1 where the letters' heads point away from the centre (bent up), −1 where they
    point towards it (bent down).
    """

    radius: float
    heads: int

    @property
    def middle(self) -> float:
        """Radius at mid cap height, where gaps are measured."""
        return self.radius + self.heads * BAND * ROW / 2


@lru_cache(maxsize=4096)
def bent(shape: Profile, bow: Bow) -> Profile:
    """The letter's rows and columns in rings of the bow: y the height above the baseline's circle, x from its middle.

    x_left and x_right are those of its straight extents at mid cap height (a letter w wide covers 2·atan(w / 2r)
    there). Raises ValueError where the letter reaches the circle's centre.
    """
    middle = np.array([shape.bounds.centre[0], 0.0])
    start, end = (shape.points - middle) * shape.scale, (shape.ends - middle) * shape.scale
    least = float((bow.radius + bow.heads * start[:, 1]).min())
    if bow.middle <= 0 or least <= 0:
        raise ValueError("the arc is smaller than its letters are high")
    start, end = _cut(start, end, (8 * least * _TOLERANCE) ** 0.5)
    start, end = _in_rings(start, bow), _in_rings(end, bow)
    first, left, right = slices(start, end)
    half = float(np.arctan2((shape.x_right - shape.x_left) / 2, bow.middle)) * bow.middle
    columns = slices(start[:, ::-1], end[:, ::-1])
    return replace(shape, first=first, left=left, right=right, x_left=-half, x_right=half, columns=columns)


def _cut(start: Array, end: Array, longest: float) -> tuple[Array, Array]:
    """Edges cut into equal pieces none longer than this."""
    pieces = np.maximum(np.ceil(np.hypot(*(end - start).T) / longest), 1).astype(np.int64)
    edge = np.repeat(np.arange(len(pieces)), pieces)
    piece = np.arange(len(edge)) - np.repeat(np.cumsum(pieces) - pieces, pieces)
    step = (end - start)[edge] / pieces[edge, None]
    return start[edge] + step * piece[:, None], start[edge] + step * (piece[:, None] + 1)


def _in_rings(points: Array, bow: Bow) -> Array:
    """Points of an upright letter, x from its middle: along the circle at mid cap height, and above the baseline's."""
    x, y = points.T
    outward = bow.radius + bow.heads * y
    distance = np.hypot(x, outward)
    # The distance less the radius, written so that nothing is lost on a very large circle.
    beyond = (x * x + y * (2 * bow.heads * bow.radius + y)) / (distance + bow.radius)
    return np.stack([np.arctan2(x, outward) * bow.middle, np.round(bow.heads * beyond, _HAIR)], axis=1)
