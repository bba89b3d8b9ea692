"""Rays over the carved surface: what stands between a point in a groove and the light, followed from face to face.

All rays of one call run the same way in plan, so the planar map is turned once until they run along an axis u; every
edge then says, as linear functions of a ray's place v across that axis, where it is crossed and how deep. A ray begins
on its own face and each step takes it over the nearest edge by which it can leave, until it is out of the groove. The
surface between two crossings is one plane (or two that meet at a hollow, with a flat bottom), so what happens at the
crossings is all that can happen: no steps to choose, no bias, exact up to rounding.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from stopcut.arrays import Array, Flags, Indices
from stopcut.light.wall_map import GROUND, Spots, WallMap

__all__ = ["RayStep", "in_sight", "steps"]


BACKWARD_MM = 1e-9
"""How far behind a ray's place a crossing may lie and still be ahead of it. [mm] Rounding moves crossings by about
1e-12 on a board; no groove has detail of 1e-9."""

SUNK_MM = 1e-9
"""How much higher than the ray the surface must be to stop it. [mm] As above: the ray's own wall must not."""


@dataclass(frozen=True, eq=False)
class RayStep:
    """One step of some rays over one face each.

    ray (n,) says which rays; face (n,) what they cross; enters and leaves (n, 2) how far in plan they have run where
    they come onto it and where they go off it, and how deep the surface is there. [mm]
    """

    ray: Indices
    face: Indices
    enters: Array
    leaves: Array


def in_sight(walls: WallMap, spots: Spots, azimuth_deg: float, slope: float) -> Flags:
    """Whether spots can be seen from far off, over all the edges on the way.

    azimuth_deg is the way to look, anticlockwise from the board's right; slope the tangent of the elevation, ≥ 0. What
    lies on a wall that faces the other way is hidden by that wall.
    """
    seen = np.ones(len(spots), dtype=bool)
    going = np.ones(len(spots), dtype=bool)
    for step in steps(walls, spots, azimuth_deg, going):
        still_below = spots.depth_mm[step.ray] - step.leaves[:, 0] * slope
        hidden = step.leaves[:, 1] < still_below - SUNK_MM
        seen[step.ray[hidden]] = False
        going[step.ray[hidden | (still_below <= 0)]] = False
    return seen


def steps(walls: WallMap, spots: Spots, azimuth_deg: float, going: Flags) -> Iterator[RayStep]:
    """Follow rays from spots, face to face, all rays a step at a time.

    A ray ends at the rim of its groove, or when the caller has cleared its flag in going (n,).
    """
    turned = _Turned.of(walls, azimuth_deg)
    cos, sin = math.cos(math.radians(azimuth_deg)), math.sin(math.radians(azimuth_deg))
    start, across = spots.x_mm * cos + spots.y_mm * sin, turned.within(spots.face, spots.y_mm * cos - spots.x_mm * sin)
    ray, face = np.arange(len(spots)), spots.face
    enters = np.stack([np.zeros(len(spots)), spots.depth_mm], axis=1)
    while len(ray):
        goes, edge, place = turned.leave(face, across[ray], start[ray] + enters[:, 0])
        ray, face = ray[goes], face[goes]
        leaves = np.empty((len(ray), 2))
        leaves[:, 0] = place - start[ray]
        depth = turned.depth[edge] + (across[ray] - turned.start[edge]) * turned.depth_per_mm[edge]
        np.minimum(depth, walls.flats[face], out=leaves[:, 1])
        yield RayStep(ray, face, enters[goes], leaves)
        onto = turned.onto[edge]
        still = np.flatnonzero((onto != GROUND) & going[ray])
        ray, face, enters = ray[still], onto[still], leaves[still]


@dataclass(frozen=True, eq=False)
class _Turned:
    """The planar map as rays along one azimuth meet it: edges sorted by the face they are left from.

    first (f + 1,): where each face's edges begin. Per edge: low and high, the places across the rays it spans (half-
    open, so that a ray through a corner leaves by one edge only); start, one end of that span; place and depth there,
    and what they change for every mm across; onto, the face behind it.
    """

    first: Indices
    low: Array
    high: Array
    start: Array
    place: Array
    place_per_mm: Array
    depth: Array
    depth_per_mm: Array
    onto: Indices

    @classmethod
    def of(cls, walls: WallMap, azimuth_deg: float) -> _Turned:
        cos, sin = math.cos(math.radians(azimuth_deg)), math.sin(math.radians(azimuth_deg))
        u0, v0 = _along(walls.starts, cos, sin), _along(walls.starts, -sin, cos)
        u1, v1 = _along(walls.ends, cos, sin), _along(walls.ends, -sin, cos)
        # An edge that runs towards lower v is crossed from its right to its left.
        to_left = v1 < v0
        source, onto = np.where(to_left, walls.right, walls.left), np.where(to_left, walls.left, walls.right)
        order = np.flatnonzero((v1 != v0) & (source != GROUND))
        order = order[np.argsort(source[order], kind="stable")]
        u0, v0, u1, v1, source = u0[order], v0[order], u1[order], v1[order], source[order]
        d0, d1 = walls.start_depths[order], walls.end_depths[order]
        with np.errstate(over="ignore"):  # edges that rays run along, which hardly any ray meets
            lean, fall = (u1 - u0) / (v1 - v0), (d1 - d0) / (v1 - v0)
        return cls(
            first=np.searchsorted(source, np.arange(walls.size + 1)),
            low=np.minimum(v0, v1),
            high=np.maximum(v0, v1),
            start=v0,
            place=u0,
            place_per_mm=lean,
            depth=d0,
            depth_per_mm=fall,
            onto=onto[order],
        )

    def within(self, face: Indices, across: Array) -> Array:
        """Places across, moved onto the faces' own span where a spot lies on a face's very edge or corner."""
        source = np.repeat(np.arange(len(self.first) - 1), np.diff(self.first))
        low, high = np.full(len(self.first) - 1, np.inf), np.full(len(self.first) - 1, -np.inf)
        np.minimum.at(low, source, self.low)
        np.maximum.at(high, source, self.high)
        return np.clip(across, low[face], np.nextafter(high, -np.inf)[face])

    def leave(self, face: Indices, across: Array, at: Array) -> tuple[Indices, Indices, Array]:
        """For rays at a place on faces: which of them leave, by which edge, and where."""
        first = self.first[face]
        count = self.first[face + 1] - first
        ray = np.repeat(np.arange(len(face)), count)
        ends = np.cumsum(count)
        edge = np.arange(len(ray)) + np.repeat(first - ends + count, count)
        v = across[ray]
        spans = np.flatnonzero((self.low[edge] <= v) & (v < self.high[edge]))
        ray, edge, v = ray[spans], edge[spans], v[spans]
        place = self.place[edge] + (v - self.start[edge]) * self.place_per_mm[edge]
        ahead = np.flatnonzero(place >= at[ray] - BACKWARD_MM)
        ray, edge, place = ray[ahead], edge[ahead], place[ahead]
        again = ray[1:] == ray[:-1]
        if again.any():  # a face that is not convex may be left twice: the nearer way counts
            order = np.lexsort((place, ray))
            ray, edge, place = ray[order], edge[order], place[order]
            nearest = np.append(True, ray[1:] != ray[:-1])
            ray, edge, place = ray[nearest], edge[nearest], place[nearest]
        return ray, edge, place


def _along(points: Array, cos: float, sin: float) -> Array:
    out: Array = points[:, 0] * cos + points[:, 1] * sin
    return out
