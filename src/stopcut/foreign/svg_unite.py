"""In the worker: what is painted, one thing over the other, as one shape; worked out twice.

skia-pathops unites on the curves, and now and then loses a hole or a whole shape without a word. GEOS unites the same
shapes as fine polygons and is right, but has no curves. So the curves are kept where both agree, and else the polygons.
Units are the grid's: GRID to the longer side.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any

import numpy as np
import pathops
import shapely
from shapely.geometry import LineString, Polygon
from shapely.ops import polygonize

from stopcut.foreign.font_draw import clean
from stopcut.foreign.inside import BadInput
from stopcut.foreign.tidy import Contours, tidied, turned

__all__ = ["GRID", "Painted", "united"]

GRID = 2**14
"""Steps of the grid to which the longer side is scaled while shapes are united. Our choice: skia reckons in single
precision, and is at its best with numbers like a font's."""
SAGITTA = 0.5
"""How far the polygons may lie off the curves. [grid] Our choice: 0.003 % of the drawing, half a step of the grid."""
AGREED = 2e-3
"""Share of the shape's area on which the two ways may disagree. Our choice: ten times what flattening a small circle
costs, and a tenth of what an eye would see."""
_WINDINGS = 2**22
"""Faces times edges asked at a time for which way they run round. Our choice: some 100 MB of numbers."""


@dataclass(frozen=True)
class Painted:
    """A path as it is painted, in the grid's units, its fill rule with it; white takes away what it covers."""

    path: Any
    white: bool


def united(painted: Sequence[Painted], page: tuple[float, float, float, float] | None) -> tuple[Contours, float]:
    """The shape that is left when all is painted, within the page (left, bottom, right, top) where there is one.

    Also the share of the ink that lies outside the page, 0 to 1.
    """
    ink = _painted_over(painted)
    lost = 0.0
    if page is not None and not ink.is_empty:
        inside = ink.intersection(shapely.box(*page))
        lost = 1 - inside.area / ink.area
        ink = inside
    if ink.is_empty:
        return [], lost
    for way in (_at_once, _one_by_one):
        contours = _curves(way, painted, page)
        if contours and shapely.symmetric_difference(_region(contours), ink).area <= AGREED * ink.area:
            return contours, lost
    return turned(tidied(_polygons(ink), GRID)), lost


def _curves(
    way: Callable[[Sequence[Painted]], Any], painted: Sequence[Painted], page: tuple[float, float, float, float] | None
) -> Contours:
    """The shape by one of skia's ways; none where skia gives up."""
    try:
        whole = way(painted)
        if page is not None:
            whole = pathops.op(whole, _box(page), pathops.PathOp.INTERSECTION, fix_winding=False)
        if whole.fillType == pathops.FillType.EVEN_ODD:
            whole.simplify(fix_winding=True, keep_starting_points=False)
        return clean(whole, GRID)
    except (pathops.PathOpsError, BadInput):
        return []


def _at_once(painted: Sequence[Painted]) -> Any:
    if len(painted) == 1 and not painted[0].white:
        return pathops.Path(painted[0].path, fillType=painted[0].path.fillType)
    builder = pathops.OpBuilder(fix_winding=False, keep_starting_points=False)
    for one in painted:
        builder.add(one.path, pathops.PathOp.DIFFERENCE if one.white else pathops.PathOp.UNION)
    return builder.resolve()


def _one_by_one(painted: Sequence[Painted]) -> Any:
    whole = pathops.Path()
    for one in painted:
        kind = pathops.PathOp.DIFFERENCE if one.white else pathops.PathOp.UNION
        whole = pathops.op(whole, one.path, kind, fix_winding=False)
    return whole


def _box(page: tuple[float, float, float, float]) -> Any:
    left, bottom, right, top = page
    path = pathops.Path()
    path.moveTo(left, bottom)
    for x, y in ((right, bottom), (right, top), (left, top)):
        path.lineTo(x, y)
    path.close()
    return path


def _painted_over(painted: Sequence[Painted]) -> Any:
    """What is left when all is painted, as polygons."""
    ink: Any = Polygon()
    for white, run in groupby(painted, key=lambda one: one.white):
        regions = [_filled(_rings(one.path), one.path.fillType == pathops.FillType.EVEN_ODD) for one in run]
        covered = shapely.union_all(regions)
        ink = ink.difference(covered) if white else ink.union(covered)
    return ink


def _region(contours: Contours) -> Any:
    """Clean contours as polygons."""
    return _filled([_flattened(contour) for contour in contours], even_odd=False)


def _filled(rings: list[np.ndarray], even_odd: bool) -> Any:
    """What rings of points (n×2, first point last) fill by one of the two rules (SVG 1.1, fill-rule)."""
    rings = [ring for ring in rings if len(ring) > 3]
    if not rings:
        return Polygon()
    if len(rings) == 1:
        alone = Polygon(rings[0])
        if alone.is_valid:
            return alone
    lines = shapely.union_all([LineString(ring) for ring in rings])
    faces = list(polygonize(shapely.get_parts(lines)))
    inside = np.array([[p.x, p.y] for p in (face.representative_point() for face in faces)]).reshape(-1, 2)
    turns = _windings(inside, rings)
    kept = turns % 2 == 1 if even_odd else turns != 0
    return shapely.union_all([face for face, keep in zip(faces, kept, strict=True) if keep])


def _windings(points: np.ndarray, rings: list[np.ndarray]) -> np.ndarray:
    """How many times the rings run round each point."""
    a, b = np.vstack([ring[:-1] for ring in rings]), np.vstack([ring[1:] for ring in rings])
    turns = np.zeros(len(points), dtype=int)
    step = max(1, _WINDINGS // len(a))
    for first in range(0, len(points), step):
        x, y = points[first : first + step, 0:1], points[first : first + step, 1:2]
        side = (b[:, 0] - a[:, 0]) * (y - a[:, 1]) - (x - a[:, 0]) * (b[:, 1] - a[:, 1])
        up = (a[:, 1] <= y) & (b[:, 1] > y) & (side > 0)
        down = (a[:, 1] > y) & (b[:, 1] <= y) & (side < 0)
        turns[first : first + step] = up.sum(axis=1) - down.sum(axis=1)
    return turns


def _rings(path: Any) -> list[np.ndarray]:
    """A skia path's contours flattened, each closed."""
    contours: Contours = []
    for verb, points in path:
        numbers = [float(v) for point in points for v in point]
        if verb == pathops.PathVerb.MOVE:
            contours.append([numbers])
        elif len(numbers) in (2, 4, 6) and contours:
            contours[-1].append(numbers)
    return [_flattened(contour) for contour in contours if len(contour) > 1]


def _flattened(contour: list[list[float]]) -> np.ndarray:
    """A contour's points (n×2), none farther off the curve than SAGITTA; its first point is its last."""
    parts = [np.array(contour[0]).reshape(1, 2)]
    for piece in contour[1:]:
        corners = np.vstack([parts[-1][-1], np.array(piece).reshape(-1, 2)])
        parts.append(corners[1:] if len(corners) == 2 else _curve(corners))
    ring = np.vstack(parts)
    return ring if (ring[0] == ring[-1]).all() else np.vstack([ring, ring[:1]])


def _curve(corners: np.ndarray) -> np.ndarray:
    """A Bézier curve's points after its first one, at equal steps, as many as its greatest second difference asks."""
    bend = np.abs(np.diff(corners, n=2, axis=0)).max(initial=0.0)
    degree = len(corners) - 1
    steps = max(2, math.ceil(math.sqrt(degree * (degree - 1) * bend / (8 * SAGITTA))))
    t = np.linspace(0, 1, min(steps, 1000) + 1)[1:, None]
    powers = [math.comb(degree, k) * t**k * (1 - t) ** (degree - k) for k in range(degree + 1)]
    points: np.ndarray = np.hstack(powers) @ corners
    points[-1] = corners[-1]
    return points


def _polygons(ink: Any) -> Contours:
    """Polygons as contours of straight pieces."""
    whole = [part for part in shapely.get_parts(ink) if part.geom_type == "Polygon"]
    rings = [ring for part in whole for ring in (part.exterior, *part.interiors)]
    return [[list(point) for point in ring.coords] for ring in rings]
