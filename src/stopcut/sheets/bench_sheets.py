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
from itertools import groupby
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
from stopcut.sheets.drawn import Pen
from stopcut.sheets.ink import begin_page, draw_box, draw_line, draw_outlines, take_pen
from stopcut.sheets.notes import Row, height_of
from stopcut.sheets.page import PRINTER_MARGIN_MM, Heading, day_in_words
from stopcut.sheets.paper import Paper, home_paper, paper_named
from stopcut.sheets.words import POINT_MM, SMALL_PT, TITLE_PT, draw_words, fitted, wrapped
from stopcut.units import format_length
from stopcut.work import Work

__all__ = ["bench_sheets_pdf"]

rl_config.useA85 = 0

_LETTER_MM: Final = 14.0
_MARGIN_MM: Final = PRINTER_MARGIN_MM + 3.0
_FOOT_MM: Final = 9.0
_HEAD_MM: Final = 20.0
_ROW_MM: Final = 7.0
_LINE_MM: Final = 6.8
_TOOL_ROW_MM: Final = 9.2
_BOX_MM: Final = 4.6
_COLUMN_GAP_MM: Final = 6.0
_BOX, _RULE, _GRAIN = Pen(0.35), Pen(0.15), Pen(0.35)

_SHOWN: Final[tuple[Literal["stab", "pare"], ...]] = ("stab", "pare")
_KINDS: Final = {"stop": "stop cut", "end": "end cut", "serif": "", "corner": "tip"}


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
    out = io.BytesIO()
    canvas = Canvas(out, invariant=1, pageCompression=1)
    canvas.setTitle(f"{work.job.title}: bench sheets")
    for number, page in enumerate(pages, 1):
        begin_page(canvas, sheet.width_mm, sheet.height_mm)
        _draw_page(canvas, work, plan, sheet, page, Heading(number, len(pages)), day)
        canvas.showPage()
    canvas.save()
    return out.getvalue()


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
        _picture(canvas, work, page, Bounds(left, _MARGIN_MM + _FOOT_MM, right, top))
        return
    width = _column(sheet) + _COLUMN_GAP_MM if page.card is not None else 0.0
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


def _picture(canvas: Canvas, work: Work, page: _Page, room: Bounds) -> None:
    assert page.card is not None
    cuts = [cut for cut in page.card.cuts if is_stab(cut) == (page.shows == "stab")]
    title = {
        "stab": "Stab: stop cuts first, then end cuts up to the surface",
        "pare": "Pare: arrows show the way to slice",
    }[page.shows]
    draw_words(canvas, room.left, room.top - 6.0, title, CARD_PT)
    box = Bounds(room.left, room.bottom, room.right, room.top - 14.0)
    scale = draw_letter(canvas, _groove(work, page.card.key), cuts, page.card.numbers, box)
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
    return (sheet.width_mm - 2 * _MARGIN_MM - _COLUMN_GAP_MM) / 2


def _sides(work: Work, card: _Card, sheet: Paper) -> Iterator[tuple[tuple[Row, ...], ...]]:
    """A card's rows in columns, two to a page."""
    room = sheet.height_mm - 2 * _MARGIN_MM - _HEAD_MM - _FOOT_MM
    columns: list[list[Row]] = [[]]
    for tool, block in _blocks(work, card, _column(sheet)):
        for number, row in enumerate(block):
            following = block[number + 1].height_mm if row.leads and number + 1 < len(block) else 0.0
            if height_of(columns[-1]) + row.height_mm + following > room:
                again = number > 0 and tool
                columns.append([_tool_row(f"{tool}, still", _column(sheet))] if again else [])
            columns[-1].append(row)
    for first in range(0, len(columns), 2):
        yield tuple(tuple(column) for column in columns[first : first + 2])


def _blocks(work: Work, card: _Card, width: float) -> Iterator[tuple[str, list[Row]]]:
    """Each run of cuts with one tool: its name, and the name's and the cuts' rows; then what to be careful of."""
    for tool, run in groupby(card.cuts, key=lambda cut: cut.tool):
        cuts = list(run)
        name = tool.name if tool is not None else "nothing in the roll fits"
        yield name, [_tool_row(name, width), *(_cut_row(work, card, cut, width) for cut in cuts)]
    said: dict[str, list[str]] = {}
    for cut in card.cuts:
        for caution in cut.cautions:
            # Which end it is shows in the picture.
            plain = caution.replace("its start", "one end").replace("its end", "one end")
            numbers = said.setdefault(plain, [])
            numbers += [number] if (number := str(card.numbers[cut.id])) not in numbers else []
    for caution, numbers in said.items():
        lines = wrapped(f"At {', '.join(numbers)}: {caution[0].lower()}{caution[1:]}", width, CARD_PT)
        yield "", [Row(4.0, lambda canvas, x, top: None), *(_line_row(line) for line in lines)]


def _line_row(text: str) -> Row:
    return Row(_LINE_MM, lambda canvas, x, top: draw_words(canvas, x, top - _LINE_MM + 2.0, text, CARD_PT))


def _tool_row(name: str, width: float) -> Row:
    def draw(canvas: Canvas, x: float, top: float) -> None:
        base = top - _TOOL_ROW_MM + 2.4
        draw_words(canvas, x, base, fitted(name, width, CARD_PT, bold=True), CARD_PT, bold=True)
        take_pen(canvas, _RULE)
        draw_line(canvas, x, base - 1.6, x + width, base - 1.6)

    return Row(_TOOL_ROW_MM, draw, leads=True)


def _cut_row(work: Work, card: _Card, cut: Cut, width: float) -> Row:
    settings = cut.placements * cut.passes
    depth = _short(cut.depth_mm, work)
    how = {"whole": "", "part": "part", "point": "point"}[cut.use]
    name = _name(cut)

    def draw(canvas: Canvas, x: float, top: float) -> None:
        base = top - _ROW_MM + 1.7
        take_pen(canvas, _BOX)
        draw_box(canvas, Bounds(x + 0.3, base - 0.5, x + 0.3 + _BOX_MM, base - 0.5 + _BOX_MM))
        draw_words(canvas, x + 12.5, base, str(card.numbers[cut.id]), CARD_PT, bold=True, anchor=1)
        draw_words(canvas, x + 14.5, base, fitted(name, width - 49.0, CARD_PT), CARD_PT)
        draw_words(canvas, x + width - 25.5, base, depth, CARD_PT, anchor=1)
        draw_words(canvas, x + width - 13.0, base, f"{settings} ×", CARD_PT, anchor=1)
        draw_words(canvas, x + width - 12.0, base, how, CARD_PT)

    return Row(_ROW_MM, draw)


def _name(cut: Cut) -> str:
    kind = cut.stroke_kind or ""
    if cut.kind == "wall":
        return f"{kind} {cut.side} wall" if cut.side else f"{kind} end wall"
    if cut.kind == "serif":
        return f"serif {cut.side}" if cut.side else "serif"
    return f"{kind} {_KINDS[cut.kind]}".strip()


def _short(mm: float, work: Work) -> str:
    """A depth without its unit: the foot says which. Tenths of a millimetre, or sixty-fourths of an inch."""
    if work.job.units == "in":
        return format_length(mm, "in", finest=64).removesuffix(" in")
    return f"{mm:.1f}"
