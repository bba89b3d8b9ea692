"""What stands between a spot and the light, against triangles of the mesh (Möller and Trumbore, 1997)."""

from __future__ import annotations

import math

import numpy as np
import pytest
from light_shapes import cut, ell, letter, ray_meets, rectangle, ring, seen

from stopcut.light.rays import in_sight, steps
from stopcut.light.shade import Lamp
from stopcut.light.wall_map import normals

CUTS = {
    "L": lambda: cut(ell(), turn_deg=11),
    "ring": lambda: cut(ring()),
    "R": lambda: cut(letter("R"), scale=60, turn_deg=3),
    "S": lambda: cut(letter("S"), scale=60),
    "flat-bottomed W": lambda: cut(letter("W"), scale=60, flat_bottom_mm=2.0),
}


@pytest.mark.parametrize("elevation_deg", [12, 30, 45])
@pytest.mark.parametrize("name", CUTS)
def test_a_spot_is_in_sight_just_where_its_ray_meets_no_triangle(name, elevation_deg):
    one = CUTS[name]()
    walls, spots = seen([one], 0.5)
    chosen = spots.only(np.random.default_rng(7).choice(len(spots), 400, replace=False))
    origins = np.column_stack([chosen.x_mm, chosen.y_mm, -chosen.depth_mm])
    for azimuth in (135.0, 291.0, 20.5):
        lamp = Lamp(azimuth, elevation_deg)
        in_the_light = in_sight(walls, chosen, azimuth, math.tan(math.radians(elevation_deg)))
        # A ray that starts into its own wall runs in wood, where there are no triangles to meet.
        facing = normals(walls, chosen, blended=False) @ lamp.toward > 0
        met = ray_meets([one], origins[facing], lamp.toward)
        assert met.any()
        assert not met.all()
        assert np.array_equal(in_the_light[facing], ~met)
        assert not in_the_light[~facing].any()


def test_a_ray_crosses_faces_without_a_gap_and_ends_at_the_rim():
    walls, spots = seen([cut(letter("B"), scale=60)], 0.6)
    reached = np.zeros(len(spots))
    last = np.full(len(spots), np.inf)
    for step in steps(walls, spots, 77.0, np.ones(len(spots), dtype=bool)):
        assert step.enters[:, 0] == pytest.approx(reached[step.ray], abs=1e-9)
        assert (step.leaves[:, 0] >= step.enters[:, 0] - 1e-9).all()
        reached[step.ray] = step.leaves[:, 0]
        last[step.ray] = step.leaves[:, 1]
    assert last == pytest.approx(np.zeros(len(spots)), abs=1e-9)


def test_depths_along_a_ray_are_the_walls_own():
    walls, spots = seen([cut(rectangle(40, 12))], 0.7)
    for step in steps(walls, spots, 33.0, np.ones(len(spots), dtype=bool)):
        x = spots.x_mm[step.ray] + step.leaves[:, 0] * math.cos(math.radians(33))
        y = spots.y_mm[step.ray] + step.leaves[:, 0] * math.sin(math.radians(33))
        half_width = np.min([x, y, 40 - x, 12 - y], axis=0)
        assert step.leaves[:, 1] == pytest.approx(half_width * math.sqrt(3), abs=1e-9)


def test_a_ray_that_is_told_to_stop_goes_no_further():
    walls, spots = seen([cut(ring())], 1.0)
    going = np.ones(len(spots), dtype=bool)
    going[::2] = False
    for number, step in enumerate(steps(walls, spots, 45.0, going)):
        assert number == 0 or (step.ray % 2 == 1).all()
    assert number > 1
