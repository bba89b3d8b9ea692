"""The tool roll: STOPCUT_HOME/tools.toml, laid over the published one.

```toml
format = 1
units = "mm"                  # bare numbers below are in this
published = false             # true: the published tools as well, but for those of your own tools' names or shapes

[[tool]]
name = "the old bowl gouge"
kind = "gouge"                # "chisel", "skew", "gouge", "fishtail", "parting"
width = 14                    # between the corners of its stab mark
rise = 0.8                    # how far the mark's middle stands from the line between its ends; or radius = 31
number = "5"                  # what its maker calls it, if you like

[[tool]]
name = "bench chisel"
kind = "chisel"
width = "1/2 in"
bevel = "single"              # "double" where not said: carving chisels usually are (common practice)
edge = 25                     # included angle of the sharpened edge, degrees
```

A roll that names no tool is the published one: ordinary shapes, common practice; measure your own.
"""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from importlib import resources
from pathlib import Path
from types import MappingProxyType
from typing import Annotated, Any, Final, cast

from pydantic import BaseModel, Field, ValidationError, model_validator

from stopcut.errors import Fault, WrongJob
from stopcut.home import home
from stopcut.shop.tools import TOOL_KINDS, Bevel, Roll, Tool, ToolKind, measured_radius_mm
from stopcut.written import readers as read
from stopcut.written.model_faults import Format, as_faults, single_faults
from stopcut.written.places import find_places
from stopcut.written.toml import text_of, toml_of

__all__ = ["ROLL_KEYS", "TOOLS_FILE", "parse_roll", "published_roll", "read_roll"]

TOOLS_FILE: Final = "tools.toml"
FORMAT: Final = 1
MOST_TOOLS: Final = 500  # our choice, because no bench has more
MOST_ALIKE: Final = 1_000  # our choice: more than a school has of one tool
WIDEST_MM: Final = 100.0  # our choice: no edge for letters is wider
FLATTEST_MM: Final = 100_000.0  # our choice: a hand's breadth of such an edge rises 0.01 mm
SAME_WIDTH_MM: Final = 1.0
SAME_RADIUS: Final = 0.2
"""A tool of the carver's own so near to a published one in width and (a gouge) in radius stands for it. [mm, share] Our
choice: no cut would be given to the one and not to the other."""
EDGE_DEG: Final = 25.0
"""An edge's included angle where none is given. [degrees] Common practice for general carving; 15 for soft timber only,
20 to 30 by the timber's hardness (carving teachers' advice)."""
PARTING_DEG: Final = 60.0
"""The angle between a parting tool's blades where none is given. [degrees] Common practice: 45 and 60 are usual."""


def read_roll(folder: Path | None = None) -> Roll:
    """The roll of the shop at folder (STOPCUT_HOME if none is named); the published one where it has no file.

    Raises WrongJob, its message and every fault naming tools.toml, where the file is wrong.
    """
    path = (home() if folder is None else folder) / TOOLS_FILE
    return parse_roll(text_of(path, what="tool roll")) if path.exists() else published_roll()


@cache
def published_roll() -> Roll:
    """Ordinary shapes for letters: common practice; measure your own."""
    text = resources.files("stopcut.shop").joinpath(TOOLS_FILE).read_text(encoding="utf-8")
    return Roll(tuple(replace(tool, measured=False) for tool in _tools(text)[0]))


def parse_roll(text: str) -> Roll:
    """The roll that a text says. Raises WrongJob with every fault found."""
    own, with_published = _tools(text)
    others = published_roll().tools if with_published or not own else ()
    return Roll((*own, *(tool for tool in others if not any(_stands_for(mine, tool) for mine in own))))


def _stands_for(mine: Tool, published: Tool) -> bool:
    """Whether a tool of the carver's own is taken instead of a published one: by its name, or by its shape."""
    if mine.name == published.name:
        return True
    if mine.kind != published.kind or abs(mine.width_mm - published.width_mm) > SAME_WIDTH_MM:
        return False
    if mine.straight or published.straight:
        return mine.straight == published.straight
    return abs(mine.radius_mm - published.radius_mm) <= SAME_RADIUS * published.radius_mm


def _tools(text: str) -> tuple[tuple[Tool, ...], bool]:
    """The tools that a text names, and whether it asks for the published ones as well."""
    try:
        raw = toml_of(text)
    except WrongJob as wrong:
        raise WrongJob(tuple(_of_roll(fault) for fault in wrong.faults)) from None
    try:
        document = _RollDocument.model_validate(raw, context={"units": raw.get("units")})
    except ValidationError as problem:
        found = single_faults(problem.errors(include_url=False), _FORMAT)
        raise WrongJob(tuple(_of_roll(fault) for fault in as_faults(found, find_places(text)))) from None
    names = [table.name for table in document.tool]
    twice = [n for n, name in enumerate(names) if name in names[:n]]
    if twice:
        faults = [(("tool", n, "name"), f'another tool is called "{names[n]}" too', "name it otherwise") for n in twice]
        raise WrongJob(tuple(_of_roll(fault) for fault in as_faults(faults, find_places(text))))
    return tuple(_tool(table) for table in document.tool), document.published


def _of_roll(fault: Fault) -> Fault:
    """A fault whose key says that it is not the job's."""
    return replace(fault, key=f"{TOOLS_FILE} {fault.key}".strip())


class _Tool(read.StrictTable):
    name: Annotated[str, read.text("the tool's name", 200)]
    kind: Annotated[str, read.choice(*TOOL_KINDS)]
    width: Annotated[float, read.length(0.5, WIDEST_MM)]
    rise: Annotated[float | None, read.length(0, WIDEST_MM)] = None
    radius: Annotated[float | None, read.length(0.25, FLATTEST_MM)] = None
    number: Annotated[str | None, read.text("the number in quotes", 20)] = None
    bevel: Annotated[str, read.choice("single", "double")] = "double"
    edge: Annotated[float, read.angle(5, 60, "stay from 5 to 60 degrees")] = EDGE_DEG
    angle: Annotated[float | None, read.angle(20, 120, "stay from 20 to 120 degrees")] = None
    count: Annotated[int, read.whole_number(1, MOST_ALIKE)] = 1

    @model_validator(mode="after")
    def _shape(self) -> _Tool:
        """The edge's shape said once, and as its kind has it."""
        if self.rise is not None and self.radius is not None:
            raise read.wrong("rise and radius are both given", "keep the one that was measured")
        curved = self.rise is not None or self.radius is not None
        if self.kind == "gouge" and not curved:
            raise read.wrong("a gouge without its curve", "press it into scrap and write the mark's rise (or radius)")
        if curved and self.kind not in ("gouge", "fishtail"):
            raise read.wrong(f"a {self.kind} with a curved edge", 'take rise or radius out, or write kind = "gouge"')
        if self.radius is not None and 2 * self.radius < self.width:
            raise read.wrong("the edge is wider than its circle", "write half the circle's width or more as radius")
        if self.rise is not None and 2 * self.rise > self.width:
            raise read.wrong("the mark rises more than half its width", "for a U shape write radius = half the width")
        if self.angle is not None and self.kind != "parting":
            raise read.wrong(f"a {self.kind} with an angle between blades", "take angle out")
        return self


def _keys_of(table: type[BaseModel], but: set[str]) -> dict[str, Any]:
    """Each key of a table with its default as a file would say it."""
    fields = {key: field for key, field in table.model_fields.items() if key not in but}
    return {key: ... if field.is_required() else field.default for key, field in fields.items()}


class _RollDocument(read.StrictTable):
    format: Annotated[int, read.version(FORMAT)]
    units: Annotated[str, read.choice("mm", "in")] = "mm"
    published: Annotated[bool, read.yes_or_no()] = False
    tool: list[_Tool] = Field(default_factory=list, max_length=MOST_TOOLS)


ROLL_KEYS: Final = MappingProxyType(
    {
        **_keys_of(_RollDocument, {"tool"}),
        **_keys_of(_Tool, set()),
        "angle": PARTING_DEG,
    }
)
"""Every key of tools.toml with its default: ... for what must be there, None for what may be left out."""

_FORMAT: Final = Format(
    tables={(): _RollDocument, ("tool",): _Tool},
    repeated=("tool",),
    when_missing={("format",): f"write format = {FORMAT} as the first line"},
)


def _tool(table: _Tool) -> Tool:
    if table.rise is not None:
        radius = measured_radius_mm(table.width, table.rise)
    else:
        radius = math.inf if table.radius is None else table.radius
    return Tool(
        name=table.name,
        kind=cast(ToolKind, table.kind),
        width_mm=table.width,
        radius_mm=radius,
        bevel=cast(Bevel, table.bevel),
        edge_deg=table.edge,
        number=table.number or "",
        count=table.count,
        angle_deg=(table.angle or PARTING_DEG) if table.kind == "parting" else None,
    )
