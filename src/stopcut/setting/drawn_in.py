"""Names too long for their column, drawn in where the carver consents: their letters stand tighter, as little as does.

Nothing else of the list changes: the letters keep their size, and lines that have room their light.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeAlias

from stopcut.errors import Finding, Severity, Where
from stopcut.setting.columns import parts, tab_gap
from stopcut.setting.largest import largest
from stopcut.setting.lay import Lain, laid
from stopcut.setting.request import SettingRequest

__all__ = ["TIGHTEST", "draw_in", "drawn_in_notes"]

TIGHTEST = 0.5
"""No line is set tighter than at this openness. Our choice: tight, and still readable."""

_STEP = 1e-4
"""Openness is found to a quarter of this. Our choice: a line of a metre moves by less than a hair."""


_Beside: TypeAlias = dict[int, tuple[int, float]]


def draw_in(lines: Sequence[Lain], request: SettingRequest) -> tuple[list[Lain], list[Lain]]:
    """The lines of lists with those that are too long and may be so drawn in, down to TIGHTEST; and the same with each
    of those at TIGHTEST, as narrow as it may become."""
    drawn, tight = list(lines), list(lines)
    beside = _beside(lines)
    for place, line in enumerate(lines):
        entry = line.setting.entry
        may = line.setting.draw_in and entry is not None and line.bend is None and line.openness > TIGHTEST
        if not may or _over(line, request, beside) <= 0:
            continue

        drawn[place], tight[place] = _drawn(line, request, beside)
    return drawn, tight


def _drawn(line: Lain, request: SettingRequest, beside: _Beside) -> tuple[Lain, Lain]:
    """A line that is too long, drawn in as little as does, and as far as it may be."""

    def set_at(openness: float) -> Lain:
        return laid(request, line.setting, line.shape, line.cap_height_mm, openness)

    def over(openness: float) -> float:
        return _over(set_at(openness), request, beside)

    def towards(openness: float, over_mm: float) -> float:
        return openness - over_mm / steep

    most = line.openness
    steep = max(over(most) - over(TIGHTEST), 1e-9) / (most - TIGHTEST)
    found = largest(over, (TIGHTEST, most), _STEP, towards(most, over(most)), towards)
    tight = set_at(TIGHTEST)
    return tight if found is None else set_at(found), tight


def drawn_in_notes(lines: Sequence[Lain], before: Sequence[Lain], numbers: Sequence[int]) -> tuple[Finding, ...]:
    """What is to be said of lines that were drawn in; before are the lines as they were."""
    return tuple(
        Finding(
            "drawn-in",
            Severity.NOTE,
            f"Line {number} is drawn in to its column: openness {line.openness:.2f} (it asked for {was.openness:g}).",
            "Smaller letters, a wider board or fewer columns would leave it its own light.",
            Where(line=number),
        )
        for number, line, was in zip(numbers, lines, before, strict=True)
        if line.openness != was.openness
    )


def _over(line: Lain, request: SettingRequest, beside: _Beside) -> float:
    """How much wider than its room a line is, its tab as wide as it must be. [mm]"""
    room, entry = request.room_mm(line.setting), line.setting.entry
    if tab_gap(line) is None or entry is None:
        return line.box.width - room
    both = parts(line)
    if entry.stop:
        names, other = beside[entry.block]
        return both[names] + other - room
    return sum(both) - room


def _beside(lines: Sequence[Lain]) -> _Beside:
    """Of each list with a stop: which of its two parts are the names, those that differ more, and how wide the other
    is at most."""
    found: dict[int, list[tuple[float, float]]] = {}
    for line in lines:
        entry = line.setting.entry
        if entry is not None and entry.stop and tab_gap(line) is not None:
            found.setdefault(entry.block, []).append(parts(line))
    out = {}
    for block, both in found.items():
        first, second = zip(*both, strict=True)
        names = 0 if max(first) - min(first) > max(second) - min(second) else 1
        out[block] = (names, max(first if names else second))
    return out
