"""How a tool is held and moved, in a few words, and what to be careful of."""

from __future__ import annotations

import math
from collections.abc import Sequence

from stopcut.bench.choose import CURVED, PUSH_MM, Held
from stopcut.bench.plan import Cut
from stopcut.bench.walls import Walls

__all__ = ["acute_caution", "technique_of"]

ACUTE = (
    "An acute point of wood stands at its {place}: stop short of it and finish lightly with a narrow edge, "
    "so that the wedge does not lift it."
)
BLUNT_MM = 2.0
"""A point of wood cut off over no more than this is as weak as a sharp one. [mm] Our choice."""
TIPPED = 0.98
"""Where less than this share of the edge is used somewhere, the card says so. Our choice: the rest is the rounding of
the corners."""


def technique_of(cut: Cut, held: Held) -> str:
    """How a cut's tool is held and moved."""
    if cut.kind == "relief":
        return "driven along the middle, the wood taken out"
    if cut.kind in ("stop", "end"):
        return _stabbing(cut, held)
    if cut.kind == "corner":
        return "cleaned out with the point"
    if cut.kind == "floor":
        return _flooring(cut, held)
    return _paring(cut, held)


def _stabbing(cut: Cut, held: Held) -> str:
    if len(cut.points) == 1:
        return "set the corner of the edge in the middle, and turn"
    if held.use == "point":
        return "drawn along with the corner of the edge"
    force = "pressed by hand" if cut.by_hand else "struck"
    if cut.kind == "end":
        return f"corner at the bottom, rolled out to the surface, {force}"
    eased = held.edge_mm < TIPPED * min(held.tool.width_mm, cut.length_mm)
    if not eased:
        return f"upright, {force}"
    return f"upright, {'less of the edge' if held.tool.straight else 'tipped and twisted'} round the bend, {force}"


def _paring(cut: Cut, held: Held) -> str:
    down = "across the end" if cut.side is None and cut.kind == "wall" else "from the line down to the stop cut"
    if held.use == "point":
        return f"point drawn along, {down}"
    eased = held.edge_mm < TIPPED * min(held.tool.width_mm, cut.length_mm)
    if held.tool.straight:
        facets = ", a facet at a time" if abs(cut.bend) > CURVED else ""
        return f"edge on the line{', less of it round a bend' * eased}, {down}{facets}"
    return f"{'hollow' if held.turned else 'back'} to the wall{', tipped and twisted' * eased}, {down}"


def _flooring(cut: Cut, held: Held) -> str:
    wide = 2 * max(math.hypot(*one) for one in cut.across_mm)
    if held.tool.width_mm > wide:
        return "edge flat on the floor, pushed along it, skewed to its width"
    lanes = held.placements // max(1, math.ceil(cut.length_mm / PUSH_MM))
    return f"edge flat on the floor, pushed along it{f', in {lanes} lanes' * (lanes > 1)}"


def acute_caution(walls: Walls, faces: Sequence[int], acute_deg: float) -> tuple[str, ...]:
    """What to be careful of where the wood between two grooves' walls comes to an acute point."""
    places = {"start": faces[0], "end": int(walls.following[faces[-1]])}
    return tuple(
        ACUTE.format(place=place) for place, corner in places.items() if 180.0 + _turn(walls, corner) < acute_deg
    )


def _turn(walls: Walls, corner: int) -> float:
    """How far the outline turns about the wood at a corner, a short edge's other corner on either side counted in.
    [degrees]"""
    if not walls.corner[corner] or walls.turn[corner] >= 0:
        return 0.0
    before, after = int(walls.before[corner]), int(walls.following[corner])
    beyond = [float(walls.turn[after])] if walls.corner[after] and walls.length_mm[corner] <= BLUNT_MM else []
    beyond += [float(walls.turn[before])] if walls.corner[before] and walls.length_mm[before] <= BLUNT_MM else []
    return float(walls.turn[corner]) + min([0.0, *beyond])
