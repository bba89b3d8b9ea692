"""Tools that letters are cut with, by the shape of their edges. All lengths in mm, all angles in degrees.

Makers number their sweeps differently, so no number says what an edge is: its width and the circle it is part of do. A
gouge is measured from the mark it leaves when it is pressed upright into a scrap of wood. How a blade is leaned follows
from its bevels: the face that lies on the wall sets the wall's angle.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final, Literal, NamedTuple

__all__ = [
    "TOOL_KINDS",
    "Bevel",
    "Hand",
    "Lean",
    "Roll",
    "Tool",
    "ToolKind",
    "axis_deg",
    "lean",
    "measured_radius_mm",
    "rise_mm",
]

ToolKind = Literal["chisel", "skew", "gouge", "fishtail", "parting"]
TOOL_KINDS: Final[tuple[ToolKind, ...]] = ("chisel", "skew", "gouge", "fishtail", "parting")
Bevel = Literal["single", "double"]
Hand = Literal["right", "left"]
"""The hand that leads; a skew or a single bevel is ground for one."""
ROUNDING: Final = 1e-9  # half a circle measured in floating point is still one


@dataclass(frozen=True, slots=True)
class Tool:
    """A carving tool by the shape of its edge.

    width_mm is the chord between the edge's corners, radius_mm the circle that the edge is part of (inf for a straight
    edge). edge_deg is the included angle of the sharpened edge; number what its maker calls the sweep ("" where not
    known), which says nothing that the radius does not. angle_deg is a parting tool's, between its two blades, None for
    all others. measured is False for the published roll, whose shapes are common practice only. count is how many of
    it there are.
    """

    name: str
    kind: ToolKind
    width_mm: float
    radius_mm: float = math.inf
    bevel: Bevel = "double"
    edge_deg: float = 25.0
    number: str = ""
    angle_deg: float | None = None
    measured: bool = True
    count: int = 1

    @property
    def straight(self) -> bool:
        """Whether its edge is straight."""
        return math.isinf(self.radius_mm)


@dataclass(frozen=True, slots=True)
class Roll:
    """The tools that a carver has, and whether they are the carver's own or (some of them) the published ones."""

    tools: tuple[Tool, ...]

    @property
    def measured(self) -> bool:
        """Whether every tool in it is the carver's own."""
        return all(tool.measured for tool in self.tools)


class Lean(NamedTuple):
    """How a blade is held for a wall: its axis from the board's face, with one or the other face on the wall."""

    axis_deg: float
    flat_to_wall_deg: float | None


def measured_radius_mm(width_mm: float, rise_mm: float) -> float:
    """The radius of an edge from its stab mark: r = w²/(8h) + h/2; inf for no rise. [mm]

    width_mm is the chord between the mark's ends (> 0), rise_mm how far its middle stands from that chord (≥ 0).
    """
    if not width_mm > 0 or not rise_mm >= 0:
        raise ValueError(f"a mark {width_mm:g} mm wide with a rise of {rise_mm:g} mm is no arc")
    return width_mm**2 / (8 * rise_mm) + rise_mm / 2 if rise_mm else math.inf


def rise_mm(width_mm: float, radius_mm: float) -> float:
    """The rise of an edge's arc over its chord, no more than half a circle: h = r − √(r² − w²/4). [mm]"""
    if math.isinf(radius_mm):
        return 0.0
    if not 2 * radius_mm * (1 + ROUNDING) >= width_mm > 0:
        raise ValueError(f"an edge {width_mm:g} mm wide is no arc of a circle of {radius_mm:g} mm radius")
    # In this form nothing is lost where the radius is large.
    half = width_mm / 2
    return half**2 / (radius_mm + math.sqrt(max(radius_mm**2 - half**2, 0.0)))


def axis_deg(wall_deg: float, bevel: Bevel, edge_deg: float, *, flat_to_wall: bool = False) -> float:
    """How the blade's axis stands from the board's face so that the face it leaves has the wall's angle. [degrees]

    Edge geometry: a double bevel leans by half its included angle, a single bevel by all of it, or not at all with its
    flat face to the wall. Above 90 the handle leans out over the groove's other side.
    """
    if bevel == "double":
        return wall_deg + edge_deg / 2
    return wall_deg if flat_to_wall else wall_deg + edge_deg


def lean(tool: Tool, wall_deg: float) -> Lean:
    """How to hold a tool for a wall; a single bevel has a second way, with its flat face to the wall."""
    flat = axis_deg(wall_deg, "single", tool.edge_deg, flat_to_wall=True) if tool.bevel == "single" else None
    return Lean(axis_deg(wall_deg, tool.bevel, tool.edge_deg), flat)
