"""A class's plans: one set of tools for all boards, and each board's plan its own."""

from __future__ import annotations

import dataclasses
from functools import lru_cache

import pytest

from stopcut.bench.planned import Plan
from stopcut.job.read import parse_job
from stopcut.options.class_list import class_of
from stopcut.options.class_plans import class_plans
from stopcut.options.learners import parse_learners
from stopcut.teaching.in_class import Class

JOB = """\
format = 1
title = "Marrow Lane plot signs"
[board]
width = 300
height = 110
thickness = 22
margin = 10
[lettering]
face = "Cinzel"
cap_height = 35
[[line]]
words = "PLOT"
"""
LIST = "name,words,level,hand\nHazel,HAZEL,practised,left\nRowan,ROWAN,,\nBramble,BEAN ROW,,\n"


@lru_cache
def made() -> tuple[Class, list[Plan]]:
    group = class_of(parse_job(JOB), parse_learners(LIST, "class.csv"))
    return group, class_plans(group.members)


def cut_with(plan: Plan, char: str) -> list[tuple[str, str, int]]:
    key = next(cut.key for cut in plan.cuts if cut.char == char)
    own = sorted((cut for cut in plan.cuts if cut.key == key), key=lambda cut: int(cut.id.rpartition(".")[2]))
    return [(cut.kind, cut.tool.name if cut.tool is not None else "", cut.settings) for cut in own]


@pytest.mark.parametrize("char", "OWNAR")
def test_a_letter_is_cut_with_the_same_tools_at_every_bench(char: str) -> None:
    plans = [plan for plan in made()[1] if any(cut.char == char for cut in plan.cuts)]
    assert len(plans) > 1
    assert all(cut_with(plan, char) == cut_with(plans[0], char) for plan in plans)


def test_each_plan_has_its_own_board_s_cuts_and_no_rule_of_order_is_broken() -> None:
    group, plans = made()
    for member, plan in zip(group.members, plans, strict=True):
        alone = member.work.plan("middle", None, member.level)
        assert sorted(cut.id for cut in plan.cuts) == sorted(cut.id for cut in alone.cuts)
        assert plan.letters == alone.letters
        done: set[str] = set()
        for cut in plan.cuts:
            assert done.issuperset(cut.after)
            done.add(cut.id)
        for cut in plan.cuts:
            own = next(other for other in alone.cuts if other.id == cut.id)
            assert cut.points == pytest.approx(own.points, abs=1e-6)


def test_steps_tools_and_minutes_are_those_of_the_cuts() -> None:
    for plan in made()[1]:
        assert [one for step in plan.steps for one in step.cuts] == [cut.id for cut in plan.cuts]
        assert sum(use.cuts for use in plan.tools) == sum(cut.tool is not None for cut in plan.cuts)
        assert sum(plan.letter_minutes.values()) == pytest.approx(plan.minutes.likely)
        assert {use.tool for use in plan.tools} == {step.tool for step in plan.steps}


def test_a_class_of_one_has_that_learner_s_own_plan() -> None:
    group = class_of(parse_job(JOB), parse_learners("name,words\nHazel,FIG\n", "class.csv"))
    (plan,) = class_plans(group.members)
    alone = group.members[0].work.plan("middle", None, group.members[0].level)
    assert dataclasses.astuple(plan.minutes) == pytest.approx(dataclasses.astuple(alone.minutes))
    assert plan.saves == alone.saves
