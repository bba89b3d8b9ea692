"""What lies on either side of a roof's edge: which walls, which corners of the outline, how sharp a bend.

An edge of the roof and the feet of its middle on its two walls cut the shape in two. The part that has fewer corners
and no counter in it says what the edge is: a bend, the way into a corner, or the bottom of a stroke.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from stopcut.arrays import Array, Flags
from stopcut.groove.corners import Corners, Ring
from stopcut.groove.surface import Roof

__all__ = ["LesserSide", "Sides", "pieces", "sides_of", "walls"]


@dataclass(frozen=True, slots=True)
class LesserSide:
    """The lesser side of one bottom edge.

    ring is its ring (-1 where either side holds a counter), marks are the corners on it and near those on the shorter
    way round (their places in the ring's marks); blunt says whether there is part of a blunt end without its middle,
    turn how far the outline turns from foot to foot [degrees], and length how long it is there.
    """

    ring: int
    marks: tuple[int, ...]
    near: tuple[int, ...] = ()
    blunt: bool = False
    turn: float = 0.0
    length: float = 0.0


Sides = dict[int, LesserSide]
"""By the number of the roof's edge."""

_ROUND_COUNTERS = -1
_ALL_TREE = -2


def sides_of(roof: Roof, found: Corners, edges: Iterable[int]) -> Sides:
    """The lesser side of each of these edges, by number."""
    feet: list[list[float]] = _feet(roof, found).tolist()
    rings: list[list[int]] = (np.searchsorted(found.first, roof.arc_faces, side="right") - 1).tolist()
    leaves = _leaves(roof)
    out: Sides = {}
    for edge in edges:
        ring, other = rings[edge]
        leaf = leaves[edge]
        if ring != other or leaf == _ROUND_COUNTERS:
            out[edge] = LesserSide(-1, ())
            continue
        here = found.rings[ring]
        a, b = feet[edge]
        ways = [(a, b), (b, a)]
        if leaf != _ALL_TREE:
            at = float(here.at[leaf - found.first[ring]])
            ways = [way for way in ways if _holds(*way, at)]
        out[edge] = _side(here, ring, ways)
    return out


def _side(here: Ring, ring: int, ways: list[tuple[float, float]]) -> LesserSide:
    """The one of one or two ways round that has fewer corners; of two alike the shorter."""
    known = sorted(((end - start) % here.length, here.between(start, end), start, end) for start, end in ways)
    near = known[0][1]
    length, marks, start, end = min(known, key=lambda way: len(way[1]))
    if marks:
        return LesserSide(ring, marks, near)
    return LesserSide(ring, (), near, here.touched(start, end), here.turned(start, end), length)


def _holds(start: float, end: float, at: float) -> bool:
    """Whether a place lies on the way from start forward to end."""
    return start <= at <= end if start <= end else at >= start or at <= end


def walls(roof: Roof) -> tuple[Array, Flags]:
    """For each edge of the roof the turn from wall to wall [degrees], and whether they face each other."""
    eave = np.array([(loop[0], loop[1]) for loop in roof.faces])
    along = roof.nodes[eave[:, 1]] - roof.nodes[eave[:, 0]]
    along /= np.hypot(along[:, 0], along[:, 1])[:, None]
    normal = np.stack([-along[:, 1], along[:, 0]], axis=1)
    left, right = normal[roof.arc_faces[:, 0]], normal[roof.arc_faces[:, 1]]
    cross = left[:, 0] * right[:, 1] - left[:, 1] * right[:, 0]
    turn = np.degrees(np.arctan2(np.abs(cross), np.einsum("ij,ij->i", left, right)))
    step = roof.nodes[roof.arcs[:, 1]] - roof.nodes[roof.arcs[:, 0]]
    aside = np.stack([-step[:, 1], step[:, 0]], axis=1)
    return turn, np.einsum("ij,ij->i", left - right, aside) < 0


def _feet(roof: Roof, found: Corners) -> Array:
    """How far along its ring the foot of each roof edge's middle is on its left and on its right wall, (m, 2)."""
    eave = np.array([(loop[0], loop[1]) for loop in roof.faces])
    start, along = roof.nodes[eave[:, 0]], roof.nodes[eave[:, 1]] - roof.nodes[eave[:, 0]]
    squared = np.einsum("ij,ij->i", along, along)
    at = np.concatenate([ring.at for ring in found.rings])
    middle = roof.nodes[roof.arcs].mean(axis=1)
    out = np.empty((len(roof.arcs), 2))
    for side in (0, 1):
        face = roof.arc_faces[:, side]
        part = np.einsum("ij,ij->i", middle - start[face], along[face]) / squared[face]
        # Never on the very corner, so that it is clear on which side of it the foot is.
        out[:, side] = at[face] + np.clip(part, 1e-6, 1 - 1e-6) * np.sqrt(squared[face])
    return out


def _leaves(roof: Roof) -> list[int]:
    """For each edge of the roof a vertex of the outline on its side without counters.

    Edges with counters on both sides have _ROUND_COUNTERS, those with none on either _ALL_TREE. The roof's edges are a
    tree but for one round about each counter, so taking off loose ends leaves the rounds.
    """
    arcs: list[list[int]] = roof.arcs.tolist()
    at = _meeting(roof)
    left = [len(edges) for edges in at]
    outer = roof.flat.size
    leaf = [node if node < outer else -1 for node in range(len(at))]
    out = [_ROUND_COUNTERS] * len(arcs)
    loose = [node for node, count in enumerate(left) if count == 1]
    for node in loose:  # grows as ends come loose
        for edge in at[node]:
            if out[edge] == _ROUND_COUNTERS and left[node] == 1:
                out[edge] = leaf[node]
                a, b = arcs[edge]
                other = a if b == node else b
                left[node] -= 1
                left[other] -= 1
                leaf[other] = leaf[node]
                if left[other] == 1:
                    loose.append(other)
    piece = pieces(roof)
    rounds = Counter(piece[a] for a, _ in arcs)
    rounds.subtract(Counter(piece))
    return [_ALL_TREE if rounds[piece[a]] < 0 else told for (a, _), told in zip(arcs, out, strict=True)]


def _meeting(roof: Roof) -> list[list[int]]:
    """The roof's edges that meet at each node."""
    at: list[list[int]] = [[] for _ in roof.nodes]
    for edge, (a, b) in enumerate(roof.arcs.tolist()):
        at[a].append(edge)
        at[b].append(edge)
    return at


@lru_cache(maxsize=2)
def pieces(roof: Roof) -> tuple[int, ...]:
    """For each node a number that is the same for all nodes of one connected shape."""
    arcs: list[list[int]] = roof.arcs.tolist()
    at = _meeting(roof)
    out = [-1] * len(at)
    for start in range(len(at)):
        if out[start] < 0:
            out[start] = start
            todo = [start]
            while todo:
                node = todo.pop()
                for edge in at[node]:
                    for other in arcs[edge]:
                        if out[other] < 0:
                            out[other] = start
                            todo.append(other)
    return tuple(out)
