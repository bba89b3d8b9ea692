"""What stands before the bench cards: the tools, the order, what to mind, and how to read a card.

Where the work goes stroke by stroke across the line, its rounds are listed too: which cuts of which letters each tool
does before it is laid down.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import groupby
from typing import Final

from reportlab.pdfgen.canvas import Canvas

from stopcut.bench.cautions import BENCH_RULES, LOCAL_RULES, dust_caution
from stopcut.bench.minutes import Minutes
from stopcut.bench.order import Way
from stopcut.bench.plan import LetterKey
from stopcut.bench.planned import Plan
from stopcut.shape.outline import Bounds
from stopcut.sheets.cover import paged
from stopcut.sheets.drawn import Pen
from stopcut.sheets.ink import draw_box, take_pen
from stopcut.sheets.notes import Row
from stopcut.sheets.words import POINT_MM, TITLE_PT, draw_words, fitted, wrapped
from stopcut.units import format_length
from stopcut.work import Work

__all__ = ["first_pages", "heading_row", "in_hours", "section_rows", "spans", "text_rows"]

_FIRST_PT: Final = 12.0
_BOX: Final = Pen(0.35)
_CARD_WORDS: Final = (
    "Depth is the deepest of the cut, below the board’s face; a stop cut ends a little short of the groove’s bottom. "
    "3 × is how many times the edge is set, passes included; part: in some places or all along, only a part of the "
    "edge, tipped in; point: drawn along with its corner.",
    "Thick line between bars: stop cut, upright. Arrow from the bottom to the surface: end cut, the edge’s corner at "
    "the bottom, rolled out. Arrow along the edge: pare that wall and slice this way; two heads: either way. Hollow "
    "diamond on the edge: here the way of slicing turns.",
)


def first_pages(
    work: Work, plan: Plan, numbers: Mapping[str, int], room_mm: float, height_mm: float
) -> Iterator[tuple[Row, ...]]:
    """What stands before the cards, in rows that wide, on as many pages of that height as it takes.

    numbers says, by a cut's id, which number it has on its letter's card.
    """
    wood = work.wood.wood
    dust = dust_caution(work.job.board.wood, *((wood.name,) if wood is not None else ()))
    rows = [
        heading_row(fitted(work.job.title, room_mm - 40, TITLE_PT, bold=True), TITLE_PT, 9.0),
        *text_rows("Bench sheets: tools, order, and a card for every letter", room_mm),
        *section_rows("Tools"),
        *(_tool_line(use.tool.name, _tool_facts(work, plan, n), room_mm) for n, use in enumerate(plan.tools)),
        *section_rows("Order"),
        *text_rows(_order(plan), room_mm),
        *text_rows(_letters_in_order(plan), room_mm),
        *text_rows(_minutes(plan.minutes), room_mm),
        *section_rows("Before the first cut"),
        *(row for rule in (*BENCH_RULES, dust) for row in text_rows(rule, room_mm, ticked=True)),
        *text_rows(LOCAL_RULES, room_mm),
        *section_rows("On the cards"),
        *(row for text in _CARD_WORDS for row in text_rows(text, room_mm)),
    ]
    if plan.order == "stroke":
        rows += section_rows("Rounds: what each tool does before it is laid down")
        rows += [row for text in _rounds(plan, numbers) for row in text_rows(text, room_mm, ticked=True)]
    for page in paged(rows, height_mm):
        yield tuple(page)


def in_hours(minutes: float) -> str:
    """A time as it is said: minutes, or quarters of hours where it is long."""
    if minutes < 90:
        return f"{minutes:.0f} min"
    whole = round(minutes / 15) * 15
    return f"{whole // 60} h {whole % 60} min" if whole % 60 else f"{whole // 60} h"


def _rounds(plan: Plan, numbers: Mapping[str, int]) -> Iterator[str]:
    """Tool by tool in working order: the numbers on the cards of what it does, letter by letter."""
    for tool, run in groupby(plan.cuts, key=lambda cut: cut.tool):
        letters = groupby(run, key=lambda cut: cut.key)
        said = []
        for key, own in letters:
            cuts = list(own)
            said.append(f"{_called(key, cuts[0].char)}: {spans([numbers[cut.id] for cut in cuts])}")
        yield f"{tool.name if tool is not None else 'no tool fits'} – {'; '.join(said)}"


def spans(numbers: list[int]) -> str:
    """Numbers that go up, those in a row as the first and the last: "2–9, 12"."""
    rows = [[number for _, number in row] for _, row in groupby(enumerate(numbers), key=lambda pair: pair[1] - pair[0])]
    return ", ".join(f"{row[0]}–{row[-1]}" if len(row) > 1 else f"{row[0]}" for row in rows)


def _called(key: LetterKey, char: str) -> str:
    """A letter by its place in its line, or an ornament by its name."""
    if not key[0]:
        return char or f"ornament {key[1]}"
    return f"{char} ({key[1]})" if char.isalnum() else f"‘{char}’ ({key[1]})"


def heading_row(text: str, size: float, height: float) -> Row:
    """A heading that high. [mm]"""

    def draw(canvas: Canvas, x: float, top: float) -> None:
        draw_words(canvas, x, top - height + 0.28 * size * POINT_MM + 0.4, text, size, bold=True)

    return Row(height, draw, leads=True)


def section_rows(title: str) -> list[Row]:
    """The heading of a part of the page, with room above it."""
    return [Row(3.5, lambda canvas, x, top: None, leads=True), heading_row(title, _FIRST_PT + 1, 6.5)]


def text_rows(text: str, room: float, *, ticked: bool = False) -> list[Row]:
    """A paragraph that wide [mm], with a box to tick before it where it is asked for."""
    indent = 6.5 if ticked else 0.0
    rows = []
    for n, line in enumerate(wrapped(text, room - indent, _FIRST_PT)):

        def draw(canvas: Canvas, x: float, top: float, n: int = n, line: str = line) -> None:
            if ticked and n == 0:
                take_pen(canvas, _BOX)
                draw_box(canvas, Bounds(x + 0.2, top - 4.6, x + 3.8, top - 1.0))
            draw_words(canvas, x + indent, top - 4.4, line, _FIRST_PT)

        rows.append(Row(5.4, draw))
    return rows


def _tool_facts(work: Work, plan: Plan, number: int) -> tuple[str, str, str]:
    use = plan.tools[number]
    tool = use.tool
    shape = "straight" if tool.straight else f"radius {format_length(tool.radius_mm, work.job.units)}"
    return f"{format_length(tool.width_mm, work.job.units)} wide", shape, f"{use.cuts} cut{'s' * (use.cuts != 1)}"


def _tool_line(name: str, facts: tuple[str, str, str], room: float) -> Row:
    def draw(canvas: Canvas, x: float, top: float) -> None:
        take_pen(canvas, _BOX)
        draw_box(canvas, Bounds(x + 0.2, top - 4.6, x + 3.8, top - 1.0))
        draw_words(canvas, x + 6.5, top - 4.4, fitted(name, 0.36 * room, _FIRST_PT), _FIRST_PT)
        for share, fact in zip((0.42, 0.61, 0.84), facts, strict=True):
            draw_words(canvas, x + share * room, top - 4.4, fact, _FIRST_PT)

    return Row(5.6, draw)


def _order(plan: Plan) -> str:
    said: dict[Way, str] = {
        "middle": "The middle letter first, then outwards by turns, where a weaker first letter is least seen",
        "stroke": "Stroke by stroke across each line: all stems, then bars and bowls, then serifs",
        "reading": "Letter by letter, as read",
    }
    names: dict[Way, str] = {"middle": "from the middle", "stroke": "by stroke", "reading": "as read"}
    others = ", ".join(f"{plan.pick_ups[way]} {name}" for way, name in names.items() if way != plan.order)
    return f"{said[plan.order]}: a tool is picked up {plan.pick_ups[plan.order]} times (other ways: {others})."


def _letters_in_order(plan: Plan) -> str:
    chars = {cut.key: cut.char for cut in plan.cuts}
    named = [_called(key, chars[key]) for key in plan.letters]
    if not named:
        return "Nothing on this board is carved."
    return f"Letters, each with its place in the line: {', '.join(named)}."


def _minutes(minutes: Minutes) -> str:
    low, likely, high = (in_hours(value) for value in (minutes.low, minutes.likely, minutes.high))
    return (
        f"About {likely} in all; one time in ten less than {low}, one in ten more than {high}. "
        "Time your first letters, and the rest can be told more nearly."
    )
