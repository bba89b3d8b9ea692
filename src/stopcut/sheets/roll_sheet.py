"""The roll sheet, to pin up: the board with its letters numbered as they are carved, the tools with their edges, and
every letter with its steps, minutes and tools, and a box to tick when it is done."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from reportlab.pdfgen.canvas import Canvas

from stopcut.bench.cuts import keys_of
from stopcut.bench.plan import LetterKey
from stopcut.bench.planned import Plan
from stopcut.bench.steps import counted
from stopcut.groove.surface import Groove
from stopcut.shape.outline import Bounds, Point
from stopcut.sheets.drawn import Pen
from stopcut.sheets.ink import draw_box, draw_line, draw_outlines, take_pen
from stopcut.sheets.letter_cards import Bench
from stopcut.sheets.notes import Row, height_of
from stopcut.sheets.step_words import in_hours, tool_said, width_said
from stopcut.sheets.text_rows import gap_row, heading_row, text_rows
from stopcut.sheets.words import POINT_MM, SMALL_PT, TITLE_PT, draw_words, fitted
from stopcut.shop.tools import Tool
from stopcut.units import Units, format_length

__all__ = ["brief_rows", "roll_rows", "saves_said", "tool_rows"]

_PT: Final = 12.0
_ROW_MM: Final = 7.4
_LEAST_ROW_MM: Final = 5.4
"""A row of the list is no lower: its box is still ticked with a carpenter's pencil. [mm] Our choice."""
_TOOL_ROW_MM: Final = 7.6
_BOARD_MM: Final = 75.0
"""The board is drawn no higher. [mm] Our choice."""
_BRIEF_BOARD_MM: Final = 26.0
"""Nor a learner's, so that three stand on a page. [mm] Our choice."""
_RING_MM: Final = 2.5
_SPARE_MM: Final = 0.5
"""Kept free below the last row, so that rounding sends none over. [mm]"""
_EDGE_MM: Final = 24.0
"""Room for a tool's edge at true size; a wider one is drawn as wide as this. [mm] Our choice."""
_BOX, _RULE, _EDGE, _INK, _BOARD = Pen(0.35), Pen(0.12), Pen(0.5), Pen(0.15), Pen(0.35)


def roll_rows(bench: Bench, sheets: Mapping[LetterKey, int], width: float, height: float) -> list[Row]:
    """The rows of a board's roll sheet, that wide, on one page of that height where its letters allow. [mm]

    sheets has the number of the sheet that each letter's card is on.
    """
    plan, units = bench.plan, bench.work.job.units
    tools = [use.tool for use in plan.tools]
    title = f"{bench.work.job.title}: to pin up"
    above = [
        heading_row(fitted(title, width - 36.0, TITLE_PT, bold=True), TITLE_PT, 9.0),
        *text_rows(f"About {in_hours(plan.minutes.likely)}. Figures on the board: the order of carving.", width),
        _board_row(bench, width, _BOARD_MM),
        *tool_rows(tools, units, width),
        *text_rows(saves_said(plan, units), width),
        gap_row(1.5),
        _head(len(tools), width),
    ]
    free = height - height_of(above) - _SPARE_MM
    row_mm = min(max(free / max(len(plan.letters), 1), _LEAST_ROW_MM), _ROW_MM)
    return [*above, *_letter_rows(bench, tools, sheets, width, row_mm)]


def brief_rows(bench: Bench, tools: Sequence[Tool], sheets: Mapping[LetterKey, int], width: float) -> list[Row]:
    """A learner's board and letters likewise, in brief: several stand on a page under the tools of all."""
    said = f"{bench.work.job.title}, about {in_hours(bench.plan.minutes.likely)}"
    return [
        heading_row(fitted(said, width - 36.0, _PT + 1, bold=True), _PT + 1, 6.5),
        _board_row(bench, width, _BRIEF_BOARD_MM),
        _head(len(tools), width),
        *_letter_rows(bench, tools, sheets, width, _LEAST_ROW_MM),
    ]


def _letter_rows(
    bench: Bench, tools: Sequence[Tool], sheets: Mapping[LetterKey, int], width: float, row_mm: float
) -> list[Row]:
    grooves = dict(zip(keys_of(bench.work.pattern), bench.work.pattern, strict=True))
    keys = bench.plan.letters
    return [_letter_row(bench, tools, key, grooves[key], sheets.get(key), width, row_mm) for key in keys]


def saves_said(plan: Plan, units: Units) -> str:
    """How many tools there are, and what one more would save: "Five tools; a sixth (…) would save 14 min."."""
    count = len(plan.tools)
    said = counted(count, "tool").capitalize()
    if plan.saves is None:
        return f"{said}; one more would save nothing worth having."
    tool, minutes = plan.saves
    ordinals = ("a first", "a second", "a third", "a fourth", "a fifth", "a sixth", "a seventh", "an eighth", "a ninth")
    more = ordinals[count] if count < len(ordinals) else "one more"
    shape = "straight" if tool.straight else f"radius {format_length(tool.radius_mm, units)}"
    return f"{said}; {more} ({tool.name}: {width_said(tool.width_mm, units)}, {shape}) would save {in_hours(minutes)}."


def _board_row(bench: Bench, width: float, most: float) -> Row:
    """The board in small, each letter with its number in the order of carving."""
    board = bench.work.job.board
    scale = min(width / board.width_mm, most / board.height_mm)
    high = scale * board.height_mm
    grooves = dict(zip(keys_of(bench.work.pattern), bench.work.pattern, strict=True))

    def draw(canvas: Canvas, x: float, top: float) -> None:
        left, bottom = x + (width - scale * board.width_mm) / 2, top - 2.0 - high
        take_pen(canvas, _BOARD)
        draw_box(canvas, Bounds(left, bottom, left + scale * board.width_mm, bottom + high))
        take_pen(canvas, _INK)
        move = (scale, 0.0, 0.0, scale, left, bottom)
        draw_outlines(canvas, [groove.placed.on_board.mapped(move) for groove in grooves.values()])
        for number, at in _rings(bench.plan.letters, grooves, scale):
            _order_ring(canvas, number, (left + at[0], bottom + at[1]))

    return Row(high + 6.0, draw)


def _rings(
    letters: Sequence[LetterKey], grooves: Mapping[LetterKey, Groove], scale: float
) -> Iterator[tuple[int, Point]]:
    """Where each letter's number stands: below it, and lower where the one before it in its line is too near."""
    set_down: list[Point] = []
    for key in sorted(letters):
        box = grooves[key].placed.bounds_mm
        x, y = scale * box.centre[0], scale * box.bottom - _RING_MM - 0.4
        while any(math.dist((x, y), other) < 2 * _RING_MM + 0.3 for other in set_down):
            y -= 0.5
        set_down.append((x, y))
        yield letters.index(key) + 1, (x, y)


def _order_ring(canvas: Canvas, number: int, at: Point) -> None:
    take_pen(canvas, _INK)
    canvas.setFillGray(1)
    canvas.circle(at[0], at[1], _RING_MM, stroke=1, fill=1)
    canvas.setFillGray(0)
    draw_words(canvas, at[0], at[1] - 0.31 * SMALL_PT * POINT_MM, str(number), SMALL_PT, bold=True, anchor=0.5)


def tool_rows(tools: Sequence[Tool], units: Units, width: float) -> list[Row]:
    """Tools, each with a letter, its edge at true size, and its name; two beside each other."""
    rows = []
    for first in range(0, len(tools), 2):
        pair = tools[first : first + 2]

        def draw(canvas: Canvas, x: float, top: float, first: int = first, pair: Sequence[Tool] = pair) -> None:
            for n, tool in enumerate(pair):
                _tool(canvas, x + n * width / 2, top - 5.0, first + n, tool, units, width / 2)

        rows.append(Row(_TOOL_ROW_MM, draw))
    return rows


def _tool(canvas: Canvas, x: float, base: float, number: int, tool: Tool, units: Units, width: float) -> None:
    draw_words(canvas, x, base, _letter(number), _PT, bold=True)
    take_pen(canvas, _EDGE)
    _edge(canvas, x + 6.0 + _EDGE_MM / 2, base + 1.2, tool)
    said = tool_said(tool, units)
    draw_words(canvas, x + 8.5 + _EDGE_MM, base, fitted(said, width - 10.5 - _EDGE_MM, _PT), _PT)


def _letter(number: int) -> str:
    return chr(ord("A") + number) if number < 26 else str(number + 1)


def _edge(canvas: Canvas, x: float, y: float, tool: Tool) -> None:
    """A tool's edge as its stab mark shows it, at true size where there is room."""
    scale = min(1.0, _EDGE_MM / tool.width_mm)
    half = tool.width_mm / 2
    if tool.straight:
        draw_line(canvas, x - scale * half, y, x + scale * half, y)
        return
    reach = math.asin(min(half / tool.radius_mm, 1.0))
    rise = tool.radius_mm * (1 - math.cos(reach))
    points = []
    for n in range(25):
        turn = reach * (n / 12 - 1)
        points.append(
            (scale * tool.radius_mm * math.sin(turn), scale * (tool.radius_mm * (1 - math.cos(turn)) - rise / 2))
        )
    path = canvas.beginPath()
    path.moveTo(x + points[0][0], y + points[0][1])
    for dx, dy in points[1:]:
        path.lineTo(x + dx, y + dy)
    canvas.drawPath(path, stroke=1, fill=0)


_SAYS_AT, _STEPS_AT, _TIME_AT, _SHEET_AT, _TOOLS_AT = 29.0, 0.53, 0.63, 0.74, 0.78
"""Where the list's columns are: what letter it is [mm], then, in shares of the width, right edges of figures, the first
tool."""


def _head(tools: int, width: float) -> Row:
    def draw(canvas: Canvas, x: float, top: float) -> None:
        base = top - 4.4
        draw_words(canvas, x + 6.5, base, "order", SMALL_PT)
        for at, text in ((_STEPS_AT, "steps"), (_TIME_AT, "likely"), (_SHEET_AT, "card")):
            draw_words(canvas, x + at * width, base, text, SMALL_PT, anchor=1)
        for n in range(tools):
            draw_words(canvas, _tool_at(x, n, tools, width), base, _letter(n), _PT, bold=True, anchor=0.5)
        take_pen(canvas, _RULE)
        draw_line(canvas, x, top - 5.8, x + width, top - 5.8)

    return Row(6.0, draw, leads=True)


def _tool_at(x: float, number: int, tools: int, width: float) -> float:
    return x + width * (_TOOLS_AT + (1 - _TOOLS_AT) * (number + 0.5) / max(tools, 1))


def _letter_row(
    bench: Bench, tools: Sequence[Tool], key: LetterKey, groove: Groove, sheet: int | None, width: float, high: float
) -> Row:
    plan = bench.plan
    steps = [step for step in plan.steps if step.key == key]
    used = {step.tool for step in steps}
    nth = plan.letters.index(key) + 1
    where = f"letter {key[1]} of {bench.work.job.lines[key[0] - 1].words}" if key[0] else f"ornament {key[1]}"

    def draw(canvas: Canvas, x: float, top: float) -> None:
        base = top - high / 2 - 1.5
        take_pen(canvas, _BOX)
        draw_box(canvas, Bounds(x + 0.2, base - 0.4, x + 4.4, base + 3.8))
        draw_words(canvas, x + 13.0, base, str(nth), _PT, bold=True, anchor=1)
        ink = groove.placed.on_board
        scale = min((high - 1.4) / ink.bounds.height, 11.0 / ink.bounds.width)
        middle = top - high / 2
        move = (x + 21.0 - scale * ink.bounds.centre[0], middle - scale * ink.bounds.centre[1])
        draw_outlines(canvas, [ink.mapped((scale, 0.0, 0.0, scale, *move))], filled=True)
        draw_words(canvas, x + _SAYS_AT, base, fitted(where, _STEPS_AT * width - _SAYS_AT - 12.0, _PT), _PT)
        draw_words(canvas, x + _STEPS_AT * width, base, str(len(steps)), _PT, anchor=1)
        draw_words(canvas, x + _TIME_AT * width, base, in_hours(plan.letter_minutes[key]), _PT, anchor=1)
        draw_words(canvas, x + _SHEET_AT * width, base, "" if sheet is None else f"sheet {sheet}", _PT, anchor=1)
        for n, tool in enumerate(tools):
            if tool in used:
                canvas.circle(_tool_at(x, n, len(tools), width), base + 1.4, 1.1, stroke=0, fill=1)
        take_pen(canvas, _RULE)
        draw_line(canvas, x, top - high, x + width, top - high)

    return Row(high, draw)
