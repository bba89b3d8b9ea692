"""Pieces of a wall or line joined into cuts: what one tool takes in one go."""

from __future__ import annotations

from itertools import pairwise

import pytest
from bench_boards import FACES, alphabet_cuts, carved_letters
from hypothesis import given
from hypothesis import strategies as st

from stopcut.bench.choose import SHARED_COSTS, Piece, choices, outside_mm
from stopcut.bench.cuts import cuts_for
from stopcut.bench.joined import CUT_COSTS, LONG_MM, SHORT_COSTS, Link, Run, joined
from stopcut.bench.settings import PUBLISHED_BENCH
from stopcut.bench.techniques import stabbing
from stopcut.shop.roll import published_roll
from stopcut.shop.tools import Roll, Tool

ROLL = published_roll()

links = st.builds(
    lambda length, bend, more, way, owner: Link(Piece(length, bend, bend + more, "wall"), way, owner),
    st.floats(0.5, 40),
    st.floats(-0.4, 0.4),
    st.floats(0, 0.02),
    st.sampled_from(["along", "against", "either"]),
    st.sampled_from([0, 0, 0, 1]),
)
rows = st.lists(links, min_size=1, max_size=7)


def joined_here(row: list[Link], roll: Roll = ROLL) -> list[Run]:
    return joined(row, roll, PUBLISHED_BENCH, {})


def wall(length: float, bend: float, way: str = "along") -> Link:
    return Link(Piece(length, bend, bend, "wall"), way)  # type: ignore[arg-type]


@given(rows)
def test_every_piece_is_in_one_cut_and_the_cuts_follow_one_another(row: list[Link]) -> None:
    runs = joined_here(row)
    assert [runs[0].first, *(run.last for run in runs)] == [*(run.first for run in runs), len(row)]
    assert all(run.first < run.last for run in runs)


@given(rows)
def test_no_cut_is_sliced_two_ways_or_belongs_to_two_strokes(row: list[Link]) -> None:
    for run in joined_here(row):
        own = row[run.first : run.last]
        assert {link.way for link in own} - {"either"} in (set(), {run.way})
        assert len({link.owner for link in own}) == 1


@given(rows)
def test_joining_takes_no_edge_further_off_the_line_than_the_tolerance(row: list[Link]) -> None:
    for run in joined_here(row):
        assert run.choice is not None
        for link in row[run.first : run.last]:
            assert outside_mm(run.choice, link.piece) <= PUBLISHED_BENCH.tolerance_mm * (1 + 1e-6)


@given(rows)
def test_joining_costs_no_more_than_leaving_the_pieces_apart(row: list[Link]) -> None:
    def begun(length: float) -> float:
        return CUT_COSTS + SHORT_COSTS * (length <= LONG_MM)

    together = sum(begun(run.piece.length_mm) + run.choice.cost for run in joined_here(row) if run.choice is not None)
    costs = [choices(link.piece, ROLL, PUBLISHED_BENCH)[0].cost for link in row]
    assert together <= sum(costs) + sum(begun(link.piece.length_mm) for link in row) + SHARED_COSTS * len(row)


@given(rows)
def test_the_point_is_drawn_along_only_what_it_would_be_drawn_along_alone(row: list[Link]) -> None:
    for run in joined_here(row):
        assert run.choice is not None
        if run.choice.use == "point" and run.last - run.first > 1:
            for link in row[run.first : run.last]:
                assert choices(link.piece, ROLL, PUBLISHED_BENCH)[0].use == "point"


def test_a_bracket_and_the_straight_wall_after_it_are_one_cut_with_less_of_the_edge_round_the_bracket() -> None:
    (run,) = joined_here([wall(3, -0.2), wall(12, 0)], Roll((Tool("chisel 6", "chisel", 6),)))
    assert run.choice is not None
    assert (run.choice.use, run.choice.eased) == ("part", True)
    # 3 mm round a bend of 5 mm radius: 2 √((5 + 0.15)² − 5²) = 2.47 mm of the edge; then 12 mm in settings of 6 mm.
    assert run.choice.edge_mm == pytest.approx(2.468, abs=1e-3)
    assert run.choice.placements == 2 + 3


def test_a_stop_cut_that_bends_at_one_end_alone_is_told_as_upright_and_not_as_tipped_on_its_corner() -> None:
    row = [Link(Piece(6, 0, 0.023, "stab")), Link(Piece(45, 0, 0, "stab"))]
    (run,) = joined_here(row, Roll((Tool("chisel 20", "chisel", 20),)))
    assert run.choice is not None
    assert (run.choice.eased, run.choice.tipped) == (True, 1)
    assert stabbing("stop", run.choice, by_hand=False, light=False) == "upright, less of the edge round a bend, struck"


def test_where_the_slicing_changes_the_cut_ends_however_well_the_tool_would_fit() -> None:
    runs = joined_here([wall(10, 0), wall(10, 0, "either"), wall(10, 0, "against")])
    assert [run.way for run in runs] == ["along", "against"]


def test_a_concave_and_a_convex_wall_for_gouges_alone_are_two_cuts() -> None:
    gouge = Roll((Tool("g", "gouge", 6, 12),))
    assert len(joined_here([wall(8, 0.09), wall(8, -0.09)], gouge)) == 2


def test_two_pieces_of_one_bend_are_set_as_one_length() -> None:
    (run,) = joined_here([wall(7, 0), wall(7, 0)], Roll((Tool("c", "chisel", 14),)))
    assert run.choice is not None
    assert run.choice.placements == 1
    assert run.piece.length_mm == 14


def test_what_no_tool_can_do_stands_alone() -> None:
    half_round = Roll((Tool("g", "gouge", 6, 3),))
    runs = joined_here([wall(6, 1 / 3.1), wall(6, -1.0), wall(6, 1 / 3.1)], half_round)
    assert [run.choice is None for run in runs] == [False, True, False]


@pytest.mark.parametrize("family", FACES)
def test_no_two_cuts_of_one_wall_in_a_row_are_the_same_tool_held_the_same_way(family: str) -> None:
    """But for those that are sliced opposite ways, and where a corner or a point to clean lies between."""
    for one, other in pairwise(alphabet_cuts(family)):
        if one.kind == other.kind == "serif" and one.key == other.key and one.tool == other.tool:
            same = one.technique.split(",")[0] == other.technique.split(",")[0] and one.slice == other.slice
            meet = bool((one.points[-1, :2] == other.points[0, :2]).all() and one.points[-1, 2] > 0)
            assert not (same and meet), (one.char, one.id, other.id)


def test_an_old_style_e_has_cuts_that_can_be_read_on_one_card() -> None:
    """It had 74, 37 of them of its serifs, before pieces of different bends were joined."""
    cuts = cuts_for(carved_letters("eb_garamond", "E"))
    assert len(cuts) < 60
    assert sum(cut.kind in ("serif", "corner") for cut in cuts) < 25
