"""Steps: one tool in the hand, one stroke or equal ones together, one way."""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise

import pytest
from bench_boards import BASSWOOD, FACES, of_height

from stopcut.bench.planned import Plan, planned
from stopcut.bench.steps import counted


@lru_cache
def plan_of(family: str) -> Plan:
    return planned(of_height(family), hardness_lbf=BASSWOOD, order="reading")


def steps(family: str, char: str) -> list[str]:
    letter = "ABCDEFGHIJKLMNOPQRSTUVWXYZ".index(char) + 1
    return [step.says for step in plan_of(family).steps if step.letter == letter]


@pytest.mark.parametrize("family", FACES)
def test_every_cut_is_in_one_step_in_working_order(family: str) -> None:
    plan = plan_of(family)
    assert [cut for step in plan.steps for cut in step.cuts] == [cut.id for cut in plan.cuts]


@pytest.mark.parametrize("family", FACES)
def test_a_step_has_one_tool_and_the_next_another_tool_stroke_or_way(family: str) -> None:
    plan = plan_of(family)
    cuts = {cut.id: cut for cut in plan.cuts}
    for step in plan.steps:
        assert {cuts[one].tool for one in step.cuts} == {step.tool}
        assert len({cuts[one].place[0] for one in step.cuts}) == 1
    for one, other in pairwise(plan.steps):
        same_block = cuts[one.cuts[0]].place[0] == cuts[other.cuts[0]].place[0]
        assert one.key != other.key or one.tool != other.tool or one.verb != other.verb or not same_block


@pytest.mark.parametrize("family", FACES)
def test_a_letter_has_about_ten_steps_and_an_e_no_more_than_thirteen(family: str) -> None:
    plan = plan_of(family)
    assert len(plan.steps) / 26 <= 10
    assert len(steps(family, "E")) <= 13


def test_an_i_is_cut_as_it_is_taught() -> None:
    said = steps("cinzel", "I")
    assert said[0] == "Stop the stem"
    assert said[1] == "Roll out four corners of the stem"
    assert said[2] == "Pare left and right walls of the stem"
    assert said[3] == "Trim two ends of the stem"
    assert said[4:] == ["Pare four brackets", "Clean four points"]


@pytest.mark.parametrize("family", FACES)
def test_steps_take_the_minutes_of_their_cuts(family: str) -> None:
    plan = plan_of(family)
    assert sum(step.minutes for step in plan.steps) == pytest.approx(sum(plan.cut_minutes))
    assert all(step.deepest_mm > 0 and step.settings > 0 for step in plan.steps)


def test_things_are_counted_in_words() -> None:
    assert [counted(1, "end"), counted(4, "corner"), counted(13, "point")] == ["one end", "four corners", "13 points"]
