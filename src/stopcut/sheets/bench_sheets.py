"""bench.pdf: the bench plan on paper. What to mind, a roll sheet to pin up, then a card for each distinct letter.

A card is one page: the letter large with the marks of all its steps, and the steps in working order, each with a box to
tick for every place where the letter stands.
"""

from __future__ import annotations

import datetime
import io
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from reportlab.pdfgen.canvas import Canvas

from stopcut.bench.plan import LetterKey
from stopcut.bench.planned import Plan
from stopcut.shape.outline import Bounds
from stopcut.sheets.bench_cover import cover_rows
from stopcut.sheets.card_page import CardLayout, card_layouts, draw_card
from stopcut.sheets.cover import paged
from stopcut.sheets.ink import begin_page
from stopcut.sheets.letter_cards import Bench, Card, cards_of
from stopcut.sheets.notes import Row
from stopcut.sheets.page import PRINTER_MARGIN_MM, Heading, day_in_words
from stopcut.sheets.paper import Paper, home_paper, paper_named
from stopcut.sheets.roll_sheet import roll_rows
from stopcut.sheets.words import POINT_MM, SMALL_PT, draw_words, fitted
from stopcut.units import Units
from stopcut.work import Work

__all__ = ["SHEET_MARGIN_MM", "bench_sheets_pdf", "draw_cards", "draw_row_pages", "room_of"]

SHEET_MARGIN_MM: Final = PRINTER_MARGIN_MM + 3.0
"""Kept free round a bench sheet and a class's list. [mm] Our choice: a little more than printers leave blank."""
_FOOT_MM: Final = 6.0


def bench_sheets_pdf(work: Work, plan: Plan, paper: str | None = None, *, issued: datetime.date | None = None) -> bytes:
    """The bench sheets as a PDF: a first page, a roll sheet, then a card for every distinct letter in working order.

    paper is a sheet's name, the home printer's by the job's units if not given (A4, or Letter for inches). issued is
    the date printed, today if not given; the same work, plan and date give the same bytes.
    """
    sheet = paper_named(paper) if paper is not None else home_paper(work.job.units)
    day = issued or datetime.date.today()
    bench = Bench(work, plan)
    room = room_of(sheet)
    cards = cards_of([bench])
    layouts = []
    for number, card in enumerate(cards):
        work.progress("Bench sheets", number / len(cards))
        layouts.append(card_layouts(card, work.job.units, room.width, room.height))
    before = list(paged(cover_rows(bench, len(cards), room.width), room.height))
    pinned = _pinned(bench, {}, room)
    numbers = _numbers(cards, layouts, len(before) + len(pinned) + 1)
    before += _pinned(bench, numbers, room)
    count = len(before) + sum(map(len, layouts))
    out = io.BytesIO()
    canvas = Canvas(out, invariant=1, pageCompression=1, lang="en-GB")
    canvas.setTitle(f"{work.job.title}: bench sheets")
    canvas.setCreator("stopcut")
    foot = _Foot(work.job.title, work.job.units, day)
    draw_row_pages(canvas, sheet, before, foot, 1, count)
    _draw_layouts(canvas, sheet, [one for own in layouts for one in own], work, foot, len(before) + 1, count)
    canvas.save()
    return out.getvalue()


@dataclass(frozen=True, slots=True)
class _Foot:
    """What stands at the foot of every page."""

    title: str
    units: Units
    day: datetime.date

    def __str__(self) -> str:
        lengths = "lengths in inches" if self.units == "in" else "lengths in millimetres"
        return f"{self.title} · not to scale · {lengths} · issued {day_in_words(self.day)}"


def room_of(sheet: Paper) -> Bounds:
    """What of a page is free for rows and cards. [mm]"""
    right, top = sheet.width_mm - SHEET_MARGIN_MM, sheet.height_mm - SHEET_MARGIN_MM
    return Bounds(SHEET_MARGIN_MM, SHEET_MARGIN_MM + _FOOT_MM, right, top)


def draw_row_pages(
    canvas: Canvas, sheet: Paper, pages: Sequence[Sequence[Row]], foot: object, first: int, of: int
) -> None:
    """Pages of rows, numbered from first, with the words at their foot."""
    room = room_of(sheet)
    for number, rows in enumerate(pages, first):
        _begin(canvas, sheet, foot, Heading(number, of))
        y = room.top
        for row in rows:
            row.draw(canvas, room.left, y)
            y -= row.height_mm
        canvas.showPage()


def draw_cards(
    canvas: Canvas, sheet: Paper, cards: Sequence[Card], work: Work, title: str, day: datetime.date, first: int, of: int
) -> None:
    """The cards of one board, or those that boards of a class share, numbered from first."""
    room = room_of(sheet)
    layouts = [one for card in cards for one in card_layouts(card, work.job.units, room.width, room.height)]
    foot = _Foot(title, work.job.units, day)
    _draw_layouts(canvas, sheet, layouts, work, foot, first, of)


def _draw_layouts(
    canvas: Canvas, sheet: Paper, layouts: Sequence[CardLayout], work: Work, foot: _Foot, first: int, of: int
) -> None:
    board = work.job.board
    for number, layout in enumerate(layouts, first):
        work.progress("Cards", (number - first) / len(layouts))
        _begin(canvas, sheet, foot, Heading(number, of))
        draw_card(canvas, layout, board, foot.units, room_of(sheet))
        canvas.showPage()


def _pinned(bench: Bench, numbers: dict[LetterKey, int], room: Bounds) -> list[list[Row]]:
    if not bench.plan.letters:
        return []
    return list(paged(roll_rows(bench, numbers, room.width, room.height), room.height))


def _numbers(cards: Sequence[Card], layouts: Sequence[Sequence[CardLayout]], first: int) -> dict[LetterKey, int]:
    """The sheet of every letter's card."""
    out: dict[LetterKey, int] = {}
    for card, own in zip(cards, layouts, strict=True):
        out |= {standing.key: first for standing in card.places}
        first += len(own)
    return out


def _begin(canvas: Canvas, sheet: Paper, foot: object, heading: Heading) -> None:
    begin_page(canvas, sheet.width_mm, sheet.height_mm)
    left, right = SHEET_MARGIN_MM, sheet.width_mm - SHEET_MARGIN_MM
    draw_words(canvas, right, sheet.height_mm - SHEET_MARGIN_MM - SMALL_PT * POINT_MM, str(heading), SMALL_PT, anchor=1)
    draw_words(canvas, left, SHEET_MARGIN_MM, fitted(str(foot), right - left, SMALL_PT), SMALL_PT)
