"""The figures of a roof, exactly: what lies under it and how much of it is higher than a given height.

A roof face is a flat with its eave on one edge of the outline. Seen in the edge's own frame (u along it, h away from
it, which at 45° is also the height) it is a plain polygon, so anything that depends on the height alone integrates
round its border by Green's theorem: ∬ g(h) du dh = −∮ G(h) du with G′ = g. Nothing is sampled.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from stopcut.arrays import Array, Indices
from stopcut.groove.surface import Roof

__all__ = ["area_above", "face_areas", "greatest_height", "plan_area", "volume_under"]


KEPT = 512
"""How many roofs' figures are kept in memory. Our choice, because a board has some tens of different letters."""


@dataclass(frozen=True, eq=False)
class _Borders:
    """The borders of all faces, edge by edge: run along the face's eave, and the lower and the higher end's height."""

    face: Indices
    run: Array
    low: Array
    high: Array


def greatest_height(roof: Roof) -> float:
    """The roof's highest point, in the outline's unit: the deepest half-width. 0 for an empty roof."""
    return float(roof.heights.max(initial=0.0))


def face_areas(roof: Roof) -> Array:
    """The plan area of each face, (edges,), in the outline's unit squared."""
    borders = _borders(roof)
    swept = -(borders.low + borders.high) / 2 * borders.run
    areas: Array = np.bincount(borders.face, weights=swept, minlength=len(roof.faces)).astype(float)
    return areas


@lru_cache(maxsize=KEPT)
def plan_area(roof: Roof) -> float:
    """The plan area of all faces together, in the outline's unit squared: the flattened outline's own."""
    return float(face_areas(roof).sum())


def volume_under(roof: Roof, top: float = np.inf) -> float:
    """What lies under the roof and below the height top, in the outline's unit cubed. [top > 0, same unit]

    With walls of another slope and a flat bottom the groove's volume is tan(wall) times this.
    """
    return _cut(roof, min(top, greatest_height(roof)))[0]


def area_above(roof: Roof, top: float) -> float:
    """How much of the plan lies higher than top, in the outline's unit squared: the flat bottom. [top > 0]"""
    return _cut(roof, top)[1] if top < greatest_height(roof) else 0.0


@lru_cache(maxsize=KEPT)
def _cut(roof: Roof, top: float) -> tuple[float, float]:
    """∬ min(h, top) and the area where h > top: −∮ of what is swept from the eave up to the border.

    That is h²/2 up to top and top²/2 + top · (h − top) beyond it, or 0 and then h − top. Along an edge h runs evenly,
    so the means over its part below top and its part above are these polynomials of the ends' heights.
    """
    borders = _borders(roof)
    low, high = borders.low, borders.high
    level = high == low
    below = np.where(level, low <= top, np.clip((top - low) / np.where(level, 1.0, high - low), 0.0, 1.0))
    to, start = np.minimum(high, top), np.maximum(low, top)
    beyond = (1.0 - below) * ((start + high) / 2 - top)
    volume = below * (low * low + low * to + to * to) / 6 + top * (beyond + (1.0 - below) * top / 2)
    return -float(np.dot(volume, borders.run)), -float(np.dot(beyond, borders.run))


@lru_cache(maxsize=KEPT)
def _borders(roof: Roof) -> _Borders:
    """The faces' borders."""
    if not roof.faces:
        return _Borders(np.empty(0, dtype=np.int64), np.empty(0), np.empty(0), np.empty(0))
    sizes = np.array([len(face) for face in roof.faces])
    face = np.repeat(np.arange(len(sizes)), sizes)
    here = np.concatenate(roof.faces)
    first = np.cumsum(sizes) - sizes
    following = np.arange(len(here)) + 1
    following[first + sizes - 1] = first
    there = here[following]
    along = roof.nodes[here[first + 1]] - roof.nodes[here[first]]
    along /= np.hypot(along[:, 0], along[:, 1])[:, None]
    run = np.einsum("ij,ij->i", roof.nodes[there] - roof.nodes[here], along[face])
    start, end = roof.heights[here], roof.heights[there]
    return _Borders(face, run, np.minimum(start, end), np.maximum(start, end))
