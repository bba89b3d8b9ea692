"""An outline with its edges moved: what nothing moves stays the curve it was, the rest becomes short straight pieces.

Corners go to where the moved edges beside them meet. A corner that overtakes a short edge makes a small loop, which is
taken out again; and no outer ring grows above its own top or below its bottom.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

import numpy as np
import shapely

from stopcut.arrays import Array
from stopcut.shape.outline import Contour, Outline, Point, Segment
from stopcut.shape.regions import outline_of, wound
from stopcut.shape.thickness import Thickness

__all__ = ["MovedEdges", "corners_of"]


SCRAP, PINCHED = 10, 100
"""Unlooping leaves scraps and pinched-off slits: pieces and holes no larger than squares of so many times the fineness
go. Our choice: 0.05 mm and 0.5 mm for 2.5 mm."""
FARTHEST_CORNER = 5.0
"""A corner moves at most this many times as far as its edges. Our choice: edges that meet at 24°."""
LEVEL_SINE = math.sin(math.radians(20))
"""Edges that turn less than 20° meet smoothly. Our choice."""


@dataclass(frozen=True, eq=False)
class MovedEdges:
    """An outline whose edges can be moved.

    thick has the outline's samples; extents (rings, 2) the bottom and top that each ring keeps within, nan for none;
    moved pieces are straight within fineness (the outline's unit).
    """

    outline: Outline
    thick: Thickness
    extents: Array
    fineness: float

    def moved(self, move: Array) -> Outline:
        """The outline with each sample moved by move (n, 2)."""
        return Outline(tuple(part for ring in range(len(self.outline.contours)) for part in self.ring(ring, move)))

    def ring(self, ring: int, move: Array) -> list[Contour]:
        """One ring with its samples moved; more than one where it has closed on itself."""
        number = sum(len(contour.segments) for contour in self.outline.contours[:ring])
        return _unlooped(self._contour(ring, number, move), self.fineness)

    def _contour(self, ring: int, number: int, move: Array) -> Contour:
        """One contour with its samples moved; number is that of its first segment."""
        contour, thick = self.outline.contours[ring], self.thick
        limits = (float(self.extents[ring, 0]), float(self.extents[ring, 1]))
        ends = np.searchsorted(thick.segment, np.arange(number, number + len(contour.segments) + 1))
        samples = [np.arange(start, end) for start, end in itertools.pairwise(ends)]
        kept = [i for i, here in enumerate(samples) if len(here)]  # a segment of no length has no samples
        segments = [contour.segments[i] for i in kept]
        samples = [samples[i] for i in kept]
        joints = [
            _joint(thick, move, segments[i - 1], samples[i - 1][-1], segments[i], samples[i][0])
            for i in range(len(kept))
        ]
        out: list[Segment] = []
        for i, (segment, here) in enumerate(zip(segments, samples, strict=True)):
            start, end = joints[i], joints[(i + 1) % len(joints)]
            if not (np.any(move[here]) or np.any(start) or np.any(end)):
                out.append(segment)
            else:
                points = thick.points[here]
                out += _moved_segment(segment, points, move[here], start, end, limits, self.fineness)
        return _closed(out)


def corners_of(contour: Contour) -> list[Point]:
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


def _unlooped(contour: Contour, fineness: float) -> list[Contour]:
    """The contour without the small loops where a moved corner overtook a short edge."""
    ring = np.array(corners_of(contour))
    if shapely.LinearRing(ring).is_simple:
        return [contour]
    way = 1 if contour.area > 0 else -1
    area = wound(ring[::way]).simplify(fineness)
    return [
        Contour(tuple(segment[::-1] for segment in piece.segments[::-1])) if way < 0 else piece
        for piece in outline_of(area).contours
        if piece.area > (SCRAP * fineness) ** 2 or piece.area < -((PINCHED * fineness) ** 2)
    ]


def _joint(thick: Thickness, move: Array, before: Segment, last: int, after: Segment, first: int) -> Array:
    """How far the point moves where two segments join: to where their moved edges meet."""
    a, b = move[last], move[first]
    if not (np.any(a) or np.any(b)):
        return np.zeros(2)
    (x0, y0), (x1, y1) = _normal(before, -1), _normal(after, 0)
    turn = x0 * y1 - x1 * y0
    middle: Array = (a + b) / 2
    if abs(turn) < LEVEL_SINE:
        return middle
    first_by, second_by = x0 * a[0] + y0 * a[1], x1 * b[0] + y1 * b[1]
    met = np.array([(first_by * y1 - second_by * y0) / turn, (x0 * second_by - x1 * first_by) / turn])
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
    segment: Segment, points: Array, move: Array, start: Array, end: Array, limits: tuple[float, float], fineness: float
) -> list[Segment]:
    """Straight pieces along a segment's moved samples, from its moved start to its moved end, within limits (of y)."""
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
    path = np.vstack([first, moved[keep], last])
    if not math.isnan(limits[0]):
        path[:, 1] = np.clip(path[:, 1], *limits)
    corners = [(float(x), float(y)) for x, y in shapely.LineString(path).simplify(fineness).coords]
    return [pair for pair in itertools.pairwise(corners) if pair[0] != pair[1]]


def _closed(segments: list[Segment]) -> Contour:
    """The segments with their ends made to meet to the last bit."""
    out: list[Segment] = []
    for i, segment in enumerate(segments):
        end = segments[(i + 1) % len(segments)][0]
        out.append((*segment[:-1], end))
    return Contour(tuple(out))
