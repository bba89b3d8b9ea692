"""Room on a board for something more: clear of what is there, within the margins, as large as it goes."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stopcut.app.free_place import free_place
from stopcut.shape.outline import Bounds

ROOM = Bounds(20, 20, 420, 160)


@given(st.floats(0.2, 5), st.floats(5, 300))
@settings(max_examples=40)
def test_a_drawing_stands_within_the_margins_and_no_larger_than_it_was_drawn(aspect: float, drawn_mm: float) -> None:
    x, y, width = free_place(ROOM, [Bounds(100, 60, 340, 120)], aspect, drawn_mm)
    high = width / aspect
    assert width <= drawn_mm
    assert x - width / 2 >= ROOM.left - 1e-9
    assert x + width / 2 <= ROOM.right + 1e-9
    assert y - high / 2 >= ROOM.bottom - 1e-9
    assert y + high / 2 <= ROOM.top + 1e-9


def test_a_drawing_keeps_clear_of_the_letters_where_there_is_room() -> None:
    words = Bounds(120, 20, 420, 160)
    x, _, width = free_place(ROOM, [words], 1.0, 60)
    assert x + width / 2 < words.left
    assert width > 40


def test_a_board_that_is_full_takes_a_small_drawing_in_its_middle() -> None:
    x, y, width = free_place(ROOM, [Bounds(0, 0, 440, 180)], 2.0, 300)
    assert (x, y) == pytest.approx((220, 90))
    assert width < 60
