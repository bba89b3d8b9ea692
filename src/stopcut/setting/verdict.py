"""What the carver should know of a setting, as findings: what does not fit and what would, and grooves too near."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from stopcut.errors import Finding, Severity, Where
from stopcut.setting.fit import openness_for, tallest
from stopcut.setting.lay import Lain
from stopcut.setting.request import SettingRequest
from stopcut.setting.set_board import SetLine
from stopcut.setting.stack import block_height
from stopcut.setting.wood import wood_between

__all__ = ["does_not_fit", "fitted", "lines_too_near", "spread", "too_near"]

_HAIR_MM = 0.02
"""Overruns below this are nobody's concern. [mm] Our choice: finer than anyone can mark out."""

_TIGHTEST = 0.5
"""An openness below this is not proposed. Our choice: tight, and still readable."""


def does_not_fit(request: SettingRequest, lines: Sequence[Lain], placed: Sequence[SetLine]) -> tuple[Finding, ...]:
    """A finding for every line wider than the board between its margins, and one if all are too high together."""
    room_mm = request.width_mm - 2 * request.margin_mm
    out = []
    for line, spot in zip(lines, placed, strict=True):
        over = line.box.width - line.hang_left - line.hang_right - room_mm
        if line.setting.align == "centre":
            over = line.box.width - room_mm
        if over > _HAIR_MM:
            out.append(_too_wide(request, line, spot, over))
    height = block_height(lines, request.least_wood_mm)
    over = height - (request.height_mm - 2 * request.margin_mm)
    if over > _HAIR_MM:
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
        if over > _HAIR_MM:
            out.append(
                Finding(
                    "does-not-fit",
                    Severity.STOP,
                    f"The drop of line {spot.number} takes it {over:.1f} mm over the margin.",
                    f"Drop it {abs(line.setting.drop_mm) - over:.1f} mm at most, or make the board higher.",
                    Where(line=spot.number, y_mm=spot.baseline_y_mm),
                )
            )
    return tuple(out)


def _too_wide(request: SettingRequest, line: Lain, spot: SetLine, over_mm: float) -> Finding:
    off = spot.ink_left_mm < 0 or spot.ink_right_mm > request.width_mm
    says = f"Line {spot.number} is {over_mm:.1f} mm too wide for the board between its margins"
    ways = []
    height = tallest(request, line.setting, line.shape)
    if height is not None and height < line.cap_height_mm:
        ways.append(f"cap height {_floored(height)} mm")
    ways.append(f"a board {math.ceil(request.width_mm + over_mm)} mm wide")
    openness = openness_for(request, line.setting, line.shape, line.cap_height_mm, edge=False)
    if openness is not None and openness >= _TIGHTEST:
        ways.append(f"openness {math.floor(openness * 100) / 100:g}")
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
        heights = " and ".join(f"{_floored(line.cap_height_mm * share)}" for line in lines)
        ways.append(f"cap height{'s' if len(lines) > 1 else ''} {heights} mm")
    ways.append(f"a board {math.ceil(request.height_mm + over_mm)} mm high")
    if len(lines) > 1:
        ways.append("a smaller line gap")
    what = "The lines together are" if len(lines) > 1 else "The line is"
    return Finding(
        "does-not-fit",
        Severity.STOP,
        f"{what} {over_mm:.1f} mm too high for the board between its margins"
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
        f"The largest cap height that keeps the margins is {cap_height_mm:g} mm; {what} limits it.",
        f"For larger letters give more {'width' if limit else 'height'}, or less margin.",
        Where(line=limit or None),
    )


def spread(request: SettingRequest, line: Lain, openness: float | None, number: int) -> Finding:
    """What spreading a line to the margins came to."""
    room = request.width_mm - 2 * request.margin_mm
    width = line.box.width - line.hang_left - line.hang_right
    if openness is None or abs(width - room) > _HAIR_MM:
        return Finding(
            "cannot-spread",
            Severity.LOOK,
            f"Line {number} cannot be spread to the margins by openness alone: it is {width:.1f} mm wide "
            f"of {room:.1f} mm at openness {line.openness:.3g}.",
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


def too_near(line: Lain, number: int, spot: SetLine, wood_mm: float) -> tuple[Finding, ...]:
    """Pairs that a shift by hand has brought nearer than the wood can stand."""
    out = []
    unit = line.mm_per_em * line.shape.cap_height / 1000
    for reading, letter in enumerate(spot.letters):
        if letter.shift_mm >= 0 or letter.gap_after_mm is None:
            continue
        place = line.shape.gap_after(reading)
        assert place is not None
        left, right = line.shape.profiles[place], line.shape.profiles[place + 1]
        wood = wood_between(left, right, letter.gap_after_mm / unit, wood_mm / unit) * unit
        if wood < wood_mm - _HAIR_MM:
            pair = letter.placed.char + spot.letters[reading + 1].placed.char
            touch = "touch" if wood <= 0 else f"have only {wood:.1f} mm of wood between them"
            out.append(
                Finding(
                    "thin-wood",
                    Severity.LOOK,
                    f"The grooves of “{pair}” {touch} in line {number}, by the shift of {letter.shift_mm:.1f} mm.",
                    f"Shift them less, or know that wood under {wood_mm:g} mm may break out.",
                    Where(number, reading + 1, (letter.right_mm), spot.baseline_y_mm),
                )
            )
    return tuple(out)


def lines_too_near(lines: Sequence[Lain], placed: Sequence[SetLine], wood_mm: float) -> tuple[Finding, ...]:
    """Neighbouring lines whose letters' boxes come nearer than the wood can stand."""
    out = []
    boxes = [_boxes(line, spot) for line, spot in zip(lines, placed, strict=True)]
    for (upper, lower), (above, below) in zip(pairwise(placed), pairwise(boxes), strict=True):
        if _meet(above, below, wood_mm - _HAIR_MM):
            out.append(
                Finding(
                    "lines-touch",
                    Severity.LOOK,
                    f"Letters of lines {upper.number} and {lower.number} come nearer than {wood_mm:g} mm, or touch.",
                    "Give the line gap more, or the drop less.",
                    Where(line=lower.number, y_mm=lower.baseline_y_mm),
                )
            )
    return tuple(out)


def _boxes(line: Lain, placed: SetLine) -> NDArray[np.float64]:
    """The boxes of a line's letters on the board, (letters, 4): left, bottom, right, top. [mm]"""
    move = np.array([placed.ink_left_mm, placed.baseline_y_mm] * 2)
    boxes: NDArray[np.float64] = np.array([(s.box.left, s.box.bottom, s.box.right, s.box.top) for s in line.spots])
    moved: NDArray[np.float64] = boxes + move
    return moved


def _meet(some: NDArray[np.float64], others: NDArray[np.float64], wood_mm: float) -> bool:
    """Whether any box of one line comes nearer than this to any of the other."""
    a, b = some[:, None], others[None]
    apart = np.maximum(np.maximum(a[..., :2] - b[..., 2:], b[..., :2] - a[..., 2:]), 0.0)
    return bool((np.hypot(apart[..., 0], apart[..., 1]) < wood_mm).any())


def _floored(height_mm: float) -> str:
    return f"{math.floor(height_mm * 10) / 10:g}"
