"""What a groove leaves standing, and how it stands: the shape facts that findings ask of each carved outline.

Everything here is a fact of one outline and its groove, in the outline's own unit where it can be kept between runs of
a job: counters, sharp inner corners, how deep the wall at each edge goes.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import cached_property, partial

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from stopcut.arrays import Array
from stopcut.groove.surface import Groove, Roof
from stopcut.keep import keep, pack_json, unpack_json
from stopcut.shape.flat import Flat, flatten, points_mm
from stopcut.shape.outline import Outline, Point
from stopcut.shape.placed import Placed
from stopcut.shape.regions import Region, region_of, region_of_flat

__all__ = ["Carved", "Counter", "InnerCorner", "counters", "finer_than", "inner_corners", "narrow_wood"]


DETAIL = 2.0
"""Detail is worth a word from this many squares of the finest detail's width. Our choice: a sharp corner has less."""
WOOD = 2.5
"""Narrow wood is worth a word from this many squares of the least width. Our choice: crotches of 10° have as much."""
VERSION = 1
"""Raised when the facts of an outline are found otherwise, so that what is kept from before is not taken for them."""
LEG = 0.02
"""An inner corner has edges at least this long beside it. [of the outline's size] Our choice: less is a nick."""


@dataclass(frozen=True)
class Carved:
    """One groove as findings see it.

    thinnest_mm is the least width along its parallel runs (inf without any), thinnest_at where; edge_depths_mm (m,) how
    deep the wall at each edge of flat goes.
    """

    placed: Placed
    wall_deg: float
    flat_bottom_mm: float | None
    max_depth_mm: float
    deepest_at: Point
    thinnest_mm: float
    thinnest_at: Point
    flat: Flat = field(compare=False)
    edge_depths_mm: Array = field(compare=False)

    @classmethod
    def of(cls, groove: Groove) -> Carved:
        """From a groove, whose flat bottom is taken into account."""
        deepest = int(np.argmax(groove.depths_mm))
        width, at = _thinnest(groove)
        cap = math.inf if groove.flat_bottom_mm is None else groove.flat_bottom_mm
        return cls(
            placed=groove.placed,
            wall_deg=groove.wall_deg,
            flat_bottom_mm=groove.flat_bottom_mm,
            max_depth_mm=groove.max_depth_mm,
            deepest_at=(float(groove.nodes_mm[deepest, 0]), float(groove.nodes_mm[deepest, 1])),
            thinnest_mm=width,
            thinnest_at=at,
            flat=groove.roof.flat,
            edge_depths_mm=np.minimum(
                _edge_heights(groove.roof) * groove.placed.scale * math.tan(math.radians(groove.wall_deg)), cap
            ),
        )

    @cached_property
    def rings_mm(self) -> tuple[Array, ...]:
        """The flattened rings on the board. [mm]"""
        return tuple(points_mm(self.placed, ring) for ring in self.flat.rings)

    @cached_property
    def region_mm(self) -> Region:
        """The groove's area on the board. [mm]"""
        return region_of_flat(Flat(self.rings_mm, self.flat.sources, self.flat.breaks))


@dataclass(frozen=True, slots=True)
class Counter:
    """An island of wood in a groove, in the outline's own unit: its largest inscribed circle."""

    x: float
    y: float
    width: float


@dataclass(frozen=True, slots=True)
class InnerCorner:
    """A corner of wood that points into a groove, and its angle seen from above. In the outline's own unit."""

    x: float
    y: float
    wood_deg: float


def counters(outline: Outline, tolerance: float) -> tuple[Counter, ...]:
    """The islands of wood in an outline. tolerance is in its own unit, > 0."""
    return tuple(Counter(*fact) for fact in _known("counters", outline, tolerance, _counters))


def inner_corners(outline: Outline, tolerance: float) -> tuple[InnerCorner, ...]:
    """The true corners where wood points into the groove at less than a right angle."""
    return tuple(InnerCorner(*fact) for fact in _known("inner_corners", outline, tolerance, _inner_corners))


def finer_than(outline: Outline, finest: float) -> Point | None:
    """Where an outline has parts narrower than finest (its own unit) that are more than corners; None: it has not."""
    return next(((x, y) for x, y in _known("finer_than", outline, finest, _finer_than)), None)


def narrow_wood(outline: Outline, least: float) -> Point | None:
    """Where wood narrower than least (its own unit) stands between two parts of one outline; None: nowhere.

    Corners of wood, which every crotch has, and wood that stands no farther than it is broad are left out.
    """
    return next(((x, y) for x, y in _known("narrow_wood", outline, least, _narrow_wood)), None)


Facts = Sequence[tuple[float, ...]]
"""Facts of one kind as numbers: of each its place and, where it has one, its measure."""


def _known(kind: str, outline: Outline, measure: float, ask: Callable[[Outline, float], Facts]) -> Facts:
    """What was once found of an outline with this measure, kept from run to run."""
    return keep().remembered(
        kind,
        (outline.digest, measure),
        partial(ask, outline, measure),
        version=VERSION,
        pack=pack_json,
        unpack=lambda packed: [tuple(map(float, fact)) for fact in unpack_json(packed)],
    )


def _counters(outline: Outline, tolerance: float) -> Facts:
    found = []
    for ring in flatten(outline, tolerance).rings:
        hole = shapely.Polygon(ring)
        if not hole.exterior.is_ccw and hole.is_valid:
            circle = shapely.maximum_inscribed_circle(hole, tolerance)
            x, y = circle.coords[0]
            found.append((x, y, 2 * float(circle.length)))
    return found


def _inner_corners(outline: Outline, tolerance: float) -> Facts:
    if not outline:
        return []
    flat = flatten(outline, tolerance)
    least = LEG * max(outline.bounds.width, outline.bounds.height)
    found = []
    for ring, breaks in zip(flat.rings, flat.breaks, strict=True):
        after = np.roll(ring, -1, axis=0) - ring
        length = np.hypot(after[:, 0], after[:, 1])
        for i in np.flatnonzero(breaks < -90):
            if min(length[i], length[i - 1]) >= least:
                found.append((float(ring[i, 0]), float(ring[i, 1]), 180 + float(breaks[i])))
    return found


def _finer_than(outline: Outline, finest: float) -> Facts:
    region = region_of(outline, finest / 20)
    opened = shapely.buffer(shapely.buffer(region, -finest / 2, quad_segs=4), finest / 2 * 1.02, quad_segs=4)
    return _largest(shapely.difference(region, opened), DETAIL * finest**2)


def _narrow_wood(outline: Outline, least: float) -> Facts:
    region = region_of(outline, least / 20)
    closed = shapely.buffer(shapely.buffer(region, least / 2, quad_segs=4), -least / 2 * 1.02, quad_segs=4)
    return _largest(shapely.difference(closed, region), WOOD * least**2)


def _largest(left: BaseGeometry, least_area: float) -> Facts:
    """A point in the largest part of what is left, if one has more than this area."""
    parts = [part for part in getattr(left, "geoms", [left]) if part.area > least_area]
    if not parts:
        return []
    middle = max(parts, key=lambda part: float(part.area)).representative_point()
    return [(float(middle.x), float(middle.y))]


def _thinnest(groove: Groove) -> tuple[float, Point]:
    """The least width along the parallel runs of the centre lines, and where."""
    best, at = math.inf, (0.0, 0.0)
    for line in groove.lines:
        if line.kind != "centre":
            continue
        step = np.hypot(*np.diff(line.points, axis=0).T)
        along = np.concatenate([[0.0], np.cumsum(step)])
        for start, end in line.parallel:
            places = np.concatenate([[(start + end) / 2], along[(along >= start) & (along <= end)]])
            widths = 2 * np.interp(places, along, line.half_width_mm)
            least = int(np.argmin(widths))
            if widths[least] < best:
                best = float(widths[least])
                x, y = (float(np.interp(places[least], along, line.points[:, axis])) for axis in (0, 1))
                at = (x, y)
    return best, at


def _edge_heights(roof: Roof) -> Array:
    """The greatest height of each edge's wall, in the outline's own unit. (m,)"""
    return np.array([float(roof.heights[face].max()) for face in roof.faces])
