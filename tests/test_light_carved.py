"""The lit board: how lamp, sky and thrown light come together in pixels."""

from __future__ import annotations

import math

import numpy as np
import pytest
from light_shapes import cut, letter, rectangle

from stopcut.light import carved
from stopcut.light.carved import RAKING, Lighting, lit_wood, wall_light
from stopcut.light.raster import Frame
from stopcut.light.shade import Lamp

FRAME = Frame(0.0, 60.0, 0.5, 200, 120)
STEM = cut(rectangle(8, 40), x=20, y=10)
BAR = cut(rectangle(40, 8), x=50, y=26)


def light_picture(walls, frame=FRAME):
    picture = np.ones(frame.rows * frame.columns)
    picture[walls.pixel] = walls.light[0]
    return picture.reshape(frame.rows, frame.columns)


def test_raking_light_comes_from_the_upper_left():
    picture = light_picture(wall_light([STEM, BAR], FRAME))
    left_wall, right_wall = picture[40:80, 42], picture[40:80, 53]
    upper_wall, lower_wall = picture[54, 120:160], picture[65, 120:160]
    assert (right_wall > 1.2).all()
    assert (lower_wall > 1.2).all()
    assert (left_wall < 0.4).all()
    assert (upper_wall < 0.4).all()
    assert (left_wall > 0).all()


def test_cover_adds_up_to_the_grooves_own_area():
    walls = wall_light([STEM, BAR, cut(letter("g"), scale=20, x=4, y=40)], FRAME)
    whole = 320 + 320 + cut(letter("g"), scale=20).plan_area_mm2
    assert walls.cover.sum() * FRAME.pixel_mm**2 == pytest.approx(whole, rel=0.005)
    assert walls.cover.max() == 1.0


@pytest.mark.parametrize("sky", [0.0, 0.3, 1.0])
def test_bare_walls_take_the_faces_light_times_the_cosine_of_their_angle(sky):
    """Whatever part of the light is sky: all that comes in at the opening falls on the walls."""
    walls = wall_light([cut(letter("R"), scale=70, x=5, y=5)], FRAME, Lighting(Lamp(135, 35), sky))
    mean = float((walls.light[0] * walls.cover).sum() / walls.cover.sum())
    assert mean == pytest.approx(math.cos(math.radians(60)), abs=0.01)


def test_a_thin_lit_strip_at_the_far_lip_is_not_lost_between_pixel_centres():
    """15° of light on 60° walls 4 mm wide: the strip is 1.07 mm; pixels of 1.5 mm must show its light all the same."""
    one = cut(rectangle(8, 40), x=30, y=10, turn_deg=12)
    walls = wall_light([one], Frame(0.0, 60.0, 1.5, 60, 40), Lighting(Lamp(180, 15), 0.0))
    light = float((walls.light[0] * walls.cover).sum()) * 1.5**2
    assert light == pytest.approx(0.5 * 320, rel=0.03)
    assert (walls.light[0] * walls.cover).max() > 1.5


def test_light_wood_throws_more_into_its_shadows_than_dark_wood():
    walls = wall_light([STEM], FRAME)
    shares = []
    for reflects in (0.2, 0.6):
        wood = np.full((FRAME.rows, FRAME.columns, 3), reflects, dtype=np.float32)
        shares.append(lit_wood(wood, walls)[60, 42, 0] / reflects)
    assert shares[0] < shares[1] < 1


def test_the_face_keeps_its_own_colour_beside_the_letters():
    wood = np.random.default_rng(1).uniform(0.2, 0.6, (FRAME.rows, FRAME.columns, 3)).astype(np.float32)
    walls = wall_light([STEM], FRAME)
    lit = lit_wood(wood, walls)
    beside = np.ones(FRAME.rows * FRAME.columns, dtype=bool)
    beside[walls.pixel] = False
    assert np.array_equal(lit.reshape(-1, 3)[beside], wood.reshape(-1, 3)[beside])
    assert RAKING.lamp.azimuth_deg == 135


def test_a_board_without_letters_is_only_wood():
    wood = np.full((FRAME.rows, FRAME.columns, 3), 0.5, dtype=np.float32)
    assert np.array_equal(lit_wood(wood, wall_light([], FRAME)), wood)


def test_cells_that_would_see_too_much_of_the_walls_are_coarser_and_tell_nearly_the_same(monkeypatch):
    board, seen = [cut(letter("S"), scale=80, x=5, y=5)], []
    sky_view = carved.sky_view

    def noted(*asked):
        view = sky_view(*asked)
        seen.append(len(view.spot))
        return view

    monkeypatch.setattr(carved, "sky_view", noted)
    fine = wall_light(board, FRAME)
    monkeypatch.setattr(carved, "MOST_SEEN", seen[-1] // 10)
    coarse = wall_light(board, FRAME)
    assert seen[-1] < 0.12 * seen[1]
    assert np.abs(coarse.light[0] - fine.light[0]).mean() < 0.03 * fine.light[0].mean()
    assert (coarse.pixel == fine.pixel).all()
