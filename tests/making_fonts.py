"""Fonts made for the tests from packaged ones: every container, and broken and hostile ones."""

from __future__ import annotations

import io
from functools import lru_cache
from itertools import pairwise
from pathlib import Path

import fontpkg
from fontTools.designspaceLib import AxisDescriptor, DesignSpaceDocument, SourceDescriptor
from fontTools.fontBuilder import FontBuilder
from fontTools.pens.t2CharStringPen import T2CharStringPen
from fontTools.subset import Options, Subsetter
from fontTools.ttLib import TTCollection, TTFont
from fontTools.ttLib.tables._g_l_y_f import GlyphComponent
from fontTools.varLib import build as build_variable
from fontTools.varLib import instancer

LETTERS = "HIEOSVRAxz17 É&"
"""What the made fonts have: enough for heights, stems, curves, a composite and a space."""


def packaged(family: str, *, italic: bool = False) -> Path:
    """The regular font file of a packaged family."""
    files = fontpkg.family(family).files
    style = "italic" if italic else "normal"
    return next(f.path for f in files if f.style == style and (f.variable or f.weight == 400))


@lru_cache(maxsize=64)
def instance_bytes(path: Path, weight: float | None, text: str = LETTERS) -> bytes:
    """A static font by fontTools' own instancer, cut down to the text (its composites and curves as they are)."""
    font = TTFont(path, recalcTimestamp=False)
    options = Options(layout_features=["*"], notdef_outline=True, glyph_names=True, hinting=False, name_IDs=["*"])
    subsetter = Subsetter(options)  # before the instance, which is then a matter of a few glyphs
    subsetter.populate(text=text)
    subsetter.subset(font)
    if "fvar" in font:
        axes = {axis.axisTag: axis.defaultValue for axis in font["fvar"].axes}
        font = instancer.instantiateVariableFont(font, {**axes, **({"wght": weight} if weight else {})})
    return saved(font)


def instance(path: Path, weight: float | None, text: str = LETTERS) -> TTFont:
    """The same opened."""
    return TTFont(io.BytesIO(instance_bytes(path, weight, text)), recalcTimestamp=False)


def saved(font: TTFont) -> bytes:
    """A font as the bytes of its file."""
    out = io.BytesIO()
    font.save(out)
    return out.getvalue()


def cubic(font: TTFont, *, table: str = "CFF ") -> TTFont:
    """A font with the same curves as cubics in a CFF or CFF2 table, made glyph by glyph."""
    glyphs = font.getGlyphSet()
    order = font.getGlyphOrder()
    charstrings = {}
    for name in order:
        pen = T2CharStringPen(None if table == "CFF2" else glyphs[name].width, glyphs, roundTolerance=0)
        glyphs[name].draw(pen)
        charstrings[name] = pen.getCharString(optimize=False)
    builder = FontBuilder(font["head"].unitsPerEm, isTTF=False)
    builder.setupGlyphOrder(order)
    builder.setupCharacterMap(font.getBestCmap())
    family = font["name"].getBestFamilyName()
    if table == "CFF2":
        builder.setupCFF2(charstrings)
    else:
        builder.setupCFF(f"{family}-Cubic", {"FullName": family}, charstrings, {})
    builder.setupHorizontalMetrics({name: font["hmtx"][name] for name in order})
    builder.setupHorizontalHeader(ascent=font["hhea"].ascent, descent=font["hhea"].descent)
    builder.setupNameTable({"familyName": family, "styleName": "Regular"})
    builder.setupOS2(
        version=4,
        usWeightClass=font["OS/2"].usWeightClass,
        sCapHeight=font["OS/2"].sCapHeight,
        sxHeight=font["OS/2"].sxHeight,
    )
    builder.setupPost(keepGlyphNames=True)
    return builder.font


def variable_cff2(light: TTFont, heavy: TTFont) -> TTFont:
    """A CFF2 font that varies from weight 400 to 900 between two of the same structure."""
    space = DesignSpaceDocument()
    axis = AxisDescriptor()
    axis.name, axis.tag, axis.minimum, axis.default, axis.maximum = "Weight", "wght", 400, 400, 900
    space.addAxis(axis)
    for font, weight in ((light, 400), (heavy, 900)):
        source = SourceDescriptor()
        source.font, source.location = cubic(font), {"Weight": weight}
        source.familyName, source.styleName = "Made", str(weight)
        space.addSource(source)
    made, _, _ = build_variable(space, optimize=False)
    return made


def collection(*fonts: TTFont) -> bytes:
    """A collection of fonts."""
    made = TTCollection()
    made.fonts = list(fonts)
    out = io.BytesIO()
    made.save(out)
    return out.getvalue()


def packed(font: TTFont, flavor: str) -> bytes:
    """A font as WOFF ("woff") or WOFF2 ("woff2")."""
    font.flavor = flavor
    return saved(font)


def looping(font: TTFont, *, through: int = 1) -> TTFont:
    """A font whose H is made of itself, through so many other glyphs."""
    names = ["H", "I", "E", "O", "S"][:through]
    for name, part in zip(names, names[1:] + names[:1], strict=True):
        _compose(font, name, [part])
    return font


def branching(font: TTFont, times: int = 12) -> TTFont:
    """A font whose H is made of 12 I, each of 12 E, each of 12 O … : 12⁶ parts of a few bytes each."""
    names = ["H", "I", "E", "O", "S", "V", "R"]
    for name, part in pairwise(names):
        _compose(font, name, [part] * times)
    return font


def _compose(font: TTFont, name: str, parts: list[str]) -> None:
    glyph = font["glyf"][name]
    glyph.numberOfContours = -1
    glyph.components = []
    for part in parts:
        component = GlyphComponent()
        component.glyphName, component.x, component.y, component.flags = part, 0, 0, 0x4
        glyph.components.append(component)
    for gone in ("coordinates", "endPtsOfContours", "flags", "program"):
        if hasattr(glyph, gone):
            delattr(glyph, gone)


def raw_saved(font: TTFont) -> bytes:
    """Saved without asking the glyphs for their boxes (which a looping one could not tell)."""
    font.recalcBBoxes = False
    for table in ("DSIG", "gvar", "HVAR"):
        if table in font:
            del font[table]
    return saved(font)
