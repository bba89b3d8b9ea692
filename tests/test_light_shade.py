"""Light in the V, against the closed forms of a long groove.

Geometry of a V of wall angle w under light of elevation e whose direction makes the angle p with the line across the
groove, e2 = atan2(sin e, cos e cos p) in the groove's cross-section: the far wall's cosine is cos w sin e + sin w cos e
cos p, the near wall's has a minus; for e2 < w the far wall is lit over 2 tan e2 / (tan w + tan e2) of its width, from
the lip down (plane trigonometry). The walls' mean view of the sky is cos w; it is (1 + cos w)/2 at the lip and cos² w
at the root (the crossed strings of Hottel and Sarofim, Radiative Transfer, 1967; from memory).
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from light_shapes import cut, ell, frame_over, letter, rectangle, ring, seen

from stopcut.light.raster import Frame, pixels
from stopcut.light.shade import Lamp, bounces, direct, sky_view
from stopcut.light.wall_map import normals, spots_on, walls_of
from stopcut.shape.outline import Outline

LONG, WIDE = 8000.0, 10.0

# w, e, p [degrees]; cosine on the face, on the far wall, on the near wall; lit part of the far wall. Worked by the
# forms above.
LONG_V = [
    (45, 15, 0, 0.258819, 0.866025, 0.000000, 0.422650),
    (45, 15, 45, 0.258819, 0.665976, 0.000000, 0.549608),
    (45, 30, 0, 0.500000, 0.965926, 0.000000, 0.732051),
    (45, 30, 90, 0.500000, 0.353553, 0.353553, 1.000000),
    (45, 60, 45, 0.866025, 0.862372, 0.362372, 1.000000),
    (60, 15, 0, 0.258819, 0.965926, 0.000000, 0.267949),
    (60, 15, 45, 0.258819, 0.720916, 0.000000, 0.359014),
    (60, 30, 45, 0.500000, 0.780330, 0.000000, 0.640754),
    (60, 45, 45, 0.707107, 0.786566, 0.000000, 0.898979),
    (60, 60, 45, 0.866025, 0.739199, 0.126826, 1.000000),
    (60, 60, 90, 0.866025, 0.433013, 0.433013, 1.000000),
    (60, 90, 0, 1.000000, 0.500000, 0.500000, 1.000000),
]

# Mean light on the walls of a long V under an even sky, open face 1, by wall angle and reflectance: the strip equations
# of the V solved with 400 strips a wall.
LONG_V_WALLS = [
    (45, 0.2, 0.7491),
    (45, 0.4, 0.7973),
    (45, 0.8, 0.9199),
    (60, 0.2, 0.5506),
    (60, 0.4, 0.6149),
    (60, 0.8, 0.8184),
    (65, 0.4, 0.5367),
]


def shade(walls, spots, lamp):
    return direct(walls, spots, normals(walls, spots, blended=False), lamp)


def across_long_v(wall_deg, count=4000):
    """A groove along x and spots across its middle: half of them on the upper wall (y > 0), half on the lower."""
    walls = walls_of([cut(rectangle(LONG, WIDE, -LONG / 2, -WIDE / 2), wall_deg)])
    y = (np.arange(count) + 0.5) / count * WIDE - WIDE / 2
    return walls, spots_on(walls, np.where(y > 0, 2, 0), np.full(count, 0.123), y)


@pytest.mark.parametrize(("wall", "elevation", "off_across", "face", "far", "near", "lit_part"), LONG_V)
def test_both_walls_of_a_long_groove_take_light_as_trigonometry_says(
    wall, elevation, off_across, face, far, near, lit_part
):
    walls, spots = across_long_v(wall)
    lamp = Lamp(90 - off_across, elevation)  # light from y > 0: the lower wall is the far one
    light = shade(walls, spots, lamp)
    lower, upper = light[spots.y_mm < 0], light[spots.y_mm > 0]
    assert lamp.on_face == pytest.approx(face, abs=1e-6)
    assert lower.max() == pytest.approx(far, abs=1e-6)
    assert upper.max() == pytest.approx(near, abs=1e-6)
    assert (lower > 0).mean() == pytest.approx(lit_part, abs=1e-3)
    if lit_part < 1:
        assert (spots.y_mm[spots.y_mm < 0][lower > 0] < spots.y_mm[spots.y_mm < 0][lower == 0].min()).all()


@settings(max_examples=15)
@given(st.sampled_from("MARSO&"), st.floats(0, 360), st.floats(15, 90), st.floats(40, 70), st.floats(0, 360))
def test_a_letter_seen_square_on_takes_the_faces_light_times_the_cosine_of_its_walls(
    char, azimuth, elevation, wall, turn
):
    """All light that comes in at the opening falls on the walls, and a wall's seen area is cos w of its true one."""
    walls, spots = seen([cut(letter(char), wall, scale=40, turn_deg=turn)], 0.06)
    lamp = Lamp(azimuth, elevation)
    mean = shade(walls, spots, lamp).mean()
    assert mean == pytest.approx(math.cos(math.radians(wall)) * lamp.on_face, rel=0.03)


@pytest.mark.parametrize("wall", [45, 60, 65])
def test_sky_over_a_long_groove_falls_from_lip_to_root_as_strips_say(wall):
    walls, spots = across_long_v(wall, 400)
    share = sky_view(walls, spots, 256).share
    w = math.radians(wall)
    # A spot's view ends at the far lip: in cross-section (1 + the cosine of the
    # angle between the upper wall's normal and that lip) / 2.
    to_lip = np.stack([WIDE / 2 + np.abs(spots.y_mm), spots.depth_mm])
    sine = (math.cos(w) * to_lip[0] - math.sin(w) * to_lip[1]) / np.hypot(*to_lip)
    assert share == pytest.approx((1 + sine) / 2, abs=2e-3)
    assert share.mean() == pytest.approx(math.cos(w), abs=1e-3)
    assert share[0] == pytest.approx((1 + math.cos(w)) / 2, abs=5e-3)
    assert share[200] == pytest.approx(math.cos(w) ** 2, abs=5e-3)


@pytest.mark.parametrize("outline", [ell(), ring(), letter("R").scaled(40)], ids=["L", "ring", "R"])
def test_any_letters_mean_view_of_the_sky_is_the_cosine_of_its_walls(outline: Outline):
    walls, spots = seen([cut(outline, 60, turn_deg=9)], 0.2)
    assert sky_view(walls, spots).share.mean() == pytest.approx(0.5, abs=4e-3)


def test_what_is_not_sky_is_wall():
    walls, spots = seen([cut(letter("S"), scale=40)], 0.3)
    view = sky_view(walls, spots, 32)
    parts = np.bincount(view.spot, weights=view.part, minlength=len(spots))
    assert (view.part > -1e-12).all()
    assert view.share + parts == pytest.approx(np.ones(len(spots)), abs=0.02)
    assert np.mean(view.share + parts) == pytest.approx(1, abs=1e-3)


@pytest.mark.parametrize(("wall", "reflects", "light"), LONG_V_WALLS)
def test_walls_lighten_each_other_as_the_strip_equations_say(wall, reflects, light):
    walls, spots = across_long_v(wall, 100)
    view = sky_view(walls, spots, 128)
    nearest = np.clip(((view.y_mm / WIDE + 0.5) * 100).astype(int), 0, 99)
    thrown = bounces(view, nearest, view.share, times=25)
    total = view.share + sum(reflects ** (k + 1) * thrown[k] for k in range(25))
    assert total.mean() == pytest.approx(light, abs=5e-3)


def test_a_mirrored_board_under_a_mirrored_lamp_is_lit_alike():
    straight = letter("R").scaled(40)
    mirrored = Outline(tuple(_reversed(c) for c in straight.mapped((-1, 0, 0, 1, 0, 0)).contours))
    frame = frame_over([cut(straight)], 0.25)
    there = Frame(
        -frame.left_mm - frame.columns * frame.pixel_mm, frame.top_mm, frame.pixel_mm, frame.columns, frame.rows
    )
    pictures = []
    for outline, grid, azimuth in ((straight, frame, 140), (mirrored, there, 40)):
        walls = walls_of([cut(outline)])
        found = pixels(walls, grid)
        picture = np.zeros((frame.rows, frame.columns))
        picture[found.row, found.column] = shade(walls, found.spots(walls), Lamp(azimuth, 30))
        pictures.append(picture)
    differ = np.abs(pictures[0] - pictures[1][:, ::-1]) > 0.05
    assert differ.mean() < 1e-3
    assert pictures[0].max() > 0.9


def _reversed(contour):
    return type(contour)(tuple(tuple(reversed(segment)) for segment in reversed(contour.segments)))
