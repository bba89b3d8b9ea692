"""The carved surface as values: the roof of an outline, and the groove it becomes on the board.

A roof is the straight skeleton's: every edge of the outline carries one wall, all walls rise at 45° here, and heights
are therefore distances from the edge (a half-width). A groove is the roof upside down, at the carver's wall angle.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from stopcut.arrays import Array, Indices
from stopcut.shape.flat import Flat
from stopcut.shape.placed import Placed

__all__ = ["Groove", "GrooveLine", "LineKind", "Pit", "PlanLine", "PlanLines", "PlanPit", "Roof"]

LineKind = Literal["centre", "corner", "arris"]


@dataclass(frozen=True, eq=False)
class Roof:
    """The straight-skeleton roof of a flattened outline, in the outline's own unit.

    nodes (n, 2) are the plan's points: first the outline's vertices, ring after ring as flat has them, then the
    skeleton's nodes; heights (n,) their distance from the wall's edge, 0 on the outline. faces has one loop of node
    numbers for each outline edge, ring after ring, anticlockwise and beginning with that edge's two ends. arcs (m, 2)
    are the skeleton's edges by node numbers, arc_faces (m, 2) the faces to the left and right of each.
    """

    flat: Flat
    nodes: Array
    heights: Array
    faces: tuple[Indices, ...]
    arcs: Indices
    arc_faces: Indices


@dataclass(frozen=True, eq=False)
class PlanLine:
    """A line of the roof a carver would pencil, in the outline's own unit, whatever size and angle it is carved at.

    kind is centre (the groove's bottom), corner (the mitre up to a sharp corner) or arris (the edge at a re-entrant
    corner); points (k, 2); half_width (k,) to the walls' edges; parallel holds (start, end) distances along the line
    between which the walls are parallel. A line that comes back to where it began repeats its first point; corner lines
    and arrises run from the bottom up.
    """

    kind: LineKind
    points: Array
    half_width: Array
    parallel: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True, slots=True)
class PlanPit:
    """The deepest point of a round dot, which has no line to pencil. In the outline's own unit."""

    x: float
    y: float
    half_width: float


@dataclass(frozen=True, slots=True)
class PlanLines:
    """All that a carver would pencil inside one outline, in the outline's own unit."""

    lines: tuple[PlanLine, ...]
    pits: tuple[PlanPit, ...] = ()


@dataclass(frozen=True, eq=False)
class GrooveLine:
    """A line a carver would pencil: the bottom of the groove (centre), the mitre up to a corner (corner), or arris.

    points (k, 2) in mm on the board; half_width_mm (k,) to the walls' edges; depth_mm (k,), the flat bottom applied;
    parallel holds (start, end) distances along the line between which the walls are parallel: where a stop cut goes.
    [mm]
    """

    kind: LineKind
    points: Array
    half_width_mm: Array
    depth_mm: Array
    parallel: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True, slots=True)
class Pit:
    """Where a round dot is deepest: the mark to set the point of the tool on. depth_mm has the flat bottom applied."""

    x_mm: float
    y_mm: float
    depth_mm: float


@dataclass(frozen=True, eq=False)
class Groove:
    """The groove of one letter or ornament on the board.

    roof is in the outline's unit; nodes_mm (n, 2) its points on the board and depths_mm (n,) how deep each lies (≥ 0,
    flat bottom applied where nodes alone can say it: use max_depth_mm, volume_mm3 and areas for figures). All figures
    are the finished letter's; wall_deg is measured from the board's face. plan_area_mm2 is the whole groove's on the
    board's face; wall_area_mm2 that of the sloping walls alone, as they lie; flat_area_mm2 the flat bottom's.
    """

    placed: Placed
    roof: Roof
    wall_deg: float
    flat_bottom_mm: float | None
    nodes_mm: Array
    depths_mm: Array
    lines: tuple[GrooveLine, ...]
    max_depth_mm: float
    volume_mm3: float
    plan_area_mm2: float
    wall_area_mm2: float
    flat_area_mm2: float = 0.0
    pits: tuple[Pit, ...] = ()

    @property
    def stop_cut_mm(self) -> float:
        """Total length of the parallel runs. [mm]"""
        return sum(end - start for line in self.lines for start, end in line.parallel)
