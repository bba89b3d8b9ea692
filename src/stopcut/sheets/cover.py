"""The cover: the sheet before the pattern's own, with the map of its pages and everything it says in words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from reportlab.pdfgen.canvas import Canvas

from stopcut.sheets.notes import (
    Row,
    beside,
    board_notes,
    caution_notes,
    finding_notes,
    height_of,
    joining_notes,
    legend,
    line_notes,
)
from stopcut.sheets.page_map import TICK_MM, can_be_numbered, draw_page_map, map_scale
from stopcut.sheets.tiling import Tiling
from stopcut.sheets.words import POINT_MM, TEXT_PT, TITLE_PT, draw_words, fitted
from stopcut.work import Work

__all__ = ["cover_rows", "paged", "single_rows"]

ASIDE_MM = 60.0
"""Cautions stand beside the other notes where they may be as wide as this. (our choice: eight words to a line)"""


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
        *caution_notes(work, room_mm),
        *(_page_map(work, tiling, room_mm, covers) if count > 1 else ()),
        beside(board_notes(work, left), joining_notes(work, tiling, room_mm - left - 10), left),
        *line_notes(work, room_mm),
        *finding_notes(work.causes, room_mm),
        *legend(work, room_mm),
    ]


def single_rows(work: Work, room_mm: float, aside_mm: float = 0.0) -> list[Row]:
    """The rows that stand under a pattern on one sheet; the cautions beside them where so much room is left there."""
    left = max(room_mm * 0.4, 60.0)
    aside = caution_notes(work, min(aside_mm, room_mm)) if aside_mm >= ASIDE_MM else []
    rows = [
        beside(board_notes(work, left), joining_notes(work, None, room_mm - left - 10), left),
        *([] if aside else caution_notes(work, room_mm)),
        *line_notes(work, room_mm),
        *finding_notes(work.causes, room_mm),
        *legend(work, room_mm),
    ]
    return [Row(4.0, lambda canvas, x, top: None), *([beside(rows, aside, room_mm)] if aside else rows)]


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


def _page_map(work: Work, tiling: Tiling, room_mm: float, covers: int) -> Iterator[Row]:
    scale = map_scale(work, room_mm)
    width, height = (scale * side for side in (work.job.board.width_mm, work.job.board.height_mm))

    def draw(canvas: Canvas, x: float, top: float) -> None:
        corner = (x + (room_mm - width) / 2, top - TICK_MM - height)
        draw_page_map(canvas, work, tiling, corner, scale, covers + 1)

    yield Row(height + 2 * TICK_MM + 5.0, draw)
    if not can_be_numbered(work, tiling, scale):
        said = f"{tiling.rows} rows of {tiling.columns}, numbered row by row from the upper left, from {covers + 1} on"
        yield _words(said, 8.0)
