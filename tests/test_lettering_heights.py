"""Heights and stems: measured on plain shapes with known figures, and on faces against what OS/2 states."""

from __future__ import annotations

import math
from pathlib import Path

import fontpkg
import pytest
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont
from hypothesis import given, settings
from hypothesis import strategies as st
from making_fonts import instance, packaged, saved

from stopcut.foreign.fonts import OpenFont
from stopcut.lettering.facts import face_facts, glyphs_of
from stopcut.lettering.heights import flat_top, slant_of, upright_stem
from stopcut.shape.outline import Contour, Outline, polygon


def circle(x: float, y: float, radius: float, stretch: float = 1.0) -> Contour:
    k = 4 / 3 * math.tan(math.pi / 8) * radius
    points = [
        ((radius, 0), (radius, k), (k, radius), (0, radius)),
        ((0, radius), (-k, radius), (-radius, k), (-radius, 0)),
        ((-radius, 0), (-radius, -k), (-k, -radius), (0, -radius)),
        ((0, -radius), (k, -radius), (radius, -k), (radius, 0)),
    ]
    return Contour(tuple(tuple((x + stretch * px, y + py) for px, py in piece) for piece in points))


def reversed_contour(contour: Contour) -> Contour:
    return Contour(tuple(segment[::-1] for segment in reversed(contour.segments)))


def bar(x0: float, y0: float, x1: float, y1: float) -> list[tuple[float, float]]:
    return [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]


STEM = polygon(bar(0.1, 0, 0.19, 0.7))
H = polygon(
    [
        (0, 0), (0.08, 0), (0.08, 0.32), (0.5, 0.32), (0.5, 0), (0.6, 0),
        (0.6, 0.7), (0.5, 0.7), (0.5, 0.38), (0.08, 0.38), (0.08, 0.7), (0, 0.7),
    ]
)  # fmt: skip
T = polygon([(0.2, 0), (0.29, 0), (0.29, 0.63), (0.5, 0.63), (0.5, 0.7), (0, 0.7), (0, 0.63), (0.2, 0.63)])
E = polygon(
    [
        (0, 0), (0.4, 0), (0.4, 0.08), (0.09, 0.08), (0.09, 0.31), (0.35, 0.31),
        (0.35, 0.39), (0.09, 0.39), (0.09, 0.62), (0.4, 0.62), (0.4, 0.7), (0, 0.7),
    ]
)  # fmt: skip
V = polygon([(0.28, 0), (0.32, 0), (0.6, 0.7), (0.5, 0.7), (0.3, 0.1), (0.1, 0.7), (0, 0.7)])
O = Outline((circle(0.35, 0.35, 0.36), reversed_contour(circle(0.35, 0.35, 0.29))))  # noqa: E741
NARROW_O = Outline((circle(0.2, 0.35, 0.36, 0.5), reversed_contour(circle(0.2, 0.35, 0.3, 0.4))))


@pytest.mark.parametrize(("shape", "width"), [(STEM, 0.09), (H, 0.1), (T, 0.09), (E, 0.09)])
def test_a_stem_is_as_wide_as_its_sides_are_apart(shape: Outline, width: float) -> None:
    assert upright_stem(shape) == pytest.approx(width, abs=1e-9)


@pytest.mark.parametrize("shape", [V, O, NARROW_O, Outline(()), polygon(bar(0, 0.3, 0.5, 0.38))])
def test_round_and_slanting_letters_and_dashes_have_no_stem(shape: Outline) -> None:
    assert upright_stem(shape) is None


@settings(max_examples=60)
@given(st.floats(-20, 20), st.floats(0.03, 0.2))
def test_a_leaning_stem_is_measured_square_to_its_sides(lean_deg: float, width: float) -> None:
    slope = math.tan(math.radians(lean_deg))
    leaning = polygon(bar(0, 0, width, 0.7)).mapped((1, 0, slope, 1, 0, 0))
    assert slant_of(leaning) == pytest.approx(lean_deg, abs=1e-6)
    assert upright_stem(leaning, lean_deg) == pytest.approx(width * math.cos(math.radians(lean_deg)), abs=1e-6)
    if abs(lean_deg) > 4:
        assert upright_stem(leaning) is None


def test_a_waisted_stem_is_measured_at_its_waist() -> None:
    sides = [((0.2, 0), (0.19, 0.35), (0.2, 0.7)), ((0.2, 0.7), (0.1, 0.7)), ((0.1, 0.7), (0.11, 0.35), (0.1, 0))]
    waisted = Outline((Contour((*sides, ((0.1, 0), (0.2, 0)))),))
    assert upright_stem(waisted) == pytest.approx(0.09, abs=2e-4)  # a parabola's middle lies half way to its control


def test_of_two_stems_the_thicker_long_one_counts() -> None:
    u = polygon([(0, 0), (0.6, 0), (0.6, 0.7), (0.57, 0.7), (0.57, 0.05), (0.1, 0.05), (0.1, 0.7), (0, 0.7)])
    assert upright_stem(u) == pytest.approx(0.1, abs=1e-9)


def test_the_flat_of_a_letter_is_its_top_and_never_its_bar_or_foot() -> None:
    assert flat_top(H) == 0.7
    assert flat_top(T) == 0.7
    assert flat_top(O) is None
    foot = polygon([(0, 0), (0.5, 0), (0.5, 0.05), (0.3, 0.05), (0.25, 0.7), (0.2, 0.05), (0, 0.05)])
    assert flat_top(foot) is None


def test_a_serif_that_is_cupped_is_as_high_as_its_rim() -> None:
    cupped = polygon([(0, 0), (0.2, 0), (0.2, 0.7), (0.15, 0.699), (0.05, 0.699), (0, 0.7)])
    assert flat_top(cupped) == 0.7


def regular_files() -> list[str]:
    return sorted(fontpkg.families())


OTHERWISE = {"josefin-sans": 0.723}
"""Families whose H is not as high as OS/2 states, with the height of H that fontTools' pen gives (next test). [em]"""


@pytest.mark.parametrize("family", regular_files())
def test_cap_height_is_what_os2_states(family: str) -> None:
    path = packaged(family)
    facts, font = face_facts(path, 0, 400.0), TTFont(path)
    stated = font["OS/2"].sCapHeight / font["head"].unitsPerEm
    assert stated > 0
    if family in OTHERWISE:
        assert facts.cap_height == pytest.approx(OTHERWISE[family], abs=0.001)
        assert abs(facts.cap_height - stated) > 0.005
    else:
        assert facts.cap_height == pytest.approx(stated, abs=0.005)


@pytest.mark.parametrize("family", ["cinzel", "josefin-sans", "marcellus", "spectral"])
def test_cap_height_is_the_top_of_h_at_the_weight_drawn(family: str) -> None:
    path = packaged(family)
    for weight in (400.0, 700.0):
        if OpenFont(path).about().axis("wght") is None and weight != 400:
            continue
        font = instance(path, weight, "HI")
        pen = BoundsPen(font.getGlyphSet())
        font.getGlyphSet()[font.getBestCmap()[ord("H")]].draw(pen)
        unit = 1 / font["head"].unitsPerEm
        assert face_facts(path, 0, weight).cap_height == pytest.approx(pen.bounds[3] * unit, abs=unit)


@pytest.mark.parametrize("family", ["spectral", "cardo", "inter", "lora", "eb-garamond", "work-sans"])
def test_x_height_is_what_os2_states(family: str) -> None:
    path = packaged(family)
    stated = TTFont(path)["OS/2"].sxHeight / TTFont(path)["head"].unitsPerEm
    assert face_facts(path, 0, 400.0).x_height == pytest.approx(stated, abs=0.003)


def test_stated_slants_are_found_on_the_letters_where_they_are_true() -> None:
    """post.italicAngle of families whose I leans as it says."""
    for family in ("cardo", "fira-sans", "lato", "spectral", "raleway"):
        path = packaged(family, italic=True)
        stated = -TTFont(path)["post"].italicAngle
        assert face_facts(path, 0, 400.0).slant_deg == pytest.approx(stated, abs=0.3)
    assert face_facts(packaged("cinzel"), 0, 400.0).slant_deg == 0


def test_letters_of_a_roman_have_stems_where_a_carver_sees_them() -> None:
    drawn = glyphs_of(OpenFont(packaged("cinzel")), "IHETLFBDPRUOSCVAWXQZ&", 500)
    stems = {char: upright_stem(outline) for char, outline in drawn.items()}
    assert {char for char, stem in stems.items() if stem is None} == set("OSCVAWXQZ&")
    assert all(stem == pytest.approx(stems["I"], abs=0.002) for stem in stems.values() if stem is not None)


def test_lining_figures_are_as_high_as_their_flats_and_old_style_ones_are_not_taken() -> None:
    assert face_facts(packaged("cormorant"), 0, 400.0).figure_height == pytest.approx(0.625, abs=0.002)
    assert face_facts(packaged("spectral"), 0, 400.0).figure_height == pytest.approx(0.66, abs=0.002)


def test_a_face_without_h_takes_os2s_cap_height_and_else_its_tallest_flat(tmp_path: Path) -> None:
    font = instance(packaged("cinzel"), 500, "ETOx")
    font["OS/2"].sCapHeight = 690
    (tmp_path / "stated.ttf").write_bytes(saved(font))
    assert face_facts(tmp_path / "stated.ttf", 0, 500.0).cap_height == 0.69
    font["OS/2"].sCapHeight = 0
    (tmp_path / "silent.ttf").write_bytes(saved(font))
    assert face_facts(tmp_path / "silent.ttf", 0, 500.0).cap_height == pytest.approx(0.7, abs=0.002)
    facts = face_facts(tmp_path / "silent.ttf", 0, 500.0)
    assert (facts.figure_height, facts.stem, facts.upright) == (None, None, None)
