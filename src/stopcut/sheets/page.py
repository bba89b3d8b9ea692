"""What stands on every page round the board: title, sheet and place, two bars to measure, scale, date and units.

Both bars are 100 mm, or 4 inches where the job is in inches. One lies along the page's foot and the other stands at its
left, since a printer may stretch the paper along its way and not across it.
"""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from reportlab.pdfgen.canvas import Canvas

from stopcut.errors import CarverError
from stopcut.sheets.drawn import Pen
from stopcut.sheets.ink import draw_line, take_pen
from stopcut.sheets.paper import Paper
from stopcut.sheets.tiling import PageMargins
from stopcut.sheets.words import POINT_MM, SMALL_PT, draw_words, fitted, width_mm
from stopcut.units import MM_PER_INCH, Units
from stopcut.work import Work

__all__ = [
    "BARS",
    "BAR_MM",
    "PRINTER_MARGIN_MM",
    "Heading",
    "PaperTooSmall",
    "day_in_words",
    "draw_furniture",
    "draw_surround",
    "kept_free",
]

BARS: Final[Mapping[Units, tuple[float, str]]] = {"mm": (100.0, "100 mm"), "in": (4 * MM_PER_INCH, "4 in")}
"""Length of the bars to be measured [mm], and how it is said. (our choice: on a rule half a per cent of it shows)"""
BAR_MM: Final = max(length for length, _ in BARS.values())
"""The longer of them."""

PRINTER_MARGIN_MM = 7.0
"""The edge left blank. (common practice: printers reach to 3 to 6.35 mm from the edge)"""

MEASURE: Final = "Measure both bars before tracing: they must be {bar}."

_MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)

_BAR_TICK_MM = 4.0
_LINE_MM = 4.6
_HEAD_MM = 7.0
_SIDE_MM = _BAR_TICK_MM + 1.5
_HEAD_PT = 12.0
_BAR_PEN = Pen(0.25)
_GAP_MM = 4.0


class PaperTooSmall(CarverError):
    """A sheet that cannot hold what every page must show."""


@dataclass(frozen=True, slots=True)
class Heading:
    """What differs from page to page: its number of how many, and its place ("row 1, column 3", "" for none).

    cover says that the page has the title large already.
    """

    sheet: int
    of: int
    place: str = ""
    cover: bool = False

    def __str__(self) -> str:
        return " · ".join(part for part in (f"sheet {self.sheet} of {self.of}", self.place) if part)


def kept_free(paper: Paper, margin_mm: float = PRINTER_MARGIN_MM, notes_mm: float = 0.0) -> PageMargins:
    """What of each page the board keeps out of, so that the furniture (and notes of that height) has room.

    Raises PaperTooSmall where the bars or the lines of print would not fit.
    """
    inner = min(paper.width_mm, paper.height_mm) - 2 * margin_mm
    if inner < BAR_MM + _SIDE_MM + width_mm("100 mm", SMALL_PT):
        raise PaperTooSmall(f"{paper.name} is too small for a bar of 100 mm across: print on A5 or larger")
    foot = _foot_lines(inner) * _LINE_MM + 2.5
    return PageMargins(margin_mm + _SIDE_MM, margin_mm + foot + notes_mm, margin_mm, margin_mm + _HEAD_MM)


def draw_furniture(
    canvas: Canvas,
    work: Work,
    heading: Heading,
    page: tuple[float, float],
    issued: datetime.date,
    *,
    margin_mm: float = PRINTER_MARGIN_MM,
) -> None:
    """Print title, heading, bars, scale, units and date round a page [mm], in the room that kept_free leaves."""
    draw_surround(canvas, work.job.title, work.job.units, heading, page, issued, margin_mm=margin_mm)


def draw_surround(
    canvas: Canvas,
    title: str,
    units: Units,
    heading: Heading,
    page: tuple[float, float],
    issued: datetime.date,
    *,
    margin_mm: float = PRINTER_MARGIN_MM,
    measure: str = MEASURE,
) -> None:
    """The same round a sheet that belongs to no job; measure says what the bars are for (no wider than MEASURE), {bar}
    standing for their length."""
    width, height = page
    left, right = margin_mm, width - margin_mm
    title = "" if heading.cover else title
    _head(canvas, title, str(heading), left, right, height - margin_mm - _HEAD_PT * POINT_MM * 0.75)
    lines = _foot_lines(min(page) - 2 * margin_mm)
    _foot(canvas, units, (left, right, margin_mm), lines, issued, measure)
    foot = margin_mm + lines * _LINE_MM + 2.5
    _bar(canvas, units, left + _BAR_TICK_MM / 2, foot, upright=True)


def day_in_words(day: datetime.date) -> str:
    """A date as it is said, whatever the machine's language: "25 November 2026"."""
    return f"{day.day} {_MONTHS[day.month - 1]} {day.year}"


def _foot_lines(inner_mm: float) -> int:
    beside_bar = inner_mm - BAR_MM - 2 * _GAP_MM
    return 2 if max(width_mm(MEASURE.format(bar=said), SMALL_PT) for _, said in BARS.values()) <= beside_bar else 3


def _head(canvas: Canvas, title: str, heading: str, left: float, right: float, y: float) -> None:
    room = right - left - width_mm(heading, SMALL_PT) - 2 * _GAP_MM
    draw_words(canvas, left, y, fitted(title, room, _HEAD_PT, bold=True), _HEAD_PT, bold=True)
    draw_words(canvas, right, y, heading, SMALL_PT, anchor=1)


def _foot(
    canvas: Canvas,
    units: Units,
    room: tuple[float, float, float],
    lines: int,
    issued: datetime.date,
    measure: str,
) -> None:
    left, right, bottom = room
    descent = 0.25 * SMALL_PT * POINT_MM
    row = [bottom + descent + i * _LINE_MM for i in range(lines)]
    lengths = "lengths in inches" if units == "in" else "lengths in millimetres"
    facts = f"Scale 1:1 · {lengths} · issued {day_in_words(issued)}"
    draw_words(canvas, left, row[0], fitted(facts, right - left, SMALL_PT), SMALL_PT)
    _bar(canvas, units, left + _BAR_PEN.weight_mm / 2, row[-1] + 1.0)
    length, said = BARS[units]
    measure = measure.format(bar=said)
    if lines == 2:
        draw_words(canvas, left + length + _GAP_MM, row[1], measure, SMALL_PT)
    else:
        draw_words(canvas, left, row[1], measure, SMALL_PT)


def _bar(canvas: Canvas, units: Units, x: float, y: float, *, upright: bool = False) -> None:
    """A bar between two ticks whose middles are its length apart, with its length written in a gap of it."""
    length, said = BARS[units]
    canvas.saveState()
    canvas.translate(x, y)
    if upright:
        canvas.rotate(90)
    take_pen(canvas, _BAR_PEN)
    half = _BAR_TICK_MM / 2
    gap = width_mm(said, SMALL_PT) / 2 + 1.5
    for end in (0.0, length):
        draw_line(canvas, end, -half, end, half)
    draw_line(canvas, 0, 0, length / 2 - gap, 0)
    draw_line(canvas, length / 2 + gap, 0, length, 0)
    draw_words(canvas, length / 2, -_middle(), said, SMALL_PT, anchor=0.5)
    canvas.restoreState()


def _middle() -> float:
    """From the baseline to the middle of the figures. [mm]"""
    return 0.3 * SMALL_PT * POINT_MM
