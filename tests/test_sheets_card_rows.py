"""Rows of cards: every cut once, in order, in columns of even height."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stopcut.sheets.card_rows import _short, in_columns
from stopcut.sheets.notes import Row, height_of


def blocks(counts: list[int]) -> list[tuple[str, list[Row]]]:
    """A tool for each count, its name's row and that many rows of 7 mm."""
    return [
        (f"tool {n}", [_row(9.2, leads=True), *(_row(7.0) for _ in range(count))]) for n, count in enumerate(counts)
    ]


def _row(height: float, leads: bool = False) -> Row:
    return Row(height, lambda canvas, x, top: None, leads=leads)


def own(columns: list[list[Row]], given_blocks: list[tuple[str, list[Row]]]) -> list[Row]:
    known = {id(row) for _, rows in given_blocks for row in rows}
    return [row for column in columns for row in column if id(row) in known]


COUNTS = st.lists(st.integers(1, 20), min_size=1, max_size=14)


@given(COUNTS, st.floats(60, 260))
def test_every_row_stands_once_in_its_order_and_no_column_is_too_high(counts: list[int], room: float) -> None:
    given_blocks = blocks(counts)
    columns = in_columns(given_blocks, room, 90.0)
    assert [id(row) for row in own(columns, given_blocks)] == [id(row) for _, rows in given_blocks for row in rows]
    assert all(height_of(column) <= room + 1e-9 for column in columns)


@given(COUNTS, st.floats(60, 260))
def test_no_column_ends_with_a_tool_that_has_no_cut_below_it(counts: list[int], room: float) -> None:
    for column in in_columns(blocks(counts), room, 90.0):
        assert not column[-1].leads


@given(st.lists(st.integers(1, 20), min_size=8, max_size=14))
def test_columns_are_of_even_height(counts: list[int]) -> None:
    columns = in_columns(blocks(counts), 230.0, 90.0)
    if len(columns) < 3:
        return
    heights = [height_of(column) for column in columns]
    # A tool's name with its first cut and the heads of a column are the most that can be wanting.
    assert max(heights) - min(heights[:-1]) <= 9.2 + 7.0 + 7.0 + 9.2
    assert min(heights) > 0.5 * max(heights)


@pytest.mark.parametrize(("rows", "columns"), [(20, 1), (36, 2), (64, 4), (100, 4)])
def test_a_card_that_needs_a_second_page_fills_it_half_at_least(rows: int, columns: int) -> None:
    found = in_columns(blocks([rows]), 230.0, 90.0)
    assert len(found) == columns
    if columns > 1:
        assert min(height_of(column) for column in found) > 0.8 * max(height_of(column) for column in found)


@given(st.floats(0.001, 30))
def test_no_cut_is_said_to_be_nothing_deep_in_inches(mm: float) -> None:
    said = _short(mm, "in")
    assert said != "0"
    assert (said == "< 1/64") == (mm < 25.4 / 128) or mm == pytest.approx(25.4 / 128)
