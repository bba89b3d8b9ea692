"""The sheet to pin up: every letter in the order of carving, with steps, minutes, tools and its card."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from bench_pages import made, pages

from stopcut.sheets.roll_sheet import saves_said
from stopcut.sheets.step_words import in_hours
from stopcut.shop.roll import published_roll


def test_every_letter_stands_on_one_sheet_in_the_order_of_carving() -> None:
    _, plan, pdf = made()
    (pinned,) = [text for text in pages(pdf) if "to pin up" in text]
    rows = re.findall(r"(\d+) letter (\d) of IRIS (\d+) (\d+ min) sheet (\d+)", pinned)
    assert [int(nth) for nth, *_ in rows] == [1, 2, 3, 4]
    assert [(1, int(letter)) for _, letter, *_ in rows] == list(plan.letters)
    for _, letter, steps, minutes, _ in rows:
        key = (1, int(letter))
        assert int(steps) == sum(step.key == key for step in plan.steps)
        assert minutes == in_hours(plan.letter_minutes[key])


def test_a_letter_s_row_names_the_sheet_that_its_card_is_on() -> None:
    found = pages(made()[2])
    (pinned,) = [text for text in found if "to pin up" in text]
    for letter, sheet in re.findall(r"letter (\d) of IRIS \d+ \d+ min sheet (\d+)", pinned):
        assert re.search(rf": letters? [\d and,]*{letter}[\d and,]* of IRIS", found[int(sheet) - 1])


def test_the_tool_that_would_save_most_is_named_with_its_place_in_the_roll() -> None:
    _, plan, _ = made()
    spare = next(tool for tool in published_roll().tools if tool.straight)
    said = saves_said(replace(plan, tools=plan.tools[:2], saves=(spare, 14.2)), "mm")
    assert said == f"Two tools; a third ({spare.name}: {spare.width_mm:g} mm, straight) would save 14 min."
    assert "save nothing" in saves_said(replace(plan, saves=None), "mm")


@pytest.mark.parametrize(
    ("minutes", "said"), [(12.4, "12 min"), (89.0, "89 min"), (127.0, "2 h"), (130.0, "2 h 15 min")]
)
def test_long_times_are_told_in_quarters_of_hours(minutes: float, said: str) -> None:
    assert in_hours(minutes) == said
