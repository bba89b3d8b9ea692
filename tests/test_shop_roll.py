"""The carver's own tool roll, laid over the published one, with faults as a job has them."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from stopcut.errors import WrongJob
from stopcut.shop import roll as module
from stopcut.shop.roll import parse_roll, published_roll, read_roll
from stopcut.shop.tools import TOOL_KINDS


def faults_of(text: str) -> list[str]:
    with pytest.raises(WrongJob) as wrong:
        parse_roll(text)
    return [str(fault) for fault in wrong.value.faults]


def test_the_published_roll_has_every_kind_of_tool_and_claims_no_measurement() -> None:
    roll = published_roll()
    assert {tool.kind for tool in roll.tools} == set(TOOL_KINDS)
    assert not any(tool.measured for tool in roll.tools)
    assert not roll.measured


def test_no_published_tool_has_a_number() -> None:
    assert [tool.number for tool in published_roll().tools] == [""] * len(published_roll().tools)


def test_without_a_file_the_published_roll_holds(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert read_roll(tmp_path) == published_roll()
    monkeypatch.setenv("STOPCUT_HOME", str(tmp_path / "none"))
    assert read_roll() == published_roll()


def test_the_roll_is_read_from_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "tools.toml").write_text('format = 1\n[[tool]]\nname = "a"\nkind = "chisel"\nwidth = 7\n', "utf-8")
    monkeypatch.setenv("STOPCUT_HOME", str(tmp_path))
    assert [(tool.name, tool.width_mm, tool.measured) for tool in read_roll().tools] == [("a", 7, True)]


def test_a_named_tool_stands_alone_unless_the_published_ones_are_asked_for() -> None:
    own = 'format = 1\npublished = {}\n[[tool]]\nname = "chisel 12"\nkind = "chisel"\nwidth = 11.8\n'
    assert [tool.name for tool in parse_roll(own.format("false")).tools] == ["chisel 12"]
    both = parse_roll(own.format("true"))
    assert len(both.tools) == len(published_roll().tools)
    assert [tool.width_mm for tool in both.tools if tool.name == "chisel 12"] == [11.8]


def test_a_roll_that_names_no_tool_is_the_published_one() -> None:
    assert parse_roll("format = 1") == published_roll()


def test_widths_may_be_in_inches_and_rises_too() -> None:
    (tool,) = parse_roll(
        'format = 1\nunits = "in"\n[[tool]]\nname = "a"\nkind = "gouge"\nwidth = 1\nrise = 0.5\n'
    ).tools
    assert (tool.width_mm, tool.radius_mm) == pytest.approx((25.4, 12.7))


def test_the_example_of_the_manual_is_right() -> None:
    assert module.__doc__ is not None
    example = re.search(r"```toml\n(.*?)```", module.__doc__, re.DOTALL)
    assert example is not None
    gouge, chisel = parse_roll(example[1]).tools
    assert (gouge.kind, gouge.number, round(gouge.radius_mm)) == ("gouge", "5", 31)
    assert (chisel.width_mm, chisel.bevel, chisel.edge_deg) == (12.7, "single", 25)


@pytest.mark.parametrize(
    ("body", "fault"),
    [
        ('name = "a"\nkind = "gouge"\nwidth = 6', "a gouge without its curve"),
        ('name = "a"\nkind = "chisel"\nwidth = 6\nrise = 1', "a chisel with a curved edge"),
        ('name = "a"\nkind = "gouge"\nwidth = 6\nrise = 1\nradius = 8', "rise and radius are both given"),
        ('name = "a"\nkind = "gouge"\nwidth = 6\nrise = 4', "rises more than half its width"),
        ('name = "a"\nkind = "gouge"\nwidth = 6\nradius = 2', "the edge is wider than its circle"),
        ('name = "a"\nkind = "chisel"\nwidth = 6\nangle = 60', "a chisel with an angle between blades"),
        ('name = "a"\nkind = "chissel"\nwidth = 6', 'did you mean "chisel"?'),
        ('name = "a"\nkind = "chisel"\nwidth = 0', "write a length above zero"),
        ('name = "a"\nkind = "chisel"', "it is missing"),
        ('name = "a"\nkind = "chisel"\nwidth = 6\nswep = 3', "no such setting"),
    ],
)
def test_a_wrong_tool_is_a_fault_that_names_the_roll(body: str, fault: str) -> None:
    (said,) = faults_of(f"format = 1\n[[tool]]\n{body}\n")
    assert said.startswith("tools.toml tool")
    assert fault in said


def test_two_tools_of_one_name_are_a_fault() -> None:
    one = '[[tool]]\nname = "a"\nkind = "chisel"\nwidth = 6\n'
    (said,) = faults_of(f"format = 1\n{one}{one}")
    assert "line 7" in said
    assert 'another tool is called "a" too' in said


def test_broken_toml_names_the_roll_and_the_line() -> None:
    (said,) = faults_of("format = 1\n[[tool]\n")
    assert said.startswith("tools.toml")
    assert "line 2" in said


def test_a_yes_that_is_no_boolean_is_a_fault() -> None:
    (said,) = faults_of('format = 1\npublished = "yes"\n')
    assert "neither true nor false" in said


def test_a_roll_says_how_many_there_are_of_a_tool() -> None:
    tool = '[[tool]]\nname = "chisel 12"\nkind = "chisel"\nwidth = 12\n'
    one, four = parse_roll(f"format = 1\n{tool}"), parse_roll(f"format = 1\n{tool}count = 4\n")
    assert (one.tools[0].count, four.tools[0].count) == (1, 4)
    with pytest.raises(WrongJob):
        parse_roll(f"format = 1\n{tool}count = 0\n")
