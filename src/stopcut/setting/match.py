"""Matching lettering that is already on a board: the openness that its measured gaps ask for, and what is left over.

The weight is found first, from the measured stem (a face's weight whose I has that stem; lettering does it, given the
stem in em that `stem_em` works out). Then the pairs that were measured are lettered as words of their own at that
weight, and one openness is chosen for all of them by least squares: a gap grows in proportion with openness, so the
best one is plain. What each gap still lacks is said, since no two hands space alike.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from stopcut.errors import Finding, Severity, Where
from stopcut.lettering.letters import Lettered
from stopcut.setting.fitting import OPENNESS
from stopcut.setting.line import LineShape, line_shape

__all__ = ["LeftOver", "Matched", "match_gaps", "matched_findings", "stem_em"]

_CLOSE_MM = 0.5
"""A gap left over by more than this is worth a look, not a note. [mm] Our choice: what a ruler shows."""


@dataclass(frozen=True, slots=True)
class LeftOver:
    """A measured pair: the gap on the board, and the one that the matched setting gives. [mm]"""

    pair: str
    measured_mm: float
    set_mm: float

    @property
    def left_mm(self) -> float:
        """What the setting gives too much (or, below 0, too little)."""
        return self.set_mm - self.measured_mm


@dataclass(frozen=True, slots=True)
class Matched:
    """The openness that comes nearest to the measured gaps, and what each is still off by.

    stem_mm is the stem of the weight used, at this cap height; None where the face has none.
    """

    openness: float
    left_over: tuple[LeftOver, ...]
    stem_mm: float | None


def stem_em(stem_mm: float, cap_height_mm: float, height_em: float) -> float:
    """The stem in em that is stem_mm wide where height_em is cap_height_mm high."""
    return stem_mm / cap_height_mm * height_em


def match_gaps(pairs: Lettered, gaps_mm: Sequence[float], cap_height_mm: float, tuck: float = 1.0) -> Matched:
    """The openness at which these pairs come nearest to the gaps measured between them.

    pairs are words of two letters each ("RO AN LE"), at the weight that was found; gaps_mm one for each word, in that
    order, between the extents of the ink. Raises ValueError unless each word has two letters and a gap.
    """
    shape = line_shape(pairs, tuck)
    at = _gaps(shape)
    if len(at) != len(gaps_mm) or not at or len(shape.letters) != 2 * len(at):
        raise ValueError("each measured gap needs a pair of two letters, and each pair a gap")
    mm_per_em = cap_height_mm / shape.cap_height
    measured = np.asarray(gaps_mm, dtype=float)
    one, two = (shape.gaps(mm_per_em, openness, -1.0).model[at] for openness in (1.0, 2.0))
    grows = two - one
    openness = 1 + float((measured - one) @ grows) / float(grows @ grows)
    openness = min(max(openness, OPENNESS[0]), OPENNESS[1])
    given = shape.gaps(mm_per_em, openness, 0.0).model[at]
    left_over = tuple(
        LeftOver(_pair(shape, gap), float(was), float(is_)) for gap, was, is_ in zip(at, measured, given, strict=True)
    )
    stem = pairs.face.stem
    return Matched(openness, left_over, None if stem is None else stem * mm_per_em)


def matched_findings(matched: Matched, stem_mm: float | None = None, line: int | None = None) -> tuple[Finding, ...]:
    """What matching came to, in the carver's words: the openness, each gap left over, the stem if one was measured."""
    worst = max((abs(one.left_mm) for one in matched.left_over), default=0.0)
    rest = ", ".join(f"{one.pair} {one.left_mm:+.1f} mm" for one in matched.left_over)
    says = f"Openness {matched.openness:.3f} comes nearest to what is on the board; left over: {rest}."
    if stem_mm is not None and matched.stem_mm is not None:
        says += f" The stem comes to {matched.stem_mm:.2f} mm of {stem_mm:g} mm."
    severity = Severity.NOTE if worst <= _CLOSE_MM else Severity.LOOK
    return (Finding("matched", severity, says, "Shift by hand the pairs that still look different.", Where(line=line)),)


def _gaps(shape: LineShape) -> list[int]:
    """The gap of each word's pair, in reading order."""
    return [gap for reading in range(len(shape.letters)) if (gap := shape.gap_after(reading)) is not None]


def _pair(shape: LineShape, gap: int) -> str:
    first, second = sorted((gap, gap + 1), key=lambda place: shape.order[place])
    return unicodedata.normalize("NFC", shape.letters[first].char + shape.letters[second].char)
