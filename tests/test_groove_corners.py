"""Corners of an outline: where they are found, and that it does not matter where a ring begins or how it is cut up."""

from __future__ import annotations

import math

import numpy as np
import pytest
from groove_shapes import letter
from hypothesis import given, settings
from hypothesis import strategies as st

from stopcut.groove.corners import Ring, corners
from stopcut.shape.flat import Flat, flatten
from stopcut.shape.outline import Contour, Outline, polygon


def ring_of(outline: Outline, deepest: float, tolerance: float = 0.01) -> Ring:
    (ring,) = corners(flatten(outline, tolerance), [deepest]).rings
    return ring


def marks(ring: Ring) -> list[tuple[float, float]]:
    return sorted(tuple(ring.place(at).round(6).tolist()) for at in ring.marks)


def rounded(width: float, height: float, radius: float) -> Outline:
    """A rectangle about the origin, its corners rounded by cubic quarter circles."""
    x, y, k = width / 2, height / 2, radius * (1 - 4 / 3 * math.tan(math.pi / 8))
    segments = []
    for sx, sy in ((1, -1), (1, 1), (-1, 1), (-1, -1)):
        across = (
            (x * sx, (y - radius) * sy),
            (x * sx, (y - k) * sy),
            ((x - k) * sx, y * sy),
            ((x - radius) * sx, y * sy),
        )
        segments.append(across if sx * sy > 0 else across[::-1])
    joined = []
    for segment, following in zip(segments, segments[1:] + segments[:1], strict=True):
        joined += [segment, (segment[-1], following[0])]
    return Outline((Contour(tuple(joined)),))


def test_a_rectangle_has_its_four_corners() -> None:
    ring = ring_of(polygon([(0, 0), (40, 0), (40, 10), (0, 10)]), 5)
    assert marks(ring) == [(0, 0), (0, 10), (40, 0), (40, 10)]
    assert ring.length == pytest.approx(100)


def test_an_inner_corner_is_no_end_of_a_stroke() -> None:
    ring = ring_of(polygon([(0, 0), (30, 0), (30, 10), (10, 10), (10, 30), (0, 30)]), 5)
    assert (10, 10) not in marks(ring)
    assert len(ring.marks) == 5
    assert ring.breaks.min() == pytest.approx(-90)


@pytest.mark.parametrize("tolerance", [0.05, 0.01, 0.001])
def test_a_hardly_rounded_corner_is_one_still_and_lies_in_the_middle_of_its_bend(tolerance: float) -> None:
    ring = ring_of(rounded(40, 10, 0.8), 5, tolerance)
    inset = 0.8 * (1 - math.sqrt(0.5))
    assert len(ring.marks) == 4
    for (x, y), (mx, my) in zip([(-1, -1), (-1, 1), (1, -1), (1, 1)], marks(ring), strict=True):
        assert (mx, my) == pytest.approx((x * (20 - inset), y * (5 - inset)), abs=0.15)


@pytest.mark.parametrize("tolerance", [0.05, 0.01, 0.001])
def test_a_well_rounded_corner_is_a_bend_and_no_corner(tolerance: float) -> None:
    assert ring_of(rounded(40, 10, 4.5), 5, tolerance).marks == ()


def test_a_blunt_tip_counts_once_half_way_and_both_its_corners_are_known() -> None:
    ring = ring_of(polygon([(0, -5), (50, -0.8), (50, 0.8), (0, 5)]), 5)
    assert (50, 0) in marks(ring)
    assert len(ring.marks) == 3
    assert len(ring.parts) == 4


def test_a_tiny_step_in_a_straight_edge_is_no_corner() -> None:
    ring = ring_of(polygon([(0, 0), (40, 0), (40, 10), (20.01, 10), (20, 10.05), (0, 10.05)]), 5)
    assert len(ring.marks) == 4


@pytest.mark.parametrize("sides", [36, 90, 400])
def test_a_circle_of_straight_pieces_has_no_corner(sides: int) -> None:
    turns = np.arange(sides) / sides * 2 * np.pi
    assert ring_of(polygon(zip(10 * np.cos(turns), 10 * np.sin(turns), strict=True)), 10).marks == ()


def test_what_is_a_corner_depends_on_how_deep_the_shape_is_cut() -> None:
    outline = rounded(40, 10, 3)
    assert ring_of(outline, 5).marks == ()
    assert len(ring_of(outline, 7).marks) == 4


@settings(max_examples=40)
@given(shift=st.integers(0, 400), char=st.sampled_from("AERSW&g"))
def test_corners_do_not_depend_on_where_a_ring_begins(shift: int, char: str) -> None:
    flat = flatten(letter("eb_garamond", char), 0.0005)
    rolled = Flat(
        *(tuple(np.roll(a, -shift % len(a), axis=0) for a in part) for part in (flat.rings, flat.sources, flat.breaks))
    )
    for one, other in zip(
        corners(flat, [0.04] * len(flat.rings)).rings, corners(rolled, [0.04] * len(flat.rings)).rings, strict=True
    ):
        assert np.array(marks(one)) == pytest.approx(np.array(marks(other)), abs=1e-5)


def test_the_way_round_counts_what_it_passes() -> None:
    ring = ring_of(polygon([(0, 0), (40, 0), (40, 10), (0, 10)]), 5)
    assert len(ring.between(39, 41)) == 1
    assert len(ring.between(41, 39)) == 3
    assert ring.between(10, 20) == ()
    assert ring.touched(45, 55)
    assert not ring.touched(52, 55)
    round_one = ring_of(rounded(40, 10, 4.5), 5)
    assert round_one.turned(0.5 * round_one.length, 0.5 * round_one.length - 1e-9) == pytest.approx(360, abs=1e-3)
