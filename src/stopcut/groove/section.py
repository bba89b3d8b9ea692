"""A cut straight through a groove, at any point of it: what a carver would see at the end of a board sawn off there.

The groove's walls are flats, so along a straight cut the depth runs evenly between the places where the cut crosses the
outline or a line in which two walls meet. Those crossings are the whole profile, and exact; a flat bottom adds where it
begins and ends. Unless another direction is asked for the cut goes square across the nearest centre line.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from stopcut.arrays import Array, Indices
from stopcut.groove.surface import Groove
from stopcut.shape.outline import Point

__all__ = ["Section", "section_at"]


SAME_PLACE = 1e-9
"""Points this near, against the letter's size, are one. Our choice: far under what can be cut, well over rounding."""


@dataclass(frozen=True, slots=True)
class Section:
    """A groove cut through at a point of the board, x_mm and y_mm.

    The cut runs from start to end, two points on the groove's lips [mm on the board], in the direction across_deg:
    anticlockwise from the board's width, over −90 and up to 90, so that it reads from left to right or straight up.
    profile are its corners as (distance from start, depth) from lip to lip; a depth is 0 or more. [mm] at_mm is the
    point's own distance and depth_mm its depth; deepest_mm the greatest in the cut, width_mm from lip to lip. wall_deg
    is the walls' true angle from the face, seen_deg as the cut shows it at start and at end: lower wherever it does not
    cross the wall squarely. [degrees] groove is the letter's (groove.placed says which) or the ornament's.
    """

    groove: Groove
    x_mm: float
    y_mm: float
    across_deg: float
    start: Point
    end: Point
    profile: tuple[tuple[float, float], ...]
    at_mm: float
    depth_mm: float
    deepest_mm: float
    width_mm: float
    wall_deg: float
    seen_deg: tuple[float, float]


def section_at(
    grooves: Groove | Sequence[Groove], x_mm: float, y_mm: float, across_deg: float | None = None
) -> Section | None:
    """The cut through the groove at a point of the board; None where the wood is whole there.

    Parameters
    ----------
    grooves : one groove, or all of a board; where two overlap, the first that has the point.
    x_mm, y_mm : the point, from the board's lower left corner. [mm]
    across_deg : the cut's direction, anticlockwise from the board's width; None for square across the nearest centre
        line, or, where the groove has none, through its deepest point. [degrees]
    """
    point = np.array([x_mm, y_mm])
    for groove in (grooves,) if isinstance(grooves, Groove) else grooves:
        nodes = groove.nodes_mm
        if len(nodes) and bool((nodes.min(axis=0) <= point).all() and (point <= nodes.max(axis=0)).all()):
            outline = _outline_edges(groove)
            if _inside(nodes[outline], point):
                direction = _across(groove, point) if across_deg is None else math.radians(across_deg)
                return _section(groove, outline, point, _left_to_right(direction))
    return None


def _section(groove: Groove, outline: Indices, point: Array, direction: float) -> Section | None:
    """The cut in a direction [radians] through a point within the outline; None where the point is on a lip itself."""
    along = np.array([math.cos(direction), math.sin(direction)])
    tan = math.tan(math.radians(groove.wall_deg))
    crossings = _crossings(groove, np.concatenate([outline, groove.roof.arcs]), point, along)
    span = _from_lip_to_lip(crossings[:, 0], crossings[:, 1] * groove.placed.scale * tan)
    if span is None:
        return None
    places, depths = span
    depth = float(np.interp(0.0, places, depths))
    if depth <= SAME_PLACE * (places[-1] - places[0]):
        return None
    flat = math.inf if groove.flat_bottom_mm is None else groove.flat_bottom_mm
    profile = _cut_off([(s - places[0], d) for s, d in zip(places, depths, strict=True)], flat)
    start, end = point + places[0] * along, point + places[-1] * along
    return Section(
        groove=groove,
        x_mm=float(point[0]),
        y_mm=float(point[1]),
        across_deg=math.degrees(direction),
        start=(float(start[0]), float(start[1])),
        end=(float(end[0]), float(end[1])),
        profile=profile,
        at_mm=-places[0],
        depth_mm=min(depth, flat),
        deepest_mm=max(d for _, d in profile),
        width_mm=places[-1] - places[0],
        wall_deg=groove.wall_deg,
        seen_deg=(_slope(profile[0], profile[1]), _slope(profile[-1], profile[-2])),
    )


def _outline_edges(groove: Groove) -> Indices:
    """The outline's edges by node numbers, (edges, 2): the roof numbers its nodes ring after ring."""
    edges, first = [np.empty((0, 2), dtype=np.int64)], 0
    for ring in groove.roof.flat.rings:
        here = np.arange(first, first + len(ring))
        edges.append(np.column_stack([here, np.roll(here, -1)]))
        first += len(ring)
    return np.concatenate(edges)


def _inside(edges: Array, point: Array) -> bool:
    """Whether a level ray to the right crosses the edges (n, 2, 2) an odd number of times."""
    (x0, y0), (x1, y1) = edges[:, 0].T, edges[:, 1].T
    across = (y0 <= point[1]) != (y1 <= point[1])
    x0, y0, x1, y1 = x0[across], y0[across], x1[across], y1[across]
    return int((x0 + (point[1] - y0) / (y1 - y0) * (x1 - x0) > point[0]).sum()) % 2 == 1


def _crossings(groove: Groove, edges: Indices, point: Array, along: Array) -> Array:
    """Where the cut crosses these edges: (n, 2) distance from the point along it [mm] and the roof's height, in order.

    An edge that lies in the cut is crossed at both its ends, one that begins or ends on it at that end.
    """
    away = groove.nodes_mm - point
    side, place = away @ np.array([-along[1], along[0]]), away @ along
    side[np.abs(side) <= SAME_PLACE * float(np.ptp(groove.nodes_mm, axis=0).max())] = 0.0
    on = edges[(side[edges] == 0)]
    over = edges[side[edges[:, 0]] * side[edges[:, 1]] < 0]
    a, b = over[:, 0], over[:, 1]
    share = side[a] / (side[a] - side[b])
    heights = groove.roof.heights
    found = np.concatenate(
        [
            np.column_stack([place[on], heights[on]]),
            np.column_stack([place[a] + share * (place[b] - place[a]), heights[a] + share * (heights[b] - heights[a])]),
        ]
    )
    return found[np.lexsort((found[:, 1], found[:, 0]))]


def _from_lip_to_lip(places: Array, depths: Array) -> tuple[list[float], list[float]] | None:
    """The crossings from the nearest lip before place 0 to the nearest after it, each place once."""
    size = float(np.ptp(places)) if len(places) else 0.0
    near = SAME_PLACE * size
    lips = np.flatnonzero(depths <= near)
    before, after = lips[places[lips] < -near], lips[places[lips] > near]
    if not len(before) or not len(after) or (np.abs(places[lips]) <= near).any():
        return None
    kept = [int(before[-1])]
    for i in range(before[-1] + 1, after[0]):
        if places[i] - places[kept[-1]] > near and places[after[0]] - places[i] > near:
            kept.append(i)
    kept.append(int(after[0]))
    return places[kept].tolist(), [0.0, *depths[kept[1:-1]].tolist(), 0.0]


def _cut_off(profile: Sequence[tuple[float, float]], flat_mm: float) -> tuple[tuple[float, float], ...]:
    """The profile with everything deeper than flat_mm brought up to it, and corners where the flat begins and ends."""
    out = [profile[0]]
    for (s0, d0), (s1, d1) in pairwise(profile):
        if (d0 - flat_mm) * (d1 - flat_mm) < 0:
            out.append((s0 + (flat_mm - d0) / (d1 - d0) * (s1 - s0), flat_mm))
        out.append((s1, min(d1, flat_mm)))
    level = [0, *(i for i in range(1, len(out) - 1) if not out[i - 1][1] == out[i][1] == out[i + 1][1]), len(out) - 1]
    return tuple(out[i] for i in level)


def _slope(lip: tuple[float, float], inner: tuple[float, float]) -> float:
    """How steeply the profile goes down from a lip. [degrees]"""
    return math.degrees(math.atan2(inner[1] - lip[1], abs(inner[0] - lip[0])))


def _left_to_right(direction: float) -> float:
    """The same line's direction [radians] from left to right, or straight up."""
    turned = math.remainder(direction, math.pi)
    return turned if turned > -math.pi / 2 else turned + math.pi


def _across(groove: Groove, point: Array) -> float:
    """The direction square across the nearest centre line [radians]; through the deepest point where there is none."""
    centres = [line.points for line in groove.lines if line.kind == "centre" and len(line.points) > 1]
    if centres:
        reached = [_nearest(points, point) for points in centres]
        return min(reached)[1]
    deepest = groove.nodes_mm[int(np.argmax(groove.roof.heights))]
    dx, dy = (deepest - point).tolist()
    return math.atan2(dy, dx) if math.hypot(dx, dy) > SAME_PLACE * float(np.ptp(groove.nodes_mm, axis=0).max()) else 0.0


def _nearest(points: Array, point: Array) -> tuple[float, float]:
    """How far the point is from a line of points (n, 2), and the direction across the line there. [mm, radians]

    At a corner of the line, where no piece is crossed squarely, the cut goes through the corner itself; from a corner,
    or beyond an end of the line, square to what the line does there.
    """
    steps = np.diff(points, axis=0)
    steps, starts = steps[(steps != 0).any(axis=1)], points[:-1][(steps != 0).any(axis=1)]
    lengths = np.hypot(steps[:, 0], steps[:, 1])
    share = np.clip(((point - starts) * steps).sum(axis=1) / lengths**2, 0.0, 1.0)
    away = point - (starts + share[:, None] * steps)
    distances = np.hypot(away[:, 0], away[:, 1])
    i = int(np.argmin(distances))
    units = steps / lengths[:, None]
    along = units[i]
    if share[i] in (0.0, 1.0):
        other = i - 1 if share[i] == 0 else i + 1
        closed = bool((points[0] == points[-1]).all())
        if closed or 0 <= other < len(units):
            along = along + units[other % len(units)]
            if distances[i] > SAME_PLACE * lengths.sum():
                along = np.array([-away[i, 1], away[i, 0]])
    return float(distances[i]), math.atan2(along[0], -along[1])
