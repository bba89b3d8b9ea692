"""Which way to slice: with n into the groove, g along the fibres and t the way of the cut, (t·g)(g·n) > 0."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stopcut.bench.grain import EITHER, fibres, same_way, sliced, with_grain


def heading(*degrees: float) -> np.ndarray:
    return np.array([(math.cos(math.radians(d)), math.sin(math.radians(d))) for d in degrees])


@pytest.mark.parametrize("degrees", [0, 90, 180, 270])
@pytest.mark.parametrize("grain", ["width", "height"])
def test_along_and_square_across_the_fibres_either_way_will_do(degrees: float, grain: str) -> None:
    (run,) = same_way(sliced(heading(degrees), grain))  # type: ignore[arg-type]
    assert run[2] == "either"


def test_a_wall_that_rises_to_the_right_with_the_groove_above_it_is_sliced_downhill() -> None:
    """Fibres level, groove to the left of a wall heading up to the right: cutting uphill would lift their ends."""
    assert same_way(sliced(heading(30), "width")) == [(0, 1, "against")]
    assert same_way(sliced(heading(-30), "width")) == [(0, 1, "along")]


@given(st.floats(0, 360), st.sampled_from(["width", "height"]))
def test_the_product_is_that_of_the_vectors(degrees: float, grain: str) -> None:
    t = heading(degrees)[0]
    n = np.array([-t[1], t[0]])
    g = fibres(grain)  # type: ignore[arg-type]
    assert sliced(t[None], grain)[0] == pytest.approx((t @ g) * (g @ n))  # type: ignore[arg-type]


@given(st.floats(0, 360), st.sampled_from(["width", "height"]))
def test_the_two_walls_of_a_stroke_are_sliced_opposite_ways_round_and_so_the_same_way_on_the_board(
    degrees: float, grain: str
) -> None:
    one, other = sliced(heading(degrees, degrees + 180), grain)  # type: ignore[arg-type]
    # The outline runs up one wall and down the other: the same sign is the opposite way on the board.
    assert one == pytest.approx(other)


@given(st.floats(0, 360))
def test_turning_the_board_by_a_right_angle_turns_the_way_to_slice(degrees: float) -> None:
    assert sliced(heading(degrees), "width")[0] == pytest.approx(-sliced(heading(degrees), "height")[0])


def test_round_a_ring_the_direction_changes_four_times() -> None:
    ring = heading(*np.arange(45, 405, 5))
    assert [way for _, _, way in same_way(sliced(ring, "width"))] == ["against", "along", "against", "along", "against"]


@given(st.lists(st.floats(-0.5, 0.5), min_size=1, max_size=40))
def test_every_step_is_in_one_run_that_goes_its_way(products: list[float]) -> None:
    runs = same_way(np.array(products))
    assert [n for first, last, _ in runs for n in range(first, last)] == list(range(len(products)))
    for first, last, way in runs:
        signs = {np.sign(p) for p in products[first:last] if abs(p) >= EITHER}
        assert signs == {"either": set(), "along": {1.0}, "against": {-1.0}}[way]


def test_a_bar_runs_with_the_fibres_of_a_wide_board_and_a_stem_across_them() -> None:
    bar, stem = np.array([(0.0, 0), (20, 1)]), np.array([(0.0, 0), (1, 20)])
    assert with_grain(bar, "width")
    assert not with_grain(stem, "width")
    assert with_grain(stem, "height")
    assert not with_grain(np.array([(0.0, 0), (20, 0), (20, 20)]), "width")
