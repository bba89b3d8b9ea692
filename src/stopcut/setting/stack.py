"""Lines one above the other: even light between them, and the whole in the middle of the board.

The light between two lines is judged as that between letters: not from ink to ink at the nearest point, but by how far
the ink stands back on the whole, so that a line of small letters under capitals comes up a little, and one with many
tails above it goes down. A skyline is the ink's upper (or lower) edge, column by column, relaxed by a cone; on an arc
it is seen from the centre, and the distance of the two lines follows the arc (rails).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

import numpy as np

from stopcut.arrays import Array, Indices
from stopcut.setting.columns import leads_right, rows, tab_gap
from stopcut.setting.lay import Lain
from stopcut.setting.profile import ROW, Profile
from stopcut.setting.rails import even_gap, least_gap
from stopcut.setting.request import SettingRequest

__all__ = ["LINE_LIGHT", "block_height", "gap_above", "ink_left", "stacked"]


LINE_LIGHT = 0.9
"""Even light between two lines, in parts of their mean cap height. Gill: about the letter height, or pretty close; the
Trajan inscription has about two thirds from baseline to heads. Our choice between the two: lines of capitals come out
0.8 of their height apart, since their own light takes about a tenth."""

_RECESS = 400.0
"""Ink is judged to stand back no further than this. [1/1000 cap height] Our choice: some more than x-height leaves."""


def gap_above(upper: Lain, lower: Lain, request: SettingRequest) -> float:
    """From the upper line's baseline to the lower's cap height so that the light is even. [mm]

    Never so little that tails and heads touch. Where a line stands on an arc both are taken at its own middle.
    """
    setting, wood_mm = lower.setting, request.least_wood_mm
    if setting.line_gap_mm is not None:
        return setting.line_gap_mm
    light = LINE_LIGHT * (upper.cap_height_mm + lower.cap_height_mm) / 2 * setting.line_gap
    light -= _recess(upper, top=False) + _recess(lower, top=True)
    if upper.bend or lower.bend:
        lefts = (ink_left(upper, request), ink_left(lower, request))
        return even_gap(upper, lower, lefts, light, least_gap(upper, lower, lefts, wood_mm))
    nearest = max(-upper.box.bottom, 0.0) + max(lower.box.top - lower.cap_height_mm, 0.0) + wood_mm
    return max(light, nearest)


def ink_left(line: Lain, request: SettingRequest) -> float:
    """Where the line's ink begins from the board's left edge, its optical edges aligned. [mm]"""
    begin, end = request.room(line.setting)
    width, align = line.box.width, line.setting.align
    if tab_gap(line) is not None:
        align = "right" if leads_right(line) else "left"
    if align in ("left", "spread"):
        return begin - line.hang_left
    if align == "right":
        return end - width + line.hang_right
    left = (begin + end - width) / 2
    # The line is centred by what the eye takes for its edges, but never pushed out of a margin that its ink keeps.
    slack = max(left - begin, 0.0)
    lean = (line.hang_right - line.hang_left) / 2
    return left + max(-slack, min(slack, lean))


def stacked(lines: Sequence[Lain], request: SettingRequest) -> tuple[float, ...]:
    """The lines' baselines from the board's lower edge, the whole block of ink in the middle of the board. [mm]

    drop_mm moves its own line afterwards and no other.
    """
    baselines = _hung(lines, request)
    top, bottom = _extent(lines, baselines)
    lift = (request.height_mm - top - bottom) / 2
    return tuple(y + lift - line.setting.drop_mm for y, line in zip(baselines, lines, strict=True))


def block_height(lines: Sequence[Lain], request: SettingRequest) -> float:
    """Height of the ink of all lines together. [mm]"""
    top, bottom = _extent(lines, _hung(lines, request))
    return top - bottom


def _hung(lines: Sequence[Lain], request: SettingRequest) -> list[float]:
    """Baselines with the first at 0. Lines of a list stand at one distance, column beside column."""
    levels = rows(lines)
    down = [0.0] + [_step(lines, upper, lower, request) for upper, lower in pairwise(levels)]
    blocks = [None if (entry := lines[level[0]].setting.entry) is None else entry.block for level in levels]
    steps: dict[int, float] = {}
    for block, before, step in zip(blocks[1:], blocks, down[1:], strict=False):
        if block is not None and block == before:
            steps[block] = max(steps.get(block, 0.0), step)
    baselines = [0.0] * len(lines)
    for number, level in enumerate(levels[1:], 1):
        block = blocks[number]
        step = steps[block] if block is not None and block == blocks[number - 1] else down[number]
        above = baselines[levels[number - 1][0]]
        for place in level:
            step = max(step, _past_arcs(lines, place, baselines, above, request))
        for place in level:
            baselines[place] = above - step
    return baselines


def _step(lines: Sequence[Lain], upper: Sequence[int], lower: Sequence[int], request: SettingRequest) -> float:
    """From one level's baseline to the next one's: what the most wanting of the lines one over the other asks for."""
    steps = [
        gap_above(lines[over], lines[under], request) + lines[under].cap_height_mm
        for over in upper
        for under in lower
        if _over(lines[over], lines[under], request)
    ]
    return max(steps)


def _over(upper: Lain, lower: Lain, request: SettingRequest) -> bool:
    (left, right), (begin, end) = request.room(upper.setting), request.room(lower.setting)
    return left < end and begin < right


def _past_arcs(
    lines: Sequence[Lain], place: int, baselines: Sequence[float], above: float, request: SettingRequest
) -> float:
    """The step that a line needs below arcs whose ends reach past the line beside them to it. [mm]"""
    lower = lines[place]
    if lower.setting.line_gap_mm is not None:
        return 0.0
    wanted = [
        gap_above(upper, lower, request) - (baseline - above) + lower.cap_height_mm
        for upper, baseline in zip(lines[: max(place - 1, 0)], baselines, strict=False)
        if upper.bend or lower.bend
    ]
    return max(wanted, default=0.0)


def _extent(lines: Sequence[Lain], baselines: Sequence[float]) -> tuple[float, float]:
    tops = [y + line.box.top for y, line in zip(baselines, lines, strict=True)]
    bottoms = [y + line.box.bottom for y, line in zip(baselines, lines, strict=True)]
    return max(tops), min(bottoms)


@dataclass(frozen=True, eq=False)
class _Skyline:
    """The columns of all letters of a line: which letter's, their numbers from its origin, lowest and highest ink."""

    letter: Indices
    column: Indices
    low: Array
    high: Array


@lru_cache(maxsize=1024)
def _skyline(rows: tuple[Profile, ...]) -> _Skyline:
    counts = [len(shape.columns[1]) for shape in rows]
    return _Skyline(
        np.repeat(np.arange(len(rows)), counts),
        np.concatenate([shape.columns[0] + np.arange(count) for shape, count in zip(rows, counts, strict=True)]),
        np.concatenate([shape.columns[1] for shape in rows]),
        np.concatenate([shape.columns[2] for shape in rows]),
    )


@lru_cache(maxsize=64)
def _recess(line: Lain, *, top: bool) -> float:
    """How far the ink stands back on average from cap height (or baseline), negative if it goes beyond. [mm]"""
    unit = line.unit_mm
    level = line.cap_height_mm / unit
    skyline = _skyline(line.rows)
    starts = np.rint(line.along_mm / unit / ROW).astype(np.intp)
    places = starts[skyline.letter] + skyline.column
    places -= places.min()
    depth = np.full(int(places.max()) + 1, np.inf)
    np.minimum.at(depth, places, level - skyline.high if top else skyline.low)
    ramp = np.arange(len(depth)) * ROW
    depth = np.minimum(
        np.minimum.accumulate(depth - ramp) + ramp,
        np.minimum.accumulate((depth + ramp)[::-1])[::-1] - ramp,
    )
    return float(np.minimum(depth, _RECESS).mean()) * unit
