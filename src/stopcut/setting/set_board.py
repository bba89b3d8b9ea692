"""The set-out board as values: where every letter stands."""

from __future__ import annotations

from dataclasses import dataclass

from stopcut.errors import Finding
from stopcut.job.pairs import Pair
from stopcut.shape.placed import Placed

__all__ = ["SetBoard", "SetLetter", "SetLine"]


@dataclass(frozen=True, slots=True)
class SetLetter:
    """A letter on the board.

    left_mm and right_mm are its ink's extents from the board's left edge; model_gap_mm what the model gave between its
    right extent and the next letter's left one, shift_mm what the hand added (gap = model + shift; both None at the end
    of a word). In a right-to-left line the next letter stands to the left, and the gap is between the two extents that
    face each other: this letter's left one and the next one's right one. On an arc left_mm and right_mm are those of
    the turned letter, and the gap is measured along the circle at mid cap height. word counts from 0; stem_mm is the
    width of its upright stem, else None. pair is what the gap after it is called.
    """

    placed: Placed
    left_mm: float
    right_mm: float
    word: int
    model_gap_mm: float | None = None
    shift_mm: float = 0.0
    stem_mm: float | None = None
    pair: Pair | None = None

    @property
    def gap_after_mm(self) -> float | None:
        """The gap as set out: the model's and the hand's; None at the end of a word."""
        return None if self.model_gap_mm is None else self.model_gap_mm + self.shift_mm


@dataclass(frozen=True, slots=True)
class SetLine:
    """One line of words on the board. letters are in reading order, as placed.index counts them from 1.

    scale is mm per em; openness the one used (spreading changes it); leaders stand between what a tab parts, from left
    to right.
    """

    number: int
    words: str
    family: str
    cap_height_mm: float
    openness: float
    baseline_y_mm: float
    ink_left_mm: float
    ink_right_mm: float
    scale: float
    letters: tuple[SetLetter, ...]
    leaders: tuple[Placed, ...] = ()


@dataclass(frozen=True, slots=True)
class SetBoard:
    """Every line where it stands, and what did not fit or was worth saying."""

    lines: tuple[SetLine, ...]
    findings: tuple[Finding, ...] = ()

    @property
    def placed(self) -> tuple[Placed, ...]:
        """All letters with their places, in reading order."""
        return tuple(letter.placed for line in self.lines for letter in line.letters)
