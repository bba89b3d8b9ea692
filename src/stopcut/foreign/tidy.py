"""In the worker: contours without hair-thin pieces, turned the right way.

Taking overlaps out leaves pieces of no length, slivers of no breadth and straight runs in several bits; a stranger's
font may draw its contours either way round. What leaves here has none of the first, and outer contours anticlockwise
and holes clockwise. Units are the font's own.
"""

from __future__ import annotations

import math

__all__ = ["Contours", "Points", "tidied", "turned"]

Points = list[float]
Contours = list[list[Points]]
"""A contour is its first point and then, for each segment, the points after the last one: 2, 4 or 6 numbers."""

SHORTEST = 1e-4
"""A segment shorter than this is drawn into its neighbours. [em] Our choice: 0.01 mm on 60 mm capitals."""
SLIVER = 2e-6
"""A contour of less area is what an overlap left behind. [em²] Our choice: 0.015 mm² on a 60 mm cap."""
STRAIGHT = 2e-5
"""A corner that stands out less than this from its straight neighbours is none. [em] Our choice: 0.002 mm at 60 mm."""

_STEPS = 5
_QUADRATIC = [((1 - t) ** 2, 2 * t * (1 - t), t * t) for t in (i / _STEPS for i in range(1, _STEPS))]
_CUBIC = [
    ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3) for t in (i / _STEPS for i in range(1, _STEPS))
]
"""How much of each control point there is at the steps along a curve (Bernstein polynomials)."""


def tidied(contours: Contours, upem: int) -> Contours:
    """Without pieces too short, corners too slight and contours too small to be cut."""
    tidy = [_tidied(contour, upem) for contour in contours]
    return [contour for contour in tidy if len(contour) > 2 and abs(_area(contour)) > SLIVER * upem * upem]


def _tidied(contour: list[Points], upem: int) -> list[Points]:
    """Without pieces shorter than SHORTEST and without corners that straight neighbours do not make."""
    least, straight = SHORTEST * upem, STRAIGHT * upem
    pieces: list[Points] = []
    at = contour[0]
    for piece in contour[1:]:
        reach = max(math.dist(at, piece[i : i + 2]) for i in range(0, len(piece), 2))
        if reach < least and pieces:
            pieces[-1] = pieces[-1][:-2] + piece[-2:]  # its neighbour ends where it ended
        elif reach >= least:
            pieces.append(piece)
        else:
            continue
        at = piece[-2:]
    if not pieces:
        return []
    pieces = _whole_lines(pieces, straight)
    return [pieces[-1][-2:], *pieces]


def _whole_lines(pieces: list[Points], straight: float) -> list[Points]:
    """Straight pieces that run on in one line become one, round the seam too."""
    out: list[Points] = []
    starts: list[Points] = []
    at = pieces[-1][-2:]
    for piece in pieces:
        if out and len(piece) == 2 == len(out[-1]) and _runs_on(starts[-1], at, piece, straight):
            out[-1] = piece
        else:
            out.append(piece)
            starts.append(at)
        at = piece[-2:]
    if len(out) > 2 and len(out[0]) == 2 == len(out[-1]) and _runs_on(starts[-1], at, out[0], straight):
        out.pop()
    return out


def _runs_on(start: Points, middle: Points, end: Points, straight: float) -> bool:
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = math.hypot(dx, dy)
    if length == 0:
        return False
    along = ((middle[0] - start[0]) * dx + (middle[1] - start[1]) * dy) / length
    off = abs((middle[0] - start[0]) * dy - (middle[1] - start[1]) * dx) / length
    return off < straight and 0 < along < length


def _area(contour: list[Points]) -> float:
    """Signed area of the flattened contour."""
    return _ring_area(_flat(contour))


def _ring_area(ring: list[tuple[float, float]]) -> float:
    total = 0.0
    x0, y0 = ring[-1]
    for x1, y1 in ring:
        total += x0 * y1 - x1 * y0
        x0, y0 = x1, y1
    return total / 2


def _flat(contour: list[Points]) -> list[tuple[float, float]]:
    """Points along the contour: enough to tell inside from outside and which way it runs."""
    x, y = contour[0]
    ring: list[tuple[float, float]] = []
    for piece in contour[1:]:
        if len(piece) == 4:
            x1, y1, x2, y2 = piece
            ring += [(a * x + b * x1 + c * x2, a * y + b * y1 + c * y2) for a, b, c in _QUADRATIC]
        elif len(piece) == 6:
            x1, y1, x2, y2, x3, y3 = piece
            ring += [(a * x + b * x1 + c * x2 + d * x3, a * y + b * y1 + c * y2 + d * y3) for a, b, c, d in _CUBIC]
        x, y = piece[-2], piece[-1]
        ring.append((x, y))
    return ring


def turned(contours: Contours) -> Contours:
    """Contours that lie in an even number of others run anticlockwise, the rest clockwise."""
    rings = [_flat(contour) for contour in contours]
    boxes = [_box(ring) for ring in rings]
    out: Contours = []
    for i, ring in enumerate(rings):
        depth = sum(
            _holds(boxes[j], boxes[i]) and _inside(_inner_point(ring), other) for j, other in enumerate(rings) if j != i
        )
        anticlockwise = _ring_area(ring) > 0
        out.append(contours[i] if anticlockwise == (depth % 2 == 0) else _reversed(contours[i]))
    return out


def _box(ring: list[tuple[float, float]]) -> tuple[float, float, float, float]:
    xs, ys = [x for x, _ in ring], [y for _, y in ring]
    return min(xs), min(ys), max(xs), max(ys)


def _holds(outer: tuple[float, float, float, float], inner: tuple[float, float, float, float]) -> bool:
    return outer[0] <= inner[0] and outer[1] <= inner[1] and outer[2] >= inner[2] and outer[3] >= inner[3]


def _inner_point(ring: list[tuple[float, float]]) -> tuple[float, float]:
    """A point of the ring's own inside, near its edge, so that a ring that touches another is judged rightly."""
    i = max(range(len(ring)), key=lambda k: math.dist(ring[k - 1], ring[k]))
    (x0, y0), (x1, y1) = ring[i - 1], ring[i]
    side = 1.0 if _ring_area(ring) > 0 else -1.0
    nudge = 1e-3 * side
    return (x0 + x1) / 2 - nudge * (y1 - y0), (y0 + y1) / 2 + nudge * (x1 - x0)


def _inside(point: tuple[float, float], ring: list[tuple[float, float]]) -> bool:
    x, y = point
    inside = False
    x0, y0 = ring[-1]
    for x1, y1 in ring:
        if (y0 > y) != (y1 > y) and x < x0 + (y - y0) * (x1 - x0) / (y1 - y0):
            inside = not inside
        x0, y0 = x1, y1
    return inside


def _reversed(contour: list[Points]) -> list[Points]:
    """The same contour run the other way."""
    flat = [contour[0], *contour[1:]]
    out: list[Points] = [flat[-1][-2:]]
    for k in range(len(flat) - 1, 0, -1):
        piece, before = flat[k], flat[k - 1][-2:]
        points = [piece[i : i + 2] for i in range(0, len(piece) - 2, 2)]
        out.append([v for point in reversed(points) for v in point] + list(before))
    return out
