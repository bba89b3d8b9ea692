"""The groove of a letter on the board: its roof turned upside down, at the carver's wall angle.

The roof of an outline is worked once (and kept, with the lines in it); size, place, turn, wall angle and flat bottom
are applied here to what is kept. Heights of the roof are half-widths, so with walls at the angle w a point is
half-width · tan(w) deep, and a flat bottom cuts the groove off at its depth. All figures are exact.

That walls stand at about 60°, and that narrow strokes keep the angle and so are shallower, is common practice.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from stopcut.arrays import Array
from stopcut.errors import CarverError
from stopcut.groove.figures import area_above, greatest_height, plan_area, volume_under
from stopcut.groove.lines import lines_of
from stopcut.groove.roof import TOLERANCE_EM, roof_of
from stopcut.groove.surface import Groove, GrooveLine, Pit, PlanLine, PlanPit
from stopcut.shape.flat import points_mm
from stopcut.shape.placed import Placed

__all__ = ["BadWall", "groove", "tolerance_for"]


FINEST_MM = 0.02
"""How far an ornament's edges may lie off its curves. [mm] Our choice, as for letters of 60 mm caps, so that mending,
which goes by the tolerance, moves it under 0.02 mm too. An ornament is in any unit, so the tolerance is the nearest
power of two of it from below, and most changes of size work nothing again."""


class BadWall(CarverError):
    """A wall angle or a flat bottom that no groove can have."""


@dataclass(frozen=True, slots=True)
class _Cut:
    """What turns plan into groove: mm a unit, tan(wall), and the depth of the flat bottom (inf for none). [mm]"""

    scale: float
    tan: float
    flat_mm: float

    def depth(self, half_width_mm: Array) -> Array:
        return np.minimum(half_width_mm * self.tan, self.flat_mm)


def groove(placed: Placed, wall_deg: float, flat_bottom_mm: float | None = None) -> Groove:
    """The groove of one placed outline.

    Parameters
    ----------
    placed : the outline and its place on the board.
    wall_deg : the walls' slope from the board's face, 0 < wall < 90. [degrees]
    flat_bottom_mm : the groove goes no deeper than this, > 0; None for a V throughout. [mm]

    Raises
    ------
    BadWall
        if the wall is flat, upright or beyond, or the flat bottom is not below the face.
    """
    if not 0 < wall_deg < 90:
        raise BadWall(f"A wall of {wall_deg:g}° cannot be cut: give its slope from the board's face, 20 to 80.")
    if flat_bottom_mm is not None and not flat_bottom_mm > 0:
        raise BadWall(f"A flat bottom at {flat_bottom_mm:g} mm is not below the face: give its depth, or leave it out.")
    tolerance = tolerance_for(placed)
    roof = roof_of(placed.outline, tolerance)
    drawn = lines_of(placed.outline, tolerance)
    wall = math.radians(wall_deg)
    cut = _Cut(placed.scale, math.tan(wall), math.inf if flat_bottom_mm is None else flat_bottom_mm)
    top = cut.flat_mm / (cut.scale * cut.tan)
    plan = plan_area(roof) * cut.scale**2
    flat = area_above(roof, top) * cut.scale**2
    return Groove(
        placed=placed,
        roof=roof,
        wall_deg=wall_deg,
        flat_bottom_mm=flat_bottom_mm,
        nodes_mm=points_mm(placed, roof.nodes),
        depths_mm=cut.depth(roof.heights * cut.scale),
        lines=tuple(_line(placed, cut, line) for line in drawn.lines),
        max_depth_mm=min(greatest_height(roof) * cut.scale * cut.tan, cut.flat_mm),
        volume_mm3=volume_under(roof, top) * cut.scale**3 * cut.tan,
        plan_area_mm2=plan,
        wall_area_mm2=(plan - flat) / math.cos(wall),
        flat_area_mm2=flat,
        pits=tuple(_pit(placed, cut, pit) for pit in drawn.pits),
    )


def tolerance_for(placed: Placed) -> float:
    """How far flattened edges may lie off this outline's curves, in the outline's own unit."""
    if placed.index > 0:
        return TOLERANCE_EM
    return float(2.0 ** math.floor(math.log2(FINEST_MM / placed.scale)))


def _line(placed: Placed, cut: _Cut, line: PlanLine) -> GrooveLine:
    half_width = line.half_width * cut.scale
    parallel = tuple((start * cut.scale, end * cut.scale) for start, end in line.parallel)
    return GrooveLine(line.kind, points_mm(placed, line.points), half_width, cut.depth(half_width), parallel)


def _pit(placed: Placed, cut: _Cut, pit: PlanPit) -> Pit:
    ((x, y),) = points_mm(placed, np.array([[pit.x, pit.y]])).tolist()
    return Pit(x, y, min(pit.half_width * cut.scale * cut.tan, cut.flat_mm))
