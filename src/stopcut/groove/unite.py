"""Outlines that touch or overlap on the board, united before they are carved.

Two grooves that run into each other are one groove: the walls between them are never cut. So what touches is united,
and its roof worked as one; what stands alone keeps its own outline, and with it the roof that is already known.
"""

from __future__ import annotations

import math
from collections.abc import Hashable, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from stopcut.arrays import Array
from stopcut.groove.groove import tolerance_for
from stopcut.shape.outline import Outline
from stopcut.shape.placed import Placed
from stopcut.shape.regions import Region, outline_of, region_of

__all__ = ["United", "unite"]

Matrix = tuple[float, float, float, float, float, float]


@dataclass(frozen=True)
class United:
    """What is carved as one: the outline, and which of the outlines given (from 0) it is made of, in their order.

    placed is the only part itself, or has the first part's place, line and letter and the characters of all.
    """

    placed: Placed
    parts: tuple[int, ...]


def unite(placed: Sequence[Placed], kinds: Sequence[Hashable] = ()) -> tuple[United, ...]:
    """Put together what touches or overlaps on the board, in the order of the first parts.

    kinds, if given, says for each what it is cut like (its wall angle, say): only what is cut alike becomes one.
    """
    if kinds and len(kinds) != len(placed):
        raise ValueError(f"{len(kinds)} kinds for {len(placed)} outlines")
    tolerances = [tolerance_for(one) for one in placed]
    boxes = np.array([_box(one) for one in placed]).reshape(-1, 4)
    near = _touching_boxes(boxes)
    if not near:
        return tuple(United(one, (i,)) for i, one in enumerate(placed))
    wanted = {i for pair in near for i in pair}
    regions = {i: region_of(placed[i].on_board, tolerances[i] * placed[i].scale) for i in wanted}
    leader = list(range(len(placed)))
    for a, b in near:
        if (not kinds or kinds[a] == kinds[b]) and regions[a].intersects(regions[b]):
            _join(leader, a, b)
    groups: dict[int, list[int]] = {}
    for i in range(len(placed)):
        groups.setdefault(_find(leader, i), []).append(i)
    return tuple(
        United(placed[parts[0]] if len(parts) == 1 else _one(placed, parts, tolerances[parts[0]]), tuple(parts))
        for parts in sorted(groups.values())
    )


def _box(placed: Placed) -> tuple[float, float, float, float]:
    if not placed.outline:
        return (math.nan, math.nan, math.nan, math.nan)
    box = placed.bounds_mm
    return (box.left, box.bottom, box.right, box.top)


def _touching_boxes(boxes: Array) -> list[tuple[int, int]]:
    """Pairs whose upright boxes meet."""
    shapes = shapely.box(boxes[:, 0], boxes[:, 1], boxes[:, 2], boxes[:, 3])
    here = np.flatnonzero(~np.isnan(boxes[:, 0]))
    first, second = shapely.STRtree(np.asarray(shapes)[here]).query(np.asarray(shapes)[here], predicate="intersects")
    return [(int(here[a]), int(here[b])) for a, b in zip(first, second, strict=True) if a < b]


def _one(placed: Sequence[Placed], parts: Sequence[int], tolerance: float) -> Placed:
    """The parts as one outline in the first one's own unit and place."""
    first = placed[parts[0]]
    back = _inverse(first.matrix)
    regions: list[Region] = [
        region_of(_mapped(placed[i].outline, placed[i].matrix, back) if i != parts[0] else first.outline, tolerance)
        for i in parts
    ]
    between = "" if all(placed[i].index for i in parts) else " and "
    char = between.join(placed[i].char for i in parts)
    seen = between.join(placed[i].called for i in parts)
    return replace(first, outline=outline_of(shapely.union_all(regions)), char=char, seen=seen)


def _mapped(outline: Outline, there: Matrix, back: Matrix) -> Outline:
    return outline.mapped(there).mapped(back)


def _inverse(matrix: Matrix) -> Matrix:
    a, b, c, d, e, f = matrix
    det = a * d - b * c
    return (d / det, -b / det, -c / det, a / det, (c * f - d * e) / det, (b * e - a * f) / det)


def _find(leader: list[int], i: int) -> int:
    while leader[i] != i:
        leader[i] = leader[leader[i]]
        i = leader[i]
    return i


def _join(leader: list[int], a: int, b: int) -> None:
    a, b = _find(leader, a), _find(leader, b)
    leader[max(a, b)] = min(a, b)
