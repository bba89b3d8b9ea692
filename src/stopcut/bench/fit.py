"""Whether an edge fits a curve: by the exact gap at the edge's ends when its middle stands on the line.

An edge (width w, radius r) set with its middle touching a curve of radius R leaves both its ends off the curve by very
nearly w²/8 · |1/R − 1/r|; here the distance is exact. Radii are signed: positive where the curve bends the way the
edge does, negative where it bends the other way, inf for straight. [mm]

A flatter tool may be tipped and twisted round a tighter curve with part of its edge (common practice). A tighter tool
on a flatter stop cut digs in at its corners, whatever part of it is used.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from stopcut.shop.tools import Tool

__all__ = ["Fit", "edge_used_mm", "end_gap_mm", "fit"]

WHOLE_SHARE = 0.98
"""From this share on the whole edge is used. Our choice: the rest is the rounding of the corners."""


@dataclass(frozen=True, slots=True)
class Fit:
    """How a tool fits a curve: edge_mm is how much of its edge may be used, whole whether that is all of it."""

    edge_mm: float
    whole: bool


def end_gap_mm(width_mm: float, radius_mm: float, curve_mm: float) -> float:
    """The distance of an edge's ends from a curve that its middle touches. [mm]

    width_mm is the edge's chord, radius_mm its own radius (inf for straight, at least half the width), curve_mm the
    curve's, negative where the curve bends the other way.
    """
    half = width_mm / 2
    rise = 0.0 if math.isinf(radius_mm) else half**2 / (radius_mm + math.sqrt(max(radius_mm**2 - half**2, 0.0)))
    if math.isinf(curve_mm):
        return rise
    # The curve's centre is curve_mm above the touching point, the edge's ends are rise above it and half aside.
    far = math.hypot(half, curve_mm - rise)
    # (far − |R|) without the cancellation: far² − R² = half² + rise² − 2 R rise.
    return abs(half**2 + rise**2 - 2 * curve_mm * rise) / (far + abs(curve_mm))


def edge_used_mm(width_mm: float, radius_mm: float, curve_mm: float, tolerance_mm: float) -> float:
    """The widest part of an edge, about its middle, whose ends lie within tolerance of the curve. [mm]"""
    if end_gap_mm(width_mm, radius_mm, curve_mm) <= tolerance_mm:
        return width_mm
    if math.isinf(radius_mm):
        return 2 * math.sqrt((abs(curve_mm) + tolerance_mm) ** 2 - curve_mm**2)
    if math.isinf(curve_mm):
        return 2 * math.sqrt(max(radius_mm**2 - (radius_mm - tolerance_mm) ** 2, 0.0))
    # By the cosine rule in the triangle of the two centres and the edge's end.
    between = curve_mm - radius_mm
    outward = 1 if curve_mm < 0 or radius_mm > curve_mm else -1
    far = abs(curve_mm) + outward * tolerance_mm
    cosine = (far**2 - radius_mm**2 - between**2) / (2 * radius_mm * between)
    return min(width_mm, 2 * radius_mm * math.sqrt(max(1 - min(1.0, max(-1.0, cosine)) ** 2, 0.0)))


def fit(tool: Tool, curves_mm: tuple[float, float], tolerance_mm: float) -> Fit:
    """How much of a tool's edge can be used along a piece whose radii lie between these two, as signed above."""
    used = edge_used_mm(tool.width_mm, tool.radius_mm, curves_mm[0], tolerance_mm)
    if curves_mm[1] != curves_mm[0]:
        used = min(used, edge_used_mm(tool.width_mm, tool.radius_mm, curves_mm[1], tolerance_mm))
    return Fit(used, used >= WHOLE_SHARE * tool.width_mm)
