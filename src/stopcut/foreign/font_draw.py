"""In the worker: glyphs as clean outlines.

HarfBuzz draws the glyph at the instance, skia-pathops takes the overlaps out on the curves, and what is left is tidied
(no pieces of no length, no slivers, straight runs whole) and turned the right way: outer contours anticlockwise, holes
clockwise. Units are the font's own.
"""

from __future__ import annotations

import math
import struct
from collections.abc import Iterable
from typing import Any

import pathops
import uharfbuzz as hb

from stopcut.foreign.inside import BadInput

__all__ = ["Contours", "GlyphCheck", "clean", "draw"]

Points = list[float]
Contours = list[list[Points]]
"""A contour is its first point and then, for each segment, the points after the last one: 2, 4 or 6 numbers."""

MOST_POINTS = 20_000
"""Points of one letter. Our choice: the densest ornamental capitals of open fonts have some two thousand."""
SHORTEST = 1e-4
"""A segment shorter than this is drawn into its neighbours. [em] Our choice: 0.01 mm on 60 mm capitals."""
SLIVER = 2e-6
"""A contour of less area is what an overlap left behind. [em²] Our choice: 0.015 mm² on a 60 mm cap."""
STRAIGHT = 2e-5
"""A corner that stands out less than this from its straight neighbours is none. [em] Our choice: 0.002 mm at 60 mm."""
FARTHEST = 100.0
"""No point may lie farther from the origin. [em] Our choice: swashes reach two or three."""
MOST_NESTING = 16
"""Composite glyphs within composites. Our choice: honest fonts go three deep."""
MOST_PARTS = 256
"""Parts of one glyph, parts of parts counted. Our choice: honest fonts stay under twenty."""


def draw(font: hb.Font, glyphs: Iterable[tuple[int, float, float]]) -> Any:
    """A path of several glyphs, each (glyph, dx, dy) moved by its offset."""
    taken = _Taken(pathops.Path())
    for glyph, dx, dy in glyphs:
        taken.dx, taken.dy = dx, dy
        font.draw_glyph(glyph, _FUNCS, taken)
    if taken.count > MOST_POINTS:
        raise BadInput(f"it has more than {MOST_POINTS} points")
    return taken.path


class _Taken:
    """HarfBuzz's drawing as it comes into a path, moved, its points counted.

    What is raised while HarfBuzz draws is lost, so a drawing without end is let run dry here and refused afterwards.
    """

    def __init__(self, path: Any) -> None:
        self.path, self.dx, self.dy, self.count = path, 0.0, 0.0, 0

    def take(self, verb: str, *numbers: float) -> None:
        """Add a verb with its points' numbers x, y, x, y …, moved."""
        self.count += max(1, len(numbers) // 2)
        if self.count <= MOST_POINTS:
            getattr(self.path, verb)(*(v + (self.dy if i % 2 else self.dx) for i, v in enumerate(numbers)))


def _draw_funcs() -> hb.DrawFuncs:
    funcs = hb.DrawFuncs()
    funcs.set_move_to_func(lambda x, y, taken: taken.take("moveTo", x, y))
    funcs.set_line_to_func(lambda x, y, taken: taken.take("lineTo", x, y))
    funcs.set_quadratic_to_func(lambda *numbers: numbers[-1].take("quadTo", *numbers[:-1]))
    funcs.set_cubic_to_func(lambda *numbers: numbers[-1].take("cubicTo", *numbers[:-1]))
    funcs.set_close_path_func(lambda taken: taken.take("close"))
    return funcs


_FUNCS = _draw_funcs()


def clean(path: Any, upem: int) -> Contours:
    """The path's shape by the non-zero rule, without overlaps. Raises BadInput for what has no sensible shape."""
    path.fillType = pathops.FillType.WINDING
    try:
        path.simplify(fix_winding=False, keep_starting_points=False)
    except pathops.PathOpsError as problem:
        raise BadInput("its overlaps could not be taken out") from problem
    contours = [tidy for contour in _contours(path) if len(tidy := _tidied(contour, upem)) > 2]
    for contour in contours:
        for piece in contour:
            if not all(math.isfinite(v) and abs(v) < FARTHEST * upem for v in piece):
                raise BadInput(f"it reaches farther than {FARTHEST:g} em")
    contours = [contour for contour in contours if abs(_area(contour)) > SLIVER * upem * upem]
    return _turned(contours)


def _contours(path: Any) -> Contours:
    """Raw verbs to contours; each is closed by a straight piece where it does not come back by itself."""
    contours: Contours = []
    current: list[Points] = []
    for verb, points in path:
        numbers = [float(v) for point in points for v in point]
        if verb == pathops.PathVerb.MOVE:
            _finish(contours, current)
            current = [numbers]
        elif verb == pathops.PathVerb.CLOSE:
            _finish(contours, current)
            current = []
        elif current and len(numbers) in (2, 4, 6):
            current.append(numbers)
    _finish(contours, current)
    return contours


def _finish(contours: Contours, current: list[Points]) -> None:
    if len(current) < 2:
        return
    if current[-1][-2:] != current[0]:
        current.append(list(current[0]))
    contours.append(current)


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


def _flat(contour: list[Points], steps: int = 8) -> list[tuple[float, float]]:
    """Points along the contour: enough to tell inside from outside and which way it runs."""
    x, y = contour[0]
    ring: list[tuple[float, float]] = []
    for piece in contour[1:]:
        if len(piece) > 2:
            control = [(x, y), *((piece[i], piece[i + 1]) for i in range(0, len(piece), 2))]
            n = len(control) - 1
            for step in range(1, steps):
                t = step / steps
                weights = [math.comb(n, i) * t**i * (1 - t) ** (n - i) for i in range(n + 1)]
                ring.append(
                    (
                        sum(w * p[0] for w, p in zip(weights, control, strict=True)),
                        sum(w * p[1] for w, p in zip(weights, control, strict=True)),
                    )
                )
        x, y = piece[-2], piece[-1]
        ring.append((x, y))
    return ring


def _turned(contours: Contours) -> Contours:
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


class GlyphCheck:
    """Whether glyphs are whole, by their bytes: where they are not, HarfBuzz would draw what it can.

    TrueType glyphs are followed through their parts (OpenType specification, glyf and loca); CFF ones are run.
    """

    def __init__(self, face: hb.Face, font: hb.Font) -> None:
        self._font = font
        self._loca, self._glyf = (bytes(face.reference_table(tag).data or b"") for tag in ("loca", "glyf"))
        head = face.reference_table("head").data
        self._long = struct.unpack(">h", head[50:52])[0] != 0 if len(head) >= 52 else False
        self._count = 0

    def check(self, glyph: int) -> None:
        """Raises BadInput for a glyph that is cut short, broken, or made of itself."""
        self._count = 0
        if self._loca and self._glyf:
            self._whole(glyph, ())
        elif self._font.get_glyph_extents(glyph) is None:
            raise BadInput("its drawing breaks off")

    def _whole(self, glyph: int, above: tuple[int, ...]) -> None:
        self._count += 1
        if glyph in above:
            raise BadInput("it is made of itself")
        if len(above) > MOST_NESTING or self._count > MOST_PARTS:
            raise BadInput("it is made of too many parts")
        body = self._body(glyph)
        if not body:
            return
        contours = struct.unpack(">h", body[:2])[0]
        if contours < 0:
            for part in _components(body):
                self._whole(part, (*above, glyph))
        elif contours > 0 and not list(draw(self._font, [(glyph, 0.0, 0.0)])):
            raise BadInput("it has been cut short")

    def _body(self, glyph: int) -> bytes:
        step, form, unit = (4, ">LL", 1) if self._long else (2, ">HH", 2)
        ends = self._loca[glyph * step : (glyph + 2) * step]
        if len(ends) < 2 * step:
            raise BadInput("it lies past the end of the font's list")
        start, end = (unit * place for place in struct.unpack(form, ends))
        if start > end or end > len(self._glyf) or 0 < end - start < 10:
            raise BadInput("it has been cut short")
        return self._glyf[start:end]


def _components(body: bytes) -> list[int]:
    """The glyphs that a composite glyph is made of."""
    parts, at = [], 10
    while at + 4 <= len(body):
        flags, part = struct.unpack(">HH", body[at : at + 4])
        parts.append(part)
        if not flags & 0x20:  # MORE_COMPONENTS
            return parts
        at += 4 + (4 if flags & 0x1 else 2)
        at += 2 if flags & 0x8 else 4 if flags & 0x40 else 8 if flags & 0x80 else 0
    raise BadInput("it has been cut short")
