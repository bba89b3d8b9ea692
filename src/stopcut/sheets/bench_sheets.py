"""bench.pdf: the bench plan on paper. First the tools, the order and what to mind; then a card for every letter.

A card has three sides: two show the letter large, one with what is stabbed, one with what is pared; on the third every
cut has its row and a box to tick, in working order, under the tool that it wants. A card's type is 16 pt and larger, to
be read at arm's length.
"""

from __future__ import annotations

import datetime
import io
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, Literal

from reportlab import rl_config
from reportlab.pdfgen.canvas import Canvas

from stopcut.bench.cuts import keys_of
from stopcut.bench.plan import Cut, LetterKey
from stopcut.bench.planned import Plan
from stopcut.groove.surface import Groove
from stopcut.shape.outline import Bounds
from stopcut.sheets.bench_cover import first_pages, in_hours
from stopcut.sheets.card_picture import CARD_PT, draw_letter, is_stab
from stopcut.sheets.card_rows import COLUMN_GAP_MM, cut_blocks, in_columns
from stopcut.sheets.drawn import Pen
from stopcut.sheets.ink import begin_page, draw_line, draw_outlines, take_pen
from stopcut.sheets.notes import Row
from stopcut.sheets.page import PRINTER_MARGIN_MM, Heading, day_in_words
from stopcut.sheets.paper import Paper, home_paper, paper_named
from stopcut.sheets.words import POINT_MM, SMALL_PT, TITLE_PT, draw_words, fitted
from stopcut.work import Work

__all__ = ["bench_sheets_pdf", "draw_bench_sheets"]

rl_config.useA85 = 0

_LETTER_MM: Final = 14.0
_MARGIN_MM: Final = PRINTER_MARGIN_MM + 3.0
_FOOT_MM: Final = 9.0
_HEAD_MM: Final = 20.0
_GRAIN = Pen(0.35)

_SHOWN: Final[tuple[Literal["stab", "pare"], ...]] = ("stab", "pare")


@dataclass(frozen=True, slots=True)
class _Card:
    """One letter's cuts, numbered in working order."""

    key: LetterKey
    cuts: tuple[Cut, ...]
    place: int

    @property
    def numbers(self) -> dict[str, int]:
        """The number of each cut by its id."""
        return {cut.id: number for number, cut in enumerate(self.cuts, 1)}


def bench_sheets_pdf(work: Work, plan: Plan, paper: str | None = None, *, issued: datetime.date | None = None) -> bytes:
    """The bench sheets as a PDF: a first page, then a card for every letter in working order.

    paper is a sheet's name, the home printer's by the job's units if not given (A4, or Letter for inches). issued is
    the date printed, today if not given; the same work, plan and date give the same bytes.
    """
    out = io.BytesIO()
    canvas = Canvas(out, invariant=1, pageCompression=1)
    canvas.setTitle(f"{work.job.title}: bench sheets")
    draw_bench_sheets(canvas, work, plan, paper, issued=issued)
    canvas.save()
    return out.getvalue()


def draw_bench_sheets(
    canvas: Canvas, work: Work, plan: Plan, paper: str | None = None, *, issued: datetime.date | None = None
) -> None:
    """The same, as further pages of a canvas."""
    sheet = paper_named(paper) if paper is not None else home_paper(work.job.units)
    day = issued or datetime.date.today()
    cards = [
        _Card(key, tuple(cut for cut in plan.cuts if cut.key == key), place)
        for place, key in enumerate(plan.letters, 1)
    ]
    numbers = {cut_id: number for card in cards for cut_id, number in card.numbers.items()}
    room, height = sheet.width_mm - 2 * _MARGIN_MM, sheet.height_mm - 2 * _MARGIN_MM - _FOOT_MM
    pages = [_Page((rows,)) for rows in first_pages(work, plan, numbers, room, height)]
    for card in cards:
        kinds = {"stab" if is_stab(cut) else "pare" for cut in card.cuts}
        pages += [_Page((), card, shows) for shows in _SHOWN if shows in kinds]
        pages += [_Page(rows, card) for rows in _sides(work, card, sheet)]
    for number, page in enumerate(pages, 1):
        begin_page(canvas, sheet.width_mm, sheet.height_mm)
        _draw_page(canvas, work, plan, sheet, page, Heading(number, len(pages)), day)
        canvas.showPage()


@dataclass(frozen=True, slots=True)
class _Page:
    """Rows in columns (one, or two on a card), or a picture of a card's letter, with what is stabbed or pared."""

    rows: tuple[tuple[Row, ...], ...]
    card: _Card | None = None
    shows: Literal["", "stab", "pare"] = ""


def _draw_page(
    canvas: Canvas, work: Work, plan: Plan, sheet: Paper, page: _Page, heading: Heading, day: datetime.date
) -> None:
    left, right = _MARGIN_MM, sheet.width_mm - _MARGIN_MM
    top = sheet.height_mm - _MARGIN_MM
    draw_words(canvas, right, top - SMALL_PT * POINT_MM, str(heading), SMALL_PT, anchor=1)
    units = "lengths in inches" if work.job.units == "in" else "lengths in millimetres"
    foot = f"{work.job.title} · not to scale · {units} · issued {day_in_words(day)}"
    draw_words(canvas, left, _MARGIN_MM, fitted(foot, right - left, SMALL_PT), SMALL_PT)
    if page.card is not None:
        _card_head(canvas, work, plan, page.card, left, top, right)
        top -= _HEAD_MM
    if page.shows:
        _picture(canvas, work, plan, page, Bounds(left, _MARGIN_MM + _FOOT_MM, right, top))
        return
    width = _column(sheet) + COLUMN_GAP_MM if page.card is not None else 0.0
    for number, column in enumerate(page.rows):
        y = top
        for row in column:
            row.draw(canvas, left + number * width, y)
            y -= row.height_mm


def _card_head(canvas: Canvas, work: Work, plan: Plan, card: _Card, left: float, top: float, right: float) -> None:
    line, letter = card.key
    ink = _groove(work, card.key).placed.on_board
    scale = min(_LETTER_MM / ink.bounds.height, 2 * _LETTER_MM / ink.bounds.width)
    shift = left - scale * ink.bounds.left, top - _LETTER_MM - scale * ink.bounds.bottom
    draw_outlines(canvas, [ink.mapped((scale, 0.0, 0.0, scale, *shift))], filled=True)
    left += scale * ink.bounds.width + 5.0
    said = f"letter {letter} of {work.job.lines[line - 1].words}" if line else card.cuts[0].char or f"ornament {letter}"
    said = fitted(f"{said}, begun {_nth(card.place)}", right - left - 30, TITLE_PT)
    draw_words(canvas, left, top - 5.5, said, TITLE_PT)
    minutes = plan.letter_minutes[card.key]
    below = f"{len(card.cuts)} cuts, about {in_hours(minutes)}"
    draw_words(canvas, left, top - 13.0, below, CARD_PT)


def _nth(number: int) -> str:
    ends = {1: "st", 2: "nd", 3: "rd"}
    return f"{number}{'th' if number % 100 in (11, 12, 13) else ends.get(number % 10, 'th')}"


def _picture(canvas: Canvas, work: Work, plan: Plan, page: _Page, room: Bounds) -> None:
    assert page.card is not None
    cuts = [cut for cut in page.card.cuts if is_stab(cut) == (page.shows == "stab")]
    title = {
        "stab": "Stab: stop cuts along the bottom, end cuts up to the surface",
        "pare": "Pare: arrows show the way to slice",
    }[page.shows]
    draw_words(canvas, room.left, room.top - 6.0, title, CARD_PT)
    box = Bounds(room.left, room.bottom, room.right, room.top - 14.0)
    turns = [
        (turn.x_mm, turn.y_mm)
        for turn in getattr(plan, "turns", ())
        if turn.key == page.card.key and page.shows == "pare"
    ]
    scale = draw_letter(canvas, _groove(work, page.card.key), cuts, page.card.numbers, box, turns)
    draw_words(canvas, room.left, room.top - 12.5, f"drawn {scale:.1f} times its size", CARD_PT)
    _grain(canvas, work, room)


def _groove(work: Work, key: LetterKey) -> Groove:
    """A letter as it is cut from the face as it is now, which is what is planned."""
    return dict(zip(keys_of(work.pattern), work.pattern, strict=True))[key]


def _grain(canvas: Canvas, work: Work, room: Bounds) -> None:
    """The way of the grain, with its word."""
    take_pen(canvas, _GRAIN)
    x, y, far = room.right - 13.0, room.top - 14.0, 12.0
    draw_words(canvas, x, room.top - 6.0, "grain", CARD_PT, anchor=0.5)
    canvas.saveState()
    canvas.translate(x, y if work.job.board.grain == "width" else y - far + 3.0)
    if work.job.board.grain == "height":
        canvas.rotate(90)
    draw_line(canvas, -far, 0, far, 0)
    for end in (-far, far):
        for side in (-1.6, 1.6):
            draw_line(canvas, end, 0, end - 3.0 * (1 if end > 0 else -1), side)
    canvas.restoreState()


def _column(sheet: Paper) -> float:
    return (sheet.width_mm - 2 * _MARGIN_MM - COLUMN_GAP_MM) / 2


def _sides(work: Work, card: _Card, sheet: Paper) -> Iterator[tuple[tuple[Row, ...], ...]]:
    """A card's rows in columns, two to a page."""
    room = sheet.height_mm - 2 * _MARGIN_MM - _HEAD_MM - _FOOT_MM
    width = _column(sheet)
    columns = in_columns(list(cut_blocks(card.cuts, card.numbers, work.job.units, width)), room, width)
    for first in range(0, len(columns), 2):
        yield tuple(tuple(column) for column in columns[first : first + 2])
