"""What is practised: a stroke, an exercise of strokes, a letter among others by difficulty."""

from __future__ import annotations

from dataclasses import dataclass

from stopcut.arrays import Array
from stopcut.bench.plan import Cut, LetterKey
from stopcut.groove.surface import Groove
from stopcut.job.job import StrokeKind
from stopcut.shape.outline import Point

__all__ = ["Exercise", "PracticeLetter", "PracticeStroke"]


@dataclass(frozen=True, eq=False, slots=True)
class PracticeStroke:
    """One stroke to practise.

    cuts are its own in working order. edge has the lines of the letter's outline that it is cut to, joins those where
    it meets other strokes, lines the groove's within it: each (k, 2), mm on the board. turns are the
    spots where the way of slicing turns. reasons say what its points
    are for, in a carver's words.
    """

    key: LetterKey
    char: str
    number: int
    kind: StrokeKind
    cuts: tuple[Cut, ...]
    edge: tuple[Array, ...]
    joins: tuple[Array, ...]
    lines: tuple[Array, ...]
    turns: tuple[Point, ...]
    wall_deg: float
    length_mm: float
    depth_mm: float
    points: float
    reasons: tuple[str, ...]


@dataclass(frozen=True, eq=False, slots=True)
class PracticeLetter:
    """A letter among others by difficulty: its points, the strokes that it has, and why."""

    char: str
    groove: Groove
    points: float
    kinds: tuple[tuple[StrokeKind, int], ...]
    hardest: PracticeStroke
    tools: int
    minutes: float

    @property
    def because(self) -> str:
        """What its hardest stroke is, and why that is hard."""
        return f"hardest: {self.hardest.kind}{': ' * bool(self.hardest.reasons)}{', '.join(self.hardest.reasons)}"


@dataclass(frozen=True, eq=False, slots=True)
class Exercise:
    """Strokes to cut in a row: a title, what to mind, the strokes, how many times each stands there, and whether they
    are a whole letter, which has a card."""

    title: str
    says: str
    strokes: tuple[PracticeStroke, ...]
    copies: int
    letter: bool = False
