"""class.pdf: a whole class on paper: the list with the cautions, the tools needed at once, each learner's pattern, each
learner's letters in the order of carving, and a card for each distinct letter, which all who carve it share.

The reader's own outline leads to each part.
"""

from __future__ import annotations

import datetime
import io
from collections.abc import Mapping, Sequence
from typing import Final

from reportlab.pdfgen.canvas import Canvas

from stopcut.bench.plan import LetterKey
from stopcut.bench.planned import Plan
from stopcut.shape.outline import Bounds
from stopcut.sheets.bench_sheets import SHEET_MARGIN_MM, draw_cards, draw_row_pages, room_of
from stopcut.sheets.card_page import card_layouts
from stopcut.sheets.cover import paged
from stopcut.sheets.drawn import Pen
from stopcut.sheets.ink import begin_page, draw_box, draw_line, take_pen
from stopcut.sheets.letter_cards import Bench, Card, cards_of
from stopcut.sheets.notes import Row, height_of
from stopcut.sheets.page import day_in_words
from stopcut.sheets.paper import Paper, home_paper, paper_named
from stopcut.sheets.pattern import draw_pattern
from stopcut.sheets.roll_sheet import brief_rows, tool_rows
from stopcut.sheets.step_words import in_hours
from stopcut.sheets.text_rows import caution_rows, gap_row, heading_row, section_rows, text_rows
from stopcut.sheets.words import SMALL_PT, TITLE_PT, draw_words, fitted
from stopcut.teaching.in_class import Class, Member, ToolNeed
from stopcut.units import format_length

__all__ = ["class_pack_pdf"]

_FOOT_MM: Final = 9.0
_TEXT_PT: Final = 12.0
_ROW_MM: Final = 6.4
_GAP_MM: Final = 4.0
_BETWEEN_MM: Final = 3.0
_BOX, _RULE = Pen(0.35), Pen(0.15)


def class_pack_pdf(
    title: str,
    group: Class,
    plans: Sequence[Plan],
    tools: Sequence[ToolNeed],
    paper: str | None = None,
    *,
    issued: datetime.date | None = None,
    cards: bool = True,
) -> bytes:
    """A class's pack as a PDF: the list and the tools, each learner's pattern and (if cards) letters, and shared cards.

    plans are the members', in their order. paper as pattern_pdf takes it, for all pages. Raises UnknownPaper or
    PaperTooSmall.
    """
    day = issued or datetime.date.today()
    out = io.BytesIO()
    canvas = Canvas(out, invariant=1, pageCompression=1, lang="en-GB")
    canvas.setTitle(f"{title}: class pack")
    canvas.setCreator("stopcut")
    _cover(canvas, title, group, plans, tools, paper, day)
    for number, member in enumerate(group.members, 1):
        canvas.bookmarkPage(f"learner {number}")
        canvas.addOutlineEntry(f"{member.name}: {member.words}", f"learner {number}", 0)
        draw_pattern(canvas, member.work, paper, issued=day)
    if cards:
        benches = [Bench(member.work, plan, member.name) for member, plan in zip(group.members, plans, strict=True)]
        sheet = paper_named(paper) if paper is not None else home_paper(group.members[0].work.job.units)
        _bench_pages(canvas, title, benches, sheet, day)
    canvas.save()
    return out.getvalue()


def _bench_pages(canvas: Canvas, title: str, benches: Sequence[Bench], sheet: Paper, day: datetime.date) -> None:
    """Each learner's letters in the order of carving, then the cards that all share, numbered through."""
    room = room_of(sheet)
    units = benches[0].work.job.units
    cards = cards_of(benches)
    pages = _lists(benches, {}, room)
    counts = [len(card_layouts(card, units, room.width, room.height)) for card in cards]
    sheets = _sheets(cards, counts, len(pages) + 1)
    pages, of = _lists(benches, sheets, room), len(pages) + sum(counts)
    lengths = "lengths in inches" if units == "in" else "lengths in millimetres"
    canvas.bookmarkPage("letters")
    canvas.addOutlineEntry("Letters in the order of carving", "letters", 0)
    draw_row_pages(canvas, sheet, pages, f"{title} · not to scale · {lengths} · issued {day_in_words(day)}", 1, of)
    canvas.bookmarkPage("cards")
    canvas.addOutlineEntry("Cards, one a letter", "cards", 0)
    draw_cards(canvas, sheet, cards, benches[0].work, title, day, len(pages) + 1, of)


def _lists(benches: Sequence[Bench], sheets: Mapping[tuple[str, LetterKey], int], room: Bounds) -> list[list[Row]]:
    """The learners' lists under the tools of all, as many whole ones to a page as it holds."""
    tools = list(dict.fromkeys(use.tool for bench in benches for use in bench.plan.tools))
    head = [
        heading_row("To pin up: every board, its letters in the order of carving", _TEXT_PT + 1, 6.5),
        *tool_rows(tools, benches[0].work.job.units, room.width),
    ]
    pages: list[list[Row]] = [list(head)]
    for bench in benches:
        own = {key: number for (whose, key), number in sheets.items() if whose == bench.whose}
        rows = [gap_row(_BETWEEN_MM), *brief_rows(bench, tools, own, room.width)]
        if height_of(pages[-1]) + height_of(rows) <= room.height:
            pages[-1] += rows
        else:
            pages += paged([*head, *rows], room.height)
    return pages if len(pages[0]) > len(head) else pages[1:]


def _sheets(cards: Sequence[Card], counts: Sequence[int], first: int) -> dict[tuple[str, LetterKey], int]:
    """The sheet of the card of every learner's every letter."""
    out: dict[tuple[str, LetterKey], int] = {}
    for card, count in zip(cards, counts, strict=True):
        out |= {(standing.whose, standing.key): first for standing in card.places}
        first += count
    return out


def _cover(
    canvas: Canvas,
    title: str,
    group: Class,
    plans: Sequence[Plan],
    tools: Sequence[ToolNeed],
    paper: str | None,
    day: datetime.date,
) -> None:
    members = group.members
    units = members[0].work.job.units
    sheet = paper_named(paper) if paper is not None else home_paper(units)
    room, height = sheet.width_mm - 2 * SHEET_MARGIN_MM, sheet.height_mm - 2 * SHEET_MARGIN_MM - _FOOT_MM
    rows = [
        heading_row(fitted(title, room, TITLE_PT, bold=True), TITLE_PT, 9.0),
        *text_rows(_blanks(members), room),
        *text_rows(_heights(group), room),
        *caution_rows(members[0].work, room),
        *section_rows("Learners"),
        *_learners(members, plans, room),
        *section_rows("Tools needed at once, and tools there are"),
        *text_rows(_AT_ONCE, room),
        *_tools(tools, room),
        Row(2.5, lambda canvas, x, top: None),
        *_short(tools, room),
        *_left(members, tools, room),
    ]
    pages = list(paged(rows, height))
    for number, page in enumerate(pages, 1):
        begin_page(canvas, sheet.width_mm, sheet.height_mm)
        top = sheet.height_mm - SHEET_MARGIN_MM
        if number == 1:
            canvas.bookmarkPage("class")
            canvas.addOutlineEntry("The class", "class", 0)
        said = f"list, sheet {number} of {len(pages)}"
        draw_words(canvas, sheet.width_mm - SHEET_MARGIN_MM, SHEET_MARGIN_MM, said, SMALL_PT, anchor=1)
        lengths = "lengths in inches" if units == "in" else "lengths in millimetres"
        draw_words(canvas, SHEET_MARGIN_MM, SHEET_MARGIN_MM, f"{lengths} · issued {day_in_words(day)}", SMALL_PT)
        for row in page:
            row.draw(canvas, SHEET_MARGIN_MM, top)
            top -= row.height_mm
        canvas.showPage()


_AT_ONCE: Final = (
    "At once is how many hold a tool at one time, if all begin together and go on at their likely pace. Tools passed "
    "from hand to hand may do with fewer."
)


def _blanks(members: Sequence[Member]) -> str:
    board, units = members[0].work.job.board, members[0].work.job.units
    size = " × ".join(format_length(mm, units) for mm in (board.width_mm, board.height_mm, board.thickness_mm))
    return (
        f"{len(members)} blank{'s' * (len(members) > 1)} of {board.wood}, each {size}, grain along the {board.grain}."
    )


def _heights(group: Class) -> str:
    units = group.members[0].work.job.units
    if group.cap_height_mm is None:
        heights = {
            tuple(round(line.cap_height_mm, 2) for line in member.work.setting.lines) for member in group.members
        }
        if len(heights) == 1:
            return "Everybody’s letters are as high as the job says."
        return "Each board’s letters have their own height; it is on its pattern."
    said = f"All letters are {format_length(group.cap_height_mm, units)} high"
    if group.without_longest_mm is None or group.without_longest_mm - group.cap_height_mm < 0.5:
        return f"{said}, the largest that fits everybody’s words."
    more = format_length(group.without_longest_mm, units)
    return f"{said}: {group.longest}’s words set it. Without them it could be {more} for all the others."


def _learners(members: Sequence[Member], plans: Sequence[Plan], room: float) -> list[Row]:
    columns = (0.05, 0.27, 0.60, 0.77, 0.86)
    rows = [_cells(("", "Name", "Words", "Level", "Hand", "Likely"), columns, room, head=True)]
    for number, (member, plan) in enumerate(zip(members, plans, strict=True), 1):
        hours = in_hours(plan.minutes.likely)
        texts = (str(number), member.name, member.words, member.level, member.hand, hours)
        rows.append(_cells(texts, columns, room))
    return rows


def _tools(tools: Sequence[ToolNeed], room: float) -> list[Row]:
    columns = (0.05, 0.42, 0.56, 0.70, 0.84)
    rows = [_cells(("", "Tool", "Learners", "At once", "There are", "Short by"), columns, room, head=True)]
    for need in tools:
        there = "not counted" if need.there_are is None else str(need.there_are)
        short = str(need.short) if need.short else ""
        name = f"{need.name} (and left)" if need.left else need.name
        rows.append(_cells(("", name, str(need.learners), str(need.at_once), there, short), columns, room, boxed=True))
    return rows


def _short(tools: Sequence[ToolNeed], room: float) -> list[Row]:
    if any(need.there_are is None for need in tools):
        said = "The tools are the published ones, which nobody has counted: write your own roll, and count in the list."
        return text_rows(said, room)
    lacking = [f"{need.short} more of {need.name}" for need in tools if need.short]
    if not lacking:
        return text_rows("There are enough of every tool.", room)
    return text_rows(f"To borrow, or to wait for: {', '.join(lacking)}.", room)


def _left(members: Sequence[Member], tools: Sequence[ToolNeed], room: float) -> list[Row]:
    lefts = [member.name for member in members if member.hand == "left"]
    if not lefts:
        return []
    handed = [need.name for need in tools if need.left]
    also = f"; look at {', '.join(handed)}" if handed else ""
    said = (
        f"Left-handed: {', '.join(lefts)}. Double bevels and gouges serve either hand; a skew or a single bevel is "
        f"ground for one{also}. Let them stand where no elbow meets another’s (common practice)."
    )
    return text_rows(said, room)


def _cells(
    texts: Sequence[str], columns: Sequence[float], room: float, *, head: bool = False, boxed: bool = False
) -> Row:
    """A row of a table: a number or a box, then cells that begin at shares of the room."""
    starts = [0.0, *(share * room for share in columns)]
    ends = [*starts[1:], room]

    def draw(canvas: Canvas, x: float, top: float) -> None:
        base = top - _ROW_MM + 2.0
        for text, start, end in zip(texts, starts, ends, strict=True):
            said = fitted(text, end - start - (0 if end == room else 2.0), _TEXT_PT, bold=head)
            draw_words(canvas, x + start, base, said, _TEXT_PT, bold=head)
        if boxed:
            take_pen(canvas, _BOX)
            draw_box(canvas, Bounds(x + 0.3, base - 0.6, x + 4.1, base + 3.2))
        take_pen(canvas, _RULE)
        draw_line(canvas, x, base - 1.7, x + room, base - 1.7)

    return Row(_ROW_MM, draw, leads=head)
