"""Fonts of every container, held against fontTools' own pens on the same instance."""

from __future__ import annotations

import io
from functools import lru_cache
from pathlib import Path

import numpy as np
import pytest
import shapely
import uharfbuzz as hb
from fontTools.pens.areaPen import AreaPen
from fontTools.pens.basePen import decomposeQuadraticSegment
from fontTools.pens.boundsPen import BoundsPen
from fontTools.pens.recordingPen import DecomposingRecordingPen
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.ttLib import TTFont
from making_fonts import LETTERS, collection, cubic, instance, packaged, packed, saved, variable_cff2

from stopcut.errors import BadFace
from stopcut.foreign.fonts import OpenFont, TextRun
from stopcut.shape.flat import flatten
from stopcut.shape.outline import Outline

CINZEL = packaged("cinzel")
UNIT = 1 / 1000
ROUNDED = 0.75 * UNIT
"""fontTools' instancer rounds points to whole units, HarfBuzz does not: extents agree to a unit's rounding."""


@lru_cache
def thin_and_bold() -> bytes:
    return saved(variable_cff2(instance(CINZEL, 400), instance(CINZEL, 900)))


CONTAINERS = {
    "plain.ttf": lambda: saved(instance(CINZEL, 500)),
    "cubic.otf": lambda: saved(cubic(instance(CINZEL, 500))),
    "cff2.otf": lambda: saved(cubic(instance(CINZEL, 500), table="CFF2")),
    "variable-cff2.otf": thin_and_bold,
    "web.woff": lambda: packed(instance(CINZEL, 500), "woff"),
    "web.woff2": lambda: packed(instance(CINZEL, 500), "woff2"),
    "cubic.woff2": lambda: packed(cubic(instance(CINZEL, 500)), "woff2"),
    "several.ttc": lambda: collection(instance(CINZEL, 500), instance(packaged("marcellus"), None)),
}


def drawn(font: OpenFont, text: str, weight: float | None = None, **features: int) -> dict[str, Outline]:
    runs = [TextRun(i, i + 1) for i in range(len(text))]
    axes = {} if weight is None else {"wght": weight}
    letters = font.line(text, runs, range(len(text)), features=features, axes=axes)
    return {text[letter.start : letter.end]: letter.outline for letter in letters}


def extents(font: TTFont, char: str) -> tuple[float, ...]:
    pen = BoundsPen(font.getGlyphSet())
    font.getGlyphSet()[font.getBestCmap()[ord(char)]].draw(pen)
    return tuple(v / font["head"].unitsPerEm for v in pen.bounds)


def ours(outline: Outline) -> tuple[float, ...]:
    b = outline.bounds
    return (b.left, b.bottom, b.right, b.top)


@pytest.mark.parametrize("name", CONTAINERS)
def test_a_letter_has_the_extents_fonttools_gives_whatever_the_container(name: str, tmp_path: Path) -> None:
    path = tmp_path / name
    path.write_bytes(CONTAINERS[name]())
    reference = instance(CINZEL, 500)
    letters = drawn(OpenFont(path), LETTERS.replace(" ", ""), 500)
    assert set(letters) == set(LETTERS) - {" "}
    for char, outline in letters.items():
        assert ours(outline) == pytest.approx(extents(reference, char), abs=2 * ROUNDED), (name, char)


@pytest.mark.parametrize("family", ["cinzel", "marcellus", "spectral", "eb-garamond", "jost", "zilla-slab"])
def test_extents_and_area_are_those_of_fonttools_own_pens_on_the_same_instance(family: str) -> None:
    path, text = packaged(family), "HIOSRQagmex&8"
    font = OpenFont(path)
    weight = 600 if font.about().axis("wght") else None
    reference = instance(path, weight, text)
    unit = 1 / reference["head"].unitsPerEm
    for char, outline in drawn(font, text, weight).items():
        assert ours(outline) == pytest.approx(extents(reference, char), abs=1.01 * unit), (family, char)
        pen = AreaPen(reference.getGlyphSet())
        reference.getGlyphSet()[reference.getBestCmap()[ord(char)]].draw(pen)
        if not _overlaps(reference, char):
            # Rounding moves an outline by up to half a unit along its length, some four to six em.
            assert outline.area == pytest.approx(abs(pen.value) * unit * unit, abs=3 * unit), (family, char)


def _overlaps(font: TTFont, char: str) -> bool:
    """Whether the glyph's contours may run over each other (a composite, or flagged so)."""
    glyph = font["glyf"][font.getBestCmap()[ord(char)]]
    return bool(glyph.isComposite() or (glyph.flags[0] & 0x40))


def test_overlapping_contours_count_their_common_ground_once(tmp_path: Path) -> None:
    path = tmp_path / "cross.ttf"
    path.write_bytes(saved(_with_two_crossing_bars(instance(CINZEL, 500))))
    cross = drawn(OpenFont(path), "H")["H"]
    assert len(cross.contours) == 1
    assert cross.area == pytest.approx((600 * 100 + 100 * 600 - 100 * 100) / 1e6, rel=1e-9)
    assert len(cross.contours[0].segments) == 12


def _with_two_crossing_bars(font: TTFont) -> TTFont:
    pen = TTGlyphPen(None)
    for x0, y0, x1, y1 in ((0, 250, 600, 350), (250, 0, 350, 600)):
        pen.moveTo((x0, y0))
        for point in ((x0, y1), (x1, y1), (x1, y0)):
            pen.lineTo(point)
        pen.closePath()
    font["glyf"]["H"] = pen.glyph()
    return font


def test_outer_contours_run_anticlockwise_and_holes_clockwise_whichever_way_the_font_drew_them(tmp_path: Path) -> None:
    for make in (lambda: instance(CINZEL, 500), lambda: cubic(instance(CINZEL, 500))):
        path = tmp_path / "ring.ttf"
        path.write_bytes(saved(make()))
        ring = drawn(OpenFont(path), "O")["O"]
        areas = sorted(contour.area for contour in ring.contours)
        assert len(areas) == 2
        assert areas[0] < 0 < areas[1]
        assert abs(areas[0]) < areas[1]


def test_an_accent_belongs_to_its_letters_one_outline() -> None:
    for text, starts in (("É", [0]), ("E\u0301", [0])):
        (letter,) = OpenFont(CINZEL).line(text, [TextRun(0, len(text))], starts, features={}, axes={})
        assert letter.outline.bounds.top > 0.85
        assert len(letter.outline.contours) == 2
        assert all(contour.area > 0 for contour in letter.outline.contours)


def test_the_members_of_a_collection_are_told_apart(tmp_path: Path) -> None:
    path = tmp_path / "two.ttc"
    path.write_bytes(CONTAINERS["several.ttc"]())
    assert [OpenFont(path, member).about().family for member in (0, 1)] == ["Cinzel", "Marcellus"]
    with pytest.raises(BadFace, match="there is no #2"):
        OpenFont(path, 2).about()


def test_a_variable_cff2_letter_grows_with_its_weight(tmp_path: Path) -> None:
    path = tmp_path / "grows.otf"
    path.write_bytes(thin_and_bold())
    font = OpenFont(path)
    areas = [drawn(font, "H", weight)["H"].area for weight in (400, 500, 900)]
    light, heavy = (drawn(OpenFont(CINZEL), "H", weight)["H"].area for weight in (400, 900))
    assert areas[0] == pytest.approx(light, abs=2 * UNIT)
    assert areas[2] == pytest.approx(heavy, abs=2 * UNIT)
    assert areas[0] < areas[1] < areas[2]


def test_facts_are_those_that_fonttools_reads() -> None:
    for family in ("cinzel", "spectral", "cormorant"):
        path = packaged(family)
        about, font = OpenFont(path).about(), TTFont(path)
        assert about.family == font["name"].getBestFamilyName()
        assert about.style == font["name"].getBestSubFamilyName()
        assert about.upem == font["head"].unitsPerEm
        assert about.weight == font["OS/2"].usWeightClass
        assert about.cap_height == font["OS/2"].sCapHeight / about.upem
        assert about.x_height == font["OS/2"].sxHeight / about.upem
        assert about.ascender == font["hhea"].ascent / about.upem
        assert "Open Font License" in about.licence
        axes = (
            [(a.axisTag, a.minValue, a.defaultValue, a.maxValue) for a in font["fvar"].axes] if "fvar" in font else []
        )
        assert [(a.tag, a.least, a.default, a.most) for a in about.axes] == axes
        assert about.features == {
            record.FeatureTag for tag in ("GSUB", "GPOS") for record in font[tag].table.FeatureList.FeatureRecord
        }
        assert not about.damaged


def test_advances_are_harfbuzzs_with_kerning() -> None:
    font = hb.Font(hb.Face(CINZEL.read_bytes()))
    font.set_variations({"wght": 500})
    buffer = hb.Buffer()
    buffer.add_str("AVATAR")
    buffer.guess_segment_properties()
    hb.shape(font, buffer, {"liga": False})
    letters = OpenFont(CINZEL).line("AVATAR", [TextRun(0, 6)], range(6), features={"liga": 0}, axes={"wght": 500})
    assert [letter.advance for letter in letters] == [place.x_advance / 1000 for place in buffer.glyph_positions]


def test_a_dot_without_points_on_its_curve_keeps_its_shape(tmp_path: Path) -> None:
    """TrueType rings may have control points alone; a ring of four is nearly a circle."""
    pen = TTGlyphPen(None)
    pen.qCurveTo((300, 300), (100, 300), (100, 100), (300, 100), None)
    pen.closePath()
    font = instance(CINZEL, 500)
    font["glyf"]["H"] = pen.glyph()
    path = tmp_path / "dot.ttf"
    path.write_bytes(saved(font))
    dot = drawn(OpenFont(path), "H")["H"]
    reference = TTFont(io.BytesIO(path.read_bytes()))
    assert ours(dot) == pytest.approx(extents(reference, "H"), abs=1e-6)
    # Four parabolas with controls at a square's corners: side² · 5/6 (Green's theorem).
    assert dot.area == pytest.approx(0.2 * 0.2 * 5 / 6, rel=1e-6)


def test_a_variable_fonts_styles_go_by_the_names_it_gives_them() -> None:
    font = TTFont(CINZEL)
    named = {i.coordinates["wght"]: font["name"].getDebugName(i.subfamilyNameID) for i in font["fvar"].instances}
    about = OpenFont(CINZEL).about()
    assert {weight: about.style_at(weight) for weight in named} == named
    assert about.style_at(512.5) == "512.5"
    assert OpenFont(packaged("jost", italic=True)).about().style_at(333) == "333 Italic"
    assert OpenFont(packaged("marcellus")).about().style_at(700) == "Regular"


@pytest.mark.parametrize("family", ["cinzel", "montserrat", "inter", "eb-garamond"])
def test_overlaps_are_taken_out_as_a_general_geometry_library_does(family: str) -> None:
    """shapely's arrangement of the raw contours, its cells kept by the non-zero rule (OpenType specification, glyf)."""
    path, weight = packaged(family), 700
    reference = instance(path, weight, "ABEHKRQ&Å")
    unit = 1 / reference["head"].unitsPerEm
    for char, outline in drawn(OpenFont(path), "ABEHKRQ&Å", weight).items():
        union = _filled(reference, char)
        parts = list(union.geoms) if union.geom_type == "MultiPolygon" else [union]
        assert outline.area == pytest.approx(union.area * unit * unit, abs=3 * unit), (family, char)
        assert sum(contour.area > 0 for contour in outline.contours) == len(parts), (family, char)
        assert sum(contour.area < 0 for contour in outline.contours) == sum(len(p.interiors) for p in parts)
        flat = [shapely.Polygon(ring) for ring in flatten(outline, 1e-4, area_true=False).rings]
        assert all(polygon.is_valid for polygon in flat), (family, char)


def _filled(font: TTFont, char: str) -> shapely.Geometry:
    """The union of a glyph's contours by the non-zero rule, curves in 16 steps, in the font's units."""
    pen = DecomposingRecordingPen(font.getGlyphSet())
    font.getGlyphSet()[font.getBestCmap()[ord(char)]].draw(pen)
    rings: list[np.ndarray] = []
    points: list[tuple[float, float]] = []
    for verb, arguments in pen.value:
        if verb == "closePath":
            rings.append(np.array(points))
        elif verb == "qCurveTo":
            for control, end in decomposeQuadraticSegment(arguments):
                (x0, y0), (x1, y1), (x2, y2) = points[-1], control, end
                for t in np.linspace(0, 1, 17)[1:]:
                    a, b, c = (1 - t) ** 2, 2 * t * (1 - t), t * t
                    points.append((a * x0 + b * x1 + c * x2, a * y0 + b * y1 + c * y2))
        else:
            points = [*points, arguments[0]] if verb == "lineTo" else [arguments[0]]
    lines = shapely.unary_union([shapely.LinearRing(ring) for ring in rings])
    cells = shapely.polygonize([lines]).geoms
    return shapely.unary_union([cell for cell in cells if _winding(rings, cell.representative_point()) != 0])


def _winding(rings: list[np.ndarray], point: shapely.Point) -> int:
    total = 0
    for ring in rings:
        a = ring - (point.x, point.y)
        b = np.roll(a, -1, axis=0)
        side = a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]
        rising, falling = (a[:, 1] <= 0) & (b[:, 1] > 0), (a[:, 1] > 0) & (b[:, 1] <= 0)
        total += int((rising & (side > 0)).sum()) - int((falling & (side < 0)).sum())
    return total
