"""What is done at the bench, as values: the strokes of a letter, and the cuts that make them.

Points are in mm from the board's lower left corner, depths in mm below its face. A stop cut's points follow the bottom
of the groove; an end cut's run from the bottom up to a corner at the surface; those of a wall, serif or corner cut
follow the outline, each with the depth that the wall goes down to there (past an inner corner they run on over the open
groove); a floor cut's follow the middle of the flat bottom.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from stopcut.shop.tools import Tool

__all__ = ["Cut", "CutKind", "LetterKey", "Side", "Slice", "Stroke", "StrokeKind", "Use"]

Array = NDArray[np.float64]

StrokeKind = Literal["stem", "bar", "diagonal", "bowl", "arc", "hairline", "serif"]
CutKind = Literal["stop", "end", "wall", "serif", "corner", "floor"]
Side = Literal["left", "right"]
Slice = Literal["along", "against", "either"]
Use = Literal["whole", "part", "point"]
LetterKey = tuple[int, int]
"""Line and letter within it, both from 1; ornaments have line 0 and count from 1."""


@dataclass(frozen=True, eq=False, slots=True)
class Stroke:
    """One stroke of a letter as a carver names it.

    line and index are the letter's (see LetterKey), number the stroke's in its letter, from 1. points (k, 2) follow its
    middle [mm] and half_width_mm (k,) is how far the walls' edges are there. A closed stroke repeats its first point.
    """

    line: int
    index: int
    number: int
    char: str
    kind: StrokeKind
    points: Array
    half_width_mm: Array


@dataclass(frozen=True, eq=False, slots=True)
class Cut:
    """One cut with one tool.

    id is the line, the letter and the cut's number in it ("1.3.12"); after the ids, all of the same letter, that must
    be done before. stroke is the number of the stroke it belongs to (0 for none) and stroke_kind its kind. side is the
    wall's, looking along the stroke's points. points (k, 3) are described above, depth_mm is the greatest depth.

    tool is None where the roll has nothing that fits. technique says in a few words how it is held and moved; slice
    whether to go along the points, against them or either way, so that the fibres are pressed down (None where nothing
    is sliced). placements counts settings of the edge down each of passes; edge_mm is how much of the edge is used, and
    use says whether that is the whole, a part or no more than its point. bend is the line's mean curvature, positive
    where a wall is concave, bends the least and the greatest in it [1/mm]. outside_mm is how far a corner of the edge
    comes to lie beyond the line that is cut. axis_deg is how the blade stands from the board's face. wall_area_mm2 is
    the wall's as it lies, faces the numbers of the outline's edges (of Roof.faces) that it takes. floor_area_mm2 is the
    flat bottom's; across_mm leads from each of the points to its edge on the left, and as far to the right. by_hand is
    True where no mallet is wanted. cautions are sentences for the carver.
    """

    id: str
    line: int
    letter: int
    char: str
    stroke: int
    stroke_kind: StrokeKind | None
    kind: CutKind
    tool: Tool | None
    technique: str
    side: Side | None
    points: Array
    length_mm: float
    depth_mm: float
    slice: Slice | None = None
    placements: int = 1
    passes: int = 1
    edge_mm: float = 0.0
    use: Use = "whole"
    bend: float = 0.0
    bends: tuple[float, float] = (0.0, 0.0)
    outside_mm: float = 0.0
    axis_deg: float = 90.0
    after: tuple[str, ...] = ()
    wall_area_mm2: float = 0.0
    faces: tuple[int, ...] = ()
    floor_area_mm2: float = 0.0
    across_mm: tuple[tuple[float, float], ...] = ()
    by_hand: bool = False
    cautions: tuple[str, ...] = ()

    @property
    def key(self) -> LetterKey:
        """Which letter it belongs to."""
        return self.line, self.letter
