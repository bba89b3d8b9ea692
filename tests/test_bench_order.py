"""In which order to work."""

from __future__ import annotations

from dataclasses import replace
from itertools import permutations, product

import numpy as np
import pytest
from bench_boards import FACES, alphabet_cuts
from hypothesis import given, settings
from hypothesis import strategies as st

from stopcut.bench.order import WAYS, WITHINS, Way, Within, middle_out, pick_ups, working_order
from stopcut.bench.plan import Cut, CutLine
from stopcut.shop.tools import Tool


def cut(
    number: int, tool: int | None, after: tuple[int, ...] = (), letter: int = 1, place: tuple[int, int] = (0, 4)
) -> Cut:
    """A cut that needs a tool and waits for others of its letter."""
    return Cut(
        id=f"1.{letter}.{number}",
        line=1,
        letter=letter,
        char="M",
        stroke=1,
        stroke_kind="stem",
        kind="wall",
        side="left",
        lines=(CutLine(np.zeros((1, 3))),),
        traces=(),
        depth_mm=0.0,
        after=tuple(f"1.{letter}.{other}" for other in after),
        place=place,
        tool=None if tool is None else Tool(f"tool {tool}", "chisel", 10.0),
        seconds=10.0 * letter,
    )


@st.composite
def letters(draw: st.DrawFn, letter: int = 1) -> list[Cut]:
    """Cuts in up to three phases, with a few tools."""
    out = []
    for phase in range(draw(st.integers(1, 3))):
        for tool in draw(st.lists(st.none() | st.integers(1, 4), min_size=1, max_size=4)):
            out.append(cut(len(out), tool, letter=letter, place=(0, phase)))
    return out


def fewest(groups: list[list[Cut]]) -> int:
    """The fewest pick-ups over every order of every phase's tools."""
    every = [list(permutations({one.tool.name for one in group if one.tool is not None})) for group in groups]
    best = 10**6
    for turns in product(*every):
        held, count = "", 0
        for tool in (tool for turn in turns for tool in turn):
            count += tool != held
            held = tool
        best = min(best, count)
    return best


def phases(*found: list[Cut]) -> list[list[Cut]]:
    return [[one for one in own if one.place == place] for own in found for place in sorted({one.place for one in own})]


def keeps(order: tuple[Cut, ...]) -> bool:
    done: set[str] = set()
    for one in order:
        if not done.issuperset(one.after):
            return False
        done.add(one.id)
    return True


@settings(max_examples=150)
@given(letters())
def test_no_other_order_of_the_phases_tools_picks_up_fewer(found: list[Cut]) -> None:
    order = working_order(found, "reading")
    assert sorted(one.id for one in order) == sorted(one.id for one in found)
    assert pick_ups(order) == fewest(phases(found))
    assert [one.place for one in order] == sorted(one.place for one in found)


@settings(max_examples=60)
@given(letters(1), letters(2))
def test_the_tool_that_ends_a_letter_begins_the_next_where_that_saves_a_pick_up(a: list[Cut], b: list[Cut]) -> None:
    assert pick_ups(working_order([*a, *b], "reading")) == fewest(phases(a, b))


@pytest.mark.parametrize("family", FACES)
@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("within", WITHINS)
def test_no_way_breaks_a_rule_from_a_to_z(family: str, way: Way, within: Within) -> None:
    cuts = alphabet_cuts(family)
    order = working_order(cuts, way, None, within)
    assert keeps(order)
    assert len(order) == len({one.id for one in order}) == len(cuts)


@pytest.mark.parametrize("family", FACES)
def test_an_order_that_only_saves_pick_ups_saves_some(family: str) -> None:
    cuts = alphabet_cuts(family)
    taught, saving = (pick_ups(working_order(cuts, "reading", None, within)) for within in WITHINS)
    assert saving < taught
    stabs = [one.kind in ("stop", "end") for one in working_order(cuts, "reading", None, "tools") if one.char == "E"]
    assert stabs == sorted(stabs, reverse=True)


def test_going_stroke_by_stroke_across_the_line_picks_up_fewer_tools_than_letter_by_letter() -> None:
    cuts = alphabet_cuts("cinzel")
    assert pick_ups(working_order(cuts, "stroke")) < pick_ups(working_order(cuts, "reading")) / 2


def test_stems_come_before_bars_and_bars_before_serifs_across_the_line() -> None:
    order = working_order(alphabet_cuts("cinzel"), "stroke")
    kinds = ["serif" if one.kind in ("serif", "corner") else one.stroke_kind for one in order]
    last = {kind: max(n for n, own in enumerate(kinds) if own == kind) for kind in ("stem", "bar", "bowl")}
    first = {kind: kinds.index(kind) for kind in ("bar", "bowl", "serif")}
    assert last["stem"] < first["bowl"]
    assert last["bowl"] < first["bar"]
    assert last["bar"] < first["serif"]


def test_the_middle_letter_is_first_and_the_ends_last() -> None:
    assert middle_out(5) == (2, 3, 1, 4, 0)
    assert middle_out(4) == (1, 2, 0, 3)
    cuts = [cut(1, 1, letter=letter) for letter in range(1, 6)]
    assert [one.letter for one in working_order(cuts, "middle")] == [3, 4, 2, 5, 1]


def test_an_easy_letter_of_the_first_word_may_come_before_the_middle_one() -> None:
    cuts = [replace(cut(1, 1, letter=letter), seconds=90.0 - letter) for letter in range(1, 7)]
    words = {(1, letter): int(letter > 3) for letter in range(1, 7)}
    assert [one.letter for one in working_order(cuts, "easy", words)] == [3, 2, 1, 5, 6, 4]


def test_by_word_the_middle_of_each_word_comes_first() -> None:
    cuts = [cut(1, 1, letter=letter) for letter in range(1, 7)]
    words = {(1, letter): int(letter > 3) for letter in range(1, 7)}
    assert [one.letter for one in working_order(cuts, "middle", words)] == [2, 3, 1, 5, 6, 4]


def test_ornaments_come_after_all_letters() -> None:
    ornament = replace(cut(1, 1), id="0.1.1", line=0)
    assert [one.line for one in working_order([ornament, cut(1, 2)], "middle")] == [1, 0]


def test_a_cut_that_no_tool_fits_costs_no_pick_up() -> None:
    assert pick_ups([cut(1, 1), cut(2, None), cut(3, 1), cut(4, 2), cut(5, 1)]) == 3


def test_cuts_that_come_before_what_they_wait_for_are_refused() -> None:
    with pytest.raises(ValueError, match=r"1\.1\.1 comes before 1\.1\.2"):
        working_order([cut(1, 1, after=(2,)), cut(2, 1)])
