"""Lines as an edge meets them: even steps that together are as long as the line, with its depth at each."""

from __future__ import annotations

import numpy as np
import pytest
from bench_boards import carved
from groove_shapes import RECTANGLE

from stopcut.bench.strokes import strokes_of
from stopcut.bench.trace import STEP_MM, pared, places_of, stabbed
from stopcut.bench.walls import walls_of


def test_a_straight_line_is_stabbed_in_even_steps_as_deep_as_it_lies() -> None:
    line = np.array([[0.0, 0.0, 2.0], [30.0, 0.0, 5.0]])
    trace = stabbed(line, 3.0, 10.0)
    assert trace.length.sum() == pytest.approx(30.0)
    assert np.allclose(trace.bend, 0.0)
    middles = np.cumsum(trace.length) - trace.length / 2
    assert np.allclose(trace.depth, 2.0 + middles / 10)


@pytest.mark.parametrize("line", [[[4.0, 5.0, 3.0]], [[4.0, 5.0, 3.0], [4.0, 5.0, 3.0]]])
def test_a_line_of_no_length_is_one_stab_where_it_is(line: list[list[float]]) -> None:
    trace = stabbed(np.array(line), 3.0, 10.0)
    assert trace.length.tolist() == [0.0]
    assert trace.depth.tolist() == [3.0]
    assert (trace.places == [4.0, 5.0, 3.0]).all()


def test_a_wall_is_pared_over_its_whole_length_in_steps_of_two_millimetres() -> None:
    groove = carved(RECTANGLE)
    walls = walls_of(groove, strokes_of(groove, (1, 1), {}))
    for face, length in enumerate(walls.length_mm):
        trace = pared(walls, [face])
        assert trace.length.sum() == pytest.approx(length)
        assert np.ptp(trace.length) == pytest.approx(0.0)
        assert abs(trace.length[0] - STEP_MM) <= STEP_MM / 2
        assert 0 < trace.depth.max() <= 5 * np.tan(np.radians(60)) + 1e-9


def test_places_stand_evenly_along_a_line() -> None:
    places = places_of(np.array([[0.0, 0.0, 1.0], [10.0, 0.0, 3.0]]))
    assert places[0].tolist() == [0.0, 0.0, 1.0]
    assert places[-1].tolist() == [10.0, 0.0, 3.0]
    assert np.ptp(np.diff(places[:, 0])) == pytest.approx(0.0)
