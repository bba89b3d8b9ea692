"""The carver's own rates and timed letters."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stopcut.errors import WrongJob
from stopcut.shop.rates import (
    PUBLISHED_RATES,
    RANGES,
    RATES_FILE,
    WHY_RATES,
    Logged,
    Rates,
    Times,
    parse_times,
    read_times,
)

NAMES = [field.name for field in dataclasses.fields(Rates)]


def test_without_a_file_the_rates_are_the_published_ones(tmp_path: Path) -> None:
    assert read_times(tmp_path) == Times()
    assert Times().rates == PUBLISHED_RATES


def test_what_a_file_does_not_say_is_as_published(tmp_path: Path) -> None:
    (tmp_path / RATES_FILE).write_text("format = 1\n[rates]\nstab_s = 4.5\nrest = 0.3\n", encoding="utf-8")
    rates = read_times(tmp_path).rates
    assert rates == dataclasses.replace(PUBLISHED_RATES, stab_s=4.5, rest=0.3)


def test_timed_letters_are_read_in_their_order() -> None:
    text = 'format = 1\n[[logged]]\nwhat = "R"\nreckoned = 14.2\ntaken = 19\n[[logged]]\nreckoned = 8\ntaken = 9.5\n'
    assert parse_times(text).logged == (Logged(14.2, 19.0, "R"), Logged(8.0, 9.5))


def test_a_carver_can_say_that_a_letter_far_off_did_take_so_long() -> None:
    text = "format = 1\n[[logged]]\nreckoned = 14.2\ntaken = 90\nsure = true\n"
    assert parse_times(text).logged == (Logged(14.2, 90.0, sure=True),)
    with pytest.raises(WrongJob, match="neither true nor false"):
        parse_times(text.replace("true", '"yes"'))


@pytest.mark.parametrize("name", NAMES)
def test_every_rate_has_a_unit_a_range_that_holds_its_default_and_a_reason(name: str) -> None:
    least, most, unit = RANGES[name]
    assert least <= getattr(PUBLISHED_RATES, name) <= most
    assert unit
    assert "our choice" in WHY_RATES[name] or "Wood Handbook" in WHY_RATES[name]


def test_ranges_and_reasons_are_of_rates_alone() -> None:
    assert list(RANGES) == list(WHY_RATES) == NAMES


@given(st.sampled_from(NAMES), st.floats(0, 1))
def test_a_rate_within_its_range_is_taken(name: str, part: float) -> None:
    least, most, _ = RANGES[name]
    value = min(most, least + part * (most - least))
    assert getattr(parse_times(f"format = 1\n[rates]\n{name} = {value!r}\n").rates, name) == value


@pytest.mark.parametrize("name", NAMES)
def test_a_rate_beyond_its_range_is_a_fault(name: str) -> None:
    for value in (RANGES[name].most * 1.01, RANGES[name].least - 0.01, '"quick"'):
        with pytest.raises(WrongJob) as caught:
            parse_times(f"format = 1\n[rates]\n{name} = {value}\n")
        (fault,) = caught.value.faults
        assert (fault.key, fault.line) == (f"rates.toml rates.{name}", 3)


def test_all_that_is_wrong_is_said_at_once() -> None:
    text = "format = 1\n[rates]\nstabs = 4\nrest = 9\n[[logged]]\nreckoned = 3\n[[logged]]\nreckoned = 0\ntaken = 2\n"
    with pytest.raises(WrongJob) as caught:
        parse_times(text)
    said = {fault.key: fault for fault in caught.value.faults}
    assert list(said) == [
        "rates.toml rates.stabs",
        "rates.toml rates.rest",
        "rates.toml logged[1].taken",
        "rates.toml logged[2].reckoned",
    ]
    assert "stab_s" in said["rates.toml rates.stabs"].remedy


@pytest.mark.parametrize("text", ["", "format = 2\n", "format = 1\n[rates\n", "[rates]\nrest = 0.1\n"])
def test_a_file_without_its_format_or_that_is_no_toml_is_a_fault_of_the_rates(text: str) -> None:
    with pytest.raises(WrongJob, match=r"rates\.toml"):
        parse_times(text)
