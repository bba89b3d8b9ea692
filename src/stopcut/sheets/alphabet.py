"""alphabet.pdf: the letters of a face from easy to hard, each with what makes it so."""

from __future__ import annotations

import datetime
import io
from collections.abc import Sequence
from typing import Final

from reportlab.pdfgen.canvas import Canvas

from stopcut.shape.outline import Bounds
from stopcut.sheets.cover import paged
from stopcut.sheets.drawn import Pen
from stopcut.sheets.ink import begin_page, draw_box, draw_line, draw_outlines, take_pen
from stopcut.sheets.notes import Row, caution_notes
from stopcut.sheets.page import Heading, draw_furniture, kept_free
from stopcut.sheets.paper import home_paper, paper_named
from stopcut.sheets.step_words import in_hours
from stopcut.sheets.words import TEXT_PT, TITLE_PT, draw_words, fitted, wrapped
from stopcut.teaching.practised import PracticeLetter
from stopcut.units import format_length
from stopcut.work import Work

__all__ = ["alphabet_pdf"]

_INSET_MM: Final = 4.0
_ROW_MM: Final = 11.6
_LETTER_MM: Final = 7.0
_LINE_MM: Final = 4.6
_RULE, _BOX = Pen(0.15), Pen(0.35)


def alphabet_pdf(
    work: Work,
    letters: Sequence[PracticeLetter],
    counting: Sequence[str],
    paper: str | None = None,
    *,
    issued: datetime.date | None = None,
) -> bytes:
    """The letters in the order given, a row each; counting says what the points are for.

    paper is a sheet's name, the home printer's if not given. Raises UnknownPaper.
    """
    sheet = paper_named(paper) if paper is not None else home_paper(work.job.units)
    kept = kept_free(sheet)
    day = issued or datetime.date.today()
    left = kept.left + _INSET_MM
    room, height = sheet.width_mm - kept.right - left, sheet.height_mm - kept.bottom - kept.top - 2.0
    rows = [
        _title(work, letters, room),
        *caution_notes(work, room),
        *(_row(letter, n, room) for n, letter in enumerate(letters, 1)),
    ]
    rows += _counting(counting, room)
    pages = list(paged(rows, height))
    out = io.BytesIO()
    canvas = Canvas(out, invariant=1, pageCompression=1, lang="en-GB")
    canvas.setTitle(f"{work.job.title}: letters from easy to hard")
    canvas.setCreator("stopcut")
    for number, page in enumerate(pages, 1):
        begin_page(canvas, sheet.width_mm, sheet.height_mm)
        draw_furniture(canvas, work, Heading(number, len(pages)), (sheet.width_mm, sheet.height_mm), day)
        top = sheet.height_mm - kept.top - 1.0
        for row in page:
            row.draw(canvas, left, top)
            top -= row.height_mm
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def _title(work: Work, letters: Sequence[PracticeLetter], room: float) -> Row:
    line = work.setting.lines[0]
    cap = format_length(line.cap_height_mm, work.job.units)
    title = f"{line.family} from easy to hard"
    below = f"{len(letters)} letters, {cap} high, grain along the {work.job.board.grain}; how long each likely takes"

    def draw(canvas: Canvas, x: float, top: float) -> None:
        draw_words(canvas, x, top - 6.5, fitted(title, room, TITLE_PT, bold=True), TITLE_PT, bold=True)
        draw_words(canvas, x, top - 12.5, fitted(below, room, TEXT_PT), TEXT_PT)

    return Row(17.0, draw, leads=True)


def _row(letter: PracticeLetter, number: int, room: float) -> Row:
    """A box to tick, the letter, its points, its strokes, and what the hardest of them is."""

    def draw(canvas: Canvas, x: float, top: float) -> None:
        ink = letter.groove.placed.on_board
        scale = min(_LETTER_MM / ink.bounds.height, 1.5 * _LETTER_MM / ink.bounds.width)
        middle = x + 21.0 - scale * ink.bounds.centre[0]
        take_pen(canvas, _BOX)
        draw_box(canvas, Bounds(x + 0.3, top - 6.6, x + 4.7, top - 2.2))
        draw_words(canvas, x + 12.0, top - 6.0, str(number), TEXT_PT, bold=True, anchor=1)
        base = top - 1.3 - _LETTER_MM - scale * ink.bounds.bottom
        draw_outlines(canvas, [ink.mapped((scale, 0.0, 0.0, scale, middle, base))], filled=True)
        at = x + 32.0
        said = f"{_strokes(letter)}; {letter.tools} tool{'s' * (letter.tools != 1)}"
        draw_words(canvas, at, top - 4.4, fitted(said, room - 62.0, TEXT_PT), TEXT_PT)
        draw_words(canvas, at, top - 4.4 - _LINE_MM, fitted(letter.because, room - 32.0, TEXT_PT), TEXT_PT)
        draw_words(canvas, x + room - 18.0, top - 4.4, f"{letter.points:.1f}", TEXT_PT, bold=True, anchor=1)
        draw_words(canvas, x + room, top - 4.4, in_hours(letter.minutes), TEXT_PT, anchor=1)
        take_pen(canvas, _RULE)
        draw_line(canvas, x, top - _ROW_MM + 0.6, x + room, top - _ROW_MM + 0.6)

    return Row(_ROW_MM, draw)


def _strokes(letter: PracticeLetter) -> str:
    return ", ".join(f"{count} {kind}{'s' * (count > 1)}" for kind, count in letter.kinds)


def _counting(counting: Sequence[str], room: float) -> list[Row]:
    """What the points are for."""
    said = "; ".join(counting)
    text = (
        "The points are our choice; that straight strokes come before curved ones, long before short, and few tools "
        f"before many is common practice. They add up: {said}."
    )
    rows = [Row(4.0, lambda canvas, x, top: None, leads=True)]
    return rows + [_line(line) for line in wrapped(text, room, TEXT_PT)]


def _line(text: str) -> Row:
    return Row(5.2, lambda canvas, x, top: draw_words(canvas, x, top - 4.2, text, TEXT_PT))
