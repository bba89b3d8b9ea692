"""pattern.pdf: the board at true size, to be traced, on one sheet or on several to be joined.

`pattern_pdf` chooses the sheets and draws them. The same work and day of issue give the same bytes.
"""

from __future__ import annotations

import datetime
import io
from collections.abc import Sequence
from dataclasses import dataclass

from reportlab.pdfgen.canvas import Canvas

from stopcut.sheets.cover import cover_rows, paged, single_rows
from stopcut.sheets.drawn import Layer, Pen, layers
from stopcut.sheets.ink import begin_page, clip_to, draw_circle, draw_layers, draw_line, take_pen
from stopcut.sheets.labels import PatternLabel, labels
from stopcut.sheets.notes import COLUMN_GAP_MM, Row, height_of
from stopcut.sheets.page import BAR_MM, PRINTER_MARGIN_MM, Heading, PaperTooSmall, draw_furniture, kept_free
from stopcut.sheets.paper import Paper, home_paper, paper_named, single_sheets
from stopcut.sheets.tiling import BLEED_MM, MARK_REACH_MM, Mark, Tile, Tiling, tile_board
from stopcut.sheets.words import SMALL_PT, draw_words
from stopcut.work import Work

__all__ = ["ONE_SHEET", "draw_pattern", "pattern_pdf"]

ONE_SHEET = "one sheet"
"""Asks for the smallest sheet that holds the whole board, for a print shop."""

PDF_LONGEST_MM = 14400 * 25.4 / 72
"""The longest page that readers are bound to show. (PDF 32000-1, annex C.2: 14 400 points)"""

INDENT_MM = 4.0
"""From the upright bar's strip to notes beside it. (our choice)"""

MOST_SHEETS = 500
"""Of a pattern. Our choice: more nobody joins; on the largest sheets the largest board there can be takes as many."""

NOTES_MM = 180.0
"""How wide notes are set under a lone pattern at most. (our choice: longer lines of print are hard to read)"""


_MARK_CIRCLE_MM = 2.0
_TICK_MM = 5.0
_MARK_PEN = Pen(0.15)
"""Register marks and the ticks at a join's ends. (our choice: as fine as the outline)"""


def pattern_pdf(work: Work, paper: str | None = None, *, issued: datetime.date | None = None) -> bytes:
    """The pattern as a PDF.

    paper is a sheet's name ("A4", "Letter", "ANSI D"), on as many of which as it takes the board is drawn; "one sheet"
    takes the smallest sheet that holds all of it, or as long a piece of a roll as it needs; None is the home printer's
    sheet, A4 or Letter by the job's units. issued is the date printed, today if not given.

    Raises UnknownPaper, or PaperTooSmall where a page could not show what it must.
    """
    held = io.BytesIO()
    canvas = Canvas(held, pageCompression=1, invariant=1, lang="en-GB")
    canvas.setTitle(f"{work.job.title}: pattern at full size")
    canvas.setCreator("stopcut")
    draw_pattern(canvas, work, paper, issued=issued)
    canvas.save()
    return held.getvalue()


def draw_pattern(canvas: Canvas, work: Work, paper: str | None = None, *, issued: datetime.date | None = None) -> None:
    """The same, as further pages of a canvas."""
    day = issued or datetime.date.today()
    drawn = layers(work)
    words = labels(work, drawn)
    if paper == ONE_SHEET:
        plan = _one_sheet(work)
    else:
        chosen = paper_named(paper) if paper else home_paper(work.job.units)
        plan = _with_notes_under(work, chosen) or _with_cover(work, chosen, words)
    _covers(canvas, work, plan, day)
    _tiles(canvas, work, plan, day, drawn, words)


@dataclass(frozen=True, slots=True)
class _Sheets:
    """The sheets: covers first (their rows, page by page), then the tiles; under are notes below a lone tile."""

    tiling: Tiling
    covers: tuple[tuple[Row, ...], ...]
    under: tuple[Row, ...]

    @property
    def sheets(self) -> int:
        """How many sheets there are in all."""
        return len(self.covers) + len(self.tiling.tiles)


def _one_sheet(work: Work) -> _Sheets:
    for paper in single_sheets(work.job.units):
        plan = _with_notes_under(work, paper)
        if plan is not None:
            return plan
    piece = _piece_of_roll(work)
    plan = _with_notes_under(work, piece)
    assert plan is not None, "a piece of roll cut to measure holds the board"
    return plan


def _with_notes_under(work: Work, paper: Paper) -> _Sheets | None:
    """One sheet, upright or turned, that holds board and notes; None if it would not."""
    board = work.job.board
    for turned in (board.width_mm > board.height_mm, board.width_mm <= board.height_mm):
        across = paper.height_mm if turned else paper.width_mm
        room = min(_room(paper, across), NOTES_MM)
        rows = tuple(single_rows(work, room, _room(paper, across) - room - COLUMN_GAP_MM))
        kept = kept_free(paper, notes_mm=height_of(rows))
        tiling = tile_board(board.width_mm, board.height_mm, paper, kept, turns=(turned,))
        if tiling is not None and len(tiling.tiles) == 1:
            return _Sheets(tiling, (), rows)
    return None


def _with_cover(work: Work, paper: Paper, words: Sequence[PatternLabel]) -> _Sheets:
    board = work.job.board
    kept = kept_free(paper)
    clear = [letter.placed.bounds_mm for line in work.setting.lines for letter in line.letters if letter.placed.outline]
    clear += [label.bounds for label in words]
    tiling = tile_board(board.width_mm, board.height_mm, paper, kept, keep_clear=clear)
    if tiling is None:
        raise PaperTooSmall(f"{paper.name} is too small to be joined: print on A5 or larger")
    if len(tiling.tiles) > MOST_SHEETS:
        raise PaperTooSmall(_too_many(work, paper, len(tiling.tiles)))
    room_across, room_up = _room(paper, paper.width_mm), paper.height_mm - kept.bottom - kept.top
    # How many sheets the cover takes does not depend on the numbers it prints, but the numbers depend on it.
    covers = len(list(paged(cover_rows(work, tiling, room_across, 1), room_up)))
    pages = paged(cover_rows(work, tiling, room_across, covers), room_up)
    return _Sheets(tiling, tuple(tuple(page) for page in pages), ())


def _too_many(work: Work, paper: Paper, sheets: int) -> str:
    """What is wrong, and the smallest sheet that would do: the largest always does."""
    board = work.job.board
    for larger in single_sheets(work.job.units):
        tiling = tile_board(board.width_mm, board.height_mm, larger, kept_free(larger))
        fewer = len(tiling.tiles) if tiling is not None else sheets
        if fewer <= MOST_SHEETS:
            break
    return (
        f"the pattern would take {sheets} sheets of {paper.name}, and {MOST_SHEETS} are the most: print on "
        f"{larger.name} ({fewer} sheets)"
    )


def _room(paper: Paper, across_mm: float) -> float:
    """How wide notes may be on a page of that width. [mm]"""
    return across_mm - kept_free(paper).left - PRINTER_MARGIN_MM - INDENT_MM


def _piece_of_roll(work: Work) -> Paper:
    """A sheet made to measure, for a board beyond the largest."""
    board = work.job.board
    large = single_sheets(work.job.units)[-1]
    kept = kept_free(large, notes_mm=height_of(single_rows(work, NOTES_MM)))
    width = max(board.width_mm + 2 * BLEED_MM, NOTES_MM + INDENT_MM) + kept.left + kept.right
    height = max(board.height_mm + 2 * BLEED_MM, BAR_MM) + kept.bottom + kept.top
    if max(width, height) > PDF_LONGEST_MM:
        raise PaperTooSmall(
            f"the board is too long for one sheet (a PDF page ends at {PDF_LONGEST_MM:.0f} mm): join several"
        )
    return Paper("a piece of a roll", width, height)


def _covers(canvas: Canvas, work: Work, plan: _Sheets, day: datetime.date) -> None:
    paper, kept = plan.tiling.paper, plan.tiling.kept
    for number, rows in enumerate(plan.covers, 1):
        begin_page(canvas, paper.width_mm, paper.height_mm)
        heading = Heading(number, plan.sheets, cover=number == 1)
        draw_furniture(canvas, work, heading, (paper.width_mm, paper.height_mm), day)
        _rows(canvas, rows, kept.left + INDENT_MM, paper.height_mm - kept.top)
        canvas.showPage()


def _tiles(
    canvas: Canvas, work: Work, plan: _Sheets, day: datetime.date, drawn: Sequence[Layer], words: Sequence[PatternLabel]
) -> None:
    tiling = plan.tiling
    page = (tiling.page_width_mm, tiling.page_height_mm)
    for number, tile in enumerate(tiling.tiles, len(plan.covers) + 1):
        place = f"row {tile.row}, column {tile.column}" if len(tiling.tiles) > 1 else ""
        begin_page(canvas, *page)
        draw_furniture(canvas, work, Heading(number, plan.sheets, place), page, day)
        _window(canvas, tiling, tile, drawn, words)
        _rows(canvas, plan.under, tiling.kept.left + INDENT_MM, tiling.kept.bottom)
        canvas.showPage()


def _rows(canvas: Canvas, rows: Sequence[Row], x: float, top: float) -> None:
    for row in rows:
        row.draw(canvas, x, top)
        top -= row.height_mm


def _window(canvas: Canvas, tiling: Tiling, tile: Tile, drawn: Sequence[Layer], words: Sequence[PatternLabel]) -> None:
    """The window of one page, and the ticks at the ends of its joins."""
    window = tile.window
    canvas.saveState()
    canvas.translate(tiling.kept.left - window.left, tiling.kept.bottom - window.bottom)
    clip_to(canvas, window)
    draw_layers(canvas, drawn, window)
    for label in words:
        if window.holds(label.bounds):
            draw_words(canvas, label.x_mm, label.y_mm, label.text, SMALL_PT)
    for mark in tiling.marks_on(tile):
        _mark(canvas, mark)
    _join_ticks(canvas, tiling, tile)
    canvas.restoreState()


def _mark(canvas: Canvas, mark: Mark) -> None:
    x, y = mark.x_mm, mark.y_mm
    take_pen(canvas, _MARK_PEN)
    draw_line(canvas, x - MARK_REACH_MM, y, x + MARK_REACH_MM, y)
    draw_line(canvas, x, y - MARK_REACH_MM, x, y + MARK_REACH_MM)
    draw_circle(canvas, x, y, _MARK_CIRCLE_MM)
    draw_words(canvas, x + _MARK_CIRCLE_MM, y + _MARK_CIRCLE_MM - 0.4, mark.name, SMALL_PT)


def _join_ticks(canvas: Canvas, tiling: Tiling, tile: Tile) -> None:
    """Short lines on the window's edges where joins meet them: a straightedge from tick to tick is the join."""
    window = tile.window
    take_pen(canvas, _MARK_PEN)
    for x in tiling.joins_x:
        if window.left < x < window.right:
            draw_line(canvas, x, window.bottom, x, window.bottom + _TICK_MM)
            draw_line(canvas, x, window.top - _TICK_MM, x, window.top)
    for y in tiling.joins_y:
        if window.bottom < y < window.top:
            draw_line(canvas, window.left, y, window.left + _TICK_MM, y)
            draw_line(canvas, window.right - _TICK_MM, y, window.right, y)
