"""In the worker: whether a glyph is whole, by its bytes.

HarfBuzz draws what it can of a broken glyph, and a letter with a piece missing must not reach a board.
"""

from __future__ import annotations

import struct

import uharfbuzz as hb

from stopcut.foreign.font_draw import draw
from stopcut.foreign.inside import BadInput

__all__ = ["GlyphCheck"]

MOST_NESTING = 16
"""Composite glyphs within composites. Our choice: honest fonts go three deep."""
MOST_PARTS = 256
"""Parts of one glyph, parts of parts counted. Our choice: honest fonts stay under twenty."""


class GlyphCheck:
    """Whether glyphs are whole, by their bytes.

    TrueType glyphs are followed through their parts (OpenType specification, glyf and loca); CFF ones are run.
    """

    def __init__(self, face: hb.Face, font: hb.Font) -> None:
        self._font = font
        self._loca, self._glyf = (bytes(face.reference_table(tag).data or b"") for tag in ("loca", "glyf"))
        head = face.reference_table("head").data
        self._long = struct.unpack(">h", head[50:52])[0] != 0 if len(head) >= 52 else False
        self._count = 0

    def check(self, glyph: int) -> None:
        """Raises BadInput for a glyph that is cut short, broken, or made of itself."""
        self._count = 0
        if self._loca and self._glyf:
            self._whole(glyph, ())
        elif self._font.get_glyph_extents(glyph) is None:
            raise BadInput("its drawing breaks off")

    def _whole(self, glyph: int, above: tuple[int, ...]) -> None:
        self._count += 1
        if glyph in above:
            raise BadInput("it is made of itself")
        if len(above) > MOST_NESTING or self._count > MOST_PARTS:
            raise BadInput("it is made of too many parts")
        body = self._body(glyph)
        if not body:
            return
        contours = struct.unpack(">h", body[:2])[0]
        if contours < 0:
            for part in _components(body):
                self._whole(part, (*above, glyph))
        elif contours > 0 and not list(draw(self._font, [(glyph, 0.0, 0.0)])):
            raise BadInput("it has been cut short")

    def _body(self, glyph: int) -> bytes:
        step, form, unit = (4, ">LL", 1) if self._long else (2, ">HH", 2)
        ends = self._loca[glyph * step : (glyph + 2) * step]
        if len(ends) < 2 * step:
            raise BadInput("it lies past the end of the font's list")
        start, end = (unit * place for place in struct.unpack(form, ends))
        if start > end or end > len(self._glyf) or 0 < end - start < 10:
            raise BadInput("it has been cut short")
        return self._glyf[start:end]


def _components(body: bytes) -> list[int]:
    """The glyphs that a composite glyph is made of."""
    parts, at = [], 10
    while at + 4 <= len(body):
        flags, part = struct.unpack(">HH", body[at : at + 4])
        parts.append(part)
        if not flags & 0x20:  # MORE_COMPONENTS
            return parts
        at += 4 + (4 if flags & 0x1 else 2)
        at += 2 if flags & 0x8 else 4 if flags & 0x40 else 8 if flags & 0x80 else 0
    raise BadInput("it has been cut short")
