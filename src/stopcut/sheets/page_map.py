"""The map of pages: the board small, cut up by the joins, each part with the number of its sheet."""

from __future__ import annotations

import itertools

from reportlab.pdfgen.canvas import Canvas

from stopcut.shape.outline import Bounds
from stopcut.sheets.drawn import Pen, all_placed
from stopcut.sheets.ink import draw_box, draw_line, draw_outlines, draw_white, take_pen
from stopcut.sheets.labels import FIGURE_HEIGHT
from stopcut.sheets.tiling import Tiling
from stopcut.sheets.words import POINT_MM, SMALL_PT, draw_words, width_mm
from stopcut.work import Work

__all__ = ["TICK_MM", "can_be_numbered", "draw_page_map", "map_scale"]

HIGHEST_MM = 90.0
"""How high the map is at most. (our choice: it leaves the cover room for its words)"""

LARGEST_SCALE = 0.5
"""The map is never larger than this, lest somebody trace it. (our choice)"""

TICK_MM = 2.0
"""How far joins reach beyond the board on the map. (our choice)"""

_INSET_MM = 1.5
_WHITE_MM = 0.6


def map_scale(work: Work, room_mm: float) -> float:
    """The map's scale, so that it and its ticks fit the room. [mm on paper a mm of board]"""
    board = work.job.board
    return min((room_mm - 2 * TICK_MM) / board.width_mm, HIGHEST_MM / board.height_mm, LARGEST_SCALE)


def draw_page_map(
    canvas: Canvas, work: Work, tiling: Tiling, corner: tuple[float, float], scale: float, first: int
) -> None:
    """Draw the map with the board's lower left corner at a place; first is the number of the first tile's sheet."""
    board = work.job.board
    x, y = corner
    move = (scale, 0.0, 0.0, scale, x, y)
    letters = [placed.on_board.mapped(move) for placed in all_placed(work) if placed.outline]
    take_pen(canvas, Pen(0.35))
    whole = Bounds(x, y, x + scale * board.width_mm, y + scale * board.height_mm)
    draw_box(canvas, whole)
    take_pen(canvas, Pen(0.1))
    draw_outlines(canvas, letters)
    across = [whole.left, *(x + scale * join for join in tiling.joins_x), whole.right]
    down = [whole.top, *(y + scale * join for join in tiling.joins_y), whole.bottom]
    take_pen(canvas, Pen(0.15, (2.0, 1.0)) if can_be_numbered(work, tiling, scale) else Pen(0.05))
    for at in across[1:-1]:
        draw_line(canvas, at, whole.bottom - TICK_MM, at, whole.top + TICK_MM)
    for at in down[1:-1]:
        draw_line(canvas, whole.left - TICK_MM, at, whole.right + TICK_MM, at)
    if can_be_numbered(work, tiling, scale):
        boxes = [letter.bounds for letter in letters]
        parts = itertools.product(itertools.pairwise(down), itertools.pairwise(across))
        for number, ((top, bottom), (left, right)) in enumerate(parts, first):
            _number(canvas, f"{number}", Bounds(left, bottom, right, top), boxes)


def can_be_numbered(work: Work, tiling: Tiling, scale: float) -> bool:
    """Whether every part of the map has room for the number of its sheet."""
    board = work.job.board
    across = [0.0, *tiling.joins_x, board.width_mm]
    down = [board.height_mm, *tiling.joins_y, 0.0]
    width = width_mm(f"{9 * len(tiling.tiles)}", SMALL_PT) + 2 * _INSET_MM
    height = SMALL_PT * POINT_MM * FIGURE_HEIGHT + 2 * _INSET_MM
    return all(scale * (b - a) >= width for a, b in itertools.pairwise(across)) and all(
        scale * (a - b) >= height for a, b in itertools.pairwise(down)
    )


def _number(canvas: Canvas, text: str, part: Bounds, taken: list[Bounds]) -> None:
    """A part's number in the corner of it that no letter is in; else the upper left one, on white."""
    width, height = width_mm(text, SMALL_PT), SMALL_PT * POINT_MM * FIGURE_HEIGHT
    lefts = (part.left + _INSET_MM, part.right - _INSET_MM - width)
    bottoms = (part.top - _INSET_MM - height, part.bottom + _INSET_MM)
    boxes = [
        Bounds(left - _WHITE_MM, bottom - _WHITE_MM, left + width + _WHITE_MM, bottom + height + _WHITE_MM)
        for bottom in bottoms
        for left in lefts
    ]
    box = next((box for box in boxes if not any(box.meets(other) for other in taken)), boxes[0])
    draw_white(canvas, box)
    draw_words(canvas, box.left + _WHITE_MM, box.bottom + _WHITE_MM, text, SMALL_PT)
