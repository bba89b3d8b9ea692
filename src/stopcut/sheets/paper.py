"""Paper: the sheets that a home printer takes and those of a print shop, by the names people ask for.

Sizes are upright, in mm. A sheets are ISO 216's, whole millimetres; Letter and the other ANSI sheets are ANSI/ASME
Y14.1's, and the ARCH sheets are those that drawing offices in North America use, both whole inches and halves.
"""

from __future__ import annotations

from dataclasses import dataclass

from stopcut.errors import CarverError
from stopcut.units import MM_PER_INCH, Units

__all__ = ["PAPERS", "Paper", "UnknownPaper", "home_paper", "paper_named", "single_sheets"]


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet of paper, upright. [mm]"""

    name: str
    width_mm: float
    height_mm: float


class UnknownPaper(CarverError):
    """A name that no sheet of paper has."""


PAPERS = (
    # ISO 216, A series
    Paper("A6", 105, 148),
    Paper("A5", 148, 210),
    Paper("A4", 210, 297),
    Paper("A3", 297, 420),
    Paper("A2", 420, 594),
    Paper("A1", 594, 841),
    Paper("A0", 841, 1189),
    # ANSI/ASME Y14.1; ANSI A is Letter, ANSI B Tabloid
    Paper("Letter", 8.5 * MM_PER_INCH, 11 * MM_PER_INCH),
    Paper("Legal", 8.5 * MM_PER_INCH, 14 * MM_PER_INCH),
    Paper("Tabloid", 11 * MM_PER_INCH, 17 * MM_PER_INCH),
    Paper("ANSI A", 8.5 * MM_PER_INCH, 11 * MM_PER_INCH),
    Paper("ANSI B", 11 * MM_PER_INCH, 17 * MM_PER_INCH),
    Paper("ANSI C", 17 * MM_PER_INCH, 22 * MM_PER_INCH),
    Paper("ANSI D", 22 * MM_PER_INCH, 34 * MM_PER_INCH),
    Paper("ANSI E", 34 * MM_PER_INCH, 44 * MM_PER_INCH),
    # Architects' sheets
    Paper("ARCH A", 9 * MM_PER_INCH, 12 * MM_PER_INCH),
    Paper("ARCH B", 12 * MM_PER_INCH, 18 * MM_PER_INCH),
    Paper("ARCH C", 18 * MM_PER_INCH, 24 * MM_PER_INCH),
    Paper("ARCH D", 24 * MM_PER_INCH, 36 * MM_PER_INCH),
    Paper("ARCH E1", 30 * MM_PER_INCH, 42 * MM_PER_INCH),
    Paper("ARCH E", 36 * MM_PER_INCH, 48 * MM_PER_INCH),
)

_SINGLE = {
    "mm": ("A4", "A3", "A2", "A1", "A0"),
    "in": ("Letter", "ANSI B", "ANSI C", "ANSI D", "ANSI E"),
}


def paper_named(name: str) -> Paper:
    """The sheet of that name, however it is capitalised or spaced. Raises UnknownPaper, which lists them all."""
    wanted = _plain(name)
    for paper in PAPERS:
        if _plain(paper.name) == wanted:
            return paper
    known = ", ".join(paper.name for paper in PAPERS)
    raise UnknownPaper(f"paper {name!r}: no such sheet; one of {known}, or “one sheet” for the smallest that will do")


def home_paper(units: Units) -> Paper:
    """What a printer at home holds: A4 where lengths are in mm, Letter where they are in inches. (common practice)"""
    return paper_named("A4" if units == "mm" else "Letter")


def single_sheets(units: Units) -> tuple[Paper, ...]:
    """The sheets a board may go on whole, smallest first: A4 to A0, or Letter to ANSI E."""
    return tuple(paper_named(name) for name in _SINGLE[units])


def _plain(name: str) -> str:
    return "".join(name.split()).casefold()
