"""The smallest set of tools: held to a search of every set, and to what a carver fixes upon."""

from __future__ import annotations

from itertools import combinations

import numpy as np
from bench_boards import BASSWOOD, of_height, tall_cuts
from hypothesis import given, settings
from hypothesis import strategies as st

from stopcut.bench.choose import Options, Outfit
from stopcut.bench.cuts import worked
from stopcut.bench.planned import planned
from stopcut.bench.settings import PUBLISHED_BENCH
from stopcut.bench.toolset import GAP, Item, ToolSet, chosen_tools, next_tool
from stopcut.shop.rates import PUBLISHED_RATES
from stopcut.shop.roll import published_roll
from stopcut.shop.tools import Roll, Tool

TOOLS = 5
SHOP = Outfit(
    Roll(tuple(Tool(f"tool {n}", "chisel", 5 + n) for n in range(TOOLS))), PUBLISHED_BENCH, PUBLISHED_RATES, BASSWOOD
)


def item(seconds: list[float], letters: list[int], phase: int = 0) -> Item:
    costs = np.array(seconds, dtype=float)
    zero, one = np.zeros(TOOLS), np.ones(TOOLS, dtype=np.int64)
    return Item(
        Options(costs, zero, one, one, zero, zero, zero, False, 1.0), {(letter, phase): 1 for letter in letters}
    )


def cheapest(items: list[Item], letters: dict[int, int]) -> float:
    """The least cost over every set of tools and every way to hand them out, one letter at a time."""
    bench = SHOP.settings
    best = np.inf
    for size in range(1, TOOLS + 1):
        for tools in combinations(range(TOOLS), size):
            best = min(best, bench.tool_on_board_s * size + _handed_out(items, tools, letters))
    return float(best)


def _handed_out(items: list[Item], tools: tuple[int, ...], letters: dict[int, int]) -> float:
    """Every way to give the items these tools, by trying them all."""
    if not items:
        return 0.0
    best = np.inf
    grids = np.array(np.meshgrid(*[tools] * len(items), indexing="ij")).reshape(len(items), -1).T
    for given_ in grids.tolist():
        cost = sum(float(one.options.seconds[t]) * one.count for one, t in zip(items, given_, strict=True))
        held = {(letter, t) for one, t in zip(items, given_, strict=True) for letter, _ in one.places}
        parts = {(*place, t) for one, t in zip(items, given_, strict=True) for place in one.places}
        cost += sum(SHOP.settings.tool_in_letter_s * letters[letter] for letter, _ in held)
        cost += sum(SHOP.settings.tool_in_phase_s * letters[place[0]] for place in parts)
        best = min(best, cost)
    return float(best)


items_strategy = st.lists(
    st.tuples(
        st.lists(st.integers(1, 400).map(float) | st.just(np.inf), min_size=TOOLS, max_size=TOOLS).filter(
            lambda row: any(np.isfinite(row))
        ),
        st.lists(st.integers(1, 2), min_size=1, max_size=2, unique=True),
        st.integers(0, 1),
    ),
    min_size=1,
    max_size=4,
)


@settings(max_examples=40, deadline=None)
@given(items_strategy)
def test_no_other_set_of_tools_and_no_other_way_to_hand_them_out_costs_less(rows: list[tuple]) -> None:
    items = [item(*row) for row in rows]
    letters = {1: 1, 2: 3}
    found = chosen_tools(items, SHOP, letters)
    cost = SHOP.settings.tool_on_board_s * len(found.tools) + sum(
        float(one.options.seconds[t]) * one.count for one, t in zip(items, found.by_item, strict=True) if t is not None
    )
    held = {(place[0], t) for one, t in zip(items, found.by_item, strict=True) for place in one.places}
    parts = {(*place, t) for one, t in zip(items, found.by_item, strict=True) for place in one.places}
    cost += sum(SHOP.settings.tool_in_letter_s * letters[letter] for letter, _ in held)
    cost += sum(SHOP.settings.tool_in_phase_s * letters[part[0]] for part in parts)
    assert cost <= cheapest(items, letters) * (1 + GAP) + 0.01


def test_a_tool_that_saves_next_to_nothing_stays_in_the_roll() -> None:
    bench = SHOP.settings
    taken = bench.tool_on_board_s + bench.tool_in_letter_s + bench.tool_in_phase_s
    whole = 120_000.0

    def tools_where_the_second_saves(saved: float) -> tuple[int, ...]:
        first = item([whole / 2, np.inf, np.inf, np.inf, np.inf], [1])
        second = item([whole / 2, whole / 2 - taken - saved, np.inf, np.inf, np.inf], [1])
        return chosen_tools([first, second], SHOP, {1: 1}).tools

    assert tools_where_the_second_saves(0.9 * GAP * whole) == (0,)
    assert tools_where_the_second_saves(1.2 * GAP * whole) == (0, 1)


def test_what_no_tool_can_do_has_none_and_the_rest_is_not_hindered() -> None:
    found = chosen_tools([item([np.inf] * TOOLS, [1]), item([9, 1, 9, 9, 9], [1])], SHOP, {1: 1})
    assert found == ToolSet((1,), (None, 1))


def test_fixed_tools_are_kept_to_but_for_what_none_of_them_can_do() -> None:
    items = [item([9, 1, 9, 9, 9], [1]), item([np.inf, 5, np.inf, 7, np.inf], [1])]
    assert chosen_tools(items, SHOP, {1: 1}, [0]).by_item == (0, 1)


def test_the_tool_that_would_save_most_is_named_with_what_it_saves() -> None:
    items = [item([9, 4, 9, 9, 1], [1, 2]), item([8, 8, 8, 8, 3], [1])]
    assert next_tool(items, ToolSet((0,), (0, 0)), SHOP) == (4, 2 * 8 + 5)


def test_a_board_takes_the_same_tools_whenever_it_is_planned() -> None:
    again = worked(of_height("cinzel"), hardness_lbf=BASSWOOD).cuts
    assert [cut.tool for cut in again] == [cut.tool for cut in tall_cuts("cinzel")]


def test_a_carver_who_fixes_the_set_gets_it_and_is_told_of_a_tool_that_is_not_there() -> None:
    plan = planned(of_height("alegreya_sans", "EHI"), only=["Chisel 12", "chisel 6", "adze"], hardness_lbf=BASSWOOD)
    assert {use.tool.name for use in plan.tools} <= {"chisel 12", "chisel 6"}
    assert [finding.code for finding in plan.findings] == ["no-such-tool"]
    assert "adze" in plan.findings[0].says


def test_one_more_tool_saves_what_the_plan_says_or_less() -> None:
    grooves = of_height("cinzel", "SOCR")
    plan = planned(grooves, only=["chisel 20", "fishtail 5"], hardness_lbf=BASSWOOD)
    assert plan.saves is not None
    tool, minutes = plan.saves
    more = planned(grooves, only=["chisel 20", "fishtail 5", tool.name], hardness_lbf=BASSWOOD)
    assert sum(more.cut_minutes) < sum(plan.cut_minutes)
    assert sum(plan.cut_minutes) - sum(more.cut_minutes) <= minutes + 1e-6
    assert tool in published_roll().tools
