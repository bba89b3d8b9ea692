"""What is done at the bench, as values: the strokes of a letter, and the cuts that make them.

A cut is one edge worked along one side, or along the bottom, of one stroke, however often it is set down and in however
many lines a joint parts it. Points are in mm from the board's lower left corner, depths in mm below its face. A stop
cut's lines follow the bottom of the groove, a relief cut's its middle; an end cut's run from the bottom up to a corner
at the surface; those of a wall, serif or corner cut follow the outline, each with the depth that the wall goes down to
there (past an inner corner they run on over the open groove); a floor cut's follow the middle of the flat bottom.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from stopcut.arrays import Array
from stopcut.job.job import StrokeKind
from stopcut.shop.tools import Tool

__all__ = ["PLACES", "Cut", "CutKind", "CutLine", "LetterKey", "Side", "Slice", "Stroke", "Trace", "Use"]

CutKind = Literal["relief", "stop", "end", "wall", "serif", "corner", "floor"]
Side = Literal["left", "right", "upper", "lower", "inside", "outside"]
Slice = Literal["along", "against", "either"]
Use = Literal["whole", "part", "point"]
LetterKey = tuple[int, int]
"""Line and letter within it, both from 1; ornaments have line 0 and count from 1."""
PLACES: Final = 13
"""Places at which two lines are laid over each other. Our choice, from trials."""


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
class Trace:
    """A line as an edge meets it, step by step: the length of each step (k,) [mm], its bend (k,), positive where a wall
    is concave [1/mm], and how deep it is cut there (k,) [mm]. places (PLACES, 3) stand even along it, for laying one
    line over another."""

    length: Array
    bend: Array
    depth: Array
    places: Array

    @property
    def run_mm(self) -> float:
        """How long it is. [mm]"""
        return float(self.length.sum())


@dataclass(frozen=True, eq=False, slots=True)
class CutLine:
    """One line of a cut.

    points (k, 3) are described above. slice says whether to go along the points, against them or either way, so that
    the fibres are pressed down (None where nothing is sliced). faces are the numbers of the outline's edges (of
    Roof.faces) that it takes.
    """

    points: Array
    slice: Slice | None = None
    faces: tuple[int, ...] = ()


@dataclass(frozen=True, eq=False, slots=True)
class Cut:
    """One cut with one tool.

    id is the line, the letter and the cut's number in it ("1.3.12"); after the ids, all of the same letter, that must
    be done before. stroke is the number of the stroke it belongs to (0 for none) and stroke_kind its kind. side is the
    wall's as it is seen on the paper (None for what has none: an end facet has none). lines are what is followed,
    traces the same as an edge meets it; depth_mm is the greatest depth. place is the cut's block and phase in the order
    as it is taught (rules.Place). equals is the same number for cuts of one shape, which are cut alike.

    tool is None where the roll has nothing that fits. technique says in a few words how it is held and moved.
    placements counts settings of the edge once along, settings those in all passes; passes has the depth of each pass
    at the deepest place [mm], none where one will do. edge_mm is how much of the edge is used where the line bends
    most, and use says whether that is the whole, a part or no more than its point; missed_mm is where only the corner
    of the edge follows the line. bend is the line's mean curvature, positive where a wall is concave, bends the least
    and the greatest in it [1/mm]. outside_mm is how far a corner of the edge comes to lie beyond the line that is cut.
    axis_deg is how the blade stands from the board's face; seconds is how long it takes at pace 1. wall_area_mm2 is the
    wall's as it lies. floor_area_mm2 is the flat bottom's; across_mm leads from each of the points to its edge on the
    left, and as far to the right. by_hand is True where no mallet is wanted. cautions are sentences for the carver.
    """

    id: str
    line: int
    letter: int
    char: str
    stroke: int
    stroke_kind: StrokeKind | None
    kind: CutKind
    side: Side | None
    lines: tuple[CutLine, ...]
    traces: tuple[Trace, ...]
    depth_mm: float
    bend: float = 0.0
    wall_area_mm2: float = 0.0
    floor_area_mm2: float = 0.0
    across_mm: tuple[tuple[float, float], ...] = ()
    by_hand: bool = False
    cautions: tuple[str, ...] = ()
    after: tuple[str, ...] = ()
    place: tuple[int, int] = (0, 0)
    equals: int = 0
    tool: Tool | None = None
    technique: str = ""
    placements: int = 1
    settings: int = 1
    passes: tuple[float, ...] = ()
    edge_mm: float = 0.0
    use: Use = "whole"
    missed_mm: float = 0.0
    outside_mm: float = 0.0
    axis_deg: float = 90.0
    seconds: float = 0.0

    @property
    def key(self) -> LetterKey:
        """Which letter it belongs to."""
        return self.line, self.letter

    @property
    def points(self) -> Array:
        """Its longest line's points, (k, 3)."""
        lengths = [_length(line.points) for line in self.lines]
        return self.lines[max(range(len(lengths)), key=lengths.__getitem__)].points

    @property
    def length_mm(self) -> float:
        """How long its lines are in all. [mm]"""
        return sum(_length(line.points) for line in self.lines)

    @property
    def faces(self) -> tuple[int, ...]:
        """The outline's edges that its lines take."""
        return tuple(face for line in self.lines for face in line.faces)

    @property
    def slice(self) -> Slice | None:
        """The way to slice where it is one for all lines, either where that will do; None where it turns, or nothing is
        sliced."""
        ways = {line.slice for line in self.lines}
        ways -= {"either"} if len(ways) > 1 else set()
        return ways.pop() if len(ways) == 1 else None

    @property
    def bends(self) -> tuple[float, float]:
        """The least and the greatest bend. [1/mm]"""
        found = [(float(trace.bend.min()), float(trace.bend.max())) for trace in self.traces if len(trace.bend)]
        return min((low for low, _ in found), default=0.0), max((high for _, high in found), default=0.0)


def _length(points: Array) -> float:
    step = np.diff(points[:, :2], axis=0)
    return float(np.hypot(step[:, 0], step[:, 1]).sum())
