"""Fitting: the largest cap height for a board, and what stands in the way of a larger one.

Also the smaller questions of the same kind: the height or openness at which one line would fit, and the openness that
spreads a line to a width. All are found by halving, since width grows with height and with openness.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from stopcut.setting.columns import tab_gap, tabbed
from stopcut.setting.lay import Lain, lay
from stopcut.setting.line import LineShape
from stopcut.setting.request import LineSetting, SettingRequest
from stopcut.setting.shifts import by_hand
from stopcut.setting.stack import block_height

__all__ = ["HAIR_MM", "OPENNESS", "HeightFit", "fit", "laid", "openness_for", "tallest"]

OPENNESS = (0.0, 4.0)
"""Range of openness. Asked for by the job format: 0 is as near as the wood allows, 1 normal."""

_LEAST_MM, _MOST_MM = 1.0, 2000.0
"""Cap heights looked among. The job format's largest letter is 2 m, its least 3 mm."""

HAIR_MM = 0.02
"""Overruns below this are nobody's concern. [mm] Our choice: finer than anyone can mark out."""

_STEP_MM = 0.01
"""Heights are given to this. Our choice: finer than anyone can mark out."""


@dataclass(frozen=True, slots=True)
class HeightFit:
    """The cap height found for a line of size 1. [mm] limit says what a larger one would break.

    limit is the number of the line (from 1) that would be too wide, or 0 for the height of the board. fits is False
    when not even the least height fits.
    """

    cap_height_mm: float
    limit: int
    fits: bool


def laid(
    request: SettingRequest, setting: LineSetting, shape: LineShape, cap_height_mm: float, openness: float | None = None
) -> Lain:
    """A line laid out on this board at a height, with its shifts; at another openness than its own if one is given."""
    shifts = by_hand(shape, setting.shifts, cap_height_mm)
    use = setting.openness if openness is None else openness
    return lay(setting, shape, cap_height_mm, use, request.least_wood_mm, shifts)


def fit(request: SettingRequest, shapes: Sequence[LineShape]) -> HeightFit:
    """The largest cap height for the lines that ask for one (times their sizes), margins kept by the ink."""
    high = _halved(lambda height: _too_much(request, shapes, height) is None, _LEAST_MM, _MOST_MM, _STEP_MM)
    if high is None:
        return HeightFit(_LEAST_MM, _too_much(request, shapes, _LEAST_MM) or 0, False)
    height = max(int(high / _STEP_MM + 1e-6) * _STEP_MM, _LEAST_MM)
    return HeightFit(round(height, 4), _too_much(request, shapes, height + 2 * _STEP_MM) or 0, True)


def tallest(request: SettingRequest, setting: LineSetting, shape: LineShape, more: float = 0.0) -> float | None:
    """The largest cap height at which one line keeps the margins from side to side, None if none does. [mm]

    more is what its tab is wider than a space, in cap heights.
    """
    room = request.room_mm(setting)

    def fits(height: float) -> bool:
        return _width(request, setting, shape, height) + more * height <= room

    return _halved(fits, _LEAST_MM, _MOST_MM, _STEP_MM)


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

    def fits(openness: float) -> bool:
        line = laid(request, setting, shape, cap_height_mm, openness)
        return line.box.width - (line.hang_left + line.hang_right if edge else 0.0) <= room

    return _halved(fits, *OPENNESS, 1e-7)


def _too_much(request: SettingRequest, shapes: Sequence[LineShape], height: float) -> int | None:
    """Which line is too wide at this height, 0 if the board is not high enough, None if all fits."""
    lines = []
    for number, (setting, shape) in enumerate(zip(request.lines, shapes, strict=True), 1):
        given = setting.cap_height_mm
        try:
            line = laid(request, setting, shape, height * setting.size if given is None else given)
        except ValueError:
            return number
        if given is None and _beyond(line, request) > 0:
            return number  # before the others are laid out, and before its tab makes it wider
        lines.append(line)
    lines = tabbed(lines, request)
    for number, line in enumerate(lines, 1):
        if line.setting.cap_height_mm is None and _beyond(line, request) > 0:
            return number
    return 0 if block_height(lines, request) > request.height_mm - 2 * request.margin_mm else None


def _beyond(line: Lain, request: SettingRequest) -> float:
    """How much wider a line's ink is than its room; of one with a tab, what the eye sees as its width. [mm]"""
    seen = line.box.width if tab_gap(line) is None else line.box.width - line.hang_left - line.hang_right - HAIR_MM
    return seen - request.room_mm(line.setting)


def _width(request: SettingRequest, setting: LineSetting, shape: LineShape, height: float) -> float:
    try:
        return laid(request, setting, shape, height).box.width
    except ValueError:
        return float("inf")


def _halved(fits: Callable[[float], bool], low: float, high: float, step: float) -> float | None:
    """The largest value that fits, to a step, if smaller ones fit too; None if low does not."""
    if not fits(low):
        return None
    if fits(high):
        return high
    while high - low > step / 4:
        middle = (low + high) / 2
        low, high = (middle, high) if fits(middle) else (low, middle)
    return low
