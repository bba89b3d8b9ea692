"""What stands under the step at the bench: the tools of the plan, and the letters that were timed."""

from __future__ import annotations

import datetime
from dataclasses import replace

import pytest

from stopcut.app.at_bench.timed import weighed
from stopcut.app.at_bench.times_column import newest, noted_words, verdict_words
from stopcut.app.at_bench.tools_column import tool_rows
from stopcut.bench.minutes import Logged, believed
from stopcut.shop.rates import PUBLISHED_RATES
from stopcut.store.values import LoggedMinutes

NOON = datetime.datetime(2027, 3, 4, 12, tzinfo=datetime.UTC)
PRACTISED = believed("practised")
TOLD = {"tools": [{"name": "chisel 20", "cuts": 12}, {"name": "fishtail 5", "cuts": 1}]}


def letter(id: str, taken: float, **more: object) -> LoggedMinutes:
    found = LoggedMinutes(id, 1, 1, 10.0, taken, NOON, "gate", steps=("stop", "pare"), done=True)
    return replace(found, **more)  # type: ignore[arg-type]


def test_timed_letters_are_listed_the_newest_first() -> None:
    noted = [LoggedMinutes(f"{n}", 1, n, 10, 10 + n, NOON + datetime.timedelta(hours=n)) for n in (1, 3, 2)]
    said = noted_words(newest(noted), {"1:3": {"name": "R, letter 3 of line 1"}})
    assert [one.split(",")[0] for one in said] == ["R", "letter 2 of line 1: 12 min", "letter 1 of line 1: 11 min"]


@pytest.mark.parametrize(
    ("timed", "verdict"),
    [
        (letter("a", 11.0), "counted"),
        (letter("a", 0.7), "far off"),
        (letter("a", 0.7, counts="yes"), "counted"),
        (letter("a", 11.0, counts="no"), "left out"),
        (letter("a", 11.0, done=False), "not all ticked"),
        (letter("a", 11.0, done=False, counts="yes"), "not all ticked"),
        (letter("a", 11.0, done=False, steps=()), "older"),
    ],
)
def test_a_timed_letter_counts_when_it_is_done_and_believable_or_the_carver_says_so(
    timed: LoggedMinutes, verdict: str
) -> None:
    found = weighed(PRACTISED, (), [timed], PUBLISHED_RATES)
    assert found.verdicts["gate", "a"][0] == verdict
    assert len(found.counted) == (verdict == "counted")
    assert bool(verdict_words(*found.verdicts["gate", "a"])) == (verdict != "counted")


def test_letters_of_the_rates_are_weighed_first_and_named_where_they_are_far_off() -> None:
    own = (Logged(10, 30, "O"), Logged(10, 0.5, "R of the gate board"))
    found = weighed(PRACTISED, own, [letter("a", 40.0)], PUBLISHED_RATES)
    assert [one.taken for one in found.counted] == [30, 40]  # slow as O was, 40 min are to be believed
    assert ["R of the gate board" in finding.says for finding in found.findings] == [True]
    assert weighed(PRACTISED, (), [letter("a", 40.0)], PUBLISHED_RATES).counted == ()


def test_tools_fixed_upon_that_do_nothing_and_tools_that_stand_in_are_told_apart() -> None:
    assert tool_rows(TOLD, None) == [("chisel 20", "12 cuts"), ("fishtail 5", "1 cut")]
    assert tool_rows(TOLD, ("Chisel 20", "skew 12")) == [
        ("chisel 20", "12 cuts"),
        ("fishtail 5", "1 cut, which none of yours can do"),
        ("skew 12", "nothing for it to do"),
    ]
