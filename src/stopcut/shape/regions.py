"""Outlines as areas of the plane, for questions that take areas: how near, how much, what is left.

Shapely answers them on flattened rings. An outline that becomes an area and an outline again is made of straight
pieces; whoever asks chooses the tolerance.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import shapely
from shapely.geometry import MultiPolygon, Point, Polygon
from shapely.geometry.base import BaseGeometry

from stopcut.arrays import Array
from stopcut.shape.flat import Flat, flatten
from stopcut.shape.outline import Outline, polygon

__all__ = ["Region", "outline_of", "region_of", "region_of_flat", "ring_area", "wound"]

Region = Polygon | MultiPolygon
"""An area of the plane: shapely's polygon or several."""


def region_of(outline: Outline, tolerance: float) -> Region:
    """The area of an outline, its curves flattened to within tolerance (same unit, > 0) and area-true."""
    return region_of_flat(flatten(outline, tolerance))


def region_of_flat(flat: Flat) -> Region:
    """The area of a flattened outline. Rings that touch or cross themselves are mended, never refused."""
    outers = [ring for ring in flat.rings if ring_area(ring) > 0]
    holes = [ring for ring in flat.rings if ring_area(ring) < 0]
    if not outers:
        return MultiPolygon()
    if len(outers) == 1:
        return _valid(Polygon(outers[0], holes))
    shapes = [Polygon(ring) for ring in sorted(outers, key=ring_area)]
    owned: list[list[Array]] = [[] for _ in shapes]
    for hole in holes:
        owned[_owner(hole, shapes)].append(hole)
    parts = [_valid(Polygon(shape.exterior, own)) for shape, own in zip(shapes, owned, strict=True)]
    whole = MultiPolygon([p for part in parts for p in _polygons(part)])
    return whole if whole.is_valid else _area_only(shapely.union_all(parts))


def wound(ring: Array) -> Region:
    """The area that a ring (n, 2), which may cross itself, runs round anticlockwise; loops the other way go."""
    closed = np.vstack([ring, ring[:1]])
    faces = _polygons(shapely.polygonize([shapely.union_all([shapely.LineString(closed)])]))
    inside = [face for face in faces if _winding(closed, face.representative_point()) > 0]
    return _area_only(shapely.union_all(inside))


def outline_of(area: BaseGeometry) -> Outline:
    """The outline of an area: outer rings anticlockwise, holes clockwise. Lines and points in it are left out."""
    rings: list[Iterable[tuple[float, float]]] = []
    for part in _polygons(area):
        turned = shapely.geometry.polygon.orient(part, 1.0)
        rings += [ring.coords[:-1] for ring in (turned.exterior, *turned.interiors)]
    return polygon(*rings)


def ring_area(ring: Array) -> float:
    """The area within a ring (n, 2), less than 0 where it runs clockwise."""
    x, y = ring[:, 0], ring[:, 1]
    return float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2


def _owner(hole: Array, shapes: list[Polygon]) -> int:
    """Which of the shapes, the smallest first, a hole is cut from: the first that is larger and lies round it."""
    size, inside = -ring_area(hole), Polygon(hole).representative_point()
    around = (i for i, shape in enumerate(shapes) if shape.area > size and shape.contains(inside))
    return next(around, len(shapes) - 1)


def _winding(closed: Array, point: Point) -> int:
    """How many times a closed ring runs round a point, anticlockwise counted up."""
    (x0, y0), (x1, y1) = closed[:-1].T, closed[1:].T
    left = (x1 - x0) * (point.y - y0) - (point.x - x0) * (y1 - y0) > 0
    up, down = (y0 <= point.y) & (y1 > point.y), (y0 > point.y) & (y1 <= point.y)
    return int(np.sum(up & left)) - int(np.sum(down & ~left))


def _valid(shape: Polygon) -> Region:
    return shape if shape.is_valid else _area_only(shapely.make_valid(shape))


def _area_only(shape: BaseGeometry) -> Region:
    parts = _polygons(shape)
    return parts[0] if len(parts) == 1 else MultiPolygon(parts)


def _polygons(shape: BaseGeometry) -> list[Polygon]:
    """The polygons that a geometry is made of, those of no area left out."""
    if isinstance(shape, Polygon):
        return [] if shape.is_empty else [shape]
    return [part for child in getattr(shape, "geoms", ()) for part in _polygons(child)]
