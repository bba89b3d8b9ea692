"""Difficulty: the strokes of chosen letters from easy to hard, and the letters of a face by difficulty.

A stroke is practised before the letter it belongs to: straight before curved, long before short, with few tools before
many, where the way of slicing stays before where it turns (common practice among those who teach). How much each of
these counts is our choice, said in POINTS and beside every stroke; a carver who finds another order easier is right.

For a sheet of its own a stroke is cut out of its letter along the lines where the walls of the next stroke begin: its
own part of the outline, and the joins.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from types import MappingProxyType
from typing import Final

import shapely
from shapely.geometry.base import BaseGeometry

from stopcut.arrays import Array
from stopcut.bench.cuts import keys_of
from stopcut.bench.plan import Cut, LetterKey
from stopcut.bench.planned import Plan
from stopcut.groove.surface import Groove
from stopcut.job.job import StrokeKind
from stopcut.shape.outline import Point
from stopcut.teaching.practised import PracticeLetter, PracticeStroke
from stopcut.work import Work

__all__ = ["POINTS", "WHY_POINTS", "counting", "letters_of", "stroke_of", "strokes_of"]

POINTS: Final = MappingProxyType(
    {
        "turn": 1.0,
        "short": 1.0,
        "tool": 0.5,
        "way": 0.5,
        "part": 1.0,
        "care": 0.5,
        "without": 1.0,
        "slope": 0.6,
        "rest": 0.1,
    }
)
WHY_POINTS: Final = MappingProxyType(
    {
        "turn": "for each quarter of a circle that its walls turn",
        "short": "for a stroke of 20 mm, half of it for one of 40 mm; 2 at most",
        "tool": "for each tool after the first",
        "way": "for each place where the way of slicing turns",
        "part": "where all of its cuts are made with only a part or the point of an edge; less where fewer are",
        "care": "for each cut with a caution",
        "without": "for each cut that no tool of the roll fits",
        "slope": "for a stroke that slopes: each of its walls wants slicing its own way",
        "rest": "of the other strokes’ points is added to the hardest one’s (serifs aside) for a letter",
    }
)
"""What counts how much. All our choice; that straight, long and few come first is common practice."""

SHORT_MM: Final = 20.0
"""The length whose stroke has one point for being short. Our choice: about twice a broad chisel."""
MOST_SHORT: Final = 2.0
NEAR_MM: Final = 0.1
"""A stabbed line belongs to walls within this of it. [mm] Our choice: the evened-out line of a cut lies so near."""
WEIGHED: Final = frozenset(("wall", "serif"))

SLOPING: Final = frozenset(("diagonal", "leg", "tail"))


def strokes_of(work: Work, plan: Plan) -> tuple[PracticeStroke, ...]:
    """Every stroke of the letters planned, from easy to hard."""
    grooves = dict(zip(keys_of(work.pattern), work.pattern, strict=True))
    found = [stroke for key in plan.letters for stroke in _strokes(grooves[key], key, plan)]
    return tuple(sorted(found, key=lambda stroke: (round(stroke.points, 2), -stroke.length_mm)))


def letters_of(work: Work, plan: Plan) -> tuple[PracticeLetter, ...]:
    """The letters planned, from easy to hard: the hardest stroke of each decides, the others add a little."""
    own: dict[LetterKey, list[PracticeStroke]] = {}
    for stroke in strokes_of(work, plan):
        own.setdefault(stroke.key, []).append(stroke)
    grooves = dict(zip(keys_of(work.pattern), work.pattern, strict=True))
    out = []
    for key, strokes in own.items():
        # Serifs are much alike in all letters of a face: they tell little of one from another.
        hardest = max(strokes, key=lambda stroke: (stroke.kind != "serif", stroke.points))
        points = hardest.points + POINTS["rest"] * sum(stroke.points for stroke in strokes if stroke is not hardest)
        kinds = tuple(Counter(stroke.kind for stroke in strokes).most_common())
        tools = len({cut.tool for cut in plan.cuts if cut.key == key and cut.tool is not None})
        minutes = plan.letter_minutes[key]
        out.append(PracticeLetter(hardest.char, grooves[key], points, kinds, hardest, tools, minutes))
    return tuple(sorted(out, key=lambda letter: (letter.points, letter.char)))


def counting() -> tuple[str, ...]:
    """What the points are for, to be printed: the points of each thing counted, and the thing."""
    return tuple(f"{POINTS[what]:g} {why}" for what, why in WHY_POINTS.items())


def _strokes(groove: Groove, key: LetterKey, plan: Plan) -> list[PracticeStroke]:
    """A letter's strokes, each with the walls that its cuts take."""
    own = [cut for cut in plan.cuts if cut.key == key]
    groups = _groups(groove, own)
    shapes = {number: _shape(groove, group) for number, group in groups.items()}
    pared = {cut.id: number for number, group in groups.items() for cut in group}
    belongs: dict[int, list[Cut]] = {number: [] for number in shapes}
    for cut in own:
        number = pared.get(cut.id) or _nearest(cut, shapes)
        if number is not None:
            belongs[number].append(cut)
    ids = {number: {cut.id for cut in group} for number, group in belongs.items()}
    kinds = {cut.stroke: cut.stroke_kind for cut in own if cut.stroke_kind is not None}
    out = []
    for number in shapes:
        turns = tuple((turn.x_mm, turn.y_mm) for turn in plan.turns if ids[number].issuperset(turn.cuts))
        out.append(stroke_of(groove, key, belongs[number], turns, kinds.get(number, "serif"), number, shapes[number]))
    return out


def stroke_of(
    groove: Groove,
    key: LetterKey,
    cuts: Sequence[Cut],
    turns: tuple[Point, ...],
    kind: StrokeKind,
    number: int = 0,
    shape: BaseGeometry | None = None,
) -> PracticeStroke:
    """What some cuts of a letter make, as a stroke to practise; shape is what they take of the face, if known."""
    points, reasons = _points(cuts)
    edge, joins, lines = _lines(groove, _shape(groove, cuts) if shape is None else shape)
    return PracticeStroke(
        key=key,
        char=groove.placed.char,
        number=number,
        kind=kind,
        cuts=tuple(cuts),
        edge=edge,
        joins=joins,
        lines=lines,
        turns=turns,
        wall_deg=groove.wall_deg,
        length_mm=_length(cuts),
        depth_mm=max(cut.depth_mm for cut in cuts),
        points=points,
        reasons=reasons,
    )


def _groups(groove: Groove, cuts: Sequence[Cut]) -> dict[int, list[Cut]]:
    """What is pared, by the stroke that it is part of: tips, and whatever lies apart from its stroke, go to the stroke
    that they touch."""
    out: dict[int, list[Cut]] = {}
    loose: list[Cut] = []
    for cut in cuts:
        if cut.faces and cut.kind != "corner":
            out.setdefault(cut.stroke, []).append(cut)
        elif cut.faces:
            loose.append(cut)
    main = {number: _largest(_shape(groove, group)) for number, group in out.items()}
    for number, group in list(out.items()):
        apart = [cut for cut in group if _shape(groove, [cut]).distance(main[number]) > NEAR_MM]
        loose += apart
        out[number] = [cut for cut in group if cut not in apart]
    for cut in loose:
        shape = _shape(groove, [cut])
        far = {number: (shape.distance(other), number != cut.stroke) for number, other in main.items()}
        number = min(far, key=lambda number: far[number]) if far else cut.stroke
        out.setdefault(number, []).append(cut)
    return {number: group for number, group in sorted(out.items()) if group}


def _largest(shape: BaseGeometry) -> BaseGeometry:
    return max(shapely.get_parts(shape), key=lambda part: float(part.area), default=shape)


def _shape(groove: Groove, cuts: Iterable[Cut]) -> BaseGeometry:
    """What some cuts take of the board's face, from the faces of the roof that they say they take. [mm]"""
    numbers = sorted({face for cut in cuts for face in cut.faces})
    faces = [shapely.Polygon(groove.nodes_mm[groove.roof.faces[number]]) for number in numbers]
    return shapely.union_all([face if face.is_valid else face.buffer(0) for face in faces], grid_size=1e-4)


def _nearest(cut: Cut, shapes: Mapping[int, BaseGeometry]) -> int | None:
    """The stroke that a stabbed cut belongs to: the one whose walls lie along most of it."""
    line = shapely.LineString(cut.points[:, :2]) if len(cut.points) > 1 else shapely.Point(cut.points[0, :2])

    def lies(number: int) -> tuple[float, bool, float]:
        near = float(line.intersection(shapes[number].buffer(NEAR_MM)).length)
        return round(near, 2), number == cut.stroke, -float(line.distance(shapes[number]))

    return max(shapes, key=lies, default=None)


def _lines(groove: Groove, shape: BaseGeometry) -> tuple[tuple[Array, ...], tuple[Array, ...], tuple[Array, ...]]:
    """A stroke's part of the outline, its joins with other strokes, and the groove's lines within it."""
    first, rings = 0, []
    for ring in groove.roof.flat.rings:
        points = groove.nodes_mm[first : first + len(ring)]
        rings.append(shapely.LinearRing(points))
        first += len(ring)
    outline = shapely.union_all(rings).buffer(0.01)
    round_it = shape.boundary
    within = shape.buffer(-0.02)
    inside = [shapely.LineString(line.points).intersection(within) for line in groove.lines if len(line.points) > 1]
    return _arrays(round_it.intersection(outline)), _arrays(round_it.difference(outline)), _arrays(*inside)


def _arrays(*shapes: BaseGeometry) -> tuple[Array, ...]:
    out: list[Array] = []
    for shape in shapes:
        lines = [part for part in shapely.get_parts(shape) if part.geom_type == "LineString" and part.length > 0.05]
        merged = shapely.line_merge(shapely.MultiLineString(lines)) if lines else None
        if merged is not None:
            out += [shapely.get_coordinates(part) for part in shapely.get_parts(merged)]
    return tuple(out)


def _length(cuts: Sequence[Cut]) -> float:
    """How long a stroke is: its longest line that is cut in one go or stopped. [mm]"""
    stopped = sum(cut.length_mm for cut in cuts if cut.kind == "stop")
    return max(stopped, max((cut.length_mm for cut in cuts), default=0.0))


def _points(cuts: Sequence[Cut]) -> tuple[float, tuple[str, ...]]:
    """How hard a stroke's cuts are, and what for. Brackets, much alike in all letters of a face, tell little."""
    cuts = [cut for cut in cuts if cut.kind != "serif"] or cuts
    pared = [cut for cut in cuts if cut.kind in WEIGHED]
    walls = max(1, len({cut.side for cut in pared}))
    turn_deg = math.degrees(sum(abs(cut.bend) * cut.length_mm for cut in pared)) / walls
    length = max(_length(cuts), 1.0)
    tools = len({cut.tool for cut in cuts if cut.tool is not None})
    ways = sum(_changes([cut for cut in pared if cut.side == side]) for side in {cut.side for cut in pared})
    parts = sum(cut.use != "whole" for cut in cuts)
    careful, without = sum(bool(cut.cautions) for cut in cuts), sum(cut.tool is None for cut in cuts)
    said = (
        (POINTS["turn"] * turn_deg / 90, f"turns {turn_deg:.0f}°"),
        (POINTS["short"] * min(SHORT_MM / length, MOST_SHORT), ""),
        (POINTS["tool"] * max(tools - 1, 0), f"{tools} tools"),
        (POINTS["way"] * ways, f"slicing turns {'once' if ways == 1 else f'{ways} times'}"),
        (POINTS["part"] * parts / len(cuts), f"part of an edge in {parts} of {len(cuts)}"),
        (POINTS["care"] * careful, f"{careful} × with care"),
        (POINTS["without"] * without, f"{without} × no tool fits"),
        (POINTS["slope"] * any(cut.stroke_kind in SLOPING for cut in cuts), "slopes"),
    )
    straight = turn_deg < 15
    reasons = ["straight"] if straight else []
    reasons += [
        words for points, words in said if words and points > 0 and not (straight and words.startswith("turns"))
    ]
    return sum(points for points, _ in said), tuple(reasons)


def _changes(cuts: Sequence[Cut]) -> int:
    """Places along one wall where the way of slicing turns: no more than there are cuts of the rarer way."""
    ways = Counter(cut.slice for cut in cuts)
    return min(ways["along"], ways["against"])
