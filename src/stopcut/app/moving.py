"""A letter pushed on the board: which gaps open and close for it, and how the job is to say so."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass

from stopcut.job.edit_values import At, SetShift
from stopcut.job.job import Job, Shift
from stopcut.setting.set_board import SetBoard, SetLine

__all__ = [
    "Gap",
    "MovedGap",
    "all_gaps",
    "gaps_moved",
    "gaps_of_letter",
    "shift_to",
    "shifts_after",
    "shifts_gone",
]

LEAST_SHARE = 0.002
"""A shift smaller than this is none. [% of the cap height] Our choice: a micrometre at 60 mm, what rounding leaves."""


@dataclass(frozen=True, slots=True)
class Gap:
    """A gap between two letters of a word: the line's nth such pair, the model's gap and the shift by hand. [mm]

    first is the index of the letter before it in reading order; leftwards says that the next one stands to its left.
    """

    line: int
    pair: str
    nth: int
    first: int
    first_char: str
    then_char: str
    model_mm: float
    shift_mm: float
    leftwards: bool


@dataclass(frozen=True, slots=True)
class MovedGap:
    """By how much a gap is to open, in % of the cap height; cap_height_mm is what it is now."""

    line: int
    pair: str
    nth: int
    by_pct: float
    cap_height_mm: float


def gaps_of_letter(board: SetBoard, key: str) -> tuple[Gap, ...]:
    """The gaps before and after a letter ("1:3"), those there are: the one before it first."""
    line, index = _line_and_index(board, key)
    if line is None:
        return ()
    return tuple(gap for gap in _gaps(line) if gap.first in (index - 1, index))


def gaps_moved(board: SetBoard, key: str, dx_mm: float, follows: bool) -> tuple[MovedGap, ...]:
    """How gaps change for a letter that is pushed dx_mm to the right.

    Alone, what one gap gains the other loses; with those after it (follows) only the gap before it changes.
    """
    line, index = _line_and_index(board, key)
    if line is None:
        return ()
    moved = []
    for gap in _gaps(line):
        before = gap.first == index - 1
        if not before and (follows or gap.first != index):
            continue
        way = (1 if before else -1) * (-1 if gap.leftwards else 1)
        by_pct = 100 * way * dx_mm / line.cap_height_mm
        moved.append(MovedGap(gap.line, gap.pair, gap.nth, by_pct, line.cap_height_mm))
    return tuple(moved)


def shifts_after(job: Job, moved: Sequence[MovedGap]) -> list[SetShift]:
    """The edits that add changes to the shifts that a job has: the newest one, since others may have pushed meanwhile.

    Shifts are written in % of the cap height, so that they grow with the letters; one that comes to nothing goes.
    """
    edits = []
    for one in moved:
        line = next((line for line in job.lines if line.number == one.line), None)
        if line is None:
            continue
        now = sum(
            100 * shift.mm(one.cap_height_mm) / one.cap_height_mm
            for shift in line.shifts
            if (unicodedata.normalize("NFC", shift.pair), shift.nth) == (one.pair, one.nth)
        )
        share = now + one.by_pct
        by = None if abs(share) < LEAST_SHARE else f"{share:.3f} %"
        edits.append(SetShift(At("line", line.number, line.words), one.pair, one.nth, by))
    return edits


def shift_to(job: Job, gap: Gap, shift_mm: float, cap_height_mm: float) -> list[SetShift]:
    """The edit that sets a gap's shift to so many millimetres, written in % of the cap height; none where its line is
    gone."""
    line = next((line for line in job.lines if line.number == gap.line), None)
    if line is None:
        return []
    share = 100 * shift_mm / cap_height_mm
    by = None if abs(share) < LEAST_SHARE else f"{share:.2f} %"
    return [SetShift(At("line", line.number, line.words), gap.pair, gap.nth, by)]


def shifts_gone(board: SetBoard, job: Job) -> tuple[tuple[int, Shift], ...]:
    """Shifts whose pair their line no longer has, each with the line's number."""
    there = {(gap.line, unicodedata.normalize("NFC", gap.pair), gap.nth) for gap in all_gaps(board)}
    return tuple(
        (line.number, shift)
        for line in job.lines
        for shift in line.shifts
        if (line.number, unicodedata.normalize("NFC", shift.pair), shift.nth) not in there
    )


def all_gaps(board: SetBoard) -> tuple[Gap, ...]:
    """Every gap within a word, line by line in reading order."""
    return tuple(gap for line in board.lines for gap in _gaps(line))


def _gaps(line: SetLine) -> list[Gap]:
    found = []
    for letter, follower in zip(line.letters, line.letters[1:], strict=False):
        if letter.model_gap_mm is None or letter.pair is None:
            continue
        leftwards = follower.placed.x_mm < letter.placed.x_mm and not letter.placed.turn_deg
        found.append(
            Gap(
                line.number,
                letter.pair.letters,
                letter.pair.nth,
                letter.placed.index,
                letter.placed.called,
                follower.placed.called,
                letter.model_gap_mm,
                letter.shift_mm,
                leftwards,
            )
        )
    return found


def _line_and_index(board: SetBoard, key: str) -> tuple[SetLine | None, int]:
    number, index = (int(part) for part in key.split(":"))
    return next((line for line in board.lines if line.number == number), None), index
