"""Lines in pieces that one edge can follow."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stopcut.bench.bends import bends, steps_of

TOLERANCE = 0.15


def arc(radius: float, turn_deg: float, start_deg: float = 0.0) -> np.ndarray:
    """An arc to the left from the origin, (k, 3), 2 mm deep."""
    angles = np.radians(np.linspace(0, turn_deg, 200))
    points = np.column_stack([radius * np.sin(angles), radius * (1 - np.cos(angles)), np.full_like(angles, 2.0)])
    a = math.radians(start_deg)
    points[:, :2] = points[:, :2] @ np.array([[math.cos(a), math.sin(a)], [-math.sin(a), math.cos(a)]])
    return points


@given(st.floats(4, 40), st.floats(0, 360))
def test_the_steps_of_an_arc_bend_as_its_circle_does(radius: float, start: float) -> None:
    steps = steps_of(arc(radius, 150, start), 1.0, TOLERANCE / 2)
    assert steps.curvature == pytest.approx(np.full(len(steps.curvature), 1 / radius), rel=0.05)


def test_a_straight_line_is_one_straight_piece() -> None:
    line = np.array([(0.0, 0, 1), (3, 1, 1), (30, 10, 1)])
    steps = steps_of(line, 2.0, TOLERANCE / 2)
    (piece,) = bends(steps.curvature, steps.length, TOLERANCE)
    assert (piece.first, piece.last, piece.least, piece.most) == (0, len(steps.length), 0, 0)


def test_a_stroke_that_leans_aside_by_less_than_a_pencil_line_is_straight() -> None:
    x = np.linspace(0, 40, 81)
    line = np.column_stack([x, 0.05 * np.sin(x / 3), np.full_like(x, 3.0)])
    assert not steps_of(line, 2.0, TOLERANCE / 2).curvature.any()


def test_a_straight_line_and_the_bow_it_leads_into_are_two_pieces() -> None:
    line = np.vstack([[(-30.0, 0, 2)], arc(15, 90)])
    steps = steps_of(line, 1.0, TOLERANCE / 2)
    found = bends(steps.curvature, steps.length, TOLERANCE)
    assert found[0].least == found[0].most == 0
    assert steps.where[found[0].last] == pytest.approx(30, abs=4)
    assert found[-1].most == pytest.approx(1 / 15, rel=0.1)


@given(st.lists(st.tuples(st.floats(-1, 1), st.floats(0.2, 5)), min_size=1, max_size=60))
def test_every_step_is_in_one_piece_in_order(steps: list[tuple[float, float]]) -> None:
    curvature, length = np.array(steps).T
    found = bends(curvature, length, TOLERANCE)
    assert [n for piece in found for n in range(piece.first, piece.last)] == list(range(len(steps)))


@given(st.lists(st.floats(-0.3, 0.3), min_size=2, max_size=40))
def test_long_steps_never_share_a_piece_unless_one_edge_follows_them_all(curvature: list[float]) -> None:
    length = np.full(len(curvature), 4.0)
    for piece in bends(np.array(curvature), length, TOLERANCE):
        own = curvature[piece.first : piece.last]
        assert (min(own), max(own)) == (piece.least, piece.most)
        flattest = 0 if piece.least * piece.most < 0 else min(abs(piece.least), abs(piece.most))
        edge = min(10, 4.0 * len(own), 0.7 / flattest if flattest else 10)
        assert (max(own) - min(own)) / 2 * edge**2 / 8 <= TOLERANCE / 2 + 1e-12
