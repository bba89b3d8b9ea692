import math

import numpy as np
import pytest
from shapely.geometry import MultiPolygon, Point

from stopcut.shape.outline import Contour, Outline, polygon
from stopcut.shape.regions import outline_of, region_of, wound

SQUARE = [(0, 0), (10, 0), (10, 10), (0, 10)]
HOLE = [(2, 2), (2, 8), (8, 8), (8, 2)]
ISLAND = [(4, 4), (6, 4), (6, 6), (4, 6)]


def _circle(radius: float) -> Outline:
    k = radius * 4 / 3 * (math.sqrt(2) - 1)  # the usual cubic for a quarter circle, 0.03 % off at most
    quarters = []
    for turn in range(4):
        cos, sin = round(math.cos(turn * math.pi / 2)), round(math.sin(turn * math.pi / 2))
        points = ((radius, 0), (radius, k), (k, radius), (0, radius))
        quarters.append(tuple((x * cos - y * sin, x * sin + y * cos) for x, y in points))
    return Outline((Contour(tuple(quarters)),))


def test_a_counter_is_taken_off_and_an_island_in_it_is_put_back():
    assert region_of(polygon(SQUARE, HOLE, ISLAND), 0.01).area == pytest.approx(100 - 36 + 4)


def test_a_region_of_curves_has_the_curves_own_area():
    outline = _circle(10)
    assert region_of(outline, 0.02).area == pytest.approx(outline.area, rel=2e-4)
    assert outline.area == pytest.approx(math.pi * 100, rel=6e-4)


def test_an_outline_comes_back_from_its_region_with_outer_rings_anticlockwise_and_counters_clockwise():
    outline = polygon(SQUARE, HOLE, ISLAND)
    back = outline_of(region_of(outline, 0.01))
    assert sorted(round(contour.area) for contour in back.contours) == [-36, 4, 100]


def test_an_empty_outline_is_an_empty_region():
    assert region_of(Outline(()), 0.01).is_empty
    assert not outline_of(MultiPolygon())


def test_a_bow_tie_is_mended_instead_of_refused():
    region = region_of(polygon([(0, 0), (4, 0), (4, 4), (1, -1)]), 0.01)
    assert region.is_valid
    assert region.area > 0


def test_a_loop_that_runs_the_wrong_way_round_is_dropped():
    ring = np.array([(0, 0), (10, 0), (10, 10), (6, 10), (6, 12), (5, 11), (7, 11), (0, 10)], dtype=float)
    region = wound(ring)
    assert region.is_valid
    assert region.contains(Point(2, 2))
    assert not region.contains(Point(6.0, 11.5))
