"""Fitting: the largest cap height for a board, and what stands in the way of a larger one.

Also the smaller questions of the same kind: the height or openness at which one line would fit, and the openness that
spreads a line to a width. Width grows with height and with openness, and nearly in a straight line: see `largest`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from stopcut.setting.columns import tab_gap, tabbed, tabs_apart
from stopcut.setting.drawn_in import draw_in
from stopcut.setting.largest import largest
from stopcut.setting.lay import Lain, laid
from stopcut.setting.line import LineShape
from stopcut.setting.request import LineSetting, SettingRequest
from stopcut.setting.stack import block_height

__all__ = ["HAIR_MM", "OPENNESS", "HeightFit", "fit", "openness_for", "tallest"]

OPENNESS = (0.0, 4.0)
"""Range of openness. Asked for by the job format: 0 is as near as the wood allows, 1 normal."""

_LEAST_MM = 1.0
_HEIGHTS = (_LEAST_MM, 2000.0)
"""Cap heights looked among. The job format's largest letter is 2 m, its least 3 mm."""

HAIR_MM = 0.02
"""Overruns below this are nobody's concern. [mm] Our choice: finer than anyone can mark out."""

_STEP_MM = 0.01
"""Heights are given to this. Our choice: finer than anyone can mark out."""

_OPENNESS_STEP = 1e-7
"""Openness is found to this. Our choice: a line of a metre is spread to less than a hair."""


@dataclass(frozen=True, slots=True)
class HeightFit:
    """The cap height found for a line of size 1. [mm] limit says what a larger one would break.

    limit is the number of the line (from 1) that would be too wide, or 0 for the height of the board. fits is False
    when not even the least height fits.
    """

    cap_height_mm: float
    limit: int
    fits: bool


def fit(request: SettingRequest, shapes: Sequence[LineShape]) -> HeightFit:
    """The largest cap height for the lines that ask for one (times their sizes), margins kept by the ink."""
    first = min(
        (_height_by_width(request, s, shape) / s.size for s, shape in _fitted(request, shapes)), default=_LEAST_MM
    )
    high = largest(lambda height: _too_much(request, shapes, height)[0], _HEIGHTS, _STEP_MM, first, _in_proportion)
    if high is None:
        return HeightFit(_LEAST_MM, _too_much(request, shapes, _LEAST_MM)[1], False)
    height = max(int(high / _STEP_MM + 1e-6) * _STEP_MM, _LEAST_MM)
    return HeightFit(round(height, 4), _too_much(request, shapes, height + 2 * _STEP_MM)[1], True)


def tallest(request: SettingRequest, setting: LineSetting, shape: LineShape, more: float = 0.0) -> float | None:
    """The largest cap height at which one line keeps the margins from side to side, None if none does. [mm]

    more is what its tab is wider than a space, in cap heights.
    """
    room = request.room_mm(setting)

    def over(height: float) -> float:
        return (_width(request, setting, shape, height) + more * height) / room - 1

    return largest(over, _HEIGHTS, _STEP_MM, _height_by_width(request, setting, shape), _in_proportion)


def openness_for(
    request: SettingRequest,
    setting: LineSetting,
    shape: LineShape,
    cap_height_mm: float,
    *,
    edge: bool,
    more_mm: float = 0.0,
) -> float | None:
    """The largest openness at which a line keeps the margins, None if none does; 4 if even that does.

    With edge the line's optical edges keep them (a round or pointed letter may hang over), else its ink. more_mm is
    what its tab is wider than a space.
    """
    room = request.room_mm(setting) - more_mm

    def over(openness: float) -> float:
        line = laid(request, setting, shape, cap_height_mm, openness)
        return line.box.width - (line.hang_left + line.hang_right if edge else 0.0) - room

    unit = cap_height_mm / setting.height_em * shape.cap_height / 1000
    grows = float((shape.lights * np.where(shape.lights > 1, shape.word_space, 1.0)).sum()) * shape.manner.light * unit

    def towards(openness: float, over_mm: float) -> float:
        return openness - over_mm / max(grows, unit)

    return largest(over, OPENNESS, _OPENNESS_STEP, setting.openness, towards)


def _fitted(request: SettingRequest, shapes: Sequence[LineShape]) -> list[tuple[LineSetting, LineShape]]:
    return [
        (setting, shape) for setting, shape in zip(request.lines, shapes, strict=True) if setting.cap_height_mm is None
    ]


def _height_by_width(request: SettingRequest, setting: LineSetting, shape: LineShape) -> float:
    """About the cap height at which the line would fill its room, were it straight and no wood to be left. [mm]"""
    unit = shape.cap_height / setting.height_em / 1000
    gaps = shape.gaps(1000 / shape.cap_height, setting.openness, -1.0).model
    width = (float(shape.widths.sum()) + float(gaps.sum())) * unit
    return request.room_mm(setting) / width if width > 0 else _LEAST_MM


def _in_proportion(height: float, over: float) -> float:
    """Where a board that is over by this share of its room would just fit, were all in proportion to the height."""
    return height / (1 + over) if over > -1 else 2 * height


def _too_much(request: SettingRequest, shapes: Sequence[LineShape], height: float) -> tuple[float, int]:
    """How much too wide or too high all is at a height, in parts of the room there is, at most 0 if all fits.

    And what is too much: the first line that is too wide, else 0, the height of the board.
    """
    lines = []
    for number, (setting, shape) in enumerate(zip(request.lines, shapes, strict=True), 1):
        given = setting.cap_height_mm
        try:
            lines.append(laid(request, setting, shape, height * setting.size if given is None else given))
        except ValueError:
            return math.inf, number
    lines, tight = draw_in(lines, request)
    wide = [
        # Of a line that is drawn in and fits, what is left until it no longer would, drawn in as far as it may be.
        over if (over := _beyond(line, request)) > 0 else _beyond(least, request)
        for line, least in zip(tabs_apart(lines), tabs_apart(tight), strict=True)
    ]
    wide = [
        over / request.room_mm(line.setting) if line.setting.cap_height_mm is None else -1.0
        for over, line in zip(wide, lines, strict=True)
    ]
    room = request.height_mm - 2 * request.margin_mm
    high = block_height(tabbed(lines, request), request) / room - 1
    return max(high, *wide), next((number for number, over in enumerate(wide, 1) if over > 0), 0)


def _beyond(line: Lain, request: SettingRequest) -> float:
    """How much wider a line's ink is than its room; of one with a tab, what the eye sees as its width. [mm]"""
    seen = line.box.width if tab_gap(line) is None else line.box.width - line.hang_left - line.hang_right - HAIR_MM
    return seen - request.room_mm(line.setting)


def _width(request: SettingRequest, setting: LineSetting, shape: LineShape, height: float) -> float:
    try:
        return laid(request, setting, shape, height).box.width
    except ValueError:
        return float("inf")
