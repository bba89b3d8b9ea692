"""The floor of a groove that is cut off at its flat bottom: pared flat, stroke by stroke, once the walls stand.

Each wall face belongs to a stroke, and so does the floor that its plane would have risen from: what lies over the flat
bottom's depth in it. A cut goes down the middle of a stroke's floor, from one end of it to the other, and says how
far the floor reaches to either side; what that leaves is cut along its own middle. The edge is pushed along
flat on the floor, skewed where the floor is narrower than the edge, and moved over where it is wider (common practice).
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import replace
from typing import Final

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from stopcut.arrays import Array, Flags
from stopcut.bench.grain import with_grain
from stopcut.bench.letter import LetterAtBench
from stopcut.bench.paths import along, evenly
from stopcut.bench.plan import Cut, CutLine, Stroke
from stopcut.bench.walls import Walls
from stopcut.groove.level import deeper, together
from stopcut.groove.surface import Groove

__all__ = ["floor_cuts", "floor_of", "floor_swept"]

STEP_MM: Final = 0.2
"""The floor's width is measured this often along a stroke. [mm] Our choice."""
MOST_PLACES: Final = 1000
"""And in a stroke longer than so many steps, at so many places. Our choice: a floor of metres bends no more often than
one of 200 mm, and to measure it every fifth of a millimetre takes a minute."""
LEAST_MM2: Final = 2.0
"""A floor no larger is cleaned out with the walls' last slices. [mm²] Our choice: no edge could lie on it."""
STEEP: Final = 3.0
"""A strip of floor widens no faster than this to either side. [mm for each mm] Our choice: what it leaves is the next
strip's, or is reached with the corner of the edge."""
WITHIN_MM: Final = 0.02
"""A strip's places and widths are said to this. [mm] Our choice, because nobody cuts nearer."""
LEFT_MM2: Final = 6.0
"""And what a strip leaves that is no larger is reached from it with the corner of the edge. [mm²] Our choice."""
LEFT_OVER: Final = 3
"""Times that what is left of a floor is looked at again. Our choice: a cross has two such rests one after the other."""
CLOSE_MM: Final = 1e-3
"""What a strip leaves of a floor beside it within this is no floor. [mm] Our choice: rounding."""


def floor_cuts(walls: Walls, letter: LetterAtBench) -> list[Cut]:
    """The cuts of a letter's floor, none where it has no flat bottom or does not reach down to it."""
    groove = walls.groove
    pieces: dict[int, list[BaseGeometry]] = defaultdict(list)
    for face, shape in _over(groove):
        pieces[_owner(walls, face, letter)].append(shape)
    cuts: list[Cut] = []
    for number in sorted(pieces):
        stroke = letter.strokes.get(number)
        for floor in _parts(together(pieces[number])):
            cuts += _floored(floor, stroke, letter)
    return cuts


def floor_of(groove: Groove) -> BaseGeometry:
    """The floor of a groove seen from above, empty where there is none. [mm]"""
    return together([shape for _, shape in _over(groove)])


def floor_swept(cut: Cut) -> BaseGeometry:
    """What a floor cut takes, seen from above, from its line and widths alone. [mm]"""
    return _strip(cut.points[:, :2], np.array(cut.across_mm))


def _strip(middle: Array, across: Array) -> BaseGeometry:
    one, other = middle + across, middle - across
    quads = shapely.polygons(np.stack([one[:-1], one[1:], other[1:], other[:-1]], axis=1))
    return shapely.union_all(shapely.buffer(quads, 0))


def _over(groove: Groove) -> Iterator[tuple[int, BaseGeometry]]:
    """Each wall face whose plane would go deeper than the flat bottom, with the floor in its place."""
    if groove.flat_bottom_mm is not None and groove.flat_area_mm2 > 0:
        yield from deeper(groove, groove.flat_bottom_mm)


def _owner(walls: Walls, face: int, letter: LetterAtBench) -> int:
    """The stroke on whose floor a face stands; a serif's belongs to the stroke that ends in it."""
    number = walls.labels[face].stroke
    if letter.kind_of(number) != "serif":
        return number
    loop = walls.groove.roof.faces[face]
    deepest = walls.groove.nodes_mm[loop[int(walls.groove.roof.heights[loop].argmax())]]
    return letter.stroke_at(np.vstack([deepest, deepest]))


def _parts(shape: BaseGeometry) -> list[shapely.Polygon]:
    """The pieces of floor in a shape, those too small to lay an edge on left out."""
    parts = [part for part in shapely.get_parts(shape) if isinstance(part, shapely.Polygon)]
    return [part for part in parts if part.area > LEAST_MM2]


def _floored(floor: shapely.Polygon, stroke: Stroke | None, letter: LetterAtBench) -> Iterator[Cut]:
    """The cuts of one piece of floor: along its stroke, then along whatever of it is left."""
    lines = [] if stroke is None or len(stroke.points) < 2 else [_beyond(stroke.points, stroke.half_width_mm)]
    left: BaseGeometry = floor
    for n, line in enumerate([*lines, *[None] * LEFT_OVER]):
        for part in _parts(left):
            if n and part.area <= LEFT_MM2:
                continue
            middle, across = _middle(part, _axis(part) if line is None else line)
            if len(middle) < 2:
                continue
            cut = _cut(middle, across, stroke, letter)
            left = shapely.difference(left, shapely.buffer(floor_swept(cut), CLOSE_MM))
            yield cut


def _beyond(points: Array, half_width_mm: Array) -> Array:
    """A stroke's line drawn out at both ends by its width there: a floor goes on beyond where the corners part."""
    if np.array_equal(points[0], points[-1]):
        return points
    ends = []
    for line, wide in ((points, half_width_mm[0]), (points[::-1], half_width_mm[-1])):
        far = along(line)
        back = line[int(np.searchsorted(far, min(wide, far[-1])))] if far[-1] else line[-1]
        step = line[0] - back
        ends.append(line[0] + step / max(float(np.hypot(*step)), 1e-9) * 2 * wide)
    return np.vstack([ends[0], points, ends[1]])


def _axis(floor: shapely.Polygon) -> Array:
    """The long middle line of a piece of floor that follows no stroke."""
    corners = shapely.get_coordinates(shapely.oriented_envelope(floor))
    if len(corners) < 4:
        return corners
    one, two = corners[1] - corners[0], corners[2] - corners[1]
    if np.hypot(*one) < np.hypot(*two):
        corners = np.roll(corners[:4], -1, axis=0)
    return np.vstack([(corners[0] + corners[3]) / 2, (corners[1] + corners[2]) / 2])


def _middle(floor: shapely.Polygon, line: Array) -> tuple[Array, Array]:
    """The middle of a piece of floor along a line, and from each place the way to its edge, to the left. [mm]"""
    places, where = evenly(line, max(STEP_MM, float(along(line)[-1]) / MOST_PLACES))
    step = np.gradient(places, axis=0)
    normal = np.column_stack([-step[:, 1], step[:, 0]]) / np.maximum(np.hypot(*step.T), 1e-12)[:, None]
    left, bottom, right, top = floor.bounds
    reach = math.hypot(right - left, top - bottom)
    shapely.prepare(floor)
    across = shapely.linestrings(np.stack([places - reach * normal, places + reach * normal], axis=1))
    chords = np.asarray(shapely.intersection(across, floor), dtype=object)
    sides = np.full((len(places), 2), np.nan)  # how far the floor reaches right and left of each place
    for n, (place, way, chord) in enumerate(zip(places, normal, chords, strict=True)):
        ends = [shapely.get_coordinates(part) @ way for part in shapely.get_parts(chord) if part.length > 0]
        here = float(place @ way)
        near = next((end for end in ends if end.min() - 1e-6 <= here <= end.max() + 1e-6), None)
        if near is not None:
            sides[n] = here - near.min(), near.max() - here
    first, last = _longest(~np.isnan(sides[:, 0]))
    places, normal, where = places[first:last], normal[first:last], where[first:last]
    one, other = (_rising(side, where) for side in sides[first:last].T)
    whole = np.hstack([places + ((other - one) / 2)[:, None] * normal, ((other + one) / 2)[:, None] * normal])
    kept = _bending(whole, where)
    return whole[kept, :2], whole[kept, 2:]


def _longest(there: Flags) -> tuple[int, int]:
    """The longest row of places that are there, first and last (not included)."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], there, [False]]).astype(int)))
    rows = edges.reshape(-1, 2).tolist()
    first, last = max(rows, key=lambda row: row[1] - row[0], default=(0, 0))
    return first, last


def _rising(side: Array, where: Array) -> Array:
    """A side's reach, where it would grow faster than STEEP no more than that: strips between places stay on the
    floor."""
    out: Array = side.copy()
    for order in (range(1, len(out)), range(len(out) - 2, -1, -1)):
        for n in order:
            before = n - order.step
            out[n] = min(out[n], out[before] + STEEP * abs(where[n] - where[before]))
    return out


def _bending(line: Array, where: Array) -> list[int]:
    """The places that are needed to say a line within WITHIN_MM, its columns taken together."""
    kept, todo = {0, len(line) - 1}, [(0, len(line) - 1)]
    while todo:
        first, last = todo.pop()
        if last - first < 2:
            continue
        part = ((where[first : last + 1] - where[first]) / (where[last] - where[first]))[:, None]
        off = np.abs(line[first : last + 1] - line[first] - part * (line[last] - line[first])).max(axis=1)
        if off.max() > WITHIN_MM:
            middle = first + int(off.argmax())
            kept.add(middle)
            todo += [(first, middle), (middle, last)]
    return sorted(kept & set(range(len(line))))


def _cut(middle: Array, across: Array, stroke: Stroke | None, letter: LetterAtBench) -> Cut:
    settings, grain = letter.bench.settings, letter.bench.grain
    flat = letter.groove.flat_bottom_mm or 0.0
    points = np.column_stack([middle, np.full(len(middle), flat)])
    cut = letter.cut("floor", 0 if stroke is None else stroke.number, None, [CutLine(points, "either")], ())
    return replace(
        cut,
        by_hand=settings.soft_wood and with_grain(points, grain),
        across_mm=tuple((x, y) for x, y in across.tolist()),
        floor_area_mm2=float(_strip(middle, across).area),
    )
