"""How a tool is held and moved, in a few words, and what to be careful of."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from stopcut.bench.choose import Choice
from stopcut.bench.plan import Cut
from stopcut.bench.walls import Walls

__all__ = ["acute_caution", "cleaning", "flooring", "paring", "stabbing"]

ACUTE = (
    "An acute point of wood stands at its {place}: stop short of it and finish lightly with a narrow edge, "
    "so that the wedge does not lift it."
)
BLUNT_MM = 2.0
"""A point of wood cut off over no more than this is as weak as a sharp one. [mm] Our choice."""
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
    elif choice.use == "part" and choice.eased:
        held = "upright, less of the edge round a bend"
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
        part = "part of the edge" if choice.use == "part" and not choice.eased else "edge"
        return f"{part} on the line{', less of it round a bend' * choice.eased}, {down}{facets}"
    way = "hollow to the wall" if choice.turned else "back to the wall"
    part = ", tipped and twisted" if choice.use == "part" else ""
    return f"{way}{part}, {down}"


def cleaning() -> str:
    """How a tip is cleaned."""
    return "cleaned out with the point"


def flooring(lanes: int, choice: Choice) -> str:
    """How a flat bottom is pared."""
    skewed = ", skewed to its width" if choice.use == "part" else f", in {lanes} lanes" if lanes > 1 else ""
    return f"edge flat on the floor, pushed along it{skewed}"


def acute_caution(walls: Walls, faces: Sequence[int], acute_deg: float) -> tuple[str, ...]:
    """What to be careful of where the wood between two grooves' walls comes to an acute point."""
    start, end = faces[0], int(walls.following[faces[-1]])
    turns = {"start": _turn(walls, start, int(walls.before[start]), int(walls.before[start]))}
    turns["end"] = _turn(walls, end, end, int(walls.following[end]))
    return tuple(ACUTE.format(place=place) for place, turn in turns.items() if 180.0 + turn < acute_deg)


def _turn(walls: Walls, corner: int, flat: int, other: int) -> float:
    """How far the outline turns about the wood at a corner, and at other beyond a short edge (flat). [degrees]"""
    if not walls.corner[corner] or walls.turn[corner] >= 0:
        return 0.0
    blunt = walls.length_mm[flat] <= BLUNT_MM and walls.corner[other] and walls.turn[other] < 0
    return float(walls.turn[corner] + (walls.turn[other] if blunt else 0.0))
