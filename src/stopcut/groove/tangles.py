"""Rings that touch or cross: finding them, exactly, and leading them apart.

Coordinates are on a grid fine enough for letters and coarse enough that the tests' products are exact in doubles.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from stopcut.arrays import Array, Indices
from stopcut.shape.flat import Flat

__all__ = ["is_tangled", "untangled"]


BLOCK = 1 << 18
"""Edge pairs tested at a time. Our choice: a few megabytes."""


def is_tangled(rings: Sequence[Array]) -> bool:
    """Whether any two edges share more than the vertex between neighbours, or rings lie in each other the wrong way.

    Exact for coordinates on the grid. The right way: an anticlockwise ring within nothing or a clockwise one, and a
    clockwise ring within an anticlockwise one.
    """
    if not rings:
        return False
    start = np.concatenate(rings)
    end = np.concatenate([np.roll(ring, -1, axis=0) for ring in rings])
    sizes = np.array([len(ring) for ring in rings])
    first = np.repeat(np.cumsum(sizes) - sizes, sizes)
    number = np.arange(len(start))
    after = first + (number - first + 1) % np.repeat(sizes, sizes)
    if _folds_back(start, end, after) or (sizes < 3).any():
        return True
    if any(_any_shared(start, end, after, i, j) for i, j in _near_pairs(start, end)):
        return True
    return _misplaced(rings)


def _misplaced(rings: Sequence[Array]) -> bool:
    """Whether any of these rings, which share no point, goes round something that it should not."""
    ways = np.array([float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) > 0 for x, y in (r.T for r in rings)])
    if len(rings) == 1:
        return not ways[0]
    firsts = np.array([ring[0] for ring in rings])
    around = np.zeros(len(rings), dtype=np.int64)
    for i, ring in enumerate(rings):
        around += np.where(np.arange(len(rings)) == i, 0, _winding([ring], firsts))
    return bool((around != np.where(ways, 0, 1)).any())


def _folds_back(start: Array, end: Array, after: Indices) -> bool:
    u, v = end - start, end[after] - start[after]
    return bool(((u[:, 0] * v[:, 1] == u[:, 1] * v[:, 0]) & ((u * v).sum(axis=1) <= 0)).any())


def _near_pairs(start: Array, end: Array) -> list[tuple[Indices, Indices]]:
    """Blocks of pairs i, j of edges whose spans in x overlap, each pair once."""
    low, high = np.minimum(start[:, 0], end[:, 0]), np.maximum(start[:, 0], end[:, 0])
    order = np.argsort(low, kind="stable")
    upto = np.searchsorted(low[order], high[order], side="right")
    counts = upto - np.arange(len(order)) - 1
    blocks = []
    at = 0
    while at < len(order):
        stop = at + max(1, int(np.searchsorted(np.cumsum(counts[at:]), BLOCK, side="right")))
        n = counts[at:stop]
        one = np.repeat(np.arange(at, min(stop, len(order))), n)
        other = one + 1 + np.arange(len(one)) - np.repeat(np.cumsum(n) - n, n)
        blocks.append((order[one], order[other]))
        at = stop
    return blocks


def _any_shared(start: Array, end: Array, after: Indices, i: Indices, j: Indices) -> bool:
    boxes = np.minimum(start[:, 1], end[:, 1]), np.maximum(start[:, 1], end[:, 1])
    near = (boxes[0][i] <= boxes[1][j]) & (boxes[0][j] <= boxes[1][i]) & (after[i] != j) & (after[j] != i)
    i, j = i[near], j[near]
    a, b, c, d = start[i], end[i], start[j], end[j]
    across_i = _side(a, b, c) * _side(a, b, d)
    across_j = _side(c, d, a) * _side(c, d, b)
    return bool(((across_i <= 0) & (across_j <= 0)).any())


def _side(a: Array, b: Array, p: Array) -> Array:
    side: Array = np.sign((b[:, 0] - a[:, 0]) * (p[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (p[:, 0] - a[:, 0]))
    return side


def untangled(flat: Flat, grid: float) -> Flat:
    """The area that flat's rings go round (anticlockwise at least once more than clockwise), in rings led apart.

    Every edge takes the source of the old edge nearest to its middle; new vertices have the turn of their chords as
    break. Rings may still touch at vertices, but only from outside: nothing that is inside is pinched to a point.
    """
    import shapely  # a tangle is rare, and importing takes as long as twenty letters

    lines = shapely.MultiLineString([np.vstack((ring, ring[:1])).tolist() for ring in flat.rings])
    noded = shapely.unary_union(lines, grid_size=grid)
    cells = shapely.get_parts(shapely.polygonize(shapely.get_parts(noded)))
    if not len(cells):
        return Flat((), (), ())
    middles = shapely.get_coordinates(shapely.point_on_surface(cells))
    inside = cells[_winding(flat.rings, middles) > 0]
    rings: list[Array] = []
    for part in shapely.get_parts(shapely.union_all(inside, grid_size=grid)):
        if part.geom_type == "Polygon":
            turned = shapely.geometry.polygon.orient(part)
            rings += [shapely.get_coordinates(ring)[:-1] for ring in (turned.exterior, *turned.interiors)]
    return _with_sources(_led_apart(rings), flat)


def _winding(rings: Sequence[Array], points: Array) -> Indices:
    """How often the rings go anticlockwise round each point."""
    count = np.zeros(len(points), dtype=np.int64)
    for ring in rings:
        a, b = ring, np.roll(ring, -1, axis=0)
        y = points[:, 1:2]
        left = (b[:, 0] - a[:, 0]) * (y - a[:, 1]) - (points[:, :1] - a[:, 0]) * (b[:, 1] - a[:, 1])
        up = (a[:, 1] <= y) & (b[:, 1] > y) & (left > 0)
        down = (a[:, 1] > y) & (b[:, 1] <= y) & (left < 0)
        count += up.sum(axis=1) - down.sum(axis=1)
    return count


def _led_apart(rings: Sequence[Array]) -> list[Array]:
    """Where several ring vertices are one point, each edge that goes out is led from the one that comes in next to it.

    Next to it is next anticlockwise: the wavefront's rule for a node, at the start of time.
    """
    points = [(float(x), float(y)) for ring in rings for x, y in ring]
    following: list[int] = []
    before: list[int] = []
    for ring in rings:
        first = len(following)
        following += [first + (i + 1) % len(ring) for i in range(len(ring))]
        before += [first + (i - 1) % len(ring) for i in range(len(ring))]
    visits: dict[tuple[float, float], list[int]] = {}
    for v, point in enumerate(points):
        visits.setdefault(point, []).append(v)
    for point, here in visits.items():
        if len(here) > 1:
            rays = [(_angle(point, points[following[v]]), 0, v) for v in here]
            rays += [(_angle(point, points[before[v]]), 1, before[v]) for v in here]
            rays.sort()
            for (_, goes, v), (_, comes, u) in zip(rays, rays[1:] + rays[:1], strict=True):
                if (goes, comes) == (0, 1):
                    following[u] = v
    return [np.array([points[v] for v in loop]) for loop in _loops(following)]


def _angle(here: tuple[float, float], there: tuple[float, float]) -> float:
    return math.atan2(there[1] - here[1], there[0] - here[0])


def _loops(following: list[int]) -> list[list[int]]:
    loops = []
    seen: set[int] = set()
    for first in range(len(following)):
        loop = []
        v = first
        while v not in seen:
            seen.add(v)
            loop.append(v)
            v = following[v]
        if len(loop) >= 3:
            loops.append(loop)
    return loops


def _with_sources(rings: Sequence[Array], flat: Flat) -> Flat:
    start = np.concatenate(flat.rings)
    step = np.concatenate([np.roll(ring, -1, axis=0) for ring in flat.rings]) - start
    source, breaks = np.concatenate(flat.sources), np.concatenate(flat.breaks)
    known = {(float(x), float(y)): float(turn) for (x, y), turn in zip(start, breaks, strict=True)}
    sources, turns = [], []
    for ring in rings:
        after, before = np.roll(ring, -1, axis=0) - ring, ring - np.roll(ring, 1, axis=0)
        sources.append(source[_nearest(ring + after / 2, start, step)])
        turn = np.degrees(
            np.arctan2(before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0], (before * after).sum(axis=1))
        )
        turns.append(np.array([known.get((float(x), float(y)), t) for (x, y), t in zip(ring, turn, strict=True)]))
    return Flat(tuple(rings), tuple(sources), tuple(turns))


def _nearest(points: Array, start: Array, step: Array) -> Indices:
    """For each point the edge (start, start + step) nearest to it."""
    square = np.maximum((step**2).sum(axis=1), np.finfo(float).tiny)
    nearest = np.empty(len(points), dtype=np.int64)
    for i, point in enumerate(points):
        t = np.clip(((point - start) * step).sum(axis=1) / square, 0, 1)
        nearest[i] = int(((point - start - t[:, None] * step) ** 2).sum(axis=1).argmin())
    return nearest
