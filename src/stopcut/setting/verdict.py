"""What the carver should know of a setting, as findings: what does not fit and what would, how far it was stretched."""

from __future__ import annotations

import math
from collections.abc import Sequence

from stopcut.errors import Finding, Severity, Where
from stopcut.setting.columns import tab_gap
from stopcut.setting.drawn_in import TIGHTEST
from stopcut.setting.fitting import HAIR_MM, openness_for, tallest
from stopcut.setting.lay import Lain
from stopcut.setting.request import SettingRequest
from stopcut.setting.set_board import SetLine
from stopcut.setting.stack import block_height
from stopcut.units import MM_PER_INCH, Units, format_length

__all__ = ["DRAWING_IN", "does_not_fit", "fitted", "spread"]

_GRID_MM: dict[Units, float] = {"mm": 0.1, "in": MM_PER_INCH / 32}
"""Proposed heights are multiples of this. [mm] Our choice: what a rule can be read to."""
_BOARD_GRID_MM: dict[Units, float] = {"mm": 1.0, "in": MM_PER_INCH / 16}
"""Proposed boards are multiples of this. [mm] Our choice: what a board is sawn to."""

DRAWING_IN = "drawing it in"
"""How that is called among the ways to make a name of a list fit."""


def does_not_fit(request: SettingRequest, lines: Sequence[Lain], placed: Sequence[SetLine]) -> tuple[Finding, ...]:
    """A finding for every line wider than the board between its margins, and one if all are too high together."""
    out = []
    for line, spot in zip(lines, placed, strict=True):
        room_mm = request.room_mm(line.setting)
        over = line.box.width - line.hang_left - line.hang_right - room_mm
        if line.setting.align == "centre" and tab_gap(line) is None:
            over = line.box.width - room_mm
        if over > HAIR_MM:
            out.append(_too_wide(request, line, spot, over))
    height = block_height(lines, request)
    over = height - (request.height_mm - 2 * request.margin_mm)
    if over > HAIR_MM:
        out.append(_too_high(request, lines, height, over))
    return (*out, *_dropped_out(request, lines, placed))


def _dropped_out(request: SettingRequest, lines: Sequence[Lain], placed: Sequence[SetLine]) -> tuple[Finding, ...]:
    """A finding for every line that its drop has taken over the margin."""
    out = []
    for line, spot in zip(lines, placed, strict=True):
        if not line.setting.drop_mm:
            continue
        below = request.margin_mm - (spot.baseline_y_mm + line.box.bottom)
        above = spot.baseline_y_mm + line.box.top - (request.height_mm - request.margin_mm)
        over = max(below, above)
        if over > HAIR_MM:
            out.append(
                Finding(
                    "does-not-fit",
                    Severity.STOP,
                    f"The drop of line {spot.number} takes it {format_length(over, request.units)} over the margin.",
                    f"Drop it {_floored(abs(line.setting.drop_mm) - over, request.units)} at most, "
                    "or make the board higher.",
                    Where(line=spot.number, y_mm=spot.baseline_y_mm),
                )
            )
    return tuple(out)


def _too_wide(request: SettingRequest, line: Lain, spot: SetLine, over_mm: float) -> Finding:
    off = spot.ink_left_mm < 0 or spot.ink_right_mm > request.width_mm
    entry = line.setting.entry
    columns = 1 if entry is None else entry.columns
    where = "its column" if columns > 1 else "the board between its margins"
    says = f"Line {spot.number} is {format_length(over_mm, request.units)} too wide for {where}"
    ways = []
    height = tallest(request, line.setting, line.shape, line.tab_mm / line.cap_height_mm)
    if height is not None and height < line.cap_height_mm:
        ways.append(f"cap height {_floored(height, request.units)}")
    ways.append(f"a board {_ceiled(request.width_mm + over_mm * columns, request.units)} wide")
    if columns > 1:
        ways.append("fewer columns")
    openness = openness_for(request, line.setting, line.shape, line.cap_height_mm, edge=False, more_mm=line.tab_mm)
    if openness is not None and openness >= TIGHTEST:
        by = f"openness {math.floor(openness * 100) / 100:g}"
        ways.append(by if entry is None or line.setting.draw_in else f"{DRAWING_IN} ({by})")
    return Finding(
        "does-not-fit",
        Severity.STOP,
        says + (", and runs off the board." if off else "."),
        f"What would do: {', or '.join(ways)}.",
        Where(line=spot.number, x_mm=request.width_mm - request.margin_mm, y_mm=spot.baseline_y_mm),
    )


def _too_high(request: SettingRequest, lines: Sequence[Lain], height_mm: float, over_mm: float) -> Finding:
    off = height_mm > request.height_mm
    share = (height_mm - over_mm) / height_mm
    ways = []
    if share > 0:
        heights = " and ".join(_floored(line.cap_height_mm * share, request.units) for line in lines)
        ways.append(f"cap height{'s' if len(lines) > 1 else ''} {heights}")
    ways.append(f"a board {_ceiled(request.height_mm + over_mm, request.units)} high")
    if len(lines) > 1:
        ways.append("a smaller line gap")
    what = "The lines together are" if len(lines) > 1 else "The line is"
    return Finding(
        "does-not-fit",
        Severity.STOP,
        f"{what} {format_length(over_mm, request.units)} too high for the board between its margins"
        + (", and run off the board." if off and len(lines) > 1 else ", and runs off the board." if off else "."),
        f"What would do: {', or '.join(ways)}.",
        Where(x_mm=request.width_mm / 2, y_mm=request.margin_mm),
    )


def fitted(request: SettingRequest, cap_height_mm: float, limit: int, fits: bool) -> Finding:
    """What a fit came to, and what limits it (a line's number, or 0 for the board's height)."""
    what = f"the width of line {limit}" if limit else "the height of the board"
    if not fits:
        return Finding(
            "does-not-fit",
            Severity.STOP,
            f"No cap height fits the board between its margins: {what} is in the way.",
            "Make the board larger, its margin smaller, or the other lines smaller.",
            Where(line=limit or None),
        )
    return Finding(
        "fit-limit",
        Severity.NOTE,
        f"The largest cap height that keeps the margins is {format_length(cap_height_mm, request.units)}; "
        f"{what} limits it.",
        f"For larger letters give more {'width' if limit else 'height'}, or less margin.",
        Where(line=limit or None),
    )


def spread(request: SettingRequest, line: Lain, openness: float | None, number: int) -> Finding:
    """What spreading a line to the margins came to."""
    room = request.room_mm(line.setting)
    width = line.box.width - line.hang_left - line.hang_right
    if openness is None or abs(width - room) > HAIR_MM:
        return Finding(
            "cannot-spread",
            Severity.LOOK,
            f"Line {number} cannot be spread to the margins by openness alone: "
            f"it is {format_length(width, request.units)} wide "
            f"of {format_length(room, request.units)} at openness {line.openness:.3g}.",
            "Change its cap height, or align it left, centre or right.",
            Where(line=number),
        )
    return Finding(
        "spread-openness",
        Severity.NOTE,
        f"Line {number} is spread to the margins: openness {openness:.3f} (it asked for {line.setting.openness:g}).",
        "Choose another cap height to come nearer to the openness wished for.",
        Where(line=number),
    )


def _floored(mm: float, units: Units) -> str:
    """A length, and no more than it, on the grid that people measure by."""
    grid = _GRID_MM[units]
    return format_length(math.floor(mm / grid) * grid, units)


def _ceiled(mm: float, units: Units) -> str:
    """A length, and no less than it, in whole millimetres or sixteenths of an inch."""
    grid = _BOARD_GRID_MM[units]
    return format_length(math.ceil(mm / grid) * grid, units)
