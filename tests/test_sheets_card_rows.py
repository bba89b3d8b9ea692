"""Rows of cards: every step once, in order, none of its words cut off."""

from __future__ import annotations

import pytest
from card_boards import bench

from stopcut.sheets.card_rows import Listing, remark_rows, step_rows
from stopcut.sheets.letter_cards import cards_of
from stopcut.sheets.notes import height_of


@pytest.mark.parametrize("stacked", [True, False])
def test_there_is_a_row_for_every_step_and_a_head_over_boxes_or_columns(stacked: bool) -> None:
    for card in cards_of([bench("LIL", "IT")]):
        rows = step_rows(card, "mm", 100.0 if stacked else 190.0, Listing(16.0, how=False, stacked=stacked))
        head = not stacked or len(card.places) > 1
        assert len(rows) == len(card.steps) + head


def test_how_a_tool_is_held_takes_room_and_a_narrower_list_is_higher() -> None:
    card = cards_of([bench("LIL", "IT")])[0]
    plain = height_of(step_rows(card, "mm", 190.0, Listing(16.0, how=False, stacked=False)))
    told = height_of(step_rows(card, "mm", 190.0, Listing(16.0, how=True, stacked=False)))
    narrow = height_of(step_rows(card, "mm", 85.0, Listing(16.0, how=False, stacked=True)))
    assert plain < told
    assert plain < narrow


def test_remarks_are_rows_only_where_there_is_something_to_say() -> None:
    card = cards_of([bench("LIL", "IT")])[0]
    assert remark_rows(card, 100.0) == [] or all(row.height_mm > 0 for row in remark_rows(card, 100.0))
