"""Which tool of the roll for a piece of a line, and how much of its edge.

The fewest settings win; a part of an edge is worth a little less than a whole one, and the point, drawn along, is for
where no edge fits.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Final, Literal

from stopcut.bench.fit import Fit, end_gap_mm, fit
from stopcut.bench.plan import Use
from stopcut.bench.settings import BenchSettings
from stopcut.shop.tools import Roll, Tool

__all__ = ["Choice", "Piece", "Purpose", "choices", "outside_mm", "preferred"]

Purpose = Literal["stab", "wall", "straight"]
"""stab: upright along a line, so that an edge may never be tighter than the line; wall: down a wall, whose concave side
wants an edge no flatter; straight: a wall cut in straight facets."""

LEAST_SHARE: Final = 0.25
LEAST_MM: Final = 1.0
"""No less of an edge than this can be tipped into a cut. [share of the edge, mm] Our choice."""
PART_COSTS: Final = 0.6
PART_OF_STRAIGHT_COSTS: Final = 1.5
POINT_COSTS: Final = 4.0
"""What using a part of an edge costs, of a straight one, and the point. [settings of an edge] Our choice, because a
straight edge is better picked narrower, and a wall drawn with the point is the least even. Upright in a stop cut a
straight edge has to be tipped on its corner for that, so there it costs as much at every setting: a long line is
stabbed with the widest chisel that may be set down whole (common practice)."""
POINT_MM: Final = 6.0
"""How far the point is drawn in one go, against one setting of an edge. [mm] Our choice."""
SHARED_COSTS: Final = 1.0
"""Settings that using a tool which is in use may cost. Our choice: picking up another takes longer."""
STRAIGHT: Final = 0.003
"""What bends less is straight. [1/mm] Our choice: an edge of 20 mm leaves 0.15 mm."""


NO_BEND: Final = 1e-6
"""What bends less is reckoned with as straight. [1/mm] Our choice: 0.1 μm over the widest edge."""
KEPT: Final = 20_000
"""Pieces whose tools are kept in memory. Our choice: a board has a few thousand."""


@dataclass(frozen=True, slots=True)
class Piece:
    """What an edge has to follow: how long [mm], and the curvatures in it, positive for a concave wall. [1/mm]"""

    length_mm: float
    least: float
    most: float
    purpose: Purpose

    @property
    def shape(self) -> int:
        """0 for straight, 1 for concave, -1 for convex."""
        bend = (self.least + self.most) / 2
        return 0 if abs(bend) < STRAIGHT else 1 if bend > 0 else -1


@dataclass(frozen=True, slots=True)
class Choice:
    """One tool for one or more pieces. turned is True for a gouge with its hollow to the wall; eased where less of the
    edge is used in some places than in others, edge_mm being the least; tipped is at how many of its settings a
    straight edge stands upright on its corner."""

    tool: Tool
    edge_mm: float
    use: Use
    placements: int
    turned: bool = False
    eased: bool = False
    tipped: int = 0

    @property
    def cost(self) -> float:
        """In settings of an edge."""
        part = PART_OF_STRAIGHT_COSTS * max(1, self.tipped) if self.tool.straight else PART_COSTS
        return self.placements + {"whole": 0.0, "part": part, "point": POINT_COSTS}[self.use]

    @property
    def rank(self) -> tuple[float, float, float, str]:
        """The best comes first: cheapest, then the least idle edge, the narrowest, the first by name."""
        return self.cost, self.tool.width_mm - self.edge_mm, self.tool.width_mm, self.tool.name


@lru_cache(maxsize=KEPT)
def choices(piece: Piece, roll: Roll, settings: BenchSettings) -> tuple[Choice, ...]:
    """Every tool that can do a piece, the best first."""
    found = [choice for tool in roll.tools if (choice := _choice(tool, piece, settings)) is not None]
    return tuple(sorted(found, key=lambda choice: choice.rank))


def outside_mm(choice: Choice, piece: Piece) -> float:
    """How far the ends of the edge lie beyond the line: off a stop cut's line, or outside of a wall's outline. [mm]"""
    tool = choice.tool
    if piece.purpose == "stab":
        bends = [abs(piece.least), abs(piece.most)]
    elif piece.least + piece.most < 0 and not tool.straight:
        return 0.0  # a gouge turned over that is flatter than the wall stands off it over the groove
    else:
        own = 0.0 if tool.straight else 1 / tool.radius_mm
        bends = [bend for bend in (piece.least, piece.most) if bend > own]
    return max((end_gap_mm(choice.edge_mm, tool.radius_mm, _radius(bend)) for bend in bends), default=0.0)


def preferred(found: Sequence[Choice], favour: Mapping[str, int]) -> Choice | None:
    """The best choice, or one nearly as good with a tool that is in the hand more often; None where there is none.

    favour counts, by the tool's name, the cuts that each is likely to make.
    """
    if not found:
        return None
    best = found[0]
    near = [
        choice
        for choice in found
        if choice.cost <= best.cost + SHARED_COSTS and (choice.use == "point") == (best.use == "point")
    ]
    return min(near, key=lambda choice: (-favour.get(choice.tool.name, 0), choice.rank))


def _choice(tool: Tool, piece: Piece, settings: BenchSettings) -> Choice | None:
    if tool.kind == "parting":
        return None
    held = _held(tool, piece, settings.tolerance_mm) if tool.kind != "skew" else None
    if held is not None:
        edge = min(held.edge_mm, piece.length_mm)
        if edge >= max(LEAST_SHARE * tool.width_mm, LEAST_MM):
            use: Use = "whole" if held.whole and edge >= held.edge_mm else "part"
            count = _settings(piece.length_mm, edge, settings.overlap)
            turned = not tool.straight and piece.purpose != "stab" and piece.least + piece.most < 0
            tipped = count if tool.straight and piece.purpose == "stab" and use == "part" else 0
            return Choice(tool, edge, use, count, turned, tipped=tipped)
    return _with_point(tool, piece, settings) if tool.straight else None


def _held(tool: Tool, piece: Piece, tolerance_mm: float) -> Fit | None:
    """How much of a tool's edge fits, or None where it would dig in at its corners."""
    bend = (piece.least + piece.most) / 2
    sign = 1.0 if bend >= 0 else -1.0
    bends = (sign * piece.least, sign * piece.most)
    if not tool.straight:
        digs = piece.purpose == "stab" or bend < 0
        if piece.purpose == "straight" or (digs and 1 / tool.radius_mm > max(0.0, min(bends))):
            return None
    return fit(tool, (_radius(bends[0]), _radius(bends[1])), tolerance_mm)


def _radius(bend: float) -> float:
    return 1 / bend if abs(bend) > NO_BEND else math.inf


def _with_point(tool: Tool, piece: Piece, settings: BenchSettings) -> Choice:
    """The corner of a straight edge, drawn along: it follows any curve a little at a time."""
    tight = max(abs(piece.least), abs(piece.most))
    edge = min(fit(tool, (_radius(tight),) * 2, settings.tolerance_mm).edge_mm, piece.length_mm, LEAST_MM)
    return Choice(tool, edge, "point", max(1, math.ceil(piece.length_mm / POINT_MM)))


def _settings(length: float, edge: float, overlap: float) -> int:
    """How many settings of an edge a line takes, each beginning in the last one's mark."""
    if length <= edge * (1 + 1e-9):
        return 1
    return 1 + math.ceil((length - edge) / (edge * (1 - overlap)) - 1e-9)
