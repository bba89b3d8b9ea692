"""What stands before the bench cards: what to mind, the tools, the order and the time.

Where the work goes stroke by stroke across the line, its rounds are listed too: which steps of which letters each tool
does before it is laid down.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby
from typing import Final

from reportlab.pdfgen.canvas import Canvas

from stopcut.bench.minutes import Minutes
from stopcut.bench.order import Way
from stopcut.bench.plan import LetterKey
from stopcut.bench.planned import Plan
from stopcut.sheets.letter_cards import Bench
from stopcut.sheets.notes import Row, caution_texts
from stopcut.sheets.roll_sheet import saves_said
from stopcut.sheets.step_words import NO_TOOL, in_hours, width_said
from stopcut.sheets.text_rows import FIRST_PT, heading_row, section_rows, text_rows
from stopcut.sheets.words import TITLE_PT, draw_words, fitted
from stopcut.units import Units, format_length

__all__ = ["cover_rows", "spans"]

_HOW: Final = (
    "Pin up the sheet after this one: the board with its letters in the order of carving. Then each letter has its "
    "card, with its steps in working order; tick a step’s box for each place where the letter stands."
)


def cover_rows(bench: Bench, cards: int, room_mm: float) -> list[Row]:
    """What stands before the cards, in rows that wide [mm]; cards is how many there are."""
    plan, work = bench.plan, bench.work
    *rules, local = caution_texts(work)
    rows = [
        heading_row(fitted(work.job.title, room_mm - 40, TITLE_PT, bold=True), TITLE_PT, 9.0),
        *text_rows(_what(plan, cards), room_mm),
        *section_rows("Before the first cut"),
        *(row for rule in rules for row in text_rows(rule, room_mm, ticked=True)),
        *text_rows(local, room_mm),
        *section_rows("Tools"),
        *(_tool_row(plan, n, work.job.units, room_mm) for n in range(len(plan.tools))),
        *(text_rows(saves_said(plan, work.job.units), room_mm) if plan.tools else ()),
        *section_rows("Order and time"),
        *text_rows(_order(plan), room_mm),
        *text_rows(_minutes(plan.minutes), room_mm),
        *text_rows(_HOW, room_mm),
    ]
    if plan.order == "stroke":
        rows += section_rows("Rounds: what each tool does before it is laid down")
        rows += [row for text in _rounds(plan) for row in text_rows(text, room_mm, ticked=True)]
    return rows


def _what(plan: Plan, cards: int) -> str:
    if not plan.letters:
        return "Nothing on this board is carved."
    return (
        f"Bench sheets: {len(plan.letters)} letters, of which {cards} are distinct and have a card; "
        f"{len(plan.steps)} steps in all."
    )


def spans(numbers: list[int]) -> str:
    """Numbers that go up, those in a row as the first and the last: "2–9, 12"."""
    rows = [[number for _, number in row] for _, row in groupby(enumerate(numbers), key=lambda pair: pair[1] - pair[0])]
    return ", ".join(f"{row[0]}–{row[-1]}" if len(row) > 1 else f"{row[0]}" for row in rows)


def _rounds(plan: Plan) -> Iterator[str]:
    """Tool by tool in working order: the steps of what it does, letter by letter, by their numbers on the cards."""
    chars = {cut.key: cut.char for cut in plan.cuts}
    for tool, run in groupby(_numbered(plan), key=lambda pair: pair[0]):
        letters = groupby(run, key=lambda one: one[1])
        said = [f"{_called(key, chars[key])}: step {spans([number for *_, number in own])}" for key, own in letters]
        yield f"{tool or NO_TOOL} – {'; '.join(said)}"


def _numbered(plan: Plan) -> Iterator[tuple[str, LetterKey, int]]:
    """Each step's tool, letter and number on its card, in working order."""
    counts: dict[LetterKey, int] = {}
    for step in plan.steps:
        counts[step.key] = counts.get(step.key, 0) + 1
        yield step.tool.name if step.tool is not None else "", step.key, counts[step.key]


def _called(key: LetterKey, char: str) -> str:
    """A letter by its place in its line, or an ornament by its name."""
    if not key[0]:
        return char or f"ornament {key[1]}"
    return f"{char} ({key[1]})" if char.isalnum() else f"‘{char}’ ({key[1]})"


def _tool_row(plan: Plan, number: int, units: Units, room: float) -> Row:
    use = plan.tools[number]
    tool = use.tool
    shape = "straight" if tool.straight else f"radius {format_length(tool.radius_mm, units)}"
    cells = (f"{width_said(tool.width_mm, units)} wide", shape, f"{use.cuts} cut{'s' * (use.cuts != 1)}")

    def draw(canvas: Canvas, x: float, top: float) -> None:
        draw_words(canvas, x, top - 4.4, fitted(tool.name, room * 0.4, FIRST_PT), FIRST_PT)
        for at, text in zip((0.42, 0.65, 0.86), cells, strict=True):
            draw_words(canvas, x + at * room, top - 4.4, text, FIRST_PT)

    return Row(5.6, draw)


def _order(plan: Plan) -> str:
    said: dict[Way, str] = {
        "middle": "The middle letter first, then outwards by turns, where a weaker first letter is least seen",
        "easy": "An easy letter first to warm the hand, then from the middle outwards by turns",
        "stroke": "Stroke by stroke across each line: all stems, then bars and bowls, then serifs",
        "reading": "Letter by letter, as read",
    }
    names: dict[Way, str] = {
        "middle": "from the middle",
        "easy": "an easy one first",
        "stroke": "by stroke",
        "reading": "as read",
    }
    others = ", ".join(f"{plan.pick_ups[way]} {name}" for way, name in names.items() if way != plan.order)
    return f"{said[plan.order]}: a tool is picked up {plan.pick_ups[plan.order]} times (other ways: {others})."


def _minutes(minutes: Minutes) -> str:
    low, likely, high = (in_hours(value) for value in (minutes.low, minutes.likely, minutes.high))
    return (
        f"About {likely} in all; one time in ten less than {low}, one in ten more than {high}. "
        "Time your first letters, and the rest can be told more nearly."
    )
