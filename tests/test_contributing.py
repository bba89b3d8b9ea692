"""CONTRIBUTING.md's walks lead somewhere: their files are there, with what they are said to hold."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from stopcut.light.wood import TONES
from stopcut.shop.woods import woods

ROOT = Path(__file__).parent.parent
PAGE = (ROOT / "CONTRIBUTING.md").read_text(encoding="utf-8")
WALKS = dict(re.findall(r"^### (.+)\n\n((?:\|.*\n)+)", PAGE, re.MULTILINE))
STEPS = [
    (walk, path, says)
    for walk, table in WALKS.items()
    for path, says in re.findall(r"^\| `([^`]+)` \| (.*) \|$", table, re.MULTILINE)
]


def test_there_is_a_walk_for_each_thing_that_is_often_added() -> None:
    assert set(WALKS) == {
        *("A setting of the job", "A rule for the order of cuts", "A wood", "A face", "A sheet"),
        "A section of the workshop",
    }
    assert all(table.count("\n") >= 5 for table in WALKS.values())


@pytest.mark.parametrize(("walk", "path", "says"), STEPS)
def test_every_step_of_a_walk_is_a_file_that_holds_what_it_says(walk: str, path: str, says: str) -> None:
    assert (ROOT / path).is_file()
    if path.endswith(".png"):
        return
    held = (ROOT / path).read_text(encoding="utf-8")
    names = [name for name in re.findall(r"`([^`]+)`", says) if not name.startswith("make ")]
    assert [name for name in names if not re.search(rf"\b{re.escape(name)}\b", held)] == []


def test_every_make_that_is_named_is_there() -> None:
    targets = set(re.findall(r"^([a-z-]+):", (ROOT / "Makefile").read_text(encoding="utf-8"), re.MULTILINE))
    assert set(re.findall(r"`make ([a-z-]+)`", PAGE)) <= targets


def test_every_path_that_is_named_elsewhere_is_there() -> None:
    paths = re.findall(r"`((?:src|tests|docs)/[^`\s]+\.[a-z]+)`", PAGE)
    assert [path for path in paths if not (ROOT / path).is_file()] == []


def test_the_walk_of_a_wood_leaves_no_wood_without_a_look() -> None:
    """A row in the table alone is found out: the walk's second step is not forgotten."""
    assert {wood.name for wood in woods()} == TONES.keys()
    assert [path for walk, path, _ in STEPS if walk == "A wood"][:2] == [
        "src/stopcut/shop/woods.csv",
        "src/stopcut/light/wood.py",
    ]


def test_no_test_is_imported_by_another() -> None:
    found = [
        path.name
        for path in (ROOT / "tests").glob("*.py")
        if re.search(r"^\s*(?:from|import) (?:tests\.)?test_", path.read_text(encoding="utf-8"), re.MULTILINE)
    ]
    assert found == []
