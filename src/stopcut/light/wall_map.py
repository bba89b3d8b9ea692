"""Walls: every face of a board's grooves as one planar map, for rasters and rays.

A face is the wall that one edge of a flattened outline carries, cut off at the flat bottom where there is one. An edge
of the map is a piece of an outline (ground on its right) or an arc of a roof (a face on either side). Depths over an
edge are linear, so a map of straight edges with their faces says all there is to know of the carved surface. [mm]

Walls under a curve are facets. The light on them is drawn with normals that turn along the curve as the true wall's do
(never across a real corner); what a ray meets is the facets themselves.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np

from stopcut.arrays import Array, Flags, Indices
from stopcut.groove.surface import Groove, Roof

__all__ = ["GROUND", "Spots", "WallMap", "normals", "spots_on", "walls_of"]


GROUND = -1
"""The number of the face that is none: the board's own surface."""

REAL_CORNER_DEG = 6.0
"""A turn of the tangents up to this is read as a smooth joint. [degrees] Our choice: type designers' smooth joints on
a whole-unit grid turn by up to three or so, and real corners by far more."""


@dataclass(frozen=True, eq=False)
class WallMap:
    """The planar map of some grooves. Faces count from 0, groove after groove, in the order of their outlines' edges.

    Per edge of the map (e,): starts, ends (e, 2); start_depths, end_depths, as if no bottom were flat; left and right,
    the faces beside it, GROUND outside. [mm]
    Per face (f,): feet (f, 2), where its outline edge begins; lengths, how long that is; inward (f, 2), the unit vector
    across it into the groove; slopes, depth per mm of distance from it; flats, the depth it goes no deeper than (inf
    without a flat bottom); groove, the number of its groove; swings (f, 2), how far the true wall's normal is turned
    from the facet's at the edge's start and end [radians, anticlockwise]; narrowing (f, 2), how much the facet loses at
    either end for every mm across.
    """

    starts: Array
    ends: Array
    start_depths: Array
    end_depths: Array
    left: Indices
    right: Indices
    feet: Array
    lengths: Array
    inward: Array
    slopes: Array
    flats: Array
    groove: Indices
    swings: Array
    narrowing: Array

    @property
    def size(self) -> int:
        """How many faces there are."""
        return len(self.feet)


@dataclass(frozen=True, eq=False)
class Spots:
    """Spots on the walls: the face each is on and where it lies (n,). Depths are ≥ 0, flat bottoms applied. [mm]"""

    face: Indices
    x_mm: Array
    y_mm: Array
    depth_mm: Array

    def __len__(self) -> int:
        return len(self.face)

    def joined(self, other: Spots) -> Spots:
        """These and others after them."""
        return Spots(*(np.concatenate([getattr(s, field.name) for s in (self, other)]) for field in fields(Spots)))

    def only(self, which: Indices | Flags) -> Spots:
        """Some of the spots, by their numbers or flags."""
        return Spots(self.face[which], self.x_mm[which], self.y_mm[which], self.depth_mm[which])


def walls_of(grooves: Sequence[Groove]) -> WallMap:
    """The planar map of grooves that do not overlap. Grooves without a face (spaces) add nothing."""
    parts, faces = [_no_walls()], 0
    for number, groove in enumerate(grooves):
        if groove.roof.flat.size:
            parts.append(_walls_under(groove, number, faces))
            faces += groove.roof.flat.size
    return WallMap(*(np.concatenate([getattr(part, column.name) for part in parts]) for column in fields(WallMap)))


def spots_on(walls: WallMap, face: Indices, x_mm: Array, y_mm: Array) -> Spots:
    """The spots of the walls under points in plan, for faces that lie there (none of them GROUND)."""
    return Spots(face, x_mm, y_mm, np.minimum(_across(walls, face, x_mm, y_mm) * walls.slopes[face], walls.flats[face]))


def normals(walls: WallMap, spots: Spots, *, blended: bool = True) -> Array:
    """Unit normals out of the board, (n, 3); straight up on a flat bottom.

    With blended they turn along a curve as the true wall's would; otherwise each is its facet's own.
    """
    face = spots.face
    inward = walls.inward[face]
    if blended:
        inward = _turned(inward, _swing_at(walls, spots))
    slope = np.where(spots.depth_mm < walls.flats[face], walls.slopes[face], 0.0)
    up = 1 / np.sqrt(1 + slope * slope)
    out = np.empty((len(face), 3))
    out[:, :2] = inward * (slope * up)[:, None]
    out[:, 2] = up
    return out


def _across(walls: WallMap, face: Indices, x: Array, y: Array) -> Array:
    """Distance from the face's outline edge. [mm]"""
    feet, inward = walls.feet[face], walls.inward[face]
    return (x - feet[:, 0]) * inward[:, 0] + (y - feet[:, 1]) * inward[:, 1]


def _swing_at(walls: WallMap, spots: Spots) -> Array:
    """How far the true normal is turned from the facet's: linear between the facet's two ends at that distance."""
    face = spots.face
    feet, inward = walls.feet[face], walls.inward[face]
    along = (spots.x_mm - feet[:, 0]) * inward[:, 1] - (spots.y_mm - feet[:, 1]) * inward[:, 0]
    lost = walls.narrowing[face] * _across(walls, face, spots.x_mm, spots.y_mm)[:, None]
    width = np.maximum(walls.lengths[face] - lost[:, 0] - lost[:, 1], 1e-12)
    part = np.clip((along - lost[:, 0]) / width, 0.0, 1.0)
    swings = walls.swings[face]
    return swings[:, 0] + (swings[:, 1] - swings[:, 0]) * part


def _turned(vectors: Array, angles: Array) -> Array:
    cos, sin = np.cos(angles), np.sin(angles)
    x, y = vectors[:, 0], vectors[:, 1]
    return np.stack([x * cos - y * sin, x * sin + y * cos], axis=1)


def _no_walls() -> WallMap:
    one, two, whole = np.empty(0), np.empty((0, 2)), np.empty(0, dtype=np.int64)
    return WallMap(two, two, one, one, whole, whole, two, one, two, one, one, whole, two, two)


def _walls_under(groove: Groove, number: int, first: int) -> WallMap:
    """One groove's part of the map; first is the number of its first face."""
    roof, slope = groove.roof, math.tan(math.radians(groove.wall_deg))
    # A roof's nodes begin with the outline's vertices, so a face's number is that of the node where its edge begins.
    count = roof.flat.size
    face, after = np.arange(count), _after(roof)
    from_, to = np.concatenate([face, roof.arcs[:, 0]]), np.concatenate([after, roof.arcs[:, 1]])
    nodes, depths = groove.nodes_mm, roof.heights * (groove.placed.scale * slope)
    along = nodes[after] - nodes[face]
    lengths = np.hypot(along[:, 0], along[:, 1])
    along = along / lengths[:, None]
    swings, narrowing = _bends(roof, along, lengths, after)
    return WallMap(
        starts=nodes[from_],
        ends=nodes[to],
        start_depths=depths[from_],
        end_depths=depths[to],
        left=np.concatenate([face, roof.arc_faces[:, 0]]) + first,
        right=np.concatenate([np.full(count, GROUND), roof.arc_faces[:, 1] + first]),
        feet=nodes[face],
        lengths=lengths,
        inward=np.stack([-along[:, 1], along[:, 0]], axis=1),
        slopes=np.full(count, slope),
        flats=np.full(count, math.inf if groove.flat_bottom_mm is None else groove.flat_bottom_mm),
        groove=np.full(count, number),
        swings=swings,
        narrowing=narrowing,
    )


def _after(roof: Roof) -> Indices:
    """For each vertex of the outline, the next one round its ring."""
    after, first = np.arange(1, roof.flat.size + 1), 0
    for ring in roof.flat.rings:
        after[first + len(ring) - 1] = first
        first += len(ring)
    return after


def _bends(roof: Roof, along: Array, lengths: Array, after: Indices) -> tuple[Array, Array]:
    """Walls.swings and Walls.narrowing.

    The turn at a smooth joint is shared between the two facets by their lengths, as on a circle; beside a straight
    piece, the curve's takes all of it. A straight segment stays one edge when flattened, so an edge that shares its
    segment is of a curve.
    """
    source, breaks = np.concatenate(roof.flat.sources), np.concatenate(roof.flat.breaks)
    same = source == source[after]
    curved = same.copy()
    curved[after] |= same
    onward = along[after]
    # What is turned at the end of each edge.
    turn = np.arctan2(along[:, 0] * onward[:, 1] - along[:, 1] * onward[:, 0], (along * onward).sum(axis=1))
    eased = np.where(np.abs(breaks[after]) < REAL_CORNER_DEG, turn, 0.0)
    share = np.where(curved == curved[after], lengths / (lengths + lengths[after]), np.where(curved, 1.0, 0.0))
    swings, narrowing = np.empty((2, len(along), 2))
    swings[:, 1], swings[after, 0] = share * eased, (share - 1) * eased
    narrowing[:, 1] = narrowing[after, 0] = np.tan(turn / 2)
    return swings, narrowing
