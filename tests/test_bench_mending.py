"""Mending a slip on a part-cut board."""

from __future__ import annotations

import math

import pytest
from bench_boards import carved, carved_letters
from groove_shapes import RECTANGLE
from hypothesis import given
from hypothesis import strategies as st

from stopcut.bench.mending import planed, widened, widened_groove
from stopcut.errors import CarverError

WALL = 60.0


def test_a_bar_widened_by_x_is_a_bar_of_that_width() -> None:
    before = carved(RECTANGLE)
    after = widened_groove(before, 2.0)
    assert after.placed.bounds_mm.width == pytest.approx(before.placed.bounds_mm.width + 2)
    assert after.placed.bounds_mm.height == pytest.approx(before.placed.bounds_mm.height + 2)
    assert after.max_depth_mm == pytest.approx(before.max_depth_mm + math.tan(math.radians(WALL)))


def test_a_widened_letter_comes_nearer_to_its_neighbours_and_to_the_back() -> None:
    (letter,) = carved_letters("cinzel", "R")
    figures = widened(letter, 0.6, thickness_mm=20.0, gap_before_mm=3.0, gap_after_mm=2.0)
    assert (figures.gap_before_mm, figures.gap_after_mm) == pytest.approx((2.7, 1.7))
    # The larger outline is drawn within 0.02 mm.
    assert figures.deeper_mm >= (0.3 - 0.02) * math.tan(math.radians(WALL))
    assert figures.wood_under_mm == pytest.approx(20 - letter.max_depth_mm - figures.deeper_mm)
    wider = widened_groove(letter, 0.6).placed.bounds_mm
    assert wider.right - letter.placed.bounds_mm.right == pytest.approx(0.3, abs=0.02)


def test_a_letter_without_neighbours_has_no_gaps() -> None:
    figures = widened(carved(RECTANGLE), 0.5)
    assert figures.gap_before_mm is figures.gap_after_mm is figures.wood_under_mm is None


@given(st.floats(0.1, 3.0))
def test_planing_off_undoes_what_widening_added(off: float) -> None:
    before = carved(RECTANGLE)
    plane = planed([widened_groove(before, 2 * off / math.tan(math.radians(WALL)))], off, WALL)
    assert plane.depths_mm[0] == pytest.approx(before.max_depth_mm)
    assert plane.narrower_mm == pytest.approx(2 * off / math.tan(math.radians(WALL)))


def test_a_planed_board_is_thinner_and_shallow_letters_are_gone() -> None:
    letters = carved_letters("cinzel", "IS")
    depth = min(letter.max_depth_mm for letter in letters)
    plane = planed(letters, depth + 0.1, WALL, thickness_mm=24.0)
    assert plane.thickness_mm == pytest.approx(24 - depth - 0.1)
    assert plane.gone == 1
    assert min(plane.depths_mm) == 0


def test_a_stroke_planed_by_1_mm_at_45_degrees_is_2_mm_narrower() -> None:
    assert planed((), 1.0, 45.0).narrower_mm == pytest.approx(2)


def test_nothing_can_be_widened_by_less_than_nothing() -> None:
    with pytest.raises(CarverError):
        widened(carved(RECTANGLE), -1.0)
