"""The carver's tools.toml as the page changes it: one tool at a time, comments and order kept, all faults said.

Nothing is written that could not be read back: a change that is wrong leaves the file as it was.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from threading import Lock
from typing import cast

from stopcut.files import write_together
from stopcut.home import home
from stopcut.shop.roll import TOOLS_FILE, parse_roll
from stopcut.shop.tools import Tool
from stopcut.units import Units
from stopcut.written import splices
from stopcut.written.literals import Value, literal
from stopcut.written.places import find_places
from stopcut.written.toml import text_of

__all__ = ["Own", "add_tool", "change_tool", "own_roll", "remove_tool", "with_published"]

KEYS = ("name", "kind", "width", "rise", "radius", "count", "bevel", "edge", "angle", "number")
"""What a tool's table holds, in the order that a new one is written in."""
HEAD = """\
# The tools on this bench, measured from their stab marks: width between the corners, rise of the mark's middle.
# A line that begins with # is a note.
format = 1
units = "{units}"                  # bare numbers below are in this; "mm" or "in"
published = true              # the published tools are in the roll as well, yours of the same name or shape instead
"""
_turn = Lock()


@dataclass(frozen=True, slots=True)
class Own:
    """The carver's own tools as the file has them, its units, and whether the published ones are in the roll as well.

    there says whether there is a file; without one the roll is the published one.
    """

    there: bool
    units: Units
    published: bool
    tools: tuple[Tool, ...]


def own_roll() -> Own:
    """What tools.toml says. Raises WrongJob with every fault where it is wrong."""
    text = _text()
    return Own(False, "mm", True, ()) if text is None else _own(text)


def add_tool(values: Mapping[str, Value | None], units: Units = "mm") -> None:
    """Add a tool at the end; a file in these units is begun where there is none. Raises WrongJob with every fault."""
    with _turn:
        text = _text()
        text = HEAD.format(units=units) if text is None else text
        said = "".join(f"{key} = {literal(values[key])}\n" for key in KEYS if values.get(key) is not None)
        _keep(splices.add_block(find_places(text), "tool", len(_own(text).tools) + 1, f"\n[[tool]]\n{said}"))


def change_tool(number: int, name: str, values: Mapping[str, Value | None]) -> None:
    """Set what is given of the number-th tool (from 1), called name until now; None takes a key out.

    Raises WrongJob with every fault, ValueError where another window has taken the tool out.
    """
    with _turn:
        text = _found(number, name)
        for key, value in values.items():
            path = ("tool", number - 1, key)
            if value is None:
                text = splices.remove(find_places(text), path)
            else:
                text = splices.set_value(find_places(text), path, literal(value))
        _keep(text)


def remove_tool(number: int, name: str) -> None:
    """Take the number-th tool out (from 1), called name. Raises ValueError where it is gone already."""
    with _turn:
        places = find_places(_found(number, name))
        _keep(splices.cut_blocks(places, places.members("tool")[number - 1]))


def with_published(on: bool) -> None:
    """Have the published tools in the roll as well as one's own, or one's own alone."""
    with _turn:
        text = _text()
        if text is not None:
            _keep(splices.set_value(find_places(text), ("published",), literal(on)))


def _text() -> str | None:
    path = home() / TOOLS_FILE
    return text_of(path, what="tool roll") if path.exists() else None


def _own(text: str) -> Own:
    parse_roll(text)
    raw = tomllib.loads(text)
    called = {tool["name"].strip() for tool in raw.get("tool", [])}
    tools = {tool.name: tool for tool in parse_roll(text).tools if tool.name in called} if called else {}
    return Own(True, cast(Units, raw.get("units", "mm")), bool(raw.get("published", False)), tuple(tools.values()))


def _found(number: int, name: str) -> str:
    text = _text()
    if text is not None:
        tools = _own(text).tools
        if 1 <= number <= len(tools) and tools[number - 1].name == name:
            return text
    raise ValueError(f"{name} is not at that place of the roll any more; look at the page again.")


def _keep(text: str) -> None:
    parse_roll(text)
    write_together(home(), {TOOLS_FILE: text.encode()})
