"""How thick an outline is where: the largest disc inside it that touches each point of its edge.

Points are sampled along every ring. The disc that touches the edge at p from inside and passes another edge point q
has the radius |q − p|² / (2 n·(q − p)), n the normal that points in; the least of them is the largest disc that fits.
Where two edges run side by side its radius is half the stroke's width; towards a corner it shrinks to nothing, which
is why each sample also says how its two edges lean and how far round the corner they meet (`fold`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely

from stopcut.arrays import Array, Indices
from stopcut.shape.outline import Outline, Segment

__all__ = ["Thickness", "thickness"]

AT_A_TIME = 4096
"""Samples whose neighbours are asked for at a time. Our choice: some 50 MB, however large the letter."""


@dataclass(frozen=True, eq=False)
class Thickness:
    """The samples of an outline's edge, ring after ring, and the disc at each.

    points (n, 2); out (n, 2) unit normals that point out of the shape; ring, segment (n,) which contour and which
    segment (in Outline.segments' order) each lies on; arc (n,) its distance along its ring, length (rings,) the
    rings' lengths. radius (n,) of the largest disc that touches there, inf where it is above the limit asked for;
    other (n,) the sample that it touches across, -1 where there is none.
    """

    points: Array
    out: Array
    ring: Indices
    segment: Indices
    arc: Array
    length: Array
    radius: Array
    other: Indices

    @property
    def lean_deg(self) -> Array:
        """The angle between the two edges that each disc touches, 0 where they run side by side; nan without one."""
        across = np.where(self.other >= 0, self.other, 0)
        dot = np.einsum("ij,ij->i", self.out, -self.out[across])
        lean: Array = np.where(self.other >= 0, np.degrees(np.arccos(np.clip(dot, -1, 1))), np.nan)
        return lean

    @property
    def fold(self) -> Array:
        """Half the way along the edge from each sample to the one across, where that way is thin all along; else inf.

        It is how far the sample lies from the tip of a thin end; between two thick parts there is no such way.
        """
        thick = ~np.isfinite(self.radius)
        fold = np.full(len(self.radius), np.inf)
        for ring, length in enumerate(self.length):
            here = np.flatnonzero(self.ring == ring)
            if not len(here):
                continue
            first, count = here[0], np.concatenate([[0], np.cumsum(thick[here])])
            mine = here[(self.other[here] >= first) & (self.other[here] <= here[-1]) & ~thick[here]]
            low, high = np.minimum(mine, self.other[mine]), np.maximum(mine, self.other[mine])
            way = self.arc[high] - self.arc[low]
            between = count[high - first + 1] - count[low - first]
            inner = np.where(between == 0, way, np.inf)
            outer = np.where(count[-1] - between == 0, length - way, np.inf)
            fold[mine] = np.minimum(inner, outer) / 2
        return fold


def thickness(outline: Outline, step: float, limit: float, *, wood: bool = False) -> Thickness:
    """Sample a clean outline every step or closer and fit the discs, up to a radius of limit (same unit, > 0).

    With wood the discs lie outside the shape: in the wood that is left between its parts, counters included. The
    radius is right to about step² / (16 · radius).
    """
    points, out, ring, segment, arc, length = _samples(outline, step)
    radius, other = _discs(points, out if wood else -out, limit)
    return Thickness(points, -out if wood else out, ring, segment, arc, length, radius, other)


def _samples(outline: Outline, step: float) -> tuple[Array, Array, Indices, Indices, Array, Array]:
    points, out, rings, numbers, arcs, lengths = [], [], [], [], [], []
    number = 0
    for ring, contour in enumerate(outline.contours):
        along = 0.0
        for segment in contour.segments:
            place, normal, pieces = _sampled(segment, step)
            points.append(place)
            out.append(normal)
            arcs.append(along + np.cumsum(pieces) - pieces / 2)
            numbers += [number] * len(place)
            rings += [ring] * len(place)
            along += float(pieces.sum())
            number += 1
        lengths.append(along)
    if not points:
        empty = np.empty((0, 2))
        none = np.empty(0, dtype=np.int64)
        return empty, empty, none, none, np.empty(0), np.empty(0)
    return (
        np.concatenate(points),
        np.concatenate(out),
        np.array(rings, dtype=np.int64),
        np.array(numbers, dtype=np.int64),
        np.concatenate(arcs),
        np.array(lengths),
    )


def _sampled(segment: Segment, step: float) -> tuple[Array, Array, Array]:
    """Points in the middle of equal parts of a segment, the normals that point out, and the parts' lengths."""
    control = np.asarray(segment, dtype=float)
    reach = float(np.hypot(*np.diff(control, axis=0).T).sum())
    if reach == 0:
        return np.empty((0, 2)), np.empty((0, 2)), np.empty(0)
    parts = max(1, math.ceil(reach / step))
    ends = _curve(control, np.linspace(0, 1, parts + 1))
    t = (np.arange(parts) + 0.5) / parts
    tangent = _curve(np.diff(control, axis=0), t)
    size = np.hypot(tangent[:, 0], tangent[:, 1])
    chord = np.diff(ends, axis=0)
    pieces: Array = np.hypot(chord[:, 0], chord[:, 1])
    tangent = np.where(size[:, None] > 0, tangent, chord)
    tangent /= np.maximum(np.hypot(tangent[:, 0], tangent[:, 1]), 1e-300)[:, None]
    return _curve(control, t), np.column_stack([tangent[:, 1], -tangent[:, 0]]), pieces


def _curve(control: Array, t: Array) -> Array:
    n = len(control) - 1
    weights = np.array([math.comb(n, i) * t**i * (1 - t) ** (n - i) for i in range(n + 1)])
    placed: Array = weights.T @ control
    return placed


def _discs(points: Array, inward: Array, limit: float) -> tuple[Array, Indices]:
    """The least disc at each point among those through a neighbour nearer than the largest disc asked for."""
    radius = np.full(len(points), np.inf)
    other = np.full(len(points), -1, dtype=np.int64)
    if not len(points):
        return radius, other
    geometry = np.asarray(shapely.points(points))
    tree = shapely.STRtree(geometry)
    for first in range(0, len(points), AT_A_TIME):
        here, there = tree.query(geometry[first : first + AT_A_TIME], predicate="dwithin", distance=2 * limit)
        here += first
        apart = points[there] - points[here]
        square = np.einsum("ij,ij->i", apart, apart)
        rise = np.einsum("ij,ij->i", inward[here], apart)
        ahead = rise > 1e-9 * np.sqrt(square)  # what lies beside or behind bounds no disc
        here, there = here[ahead], there[ahead]
        size = square[ahead] / (2 * rise[ahead])
        small = size <= limit
        here, there, size = here[small], there[small], size[small]
        order = np.lexsort((size, here))
        at, least = np.unique(here[order], return_index=True)
        radius[at] = size[order][least]
        other[at] = there[order][least]
    return radius, other
