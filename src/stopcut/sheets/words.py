"""Words on a sheet: the sheets' own type, its lining figures, and what is printed where it has no shape for a letter.

Alegreya Sans is the sheets' face. Its plain figures are old-style; the sheets map digits to its lining tabular ones.
What it has no shape for comes from another of the packaged faces, and what none of them has is printed as an open
box, so that no word of a title in any script goes missing unseen.
"""

from __future__ import annotations

import itertools
import unicodedata
from dataclasses import dataclass
from functools import cache, lru_cache

import fontpkg
import uharfbuzz
from fontTools.ttLib import TTFont as Tables
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from stopcut.lettering.bidi import visual_text

__all__ = ["POINT_MM", "SMALL_PT", "TEXT_PT", "TITLE_PT", "can_print", "draw_words", "fitted", "width_mm", "wrapped"]

POINT_MM = 25.4 / 72
"""The PDF's point. (PDF 32000-1, 8.3.2.3)"""

TITLE_PT, TEXT_PT, SMALL_PT = 17.0, 11.0, 10.0
"""Sizes of type: text on sheets is 10 to 12 pt, headings larger. (our choice)"""

_FACES = {
    False: (("Alegreya Sans", 400), ("EB Garamond", 400), ("Cardo", 400)),
    True: (("Alegreya Sans", 700), ("EB Garamond", 700), ("Cardo", 700)),
}
"""Where a letter's shape is looked for, in turn, for plain words and bold. Cardo has Hebrew and much of Greek."""

_UNKERNED_EM = 0.005
"""Moves smaller than this are left out. (our choice: 0.02 mm in text, which nobody sees)"""

_MISSING = "□"
"""Stands for a letter that no face has."""


def draw_words(
    canvas: Canvas,
    x_mm: float,
    y_mm: float,
    text: str,
    size_pt: float = TEXT_PT,
    *,
    bold: bool = False,
    anchor: float = 0.0,
    upright: bool = False,
) -> None:
    """Print one line of words with its baseline at y (or, upright, at x and read from below).

    The canvas counts in mm. anchor is where along the words the place is: 0 at their start, 0.5 in their middle, 1 at
    their end.
    """
    canvas.saveState()
    canvas.translate(x_mm, y_mm)
    if upright:
        canvas.rotate(90)
    canvas.scale(POINT_MM, POINT_MM)
    at = -anchor * _width_pt(text, size_pt, bold)
    for font, run in _runs(text, bold):
        canvas.setFont(font.fontName, size_pt)
        for piece, start in _kerned(font.fontName, run).pieces:
            canvas.drawString(at + start * size_pt, 0, piece)
        at += _kerned(font.fontName, run).width * size_pt
    canvas.restoreState()


def width_mm(text: str, size_pt: float = TEXT_PT, *, bold: bool = False) -> float:
    """How wide a line of words is printed. [mm]"""
    return _width_pt(text, size_pt, bold) * POINT_MM


def fitted(text: str, room_mm: float, size_pt: float = TEXT_PT, *, bold: bool = False) -> str:
    """The words if they fit, else as many letters of them as do, and an ellipsis."""
    if width_mm(text, size_pt, bold=bold) <= room_mm:
        return text
    short, long = 0, len(text)
    while long - short > 1:
        middle = (short + long) // 2
        if width_mm(text[:middle].rstrip() + "…", size_pt, bold=bold) <= room_mm:
            short = middle
        else:
            long = middle
    return text[:short].rstrip() + "…"


def wrapped(text: str, room_mm: float, size_pt: float = TEXT_PT, *, bold: bool = False) -> list[str]:
    """The words in lines that fit the room (at least one line), broken at spaces; a word too long for it anywhere."""
    lines: list[str] = []
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and width_mm(longer, size_pt, bold=bold) <= room_mm:
            lines[-1] = longer
        else:
            lines += _pieces(word, room_mm, size_pt, bold)
    return lines or [""]


def can_print(text: str) -> bool:
    """Whether the sheets' faces have a shape for every letter of the words."""
    return _visible(text, bold=False).count(_MISSING) == text.count(_MISSING)


def _pieces(word: str, room_mm: float, size_pt: float, bold: bool) -> list[str]:
    """A word in pieces that fit, of a letter at least."""
    pieces = [""]
    for char in word:
        if pieces[-1] and width_mm(pieces[-1] + char, size_pt, bold=bold) > room_mm:
            pieces.append("")
        pieces[-1] += char
    return pieces


def _width_pt(text: str, size_pt: float, bold: bool) -> float:
    return sum(_kerned(font.fontName, run).width for font, run in _runs(text, bold)) * size_pt


@lru_cache(maxsize=4096)
def _runs(text: str, bold: bool) -> tuple[tuple[TTFont, str], ...]:
    """The words cut where the face changes, in the order they are printed from left to right."""
    shown = _visible(text, bold)
    if any(unicodedata.bidirectional(char) in ("R", "AL") for char in shown):
        shown = visual_text(shown)
    faces = itertools.groupby(shown, lambda char: _font_for(char, bold))
    return tuple((font, "".join(run)) for font, run in faces if font is not None)


def _visible(text: str, bold: bool) -> str:
    """The text with boxes for what no face has, without what is never seen (controls, joiners)."""
    kept = (" " if char in "\t\n" else char for char in unicodedata.normalize("NFC", text))
    return "".join(
        char if _font_for(char, bold) else _MISSING
        for char in kept
        if unicodedata.category(char) not in ("Cc", "Cf", "Cs", "Co", "Cn") or _font_for(char, bold)
    )


@dataclass(frozen=True, slots=True)
class _Kerned:
    """A run cut where the face moves two letters together or apart: each piece with its start; all in em."""

    pieces: tuple[tuple[str, float], ...]
    width: float


@lru_cache(maxsize=4096)
def _kerned(name: str, run: str) -> _Kerned:
    """A run as its face kerns it. reportlab prints letters one after another: between pieces they are moved."""
    face = _named(name).face
    plain = [face.charWidths.get(ord(char), face.defaultWidth) / 1000 for char in run]
    buffer = uharfbuzz.Buffer()
    buffer.add_str(run)
    buffer.guess_segment_properties()
    buffer.direction = "ltr"
    font = _shaper(face.filename)
    uharfbuzz.shape(
        font, buffer, {"kern": True, "liga": False, "clig": False, "calt": False, "lnum": True, "tnum": True}
    )
    advances = [position.x_advance / font.face.upem for position in buffer.glyph_positions]
    if len(advances) != len(run):
        advances = plain
    advances = [
        natural if " " in run[i : i + 2] else advance
        for i, (advance, natural) in enumerate(zip(advances, plain, strict=True))
    ]
    pieces, start, end = [""], [0.0], 0.0
    for i, char in enumerate(run):
        pieces[-1] += char
        end += advances[i]
        if abs(advances[i] - plain[i]) > _UNKERNED_EM and i + 1 < len(run):
            pieces.append("")
            start.append(end)
    return _Kerned(tuple(zip(pieces, start, strict=True)), end)


def _named(name: str) -> TTFont:
    font = pdfmetrics.getFont(name)
    assert isinstance(font, TTFont)
    return font


@cache
def _shaper(path: str) -> uharfbuzz.Font:
    return uharfbuzz.Font(uharfbuzz.Face(uharfbuzz.Blob.from_file_path(path)))


@lru_cache(maxsize=4096)
def _font_for(char: str, bold: bool) -> TTFont | None:
    """The first face that has a shape for the letter; None if none has."""
    fonts = (_font(family, weight) for family, weight in _FACES[bold])
    return next((font for font in fonts if ord(char) in font.face.charToGlyph), None)


@cache
def _font(family: str, weight: int) -> TTFont:
    """A packaged face, registered with reportlab."""
    font = TTFont(f"stopcut {family} {weight}", str(fontpkg.path(family, weight, nearest=True)), shapable=False)
    _line_figures(font)
    pdfmetrics.registerFont(font)
    return font


def _line_figures(font: TTFont) -> None:
    """Have a font print its lining tabular figures for digits, where it has them under their usual names."""
    with Tables(font.face.filename, lazy=True) as tables:
        numbers = {name: number for number, name in enumerate(tables.getGlyphOrder())}
        widths, em = tables["hmtx"], tables["head"].unitsPerEm
        for digit in "0123456789":
            name = f"{unicodedata.name(digit).split()[-1].lower()}.tf"
            if name in numbers:
                font.face.charToGlyph[ord(digit)] = numbers[name]
                font.face.charWidths[ord(digit)] = round(widths[name][0] * 1000 / em)
