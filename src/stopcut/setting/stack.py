"""Lines one above the other: even light between them, and the whole in the middle of the board.

The light between two lines is judged as that between letters: not from ink to ink at the nearest point, but by how far
the ink stands back on the whole, so that a line of small letters under capitals comes up a little, and one with many
tails above it goes down. A skyline is the ink's upper (or lower) edge, column by column, relaxed by a cone.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from stopcut.setting.lay import Lain
from stopcut.setting.profile import ROW
from stopcut.setting.request import SettingRequest

__all__ = ["LINE_LIGHT", "block_height", "gap_above", "stacked"]

Array = NDArray[np.float64]

LINE_LIGHT = 0.9
"""Even light between two lines, in parts of their mean cap height. Gill: about the letter height, or pretty close; the
Trajan inscription has about two thirds from baseline to heads. Our choice between the two: lines of capitals come out
0.8 of their height apart, since their own light takes about a tenth."""

_RECESS = 400.0
"""Ink is judged to stand back no further than this. [1/1000 cap height] Our choice: some more than x-height leaves."""


def gap_above(upper: Lain, lower: Lain, wood_mm: float) -> float:
    """From the upper line's baseline to the lower's cap height so that the light is even. [mm]

    Never so little that tails and heads touch. On arcs the boxes of the ink stand for the skylines.
    """
    setting = lower.setting
    if setting.line_gap_mm is not None:
        return setting.line_gap_mm
    light = LINE_LIGHT * (upper.cap_height_mm + lower.cap_height_mm) / 2 * setting.line_gap
    below, above = _recess(upper, top=False), _recess(lower, top=True)
    nearest = max(-upper.box.bottom, 0.0) + max(lower.box.top - lower.cap_height_mm, 0.0) + wood_mm
    if upper.setting.arc or lower.setting.arc:
        nearest = -upper.box.bottom + lower.box.top - lower.cap_height_mm + wood_mm
        return max(light - upper.box.bottom + lower.box.top - lower.cap_height_mm, nearest)
    return max(light - below - above, nearest)


def stacked(lines: Sequence[Lain], request: SettingRequest) -> tuple[float, ...]:
    """The lines' baselines from the board's lower edge, the whole block of ink in the middle of the board. [mm]

    drop_mm moves its own line afterwards and no other.
    """
    baselines = _hung(lines, request.least_wood_mm)
    top, bottom = _extent(lines, baselines)
    lift = (request.height_mm - top - bottom) / 2
    return tuple(y + lift - line.setting.drop_mm for y, line in zip(baselines, lines, strict=True))


def block_height(lines: Sequence[Lain], wood_mm: float) -> float:
    """Height of the ink of all lines together. [mm]"""
    top, bottom = _extent(lines, _hung(lines, wood_mm))
    return top - bottom


def _hung(lines: Sequence[Lain], wood_mm: float) -> list[float]:
    """Baselines with the first at 0."""
    baselines = [0.0]
    for upper, lower in pairwise(lines):
        baselines.append(baselines[-1] - gap_above(upper, lower, wood_mm) - lower.cap_height_mm)
    return baselines


def _extent(lines: Sequence[Lain], baselines: Sequence[float]) -> tuple[float, float]:
    tops = [y + line.box.top for y, line in zip(baselines, lines, strict=True)]
    bottoms = [y + line.box.bottom for y, line in zip(baselines, lines, strict=True)]
    return max(tops), min(bottoms)


def _recess(line: Lain, *, top: bool) -> float:
    """How far the ink stands back on average from cap height (or baseline), negative if it goes beyond. [mm]"""
    unit = line.mm_per_em * line.shape.cap_height / 1000
    level = line.cap_height_mm / unit
    count = int(line.box.width / unit / ROW) + 3
    depth = np.full(count, np.inf)
    for shape, spot in zip(line.shape.profiles, line.spots, strict=True):
        first, low, high = shape.columns
        at = round(spot.x_mm / unit / ROW) + first
        back = level - high if top else low
        start, end = max(at, 0), min(at + len(back), count)
        depth[start:end] = np.minimum(depth[start:end], back[start - at : end - at])
    inked = np.flatnonzero(np.isfinite(depth))
    depth = depth[inked[0] : inked[-1] + 1]
    ramp = np.arange(len(depth)) * ROW
    depth = np.minimum(
        np.minimum.accumulate(depth - ramp) + ramp,
        np.minimum.accumulate((depth + ramp)[::-1])[::-1] - ramp,
    )
    return float(np.minimum(depth, _RECESS).mean()) * unit
