"""A letter as a bench card shows it, large: the marks of all its steps, each with its step's number (see marks)."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
import shapely
from reportlab.pdfgen.canvas import Canvas

from stopcut.arrays import Array
from stopcut.bench.plan import Cut, CutLine
from stopcut.groove.surface import Groove
from stopcut.shape.flat import flatten
from stopcut.shape.outline import Bounds
from stopcut.sheets.card_numbers import RADIUS_MM, Spot, Wanted, place_numbers
from stopcut.sheets.drawn import Pen
from stopcut.sheets.ink import draw_line, draw_outlines, take_pen
from stopcut.sheets.letter_cards import Card, CardStep
from stopcut.sheets.marks import (
    DIAMOND_MM,
    draw_polyline,
    middle_of,
    shifted,
    stamp_end,
    stamp_floor,
    stamp_point,
    stamp_relief,
    stamp_slice,
    stamp_stop,
    stamp_turn,
)
from stopcut.sheets.words import POINT_MM, draw_words

__all__ = ["CARD_PT", "draw_letter", "draw_marks", "scale_in"]


CARD_PT: Final = 16.0
"""The least size of type on a bench card, to be read at arm's length. (our choice, see the house's look)"""

_RING_PT: Final = 14.0
"""Numbers on the picture. Our choice: larger ones hide the letter that they stand on."""
_ROUND_MM: Final = 11.0
"""Kept round the letter for numbers. [mm] Our choice."""
_LARGEST: Final = 6.0
"""No letter is drawn larger than so many times its size. (our choice: a larger one tells no more)"""
_OUTLINE, _LINES, _LEADER, _RING = Pen(0.35), Pen(0.15, (0.6, 0.8)), Pen(0.2), Pen(0.35)
_INSET_MM: Final = 2.6
"""How far inside its edge what is pared is drawn at most. [mm] Our choice."""
_TOUCH_MM: Final = 0.05
"""Lines of one step whose ends are as near are one on the picture. [mm on the board] Our choice."""


def scale_in(groove: Groove, width_mm: float, height_mm: float) -> float:
    """How many times its size a letter is drawn in a box of that size."""
    ink = groove.placed.bounds_mm
    room = width_mm - 2 * _ROUND_MM, height_mm - 2 * _ROUND_MM
    return min(room[0] / max(ink.width, 1.0), room[1] / max(ink.height, 1.0), _LARGEST)


def draw_letter(canvas: Canvas, card: Card, box: Bounds) -> None:
    """Draw a card's letter in a box, as large as it holds it, with the marks of its steps."""
    groove = card.groove
    ink = groove.placed.bounds_mm
    scale = scale_in(groove, box.width, box.height)
    shift = box.centre[0] - scale * ink.centre[0], box.centre[1] - scale * ink.centre[1]

    def place(points: Array) -> Array:
        out: Array = scale * points + np.array(shift)
        return out

    outline = groove.placed.on_board.mapped((scale, 0.0, 0.0, scale, *shift))
    take_pen(canvas, _LINES)
    for line in groove.lines:
        draw_polyline(canvas, place(line.points))
    take_pen(canvas, _OUTLINE)
    draw_outlines(canvas, [outline])
    edges = [np.vstack([ring, ring[:1]]) for ring in flatten(outline, 0.1).rings]
    inset = scale / math.tan(math.radians(groove.wall_deg))
    wanted, lines = draw_marks(canvas, card.steps, place, inset)
    for turn in card.turns:
        at = place(np.array([turn]))[0]
        stamp_turn(canvas, at)
        lines.append(at + np.array([[-DIAMOND_MM, 0.0], [DIAMOND_MM, 0.0]]))
    for spot in place_numbers(wanted, shapely.MultiLineString([*edges, *lines]), box):
        _ring(canvas, spot)


def draw_marks(
    canvas: Canvas, steps: Sequence[CardStep], place: Callable[[Array], Array], inset: float, size: float = 1.0
) -> tuple[list[Wanted], list[Array]]:
    """Draw every cut's mark where place puts it; gives the numbers that are wanted, and the lines drawn.

    inset is how far a wall reaches in on the page for each mm that it is deep; size makes the marks finer.
    """
    wanted: list[Wanted] = []
    lines: list[Array] = []
    for step in steps:
        for mark in _marks_of(step, place, inset, size):
            mark.stamp(canvas)
            lines.append(mark.line)
        wanted += _numbers(step, place)
    return wanted, [line for line in lines if len(line) > 1]


@dataclass(frozen=True, slots=True)
class _Mark:
    """A mark on the page: the line it is drawn along, and how."""

    line: Array
    stamp: Callable[[Canvas], None]


def _marks_of(step: CardStep, place: Callable[[Array], Array], inset: float, size: float) -> Iterator[_Mark]:
    for cut in step.cuts:
        for line in cut.lines:
            yield _mark(cut, line, place(line.points[:, :2]), inset, size)


def _mark(cut: Cut, line: CutLine, path: Array, inset: float, size: float) -> _Mark:
    if cut.kind == "stop":
        return _Mark(path, lambda canvas: stamp_stop(canvas, path, size))
    if cut.kind == "relief":
        return _Mark(path, lambda canvas: stamp_relief(canvas, path, size))
    if cut.kind == "end":
        return _Mark(path, lambda canvas: stamp_end(canvas, path, size))
    if cut.kind == "corner":
        at = np.array(middle_of(path)[0])
        return _Mark(at[None], lambda canvas: stamp_point(canvas, at, size))
    if cut.kind == "floor":
        return _Mark(path, lambda canvas: stamp_floor(canvas, path, size))
    inner = shifted(path, np.minimum(_INSET_MM, 0.45 * inset * line.points[:, 2]))
    return _Mark(inner, lambda canvas: stamp_slice(canvas, path, inner, line.slice, size))


def _numbers(step: CardStep, place: Callable[[Array], Array]) -> Iterator[Wanted]:
    """A number for each stab, for each run of pared lines that join, and one for all points of a letter."""
    kind = step.cuts[0].kind
    if kind == "corner":
        path = place(step.cuts[0].lines[0].points[:, :2])
        at, along_deg, _ = middle_of(path)
        yield Wanted(step.number, at, along_deg - 90.0)
        return
    if kind == "end":
        for cut in step.cuts:
            path = place(max((line.points[:, :2] for line in cut.lines), key=lambda line: float(np.ptp(line))))
            at, along_deg, _ = middle_of(path)
            yield Wanted(step.number, at, along_deg + 90.0)
        return
    if kind in ("stop", "relief", "floor"):
        for cut in step.cuts:
            at, along_deg, length = middle_of(place(cut.points[:, :2]))
            yield Wanted(step.number, at, along_deg + 90.0, inside=kind == "stop" and length > 4 * RADIUS_MM)
        return
    for points in _joined([line.points[:, :2] for cut in step.cuts for line in cut.lines]):
        at, along_deg, _ = middle_of(place(points))
        yield Wanted(step.number, at, along_deg - 90.0)


def _joined(lines: Sequence[Array]) -> list[Array]:
    """Lines (k, 2) that go on where another ends, as one."""
    left = list(lines)
    out: list[Array] = []
    while left:
        run = left.pop(0)
        grown = True
        while grown:
            grown = False
            for n, other in enumerate(left):
                if float(np.hypot(*(other[0] - run[-1]))) < _TOUCH_MM:
                    run, grown = np.vstack([run, other[1:]]), True
                elif float(np.hypot(*(other[-1] - run[0]))) < _TOUCH_MM:
                    run, grown = np.vstack([other, run[1:]]), True
                if grown:
                    left.pop(n)
                    break
        out.append(run)
    return out


def _ring(canvas: Canvas, spot: Spot) -> None:
    take_pen(canvas, _LEADER)
    if spot.leader is not None:
        (x0, y0), (x1, y1) = spot.leader
        draw_line(canvas, x0, y0, x1, y1)
    take_pen(canvas, _RING)
    canvas.setFillGray(1)
    canvas.circle(spot.x, spot.y, RADIUS_MM, stroke=1, fill=1)
    canvas.setFillGray(0)
    draw_words(canvas, spot.x, spot.y - 0.31 * _RING_PT * POINT_MM, str(spot.number), _RING_PT, bold=True, anchor=0.5)
