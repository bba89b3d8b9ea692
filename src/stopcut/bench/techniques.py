"""How a tool is held and moved, in a few words, and what to be careful of."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from stopcut.bench.choose import Choice
from stopcut.bench.plan import Cut
from stopcut.bench.walls import Walls

__all__ = ["acute_caution", "cleaning", "paring", "stabbing"]

ACUTE = (
    "An acute point of wood stands at its {place}: stop short of it and finish lightly with a narrow edge, "
    "so that the wedge does not lift it."
)
CURVED = 0.003
"""A wall that bends less than this is straight: an edge of 20 mm leaves no more than 0.15 mm. [1/mm]"""


def stabbing(kind: Literal["stop", "end"], choice: Choice | None, *, by_hand: bool, light: bool) -> str:
    """How a line is stabbed."""
    if choice is None:
        return ""
    force = "pressed by hand" if by_hand else "struck lightly" if light else "struck"
    if choice.use == "point":
        return "drawn along with the corner of the edge"
    if kind == "end":
        held = "corner at the bottom, rolled out to the surface"
    elif choice.use == "part" and not choice.tool.straight:
        held = "upright, tipped and twisted round the curve"
    elif choice.use == "part":
        held = "upright, tipped on its corner"
    else:
        held = "upright"
    return f"{held}, {force}"


def paring(cut: Cut, choice: Choice | None, *, end: bool) -> str:
    """How a wall is pared."""
    if choice is None:
        return ""
    down = "across the end" if end else "from the line down to the stop cut"
    if choice.use == "point":
        return f"point drawn along, {down}"
    if choice.tool.straight:
        facets = ", a facet at a time" if abs(cut.bend) > CURVED else ""
        return f"{'part of the edge' if choice.use == 'part' else 'edge'} on the line, {down}{facets}"
    way = "hollow to the wall" if choice.turned else "back to the wall"
    part = ", tipped and twisted" if choice.use == "part" else ""
    return f"{way}{part}, {down}"


def cleaning() -> str:
    """How a tip is cleaned."""
    return "cleaned out with the point"


def acute_caution(walls: Walls, faces: Sequence[int], acute_deg: float) -> tuple[str, ...]:
    """What to be careful of where the wood between two grooves' walls comes to an acute point."""
    out = []
    for place, face in (("start", faces[0]), ("end", int(walls.following[faces[-1]]))):
        if walls.corner[face] and 180.0 + walls.turn[face] < acute_deg:
            out.append(ACUTE.format(place=place))
    return tuple(out)
