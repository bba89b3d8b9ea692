"""The whole plan as one value."""

from __future__ import annotations

import pytest
from bench_boards import carved_letters

from stopcut.bench.minutes import Logged
from stopcut.bench.order import WAYS, Way, pick_ups
from stopcut.bench.planned import planned

BOARD = carved_letters("cinzel", "MARROW")


@pytest.mark.parametrize("way", WAYS)
def test_the_pick_ups_told_are_those_of_the_order_given(way: Way) -> None:
    plan = planned(BOARD, order=way)
    assert plan.order == way
    assert plan.pick_ups[way] == pick_ups(plan.cuts)


def test_the_other_ways_pick_ups_do_not_depend_on_the_way_chosen() -> None:
    assert planned(BOARD, order="stroke").pick_ups == planned(BOARD, order="reading").pick_ups


def test_the_middle_letter_is_begun_first() -> None:
    assert [letter for _, letter in planned(BOARD).letters] == [3, 4, 2, 5, 1, 6]


def test_a_board_takes_what_its_letters_take_and_these_more_than_their_cuts() -> None:
    plan = planned(BOARD, hardness_lbf=410.0)
    assert plan.minutes.likely == pytest.approx(sum(plan.letter_minutes.values()))
    assert sum(plan.cut_minutes) < plan.minutes.likely
    assert plan.minutes.low < plan.minutes.likely < plan.minutes.high


def test_letters_that_took_long_make_the_whole_board_longer_and_surer() -> None:
    plain = planned(BOARD)
    logged = planned(BOARD, logged=[Logged(20.0, 40.0)] * 6)
    assert 1.5 < logged.minutes.likely / plain.minutes.likely < 2.0
    assert logged.minutes.high / logged.minutes.low < plain.minutes.high / plain.minutes.low
    assert logged.cut_minutes[0] / plain.cut_minutes[0] == pytest.approx(logged.minutes.likely / plain.minutes.likely)


def test_every_cut_with_a_tool_is_counted_with_it_once() -> None:
    plan = planned(BOARD)
    assert sum(use.cuts for use in plan.tools) + plan.without == len(plan.cuts)
    assert plan.tools[0].tool == plan.cuts[0].tool
