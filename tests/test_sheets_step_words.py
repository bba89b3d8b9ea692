"""How a step is told: depths with their units, passes, tools, what to be careful of."""

from __future__ import annotations

from dataclasses import replace

import pytest
from card_boards import bench
from hypothesis import given
from hypothesis import strategies as st

from stopcut.sheets.letter_cards import CardStep, cards_of
from stopcut.sheets.step_words import depth_said, how_said, nth, one_after_another, remarks, tool_said
from stopcut.shop.tools import Tool


def step(depth_mm: float, passes: tuple[float, ...] = (), cautions: tuple[str, ...] = ()) -> CardStep:
    card = next(card for card in cards_of([bench("LIL", "IT")]) if card.char == "I")
    first = card.steps[0]
    cut = replace(first.cuts[0], depth_mm=depth_mm, passes=passes, cautions=cautions)
    return CardStep(first.number, first.step, (cut,))


def test_passes_are_told_with_their_depths_and_units() -> None:
    assert depth_said(step(7.12), "mm") == "7.1 mm"
    assert depth_said(step(17.3, (6.0, 12.0, 17.0)), "mm") == "in 3 passes: 6.0, 12.0, 17.0 mm"
    assert depth_said(step(17.3, (6.0, 12.0, 17.0)), "mm", short=True) == "6.0, 12.0, 17.0 mm"
    five = (3.0, 6.0, 9.0, 12.0, 15.0)
    assert depth_said(step(15.3, five), "mm") == "in 5 passes of 3.0, to 15.0 mm"
    assert depth_said(step(15.3, five), "mm", short=True) == "5 × 3.0 mm"
    assert depth_said(step(6.35), "in") == "1/4 in"


@given(st.floats(0.001, 30))
def test_no_cut_is_said_to_be_nothing_deep(mm: float) -> None:
    assert depth_said(step(mm), "mm") not in ("0 mm", "0.0 mm")
    said = depth_said(step(mm), "in")
    assert said != "0 in"
    assert said.startswith("< 1/64") == (mm < 25.4 / 128) or mm == pytest.approx(25.4 / 128)


def test_a_tool_has_its_width_in_fractions_of_an_inch_on_a_job_in_inches() -> None:
    tool = Tool("the old chisel", "chisel", 12.7)
    assert tool_said(tool, "mm") == "the old chisel"
    assert tool_said(tool, "in") == "the old chisel (1/2 in)"
    assert tool_said(None, "mm") == "nothing in the roll fits"


def test_a_card_of_deep_strokes_says_how_passes_go_and_why_an_edge_is_not_struck_deeper() -> None:
    (said,) = remarks([step(9.0, (4.5, 9.0))])
    assert "pare down to it, stab again" in said
    assert "deeper than 2 times its width: it would jam" in said
    assert remarks([step(3.0)]) == []


def test_a_caution_names_its_steps_once() -> None:
    one = step(3.0, cautions=("An acute point stands at its start: go lightly.",))
    other = replace(
        one, number=4, cuts=(replace(one.cuts[0], cautions=("An acute point stands at its end: go lightly.",)),)
    )
    assert remarks([one, other]) == ["Steps 1 and 4: an acute point stands at one end: go lightly."]


def test_how_a_tool_is_held_is_told_side_by_side_where_it_differs() -> None:
    one = step(3.0)
    back = replace(one.cuts[0], side="inside", technique="back to the wall, from the line down to the stop cut")
    hollow = replace(back, side="outside", technique="hollow to the wall, from the line down to the stop cut")
    assert how_said(replace(one, cuts=(back,))) == "back to the wall"
    assert how_said(replace(one, cuts=(back, hollow))) == "inside: back to the wall; outside: hollow to the wall"


def test_orders_and_lists_are_told_as_one_says_them() -> None:
    assert [nth(number) for number in (1, 2, 3, 4, 11, 22)] == ["1st", "2nd", "3rd", "4th", "11th", "22nd"]
    assert one_after_another(["3", "4", "9"]) == "3, 4 and 9"
