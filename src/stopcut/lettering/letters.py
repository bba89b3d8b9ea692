"""Letters as lettering hands them on: one clean outline a grapheme cluster, in em, and what its face says of itself."""

from __future__ import annotations

from dataclasses import dataclass

from stopcut.errors import Finding
from stopcut.shape.outline import Outline

__all__ = ["FaceFacts", "Letter", "Lettered"]


@dataclass(frozen=True, slots=True)
class FaceFacts:
    """What a face says of itself, all heights in em.

    family and style as named in the font; weight the one drawn (100–900); cap_height the flat height of H (or what
    stands in for it); x_height and figure_height None where the face has no such letters; stem the width of the
    upright stem of I, None where it has none. upright is the outline of H in em, None where the face has none: its
    sides tell the spacing how seriffed the face is, and how wide an upright with its light is (a word space).
    slant_deg is how far its stems lean to the right, as drawn.
    """

    family: str
    style: str
    weight: float
    cap_height: float
    x_height: float | None
    figure_height: float | None
    ascender: float
    descender: float
    stem: float | None
    licence: str = ""
    upright: Outline | None = None
    slant_deg: float = 0.0


@dataclass(frozen=True, slots=True)
class Letter:
    """One letter: a base with its marks, or a ligature.

    char is the grapheme cluster (several for a ligature); outline in em, y = 0 on the baseline, x = 0 at the pen;
    advance the designer's own distance to the next letter, kerning included (for comparison only: spacing never reads
    it). [em] word counts the words of the line from 0; stem is the width of its upright stem, else None. [em]
    """

    char: str
    outline: Outline
    advance: float
    word: int
    stem: float | None = None


@dataclass(frozen=True, slots=True)
class Lettered:
    """A line's words as outlines, in visual order from left to right.

    order[i] is the place of letters[i] in reading order (from 0): the same for left-to-right scripts. notes are what
    the carver should know of how the face was used (nearest weight taken, lining figures set the height).
    as_capitals says that its small letters are drawn as capitals, only lower.
    """

    words: str
    face: FaceFacts
    letters: tuple[Letter, ...]
    order: tuple[int, ...]
    notes: tuple[Finding, ...] = ()
    as_capitals: bool = False

    def called(self, letter: Letter) -> str:
        """A letter as it is seen: "H" for an h that is drawn as a capital."""
        return letter.char.upper() if self.as_capitals else letter.char
