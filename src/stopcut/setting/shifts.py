"""Shifts by hand: which gap of a line each belongs to, and what to say of those whose pair is gone."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence

import numpy as np

from stopcut.arrays import Array
from stopcut.errors import Finding, Severity, Where
from stopcut.job.job import Shift
from stopcut.job.pairs import Pair
from stopcut.setting.line import LineShape

__all__ = ["by_hand", "gap_of", "pair_called", "shifts_without_pair"]


def gap_of(shape: LineShape, pair: str, nth: int) -> int | None:
    """The gap, in visual order, at the line's nth such pair (from 1, in reading order); None where there is none.

    pair is two neighbouring letters of one word as it is written, each a whole letter with its marks; beside a ligature
    it is that one's outer letter and its neighbour.
    """
    return shape.gap_called.get(Pair(unicodedata.normalize("NFC", pair), nth))


def by_hand(shape: LineShape, shifts: Sequence[Shift], cap_height_mm: float) -> Array:
    """All shifts of a line, gap by gap in visual order (letters − 1,). [mm] Two shifts of one pair add up."""
    out = np.zeros(max(len(shape.letters) - 1, 0))
    for shift in shifts:
        gap = gap_of(shape, shift.pair, shift.nth)
        if gap is not None:
            out[gap] += shift.mm(cap_height_mm)
    return out


def shifts_without_pair(shape: LineShape, shifts: Sequence[Shift], line: int) -> tuple[Finding, ...]:
    """A finding for every shift whose pair the line does not have."""
    return tuple(
        Finding(
            "shift-without-pair",
            Severity.LOOK,
            f"Line {line} has no {pair_called(shift)}, so the shift by hand there moves nothing.",
            "Give the shift its new pair or number, or take it out.",
            Where(line=line),
        )
        for shift in shifts
        if gap_of(shape, shift.pair, shift.nth) is None
    )


def pair_called(shift: Shift) -> str:
    """The pair that a shift names, as one says it: "second pair “RO”"."""
    ordinal = {1: "", 2: "second ", 3: "third "}.get(shift.nth, f"{shift.nth}th ")
    return f"{ordinal}pair “{shift.pair}”"
