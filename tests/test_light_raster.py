"""Which wall each pixel sees, and how deep it lies."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from light_shapes import cut, ell, frame_over, letter, rectangle, ring, seen

from stopcut.light.raster import Frame, pixels
from stopcut.light.wall_map import spots_on, walls_of


@pytest.mark.parametrize("outline", [ell(), ring()], ids=["L", "ring"])
def test_every_pixel_sees_the_face_whose_outline_holds_its_centre(outline):
    one = cut(outline, x=3.17, y=-2.41, turn_deg=17)
    walls = walls_of([one])
    found = pixels(walls, frame_over([one], 0.37))
    spots = found.spots(walls)
    faces = np.array([shapely.Polygon(one.nodes_mm[face]) for face in one.roof.faces])
    assert shapely.contains_xy(faces[found.face], spots.x_mm, spots.y_mm).all()
    whole = shapely.union_all(shapely.buffer(faces, 1e-9))
    rows, columns = np.divmod(np.arange(found.frame.rows * found.frame.columns), found.frame.columns)
    inside = shapely.contains_xy(whole, found.frame.x_mm(columns), found.frame.y_mm(rows))
    assert np.array_equal(np.flatnonzero(inside), np.sort(found.row * found.frame.columns + found.column))


def test_a_corner_on_a_pixel_centre_is_counted_once():
    """Half-open: a rectangle of 8 by 5 whose corners and sides run through pixel centres holds 8 × 5 of them."""
    walls = walls_of([cut(rectangle(8, 5), x=2.5, y=2.5)])
    found = pixels(walls, Frame(0.0, 10.0, 1.0, 14, 10))
    assert len(found.face) == 40
    assert len({*zip(found.row.tolist(), found.column.tolist(), strict=True)}) == 40


@pytest.mark.parametrize(("wall_deg", "flat"), [(60, None), (45, None), (60, 3.0)])
def test_a_rectangle_is_as_deep_as_the_nearest_side_is_far(wall_deg, flat):
    _, spots = seen([cut(rectangle(40, 12), wall_deg, flat)], 0.31)
    x, y = spots.x_mm, spots.y_mm
    half_width = np.min([x, y, 40 - x, 12 - y], axis=0)
    expected = np.minimum(half_width * math.tan(math.radians(wall_deg)), flat or math.inf)
    assert spots.depth_mm == pytest.approx(expected, abs=1e-9)


def test_size_place_and_turn_move_the_walls_with_the_letter():
    _, spots = seen([cut(ell())], 0.51)
    moved = walls_of([cut(ell(), x=50, y=20, turn_deg=90, scale=1.5)])
    there = spots_on(moved, spots.face, 50 - 1.5 * spots.y_mm, 20 + 1.5 * spots.x_mm)
    assert there.depth_mm == pytest.approx(1.5 * spots.depth_mm, abs=1e-9)


def test_pixels_add_up_to_the_letters_area():
    one = cut(letter("R"), scale=60)
    frame = frame_over([one], 0.05)
    found = pixels(walls_of([one]), frame)
    assert len(found.face) * frame.pixel_mm**2 == pytest.approx(one.plan_area_mm2, rel=1e-3)


def test_a_frame_that_shows_part_of_the_board_sees_the_same_walls():
    grooves = [cut(ell()), cut(ring(), x=60, y=20)]
    walls = walls_of(grooves)
    whole = pixels(walls, Frame(-5.0, 45.0, 0.5, 180, 100))
    part = pixels(walls, Frame(15.0, 25.0, 0.5, 90, 30))
    inside = (whole.row >= 40) & (whole.row < 70) & (whole.column >= 40) & (whole.column < 130)
    assert part.row.tolist() == (whole.row[inside] - 40).tolist()
    assert part.column.tolist() == (whole.column[inside] - 40).tolist()
    assert part.face.tolist() == whole.face[inside].tolist()


def test_a_board_without_letters_has_no_walls():
    walls = walls_of([])
    assert walls.size == 0
    assert len(pixels(walls, Frame(0.0, 10.0, 1.0, 10, 10)).face) == 0
