"""A class: the same blank for each, words of their own, one size of letters, and the tools that they need at once."""

from __future__ import annotations

from dataclasses import replace

import pytest

from stopcut.bench.planned import Plan
from stopcut.errors import WrongJob
from stopcut.job.job import Job
from stopcut.job.read import parse_job
from stopcut.options.class_list import LEAST_CAP_MM, class_of, needs, tools_there, unknown_tools
from stopcut.options.learners import ClassList
from stopcut.shop.roll import published_roll
from stopcut.shop.tools import Roll, Tool
from stopcut.teaching.in_class import Learner, Member
from stopcut.work import Work

TEXT = """\
format = 1
title = "Marrow Lane plot signs"
[board]
width = 300
height = 90
thickness = 22
margin = 14
[lettering]
face = "Cinzel"
[[line]]
words = "PLOT NAME"          # each learner's own
shifts = [{ pair = "PL", nth = 1, by = "0.4 mm" }]
"""
TWO = TEXT + '[[line]]\nwords = "Marrow Lane"\nsize = 0.5\n'


def job(text: str = TEXT) -> Job:
    return parse_job(text)


def listed(*words: str | tuple[str, ...], **changed: str) -> ClassList:
    return ClassList(
        tuple(
            Learner(f"Learner {n}", (one,) if isinstance(one, str) else one, key=f"learner[{n}]", line=n, **changed)
            for n, one in enumerate(words, 1)
        )
    )


def faults(asked: Job, names: ClassList) -> list[str]:
    with pytest.raises(WrongJob) as wrong:
        class_of(asked, names)
    return [str(fault) for fault in wrong.value.faults]


def test_each_learner_has_own_words_on_an_equal_blank() -> None:
    made = class_of(job(), listed("MEDLAR", "PEAR"))
    assert [member.work.job.lines[0].words for member in made.members] == ["MEDLAR", "PEAR"]
    assert len({member.work.job.board for member in made.members}) == 1
    assert [member.work.job.title for member in made.members][1] == "Marrow Lane plot signs: Learner 2"
    assert all("# each learner's own" in member.text for member in made.members)
    assert all(member.work.job.lines[0].shifts == () for member in made.members)


def test_the_common_cap_height_is_the_largest_that_fits_everybody() -> None:
    words = ("MEDLAR", "PEAR", "BRAMLEY")
    made = class_of(job(), listed(*words))
    alone = {}
    for word in words:
        one = parse_job(
            TEXT.replace("PLOT NAME", word).replace('shifts = [{ pair = "PL", nth = 1, by = "0.4 mm" }]', "")
        )
        alone[word] = Work(one).setting.lines[0].cap_height_mm
    assert made.cap_height_mm == pytest.approx(min(alone.values()), abs=0.1)
    assert made.cap_height_mm <= min(alone.values())
    assert made.longest == "Learner 3"
    assert made.without_longest_mm == pytest.approx(sorted(alone.values())[1], abs=0.01)
    for member in made.members:
        assert member.work.setting.lines[0].cap_height_mm == pytest.approx(made.cap_height_mm)
        assert not [one for one in member.work.setting.findings if one.code == "does-not-fit"]


def test_each_may_have_the_largest_that_fits_instead() -> None:
    made = class_of(job(), listed("PEAR", "BRAMLEY"), own_sizes=True)
    short, long = (member.work.setting.lines[0].cap_height_mm for member in made.members)
    assert short > long
    assert made.cap_height_mm is None


def test_lines_beyond_a_learner_s_words_stay_common_to_all() -> None:
    made = class_of(job(TWO), listed("MEDLAR", ("PEAR", "Plot 4")))
    assert [[line.words for line in member.work.job.lines] for member in made.members] == [
        ["MEDLAR", "Marrow Lane"],
        ["PEAR", "Plot 4"],
    ]
    heights = [[line.cap_height_mm for line in member.work.setting.lines] for member in made.members]
    assert heights[0] == pytest.approx(heights[1])
    assert heights[0][1] == pytest.approx(heights[0][0] / 2)


def test_a_cap_height_that_the_job_sets_is_kept() -> None:
    made = class_of(job(TEXT.replace('face = "Cinzel"', 'face = "Cinzel"\ncap_height = 30')), listed("PEAR"))
    assert made.cap_height_mm is None
    assert made.members[0].work.setting.lines[0].cap_height_mm == 30


def test_every_fault_of_every_learner_is_said_at_once() -> None:
    said = faults(job(), listed("PEAR", "PФAR", ("A", "B"), "A WORD THAT NEVER ENDS AND GOES ON BEYOND ALL BLANKS"))
    assert len(said) == 3
    assert said[0].startswith("learner[2], line 2: Learner 2, “PФAR”: Cinzel has no 'Ф' (letter 2)")
    assert "Learner 3 has 2 lines of words, and the job has 1 line" in said[1]
    assert f"below {LEAST_CAP_MM:g} mm" in said[2]
    assert "a shorter word" in said[2]


def test_words_too_long_at_the_height_that_the_job_sets_are_said_with_what_would_do() -> None:
    (said,) = faults(
        job(TEXT.replace('face = "Cinzel"', 'face = "Cinzel"\ncap_height = 50')), listed("PEAR", "BRAMLEY")
    )
    assert said.startswith("learner[2], line 2: Learner 2, “BRAMLEY”")
    assert "cap height" in said


def test_a_fault_of_the_job_itself_is_said_once() -> None:
    said = faults(job(TEXT.replace('"Cinzel"', '"No Such Face"')), listed("PEAR", "PLUM", "FIG"))
    assert len(said) == 1
    assert "No Such Face" in said[0]


def plans(*words: str) -> tuple[tuple[Member, ...], list[Plan]]:
    members = class_of(job(), listed(*words)).members
    return members, [member.work.plan("reading") for member in members]


def test_learners_alike_who_begin_together_each_need_their_own_tools() -> None:
    members, made = plans("PEAR", "PEAR", "PEAR")
    found = needs(members, made, published_roll(), {})
    assert found
    assert {need.name for need in found} == {use.tool.name for use in made[0].tools}
    assert all(need.at_once == need.learners == 3 for need in found)
    assert all(need.there_are is None and need.short == 0 for need in found)


def test_one_learner_holds_one_tool_at_a_time() -> None:
    members, made = plans("PEAR")
    assert {need.at_once for need in needs(members, made, published_roll(), {})} == {1}


def test_at_once_is_never_more_than_the_learners_who_use_a_tool() -> None:
    members, made = plans("PEAR", "MEDLAR", "FIG")
    found = needs(members, made, published_roll(), {})
    assert all(1 <= need.at_once <= need.learners <= 3 for need in found)
    # Whoever begins with a round letter holds another tool than who begins with a stem; all have one in the hand.
    assert sum(need.at_once for need in found) >= 3


def test_a_published_tool_is_not_there_where_the_class_counts_its_tools() -> None:
    members, made = plans("PEAR", "PEAR")
    scarce = made[0].tools[0].tool.name
    found = {need.name: need for need in needs(members, made, published_roll(), {"chisel 3": 9})}
    assert (found[scarce].there_are, found[scarce].short) == (0, found[scarce].at_once)
    assert all(need.there_are is None for need in needs(members, made, published_roll(), {}))


def test_a_class_works_with_the_tools_it_counts_else_with_the_carver_s_own() -> None:
    own = Roll((Tool("mine", "chisel", 11), *published_roll().tools))
    assert tools_there(own, {"chisel 3": 2}) == ("chisel 3",)
    assert tools_there(own, {}) == ("mine",)
    assert tools_there(published_roll(), {}) is None


def test_the_tools_that_are_short_come_first() -> None:
    members, made = plans("PEAR", "PEAR", "PEAR")
    counted = {use.tool.name: 3 for use in made[0].tools}
    scarce = made[0].tools[-1].tool.name
    found = needs(members, made, published_roll(), counted | {scarce: 1})
    assert (found[0].name, found[0].short) == (scarce, 2)
    assert all(need.short == 0 for need in found[1:])


def test_of_a_carver_s_own_roll_there_is_one_of_each_unless_counted() -> None:
    own = Roll(tuple(replace(tool, measured=True) for tool in published_roll().tools))
    made = class_of(job(), listed("PEAR", "PEAR"))
    both = [member.work.plan("reading", own) for member in made.members]
    found = needs(made.members, both, own, {"chisel 3": 2})
    assert {need.there_are for need in found if need.name != "chisel 3"} == {1}
    assert {need.short for need in found if need.name == "chisel 3"} <= {0}


def test_a_left_handed_learner_s_single_bevels_are_pointed_out() -> None:
    single = Roll(tuple(replace(t, bevel="single") if t.name == "fishtail 5" else t for t in published_roll().tools))
    for hand, wanted in (("right", set()), ("left", {"fishtail 5"})):
        made = class_of(job(), listed("PEAR", hand=hand))
        found = needs(made.members, [made.members[0].work.plan("reading", single, only=["fishtail 5"])], single, {})
        assert {need.name for need in found if need.left} == wanted


def test_tools_counted_that_the_roll_lacks_are_faults() -> None:
    (fault,) = unknown_tools(ClassList((), {"chisel 12": 2, "chissel 3": 1}), published_roll(), "class.toml")
    assert '"chissel 3"' in str(fault)
