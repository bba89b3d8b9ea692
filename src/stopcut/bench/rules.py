"""The order within a letter, as it is taught, and what must be done before what.

A stroke is cut whole: its middle relieved where it is deep, its stop cut, its ends rolled out, its walls, its end
facets. Strokes of one kind are cut together as a block, the uprights of an H, the bars of an E: first stems, then
diagonals, legs and tails, bowls and arcs, bars. Serifs come after all strokes, then the points, and the floor of a flat
bottom last. A stroke that runs with the fibres comes after those that cross them, and its end facets before its walls:
what is stopped across the fibres cannot break out. Walls at an acute point of wood come after the others of their
block: weak short grain keeps what holds it to the last. All are common practice.

That is the order as taught. What must be done before what is less, and is told by `needs`: every stab of a stroke
before its walls, its walls before its serifs, everything before the points, and these before the floor.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Final, Literal, NamedTuple

from stopcut.bench.grain import with_grain
from stopcut.bench.plan import Cut, Stroke
from stopcut.bench.settings import BenchSettings
from stopcut.job.job import Grain, StrokeKind

__all__ = ["PHASES", "Phase", "Place", "in_order", "place_of"]

Phase = Literal[
    "relief", "stop", "end", "first facet", "wall", "careful wall", "facet", "late end", "serif", "point", "floor"
]
PHASES: Final[tuple[Phase, ...]] = (
    "relief",
    "stop",
    "end",
    "first facet",
    "wall",
    "careful wall",
    "late end",
    "facet",
    "serif",
    "point",
    "floor",
)
BLOCKS: Final[Mapping[StrokeKind, int]] = {
    "stem": 0,
    "diagonal": 1,
    "leg": 1,
    "tail": 1,
    "bowl": 2,
    "arc": 2,
    "bar": 3,
    "hairline": 3,
    "serif": 4,
}
NO_STROKE: Final = 2
"""The block of what belongs to no stroke: an ornament's, a dot's."""
SERIFS, POINTS, FLOOR = 10, 11, 12
WITH_GRAIN: Final = 5
"""Blocks of strokes that run with the fibres come after the others."""


class Place(NamedTuple):
    """Where a cut stands in its letter's order: its block's number, then its phase's in PHASES."""

    block: int
    phase: int

    @property
    def phase_name(self) -> Phase:
        """The phase in words."""
        return PHASES[self.phase]


def place_of(cut: Cut, grain: Grain, settings: BenchSettings, strokes: Mapping[int, Stroke]) -> Place:
    """Where a cut stands in the order as it is taught; strokes are its letter's by number."""
    if cut.kind == "corner":
        return Place(POINTS, PHASES.index("point"))
    if cut.kind == "floor":
        return Place(FLOOR, PHASES.index("floor"))
    if cut.kind == "serif":
        return Place(SERIFS, PHASES.index("serif"))
    stroke = strokes.get(cut.stroke)
    along = stroke is not None and _runs_along(stroke, grain)
    block = (NO_STROKE if stroke is None else BLOCKS[stroke.kind]) + (WITH_GRAIN if along else 0)
    return Place(block, PHASES.index(_phase(cut, settings, along=along)))


def _runs_along(stroke: Stroke, grain: Grain) -> bool:
    """Whether a stroke runs with the fibres from end to end, however it bends in between."""
    if stroke.kind in ("bowl", "arc") or len(stroke.points) < 2:
        return False
    return with_grain(stroke.points[[0, -1]], grain)


def _phase(cut: Cut, settings: BenchSettings, *, along: bool) -> Phase:
    if cut.kind in ("relief", "stop"):
        return "relief" if cut.kind == "relief" else "stop"
    if cut.kind == "end":
        return "late end" if settings.end_cuts == "after" and not along else "end"
    if cut.side is None:
        return "first facet" if along else "facet"
    return "careful wall" if cut.cautions else "wall"


def in_order(found: Sequence[Cut], grain: Grain, settings: BenchSettings, strokes: Mapping[int, Stroke]) -> list[Cut]:
    """A letter's cuts numbered in the order as it is taught, each with the ids of those that must be done before it."""
    places = [place_of(cut, grain, settings, strokes) for cut in found]
    order = sorted(range(len(found)), key=lambda n: (places[n], found[n].stroke, n))
    cuts = [replace(found[n], id=f"{found[n].line}.{found[n].letter}.{number}") for number, n in enumerate(order, 1)]
    placed = list(zip(cuts, [places[n] for n in order], strict=True))
    return [
        replace(
            cut,
            place=place,
            after=tuple(other.id for other, theirs in placed if theirs < place and needs(cut, place, other, theirs)),
        )
        for cut, place in placed
    ]


def needs(cut: Cut, place: Place, other: Cut, theirs: Place) -> bool:
    """Whether other, which comes earlier as it is taught, has to be done before cut."""
    phase, before = place.phase_name, theirs.phase_name
    if phase == "floor":
        return before != "floor"
    if phase == "point":
        return before != "point"
    if phase == "serif":
        return cut.stroke == other.stroke
    if cut.stroke != other.stroke:
        return phase == "careful wall" and before == "wall" and place.block == theirs.block
    if before in ("relief", "stop", "first facet"):
        return True
    if before == "end":
        return phase in ("wall", "careful wall", "facet", "first facet")
    if before in ("wall", "careful wall"):
        return phase in ("careful wall", "late end")
    return False
