"""Strengthening: thin strokes made wide enough to carve, and nothing else.

Hairlines that print well vanish in wood. At the size they will be cut, strokes thinner than asked are widened to the
asked width; stems keep theirs, serifs and tapering ends keep their taper, the letter keeps its height, and every
counter keeps nine tenths of its area: where both cannot hold a stroke is widened as far as the counter allows, and is
told of. Pieces of the outline that nothing moves stay the curves they were; moved ones become short straight pieces
within a five-hundredth of the asked width.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

import numpy as np
import shapely
from numpy.typing import NDArray

from stopcut.lettering.thin_runs import BLEND, amounts, moves, thin_strokes
from stopcut.shape.outline import Contour, Outline, Point, Segment
from stopcut.shape.regions import outline_of, wound
from stopcut.shape.thickness import Thickness, thickness

__all__ = ["StillThin", "Strengthened", "strengthen"]

Array = NDArray[np.float64]

COUNTER_KEEPS = 0.9
"""Share of its area that a counter keeps at least. Our choice, as the job format promises it."""
SAMPLES = 20
"""Edge samples along a length of the asked width. Our choice: a width is then right to a two-thousandth of it."""
FINENESS = 0.002
"""Moved pieces are straight within this share of the asked width. Our choice: 0.005 mm for 2.5 mm."""
SLACK = 0.05
"""A stroke within this share of the asked width is not worth telling of. Our choice: 0.12 mm for 2.5 mm."""
SCRAP, PINCHED = 10, 100
"""Unlooping leaves scraps and pinched-off slits: pieces and holes no larger than squares of so many times the fineness
go. Our choice: 0.05 mm and 0.5 mm for 2.5 mm."""
FARTHEST_CORNER = 5.0
"""A corner moves at most this many times as far as its edges. Our choice: edges that meet at 24°."""
LEVEL_SINE = math.sin(math.radians(20))
"""Edges that turn less than 20° meet smoothly. Our choice."""


@dataclass(frozen=True, slots=True)
class StillThin:
    """A place that could not be widened all the way, and its width now (both in the outline's unit)."""

    x: float
    y: float
    width: float


@dataclass(frozen=True, slots=True)
class Strengthened:
    """The strengthened outline, the most that any stroke gained in width, and where it is still too thin."""

    outline: Outline
    widened_max: float = 0.0
    left: tuple[StillThin, ...] = ()


def strengthen(outline: Outline, thinnest: float) -> Strengthened:
    """Widen what is thinner than thinnest (the outline's own unit, > 0; work at size).

    The outline must be clean. It comes back itself, untouched, where no stroke is too thin.
    """
    if not thinnest > 0:
        raise ValueError(f"thinnest must be above 0, not {thinnest}")
    thick = thickness(outline, thinnest / SAMPLES, thinnest * (1 + BLEND) / 2)
    strokes = thin_strokes(thick, thinnest, outline.bounds.height if outline else 0.0)
    if not strokes.any():
        return Strengthened(outline)
    move = _within_bounds(outline, thick, strokes, thinnest)
    widths = _widths(thick, move)
    gained = widths[strokes] - 2 * thick.radius[strokes]
    return Strengthened(
        _moved(outline, thick, move, FINENESS * thinnest),
        float(gained.max()),
        _left(thick, strokes & (widths < thinnest * (1 - SLACK)), widths, thinnest),
    )


def _within_bounds(outline: Outline, thick: Thickness, strokes: NDArray[np.bool_], thinnest: float) -> Array:
    """How far each sample moves, so that counters keep what they must and no ring crosses itself. (n, 2)"""
    extents, fineness = _extents(outline), FINENESS * thinnest
    share = np.ones(len(outline.contours))
    for _ in range(2):  # the second time the edges across take over what a counter's edge may not move
        amount = amounts(thick, strokes, thinnest, extents, share)
        move = moves(thick, strokes, amount, thinnest, extents)
        held = _held(outline, thick, move, fineness)
        if held.min() == 1:
            break
        share *= held
    move *= held[thick.ring, None]
    move *= _most(lambda part: _is_sound(_moved(outline, thick, move * part, fineness)))
    return move


def _held(outline: Outline, thick: Thickness, move: Array, fineness: float) -> Array:
    """The share of its move that each ring may make: 1 save for a counter that would close too far. (rings,)"""
    holes = [contour.area < 0 for contour in outline.contours]
    shares = [
        _most(partial(_counter_holds, outline, thick, move, ring, fineness)) if hole else 1.0
        for ring, hole in enumerate(holes)
    ]
    return np.array(shares)


def _extents(outline: Outline) -> Array:
    """Bottom and top of each outer contour, nan for holes. (rings, 2)"""
    none = (math.nan, math.nan)
    boxes = [(c.bounds.bottom, c.bounds.top) if c.area > 0 else none for c in outline.contours]
    return np.array(boxes, dtype=float).reshape(-1, 2)


def _most(holds: Callable[[float], bool]) -> float:
    """The greatest share from 0 to 1 that holds, to a hundredth; 1 is tried first."""
    if holds(1.0):
        return 1.0
    low, high = 0.0, 1.0
    while high - low > 0.01:
        middle = (low + high) / 2
        low, high = (middle, high) if holds(middle) else (low, middle)
    return low


def _counter_holds(outline: Outline, thick: Thickness, move: Array, ring: int, fineness: float, share: float) -> bool:
    """Whether a counter keeps its area and its one ring at this share of its edge's move."""
    before = outline.contours[ring]
    number = sum(len(contour.segments) for contour in outline.contours[:ring])
    after = _unlooped(_moved_contour(before, number, thick, move * share, fineness), fineness)
    return len(after) == 1 and after[0].area <= COUNTER_KEEPS * before.area  # both are below 0


def _is_sound(outline: Outline) -> bool:
    """Whether no ring crosses itself or another. Curves that were not moved count as their chords' control hull."""
    rings = [shapely.LinearRing(_corners(contour)) for contour in outline.contours]
    if not all(ring.is_simple for ring in rings):
        return False
    return not any(a.intersects(b) for i, a in enumerate(rings) for b in rings[i + 1 :])


def _corners(contour: Contour) -> list[Point]:
    """The contour's points, curves by eight chords."""
    points: list[Point] = []
    for segment in contour.segments:
        points += _chords(segment)
    return points


def _chords(segment: Segment) -> list[Point]:
    if len(segment) == 2:
        return [segment[0]]
    control = np.asarray(segment, dtype=float)
    t = np.arange(8) / 8
    n = len(segment) - 1
    weights = np.array([math.comb(n, i) * t**i * (1 - t) ** (n - i) for i in range(n + 1)])
    return [(float(x), float(y)) for x, y in weights.T @ control]


def _moved(outline: Outline, thick: Thickness, move: Array, fineness: float) -> Outline:
    number, contours = 0, []
    for contour in outline.contours:
        contours += _unlooped(_moved_contour(contour, number, thick, move, fineness), fineness)
        number += len(contour.segments)
    return Outline(tuple(contours))


def _unlooped(contour: Contour, fineness: float) -> list[Contour]:
    """The contour without the small loops where a moved corner overtook a short edge."""
    ring = np.array(_corners(contour))
    if shapely.LinearRing(ring).is_simple:
        return [contour]
    way = 1 if contour.area > 0 else -1
    area = wound(ring[::way]).simplify(fineness)
    return [
        Contour(tuple(segment[::-1] for segment in piece.segments[::-1])) if way < 0 else piece
        for piece in outline_of(area).contours
        if piece.area > (SCRAP * fineness) ** 2 or piece.area < -((PINCHED * fineness) ** 2)
    ]


def _moved_contour(contour: Contour, number: int, thick: Thickness, move: Array, fineness: float) -> Contour:
    """One contour with its samples moved; number is that of its first segment."""
    samples = [np.flatnonzero(thick.segment == number + i) for i in range(len(contour.segments))]
    kept = [i for i, here in enumerate(samples) if len(here)]  # a segment of no length has no samples
    segments = [contour.segments[i] for i in kept]
    samples = [samples[i] for i in kept]
    joints = [
        _joint(thick, move, segments[i - 1], samples[i - 1][-1], segments[i], samples[i][0]) for i in range(len(kept))
    ]
    out: list[Segment] = []
    for i, (segment, here) in enumerate(zip(segments, samples, strict=True)):
        start, end = joints[i], joints[(i + 1) % len(joints)]
        if not (np.any(move[here]) or np.any(start) or np.any(end)):
            out.append(segment)
        else:
            out += _moved_segment(segment, thick.points[here], move[here], start, end, fineness)
    return _closed(out)


def _joint(thick: Thickness, move: Array, before: Segment, last: int, after: Segment, first: int) -> Array:
    """How far the point moves where two segments join: to where their moved edges meet."""
    a, b = move[last], move[first]
    if not (np.any(a) or np.any(b)):
        return np.zeros(2)
    normals = np.array([_normal(before, -1), _normal(after, 0)])
    turn = float(np.linalg.det(normals))
    middle: Array = (a + b) / 2
    if abs(turn) < LEVEL_SINE:
        return middle
    met: Array = np.linalg.solve(normals, np.array([normals[0] @ a, normals[1] @ b]))
    far = FARTHEST_CORNER * max(math.hypot(*a), math.hypot(*b))
    return met if math.hypot(*met) <= far else middle


def _normal(segment: Segment, end: int) -> tuple[float, float]:
    """The unit normal pointing out at a segment's start (end 0) or end (-1)."""
    points = segment if end == 0 else segment[::-1]
    x0, y0 = points[0]
    dx, dy = next(((x - x0, y - y0) for x, y in points[1:] if (x, y) != (x0, y0)), (1.0, 0.0))
    if end:
        dx, dy = -dx, -dy
    size = math.hypot(dx, dy)
    return dy / size, -dx / size


def _moved_segment(
    segment: Segment, points: Array, move: Array, start: Array, end: Array, fineness: float
) -> list[Segment]:
    """Straight pieces along a segment's moved samples, from its moved start to its moved end."""
    first, last = np.array(segment[0]) + start, np.array(segment[-1]) + end
    ahead, back = np.array(_normal(segment, 0)), np.array(_normal(segment, -1))
    along, against = np.array([-ahead[1], ahead[0]]), np.array([back[1], -back[0]])
    moved = points + move
    # A corner that moved along this segment overtakes the samples behind it.
    keep = np.ones(len(moved), dtype=bool)
    overtaken = (moved - first) @ along <= 0
    keep[: int(np.argmin(overtaken)) if not overtaken.all() else len(moved)] = False
    overtaken = ((moved - last) @ against <= 0)[::-1]
    keep[len(moved) - (int(np.argmin(overtaken)) if not overtaken.all() else len(moved)) :] = False
    line = shapely.LineString(np.vstack([first, moved[keep], last])).simplify(fineness)
    corners = [(float(x), float(y)) for x, y in line.coords]
    return [pair for pair in itertools.pairwise(corners) if pair[0] != pair[1]]


def _closed(segments: list[Segment]) -> Contour:
    """The segments with their ends made to meet to the last bit."""
    out: list[Segment] = []
    for i, segment in enumerate(segments):
        end = segments[(i + 1) % len(segments)][0]
        out.append((*segment[:-1], end))
    return Contour(tuple(out))


def _widths(thick: Thickness, move: Array) -> Array:
    """The width across each sample after the move; inf where no disc was fitted. (n,)"""
    gain = np.einsum("ij,ij->i", move, thick.out)
    widths: Array = 2 * thick.radius + gain + gain[thick.other]
    return widths


def _left(thick: Thickness, thin: NDArray[np.bool_], widths: Array, thinnest: float) -> tuple[StillThin, ...]:
    """The places still too thin, the thinnest first, one for each stretch as long as the asked width."""
    places: list[StillThin] = []
    for i in sorted(np.flatnonzero(thin), key=lambda i: float(widths[i])):
        x, y = (float(v) for v in (thick.points[i] + thick.points[thick.other[i]]) / 2)
        if all(math.hypot(x - place.x, y - place.y) > 4 * thinnest for place in places):
            places.append(StillThin(x, y, float(widths[i])))
    return tuple(places)
