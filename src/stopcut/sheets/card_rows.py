"""The rows of a card: every cut with a box to tick, in working order, under the tool that it wants.

Rows stand in columns, two to a page, and are shared out evenly over the pages that they need, so that none has a few
left over.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby
from typing import Final

from reportlab.pdfgen.canvas import Canvas

from stopcut.bench.plan import Cut
from stopcut.shape.outline import Bounds
from stopcut.sheets.card_picture import CARD_PT
from stopcut.sheets.drawn import Pen
from stopcut.sheets.ink import draw_box, draw_line, take_pen
from stopcut.sheets.notes import Row
from stopcut.sheets.words import draw_words, fitted, wrapped
from stopcut.units import Units, format_length

__all__ = ["COLUMN_GAP_MM", "Block", "cut_blocks", "cut_name", "in_columns"]

COLUMN_GAP_MM: Final = 6.0
"""Between two columns. [mm] Our choice."""
COLUMNS: Final = 2

_ROW_MM: Final = 7.0
_LINE_MM: Final = 6.8
_TOOL_ROW_MM: Final = 9.2
_BOX_MM: Final = 4.6
_STEP_MM: Final = 1.0
_FINEST: Final = 64  # of an inch; a tip shallower than half of that still has a depth
_BOX, _RULE = Pen(0.35), Pen(0.15)
_KINDS: Final = {"stop": "stop cut", "end": "end cut", "serif": "", "corner": "tip", "floor": "floor"}

Block = tuple[str, list[Row]]
"""The rows of one tool, its name first; no name for what is said below the cuts."""


def cut_blocks(cuts: Sequence[Cut], numbers: Mapping[str, int], units: Units, width_mm: float) -> Iterator[Block]:
    """Each run of cuts with one tool: its name, and the name's and the cuts' rows; then what to be careful of."""
    for tool, run in groupby(cuts, key=lambda cut: cut.tool):
        name = tool.name if tool is not None else "nothing in the roll fits"
        yield name, [_tool_row(name, width_mm), *(_cut_row(cut, numbers[cut.id], units, width_mm) for cut in run)]
    said: dict[str, list[str]] = {}
    for cut in cuts:
        for caution in cut.cautions:
            # Which end it is shows in the picture.
            plain = caution.replace("its start", "one end").replace("its end", "one end")
            mentioned = said.setdefault(plain, [])
            mentioned += [number] if (number := str(numbers[cut.id])) not in mentioned else []
    for caution, mentioned in said.items():
        lines = wrapped(f"At {', '.join(mentioned)}: {caution[0].lower()}{caution[1:]}", width_mm, CARD_PT)
        yield "", [Row(4.0, lambda canvas, x, top: None, leads=True), *(_line_row(line) for line in lines)]


def in_columns(
    blocks: Sequence[Block], room_mm: float, width_mm: float, first_mm: float | None = None
) -> list[list[Row]]:
    """The rows in columns of even height, none higher than the room, and as few as will do; whole pages where there
    are more than one.

    first_mm is the room in the columns of the first page, where something stands above them.
    """
    first = room_mm if first_mm is None else first_mm
    found = _filled(blocks, first, room_mm, width_mm)
    if len(found) == 1:
        return found
    whole = -(-len(found) // COLUMNS) * COLUMNS
    least = max(first, room_mm)
    while least > _STEP_MM:
        least -= _STEP_MM
        tried = _filled(blocks, min(first, least), min(room_mm, least), width_mm)
        if len(tried) > whole:
            break
        found = tried
    return found


def _filled(blocks: Sequence[Block], first_mm: float, room_mm: float, width_mm: float) -> list[list[Row]]:
    """Rows put into columns in turn, each filled before the next; a tool's name goes with a cut of it at least."""
    head = _head_row(width_mm)
    columns, high = [[head]], head.height_mm
    for tool, block in blocks:
        for number, row in enumerate(block):
            following = block[number + 1].height_mm if row.leads and number + 1 < len(block) else 0.0
            room = first_mm if len(columns) <= COLUMNS else room_mm
            if len(columns[-1]) > 1 and high + row.height_mm + following > room:
                again = number > 0 and tool
                columns.append([head, *([_tool_row(f"{tool}, still", width_mm)] if again else [])])
                high = sum(one.height_mm for one in columns[-1])
            columns[-1].append(row)
            high += row.height_mm
    return columns


def cut_name(cut: Cut) -> str:
    """What a cut is called on a card."""
    kind = cut.stroke_kind or ""
    if cut.kind == "wall":
        return f"{kind} {cut.side} wall" if cut.side else f"{kind} end wall"
    if cut.kind == "serif":
        return f"serif {cut.side}" if cut.side else "serif"
    return f"{kind} {_KINDS[cut.kind]}".strip()


def _head_row(width: float) -> Row:
    """What the figures of a column are."""

    def draw(canvas: Canvas, x: float, top: float) -> None:
        base = top - _ROW_MM + 1.7
        draw_words(canvas, x + width - 25.5, base, "deep", CARD_PT, anchor=1)
        draw_words(canvas, x + width - 9.0, base, "times", CARD_PT, anchor=1)

    return Row(_ROW_MM, draw, leads=True)


def _line_row(text: str) -> Row:
    return Row(_LINE_MM, lambda canvas, x, top: draw_words(canvas, x, top - _LINE_MM + 2.0, text, CARD_PT))


def _tool_row(name: str, width: float) -> Row:
    def draw(canvas: Canvas, x: float, top: float) -> None:
        base = top - _TOOL_ROW_MM + 2.4
        draw_words(canvas, x, base, fitted(name, width, CARD_PT, bold=True), CARD_PT, bold=True)
        take_pen(canvas, _RULE)
        draw_line(canvas, x, base - 1.6, x + width, base - 1.6)

    return Row(_TOOL_ROW_MM, draw, leads=True)


def _cut_row(cut: Cut, number: int, units: Units, width: float) -> Row:
    settings = cut.placements * cut.passes
    depth = _short(cut.depth_mm, units)
    how = {"whole": "", "part": "part", "point": "point"}[cut.use]
    name = cut_name(cut)

    def draw(canvas: Canvas, x: float, top: float) -> None:
        base = top - _ROW_MM + 1.7
        take_pen(canvas, _BOX)
        draw_box(canvas, Bounds(x + 0.3, base - 0.5, x + 0.3 + _BOX_MM, base - 0.5 + _BOX_MM))
        draw_words(canvas, x + 12.5, base, str(number), CARD_PT, bold=True, anchor=1)
        draw_words(canvas, x + 14.5, base, fitted(name, width - 49.0, CARD_PT), CARD_PT)
        draw_words(canvas, x + width - 25.5, base, depth, CARD_PT, anchor=1)
        draw_words(canvas, x + width - 13.0, base, f"{settings} ×", CARD_PT, anchor=1)
        draw_words(canvas, x + width - 12.0, base, how, CARD_PT)

    return Row(_ROW_MM, draw)


def _short(mm: float, units: Units) -> str:
    """A depth without its unit: the foot says which. Tenths of a millimetre, or sixty-fourths of an inch."""
    if units == "in":
        words = format_length(mm, "in", finest=_FINEST).removesuffix(" in")
        return f"< 1/{_FINEST}" if words == "0" and mm > 0 else words
    return f"{mm:.1f}"
