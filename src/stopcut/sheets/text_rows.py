"""Rows of words in the size that the sheets of the bench have: headings, paragraphs, paragraphs with a box to tick."""

from __future__ import annotations

from typing import Final

from reportlab.pdfgen.canvas import Canvas

from stopcut.shape.outline import Bounds
from stopcut.sheets.drawn import Pen
from stopcut.sheets.ink import draw_box, take_pen
from stopcut.sheets.notes import Row, caution_texts
from stopcut.sheets.words import POINT_MM, draw_words, wrapped
from stopcut.work import Work

__all__ = ["FIRST_PT", "caution_rows", "gap_row", "heading_row", "section_rows", "text_rows"]

FIRST_PT: Final = 12.0
"""What is read before the work, at a table. (our choice)"""
_BOX: Final = Pen(0.35)


def gap_row(height: float) -> Row:
    """White, that high. [mm]"""
    return Row(height, lambda canvas, x, top: None, leads=True)


def heading_row(text: str, size: float, height: float) -> Row:
    """A heading that high. [mm]"""

    def draw(canvas: Canvas, x: float, top: float) -> None:
        draw_words(canvas, x, top - height + 0.28 * size * POINT_MM + 0.4, text, size, bold=True)

    return Row(height, draw, leads=True)


def section_rows(title: str) -> list[Row]:
    """The heading of a part of the page, with room above it."""
    return [gap_row(3.5), heading_row(title, FIRST_PT + 1, 6.5)]


def text_rows(text: str, room: float, *, ticked: bool = False) -> list[Row]:
    """A paragraph that wide [mm], with a box to tick before it where it is asked for."""
    indent = 6.5 if ticked else 0.0
    rows = []
    for n, line in enumerate(wrapped(text, room - indent, FIRST_PT)):

        def draw(canvas: Canvas, x: float, top: float, n: int = n, line: str = line) -> None:
            if ticked and n == 0:
                take_pen(canvas, _BOX)
                draw_box(canvas, Bounds(x + 0.2, top - 4.6, x + 3.8, top - 1.0))
            draw_words(canvas, x + indent, top - 4.4, line, FIRST_PT)

        rows.append(Row(5.4, draw))
    return rows


def caution_rows(work: Work, room: float) -> list[Row]:
    """What a carver is told before the first cut, under its heading, as a paragraph that wide. [mm]"""
    return [*section_rows("Before the first cut"), *text_rows(" ".join(caution_texts(work)), room)]
