"""Which tool for a piece, and how it may be used."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stopcut.bench.choose import Piece, choices, outside_mm, preferred
from stopcut.bench.fit import end_gap_mm
from stopcut.bench.settings import PUBLISHED_BENCH, BenchSettings
from stopcut.shop.roll import published_roll
from stopcut.shop.tools import Roll, Tool

ROLL = published_roll()
pieces = st.builds(
    lambda length, bend, more, purpose: Piece(length, bend, bend + more, purpose),
    st.floats(0.5, 60),
    st.floats(-0.4, 0.4),
    st.floats(0, 0.02),
    st.sampled_from(["stab", "wall", "straight"]),
)


def gouge(width: float, radius: float) -> Roll:
    return Roll((Tool("g", "gouge", width, radius),))


@given(pieces)
def test_no_edge_stands_further_off_the_line_than_the_tolerance(piece: Piece) -> None:
    for choice in choices(piece, ROLL, PUBLISHED_BENCH):
        assert outside_mm(choice, piece) <= PUBLISHED_BENCH.tolerance_mm * (1 + 1e-6)
        assert choice.edge_mm <= min(choice.tool.width_mm, piece.length_mm) + 1e-9


@given(pieces)
def test_the_settings_of_an_edge_with_their_overlap_cover_the_piece(piece: Piece) -> None:
    for choice in choices(piece, ROLL, PUBLISHED_BENCH):
        if choice.use != "point":
            step = choice.edge_mm * (1 - PUBLISHED_BENCH.overlap)
            reach = choice.edge_mm + (choice.placements - 1) * step
            assert reach >= piece.length_mm - 1e-6
            assert choice.placements == 1 or reach - step < piece.length_mm


@given(st.floats(3, 200), st.floats(3, 200), st.floats(2, 40))
def test_a_tighter_gouge_is_never_stabbed_on_a_flatter_line(radius: float, curve: float, length: float) -> None:
    piece = Piece(length, 1 / curve, 1 / curve, "stab")
    found = choices(piece, gouge(min(6, 2 * radius), radius), PUBLISHED_BENCH)
    assert bool(found) <= (radius >= curve * (1 - 1e-9))


def test_a_flatter_gouge_is_tipped_round_a_tighter_curve_with_part_of_its_edge() -> None:
    (choice,) = choices(Piece(12, 1 / 12, 1 / 12, "stab"), gouge(10, 18), PUBLISHED_BENCH)
    assert choice.use == "part"
    assert end_gap_mm(choice.edge_mm, 18, 12) == pytest.approx(0.15)
    # the near formula: w²/8 · (1/12 − 1/18) = 0.15
    assert choice.edge_mm == pytest.approx(math.sqrt(8 * 0.15 / (1 / 12 - 1 / 18)), rel=0.02)


def test_a_gouge_of_the_curves_own_radius_does_it_with_its_whole_edge() -> None:
    piece = Piece(12, 1 / 18, 1 / 18, "wall")
    assert choices(piece, gouge(10, 18), PUBLISHED_BENCH)[0].use == "whole"


def test_a_concave_wall_may_be_cut_with_a_tighter_gouge_within_tolerance_whose_corners_stay_in_the_groove() -> None:
    piece = Piece(6, 1 / 20, 1 / 20, "wall")
    (choice,) = choices(piece, gouge(6, 16), PUBLISHED_BENCH)
    assert outside_mm(choice, piece) == 0


def test_a_gouge_turned_over_for_a_convex_wall_is_flatter_than_the_wall() -> None:
    convex = Piece(6, -1 / 20, -1 / 20, "wall")
    assert choices(convex, gouge(6, 16), PUBLISHED_BENCH) == ()
    (choice,) = choices(convex, gouge(6, 24), PUBLISHED_BENCH)
    assert choice.turned
    assert outside_mm(choice, convex) == 0


def test_a_long_straight_line_is_cut_with_the_widest_chisel_and_a_short_one_with_one_it_has_room_for() -> None:
    assert choices(Piece(60, 0, 0, "stab"), ROLL, PUBLISHED_BENCH)[0].tool.name == "chisel 20"
    assert choices(Piece(7, 0, 0, "stab"), ROLL, PUBLISHED_BENCH)[0].tool.width_mm <= 7


def test_a_long_line_that_bends_a_little_is_stabbed_with_a_narrower_chisel_set_down_whole() -> None:
    chisels = Roll(tuple(Tool(f"chisel {width}", "chisel", width) for width in (20, 12, 3)))
    # On a radius of 240 mm the ends of 20 mm stand 20²/(8 · 240) = 0.21 mm off, those of 12 mm 0.075 mm.
    best = choices(Piece(51, 1 / 240, 1 / 240, "stab"), chisels, PUBLISHED_BENCH)[0]
    assert (best.tool.width_mm, best.use, best.tipped) == (12, "whole", 0)
    tipped = {
        choice.tool.width_mm: choice.tipped
        for choice in choices(Piece(51, 1 / 240, 1 / 240, "stab"), chisels, PUBLISHED_BENCH)
    }
    assert tipped[20] == 4  # of 17 mm each, every one on the corner


def test_where_no_edge_fits_a_straight_one_is_drawn_along_by_its_point_and_a_gouge_cannot() -> None:
    tight = Piece(3, 2.0, 2.0, "stab")
    (point,) = choices(tight, Roll((Tool("c", "chisel", 12),)), PUBLISHED_BENCH)
    assert point.use == "point"
    assert choices(tight, gouge(12, 6), PUBLISHED_BENCH) == ()


def test_straight_serifs_want_no_gouge() -> None:
    found = choices(Piece(6, -0.2, -0.2, "straight"), ROLL, PUBLISHED_BENCH)
    assert found
    assert all(choice.tool.straight for choice in found)


def test_parting_tools_are_not_set_on_lines() -> None:
    assert choices(Piece(10, 0, 0, "stab"), Roll((Tool("v", "parting", 6, angle_deg=60),)), PUBLISHED_BENCH) == ()


@given(pieces, st.floats(0.05, 0.4), st.floats(1.1, 3))
def test_a_wider_tolerance_costs_no_more_settings(piece: Piece, tolerance: float, more: float) -> None:
    tight = choices(piece, ROLL, BenchSettings(tolerance_mm=tolerance))
    loose = choices(piece, ROLL, BenchSettings(tolerance_mm=more * tolerance))
    assert loose[0].cost <= tight[0].cost + 1e-9


def test_a_tool_in_use_is_kept_in_hand_where_another_saves_no_more_than_one_setting() -> None:
    found = choices(Piece(11, 0, 0, "stab"), ROLL, PUBLISHED_BENCH)
    assert preferred(found, {}) == found[0]
    kept = preferred(found, {"fishtail 5": 7, "skew 12": 99})
    assert kept is not None
    assert kept.use != "point"  # the skew would have to be drawn along
    assert kept.cost <= found[0].cost + 1
    assert preferred((), {"chisel 12": 3}) is None
