"""Normals of walls: true to the angle, turning along curves, and never across a corner."""

from __future__ import annotations

import math

import numpy as np
import pytest
from light_shapes import cut, ell, letter, rectangle, ring, seen

from stopcut.light.wall_map import normals, walls_of


@pytest.mark.parametrize("wall_deg", [45, 60, 65])
@pytest.mark.parametrize("blended", [True, False])
def test_every_wall_leans_at_the_carvers_angle(wall_deg, blended):
    walls, spots = seen([cut(letter("S"), wall_deg, scale=60)], 0.5)
    normal = normals(walls, spots, blended=blended)
    assert normal[:, 2] == pytest.approx(math.cos(math.radians(wall_deg)))
    assert np.linalg.norm(normal, axis=1) == pytest.approx(1.0)


def test_round_walls_point_to_the_circles_centre_though_they_are_facets():
    """Circle of radius 20: its wall faces the centre all the way round; facets alone are off by up to half a facet."""
    walls, spots = seen([cut(ring())], 0.5)
    radius = np.hypot(spots.x_mm, spots.y_mm)
    outer = radius > 16
    level = np.stack([-spots.x_mm, -spots.y_mm], axis=1) / radius[:, None] * np.where(outer, 1, -1)[:, None]
    off = {}
    for blended in (True, False):
        normal = normals(walls, spots, blended=blended)[:, :2] / math.sin(math.radians(60))
        off[blended] = np.degrees(np.arccos(np.clip((normal * level).sum(axis=1), -1, 1))).max()
    assert off[False] > 1.5
    assert off[True] < 0.35  # what is left lies where the area-true flattening does not move a curve's end


def test_a_letter_of_straight_strokes_has_flat_walls():
    walls, spots = seen([cut(ell(), turn_deg=20)], 0.5)
    assert normals(walls, spots) == pytest.approx(normals(walls, spots, blended=False))


def test_a_flat_bottom_faces_straight_up_and_its_walls_do_not():
    walls, spots = seen([cut(rectangle(40, 12), flat_bottom_mm=3.0)], 0.31)
    normal = normals(walls, spots)
    flat = spots.depth_mm == 3.0
    assert flat.any()
    assert normal[flat] == pytest.approx(np.tile([0.0, 0.0, 1.0], (flat.sum(), 1)))
    assert (normal[~flat, 2] < 0.51).all()


def test_faces_are_numbered_letter_after_letter():
    parts = [cut(ell()), cut(ring(), x=60, y=20), cut(rectangle(5, 40), x=90)]
    walls = walls_of(parts)
    assert walls.groove.tolist() == [n for n, part in enumerate(parts) for _ in part.roof.faces]
    assert walls.left.max() == walls.size - 1
    assert (walls.groove[walls.left] == walls.groove[np.where(walls.right < 0, walls.left, walls.right)]).all()
