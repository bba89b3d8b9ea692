"""A card on its page: the letter as large as the page allows, above its steps or beside them, and what the marks mean.

A card is one page. Type is 16 pt; only where a letter has so many steps that it would be drawn shorter than 80 mm its
steps are set in 14 pt, and in 12 pt where even so it would be shorter than 55 mm.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator, Mapping, Sequence, Set
from dataclasses import dataclass
from typing import Final

import numpy as np
from reportlab.pdfgen.canvas import Canvas

from stopcut.bench.plan import CutKind
from stopcut.job.job import Board
from stopcut.shape.outline import Bounds, Point
from stopcut.sheets.card_picture import CARD_PT, draw_letter, scale_in
from stopcut.sheets.card_rows import HOW_PT, Listing, place_said, remark_rows, step_rows
from stopcut.sheets.cover import paged
from stopcut.sheets.drawn import Pen
from stopcut.sheets.ink import draw_line, draw_outlines, take_pen
from stopcut.sheets.letter_cards import Card
from stopcut.sheets.marks import stamp_end, stamp_point, stamp_relief, stamp_slice, stamp_stop, stamp_turn
from stopcut.sheets.notes import Row, height_of
from stopcut.sheets.step_words import in_hours, nth, one_after_another
from stopcut.sheets.words import POINT_MM, TITLE_PT, can_print, draw_words, fitted, width_mm, wrapped
from stopcut.units import Units, format_length

__all__ = ["CardLayout", "card_layouts", "draw_card", "draw_grain", "draw_legend", "legend_mm"]

_HEAD_MM: Final = 17.0
_LETTER_MM: Final = 14.0
_SIZES: Final = ((CARD_PT, 80.0), (14.0, 55.0), (12.0, 0.0))
"""Sizes of type [points], each taken only where the letter is drawn less long than this with the one before [mm]. Our
choice: below it the numbers crowd, and below the second they hide the letter."""
_SHARES: Final = (0.42, 0.48, 0.54, 0.6)
"""Shares of the page's width tried for steps beside a letter. Our choice."""
_BETWEEN_MM: Final = 5.0
_REMARKS_MM: Final = 52.0
"""How wide remarks are beside a picture. [mm] Our choice."""
_LEAST_MM: Final = 70.0
"""A letter's picture is no lower. [mm] Our choice."""
_WELL: Final = 0.85
"""How the tool is held is said where the letter keeps this share of its size. Our choice."""
_LEGEND_ROW_MM: Final = 5.2
_SAMPLE_MM: Final = 11.0
_GRAIN = Pen(0.35)


@dataclass(frozen=True, slots=True)
class CardLayout:
    """One page of a card: its rows, its remarks and the box of its picture (None where it only goes on with rows), all
    from the upper left corner of what is free below the head: x to the right, y up. [mm]"""

    card: Card
    rows: tuple[Row, ...]
    rows_at: Point
    picture: Bounds | None
    remarks: tuple[Row, ...] = ()
    remarks_at: Point = (0.0, 0.0)
    still: bool = False


def card_layouts(card: Card, units: Units, width_mm: float, height_mm: float) -> list[CardLayout]:
    """How a card is laid out in a room: one page, or more where its steps would not fit on one in the smallest type."""
    room = height_mm - _HEAD_MM - legend_mm() - 2.0
    found = None
    longest = max(card.groove.placed.bounds_mm.width, card.groove.placed.bounds_mm.height)
    for size, clear in _SIZES:
        tried = list(_tried(card, units, width_mm, room, size))
        if not tried:
            continue
        best = _best(tried)
        found = best if found is None or best.scale > found.scale else found
        if found.scale * longest >= clear:
            break
    if found is not None:
        return [found.layout(card, width_mm, room)]
    listing = Listing(_SIZES[-1][0], how=False, stacked=False)
    return _over_pages(card, step_rows(card, units, width_mm, listing), width_mm, room)


@dataclass(frozen=True, slots=True)
class _Tried:
    """A way to lay a card out: its rows, beside the picture and that wide or under it (0), its remarks likewise, and
    how many times its size the letter is then drawn."""

    rows: tuple[Row, ...]
    beside_mm: float
    remarks: tuple[Row, ...]
    remarks_mm: float
    how: bool
    scale: float

    def layout(self, card: Card, width: float, room: float) -> CardLayout:
        high, said = height_of(self.rows), height_of(self.remarks)
        if self.beside_mm:
            left = width - self.beside_mm
            picture = Bounds(0.0, -room, left - _BETWEEN_MM, 0.0)
            return CardLayout(card, self.rows, (left, 0.0), picture, self.remarks, (left, -high))
        low = high - room + (0.0 if self.remarks_mm else said)
        right = width - (self.remarks_mm + _BETWEEN_MM if self.remarks_mm else 0.0)
        at = (width - self.remarks_mm, 0.0) if self.remarks_mm else (0.0, low - high)
        return CardLayout(card, self.rows, (0.0, low), Bounds(0.0, low + 1.0, right, 0.0), self.remarks, at)


def _tried(card: Card, units: Units, width: float, room: float, size: float) -> Iterator[_Tried]:
    for how in (True, False):
        rows = tuple(step_rows(card, units, width, Listing(size, how, stacked=False)))
        for aside in (0.0, _REMARKS_MM):
            said = tuple(remark_rows(card, aside or width))
            left = room - height_of(rows) - 1.0 - (0.0 if aside else height_of(said))
            if left >= _LEAST_MM and (not aside or 0 < height_of(said) <= left):
                across = width - (aside + _BETWEEN_MM if aside else 0.0)
                yield _Tried(rows, 0.0, said, aside, how, scale_in(card.groove, across, left))
        for share in _SHARES:
            beside = share * width
            rows = tuple(step_rows(card, units, beside, Listing(size, how, stacked=True)))
            said = tuple(remark_rows(card, beside))
            if height_of(rows) + height_of(said) <= room:
                scale = scale_in(card.groove, width - beside - _BETWEEN_MM, room)
                yield _Tried(rows, beside, said, 0.0, how, scale)


def _best(tried: Sequence[_Tried]) -> _Tried:
    """The largest letter; a little smaller where it can be said how the tools are held."""
    largest = max(tried, key=lambda one: one.scale)
    told = [one for one in tried if one.how and one.scale >= _WELL * largest.scale]
    return max(told, key=lambda one: one.scale) if told else largest


def _over_pages(card: Card, rows: Sequence[Row], width: float, room: float) -> list[CardLayout]:
    """A page with the picture alone, and pages of rows."""
    out = [CardLayout(card, (), (0.0, 0.0), Bounds(0.0, -room, width, 0.0))]
    for page in paged(rows, room):
        out.append(CardLayout(card, tuple(page), (0.0, 0.0), None, still=True))
    return out


def draw_card(canvas: Canvas, layout: CardLayout, board: Board, units: Units, room: Bounds) -> None:
    """Draw a page of a card into a room: head, picture, steps, and the legend at its foot."""
    _head(canvas, layout, units, room)
    left, top = room.left, room.top - _HEAD_MM
    if layout.picture is not None:
        box = layout.picture
        draw_letter(canvas, layout.card, Bounds(left + box.left, top + box.bottom, left + box.right, top + box.top))
        draw_grain(canvas, board.grain, left, top)
    for rows, at in ((layout.rows, layout.rows_at), (layout.remarks, layout.remarks_at)):
        y = top + at[1]
        for row in rows:
            row.draw(canvas, left + at[0], y)
            y -= row.height_mm
    marks = {_MARKS[cut.kind] for cut in layout.card.cuts}
    marks |= {"turn"} if layout.card.turns else set()
    draw_legend(canvas, marks, room.left, room.bottom + legend_mm(), room.width)


def _head(canvas: Canvas, layout: CardLayout, units: Units, room: Bounds) -> None:
    card = layout.card
    ink = card.groove.placed.on_board
    scale = min(_LETTER_MM / ink.bounds.height, 2 * _LETTER_MM / ink.bounds.width)
    shift = room.left - scale * ink.bounds.left, room.top - _LETTER_MM - scale * ink.bounds.bottom
    draw_outlines(canvas, [ink.mapped((scale, 0.0, 0.0, scale, *shift))], filled=True)
    left = room.left + scale * ink.bounds.width + 5.0
    # A letter read from the right would turn the whole line round; it stands large before it in any case.
    plain = can_print(card.char) and unicodedata.bidirectional(card.char[0]) not in ("R", "AL")
    char = f"{card.char}: " if plain else ""
    said = f"{char}{place_said(card)}{', still' if layout.still else ''}"
    first = room.right - left - 32.0  # the sheet's number stands at the right
    size = TITLE_PT if width_mm(said, TITLE_PT, bold=True) <= first else HOW_PT
    lines = wrapped(said, first, size, bold=True)
    if len(lines) > 1:
        lines = [lines[0], fitted(" ".join(lines[1:]), room.right - left, size, bold=True)]
    y = room.top - 5.5 if len(lines) == 1 else room.top - 3.8
    for n, line in enumerate(lines):
        draw_words(canvas, left, y - n * size * POINT_MM * 1.15, line, size, bold=True)
    draw_words(canvas, left, room.top - 13.3, fitted(_facts(card, units), room.right - left, CARD_PT), CARD_PT)


def _facts(card: Card, units: Units) -> str:
    """How many steps, how long, how high, and when it is carved."""
    high = format_length(card.groove.placed.bounds_mm.height, units)
    steps = f"{len(card.steps)} step{'s' * (len(card.steps) != 1)}"
    facts = [steps, f"{high} high"]
    if len({standing.whose for standing in card.places}) == 1:
        each = " each" if len(card.places) > 1 else ""
        facts.insert(1, f"about {in_hours(card.places[0].minutes)}{each}")
        facts.append(f"carved {one_after_another([nth(standing.nth) for standing in card.places])}")
    return " · ".join(facts)


def draw_grain(canvas: Canvas, grain: str, left: float, top: float) -> None:
    """The way of the grain with its word, its upper left corner there."""
    draw_words(canvas, left, top - 5.0, "grain", CARD_PT)
    take_pen(canvas, _GRAIN)
    canvas.saveState()
    far = 9.0
    canvas.translate(left + far, top - 9.5 if grain == "width" else top - 8.5 - far)
    if grain == "height":
        canvas.rotate(90)
    draw_line(canvas, -far, 0, far, 0)
    for end in (-far, far):
        for side in (-1.4, 1.4):
            draw_line(canvas, end, 0, end - 2.6 * (1 if end > 0 else -1), side)
    canvas.restoreState()


def legend_mm() -> float:
    """How high the legend is. [mm]"""
    return 3 * _LEGEND_ROW_MM + 2.0


def draw_legend(canvas: Canvas, marks: Set[str], left: float, top: float, width: float) -> None:
    """Three lines that say what the marks mean that a card has, a sample before each; in smaller type where they would
    be wider than there is room. [mm]"""
    size = HOW_PT
    for samples in _LEGEND:
        shown = [(name, text) for name, text in samples if not name or name in marks]
        drawn = sum((_SAMPLE_MM + 2.0) * bool(name) + 5.0 for name, _ in shown) - 5.0
        words = sum(width_mm(text, HOW_PT) for _, text in shown)
        size = min(size, HOW_PT * (width - drawn) / words) if words else size
    y = top - _LEGEND_ROW_MM
    for n, samples in enumerate(_LEGEND):
        x = left
        base = y - n * _LEGEND_ROW_MM
        for name, text in samples:
            if name and name not in marks:
                continue
            wide = _sample(canvas, name, x, base + 1.4)
            draw_words(canvas, x + wide, base, text, size)
            x += wide + width_mm(text, size) + 5.0


_MARKS: Final[Mapping[CutKind, str]] = {
    "relief": "relief",
    "stop": "stop",
    "end": "end",
    "wall": "pare",
    "serif": "pare",
    "corner": "point",
    "floor": "pare",
}
_LEGEND: Final[tuple[tuple[tuple[str, str], ...], ...]] = (
    (
        ("relief", "middle out first"),
        ("stop", "stab upright"),
        ("end", "stab and roll out: corner at the bottom, up to the surface"),
    ),
    (("pare", "pare from the line down to the stop cut; slice as arrows point; where two point apart, either way"),),
    (
        ("turn", "slicing turns"),
        ("point", "points to clean"),
        ("", "Depths are the deepest of the step, below the board’s face."),
    ),
)


def _sample(canvas: Canvas, name: str, x: float, y: float) -> float:
    """Draw a mark as a sample; gives how wide it is with its gap. [mm]"""
    line = np.array([[x + 1.0, y], [x + _SAMPLE_MM - 1.0, y]])
    if name == "stop":
        stamp_stop(canvas, line)
    elif name == "end":
        stamp_end(canvas, line)
    elif name == "pare":
        stamp_slice(canvas, line, line, "along")
    elif name == "relief":
        stamp_relief(canvas, line)
    elif name == "turn":
        stamp_turn(canvas, np.array([x + 2.5, y]))
        return 6.5
    elif name == "point":
        stamp_point(canvas, np.array([x + 1.2, y]))
        return 4.0
    else:
        return 0.0
    return _SAMPLE_MM + 2.0
