"""In which order to work."""

from __future__ import annotations

import heapq
from dataclasses import replace

import numpy as np
import pytest
from bench_boards import FACES, alphabet_cuts
from hypothesis import given, settings
from hypothesis import strategies as st

from stopcut.bench.order import WAYS, Way, middle_out, pick_ups, working_order
from stopcut.bench.plan import Cut
from stopcut.shop.tools import Tool


def cut(number: int, tool: int | None, after: tuple[int, ...] = (), letter: int = 1) -> Cut:
    """A cut that needs a tool and waits for others of its letter."""
    return Cut(
        id=f"1.{letter}.{number}",
        line=1,
        letter=letter,
        char="M",
        stroke=1,
        stroke_kind="stem",
        kind="wall",
        tool=None if tool is None else Tool(f"tool {tool}", "chisel", 10.0),
        technique="",
        side=None,
        points=np.zeros((1, 3)),
        length_mm=0.0,
        depth_mm=0.0,
        after=tuple(f"1.{letter}.{other}" for other in after),
    )


@st.composite
def letters(draw: st.DrawFn, most: int = 9, letter: int = 1) -> list[Cut]:
    """A few cuts with a few tools, each waiting for any of those before it."""
    count = draw(st.integers(1, most))
    return [
        cut(
            n,
            draw(st.none() | st.integers(1, 3)) if n % 4 == 0 else draw(st.integers(1, 4)),
            tuple(draw(st.sets(st.integers(0, n - 1), max_size=3))) if n else (),
            letter,
        )
        for n in range(count)
    ]


def exact(groups: list[list[Cut]]) -> int:
    """The fewest pick-ups of all orders, group after group: the shortest way through every set of finished cuts."""
    cuts = [one for group in groups for one in group]
    place = {one.id: n for n, one in enumerate(cuts)}
    waits, first = [], 0
    for group in groups:
        for one in group:
            waits.append(sum(1 << place[other] for other in one.after) | ((1 << first) - 1))
        first += len(group)
    best: dict[tuple[int, str], int] = {(0, ""): 0}
    queue = [(0, 0, "")]
    while queue:
        cost, done, held = heapq.heappop(queue)
        if done == (1 << len(cuts)) - 1:
            return cost
        if cost > best[done, held]:
            continue
        for n, one in enumerate(cuts):
            if done >> n & 1 or waits[n] & ~done:
                continue
            tool = held if one.tool is None else one.tool.name
            state, now = (done | 1 << n, tool), cost + (tool != held)
            if now < best.get(state, 10**6):
                best[state] = now
                heapq.heappush(queue, (now, *state))
    raise AssertionError("no order")


def fewest(cuts: list[Cut]) -> int:
    """The same for one letter of many cuts: all that the tool in the hand can do is done first, the likeliest sets are
    gone through first, and a set's promise is how many tools its unfinished cuts want (so that none is cut off)."""
    place = {one.id: n for n, one in enumerate(cuts)}
    waits = [sum(1 << place[other] for other in one.after) for one in cuts]
    names = [one.tool.name if one.tool is not None else "" for one in cuts]
    doable = {name: [n for n, own in enumerate(names) if own in (name, "")] for name in set(names) - {""}}
    wants = [sum(1 << n for n, own in enumerate(names) if own == name) for name in doable]
    whole = (1 << len(cuts)) - 1

    def promise(done: int) -> int:
        return sum(1 for bits in wants if bits & whole & ~done)

    best = {0: 0}
    queue = [(promise(0), 0, 0, 0)]
    while queue:
        _, _, cost, done = heapq.heappop(queue)
        if done == whole:
            return cost
        if cost > best[done]:
            continue
        for own in doable.values():
            now = done
            for n in own:
                if waits[n] & ~now == 0:
                    now |= 1 << n
            if now != done and cost + 1 < best.get(now, 10**6):
                best[now] = cost + 1
                heapq.heappush(queue, (cost + 1 + promise(now), -now.bit_count(), cost + 1, now))
    raise AssertionError("no order")


def keeps(order: tuple[Cut, ...]) -> bool:
    done: set[str] = set()
    for one in order:
        if not done.issuperset(one.after):
            return False
        done.add(one.id)
    return True


@settings(max_examples=150)
@given(letters())
def test_the_order_picks_up_as_few_tools_as_any_other(found: list[Cut]) -> None:
    order = working_order(found, "reading")
    assert sorted(one.id for one in order) == sorted(one.id for one in found)
    assert keeps(order)
    assert pick_ups(order) <= 1.05 * exact([found])


@settings(max_examples=60)
@given(letters(5, 1), letters(5, 2))
def test_the_tool_that_ends_a_letter_begins_the_next_where_that_saves_a_pick_up(a: list[Cut], b: list[Cut]) -> None:
    assert pick_ups(working_order([*a, *b], "reading")) <= 1.05 * exact([a, b])


@settings(max_examples=60)
@given(letters(4, 1), letters(4, 2), st.lists(st.integers(1, 3), min_size=2, max_size=2))
def test_across_the_line_stems_then_bars_take_as_few_pick_ups_as_can_be(
    a: list[Cut], b: list[Cut], tools: list[int]
) -> None:
    bars = [replace(cut(9, tools[n], (0,), stems[0].letter), stroke_kind="bar") for n, stems in enumerate((a, b))]
    order = working_order([*a, bars[0], *b, bars[1]], "stroke")
    assert keeps(order)
    assert pick_ups(order) <= 1.05 * exact([[*a, *b], bars])


@given(letters(8))
def test_both_exact_ways_agree(found: list[Cut]) -> None:
    if any(one.tool is not None for one in found):
        assert fewest(found) == exact([found])


@pytest.mark.parametrize("family", FACES)
def test_every_letter_from_a_to_z_is_worked_with_as_few_pick_ups_as_can_be(family: str) -> None:
    cuts = alphabet_cuts(family)
    for letter in range(1, 27):
        own = [one for one in cuts if one.letter == letter]
        assert pick_ups(working_order(own, "reading")) <= 1.05 * fewest(own)


@pytest.mark.parametrize("family", FACES)
@pytest.mark.parametrize("way", WAYS)
def test_no_way_breaks_a_rule_from_a_to_z(family: str, way: Way) -> None:
    cuts = alphabet_cuts(family)
    order = working_order(cuts, way)
    assert keeps(order)
    assert len(order) == len(cuts)
    assert len({one.id for one in order}) == len(cuts)


def test_going_stroke_by_stroke_across_the_line_picks_up_fewer_tools_than_letter_by_letter() -> None:
    cuts = alphabet_cuts("cinzel")
    assert pick_ups(working_order(cuts, "stroke")) < pick_ups(working_order(cuts, "reading")) / 2


def test_stems_come_before_bars_and_bars_before_serifs_across_the_line() -> None:
    order = working_order(alphabet_cuts("cinzel"), "stroke")
    waited = {other for one in order if one.kind not in ("serif", "corner") for other in one.after}
    serifs = [n for n, one in enumerate(order) if one.kind in ("serif", "corner")]
    others = [n for n, one in enumerate(order) if one.kind not in ("serif", "corner")]
    assert max(others) < min(serifs)
    free = [n for n, one in enumerate(order) if one.stroke_kind in ("stem", "diagonal") and n < min(serifs)]
    bars = [n for n, one in enumerate(order) if one.stroke_kind in ("bar", "bowl") and one.id not in waited]
    bars = [n for n in bars if n < min(serifs)]
    assert max(free) < min(bars)


def test_the_middle_letter_is_first_and_the_ends_last() -> None:
    assert middle_out(5) == (2, 3, 1, 4, 0)
    assert middle_out(4) == (1, 2, 0, 3)
    cuts = [cut(1, 1, letter=letter) for letter in range(1, 6)]
    assert [one.letter for one in working_order(cuts, "middle")] == [3, 4, 2, 5, 1]


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
