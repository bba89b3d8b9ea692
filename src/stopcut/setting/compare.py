"""The same words with other gaps, to compare the setting with: every letter's ink the same way apart, or gaps given.

Nothing is shaped or fitted again. Letters of a board already set are moved along their own line, straight or on its
arc, and only that; the arc itself is read off how they stand.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import combinations, pairwise
from typing import Literal

import numpy as np

from stopcut.arrays import Array
from stopcut.setting.set_board import SetBoard, SetLetter, SetLine

__all__ = ["Anchor", "equal_gaps", "respaced"]

Anchor = Literal["left", "middle", "right"]

LEAST_TURN_DEG = 1e-6
"""Letters turned less than this from each other stand on a straight line. Our choice: 0.02 μm over a metre."""


@dataclass(frozen=True, slots=True)
class _Circle:
    """The circle that a line stands on: centre and radius, heads 1 where letters point away from it, −1 towards it.

    middle is its radius at mid cap height, along which gaps are measured. [mm]
    """

    x: float
    y: float
    radius: float
    heads: int
    middle: float


def equal_gaps(board: SetBoard) -> SetBoard:
    """The board with every line's letters evenly apart, ink to ink: what measuring by a rule alone would give.

    A line begins and ends where it did and keeps its spaces between words; the room between the letters of its words
    is shared out in equal parts. On an arc gaps are measured along its circle at mid cap height. Findings are left out,
    as they speak of the board as set.
    """
    return SetBoard(tuple(_evened(line) for line in board.lines))


def respaced(line: SetLine, gaps_mm: Sequence[float], keep: Anchor = "middle") -> SetLine:
    """The line with these gaps between the ink of its letters, as they stand from left to right (letters − 1,). [mm]

    The gap between two words is their space. keep says what of the line's ink stays where it is; on an arc that is its
    middle along the circle in any case. Gaps within words become the letters' model_gap_mm, with no shift by hand.
    """
    order = _from_left(line)
    circle = _circle(line)
    gaps = np.array(gaps_mm, dtype=float)
    moved = _straight(order, gaps, keep) if circle is None else _round(order, gaps, circle)
    where = {letter.placed.index: place for place, letter in enumerate(order)}
    letters = []
    for reading, letter in enumerate(line.letters):
        place, model = where[letter.placed.index], letter.model_gap_mm
        if model is not None:
            model = float(gaps[min(place, where[line.letters[reading + 1].placed.index])])
        letters.append(replace(moved[place], model_gap_mm=model, shift_mm=0.0))
    left, right = min(letter.left_mm for letter in letters), max(letter.right_mm for letter in letters)
    return replace(line, ink_left_mm=left, ink_right_mm=right, letters=tuple(letters))


def _evened(line: SetLine) -> SetLine:
    order = _from_left(line)
    gaps = _gaps(order, _circle(line))
    within = np.array([a.word == b.word for a, b in pairwise(order)], dtype=bool)
    if not within.any():
        return respaced(line, gaps.tolist())
    return respaced(line, np.where(within, gaps[within].mean(), gaps).tolist())


def _from_left(line: SetLine) -> list[SetLetter]:
    """The letters as they stand from left to right, on an arc as one reads along it."""
    circle = _circle(line)
    if circle is None:
        return sorted(line.letters, key=lambda letter: letter.left_mm)
    return sorted(line.letters, key=lambda letter: -circle.heads * letter.placed.turn_deg)


def _widths(order: Sequence[SetLetter]) -> Array:
    """Ink widths of the upright letters. [mm]"""
    return np.array([letter.placed.outline.bounds.width * letter.placed.scale for letter in order])


def _gaps(order: Sequence[SetLetter], circle: _Circle | None) -> Array:
    """The gaps between letters from left to right (letters − 1,). [mm]"""
    if circle is None:
        return np.array([b.left_mm - a.right_mm for a, b in pairwise(order)])
    middles = np.array([-circle.heads * math.radians(letter.placed.turn_deg) for letter in order])
    covered = _covered(order, circle)
    gaps: Array = (np.diff(middles) - (covered[:-1] + covered[1:]) / 2) * circle.middle
    return gaps


def _covered(order: Sequence[SetLetter], circle: _Circle) -> Array:
    """The angle that each letter covers on the circle at mid cap height. [radians]"""
    covered: Array = 2 * np.arctan(_widths(order) / 2 / circle.middle)
    return covered


def _straight(order: Sequence[SetLetter], gaps: Array, keep: Anchor) -> list[SetLetter]:
    widths = np.array([letter.right_mm - letter.left_mm for letter in order])
    lefts = np.concatenate([[0.0], np.cumsum(widths[:-1] + gaps)])
    rights = lefts + widths
    old = (min(letter.left_mm for letter in order), max(letter.right_mm for letter in order))
    move = {
        "left": old[0] - lefts.min(),
        "middle": (old[0] + old[1] - lefts.min() - rights.max()) / 2,
        "right": old[1] - rights.max(),
    }[keep]
    return [_moved(letter, float(left + move - letter.left_mm)) for letter, left in zip(order, lefts, strict=True)]


def _moved(letter: SetLetter, dx: float) -> SetLetter:
    placed = replace(letter.placed, x_mm=letter.placed.x_mm + dx)
    return replace(letter, placed=placed, left_mm=letter.left_mm + dx, right_mm=letter.right_mm + dx)


def _round(order: Sequence[SetLetter], gaps: Array, circle: _Circle) -> list[SetLetter]:
    """The letters with these gaps along their circle, about the middle that they had."""
    covered = _covered(order, circle)
    steps = (covered[:-1] + covered[1:]) / 2
    angles = np.concatenate([[0.0], np.cumsum(steps + gaps / circle.middle)])
    first, last = (-circle.heads * math.radians(order[end].placed.turn_deg) for end in (0, -1))
    ends = (covered[-1] - covered[0]) / 2
    angles += (first + last + ends) / 2 - (angles[0] + angles[-1] + ends) / 2
    return [_stood(letter, angle, circle) for letter, angle in zip(order, angles.tolist(), strict=True)]


def _stood(letter: SetLetter, angle: float, circle: _Circle) -> SetLetter:
    """The letter at an angle from the circle's top (or, bent down, its bottom). [radians]"""
    turn = -circle.heads * angle
    x = circle.x + circle.radius * math.sin(angle)
    y = circle.y + circle.heads * circle.radius * math.cos(angle)
    centre = letter.placed.outline.bounds.centre[0] * letter.placed.scale
    placed = replace(
        letter.placed,
        x_mm=x - centre * math.cos(turn),
        y_mm=y - centre * math.sin(turn),
        turn_deg=math.degrees(turn),
    )
    return replace(letter, placed=placed, left_mm=placed.bounds_mm.left, right_mm=placed.bounds_mm.right)


def _circle(line: SetLine) -> _Circle | None:
    """The circle that the letters stand on by the middles of their feet; None for a straight line.

    Two feet are a chord apart, 2r·sin(Δ/2) for letters turned by Δ from each other.
    """
    turns = [math.radians(letter.placed.turn_deg) for letter in line.letters]
    pairs = combinations(range(len(turns)), 2)
    a, b = max(pairs, key=lambda pair: abs(math.sin((turns[pair[1]] - turns[pair[0]]) / 2)), default=(0, 0))
    half = math.sin((turns[b] - turns[a]) / 2)
    if abs(half) < math.radians(LEAST_TURN_DEG) / 2:
        return None
    (xa, ya), (xb, yb) = (_foot(line.letters[i]) for i in (a, b))
    radius = math.hypot(xb - xa, yb - ya) / 2 / abs(half)
    # Heads away from the centre: the circle lies below the feet, along the letter's own down.
    heads = min(
        (1, -1),
        key=lambda heads: math.hypot(
            xb - xa + heads * radius * (math.sin(turns[b]) - math.sin(turns[a])),
            yb - ya - heads * radius * (math.cos(turns[b]) - math.cos(turns[a])),
        ),
    )
    x, y = xa + heads * radius * math.sin(turns[a]), ya - heads * radius * math.cos(turns[a])
    return _Circle(x, y, radius, heads, radius + heads * line.cap_height_mm / 2)


def _foot(letter: SetLetter) -> tuple[float, float]:
    """Where the middle of the letter's ink stands on the baseline. [mm]"""
    return letter.placed.point_mm((letter.placed.outline.bounds.centre[0], 0.0))
