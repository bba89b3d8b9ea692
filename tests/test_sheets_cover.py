import pytest
from sheet_boards import board

from stopcut.sheets.cover import cover_rows, paged
from stopcut.sheets.notes import Row, height_of
from stopcut.sheets.page import kept_free
from stopcut.sheets.paper import paper_named
from stopcut.sheets.tiling import tile_board


def row(height, leads=False):
    return Row(height, lambda canvas, x, top: None, leads)


def test_rows_fill_a_page_before_the_next_is_begun():
    pages = list(paged([row(10)] * 10, 35))
    assert [len(page) for page in pages] == [3, 3, 3, 1]


def test_a_heading_goes_over_with_what_it_heads():
    pages = list(paged([row(10), row(10), row(5, leads=True), row(10), row(10)], 30))
    assert [len(page) for page in pages] == [2, 3]


def test_a_row_higher_than_the_page_has_one_to_itself():
    assert [len(page) for page in paged([row(10), row(99), row(10)], 30)] == [1, 1, 1]


@pytest.mark.parametrize("paper", ["A4", "A5", "Letter"])
def test_no_cover_page_is_fuller_than_its_room(paper):
    sheet = paper_named(paper)
    work = board(height_mm=900.0)
    tiling = tile_board(900, 900, sheet, kept_free(sheet))
    for room in (150.0, 250.0):
        pages = list(paged(cover_rows(work, tiling, sheet.width_mm - 30, 1), room))
        assert all(height_of(page) <= room for page in pages)
