"""Whether an edge fits a curve: against points laid out on both circles, and the near formula of the bench."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from stopcut.bench.fit import edge_used_mm, end_gap_mm, fit
from stopcut.shop.tools import Tool

widths = st.floats(1, 25)
ratios = st.one_of(st.just(math.inf), st.floats(0.5, 6))
curves = st.one_of(st.just(math.inf), st.floats(0.5, 300), st.floats(-300, -0.5))


def laid_gap(width: float, radius: float, curve: float) -> float:
    """The same by coordinates: the edge's end, and the nearest point of the curve to it."""
    half = width / 2
    end = (half, 0.0 if math.isinf(radius) else radius - math.sqrt(max(radius**2 - half**2, 0.0)))
    if math.isinf(curve):
        return abs(end[1])
    return abs(math.dist(end, (0.0, curve)) - abs(curve))


@given(widths, ratios, curves)
def test_the_gap_is_the_distance_of_the_edges_end_from_the_curve(width: float, ratio: float, curve: float) -> None:
    assert end_gap_mm(width, ratio * width, curve) == pytest.approx(laid_gap(width, ratio * width, curve), abs=1e-9)


@given(st.floats(1, 12), st.floats(30, 300), st.floats(30, 300))
def test_on_flat_curves_the_gap_is_near_the_square_of_the_width_over_eight(w: float, r: float, R: float) -> None:
    near = w**2 / 8 * abs(1 / R - 1 / r)
    assert end_gap_mm(w, r, R) == pytest.approx(near, rel=0.05, abs=2e-4)


@given(widths, ratios)
def test_an_edge_fits_its_own_circle_whole(width: float, ratio: float) -> None:
    radius = ratio * width
    assert end_gap_mm(width, radius, radius) == pytest.approx(0, abs=1e-9)
    assert edge_used_mm(width, radius, radius, 0.15) == width


@given(widths, ratios, curves, st.floats(0.02, 0.5))
def test_the_part_that_is_used_reaches_the_tolerance_and_no_further(
    w: float, ratio: float, R: float, tol: float
) -> None:
    used = edge_used_mm(w, ratio * w, R, tol)
    gap = end_gap_mm(used, ratio * w, R)
    assert gap <= tol * (1 + 1e-6)
    if used < w:
        assert gap == pytest.approx(tol, rel=1e-4)


@given(widths, ratios, curves, st.floats(0.02, 0.2), st.floats(1.1, 2))
def test_a_wider_tolerance_takes_in_no_less_of_the_edge(
    w: float, ratio: float, R: float, tol: float, more: float
) -> None:
    assert edge_used_mm(w, ratio * w, R, more * tol) >= edge_used_mm(w, ratio * w, R, tol) - 1e-9


@given(st.floats(4, 20), st.floats(2, 60))
def test_a_straight_edge_on_a_circle_uses_the_chord_that_touches_the_circle_a_tolerance_wider(
    w: float, R: float
) -> None:
    chord = 2 * math.sqrt((R + 0.15) ** 2 - R**2)
    assert edge_used_mm(w, math.inf, R, 0.15) == pytest.approx(min(w, chord))


@given(widths, ratios, curves, curves)
def test_a_piece_of_several_bends_is_cut_with_what_fits_the_worst_of_them(
    w: float, ratio: float, R1: float, R2: float
) -> None:
    tool = Tool("a", "gouge", w, ratio * w)
    both = fit(tool, (R1, R2), 0.15)
    assert both.edge_mm == min(fit(tool, (R, R), 0.15).edge_mm for R in (R1, R2))
    assume(both.whole)
    assert both.edge_mm >= 0.98 * w
