"""Flattening: curves to short straight edges, keeping from which curve each edge came.

A curve is cut into equal steps of its parameter, as many as keep it within the tolerance. With area_true its inner
vertices are then pushed out by about two thirds of the chords' sagitta (the area between a parabola and its chord is
⅔ · chord · sagitta), a little more as the curve's two ends stay put, so that the flattened shape has the curve's own
area and depths come out true on average.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from stopcut.arrays import Array, Indices
from stopcut.shape.outline import Outline, Segment
from stopcut.shape.placed import Placed

__all__ = ["Flat", "flatten", "points_mm"]


SLIGHT = 0.01
"""A curve within so much of its chord is as good as straight, its area too. [tolerances] Our choice: a hyphen whose
long sides are bent then keeps its area to 1e-4."""

LEAST_TURN_DEG = 1.0
"""Segments that turn by less where they join make no corner. [degrees] Our choice: joins meant to be smooth are within
half of it, for coordinates rounded to whole units."""
TANGENT_SHARE = 0.3
"""An edge along the tangent is at most this share of the edge that it is part of. Our choice: the rest stays long."""


@dataclass(frozen=True, eq=False)
class Flat:
    """A flattened outline.

    rings: each (n, 2), not closed, outer ones anticlockwise and holes clockwise.
    sources: for each ring (n,), the number of the segment that edge i → i + 1 came from (in Outline.segments' order).
    breaks: for each ring (n,), the turn of the true tangents at vertex i where two segments join, positive to the
    left; 0 inside a curve. [degrees]
    """

    rings: tuple[Array, ...]
    sources: tuple[Indices, ...]
    breaks: tuple[Array, ...]

    @cached_property
    def area(self) -> float:
        """Area of the flattened shape, holes taken off."""
        total = 0.0
        for ring in self.rings:
            x, y = ring[:, 0], ring[:, 1]
            total += float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2
        return total

    @property
    def size(self) -> int:
        """How many vertices all rings have together."""
        return sum(len(ring) for ring in self.rings)


def points_mm(placed: Placed, points: Array) -> Array:
    """Points (n, 2) of a placed outline, in its own unit, where they come on the board. [mm]"""
    a, b, c, d, e, f = placed.matrix
    there: Array = points @ np.array([[a, b], [c, d]]) + np.array([e, f])
    return there


def flatten(
    outline: Outline,
    tolerance: float,
    *,
    area_true: bool = True,
    inward_deg: float = math.inf,
    tangent: float = 0.0,
) -> Flat:
    """Straight edges within tolerance of the curves (same unit as the outline, > 0).

    Where a curve bends into the shape (to the right), one edge turns about inward_deg from the last at most. Where two
    segments meet in a corner that turns so, a curve's edge beside it runs along its tangent there for the length
    tangent, if the curve is long enough for that.

    With area_true the flattened area is the curve's own to second order, and a vertex may lie up to 1⅓ tolerances off
    the curve (⅔ on a curve of many edges).
    """
    if not tolerance > 0:
        raise ValueError(f"tolerance must be above 0, not {tolerance}")
    rings, sources, breaks = [], [], []
    number = 0
    for contour in outline.contours:
        pieces = [_pieces(segment, tolerance, area_true, inward_deg) for segment in contour.segments]
        there = [i for i, piece in enumerate(pieces) if len(piece)]
        if sum(len(pieces[i]) for i in there) >= 3:
            segments = [contour.segments[i] for i in there]
            turns = [
                _turn(_end_direction(before), _start_direction(after))
                for before, after in zip(segments[-1:] + segments[:-1], segments, strict=True)
            ]
            points = [pieces[i] for i in there]
            if tangent:
                points = _along_tangents(segments, points, turns, tangent)
            rings.append(np.concatenate(points))
            sources.append(np.repeat(np.array(there, dtype=np.int64) + number, [len(p) for p in points]))
            breaks.append(
                np.concatenate([[turn, *[0.0] * (len(p) - 1)] for turn, p in zip(turns, points, strict=True)])
            )
        number += len(pieces)
    return Flat(tuple(rings), tuple(sources), tuple(breaks))


def _along_tangents(segments: list[Segment], points: list[Array], turns: list[float], tangent: float) -> list[Array]:
    """The pieces with a vertex more on the tangent of each curve that ends at a corner turning right.

    The narrower the corner the longer that edge, so that it is always half of tangent away from the other wall.
    """
    lengths = [_along(turn, tangent) for turn in turns]
    out = []
    for i, (segment, piece) in enumerate(zip(segments, points, strict=True)):
        if len(segment) > 2:
            first, last = piece[0], np.asarray(segment[-1], dtype=float)
            start, end = lengths[i], lengths[(i + 1) % len(lengths)]
            room = TANGENT_SHARE * _distance(first, piece[1] if len(piece) > 1 else last)
            if start and max(start, end if len(piece) == 1 else 0.0) < room:
                piece = np.insert(piece, 1, first + start * _unit(_start_direction(segment)), axis=0)
            if end and end < TANGENT_SHARE * _distance(piece[-1], last):
                piece = np.vstack((piece, last - end * _unit(_end_direction(segment))))
        out.append(piece)
    return out


def _along(turn: float, tangent: float) -> float:
    """How long an edge along the tangent is beside a corner that turns so (right: below 0 degrees); 0 for none.

    A corner that turns right back is a fold with no room between its walls: none there.
    """
    if not LEAST_TURN_DEG - 180 < turn < -LEAST_TURN_DEG:
        return 0.0
    return tangent / min(1.0, 2 * math.sin(math.radians(180 + turn)))


def _unit(direction: tuple[float, float]) -> Array:
    return np.array(direction) / math.hypot(*direction)


def _distance(one: Array, other: Array) -> float:
    return float(np.hypot(*(other - one)))


def _pieces(segment: Segment, tolerance: float, area_true: bool, inward_deg: float) -> Array:
    """The flattened vertices of one segment without its last point; empty for a segment of no length."""
    if len(segment) == 2:
        return np.array(segment[:1], dtype=float) if segment[0] != segment[1] else np.empty((0, 2))
    control: Array = np.asarray(segment, dtype=float)
    if float(np.abs(control - control[0]).max()) == 0.0:
        return np.empty((0, 2))
    degree = len(segment) - 1
    bend = np.abs(control[2:] - 2 * control[1:-1] + control[:-2])
    # A chord of parameter length 1/n stays within d(d−1)/8 · max|Δ²| / n² of its curve (the classic flattening bound).
    reach = degree * (degree - 1) / 8 * float(np.hypot(bend[:, 0], bend[:, 1]).max())
    steps = max(1, math.ceil(math.sqrt(reach / tolerance)))
    if inward_deg < math.inf:
        steps = max(steps, math.ceil(_right_turn(control) / inward_deg))
    if steps == 1 and area_true and reach > SLIGHT * tolerance:
        steps = 2  # a long edge bent by less than the tolerance: one inner vertex gives its area back
    t = np.arange(steps + 1) / steps
    points = _bezier(control, t)
    if area_true and steps > 1:
        points[1:-1] += _push(control, points, t)
    return points[:-1]


def _right_turn(control: Array) -> float:
    """How far a curve turns to the right at most, by its control points. [degrees]"""
    legs = control[1:] - control[:-1]
    legs = legs[(legs != 0).any(axis=1)]
    ahead, behind = legs[1:], legs[:-1]
    cross = behind[:, 0] * ahead[:, 1] - behind[:, 1] * ahead[:, 0]
    turns = np.degrees(np.arctan2(cross, np.einsum("ij,ij->i", behind, ahead)))
    return float(-np.minimum(turns, 0.0).sum())


def _push(control: Array, points: Array, t: Array) -> Array:
    """How far each inner vertex moves off the curve so that the area lost between chords and curve comes back."""
    middles = _bezier(control, (t[:-1] + t[1:]) / 2)
    sagitta = middles - (points[:-1] + points[1:]) / 2
    steps = len(sagitta)
    return (sagitta[:-1] + sagitta[1:]) / 3 * (steps / (steps - 1))


def _bezier(control: Array, t: Array) -> Array:
    """Points of a Bézier curve at parameters t, (len(t), 2)."""
    n = len(control) - 1
    powers = np.array([math.comb(n, i) * t**i * (1 - t) ** (n - i) for i in range(n + 1)])
    out: Array = powers.T @ control
    return out


def _start_direction(segment: Segment) -> tuple[float, float]:
    x0, y0 = segment[0]
    return next(((x - x0, y - y0) for x, y in segment[1:] if (x, y) != (x0, y0)), (0.0, 0.0))


def _end_direction(segment: Segment) -> tuple[float, float]:
    x1, y1 = segment[-1]
    return next(((x1 - x, y1 - y) for x, y in reversed(segment[:-1]) if (x, y) != (x1, y1)), (0.0, 0.0))


def _turn(before: tuple[float, float], after: tuple[float, float]) -> float:
    cross = before[0] * after[1] - before[1] * after[0]
    dot = before[0] * after[0] + before[1] * after[1]
    return math.degrees(math.atan2(cross, dot))
