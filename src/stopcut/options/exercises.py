"""Exercises: what a teacher hands out before the first letter, taken from the job's own face at the job's size.

Rows of whole strokes come first, without their serifs: uprights, level ones, sloping ones, open curves, the S curve.
Then a stem with its serifs, and then a letter (common practice among those who teach; which letters the strokes are
taken from, and how many stand in a row, is our choice).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import Final

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from stopcut.bench.cuts import keys_of
from stopcut.bench.plan import Cut, CutLine
from stopcut.bench.planned import Plan
from stopcut.bench.steps import NUMBERS
from stopcut.errors import WrongJob
from stopcut.job.job import StrokeKind
from stopcut.job.read import parse_job
from stopcut.options.difficulty import stroke_of, strokes_of
from stopcut.options.practice_job import practice_text
from stopcut.teaching.practised import Exercise, PracticeStroke
from stopcut.work import Work

__all__ = ["LETTERS", "exercise_text", "exercises_of", "stroke_exercises"]

LETTERS: Final = "IHEAVCDOSR"
"""Between them they have every kind of stroke. Our choice."""
ROW: Final = 5
"""Strokes in a row. (a teacher's five; common practice)"""
CURVES: Final = 3
STEMS, WHOLE = 3, 2
JOIN_MM: Final = 0.1
"""A stop cut ends within this of where another stroke would begin. [mm] Our choice: a pencil's line."""
SHORTEST_MM: Final = 0.5
"""Shorter pieces of a line are none. [mm] Our choice."""
UPRIGHT_DEG: Final = 12.0
"""A stroke within this of the upright, or of the level, is called so. [degrees] Our choice."""
STRAIGHT: Final = 0.995
"""A stroke whose ends are this share of its length apart is straight. (our choice)"""
CURVED: Final = 0.9
"""One whose ends are no farther apart than this share of its length is a curve: of an arc, a sweep of 90 degrees.
(our choice)"""
OPEN: Final = 0.15
"""One whose ends are no nearer than this share of its length is open. (our choice)"""


def exercise_text(work: Work) -> str:
    """The text of a job that has the letters the exercises are taken from: those of LETTERS that the face has, or where
    it has none the letters of the job's first line."""
    try:
        return _checked(work, LETTERS)
    except WrongJob:
        having = "".join(letter for letter in LETTERS if _has(work, letter))
        return practice_text(work, having or work.job.lines[0].words)


def _checked(work: Work, letters: str) -> str:
    text = practice_text(work, letters)
    _ = Work(parse_job(text, base_folder=work.job.base_folder), work.shop).lettered
    return text


def _has(work: Work, letter: str) -> bool:
    try:
        _checked(work, letter)
    except WrongJob:
        return False
    return True


def exercises_of(work: Work, plan: Plan) -> tuple[Exercise, ...]:
    """The exercises of a job with these letters, from easy to hard; without those its face has no stroke for."""
    plain = replace(plan, cuts=tuple(cut for cut in plan.cuts if _is_bare(cut)))
    bare = [_within_itself(stroke) for stroke in strokes_of(work, plain)]
    found = [
        _row(bare, _upright, "stem", "upright", "Both walls meet the stop cut all the way."),
        _row(
            bare, _level, "bar", "level stroke", "They run with the fibres: slice lightly, and stop at both ends first."
        ),
        _row(
            bare, _sloping, "diagonal", "sloping stroke", "Slice the way of the arrows: it differs from wall to wall."
        ),
        _curves(bare),
        _s_curve(work, plan),
        _stem(work, plan),
        _letter(work, plan),
    ]
    return tuple(one for one in found if one is not None)


def stroke_exercises(strokes: Sequence[PracticeStroke]) -> tuple[Exercise, ...]:
    """Every stroke as an exercise of its own, in the order given, with how hard it is and why."""
    out = []
    for stroke in strokes:
        because = f": {', '.join(stroke.reasons)}" if stroke.reasons else ""
        title = f"{stroke.kind.capitalize()} of {stroke.char}"
        out.append(Exercise(title, f"{stroke.points:.1f} points{because}.", (stroke,), WHOLE))
    return tuple(out)


def _is_bare(cut: Cut) -> bool:
    """Whether a cut is of the stroke itself, not of its ends."""
    return cut.kind in ("relief", "stop", "floor") or (cut.kind == "wall" and cut.side is not None)


def _chord(stroke: PracticeStroke) -> tuple[float, float]:
    """How far apart a stroke's ends are, in shares of its length, and its slope. [degrees from the level, 0 to 90]"""
    stops = [cut for cut in stroke.cuts if cut.kind == "stop" and len(cut.points) > 1]
    line = max((cut.points[:, :2] for cut in stops or stroke.cuts), key=_run)
    x, y = (line[-1] - line[0]).tolist()
    return math.hypot(x, y) / max(_run(line), 1e-9), math.degrees(math.atan2(abs(y), abs(x)))


def _run(line: np.ndarray) -> float:
    step = np.diff(line, axis=0)
    return float(np.hypot(step[:, 0], step[:, 1]).sum())


def _walled(stroke: PracticeStroke) -> bool:
    """Whether a stroke has both its walls."""
    return len({cut.side for cut in stroke.cuts if cut.kind == "wall"}) > 1


def _upright(stroke: PracticeStroke) -> bool:
    share, slope = _chord(stroke)
    return share > STRAIGHT and slope > 90 - UPRIGHT_DEG


def _level(stroke: PracticeStroke) -> bool:
    share, slope = _chord(stroke)
    return share > STRAIGHT and slope < UPRIGHT_DEG


def _sloping(stroke: PracticeStroke) -> bool:
    share, slope = _chord(stroke)
    straight = share > STRAIGHT and stroke.kind not in ("arc", "bowl")
    return straight and UPRIGHT_DEG <= slope <= 90 - UPRIGHT_DEG


def _row(
    bare: Sequence[PracticeStroke], wanted: Callable[[PracticeStroke], bool], kind: StrokeKind, thing: str, says: str
) -> Exercise | None:
    own = [stroke for stroke in bare if _walled(stroke) and wanted(stroke)]
    if not own:
        return None
    best = max(own, key=lambda stroke: (stroke.kind == kind, _even(stroke), round(stroke.length_mm, 2)))
    return Exercise(f"{NUMBERS[ROW].capitalize()} {thing}s", says, (best,), ROW)


def _even(stroke: PracticeStroke) -> float:
    """How much of the longest piece of a stroke's outline its shortest is, in tenths: 1 where both walls are whole."""
    lengths = [_run(line) for line in stroke.edge]
    return round(min(lengths) / max(lengths), 1) if len(lengths) > 1 else 0.0


def _within_itself(stroke: PracticeStroke) -> PracticeStroke:
    """A stroke whose stop cuts end where another stroke would begin, and are no deeper than they are up to there."""
    around = shapely.union_all([shapely.LineString(line) for line in (*stroke.edge, *stroke.joins)]).buffer(JOIN_MM)
    shape = shapely.union_all([shapely.Polygon(part.exterior) for part in shapely.get_parts(around)])
    cuts = tuple(_clipped(cut, shape) if cut.kind in ("stop", "relief") else cut for cut in stroke.cuts)
    return replace(stroke, cuts=cuts, length_mm=max(_run(cut.points[:, :2]) for cut in cuts))


def _clipped(cut: Cut, shape: BaseGeometry) -> Cut:
    """A stab's lines within a shape; as it is where hardly anything of it would be left."""
    lines = [one for line in cut.lines if len(line.points) > 1 for one in _inside(line, shape)]
    if not lines:
        return cut
    depth = min(max(float(line.points[:, 2].max()) for line in lines), cut.depth_mm)
    passes = cut.passes if cut.passes and depth > cut.passes[0] else ()
    share = depth / cut.depth_mm
    return replace(cut, lines=tuple(lines), depth_mm=depth, passes=tuple(share * deep for deep in passes))


def _inside(line: CutLine, shape: BaseGeometry) -> Iterator[CutLine]:
    whole = shapely.LineString(line.points[:, :2])
    where = np.array([whole.project(shapely.Point(point)) for point in line.points[:, :2]])
    for part in shapely.get_parts(whole.intersection(shape)):
        if part.geom_type == "LineString" and part.length > SHORTEST_MM:
            at = shapely.get_coordinates(part)
            deep = np.interp([whole.project(shapely.Point(point)) for point in at], where, line.points[:, 2])
            yield CutLine(np.column_stack([at, deep]))


def _curves(bare: Sequence[PracticeStroke]) -> Exercise | None:
    """The longest curve of each letter that has one, open ones first."""
    own: dict[str, PracticeStroke] = {}
    for stroke in bare:
        curved = _walled(stroke) and _chord(stroke)[0] <= CURVED and stroke.char not in "SR"
        if curved and (stroke.char not in own or stroke.length_mm > own[stroke.char].length_mm):
            own[stroke.char] = stroke
    ranked = sorted(own.values(), key=lambda stroke: (_chord(stroke)[0] < OPEN, -stroke.length_mm))
    opened = [stroke for stroke in ranked if _chord(stroke)[0] >= OPEN] or ranked
    if not opened:
        return None
    says = "Where a diamond stands, turn round and slice the other way."
    return Exercise("Open curves", says, tuple(opened[:CURVES]), 2)


def _s_curve(work: Work, plan: Plan) -> Exercise | None:
    whole = _of_letter(work, plan, "S", _is_bare)
    if whole is None:
        return None
    return Exercise("The S curve", "One line from end to end: no corner where a sweep meets the next.", (whole,), WHOLE)


def _stem(work: Work, plan: Plan) -> Exercise | None:
    stems = [stroke for stroke in strokes_of(work, plan) if stroke.kind == "stem" and _walled(stroke)]
    if not stems:
        return None
    best = max(stems, key=lambda stroke: (stroke.char == "I", _serifed(stroke), round(stroke.length_mm, 2)))
    title = "Serifs on a stem" if _serifed(best) else "A stem with its ends"
    return Exercise(title, "Ends before walls, and brackets last.", (best,), STEMS)


def _serifed(stroke: PracticeStroke) -> bool:
    return any(cut.kind == "serif" for cut in stroke.cuts)


def _letter(work: Work, plan: Plan) -> Exercise | None:
    chars = [groove.placed.char for groove in work.pattern]
    if not chars:
        return None
    char = "R" if "R" in chars else chars[0]
    whole = _of_letter(work, plan, char, lambda cut: True)
    if whole is None:
        return None
    return Exercise(f"A letter: {char}", "Its steps are on its card, which comes last.", (whole,), WHOLE, letter=True)


def _of_letter(work: Work, plan: Plan, char: str, takes: Callable[[Cut], bool]) -> PracticeStroke | None:
    """All or some cuts of a letter as one."""
    for key, groove in zip(keys_of(work.pattern), work.pattern, strict=True):
        if groove.placed.char == char:
            cuts = [cut for cut in plan.cuts if cut.key == key and takes(cut)]
            ids = {cut.id for cut in cuts}
            turns = tuple((turn.x_mm, turn.y_mm) for turn in plan.turns if ids.issuperset(turn.cuts))
            return stroke_of(groove, key, cuts, turns, "arc") if any(cut.faces for cut in cuts) else None
    return None
