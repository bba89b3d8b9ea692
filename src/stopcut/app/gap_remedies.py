"""What would mend gaps that are too narrow, as presses: a gap as worked out again, or so much wider; a shift that moves
nothing taken out."""

from __future__ import annotations

import math
from collections.abc import Iterator

from stopcut.app.moving import Gap, all_gaps, shift_to, shifts_gone
from stopcut.app.remedy import Remedy
from stopcut.groove.finding_words import listed
from stopcut.job.edit_values import At, Edit, SetShift
from stopcut.job.job import Job
from stopcut.setting.set_board import SetBoard
from stopcut.setting.shifts import pair_called
from stopcut.units import MM_PER_INCH, Units, format_length
from stopcut.work import Cause

__all__ = ["gap_remedies"]

GRID_MM: dict[Units, float] = {"mm": 0.1, "in": MM_PER_INCH / 64}
"""Gaps are opened by multiples of this. [mm] Our choice: what can be seen with a rule and a glass."""

MOST_NAMED = 3
"""Pairs that a press names. Our choice: more are counted, not read."""


def gap_remedies(cause: Cause, job: Job, setting: SetBoard) -> Iterator[Remedy]:
    """The presses of a cause that is a matter of gaps; none for any other."""
    if cause.code == "shift-without-pair":
        yield from _without_pair(cause, job, setting)
        return
    gaps = _gaps(cause, setting)
    by_hand = [gap for gap, _ in gaps if gap.shift_mm < 0]
    wider = [(gap, mm) for gap, mm in gaps if gap not in by_hand and mm > 0]
    if by_hand:
        edits = tuple(edit for gap in by_hand for edit in shift_to(job, gap, 0.0, 1.0))
        yield Remedy(f"{_named(by_hand)} as worked out", edits)
    if wider:
        grid = GRID_MM[job.units]
        opened = [(gap, math.ceil(mm / grid - 1e-9) * grid) for gap, mm in wider]
        most = format_length(max(mm for _, mm in opened), job.units, finest=64)
        yield Remedy(f"{_named([gap for gap, _ in opened])} wider by {most}", tuple(_opened(opened, job, setting)))


def _gaps(cause: Cause, setting: SetBoard) -> list[tuple[Gap, float]]:
    """The gaps of a cause, each with how much wider would do: of neighbours in a word alone, which shifts may part."""
    wants: dict[tuple[int, int], float] = {}
    for line, one, other, mm in cause.gaps:
        key = (line, min(one, other))
        if abs(one - other) == 1:
            wants[key] = max(mm, wants.get(key, 0.0))
    return [(gap, wants[gap.line, gap.first]) for gap in all_gaps(setting) if (gap.line, gap.first) in wants]


def _opened(gaps: list[tuple[Gap, float]], job: Job, setting: SetBoard) -> Iterator[Edit]:
    heights = {line.number: line.cap_height_mm for line in setting.lines}
    for gap, mm in gaps:
        yield from shift_to(job, gap, gap.shift_mm + mm, heights[gap.line])


def _without_pair(cause: Cause, job: Job, setting: SetBoard) -> Iterator[Remedy]:
    for number, shift in shifts_gone(setting, job):
        if number in cause.lines and f"has no {pair_called(shift)}," in cause.says:
            at = At("line", number, job.lines[number - 1].words)
            yield Remedy("Take it out", (SetShift(at, shift.pair, shift.nth, None),))


def _named(gaps: list[Gap]) -> str:
    if len(gaps) > MOST_NAMED:
        return f"{len(gaps)} gaps"
    return listed([f"{gap.first_char}{gap.then_char}" for gap in gaps])
