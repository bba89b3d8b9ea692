import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stopcut.shape.outline import Bounds
from stopcut.sheets.paper import paper_named
from stopcut.sheets.tiling import BLEED_MM, MARK_REACH_MM, OVERLAP_MM, PageMargins, tile_board

KEPT = PageMargins(12.5, 18.7, 7, 13.5)

unhurried = settings(deadline=None)
boards = st.tuples(st.floats(20, 2500), st.floats(20, 1500))
papers = st.sampled_from(["A5", "A4", "A3", "A0", "Letter", "ANSI D"]).map(paper_named)
overlaps = st.floats(8, 30)


@unhurried
@given(boards, papers, overlaps, st.tuples(st.floats(0, 1), st.floats(0, 1)))
def test_every_point_of_the_board_is_on_a_page(board, paper, overlap, at):
    tiling = tile_board(*board, paper, KEPT, overlap_mm=overlap)
    x, y = board[0] * at[0], board[1] * at[1]
    assert any(t.window.left <= x <= t.window.right and t.window.bottom <= y <= t.window.top for t in tiling.tiles)


@unhurried
@given(boards, papers, overlaps)
def test_neighbouring_pages_share_at_least_the_overlap_asked_for(board, paper, overlap):
    tiling = tile_board(*board, paper, KEPT, overlap_mm=overlap)
    at = {(t.row, t.column): t.window for t in tiling.tiles}
    for (row, column), window in at.items():
        if column > 1:
            assert at[row, column - 1].right - window.left >= overlap - 1e-6
        if row > 1:
            assert window.top - at[row - 1, column].bottom >= overlap - 1e-6


@unhurried
@given(boards, papers, overlaps)
def test_a_window_is_the_page_less_what_is_kept_free(board, paper, overlap):
    tiling = tile_board(*board, paper, KEPT, overlap_mm=overlap)
    assert sorted((tiling.page_width_mm, tiling.page_height_mm)) == [paper.width_mm, paper.height_mm]
    for tile in tiling.tiles:
        assert tile.window.width == pytest.approx(tiling.page_width_mm - KEPT.left - KEPT.right)
        assert tile.window.height == pytest.approx(tiling.page_height_mm - KEPT.bottom - KEPT.top)


@unhurried
@given(boards, papers, overlaps)
def test_a_register_mark_is_whole_on_every_page_whose_join_it_stands_on(board, paper, overlap):
    tiling = tile_board(*board, paper, KEPT, overlap_mm=overlap)
    carried = [set(tiling.marks_on(tile)) for tile in tiling.tiles]
    for mark in tiling.marks:
        sharers = [t for t in tiling.tiles if _inside(t.window, mark.x_mm, mark.y_mm, MARK_REACH_MM - 1e-9)]
        assert len(sharers) >= 2
        assert [t for t, marks in zip(tiling.tiles, carried, strict=True) if mark in marks] == sharers


@unhurried
@given(boards, papers, overlaps)
def test_two_neighbours_share_at_least_two_marks_on_their_join(board, paper, overlap):
    tiling = tile_board(*board, paper, KEPT, overlap_mm=overlap)
    at = {(t.row, t.column): t for t in tiling.tiles}
    for (row, column), tile in at.items():
        for join, axis, other in (
            (tiling.joins_x[column - 1] if column < tiling.columns else None, "x_mm", (row, column + 1)),
            (tiling.joins_y[row - 1] if row < tiling.rows else None, "y_mm", (row + 1, column)),
        ):
            if join is not None:
                shared = set(tiling.marks_on(tile)) & set(tiling.marks_on(at[other]))
                assert sum(getattr(mark, axis) == join for mark in shared) >= 2


@unhurried
@given(boards, papers)
def test_marks_have_names_of_their_own(board, paper):
    names = [mark.name for mark in tile_board(*board, paper, KEPT).marks]
    assert len(names) == len(set(names))


@pytest.mark.parametrize("over", [-1e-12, 0.0, 1e-12, 1e-7, 1e-3])
def test_a_board_as_long_as_its_window_to_the_last_digit_is_no_stumbling_block(over):
    a4 = paper_named("A4")
    width = a4.width_mm - KEPT.left - KEPT.right - 2 * BLEED_MM + over
    tiling = tile_board(width, 200, a4, KEPT, turns=(False,))
    assert tiling.columns == (2 if over > 1e-6 else 1)


def test_a_board_that_fits_stands_in_the_middle_of_one_page():
    tiling = tile_board(150, 100, paper_named("A4"), KEPT)
    assert (tiling.rows, tiling.columns) == (1, 1)
    assert tiling.page_width_mm > tiling.page_height_mm
    (tile,) = tiling.tiles
    assert tile.window.centre == pytest.approx((75, 50))
    assert tiling.marks == ()


def test_the_paper_is_turned_if_that_saves_a_page():
    a4 = paper_named("A4")
    upright_width, upright_height = 210 - KEPT.left - KEPT.right, 297 - KEPT.bottom - KEPT.top
    tiling = tile_board(2 * upright_width - OVERLAP_MM - 2 * BLEED_MM, upright_height - 2 * BLEED_MM, a4, KEPT)
    assert (tiling.page_width_mm, tiling.columns, tiling.rows) == (210, 2, 1)


@unhurried
@given(boards, papers)
def test_neither_way_of_turning_the_paper_takes_fewer_pages(board, paper):
    tiling = tile_board(*board, paper, KEPT)
    for across, up in itertools.permutations((paper.width_mm, paper.height_mm)):
        columns = _fewest(board[0] + 2 * BLEED_MM, across - KEPT.left - KEPT.right)
        rows = _fewest(board[1] + 2 * BLEED_MM, up - KEPT.bottom - KEPT.top)
        assert len(tiling.tiles) <= columns * rows


def test_a_mark_moves_along_its_join_to_keep_clear_of_a_letter():
    free = tile_board(900, 200, paper_named("A4"), KEPT)
    first = free.marks[0]
    letter = Bounds(first.x_mm - 10, first.y_mm - 10, first.x_mm + 10, first.y_mm + 10)
    moved = tile_board(900, 200, paper_named("A4"), KEPT, keep_clear=[letter]).marks[0]
    assert moved.x_mm == first.x_mm
    assert abs(moved.y_mm - first.y_mm) >= 10 + MARK_REACH_MM - 2


def test_paper_too_small_for_what_is_kept_free_is_refused():
    assert tile_board(300, 200, paper_named("A6"), PageMargins(40, 40, 40, 40)) is None


def test_an_overlap_without_room_for_a_mark_is_refused():
    with pytest.raises(ValueError, match="register mark"):
        tile_board(300, 200, paper_named("A4"), KEPT, overlap_mm=5)


def _inside(window, x, y, reach):
    return (
        window.left <= x - reach
        and x + reach <= window.right
        and window.bottom <= y - reach
        and (y + reach <= window.top)
    )


def _fewest(length, window):
    return next(n for n in itertools.count(1) if n * window - (n - 1) * OVERLAP_MM >= length - 1e-6)
