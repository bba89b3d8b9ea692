"""Parallel runs along a line of known half-widths, and runs that go on through a joint."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stopcut.groove.runs import RunLine, long_runs, parallel_runs, turned_loop


def straight(length: float, *widths: float) -> tuple[np.ndarray, np.ndarray]:
    """A level line with half-widths at even steps along it."""
    x = np.linspace(0, length, len(widths))
    return np.column_stack([x, np.zeros_like(x)]), np.array(widths)


def test_an_even_stroke_is_parallel_from_end_to_end() -> None:
    assert parallel_runs(*straight(60, 5, 5), 5) == ((0, 60),)


def test_a_gentle_taper_is_parallel_and_a_wedge_is_not() -> None:
    assert parallel_runs(*straight(60, 5, 3), 5) == ((0, 60),)
    assert parallel_runs(*straight(60, 8, 1), 8) == ()


def test_a_curve_may_swell_more_than_a_straight_stroke() -> None:
    turns = np.linspace(0, np.pi, 60)
    curve = np.column_stack([20 * np.cos(turns), 20 * np.sin(turns)])
    widths = np.linspace(6, 0.2, 60) + 2
    level = np.column_stack([np.linspace(0, 20 * np.pi, 60), np.zeros(60)])
    assert parallel_runs(level, widths, 8) == ()
    ((start, end),) = parallel_runs(curve, widths, 8)
    assert end - start > 55


def test_the_run_ends_where_the_flare_begins() -> None:
    points = np.array([[0, 0], [10, 0], [60, 0], [70, 0]], dtype=float)
    ((start, end),) = parallel_runs(points, np.array([10.0, 5, 5, 10]), 10)
    assert 7.5 <= 10 - start + 10 <= 12.5
    assert start == pytest.approx(70 - end, abs=1e-6)


profiles = st.lists(st.floats(1, 6), min_size=3, max_size=12)


@settings(max_examples=60)
@given(profiles, st.floats(20, 90))
def test_runs_are_the_same_from_either_end(widths: list[float], length: float) -> None:
    points, half = straight(length, *widths)
    there = parallel_runs(points, half, max(widths))
    back = parallel_runs(points[::-1], half[::-1], max(widths))
    mirrored = [(length - end, length - start) for start, end in back[::-1]]
    assert np.array(there) == pytest.approx(np.array(mirrored), abs=1e-6)


@settings(max_examples=60)
@given(profiles, st.floats(20, 90), st.floats(0.01, 100))
def test_runs_grow_with_the_letter(widths: list[float], length: float, scale: float) -> None:
    points, half = straight(length, *widths)
    small = parallel_runs(points, half, max(widths))
    # Looks are a twenty-fourth of the half-width apart; one more or fewer moves an end by a little of that.
    large = parallel_runs(points * scale, half * scale, max(widths) * scale)
    assert np.array(large) == pytest.approx(np.array(small) * scale, abs=5e-3 * max(widths) * scale)


def line(points: list[tuple[float, float]], width: float, ends: tuple[int, int]) -> RunLine:
    at = np.array(points, dtype=float)
    half = np.full(len(at), width)
    return RunLine(at, half, ends, width, parallel_runs(at, half, width))


def test_a_short_run_is_worth_no_stop_cut_alone_but_is_where_it_goes_on_through_a_joint() -> None:
    left, right = line([(-10, 0), (0, 0)], 5, (1, 0)), line([(0, 0), (10, 0)], 5, (0, 2))
    assert long_runs([left]) == [()]
    assert long_runs([left, right]) == [((0, 10),), ((0, 10),)]


def test_runs_that_meet_at_an_angle_are_measured_apart() -> None:
    left, down = line([(-10, 0), (0, 0)], 5, (1, 0)), line([(0, 0), (0, -10)], 5, (0, 2))
    assert long_runs([left, down]) == [(), ()]


def test_runs_in_line_that_do_not_meet_are_measured_apart() -> None:
    left, right = line([(-10, 0), (0, 0)], 5, (1, 0)), line([(0, 0), (10, 0)], 5, (3, 2))
    assert long_runs([left, right]) == [(), ()]


def test_of_three_runs_that_meet_the_two_straightest_go_on() -> None:
    left, right = line([(-10, 0), (0, 0)], 5, (1, 0)), line([(0, 0), (10, 0)], 5, (0, 2))
    stem = line([(0, 0), (0.5, -40)], 5, (0, 3))
    assert [len(runs) for runs in long_runs([stem, left, right])] == [1, 1, 1]
    assert [len(runs) for runs in long_runs([stem, left])] == [1, 0]


def test_a_loop_begins_where_it_is_least_parallel() -> None:
    turns = np.linspace(0, 2 * np.pi, 73)
    points = np.column_stack([30 * np.cos(turns), 30 * np.sin(turns)])
    points[-1] = points[0]
    half = 4 + np.where(np.abs(np.degrees(turns) - 200) < 12, 3 - np.abs(np.degrees(turns) - 200) / 4, 0)
    begun, widths = turned_loop(points, half)
    assert np.array_equal(begun[0], begun[-1])
    assert len(begun) == len(points)
    assert np.degrees(np.arctan2(begun[0, 1], begun[0, 0])) % 360 == pytest.approx(200, abs=15)
    assert sorted(widths[:-1]) == pytest.approx(sorted(half[:-1]))
