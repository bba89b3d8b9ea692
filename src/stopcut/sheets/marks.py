"""The marks of the bench: how what is stabbed and what is pared is drawn, in black alone.

What is stabbed is drawn whole and heavy: a stop cut as a thick line between bars, a rolled end as a line with a full
arrow's head from the bottom up to the corner. What is pared is dashed and light, inside the edge that is cut, with open
arrow's heads the way to slice (two that point apart where either way will do), and a short mark across the edge where a
cut ends. A double line is a middle to take out first, a dot a point to clean, a hollow diamond a place where the way of
slicing turns. A photocopy says the same.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from reportlab.pdfgen.canvas import Canvas

from stopcut.arrays import Array
from stopcut.bench.plan import Slice
from stopcut.sheets.drawn import Pen
from stopcut.sheets.ink import draw_line, take_pen

__all__ = [
    "DIAMOND_MM",
    "along",
    "draw_polyline",
    "middle_of",
    "shifted",
    "stamp_end",
    "stamp_floor",
    "stamp_point",
    "stamp_relief",
    "stamp_slice",
    "stamp_stop",
    "stamp_turn",
]


_STOP, _BAR, _END = Pen(1.2), Pen(0.5), Pen(0.7)
_PARE, _HEAD, _TICK, _RELIEF, _RIM = Pen(0.4, (2.4, 1.2)), Pen(0.4), Pen(0.3), Pen(0.3), Pen(0.35)
_HEAD_MM, _HEAD_HALF_MM = 3.4, 1.25
_BAR_MM: Final = 1.6
"""Half a bar at the end of a stop cut. [mm] Our choice."""
_TICK_MM: Final = 1.6
_DOT_MM: Final = 1.0
_APART_MM: Final = 0.9
"""Half of what a relief's two lines are apart. [mm] Our choice."""
_SHORT_MM: Final = 5.0
"""A cut shorter than this on the page has an arrow's head and no line. (our choice)"""
_LONG_MM: Final = 18.0
"""A line longer than this has its arrow's heads at a third and two thirds of it. (our choice)"""
DIAMOND_MM: Final = 2.2
"""From the middle of a diamond to its corners. [mm] Our choice: seen from where one stands."""


def stamp_stop(canvas: Canvas, line: Array, size: float = 1.0) -> None:
    """A stop cut along a line (k, 2); a single place is a dot. [mm] size makes this and the other marks finer."""
    if len(line) == 1:
        stamp_point(canvas, line[0], size)
        return
    _take(canvas, _STOP, size)
    draw_polyline(canvas, line)
    _take(canvas, _BAR, size)
    for end, ahead in ((line[0], line[1]), (line[-1], line[-2])):
        _across(canvas, end, ahead - end, size * _BAR_MM)


def stamp_end(canvas: Canvas, line: Array, size: float = 1.0) -> None:
    """An end rolled out along a line (k, 2), from the bottom up to the corner. [mm]"""
    where = along(line)
    length = float(where[-1])
    if length < 0.5:
        return
    head = min(size * _HEAD_MM, 0.9 * length)
    _take(canvas, _END, size)
    if length > 0.6 * _SHORT_MM:
        inner = line[where < length - head * 0.8]
        draw_polyline(canvas, np.vstack([inner, _at(line, where, length - head * 0.8)]))
    _full_head(canvas, line[-1], _at(line, where, length - head), head)


def stamp_slice(canvas: Canvas, edge: Array, inset: Array, way: Slice | None, size: float = 1.0) -> None:
    """A pared edge (k, 2), drawn along its inset, with the way to slice along the points. [mm]"""
    length = float(along(edge)[-1])
    path = inset[::-1] if way == "against" else inset
    _open_arrow(canvas, path, size, both=way == "either")
    _take(canvas, _TICK, size)
    for end, ahead in ((edge[0], edge[1]), (edge[-1], edge[-2])):
        _across(canvas, end, ahead - end, size * (_TICK_MM if length > _SHORT_MM else _TICK_MM / 2))


def stamp_floor(canvas: Canvas, line: Array, size: float = 1.0) -> None:
    """A flat bottom pared along its middle (k, 2). [mm]"""
    _open_arrow(canvas, line, size, both=True)


def stamp_relief(canvas: Canvas, line: Array, size: float = 1.0) -> None:
    """A middle to take out along a line (k, 2), as two lines. [mm]"""
    _take(canvas, _RELIEF, size)
    for side in (-_APART_MM, _APART_MM):
        draw_polyline(canvas, shifted(line, np.full(len(line), size * side)))


def stamp_point(canvas: Canvas, at: Array, size: float = 1.0) -> None:
    """A point to clean. [mm]"""
    canvas.circle(float(at[0]), float(at[1]), size * _DOT_MM, stroke=0, fill=1)


def stamp_turn(canvas: Canvas, at: Array, size: float = 1.0) -> None:
    """A hollow diamond, where the way of slicing turns: none of the other marks is one. [mm]"""
    _take(canvas, _RIM, size)
    path = canvas.beginPath()
    reach = size * DIAMOND_MM
    for n, (x, y) in enumerate(((0.0, 1.0), (1.0, 0.0), (0.0, -1.0), (-1.0, 0.0))):
        (path.lineTo if n else path.moveTo)(float(at[0]) + x * reach, float(at[1]) + y * reach)
    path.close()
    canvas.setFillGray(1)
    canvas.drawPath(path, stroke=1, fill=1)
    canvas.setFillGray(0)


def draw_polyline(canvas: Canvas, line: Array) -> None:
    """An open line through points (k, 2) with the pen taken. [mm]"""
    path = canvas.beginPath()
    path.moveTo(*line[0].tolist())
    for point in line[1:].tolist():
        path.lineTo(*point)
    canvas.drawPath(path, stroke=1, fill=0)


def along(line: Array) -> Array:
    """How far along a line (k, 2) each of its points is (k,). [mm]"""
    step = np.diff(line, axis=0)
    out: Array = np.concatenate([[0.0], np.cumsum(np.hypot(step[:, 0], step[:, 1]))])
    return out


def middle_of(line: Array) -> tuple[tuple[float, float], float, float]:
    """The place halfway along a line (k, 2), the direction there [degrees], and the line's length. [mm]"""
    if len(line) == 1:
        return (float(line[0, 0]), float(line[0, 1])), 0.0, 0.0
    where = along(line)
    half = where[-1] / 2
    x, y = (float(np.interp(half, where, line[:, k])) for k in (0, 1))
    n = min(int(np.searchsorted(where, half, side="right")), len(line) - 1)
    step = line[n] - line[n - 1]
    return (x, y), float(np.degrees(np.arctan2(step[1], step[0]))), float(where[-1])


def shifted(line: Array, by: Array) -> Array:
    """A line (k, 2) moved to its left by so much at each point (k,). [mm]"""
    if len(line) < 2:
        return line
    heading = np.gradient(line, axis=0)
    length = np.maximum(np.hypot(heading[:, 0], heading[:, 1]), 1e-9)
    out: Array = line + np.column_stack([-heading[:, 1], heading[:, 0]]) / length[:, None] * by[:, None]
    return out


def _take(canvas: Canvas, pen: Pen, size: float) -> None:
    """Draw with a pen of a mark that size."""
    take_pen(canvas, pen if size == 1 else Pen(size * pen.weight_mm, tuple(size * dash for dash in pen.dash_mm)))


def _open_arrow(canvas: Canvas, line: Array, size: float, *, both: bool = False) -> None:
    """A dashed line with an open head at its end, or at both; the head alone where the line is short."""
    where = along(line)
    length = float(where[-1])
    if length < 0.5:
        return
    head = min(size * _HEAD_MM, 0.9 * length / (2 if both else 1))
    if length > _SHORT_MM:
        _take(canvas, _PARE, size)
        draw_polyline(canvas, line)
    _take(canvas, _HEAD, size)
    # On a long line heads stand within it, where the ends of other lines do not crowd them.
    near, far = (length / 3, 2 * length / 3) if length > _LONG_MM else (0.0, length)
    _open_head(canvas, _at(line, where, far), _at(line, where, far - head), head)
    if both:
        _open_head(canvas, _at(line, where, near), _at(line, where, near + head), head)
    elif length > _LONG_MM:
        _open_head(canvas, _at(line, where, near), _at(line, where, near - head), head)


def _at(line: Array, where: Array, distance: float) -> Array:
    return np.array([np.interp(distance, where, line[:, k]) for k in (0, 1)])


def _head_sides(tip: Array, back: Array, length: float) -> tuple[list[float], list[float]]:
    step = tip - back
    far = float(np.hypot(*step)) or 1.0
    half = max(_HEAD_HALF_MM * length / _HEAD_MM, 0.6)
    side = np.array([-step[1], step[0]]) / far * half
    return (back + side).tolist(), (back - side).tolist()


def _full_head(canvas: Canvas, tip: Array, back: Array, length: float) -> None:
    path = canvas.beginPath()
    path.moveTo(*tip.tolist())
    for corner in _head_sides(tip, back, length):
        path.lineTo(*corner)
    path.close()
    canvas.drawPath(path, stroke=0, fill=1)


def _open_head(canvas: Canvas, tip: Array, back: Array, length: float) -> None:
    for corner in _head_sides(tip, back, length):
        draw_line(canvas, *tip.tolist(), *corner)


def _across(canvas: Canvas, at: Array, heading: Array, half: float) -> None:
    far = float(np.hypot(*heading))
    if far == 0:
        return
    side = np.array([-heading[1], heading[0]]) / far * half
    draw_line(canvas, *(at - side).tolist(), *(at + side).tolist())
