"""How much of an edge fits a curve: against points laid out on both circles."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stopcut.bench.fit import LEAST_MM, edge_along_mm

widths = st.floats(2, 25)
radii = st.one_of(st.just(math.inf), st.floats(8, 120))
bends = st.floats(-0.12, 0.12)
TOLERANCE = 0.15


def used(width: float, radius: float, bend: float, tolerance: float = TOLERANCE, *, digs: bool = False) -> float:
    (edge,) = edge_along_mm(np.array([width]), np.array([1 / radius]), np.array([bend]), tolerance, digs=digs).tolist()
    return float(edge)


def gap(edge: float, radius: float, bend: float) -> float:
    """How far the ends of an edge lie from a curve that its middle touches, by coordinates. [mm]"""
    half = edge / 2
    end = (half, 0.0 if math.isinf(radius) else radius - math.sqrt(max(radius**2 - half**2, 0.0)))
    if abs(bend) < 1e-9:
        return abs(end[1])
    return abs(math.dist(end, (0.0, 1 / bend)) - abs(1 / bend))


@given(widths, radii, bends)
def test_the_ends_of_what_is_used_lie_within_tolerance_of_the_curve(width: float, radius: float, bend: float) -> None:
    edge = used(width, max(radius, width / 2), bend)
    if not math.isnan(edge):
        # The bench's near formula is the first term of the exact distance: on the tightest curves here 6 % off.
        assert gap(edge, max(radius, width / 2), bend) <= 1.06 * TOLERANCE


@given(widths, st.floats(8, 120))
def test_an_edge_fits_its_own_circle_whole(width: float, radius: float) -> None:
    assert used(width, radius, 1 / radius) == width


@given(widths, radii, bends, st.floats(1.1, 2))
def test_a_wider_tolerance_takes_in_no_less_of_the_edge(width: float, radius: float, bend: float, more: float) -> None:
    narrow, wide = used(width, radius, bend), used(width, radius, bend, more * TOLERANCE)
    assert math.isnan(narrow) or wide >= narrow


@given(widths, st.floats(8, 40), st.floats(8, 120))
def test_a_tighter_edge_digs_in_on_a_flatter_line_unless_all_of_it_stays_within_tolerance(
    width: float, radius: float, line: float
) -> None:
    edge = used(width, radius, 1 / line, digs=True)
    if radius < line * 0.999:
        assert math.isnan(edge) or edge == width
        if edge == width:
            assert gap(width, max(radius, width / 2), 1 / line) <= 1.06 * TOLERANCE


def test_a_straight_edge_on_a_curve_uses_the_chord_of_the_curve() -> None:
    # The chord of a circle of 30 mm whose rise is 0.15 mm: 2 √(2 · 30 · 0.15 − 0.15²) = 5.99 mm.
    assert math.isnan(used(20, math.inf, 1 / 30))  # a third of 20 mm is more than that
    assert used(12, math.inf, 1 / 30) == pytest.approx(5.99, abs=0.02)


def test_less_of_an_edge_than_can_be_tipped_in_is_none_of_it() -> None:
    assert math.isnan(used(3, math.inf, 2.0))
    assert math.isnan(used(20, math.inf, 1 / 8))
    assert used(20, math.inf, 0.0) == 20
    assert LEAST_MM == 1
