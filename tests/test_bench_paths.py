"""Lines as rows of points."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stopcut.bench.paths import along, at, between, closed, evenly, headings, nearest, turned_deg

points = st.lists(st.tuples(st.floats(-50, 50), st.floats(-50, 50)), min_size=2, max_size=8, unique=True).map(np.array)


def test_along_a_3_4_5_corner() -> None:
    assert along(np.array([(0.0, 0, 9), (3, 4, 9), (3, 5, 9)])) == pytest.approx([0, 5, 6])


@given(points, st.floats(0, 1), st.floats(0, 1))
def test_the_parts_of_a_line_are_as_long_as_the_whole(line: np.ndarray, a: float, b: float) -> None:
    length = float(along(line)[-1])
    start, end = sorted((a * length, b * length))
    assert along(between(line, start, end))[-1] == pytest.approx(end - start, abs=1e-6)


@given(points, st.floats(0.5, 20))
def test_even_steps_begin_and_end_with_the_line(line: np.ndarray, step: float) -> None:
    looked, where = evenly(line, step)
    assert looked[0] == pytest.approx(line[0])
    assert looked[-1] == pytest.approx(line[-1])
    assert np.diff(where) == pytest.approx(np.full(len(where) - 1, where[1]))
    assert where[1] <= max(step, where[-1] / 2) * (1 + 1e-9)


@given(points, st.tuples(st.floats(-60, 60), st.floats(-60, 60)))
def test_the_nearest_line_is_no_further_than_any_of_its_points(line: np.ndarray, place: tuple[float, float]) -> None:
    owner, far = nearest([line + 500.0, line], np.array([place]))
    assert owner[0] == 1
    assert far[0] <= np.hypot(*(line - place).T).min() + 1e-9
    steps = at(line, along(line), np.linspace(0, along(line)[-1], 400))
    assert far[0] <= np.hypot(*(steps - place).T).min() + 1e-9


def test_where_there_are_no_lines_none_is_near() -> None:
    owner, far = nearest([], np.zeros((2, 2)))
    assert owner.tolist() == [-1, -1]
    assert np.isinf(far).all()


@given(st.floats(-720, 720), st.floats(-720, 720))
def test_a_turn_leads_from_one_heading_to_the_other(start: float, end: float) -> None:
    turn = turned_deg(start, end)
    assert -180 <= turn <= 180
    assert np.cos(np.radians(start + turn)) == pytest.approx(np.cos(np.radians(end)), abs=1e-9)


def test_headings_go_on_past_half_a_turn() -> None:
    round_ = np.array([(np.cos(a), np.sin(a)) for a in np.radians(np.arange(0, 361, 10))])
    way = headings(round_)
    assert way[-1] - way[0] == pytest.approx(350)
    assert not closed(round_[:-1])
