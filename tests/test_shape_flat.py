"""Flattening: within the tolerance, true in area, and knowing where each edge came from."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stopcut.shape.flat import flatten
from stopcut.shape.outline import Contour, Outline, polygon

# A circle of four cubics; 0.5522847498 is the usual handle length, 4/3·(√2 − 1).
HANDLE = 4 / 3 * (math.sqrt(2) - 1)
CIRCLE = Outline(
    (
        Contour(
            (
                ((1, 0), (1, HANDLE), (HANDLE, 1), (0, 1)),
                ((0, 1), (-HANDLE, 1), (-1, HANDLE), (-1, 0)),
                ((-1, 0), (-1, -HANDLE), (-HANDLE, -1), (0, -1)),
                ((0, -1), (HANDLE, -1), (1, -HANDLE), (1, 0)),
            )
        ),
    )
)


@given(st.floats(1e-5, 0.05))
def test_vertices_stay_near_the_circle_and_edges_within_twice_the_tolerance(tolerance: float) -> None:
    ring = flatten(CIRCLE, tolerance).rings[0]
    radius = np.hypot(*ring.T)
    middles = np.hypot(*((ring + np.roll(ring, -1, axis=0)) / 2).T)
    assert abs(radius - 1).max() <= 4 / 3 * tolerance + 3e-4  # the cubic itself is 2.7e-4 off a circle
    assert abs(middles - 1).max() <= 2 * tolerance + 3e-4


@given(st.floats(1e-5, 0.01))
def test_the_area_pushed_out_is_nearer_the_curve_than_plain_chords(tolerance: float) -> None:
    pushed, plain = flatten(CIRCLE, tolerance), flatten(CIRCLE, tolerance, area_true=False)
    assert abs(pushed.area - CIRCLE.area) < 0.05 * abs(plain.area - CIRCLE.area)


def test_a_letter_sized_circle_has_its_area_to_two_parts_in_ten_thousand() -> None:
    assert flatten(CIRCLE.scaled(0.35), 0.0005).area == pytest.approx(CIRCLE.area * 0.35**2, rel=2e-4)


def test_straight_outlines_come_out_as_they_went_in() -> None:
    square = polygon([(0, 0), (1, 0), (1, 1), (0, 1)])
    flat = flatten(square, 0.01)
    assert flat.rings[0].tolist() == [[0, 0], [1, 0], [1, 1], [0, 1]]
    assert flat.sources[0].tolist() == [0, 1, 2, 3]
    assert flat.breaks[0].tolist() == pytest.approx([90] * 4)


def test_breaks_stand_only_where_the_tangent_turns() -> None:
    # A half disc: its two corners turn a quarter, the join of its two arcs does not turn.
    half = Outline(
        (
            Contour(
                (
                    ((1, 0), (1, HANDLE), (HANDLE, 1), (0, 1)),
                    ((0, 1), (-HANDLE, 1), (-1, HANDLE), (-1, 0)),
                    ((-1, 0), (1, 0)),
                )
            ),
        )
    )
    flat = flatten(half, 0.001)
    turned = flat.breaks[0][np.abs(flat.breaks[0]) > 1e-6]
    assert turned.tolist() == pytest.approx([90, 90])
    assert set(flat.sources[0].tolist()) == {0, 1, 2}


def test_pieces_of_no_length_are_passed_over() -> None:
    lame = Outline((Contour((((0, 0), (0, 0)), ((0, 0), (1, 0)), ((1, 0), (0, 1)), ((0, 1), (0, 0)))),))
    flat = flatten(lame, 0.01)
    assert flat.size == 3
    assert flat.sources[0].tolist() == [1, 2, 3]


def test_a_tolerance_of_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="above 0"):
        flatten(CIRCLE, 0)


def test_beside_a_corner_that_turns_in_a_curve_begins_along_its_tangent() -> None:
    # A bar with a bite out of its top: a straight side falls to the crotch, from where a curve rises.
    bitten = Outline(
        (
            Contour(
                (
                    ((0, 0), (4, 0)),
                    ((4, 0), (4, 2)),
                    ((4, 2), (3.5, 1.5), (2.5, 1), (2, 1)),
                    ((2, 1), (1, 1.8)),
                    ((1, 1.8), (0, 0)),
                )
            ),
        )
    )
    plain, true = (flatten(bitten, 0.01, tangent=length) for length in (0.0, 0.02))
    assert true.size == plain.size + 1
    (added,) = set(map(tuple, true.rings[0].tolist())) - set(map(tuple, plain.rings[0].tolist()))
    assert added == pytest.approx((2.02, 1))
    assert true.breaks[0][np.abs(true.breaks[0]) > 1e-6].tolist() == pytest.approx(
        plain.breaks[0][np.abs(plain.breaks[0]) > 1e-6].tolist()
    )


@pytest.mark.parametrize("mirrored", [False, True])
def test_a_corner_that_turns_right_back_has_no_room_for_an_edge_along_its_tangent(mirrored: bool) -> None:
    sides = [((0, 0), (4, 0)), ((4, 0), (4, 2)), ((4, 2), (2, 1)), ((2, 1), (3, 1.5), (1, 3), (0, 2)), ((0, 2), (0, 0))]
    if mirrored:
        sides = [tuple((-x, y) for x, y in reversed(side)) for side in reversed(sides)]
    folded = Outline((Contour(tuple(sides)),))
    for plain, true in zip(flatten(folded, 0.01).rings, flatten(folded, 0.01, tangent=0.02).rings, strict=True):
        assert np.array_equal(plain, true)
