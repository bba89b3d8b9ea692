"""What a plan comes to: how much of the groove its cuts cover, and the sums that time and price are reckoned from.

Coverage is measured, not counted: each wall cut's face is built anew from its points alone (from each point the wall
goes in square to the line, as far as its depth says) and laid over the roof's faces that it says it takes; a centre
line is covered where a stop or end cut runs along it, and the floor of a flat bottom where a strip is pared along it;
what the edge's corner reaches beside a strip is not counted.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Final

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from stopcut.arrays import Array
from stopcut.bench.cuts import keys_of
from stopcut.bench.floor import floor_swept
from stopcut.bench.paths import along
from stopcut.bench.plan import Cut, LetterKey
from stopcut.groove.surface import Groove

__all__ = ["Covered", "Totals", "covered", "covered_by_letter", "swept", "totals"]

SWING_DEG: Final = 60.0
"""An edge swings round a bend of less than this without leaving the wall. [degrees] Our choice: sharper ones are
corners."""
KEPT: Final = 256
"""How many letters' figures are kept in memory. Our choice, because a board has some tens of different letters."""
ALONG_MM: Final = 0.1
"""A centre line is covered within this of a cut. [mm] Our choice: the evened-out line of a cut lies so near."""


@dataclass(frozen=True, slots=True)
class Covered:
    """Shares, 0 to 1: of the sloping walls' area, of the centre lines' length, and of the flat bottoms' area. 1 where
    there is none to cover."""

    wall: float
    centre: float
    floor: float = 1.0


@dataclass(frozen=True, slots=True)
class Totals:
    """Sums over a plan: what minutes and money are reckoned from.

    settings counts placements of an edge, passes included; wall_mm2 is the walls' area as they lie, stop_mm the length
    of the stop and end cuts; deepest_mm the greatest depth. by_tool counts cuts by the tool's name, without has how
    many cuts the roll has no tool for.
    """

    letters: int
    cuts: int
    settings: int
    wall_mm2: float
    stop_mm: float
    deepest_mm: float
    by_tool: tuple[tuple[str, int], ...]
    without: int


def totals(cuts: Sequence[Cut]) -> Totals:
    """The sums over any cuts: a letter's, a line's, a board's."""
    tools = Counter(cut.tool.name for cut in cuts if cut.tool is not None)
    return Totals(
        letters=len({cut.key for cut in cuts}),
        cuts=len(cuts),
        settings=sum(cut.settings for cut in cuts),
        wall_mm2=sum(cut.wall_area_mm2 for cut in cuts),
        stop_mm=sum(cut.length_mm for cut in cuts if cut.kind in ("stop", "end")),
        deepest_mm=max((cut.depth_mm for cut in cuts), default=0.0),
        by_tool=tuple(sorted(tools.items(), key=lambda pair: (-pair[1], pair[0]))),
        without=sum(cut.tool is None for cut in cuts),
    )


def covered(grooves: Sequence[Groove], cuts: Sequence[Cut]) -> Covered:
    """How much of all the grooves the cuts cover."""
    figures = [_figures(groove, own) for groove, own in _by_groove(grooves, cuts)]
    return _shares(np.array(figures).sum(axis=0).tolist() if figures else _NOTHING)


def covered_by_letter(grooves: Sequence[Groove], cuts: Sequence[Cut]) -> dict[LetterKey, Covered]:
    """The same letter by letter."""
    out = {}
    for key, (groove, own) in zip(keys_of(grooves), _by_groove(grooves, cuts), strict=True):
        out[key] = _shares(_figures(groove, own))
    return out


def _shares(figures: Sequence[float]) -> Covered:
    wall, walls, centre, centres, floor, floors = figures
    return Covered(
        wall / walls if walls else 1.0, centre / centres if centres else 1.0, floor / floors if floors else 1.0
    )


def swept(cut: Cut, wall_deg: float) -> BaseGeometry:
    """What a wall, serif or corner cut takes, seen from above, from its lines' points alone. [mm]"""
    return shapely.union_all([_line_swept(line.points, wall_deg) for line in cut.lines])


def _line_swept(line: Array, wall_deg: float) -> BaseGeometry:
    points = line[:, :2]
    step = np.diff(points, axis=0)
    far = np.hypot(step[:, 0], step[:, 1])
    (kept,) = np.nonzero(far > 1e-9)
    if not len(kept):
        return shapely.Polygon()
    inward = np.column_stack([-step[kept, 1], step[kept, 0]]) / far[kept, None]
    before, after = inward.copy(), inward.copy()  # at each step's beginning and at its end
    # Where the line bends a little the edge swings round: both steps reach to the same place, on the bisector.
    _swing(before[1:], after[:-1], inward)
    if len(kept) > 2 and np.array_equal(points[0], points[-1]):
        _swing(before[:1], after[-1:], np.vstack([inward[-1:], inward[:1]]))
    reach = line[:, 2:] / math.tan(math.radians(wall_deg))
    start, end = points[kept], points[kept + 1]
    corners = [start, end, end + after * reach[kept + 1], start + before * reach[kept]]
    quads = np.asarray(shapely.polygons(np.stack(corners, axis=1)), dtype=object)
    crossed = ~shapely.is_valid(quads)
    quads[crossed] = shapely.buffer(quads[crossed], 0)
    return shapely.union_all(quads)


def _swing(before: Array, after: Array, inward: Array) -> None:
    """Sets the directions at the points between steps to the bisectors, each as long as the two steps' reaches meet."""
    cosine = np.einsum("ij,ij->i", inward[:-1], inward[1:])
    bends = cosine > math.cos(math.radians(SWING_DEG))
    middle = (inward[:-1] + inward[1:]) / (1 + cosine)[:, None].clip(1e-9)
    before[bends] = after[bends] = middle[bends]


def _by_groove(grooves: Sequence[Groove], cuts: Sequence[Cut]) -> list[tuple[Groove, list[Cut]]]:
    own: dict[LetterKey, list[Cut]] = {}
    for cut in cuts:
        own.setdefault(cut.key, []).append(cut)
    return [(groove, own.get(key, [])) for key, groove in zip(keys_of(grooves), grooves, strict=True)]


Figures = tuple[float, float, float, float, float, float]
"""Wall covered, wall, centre line covered, centre line, floor covered, floor; areas seen from above. [mm², mm]"""
_NOTHING: Final[Figures] = (0.0, 0.0, 0.0, 0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class _FiguresAsked:
    """What a letter's figures depend on, wherever it stands: its groove, and every cut's line to 1 nm."""

    groove_key: tuple[str, bool, float, float, float, float | None]
    cuts_key: tuple[tuple[str, tuple[int, ...], bytes, bytes], ...]
    groove: Groove = field(compare=False)
    cuts: tuple[Cut, ...] = field(compare=False)


def _figures(groove: Groove, cuts: Sequence[Cut]) -> Figures:
    placed = groove.placed
    by = np.array([placed.x_mm, placed.y_mm, 0.0])
    shape = (placed.outline.digest, placed.index > 0, placed.scale, placed.turn_deg)
    lines = tuple(
        (cut.kind, line.faces, np.round(line.points - by, 6).tobytes(), np.round(np.array(cut.across_mm), 6).tobytes())
        for cut in cuts
        for line in cut.lines
    )
    return _measured(_FiguresAsked((*shape, groove.wall_deg, groove.flat_bottom_mm), lines, groove, tuple(cuts)))


@lru_cache(maxsize=KEPT)
def _measured(asked: _FiguresAsked) -> Figures:
    groove, cuts = asked.groove, asked.cuts
    if not groove.roof.faces:
        return _NOTHING
    faces = np.array([shapely.Polygon(groove.nodes_mm[loop]) for loop in groove.roof.faces], dtype=object)
    flat = _flat(groove)
    if flat is not None:
        faces = np.array([face.difference(flat) for face in faces], dtype=object)
    wall = 0.0
    for line in (line for cut in cuts for line in cut.lines):
        if line.faces:
            # Faces do not overlap, so their covered parts add up.
            own = shapely.intersection(faces[list(line.faces)], _line_swept(line.points, groove.wall_deg))
            wall += float(shapely.area(own).sum())
    stabbed = [line.points for cut in cuts if cut.kind in ("stop", "end") for line in cut.lines]
    lines = [points[:, :2] for points in stabbed if len(points) > 1]
    centre, centres = _along(groove, lines)
    floor = floors = 0.0
    if flat is not None:
        floors = float(flat.area)
        floor = float(flat.intersection(shapely.union_all([floor_swept(c) for c in cuts if c.kind == "floor"])).area)
    return wall, float(shapely.area(faces).sum()), centre, centres, floor, floors


def _flat(groove: Groove) -> BaseGeometry | None:
    """The flat bottom, seen from above."""
    if groove.flat_bottom_mm is None or groove.flat_area_mm2 <= 0:
        return None
    first, rings = 0, []
    for ring in groove.roof.flat.rings:
        rings.append(groove.nodes_mm[first : first + len(ring)])
        first += len(ring)
    whole: BaseGeometry = shapely.Polygon()
    for shape in sorted((shapely.Polygon(ring) for ring in rings), key=lambda shape: -shape.area):
        whole = whole.symmetric_difference(shape)
    reach = groove.flat_bottom_mm / math.tan(math.radians(groove.wall_deg))
    return whole.buffer(-reach, join_style="mitre", mitre_limit=60)


def _along(groove: Groove, lines: Sequence[Array]) -> tuple[float, float]:
    """How much of the centre lines lies along these lines, and their whole length. [mm]"""
    centres = [line.points for line in groove.lines if line.kind == "centre" and len(line.points) > 1]
    whole = sum(float(along(points)[-1]) for points in centres)
    if not lines or not centres:
        return 0.0, whole
    reach = shapely.union_all([shapely.LineString(line).buffer(ALONG_MM) for line in lines])
    return sum(float(shapely.LineString(points).intersection(reach).length) for points in centres), whole
