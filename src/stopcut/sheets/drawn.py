"""What is drawn of a board, as layers of lines in mm: the one list that the pattern and the SVG both draw.

A layer has a trade's name and one pen; pens differ by weight and dash, never by colour. Curves stay curves.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from stopcut.arrays import Array
from stopcut.groove.surface import Groove, GrooveLine, Pit
from stopcut.job.job import Avoid, Board
from stopcut.setting.set_board import SetLine
from stopcut.shape.outline import Bounds, Point, Segment
from stopcut.shape.placed import Placed
from stopcut.work import Work

__all__ = ["PENS", "PIT_MM", "Layer", "Pen", "PenStroke", "all_placed", "foot_of", "grain_arrow", "layers"]

CENTRE_MARK_MM = 5.0
"""How far a centre mark reaches to either side of the board's edge. (our choice)"""

GRAIN_ARROW_MM = 30.0
"""Length of the grain arrow. (our choice)"""

GRAIN_BARB_MM = 2.5
"""Length of the arrow's barbs. (our choice)"""

PIT_MM = 2.0
"""How large the cross at a pit is. (our choice: seen, and less than a small full stop)"""

SHORTEST_MM = 1e-6
"""A stretch of centre line shorter than this is left out. (our choice: no pen draws it)"""


@dataclass(frozen=True, slots=True)
class Pen:
    """A line's weight and its dashes and gaps in turn (none: a whole line). [mm]"""

    weight_mm: float
    dash_mm: tuple[float, ...] = ()


@dataclass(frozen=True)
class PenStroke:
    """One thing drawn with one pen: runs of segments, each closed on itself or open, and what it belongs to.

    line and index are those of the letter (0, 0 where it is none) and char the letter itself. whole is for what is
    drawn without its layer's dashes: an arrow's head.
    """

    runs: tuple[tuple[Segment, ...], ...]
    closed: bool = False
    line: int = 0
    index: int = 0
    char: str = ""
    whole: bool = False

    @cached_property
    def length(self) -> float:
        """How long the first run is, measured over its segments' ends (groove lines are straight pieces). [mm]"""
        return sum(math.dist(segment[0], segment[-1]) for segment in self.runs[0])

    @cached_property
    def bounds(self) -> Bounds:
        """A box that holds the stroke: that of its control points, so perhaps a little large. [mm]"""
        points = [point for run in self.runs for segment in run for point in segment]
        xs, ys = [x for x, _ in points], [y for _, y in points]
        return Bounds(min(xs), min(ys), max(xs), max(ys))


@dataclass(frozen=True, slots=True)
class Layer:
    """All strokes of one kind. name is the trade's, in lower case with hyphens; says is for people."""

    name: str
    says: str
    pen: Pen
    strokes: tuple[PenStroke, ...]


_FINE = Pen(0.10, (6.0, 1.0, 1.0, 1.0))
_DOTTED = Pen(0.10, (0.6, 0.8))
_DASHED = Pen(0.15, (2.0, 1.0))

PENS: dict[str, tuple[str, Pen]] = {
    # our choice: light enough to trace a hair's breadth by, dashes that survive a photocopier
    "outline": ("outline: the cut edge", Pen(0.15)),
    "parallel-run": ("centre line, walls parallel: stop cut", Pen(0.25)),
    "centre-line": ("centre line beyond it", _DASHED),
    "corner-line": ("corner line: the mitre up to a corner", _DASHED),
    "pit": ("pit: where a dot is deepest", Pen(0.15)),
    "arris": ("arris: the ridge at an inner corner", _DOTTED),
    "before-strengthening": ("the face's own edge, where strengthened", _DOTTED),
    "relief": ("drawn alone: not to be cut as a groove", _DASHED),
    "reference-line": ("reference line, under the words", _FINE),
    "margin": ("margin", _FINE),
    "grain": ("the way of the grain", _DOTTED),
    "avoid": ("to be kept clear of", _DASHED),
    "centre-mark": ("middle of the board's side", Pen(0.15)),
    "board-edge": ("the board's edge", Pen(0.35)),
}
"""Every layer: what it says to people, and its pen."""


def layers(work: Work) -> tuple[Layer, ...]:
    """Everything drawn of a board, layer by layer in the order of PENS. Layers may be empty. [mm on the board]"""
    board = work.job.board
    lines = [(groove, line) for groove in work.pattern for line in groove.lines]
    strokes: dict[str, tuple[PenStroke, ...]] = {
        "outline": tuple(_outlined(placed) for placed in all_placed(work) if placed.outline),
        "parallel-run": tuple(s for groove, line in lines if line.kind == "centre" for s in _parallel(groove, line)),
        "centre-line": tuple(s for groove, line in lines if line.kind == "centre" for s in _beyond(groove, line)),
        "corner-line": tuple(_of(groove, line.points) for groove, line in lines if line.kind == "corner"),
        "pit": tuple(_pit(groove, pit) for groove in work.pattern for pit in groove.pits),
        "arris": tuple(_of(groove, line.points) for groove, line in lines if line.kind == "arris"),
        "before-strengthening": tuple(_outlined(placed) for placed in work.before_strengthening),
        "relief": tuple(_outlined(ornament.placed) for ornament in work.ornaments if not ornament.carved),
        "reference-line": tuple(_reference(work, line) for line in work.setting.lines),
        "margin": _margin(board),
        "grain": tuple(grain_arrow(work)),
        "avoid": tuple(_avoided(avoid) for avoid in work.job.avoid),
        "centre-mark": tuple(_centre_marks(board)),
        "board-edge": (_box(0, 0, board.width_mm, board.height_mm),),
    }
    return tuple(Layer(name, says, pen, strokes[name]) for name, (says, pen) in PENS.items())


def all_placed(work: Work) -> tuple[Placed, ...]:
    """Every outline to cut, as it is drawn on the board: letters in reading order, then ornaments and the border.

    A letter whose groove could not be worked out is drawn as well.
    """
    lost = {(finding.where.line, finding.where.index) for finding in work.findings if finding.code == "no-groove"}
    letters = tuple(placed for placed in work.setting.placed if (placed.line, placed.index) in lost)
    return tuple(groove.placed for groove in work.pattern) + letters


def foot_of(placed: Placed) -> tuple[Point, Point]:
    """Where a letter stands on its reference line, under the middle of its ink, and the way up from there (a unit)."""
    box = placed.outline.bounds
    _, _, c, d, _, _ = placed.matrix
    return placed.point_mm(((box.left + box.right) / 2, 0.0)), (c / placed.scale, d / placed.scale)


def grain_arrow(work: Work) -> Iterator[PenStroke]:
    """An arrow with two heads along the fibres, in the lower left corner between edge and margin if that has room."""
    board = work.job.board
    along = board.width_mm if board.grain == "width" else board.height_mm
    length = min(GRAIN_ARROW_MM, along / 4)
    inset = max(GRAIN_BARB_MM, min(board.margin_mm, board.width_mm / 4, board.height_mm / 4) / 2)
    barb = min(GRAIN_BARB_MM, length / 4)
    across = barb / 2.5

    def place(u: float, v: float) -> Point:
        return (inset + u, inset + v) if board.grain == "width" else (inset + v, inset + u)

    yield _straight([place(0, 0), place(length, 0)])
    for tip, back in ((0.0, barb), (length, length - barb)):
        yield _straight([place(back, across), place(tip, 0), place(back, -across)], whole=True)


def _reference(work: Work, line: SetLine) -> PenStroke:
    """A line of words' reference line: from edge to edge, or under all of its letters where they stand on an arc."""
    arc = next((asked.arc for asked in work.job.lines if asked.number == line.number), None)
    letters = [letter.placed for letter in line.letters if letter.placed.outline]
    if arc is None or all(placed.turn_deg == 0 for placed in letters):
        return _straight([(0, line.baseline_y_mm), (work.job.board.width_mm, line.baseline_y_mm)])
    (x, y), (ux, uy) = foot_of(letters[0])
    outward = arc.radius_mm if arc.bend == "up" else -arc.radius_mm
    centre = (x - outward * ux, y - outward * uy)
    beyond = math.degrees(line.cap_height_mm / 2 / arc.radius_mm)
    turns = [placed.turn_deg for placed in letters]
    middle = 90.0 if arc.bend == "up" else -90.0
    return _arc(centre, arc.radius_mm, middle + min(turns) - beyond, middle + max(turns) + beyond)


def _margin(board: Board) -> tuple[PenStroke, ...]:
    margin = board.margin_mm
    if margin <= 0 or 2 * margin >= min(board.width_mm, board.height_mm):
        return ()
    return (_box(margin, margin, board.width_mm - margin, board.height_mm - margin),)


def _centre_marks(board: Board) -> Iterator[PenStroke]:
    middle_x, middle_y = board.width_mm / 2, board.height_mm / 2
    for y in (0.0, board.height_mm):
        yield _straight([(middle_x, y - CENTRE_MARK_MM), (middle_x, y + CENTRE_MARK_MM)])
    for x in (0.0, board.width_mm):
        yield _straight([(x - CENTRE_MARK_MM, middle_y), (x + CENTRE_MARK_MM, middle_y)])


def _avoided(avoid: Avoid) -> PenStroke:
    if avoid.radius_mm is not None:
        circle = _arc((avoid.x_mm, avoid.y_mm), avoid.radius_mm, 0, 360)
        return PenStroke(circle.runs, closed=True)
    half_width, half_height = (avoid.width_mm or 0) / 2, (avoid.height_mm or 0) / 2
    x, y = avoid.x_mm, avoid.y_mm
    return _box(x - half_width, y - half_height, x + half_width, y + half_height)


def _outlined(placed: Placed) -> PenStroke:
    runs = tuple(contour.segments for contour in placed.on_board.contours)
    return PenStroke(runs, closed=True, line=placed.line, index=placed.index, char=placed.char)


def _parallel(groove: Groove, line: GrooveLine) -> Iterator[PenStroke]:
    for start, end in line.parallel:
        yield _of(groove, _stretch(line.points, start, end))


def _beyond(groove: Groove, line: GrooveLine) -> Iterator[PenStroke]:
    """The centre line's stretches between its parallel runs."""
    length = float(_distances(line.points)[-1])
    stops = [0.0, *itertools.chain.from_iterable(sorted(line.parallel)), length]
    for start, end in zip(stops[::2], stops[1::2], strict=True):
        if end - start > SHORTEST_MM:
            yield _of(groove, _stretch(line.points, start, end))


def _pit(groove: Groove, pit: Pit) -> PenStroke:
    """A small cross."""
    x, y, reach, placed = pit.x_mm, pit.y_mm, PIT_MM / 2, groove.placed
    level, upright = ((x - reach, y), (x + reach, y)), ((x, y - reach), (x, y + reach))
    return PenStroke(((level,), (upright,)), line=placed.line, index=placed.index, char=placed.char)


def _of(groove: Groove, points: Array) -> PenStroke:
    placed = groove.placed
    run = tuple(itertools.pairwise([(float(x), float(y)) for x, y in points]))
    return PenStroke((run,), line=placed.line, index=placed.index, char=placed.char)


def _stretch(points: Array, start: float, end: float) -> Array:
    """The part of a polyline between two distances along it."""
    along = _distances(points)
    inner = points[(along > start) & (along < end)]
    ends = [[float(np.interp(at, along, points[:, axis])) for axis in (0, 1)] for at in (start, end)]
    return np.vstack([ends[0], inner, ends[1]])


def _distances(points: Array) -> Array:
    steps = np.diff(points, axis=0)
    return np.concatenate([[0.0], np.cumsum(np.hypot(steps[:, 0], steps[:, 1]))])


def _arc(centre: Point, radius: float, start_deg: float, end_deg: float) -> PenStroke:
    """An arc of a circle as cubics of at most 30° each, which stay within 1e-7 of the radius."""
    pieces = max(1, math.ceil((end_deg - start_deg) / 30))
    angles = [math.radians(start_deg + (end_deg - start_deg) * i / pieces) for i in range(pieces + 1)]
    handle = 4 / 3 * math.tan((angles[1] - angles[0]) / 4)

    def at(angle: float, reach: float) -> Point:
        cos, sin = math.cos(angle), math.sin(angle)
        return (centre[0] + radius * (cos - reach * sin), centre[1] + radius * (sin + reach * cos))

    segments = tuple((at(a, 0), at(a, handle), at(b, -handle), at(b, 0)) for a, b in itertools.pairwise(angles))
    return PenStroke((segments,))


def _box(left: float, bottom: float, right: float, top: float) -> PenStroke:
    corners: list[Point] = [(left, bottom), (right, bottom), (right, top), (left, top), (left, bottom)]
    return PenStroke((tuple(itertools.pairwise(corners)),), closed=True)


def _straight(points: list[Point], *, whole: bool = False) -> PenStroke:
    return PenStroke((tuple(itertools.pairwise(points)),), whole=whole)
