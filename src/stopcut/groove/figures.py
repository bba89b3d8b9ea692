"""The figures of a roof, exactly: what lies under it and how much of it is higher than a given height.

A roof face is a flat with its eave on one edge of the outline. Seen in the edge's own frame (u along it, h away from
it, which at 45° is also the height) it is a plain polygon, so anything that depends on the height alone integrates
round its border by Green's theorem: ∬ g(h) du dh = −∮ G(h) du with G′ = g. Nothing is sampled.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from stopcut.groove.surface import Roof

__all__ = ["area_above", "face_areas", "greatest_height", "plan_area", "volume_under"]

Array = NDArray[np.float64]

BORDERS_KEPT = 256
"""How many roofs' borders are kept in memory: our choice, because a board has some tens of different letters."""


@dataclass(frozen=True, eq=False)
class _Borders:
    """The borders of all faces, edge by edge: run along the face's eave, and the heights of the edge's two ends."""

    face: NDArray[np.int64]
    run: Array
    start: Array
    end: Array


def greatest_height(roof: Roof) -> float:
    """The roof's highest point, in the outline's unit: the deepest half-width. 0 for an empty roof."""
    return float(roof.heights.max(initial=0.0))


def plan_area(roof: Roof) -> float:
    """The plan area of all faces together, in the outline's unit squared: the flattened outline's own."""
    return float(face_areas(roof).sum())


def face_areas(roof: Roof) -> Array:
    """The plan area of each face, (edges,), in the outline's unit squared."""
    borders = _borders(roof)
    swept = -(borders.start + borders.end) / 2 * borders.run
    areas: Array = np.bincount(borders.face, weights=swept, minlength=len(roof.faces)).astype(float)
    return areas


def volume_under(roof: Roof, top: float = np.inf) -> float:
    """What lies under the roof and below the height top, in the outline's unit cubed. [top > 0, same unit]

    With walls of another slope and a flat bottom the groove's volume is tan(wall) times this.
    """
    return _integral(roof, top, _column)


def area_above(roof: Roof, top: float) -> float:
    """How much of the plan lies higher than top, in the outline's unit squared: the flat bottom. [top > 0]"""
    return _integral(roof, top, _beyond)


def _column(height: Array, top: float) -> Array:
    """∫ min(s, top) ds for s from 0 to height."""
    low = np.minimum(height, top)
    return low * low / 2 + low * (height - low)


def _beyond(height: Array, top: float) -> Array:
    """How far a height is beyond top; 0 below."""
    return np.maximum(height - top, 0.0)


def _integral(roof: Roof, top: float, swept: Callable[[Array, float], Array]) -> float:
    """−∮ swept(h) du round all faces, swept being of degree two at most on either side of the height top."""
    borders = _borders(roof)
    start, end, run = borders.start, borders.end, borders.run
    top = min(top, greatest_height(roof) * 2 + 1)
    crosses = (np.minimum(start, end) < top) & (np.maximum(start, end) > top)
    part = np.where(crosses, (top - start) / np.where(crosses, end - start, 1.0), 1.0)
    turn = np.where(crosses, top, end)
    # Simpson's rule is exact for degree two: once up to the crossing, once beyond it.
    low = swept(start, top) + 4 * swept((start + turn) / 2, top) + swept(turn, top)
    high = swept(turn, top) + 4 * swept((turn + end) / 2, top) + swept(end, top)
    return -float(np.dot(part * low + (1 - part) * high, run)) / 6


@lru_cache(maxsize=BORDERS_KEPT)
def _borders(roof: Roof) -> _Borders:
    """The faces' borders; kept, since every size and angle of a letter asks again."""
    if not roof.faces:
        return _Borders(np.empty(0, dtype=np.int64), np.empty(0), np.empty(0), np.empty(0))
    sizes = np.array([len(face) for face in roof.faces])
    face = np.repeat(np.arange(len(sizes)), sizes)
    here = np.concatenate(roof.faces)
    there = np.concatenate([np.roll(loop, -1) for loop in roof.faces])
    eave = np.array([(loop[0], loop[1]) for loop in roof.faces])
    along = roof.nodes[eave[:, 1]] - roof.nodes[eave[:, 0]]
    along /= np.hypot(along[:, 0], along[:, 1])[:, None]
    run = np.einsum("ij,ij->i", roof.nodes[there] - roof.nodes[here], along[face])
    return _Borders(face, run, roof.heights[here], roof.heights[there])
