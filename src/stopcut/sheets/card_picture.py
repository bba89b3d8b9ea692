"""A letter as a bench card shows it, large: where to stab, or what to pare and which way, each cut with its number.

Stop cuts are thick lines between bars; end cuts run with an arrow from the bottom up to the surface. What is pared has
a line inside the edge that is cut, with an arrow for the way to slice (two where either will do), and a short mark
across the edge where one cut ends and the next begins. All in black: a photocopy says the same.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Final

import numpy as np
import shapely
from numpy.typing import NDArray
from reportlab.pdfgen.canvas import Canvas

from stopcut.bench.plan import Cut
from stopcut.groove.surface import Groove
from stopcut.shape.flat import flatten
from stopcut.shape.outline import Bounds
from stopcut.sheets.card_numbers import RADIUS_MM, Spot, Wanted, place_numbers
from stopcut.sheets.drawn import Pen
from stopcut.sheets.ink import draw_line, draw_outlines, take_pen
from stopcut.sheets.words import POINT_MM, draw_words

__all__ = ["CARD_PT", "draw_letter", "is_stab"]

Array = NDArray[np.float64]

CARD_PT: Final = 16.0
"""The least size of type on a bench card, to be read at arm's length. (our choice, see the house's look)"""

_ROUND_MM: Final = 14.0
"""Kept round the letter for numbers. [mm] Our choice."""
_OUTLINE, _LINES = Pen(0.35), Pen(0.15, (2.0, 1.0))
_STOP, _END, _PARE, _LEADER, _RING = Pen(1.3), Pen(0.8), Pen(0.8), Pen(0.2), Pen(0.35)
_HEAD_MM, _HEAD_HALF_MM = 3.6, 1.3
_INSET_MM: Final = 3.0
_TICK_MM: Final = 1.6
_SHORT_MM: Final = 5.0
"""A cut shorter than this on the page has an arrow's head and no line. (our choice)"""


def is_stab(cut: Cut) -> bool:
    """Whether a cut is stabbed, not pared."""
    return cut.kind in ("stop", "end")


def draw_letter(canvas: Canvas, groove: Groove, cuts: Sequence[Cut], numbers: Mapping[str, int], box: Bounds) -> float:
    """Draw a letter in a box with some of its cuts, numbered by their ids; gives how many times its size it is."""
    ink = groove.placed.bounds_mm
    scale = min((box.width - 2 * _ROUND_MM) / ink.width, (box.height - 2 * _ROUND_MM) / ink.height)
    middle = (box.left + box.right) / 2, (box.bottom + box.top) / 2
    shift = np.array([middle[0] - scale * (ink.left + ink.right) / 2, middle[1] - scale * (ink.bottom + ink.top) / 2])
    outline = groove.placed.on_board.mapped((scale, 0.0, 0.0, scale, float(shift[0]), float(shift[1])))
    take_pen(canvas, _LINES)
    for line in groove.lines:
        _polyline(canvas, scale * line.points + shift)
    take_pen(canvas, _OUTLINE)
    draw_outlines(canvas, [outline])
    lines = [np.vstack([ring, ring[:1]]) for ring in flatten(outline, 0.1).rings]
    wanted = []
    for cut in cuts:
        path = scale * cut.points[:, :2] + shift
        if is_stab(cut):
            wanted.append(_stabbed(canvas, cut, path, numbers[cut.id]))
        else:
            reach = scale * cut.points[:, 2] / math.tan(math.radians(groove.wall_deg))
            edge, path = path, _inset(path, np.minimum(_INSET_MM, 0.45 * reach))
            wanted.append(_pared(canvas, cut, edge, path, numbers[cut.id]))
        lines += [path] * (len(path) > 1)
    for spot in place_numbers(wanted, shapely.MultiLineString(lines), box):
        _ring(canvas, spot)
    return scale


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
    _polyline(canvas, line)
    for end, ahead in ((line[0], line[1]), (line[-1], line[-2])):
        _across(canvas, end, ahead - end, 1.5)
    return Wanted(number, middle, along_deg + 90.0, inside=length > 4 * RADIUS_MM)


def _pared(canvas: Canvas, cut: Cut, line: Array, inset: Array, number: int) -> Wanted:
    """line is on the outline, inset beside it within the groove."""
    middle, along_deg, length = _middle(line)
    take_pen(canvas, _PARE)
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
        _polyline(canvas, np.vstack([_at(line, where, first), inner, _at(line, where, last)]))
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


def _polyline(canvas: Canvas, line: Array) -> None:
    path = canvas.beginPath()
    path.moveTo(*line[0].tolist())
    for point in line[1:].tolist():
        path.lineTo(*point)
    canvas.drawPath(path, stroke=1, fill=0)


def _dot(canvas: Canvas, at: Array, radius: float = 1.2) -> None:
    canvas.circle(float(at[0]), float(at[1]), radius, stroke=0, fill=1)


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
