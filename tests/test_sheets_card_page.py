"""How a card is laid out: one page, the letter large, everything within the room."""

from __future__ import annotations

import pytest
from card_boards import bench

from stopcut.sheets.card_page import card_layouts, legend_mm
from stopcut.sheets.letter_cards import Card, cards_of
from stopcut.sheets.notes import height_of

A4 = 190.0, 271.0
"""What of a sheet is free. [mm]"""


def card(char: str) -> Card:
    return next(card for card in cards_of([bench("LIL", "IT")]) if card.char == char)


@pytest.mark.parametrize("char", ["L", "I", "T"])
def test_a_card_is_one_page_and_nothing_lies_outside_it(char: str) -> None:
    (layout,) = card_layouts(card(char), "mm", *A4)
    room = A4[1] - legend_mm()
    assert layout.picture is not None
    assert 0 <= layout.picture.left < layout.picture.right <= A4[0]
    assert -room <= layout.picture.bottom < layout.picture.top <= 0
    for rows, at in ((layout.rows, layout.rows_at), (layout.remarks, layout.remarks_at)):
        assert at[1] - height_of(rows) >= -room


def test_steps_and_picture_do_not_lie_over_each_other() -> None:
    for char in "LIT":
        (layout,) = card_layouts(card(char), "mm", *A4)
        assert layout.picture is not None
        beside = layout.rows_at[0] >= layout.picture.right
        below = layout.rows_at[1] <= layout.picture.bottom
        assert beside or below


def test_a_narrow_letter_has_its_steps_beside_it() -> None:
    (layout,) = card_layouts(card("I"), "mm", *A4)
    assert layout.rows_at[0] > 0


def test_a_card_too_long_for_its_paper_goes_on_rather_than_lose_a_step() -> None:
    one = card("L")
    layouts = card_layouts(one, "mm", 190.0, 130.0)
    assert len(layouts) > 1
    assert sum(len(layout.rows) for layout in layouts) >= len(one.steps)
    assert all(layout.still for layout in layouts[1:])
