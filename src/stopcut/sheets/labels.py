"""Labels on the pattern: a small number at each letter, its line's number, the word "grain", what to keep clear of.

A label tries a few places round what it names and takes the first where no outline and no other label is in its way.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from stopcut.arrays import Array
from stopcut.job.job import Avoid, Board
from stopcut.setting.set_board import SetLine
from stopcut.shape.outline import Bounds
from stopcut.shape.placed import Placed
from stopcut.sheets.drawn import Layer, PenStroke, foot_of, grain_arrow
from stopcut.sheets.words import POINT_MM, SMALL_PT, width_mm
from stopcut.work import Work

__all__ = ["FIGURE_HEIGHT", "PatternLabel", "labels"]

CLEAR_MM = 0.8
"""Least white between a label and a line. (our choice: a pencil's point)"""

FIGURE_HEIGHT = 0.641
"""Height of the sheets' lining figures and capitals over the size of type. (the face's own OS/2 table)"""

_SOLID = ("outline", "reference-line", "margin", "grain", "avoid", "centre-mark")
"""What a label keeps clear of. The lines of a groove lie within its outline."""

_REACH_MM = 0.5
"""Longest step between the points that a line is looked at by; below CLEAR_MM, so that none slips through."""


@dataclass(frozen=True, slots=True)
class PatternLabel:
    """A few words on the pattern: where their baseline starts, and the box they take. [mm on the board]"""

    text: str
    x_mm: float
    y_mm: float
    bounds: Bounds


def labels(work: Work, drawn: Sequence[Layer]) -> tuple[PatternLabel, ...]:
    """All labels of a pattern with these layers. One that has no clear place is left out, not printed over a line."""
    taken = _Occupied(work.job.board, drawn)
    placed = []
    for line in work.setting.lines:
        own = [letter.placed for letter in line.letters if letter.placed.outline]
        placed += [taken.put(str(letter.index), _letter_places(letter)) for letter in own]
        placed.append(taken.put(f"line {line.number}", _line_places(line)))
    placed.append(taken.put("grain", _grain_places(work)))
    placed += [taken.put(avoid.what, _avoid_places(avoid)) for avoid in work.job.avoid]
    return tuple(label for label in placed if label)


def _letter_places(letter: Placed) -> Iterator[tuple[float, float]]:
    """Middles for a letter's number: under its reference line, under its ink, above it, inside it, then beside it."""
    drop = _height() / 2 + 1.5 * CLEAR_MM
    ink = letter.bounds_mm
    (x, y), (ux, uy) = foot_of(letter)
    yield x - drop * ux, y - drop * uy
    yield ink.centre[0], ink.bottom - drop
    for further in (1.6, 2.2):
        yield x - further * drop * ux, y - further * drop * uy
    for aside in (ink.width / 4, -ink.width / 4):
        yield x - drop * ux + aside * uy, y - drop * uy - aside * ux
    yield ink.centre[0], ink.top + drop
    yield ink.centre
    yield ink.right + drop, y + drop
    yield ink.left - drop, y + drop


def _line_places(line: SetLine) -> Iterator[tuple[float, float]]:
    """Middles for "line 1": on the reference line's left, then its right, above it and below."""
    half = width_mm(f"line {line.number}", SMALL_PT) / 2
    rise = _height() / 2 + 1.5 * CLEAR_MM
    for away in (6.0, 2.0):
        for y in (line.baseline_y_mm + rise, line.baseline_y_mm - rise):
            yield line.ink_left_mm - away - half, y
            yield line.ink_right_mm + away + half, y


def _avoid_places(avoid: Avoid) -> Iterator[tuple[float, float]]:
    """Middles for what is to be kept clear of: in the middle of it, or over it or under it."""
    reach = avoid.radius_mm if avoid.radius_mm is not None else (avoid.height_mm or 0.0) / 2
    drop = reach + _height() / 2 + 1.5 * CLEAR_MM
    for aside in (0.0, drop, -drop):
        yield avoid.x_mm, avoid.y_mm + aside


def _grain_places(work: Work) -> Iterator[tuple[float, float]]:
    """Middles for "grain": past the arrow's head, then over it."""
    boxes = [stroke.bounds for stroke in grain_arrow(work)]
    arrow = boxes[0]
    half = width_mm("grain", SMALL_PT) / 2
    for box in boxes[1:]:
        arrow = arrow.union(box)
    yield arrow.right + 1.5 + half, arrow.centre[1] if work.job.board.grain == "width" else arrow.bottom + 2
    yield arrow.centre[0], arrow.top + _height()


class _Occupied:
    """What is on the board already: points along every outline, reference lines, and the labels put so far."""

    def __init__(self, board: Board, drawn: Sequence[Layer]) -> None:
        self._board = Bounds(0, 0, board.width_mm, board.height_mm)
        solid = [stroke for layer in drawn if layer.name in _SOLID for stroke in layer.strokes]
        self._points = np.concatenate([np.empty((0, 2)), *(_points(stroke) for stroke in solid)])
        self._boxes: list[Bounds] = []

    def put(self, text: str, middles: Iterator[tuple[float, float]]) -> PatternLabel | None:
        """The label at the first middle where it is clear of everything, and clear of what comes after it."""
        width, height = width_mm(text, SMALL_PT), _height()
        for x, y in middles:
            box = Bounds(x - width / 2, y - height / 2, x + width / 2, y + height / 2)
            if self._is_clear(box):
                self._boxes.append(box)
                return PatternLabel(text, box.left, box.bottom, box)
        return None

    def _is_clear(self, box: Bounds) -> bool:
        white = box.grown(CLEAR_MM)
        if not self._board.holds(white) or any(white.meets(other) for other in self._boxes):
            return False
        x, y = self._points[:, 0], self._points[:, 1]
        return not bool(((white.left < x) & (x < white.right) & (white.bottom < y) & (y < white.top)).any())


def _points(stroke: PenStroke) -> Array:
    """Points along a stroke, no further apart than _REACH_MM."""
    found = [np.empty((0, 2))]
    for run in stroke.runs:
        for segment in run:
            control = np.asarray(segment, dtype=float)
            steps = np.diff(control, axis=0)
            count = max(1, math.ceil(float(np.hypot(steps[:, 0], steps[:, 1]).sum()) / _REACH_MM))
            t = np.linspace(0, 1, count, endpoint=False)[:, None]
            degree = len(control) - 1
            found.append(
                sum(math.comb(degree, i) * t**i * (1 - t) ** (degree - i) * control[i] for i in range(degree + 1))
            )
    return np.concatenate(found)


def _height() -> float:
    return SMALL_PT * POINT_MM * FIGURE_HEIGHT
