"""Edges from their stab marks, and how a blade leans for a wall.

Check values: circle geometry and edge geometry, computed by hand for the craft's usual tools; the 60° single bevel that
was cut too deep, and the double bevel that leaves about 45°, are a carver's report of a teaching book's rule.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stopcut.shop.tools import Tool, axis_deg, lean, measured_radius_mm, rise_mm

# (width, rise, radius, arc in degrees): r = w²/(8h) + h/2, arc = 2 asin(w/2r)
MARKS = [
    (10.0, 5.0, 5.0, 180.0),
    (10.0, 2.0, 7.25, 87.2056),
    (10.0, 1.0, 13.0, 45.2397),
    (20.0, 3.0, 18.1667, 66.7970),
    (12.0, 0.5, 36.25, 19.0546),
    (25.4, 12.7, 12.7, 180.0),
]
# radius over width → rise over width
SHAPES = [
    (0.5, 0.5),
    (0.75, 0.190983),
    (1.0, 0.133975),
    (1.5, 0.085786),
    (2.0, 0.063508),
    (3.0, 0.041960),
    (4.0, 0.031373),
]
# (axis, bevel, flat face to the wall, included angle, the wall it leaves)
LEANS = [
    (60.0, "single", True, 25.0, 60.0),
    (60.0, "double", False, 20.0, 50.0),
    (60.0, "double", False, 25.0, 47.5),
    (60.0, "double", False, 30.0, 45.0),
    (70.0, "double", False, 25.0, 57.5),
]


@pytest.mark.parametrize(("width", "rise", "radius", "arc"), MARKS)
def test_a_stab_mark_tells_the_circle_of_the_edge(width: float, rise: float, radius: float, arc: float) -> None:
    assert measured_radius_mm(width, rise) == pytest.approx(radius, rel=1e-5)
    assert math.degrees(2 * math.asin(width / (2 * measured_radius_mm(width, rise)))) == pytest.approx(arc, abs=1e-3)


@pytest.mark.parametrize(("shape", "rise"), SHAPES)
def test_edges_of_one_shape_rise_in_one_proportion(shape: float, rise: float) -> None:
    for width in (3.0, 10.0, 25.4):
        assert rise_mm(width, shape * width) == pytest.approx(rise * width, rel=1e-4)


@given(st.floats(1, 40), st.floats(0.001, 0.5))
def test_the_rise_of_a_measured_edge_is_the_one_that_was_measured(width: float, share: float) -> None:
    assert rise_mm(width, measured_radius_mm(width, share * width)) == pytest.approx(share * width, rel=1e-4)


def test_an_edge_without_rise_is_straight() -> None:
    assert math.isinf(measured_radius_mm(12, 0))
    assert rise_mm(12, math.inf) == 0
    assert Tool("a", "chisel", 12).straight
    assert not Tool("b", "gouge", 12, 20).straight


@pytest.mark.parametrize(("width", "rise"), [(0, 1), (-3, 1), (10, -1)])
def test_what_is_no_mark_is_refused(width: float, rise: float) -> None:
    with pytest.raises(ValueError, match="no arc"):
        measured_radius_mm(width, rise)


def test_no_edge_is_wider_than_its_circle() -> None:
    with pytest.raises(ValueError, match="no arc"):
        rise_mm(10, 4)


@pytest.mark.parametrize(("axis", "bevel", "flat", "edge", "wall"), LEANS)
def test_the_bevel_sets_the_wall(axis: float, bevel: str, flat: bool, edge: float, wall: float) -> None:
    assert axis_deg(wall, bevel, edge, flat_to_wall=flat) == pytest.approx(axis)  # type: ignore[arg-type]


def test_a_single_bevel_has_a_second_way_to_be_held() -> None:
    assert lean(Tool("a", "chisel", 12, bevel="double", edge_deg=30), 60) == (75, None)
    assert lean(Tool("b", "chisel", 12, bevel="single", edge_deg=25), 60) == (85, 60)


@given(st.floats(20, 80), st.floats(5, 60))
def test_a_double_bevel_leans_halfway_between_a_single_ones_two_ways(wall: float, edge: float) -> None:
    away, flat = axis_deg(wall, "single", edge), axis_deg(wall, "single", edge, flat_to_wall=True)
    assert axis_deg(wall, "double", edge) == pytest.approx((away + flat) / 2)
