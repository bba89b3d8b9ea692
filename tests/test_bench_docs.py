"""What the bench's manual says of tools, rates and orders is what they are."""

from __future__ import annotations

import dataclasses
import math
import re
from pathlib import Path

import pytest

from stopcut.bench.minutes import believed, estimate, logged_pace
from stopcut.bench.order import WAYS
from stopcut.bench.settings import PUBLISHED_BENCH, WHY_BENCH, BenchSettings
from stopcut.cli.main import commands
from stopcut.shop.rates import PUBLISHED_RATES, RANGES, WHY_RATES, Logged, Rates, Skill, parse_times
from stopcut.shop.roll import ROLL_KEYS, parse_roll
from stopcut.shop.tools import TOOL_KINDS, measured_radius_mm

MANUAL = (Path(__file__).parent.parent / "docs" / "bench.md").read_text(encoding="utf-8")
ROWS = [[cell.strip() for cell in line.split("|")[1:-1]] for line in MANUAL.splitlines() if line.startswith("| ")]
EXAMPLES = re.findall(r"```toml\n(.*?)```", MANUAL, re.DOTALL)


@pytest.mark.parametrize("key", ROLL_KEYS)
def test_every_key_of_the_tool_roll_is_in_the_manual_with_its_default(key: str) -> None:
    default = ROLL_KEYS[key]
    row = next(row for row in ROWS if row[0].strip("*") == f"`{key}`")
    assert row[0].startswith("**") == (default is ...)
    if default is ... or default is None:
        assert row[2] == ""
    else:
        assert row[2] == (f'`"{default}"`' if isinstance(default, str) else f"`{str(default).lower()}`")


def test_every_kind_of_tool_is_named() -> None:
    row = next(row for row in ROWS if row[0] == "**`kind`**")
    assert re.findall(r'`"(\w+)"`', row[1]) == list(TOOL_KINDS)


@pytest.mark.parametrize("name", [field.name for field in dataclasses.fields(Rates)])
def test_every_rate_is_in_the_manual_with_its_unit_its_range_and_its_reason(name: str) -> None:
    least, most, unit = RANGES[name]
    published = f"{getattr(PUBLISHED_RATES, name):g} {unit}"
    assert [f"`{name}`", published, f"{least:g} to {most:g}", WHY_RATES[name]] in ROWS


@pytest.mark.parametrize("name", [field.name for field in dataclasses.fields(BenchSettings)])
def test_every_setting_of_the_bench_is_in_the_manual_with_its_reason(name: str) -> None:
    value = getattr(PUBLISHED_BENCH, name)
    shown = f'`"{value}"`' if isinstance(value, str) else f"`{str(value).lower()}`"
    shown = f"{value:g}" if isinstance(value, float) else shown
    assert [f"`{name}`", shown, WHY_BENCH[name]] in ROWS


def test_the_manuals_files_are_right() -> None:
    roll, rates = EXAMPLES
    assert [tool.name for tool in parse_roll(roll).tools] == ["the old bowl gouge", "bench chisel"]
    times = parse_times(rates)
    assert times.rates == dataclasses.replace(PUBLISHED_RATES, stab_s=5, mm2_per_min=180)
    assert times.logged == (Logged(12, 15, "R of the gate board"),)


def test_the_manuals_gouge_is_worked_out_as_it_says() -> None:
    assert "A mark 10 mm wide that rises 1 mm is of a circle of 13 mm" in MANUAL.replace("\n", " ")
    assert measured_radius_mm(10, 1) == 13


def test_the_manuals_example_of_timed_letters_comes_out_as_it_says() -> None:
    text = MANUAL.replace("\n", " ")
    before = believed("practised")
    after = logged_pace(before, [Logged(12, 15)] * 4)
    assert f"64 × {math.log(15 / 12):.4f} / {1 / 0.35**2 + 64:.2f} = {after.likely:.2f}" in text
    assert f"from {before.log_spread:.2f} to {after.log_spread:.2f}" in text
    plain, timed = (estimate([10.0] * 20, pace) for pace in (before, after))
    said = f"{plain.likely:.0f} minutes, between {plain.low:.0f} and {plain.high:.0f}; they are now likely to take "
    assert said + f"{timed.likely:.0f}, between {timed.low:.0f} and {timed.high:.0f}." in text


def test_every_order_and_skill_is_named() -> None:
    assert [row[0] for row in ROWS if row[0].strip("`") in WAYS] == [f"`{way}`" for way in WAYS]
    for skill in Skill.__args__:  # type: ignore[attr-defined]
        assert skill in MANUAL


def test_every_way_to_mend_is_an_option_of_the_command() -> None:
    options = {name for option in commands.commands["mend"].params for name in option.opts}
    told = set(re.findall(r"(--[a-z]+)", MANUAL.partition("## When a cut has gone wrong")[2].partition("\n## ")[0]))
    assert told <= options
    assert {"--widen", "--plane", "--out"} <= told
