"""Spots where the way to slice changes along a wall."""

from __future__ import annotations

import math

import pytest
from bench_boards import FACES, carved, carved_letters
from groove_shapes import RECTANGLE

from stopcut.arrays import Array
from stopcut.bench.cuts import worked
from stopcut.bench.planned import planned
from stopcut.bench.turns import Turn
from stopcut.groove.surface import Groove
from stopcut.shape.outline import polygon


def ring(radius: float) -> list[tuple[float, float]]:
    return [(20 + radius * math.cos(a), 20 + radius * math.sin(a)) for a in (math.radians(3 * n) for n in range(120))]


def round_o() -> Groove:
    return carved(polygon(ring(18), ring(11)[::-1]))


def test_round_an_o_the_direction_changes_where_its_walls_run_along_and_across_the_fibres() -> None:
    turns = worked((round_o(),)).turns
    assert len(turns) == 8  # four on the outer wall, four on the inner one
    for turn in turns:
        off = math.degrees(math.atan2(turn.y_mm - 20, turn.x_mm - 20)) % 90
        assert min(off, 90 - off) < 8


def test_round_an_o_slices_lead_by_turns_towards_a_spot_and_away_from_the_next() -> None:
    turns = worked((round_o(),)).turns
    for radius in (18, 11):
        own = [turn for turn in turns if abs(math.hypot(turn.x_mm - 20, turn.y_mm - 20) - radius) < 1]
        own.sort(key=lambda turn: math.atan2(turn.y_mm - 20, turn.x_mm - 20))
        leads = [turn.leads for turn in own]
        assert leads in (["towards", "away"] * 2, ["away", "towards"] * 2)


def test_a_straight_bar_has_no_such_spot() -> None:
    assert worked((carved(RECTANGLE),)).turns == ()


@pytest.mark.parametrize("family", FACES)
def test_a_spot_lies_between_two_lines_that_are_sliced_opposite_ways_and_says_which(family: str) -> None:
    found = worked(carved_letters(family))
    cuts, turns = {cut.id: cut for cut in found.cuts}, found.turns
    assert len(turns) > 20
    for turn in turns:
        one, other = (cuts[name] for name in turn.cuts)
        assert one.key == other.key == turn.key
        # Round a bend about the wood a line runs on over the open groove for as much as it turns there.
        ends = [line for line in one.lines if _far(turn, line.points[-1]) < 1.5]
        begins = [line for line in other.lines if _far(turn, line.points[0]) < 1.5]
        pairs = [(a, b) for a in ends for b in begins if {a.slice, b.slice} == {"along", "against"}]
        assert pairs, (turn.char, turn)
        assert {a.slice for a, _ in pairs} == {"along" if turn.leads == "towards" else "against"}
        assert ("up to" in turn.why) == (turn.leads == "towards")


@pytest.mark.parametrize("family", FACES)
def test_a_short_stretch_sliced_the_other_way_is_a_line_of_the_same_cut_with_its_spot(family: str) -> None:
    found = worked(carved_letters(family))
    inside = [turn for turn in found.turns if turn.cuts[0] == turn.cuts[1]]
    assert inside
    cuts = {cut.id: cut for cut in found.cuts}
    assert all(cuts[turn.cuts[0]].slice is None for turn in inside)


def _far(turn: Turn, place: Array) -> float:
    return math.hypot(float(place[0]) - turn.x_mm, float(place[1]) - turn.y_mm)


@pytest.mark.parametrize(("char", "some"), [("S", True), ("O", True), ("I", False)])
def test_curved_letters_have_spots_and_plain_ones_none(char: str, some: bool) -> None:
    plan = planned(carved_letters("alegreya_sans", char))
    assert bool(plan.turns) == some
