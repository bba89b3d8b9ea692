"""ARCHITECTURE.md, the import contract and the code say the same of the house."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

from checks.house import EVERYWHERE, hidden_imports, names_twice, room_imports, stems_twice

ROOT = Path(__file__).parent.parent
ARCHITECTURE = (ROOT / "ARCHITECTURE.md").read_text(encoding="utf-8")


def table() -> dict[str, set[str]]:
    """Each room of ARCHITECTURE.md with the rooms that it says are imported there."""
    rows = re.findall(r"^\| `([a-z]+)/?` \|[^|]*\| ([^|]*) \|$", ARCHITECTURE, re.MULTILINE)
    return {room: set(re.findall(r"[a-z]+", said)) for room, said in rows}


def layers() -> list[set[str]]:
    """The import contract's rooms, the highest first."""
    contracts = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["importlinter"][
        "contracts"
    ]
    [through] = [contract for contract in contracts if contract["type"] == "layers"]
    return [{name.strip().removeprefix("stopcut.") for name in layer.split("|")} for layer in through["layers"]]


def test_the_table_says_exactly_what_each_room_imports() -> None:
    found = {room: rooms for room, rooms in room_imports().items() if room != "__main__"}
    said = table()
    assert {room: said.get(room) for room in found} == found
    assert {room for room, rooms in said.items() if rooms} == found.keys()


def test_the_contract_keeps_the_tables_order() -> None:
    place = {room: number for number, rooms in enumerate(layers()) for room in rooms}
    assert table().keys() <= place.keys()
    wrong = [(room, other) for room, others in table().items() for other in others if place[room] >= place[other]]
    assert wrong == []


def test_every_room_of_the_contract_is_in_the_table() -> None:
    rooms = set().union(*layers()) - EVERYWHERE - {"__main__"}
    assert rooms == table().keys()


def test_every_name_that_is_imported_is_given_by_its_module() -> None:
    assert hidden_imports() == []


def test_no_module_of_two_rooms_has_one_name() -> None:
    assert stems_twice() == set()


def test_no_class_or_kind_is_made_twice() -> None:
    assert names_twice() == set()
