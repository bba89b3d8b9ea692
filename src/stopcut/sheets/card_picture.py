"""A letter as a bench card shows it, large: where to stab, or what to pare and which way, each cut with its number.

Stop cuts are thick lines between bars; end cuts run with an arrow from the bottom up to the surface. What is pared has
a line inside the edge that is cut, with an arrow for the way to slice (two where either will do), and a short mark
across the edge where one cut ends and the next begins. A hollow diamond stands on the edge where the way of slicing
turns. All in black: a photocopy says the same.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final, Protocol

import numpy as np
import shapely
from numpy.typing import NDArray
from reportlab.pdfgen.canvas import Canvas

from stopcut.bench.plan import Cut
from stopcut.groove.surface import Groove
from stopcut.shape.flat import flatten
from stopcut.shape.outline import Bounds, Point
from stopcut.sheets.card_numbers import RADIUS_MM, Spot, Wanted, place_numbers
from stopcut.sheets.drawn import Pen
from stopcut.sheets.ink import draw_line, draw_outlines, take_pen
from stopcut.sheets.words import POINT_MM, draw_words

__all__ = [
    "CARD_PT",
    "CutOut",
    "bounds_of",
    "draw_cut_out",
    "draw_letter",
    "draw_polyline",
    "draw_stroke",
    "is_stab",
]

Array = NDArray[np.float64]

CARD_PT: Final = 16.0
"""The least size of type on a bench card, to be read at arm's length. (our choice, see the house's look)"""

_ROUND_MM: Final = 14.0
"""Kept round the letter for numbers. [mm] Our choice."""
_LARGEST: Final = 12.0
"""Nothing is drawn larger than so many times its size. (our choice)"""
_OUTLINE, _LINES, _JOIN = Pen(0.35), Pen(0.15, (2.0, 1.0)), Pen(0.2, (0.6, 0.8))
_STOP, _END, _PARE, _LEADER, _RING = Pen(1.3), Pen(0.8), Pen(0.8), Pen(0.2), Pen(0.35)
_HEAD_MM, _HEAD_HALF_MM = 3.6, 1.3
_INSET_MM: Final = 3.0
_DIAMOND_MM: Final = 2.2
"""From the middle of a diamond to its corners. [mm] Our choice: seen from where one stands."""
_TICK_MM: Final = 1.6
_SHORT_MM: Final = 5.0
"""A cut shorter than this on the page has an arrow's head and no line. (our choice)"""


def is_stab(cut: Cut) -> bool:
    """Whether a cut is stabbed, not pared."""
    return cut.kind in ("stop", "end")


def draw_letter(
    canvas: Canvas,
    groove: Groove,
    cuts: Sequence[Cut],
    numbers: Mapping[str, int],
    box: Bounds,
    turns: Sequence[Point] = (),
) -> float:
    """Draw a letter in a box with some of its cuts, numbered by their ids; gives how many times its size it is.

    turns are the places on the board where the way of slicing turns. [mm]
    """
    place = _Placing.into(groove.placed.bounds_mm, box)
    outline = groove.placed.on_board.mapped((place.scale, 0.0, 0.0, place.scale, *place.shift))
    take_pen(canvas, _LINES)
    for line in groove.lines:
        draw_polyline(canvas, place(line.points))
    take_pen(canvas, _OUTLINE)
    draw_outlines(canvas, [outline])
    edges = [np.vstack([ring, ring[:1]]) for ring in flatten(outline, 0.1).rings]
    _draw_cuts(canvas, cuts, numbers, groove.wall_deg, place, edges, box, turns)
    return place.scale


class CutOut(Protocol):
    """One stroke cut out of its letter: its part of the outline, its joins with others and the lines within, each
    (k, 2) in mm, where the way of slicing turns, and the wall's angle."""

    @property
    def edge(self) -> tuple[Array, ...]:
        """Its part of the letter's outline."""

    @property
    def joins(self) -> tuple[Array, ...]:
        """Where it meets other strokes."""

    @property
    def lines(self) -> tuple[Array, ...]:
        """The groove's lines within it."""

    @property
    def turns(self) -> tuple[Point, ...]:
        """Where the way of slicing turns."""

    @property
    def wall_deg(self) -> float:
        """From the board's face. [degrees]"""


def draw_stroke(
    canvas: Canvas,
    stroke: CutOut,
    cuts: Sequence[Cut],
    numbers: Mapping[str, int],
    box: Bounds,
    *,
    largest: float = _LARGEST,
) -> float:
    """Draw one stroke in a box, likewise, no more than so many times its size; gives how many."""
    place = _Placing.into(bounds_of(stroke), box, largest)
    edges = draw_cut_out(canvas, stroke, place)
    turns = () if all(is_stab(cut) for cut in cuts) else stroke.turns
    _draw_cuts(canvas, cuts, numbers, stroke.wall_deg, place, edges, box, turns)
    return place.scale


def draw_cut_out(
    canvas: Canvas, stroke: CutOut, place: Callable[[Array], Array], *, outline: Pen = _OUTLINE
) -> list[Array]:
    """Draw a stroke's edge whole, its joins dotted and the lines within dashed; gives the edges as they lie."""
    for pen, lines in ((_LINES, stroke.lines), (_JOIN, stroke.joins), (outline, stroke.edge)):
        take_pen(canvas, pen)
        for line in lines:
            draw_polyline(canvas, place(line))
    return [place(line) for line in (*stroke.edge, *stroke.joins)]


def bounds_of(stroke: CutOut) -> Bounds:
    """The box round a stroke. [mm]"""
    points = np.vstack([*stroke.edge, *stroke.joins])
    (left, bottom), (right, top) = points.min(axis=0).tolist(), points.max(axis=0).tolist()
    return Bounds(left, bottom, right, top)


@dataclass(frozen=True, slots=True)
class _Placing:
    """From the board to the page. [mm]"""

    scale: float
    shift: tuple[float, float]

    @classmethod
    def into(cls, ink: Bounds, box: Bounds, largest: float = _LARGEST) -> _Placing:
        """As large as a box holds it with room for numbers, in its middle."""
        room = box.width - 2 * _ROUND_MM, box.height - 2 * _ROUND_MM
        scale = min(room[0] / max(ink.width, 1.0), room[1] / max(ink.height, 1.0), largest)
        middle = (box.left + box.right) / 2, (box.bottom + box.top) / 2
        return cls(scale, (middle[0] - scale * ink.centre[0], middle[1] - scale * ink.centre[1]))

    def __call__(self, points: Array) -> Array:
        out: Array = self.scale * points + np.array(self.shift)
        return out


def _draw_cuts(
    canvas: Canvas,
    cuts: Sequence[Cut],
    numbers: Mapping[str, int],
    wall_deg: float,
    place: _Placing,
    edges: Sequence[Array],
    box: Bounds,
    turns: Sequence[Point] = (),
) -> None:
    """The cuts themselves, and their numbers clear of the edges and of one another."""
    lines, wanted = list(edges), []
    for cut in cuts:
        path = place(cut.points[:, :2])
        if is_stab(cut):
            wanted.append(_stabbed(canvas, cut, path, numbers[cut.id]))
        else:
            reach = place.scale * cut.points[:, 2] / math.tan(math.radians(wall_deg))
            edge, path = path, _inset(path, np.minimum(_INSET_MM, 0.45 * reach))
            wanted.append(_pared(canvas, cut, edge, path, numbers[cut.id]))
        lines += [path] * (len(path) > 1)
    for turn in turns:
        at = place(np.array([turn]))[0]
        _diamond(canvas, at)
        lines.append(at + np.array([[-_DIAMOND_MM, 0.0], [_DIAMOND_MM, 0.0]]))
    for spot in place_numbers(wanted, shapely.MultiLineString(lines), box):
        _ring(canvas, spot)


def _stabbed(canvas: Canvas, cut: Cut, line: Array, number: int) -> Wanted:
    middle, along_deg, length = _middle(line)
    if cut.kind == "end":
        take_pen(canvas, _END)
        _arrow(canvas, line)
        # Beside the letter: two end cuts of one serif lie close together.
        return Wanted(number, middle, along_deg + 90.0)
    take_pen(canvas, _STOP)
    if len(line) == 1:
        _dot(canvas, line[0])
        return Wanted(number, middle, 45.0)
    draw_polyline(canvas, line)
    for end, ahead in ((line[0], line[1]), (line[-1], line[-2])):
        _across(canvas, end, ahead - end, 1.5)
    return Wanted(number, middle, along_deg + 90.0, inside=length > 4 * RADIUS_MM)


def _pared(canvas: Canvas, cut: Cut, line: Array, inset: Array, number: int) -> Wanted:
    """line is on the outline, inset beside it within the groove; a floor's is in its middle."""
    middle, along_deg, length = _middle(line)
    take_pen(canvas, _PARE)
    if cut.kind == "floor":
        _arrow(canvas, line, both=True)
        return Wanted(number, middle, along_deg + 90.0, inside=length > 4 * RADIUS_MM)
    if cut.kind == "corner":
        _dot(canvas, np.array(middle), 0.7)
    elif cut.slice == "against":
        _arrow(canvas, inset[::-1])
    else:
        _arrow(canvas, inset, both=cut.slice == "either")
    take_pen(canvas, _RING)
    for end, ahead in ((line[0], line[1]), (line[-1], line[-2])):
        _across(canvas, end, ahead - end, _TICK_MM if length > _SHORT_MM else _TICK_MM / 2)
    return Wanted(number, middle, along_deg - 90.0)


def _middle(line: Array) -> tuple[tuple[float, float], float, float]:
    """The place halfway along a line, the direction there [degrees], and the line's length."""
    if len(line) == 1:
        return (float(line[0, 0]), float(line[0, 1])), 0.0, 0.0
    where = _along(line)
    half = where[-1] / 2
    x, y = (float(np.interp(half, where, line[:, k])) for k in (0, 1))
    n = min(int(np.searchsorted(where, half, side="right")), len(line) - 1)
    step = line[n] - line[n - 1]
    return (x, y), math.degrees(math.atan2(float(step[1]), float(step[0]))), float(where[-1])


def _along(line: Array) -> Array:
    step = np.diff(line, axis=0)
    out: Array = np.concatenate([[0.0], np.cumsum(np.hypot(step[:, 0], step[:, 1]))])
    return out


def _inset(line: Array, by: Array) -> Array:
    """The line moved into the groove, which lies to its left."""
    heading = np.gradient(line, axis=0)
    length = np.maximum(np.hypot(heading[:, 0], heading[:, 1]), 1e-9)
    out: Array = line + np.column_stack([-heading[:, 1], heading[:, 0]]) / length[:, None] * by[:, None]
    return out


def _arrow(canvas: Canvas, line: Array, *, both: bool = False) -> None:
    """A line with a head at its end, or at both; the head alone where the line is short."""
    where = _along(line)
    length = float(where[-1])
    if length < 0.5:
        return
    heads = 2 if both else 1
    head = min(_HEAD_MM, 0.9 * length / heads)
    first, last = head * (heads - 1) * 0.8, length - head * 0.8
    if length > _SHORT_MM:
        inner = line[(where > first) & (where < last)]
        draw_polyline(canvas, np.vstack([_at(line, where, first), inner, _at(line, where, last)]))
    _head(canvas, line[-1], _at(line, where, length - head), head)
    if both:
        _head(canvas, line[0], _at(line, where, head), head)


def _at(line: Array, where: Array, distance: float) -> Array:
    return np.array([np.interp(distance, where, line[:, k]) for k in (0, 1)])


def _head(canvas: Canvas, tip: Array, back: Array, length: float) -> None:
    step = tip - back
    far = float(np.hypot(*step)) or 1.0
    half = max(_HEAD_HALF_MM * length / _HEAD_MM, 0.7)
    side = np.array([-step[1], step[0]]) / far * half
    path = canvas.beginPath()
    path.moveTo(*tip.tolist())
    path.lineTo(*(back + side).tolist())
    path.lineTo(*(back - side).tolist())
    path.close()
    canvas.drawPath(path, stroke=0, fill=1)


def _across(canvas: Canvas, at: Array, heading: Array, half: float) -> None:
    far = float(np.hypot(*heading))
    if far == 0:
        return
    side = np.array([-heading[1], heading[0]]) / far * half
    draw_line(canvas, *(at - side).tolist(), *(at + side).tolist())


def draw_polyline(canvas: Canvas, line: Array) -> None:
    """An open line through points (k, 2) with the pen taken. [mm]"""
    path = canvas.beginPath()
    path.moveTo(*line[0].tolist())
    for point in line[1:].tolist():
        path.lineTo(*point)
    canvas.drawPath(path, stroke=1, fill=0)


def _dot(canvas: Canvas, at: Array, radius: float = 1.2) -> None:
    canvas.circle(float(at[0]), float(at[1]), radius, stroke=0, fill=1)


def _diamond(canvas: Canvas, at: Array) -> None:
    """A hollow diamond: none of the other marks of a card is one."""
    take_pen(canvas, _RING)
    path = canvas.beginPath()
    for n, (x, y) in enumerate(((0.0, 1.0), (1.0, 0.0), (0.0, -1.0), (-1.0, 0.0))):
        (path.lineTo if n else path.moveTo)(float(at[0]) + x * _DIAMOND_MM, float(at[1]) + y * _DIAMOND_MM)
    path.close()
    canvas.setFillGray(1)
    canvas.drawPath(path, stroke=1, fill=1)
    canvas.setFillGray(0)


def _ring(canvas: Canvas, spot: Spot) -> None:
    take_pen(canvas, _LEADER)
    if spot.leader is not None:
        (x0, y0), (x1, y1) = spot.leader
        draw_line(canvas, x0, y0, x1, y1)
    take_pen(canvas, _RING)
    canvas.setFillGray(1)
    canvas.circle(spot.x, spot.y, RADIUS_MM, stroke=1, fill=1)
    canvas.setFillGray(0)
    draw_words(canvas, spot.x, spot.y - 0.31 * CARD_PT * POINT_MM, str(spot.number), CARD_PT, bold=True, anchor=0.5)
