"""How much of an edge fits a line: by the gap at the edge's ends when its middle stands on the line.

An edge (width w, radius r) set with its middle touching a curve of radius R leaves both its ends off the curve by very
nearly w²/8 · |1/R − 1/r|. Radii are signed: positive where the curve bends the way the edge does, negative where it
bends the other way, inf for straight. [mm]

A flatter tool may be tipped and twisted round a tighter curve with part of its edge (common practice). A tighter tool
on a flatter stop cut digs in at its corners, whatever part of it is used.
"""

from __future__ import annotations

from typing import Final, Literal

import numpy as np

from stopcut.arrays import Array, Flags

__all__ = ["LEAST_MM", "Purpose", "edge_along_mm"]

Purpose = Literal["stab", "wall", "straight"]
"""stab: upright along a line, so that an edge may never be tighter than the line; wall: down a wall, whose concave side
wants an edge no flatter; straight: a wall cut in straight facets."""
LEAST_MM: Final = 1.0
LEAST_OF_CURVED: Final = 0.25
LEAST_OF_STRAIGHT: Final = 1 / 3
"""No less of an edge than this can be tipped into a cut: what is narrower is drawn with its corner. [mm, share of the
edge] Our choice; a straight edge is better picked narrower."""


def edge_along_mm(
    width_mm: Array, own: Array, bend: Array, tolerance_mm: float, *, digs: bool | Flags = False
) -> Array:
    """How much of an edge can be used at each place of a line, NaN where it cannot be tipped in. [mm]

    width_mm and own, shaped to go with bend, are the edge's width and curvature (0 for a straight one), bend the
    line's, positive where it bends the way the edge does [1/mm]; digs says whether the corners of a tighter edge meet
    the wood. The rise of an edge e wide over a line that bends otherwise by d is e² d / 8, so that an edge of √(8
    tolerance / d) stays within tolerance (the first term of the exact distance).
    """
    apart = bend - own
    edge: Array = np.minimum(width_mm, np.sqrt(8 * tolerance_mm / np.maximum(np.abs(apart), 1e-9)))
    edge = np.where(digs & (apart < 0) & (edge < width_mm), np.nan, edge)
    least = np.maximum(LEAST_MM, width_mm * np.where(own == 0, LEAST_OF_STRAIGHT, LEAST_OF_CURVED))
    return np.where(edge >= least - 1e-9, edge, np.nan)
