"""The rows of a card: its steps in working order, each with a box to tick for every place where the letter stands.

Under a wide letter steps stand in a table, a line or two each; beside a narrow one each is a few lines. Where there is
room, a smaller line says how the tool is held.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from reportlab.pdfgen.canvas import Canvas

from stopcut.setting.leaders import LEADER
from stopcut.shape.outline import Bounds
from stopcut.sheets.drawn import Pen
from stopcut.sheets.ink import draw_box, draw_line, take_pen
from stopcut.sheets.letter_cards import Card, CardStep
from stopcut.sheets.notes import Row
from stopcut.sheets.step_words import depth_said, how_said, one_after_another, remarks, tool_said
from stopcut.sheets.words import POINT_MM, draw_words, width_mm, wrapped
from stopcut.units import Units

__all__ = ["HOW_PT", "MOST_BOXES", "Listing", "box_heads", "place_said", "remark_rows", "step_rows"]

HOW_PT: Final = 12.0
"""How a tool is held is read once, before the step, from near by; so are remarks. (our choice)"""
MOST_BOXES: Final = 5
"""Boxes beside each other. Our choice: with more places a step has one box, ticked when all are done."""
_BOX_MM: Final = 4.6
_BESIDE_MM: Final = 6.2
"""From one box to the next. [mm]"""
_NUMBER_MM: Final = 9.0
_GAP_MM: Final = 4.0
_TOOL_MM: Final = 47.0
_DEPTH_MM: Final = 38.0
"""Columns of tools and depths are no wider: longer words go on below. [mm] Our choice."""
_LEAD: Final = 1.18
"""From line to line, in sizes of the type. Our choice: close, as a row's rule parts it from the next."""
_BOX, _RULE = Pen(0.35), Pen(0.12)


@dataclass(frozen=True, slots=True)
class Listing:
    """How steps are listed: size of type [points], whether how the tool is held is said, and whether each step is a
    few lines under one another (beside a letter) or stands in a table (under it)."""

    size_pt: float
    how: bool
    stacked: bool


def box_heads(card: Card) -> list[str]:
    """What stands over the boxes: the letters' numbers, or small letters where more than a line or a board has them."""
    if len(card.places) == 1 or len(card.places) > MOST_BOXES:
        return [""]
    if _in_one_line(card):
        return [str(standing.key[1]) for standing in sorted(card.places, key=lambda one: one.key)]
    return [chr(ord("a") + n) for n in range(len(card.places))]


def _in_one_line(card: Card) -> bool:
    return len({(standing.whose, standing.key[0]) for standing in card.places}) == 1


def place_said(card: Card) -> str:
    """Where a letter stands: "letters 3 and 4 of MARROW LANE", "Hazel, letter 1 of FIG"; with a small letter for each
    where its boxes are named so."""
    if not card.places[0].key[0]:
        return f"{len(card.places)} leaders" if card.char == LEADER else "ornament"
    if _in_one_line(card):
        first = card.places[0]
        numbers = [str(key[1]) for key in sorted(standing.key for standing in card.places)]
        who = f"{first.whose}, " if first.whose else ""
        plural = "s" * (len(numbers) > 1)
        return f"{who}letter{plural} {one_after_another(numbers)} of {first.words}"
    named = len(card.places) <= MOST_BOXES
    told = []
    for n, standing in enumerate(card.places):
        who = f"{standing.whose}, " if standing.whose else ""
        told.append(f"{chr(ord('a') + n) + ' ' if named else ''}{who}letter {standing.key[1]} of {standing.words}")
    return "; ".join(told)


def step_rows(card: Card, units: Units, width: float, listing: Listing) -> list[Row]:
    """The rows of a card's steps, that wide [mm]."""
    heads = box_heads(card)
    columns = _Columns.of(card.steps, units, width, len(heads), listing)
    rows = [_head_row(columns, heads, listing)] if not listing.stacked or heads != [""] else []
    return rows + [_step_row(step, units, columns, listing) for step in card.steps]


def remark_rows(card: Card, width: float) -> list[Row]:
    """What stands beside or below the steps, that wide [mm]: how passes are taken, and what to be careful of."""
    rows = []
    for text in remarks(card.steps):
        rows.append(Row(1.6, _nothing, leads=True))
        rows += [_line(line, HOW_PT) for line in wrapped(text, width, HOW_PT)]
    return rows


@dataclass(frozen=True, slots=True)
class _Columns:
    """How wide a table's columns are [mm], and whether depths are told in short."""

    boxes: float
    says: float
    tool: float
    depth: float
    short: bool

    @classmethod
    def of(cls, steps: Sequence[CardStep], units: Units, width: float, boxes: int, listing: Listing) -> _Columns:
        """As wide as tools and depths want them, within bounds; what is done has the rest."""
        before = boxes * _BESIDE_MM + _NUMBER_MM
        if listing.stacked:
            return cls(boxes * _BESIDE_MM, width - before, 0.0, 0.0, short=True)

        def wide(texts: list[str], most: float = math.inf) -> float:
            return min(max(width_mm(text, listing.size_pt) for text in texts), most)

        says = wide([step.step.says for step in steps])
        tool = wide([tool_said(step.step.tool, units) for step in steps] + ["tool"], _TOOL_MM)
        whole = wide([depth_said(step, units) for step in steps] + ["how deep"])
        left = width - before - tool - 2 * _GAP_MM
        if says <= left - whole:
            return cls(boxes * _BESIDE_MM, left - whole, tool, whole, short=False)
        depth = wide([depth_said(step, units, short=True) for step in steps] + ["how deep"], _DEPTH_MM)
        return cls(boxes * _BESIDE_MM, left - depth, tool, depth, short=True)


def _head_row(columns: _Columns, heads: Sequence[str], listing: Listing) -> Row:
    height = HOW_PT * POINT_MM * 1.3

    def draw(canvas: Canvas, x: float, top: float) -> None:
        base = top - HOW_PT * POINT_MM
        for n, head in enumerate(heads):
            middle = x + n * _BESIDE_MM + _BOX_MM / 2
            draw_words(canvas, middle, base, head, HOW_PT, bold=True, anchor=0.5)
        if listing.stacked:
            return
        at = x + columns.boxes + _NUMBER_MM
        draw_words(canvas, at, base, "what is done", HOW_PT)
        draw_words(canvas, at + columns.says + _GAP_MM, base, "tool", HOW_PT)
        end = at + columns.says + columns.tool + columns.depth + 2 * _GAP_MM
        draw_words(canvas, end, base, "deep, pass by pass" if columns.short else "how deep", HOW_PT, anchor=1)

    return Row(height, draw, leads=True)


def _step_row(step: CardStep, units: Units, columns: _Columns, listing: Listing) -> Row:
    size = listing.size_pt
    lead, small = size * POINT_MM * _LEAD, HOW_PT * POINT_MM * _LEAD
    tool, depth = tool_said(step.step.tool, units), depth_said(step, units, short=columns.short)
    says = wrapped(step.step.says, columns.says, size)
    if listing.stacked:
        says += _beneath(tool, depth_said(step, units), columns.says, size)
        cells, deep = [(0.0, says)], []
    else:
        cells = [(0.0, says), (columns.says + _GAP_MM, wrapped(tool, columns.tool + 0.1, size))]
        deep = wrapped(depth, columns.depth + 0.1, size)
    across = columns.says + (columns.tool + columns.depth + 2 * _GAP_MM) * (not listing.stacked)
    lines = max([len(deep), *(len(texts) for _, texts in cells)])
    clear = across if lines == len(says) else columns.says
    how = wrapped(how_said(step), clear, HOW_PT) if listing.how else []
    height = max(lines * lead, len(says) * lead + len(how) * small) + 1.5
    boxes = round(columns.boxes / _BESIDE_MM)

    def draw(canvas: Canvas, x: float, top: float) -> None:
        base = top - size * POINT_MM
        take_pen(canvas, _BOX)
        for n in range(boxes):
            left = x + n * _BESIDE_MM + 0.2
            draw_box(canvas, Bounds(left, base - 0.5, left + _BOX_MM, base - 0.5 + _BOX_MM))
        at = x + columns.boxes + _NUMBER_MM
        draw_words(canvas, at - 2.2, base, str(step.number), size, bold=True, anchor=1)
        for start, texts in cells:
            for n, text in enumerate(texts):
                draw_words(canvas, at + start, base - n * lead, text, size)
        for n, text in enumerate(deep):
            draw_words(canvas, at + across, base - n * lead, text, size, anchor=1)
        for n, text in enumerate(how):
            draw_words(canvas, at, base - (len(says) - 1) * lead - (n + 1) * small - 0.3, text, HOW_PT)
        take_pen(canvas, _RULE)
        draw_line(canvas, x, top - height + 0.2, at + across, top - height + 0.2)

    return Row(height, draw)


def _beneath(tool: str, depth: str, width: float, size: float) -> list[str]:
    """Tool and depth below what is done: on one line where they fit it."""
    both = f"{tool} · {depth}"
    return [both] if width_mm(both, size) <= width else [*wrapped(tool, width, size), *wrapped(depth, width, size)]


def _line(text: str, size: float) -> Row:
    high = size * POINT_MM * _LEAD
    return Row(high, lambda canvas, x, top: draw_words(canvas, x, top - size * POINT_MM, text, size))


def _nothing(canvas: Canvas, x: float, top: float) -> None:
    """A row of white."""
