"""Tools that letters are cut with, by the shape of their edges. All lengths in mm."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

__all__ = ["Bevel", "Tool", "ToolKind"]

ToolKind = Literal["chisel", "skew", "gouge", "fishtail", "parting"]
Bevel = Literal["single", "double"]


@dataclass(frozen=True, slots=True)
class Tool:
    """A carving tool by the shape of its edge.

    width_mm is the chord between the edge's corners, radius_mm the circle that the edge is part of (inf for a straight
    edge). edge_deg is the included angle of the sharpened edge; number what its maker calls the sweep ("" where not
    known), which says nothing that the radius does not. angle_deg is a parting tool's, between its two blades, None for
    all others. measured is False for the published roll, whose shapes are common practice only.
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
