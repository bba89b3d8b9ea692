"""The cover: the sheet before the pattern's own, with the map of its pages and everything it says in words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from reportlab.pdfgen.canvas import Canvas

from stopcut.job.job import Board
from stopcut.shape.outline import Bounds
from stopcut.sheets.drawn import Pen, all_placed
from stopcut.sheets.ink import draw_box, draw_line, draw_outlines, take_pen
from stopcut.sheets.notes import (
    Row,
    beside,
    board_notes,
    finding_notes,
    height_of,
    joining_notes,
    legend,
    line_notes,
)
from stopcut.sheets.tiling import Tiling
from stopcut.sheets.words import POINT_MM, TEXT_PT, TITLE_PT, draw_words, fitted
from stopcut.work import Work

__all__ = ["cover_rows", "paged", "single_rows"]

MAP_MM = 90.0
"""How high the map of pages is at most. (our choice)"""

_MAP_TICK_MM = 2.0


def cover_rows(work: Work, tiling: Tiling, room_mm: float, covers: int) -> list[Row]:
    """The cover's rows. covers is how many sheets they take themselves: the pattern's own are numbered after them."""
    count = len(tiling.tiles)
    under = (
        f"Pattern at full size, on {count} sheets to be joined" if count > 1 else "Pattern at full size, on one sheet"
    )
    left = room_mm * 0.4
    return [
        _title(work.job.title, room_mm),
        _words(under, 8.0),
        _page_map(work, tiling, room_mm, covers),
        beside(board_notes(work, left), joining_notes(work, tiling, room_mm - left - 10), left),
        *line_notes(work, room_mm),
        *finding_notes(work.findings, room_mm),
        *legend(work, room_mm),
    ]


def single_rows(work: Work, room_mm: float) -> list[Row]:
    """The rows that stand under a pattern on one sheet."""
    left = max(room_mm * 0.4, 60.0)
    return [
        Row(4.0, lambda canvas, x, top: None),
        beside(board_notes(work, left), joining_notes(work, None, room_mm - left - 10), left),
        *line_notes(work, room_mm),
        *finding_notes(work.findings, room_mm),
        *legend(work, room_mm),
    ]


def paged(rows: Sequence[Row], room_mm: float) -> Iterator[list[Row]]:
    """Rows page by page, each page no higher than the room; a heading goes over with what it heads."""
    page: list[Row] = []
    for number, row in enumerate(rows):
        needed = row.height_mm
        following = number
        while rows[following].leads and following + 1 < len(rows):
            following += 1
            needed += rows[following].height_mm
        if page and height_of(page) + needed > room_mm:
            yield page
            page = []
        page.append(row)
    if page:
        yield page


def _title(title: str, room_mm: float) -> Row:
    def draw(canvas: Canvas, x: float, top: float) -> None:
        draw_words(
            canvas, x, top - TITLE_PT * POINT_MM, fitted(title, room_mm, TITLE_PT, bold=True), TITLE_PT, bold=True
        )

    return Row(TITLE_PT * POINT_MM + 2.5, draw, leads=True)


def _words(text: str, height_mm: float) -> Row:
    return Row(height_mm, lambda canvas, x, top: draw_words(canvas, x, top - TEXT_PT * POINT_MM, text))


def _page_map(work: Work, tiling: Tiling, room_mm: float, covers: int) -> Row:
    """The board small, each page's part of it bounded by the joins, with the number of its sheet."""
    board = work.job.board
    windows = [tile.window for tile in tiling.tiles]
    whole = windows[0]
    for window in windows[1:]:
        whole = whole.union(window)
    scale = min((room_mm - 2 * _MAP_TICK_MM) / whole.width, MAP_MM / whole.height, 0.5)
    height = scale * whole.height

    def draw(canvas: Canvas, x: float, top: float) -> None:
        x += (room_mm - scale * whole.width) / 2 - scale * whole.left
        y = top - scale * whole.top - _MAP_TICK_MM
        take_pen(canvas, Pen(0.35))
        draw_box(canvas, Bounds(x, y, x + scale * board.width_mm, y + scale * board.height_mm))
        move = (scale, 0.0, 0.0, scale, x, y)
        take_pen(canvas, Pen(0.1))
        draw_outlines(canvas, [placed.on_board.mapped(move) for placed in all_placed(work)])
        _map_pages(canvas, tiling, board, whole, (x, y, scale), covers)

    return Row(height + 2 * _MAP_TICK_MM + 5.0, draw)


def _map_pages(
    canvas: Canvas, tiling: Tiling, board: Board, whole: Bounds, place: tuple[float, float, float], covers: int
) -> None:
    x, y, scale = place
    take_pen(canvas, Pen(0.15, (2.0, 1.0)))
    left, right = x + scale * whole.left - _MAP_TICK_MM, x + scale * whole.right + _MAP_TICK_MM
    bottom, top = y + scale * whole.bottom - _MAP_TICK_MM, y + scale * whole.top + _MAP_TICK_MM
    for join in tiling.joins_x:
        draw_line(canvas, x + scale * join, bottom, x + scale * join, top)
    for join in tiling.joins_y:
        draw_line(canvas, left, y + scale * join, right, y + scale * join)
    across, down = (max(whole.left, 0.0), *tiling.joins_x), (min(whole.top, board.height_mm), *tiling.joins_y)
    for tile in tiling.tiles:
        number = covers + (tile.row - 1) * tiling.columns + tile.column
        corner_x, corner_y = x + scale * across[tile.column - 1], y + scale * down[tile.row - 1]
        draw_words(canvas, corner_x + 1.5, corner_y - 4.2, f"{number}")
