"""The carved surface as a mesh: one watertight sheet of triangles over the outline, the flat bottom cut exactly.

Every wall is a polygon that runs one way along its edge of the outline, so it falls into triangles in one sweep.
Where a flat bottom cuts it off, each triangle is cut at that depth; neighbours share the cut's points, so the sheet
stays whole.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from stopcut.arrays import Array, Indices
from stopcut.groove.surface import Groove, Roof

__all__ = ["Mesh", "mesh", "roof_triangles"]

Triangle = tuple[int, int, int]

SAME_HEIGHT = 1e-9
"""Points this near the flat bottom's height, against the greatest height, lie on it. Our choice: far under what can be
cut, well over rounding."""


@dataclass(frozen=True, eq=False)
class Mesh:
    """Triangles on the board. vertices (n, 3) in mm, z ≤ 0 with the board's face at 0; triangles (m, 3) vertex
    numbers, anticlockwise seen from above."""

    vertices: Array
    triangles: Indices


def mesh(groove: Groove) -> Mesh:
    """The groove's surface: a sheet whose only border is the outline on the board's face."""
    triangles = roof_triangles(groove.roof)
    deep = groove.roof.heights * groove.placed.scale * np.tan(np.radians(groove.wall_deg))
    points = np.column_stack([groove.nodes_mm, -deep])
    if groove.flat_bottom_mm is not None and groove.flat_bottom_mm < deep.max(initial=0.0):
        points, triangles = _cut_off(points, triangles, groove.flat_bottom_mm)
    return Mesh(points, np.array(triangles, dtype=np.int64).reshape(-1, 3))


def roof_triangles(roof: Roof) -> list[Triangle]:
    """All faces as triangles of node numbers, anticlockwise in plan."""
    out: list[Triangle] = []
    for face in roof.faces:
        out += _sweep(face, roof.nodes[face])
    return out


def _sweep(face: Indices, points: Array) -> list[Triangle]:
    """Triangles of one polygon that runs one way along its first edge, given anticlockwise."""
    count = len(face)
    if count == 3:
        return [(int(face[0]), int(face[1]), int(face[2]))]
    along = points[1] - points[0]
    u = points @ along
    v = points @ np.array([-along[1], along[0]])
    keys = list(zip(u.tolist(), v.tolist(), strict=True))
    first, last = min(range(count), key=keys.__getitem__), max(range(count), key=keys.__getitem__)
    lower = [(first + i) % count for i in range((last - first) % count + 1)]
    upper = [(first - i) % count for i in range((first - last) % count + 1)]
    return [
        (int(face[a]), int(face[b]), int(face[c])) for a, b, c in _between(lower, upper, keys) if len({a, b, c}) == 3
    ]


def _between(lower: list[int], upper: list[int], keys: list[tuple[float, float]]) -> list[Triangle]:
    """Triangles between two chains from one end to the other (the classic stack sweep of a monotone polygon)."""
    order = _merged(lower[1:-1], upper[1:-1], keys)
    stack = [(lower[0], True), (order[0][0], order[0][1])]
    out: list[Triangle] = []
    for here, below in order[1:]:
        if stack[-1][1] != below:
            out += [_facing(here, stack[i][0], stack[i + 1][0], below) for i in range(len(stack) - 1)]
            stack = [stack[-1], (here, below)]
        else:
            top = stack.pop()
            while stack and _left(keys[stack[-1][0]], keys[top[0]], keys[here], below):
                out.append(_facing(here, stack[-1][0], top[0], not below))
                top = stack.pop()
            stack += [top, (here, below)]
    end, below = lower[-1], stack[-1][1]
    out += [_facing(end, stack[i][0], stack[i + 1][0], not below) for i in range(len(stack) - 1)]
    return out


def _merged(lower: list[int], upper: list[int], keys: list[tuple[float, float]]) -> list[tuple[int, bool]]:
    """Both chains' inner points in one order along the edge, each chain kept in its own; True for the lower's."""
    out: list[tuple[int, bool]] = []
    i = j = 0
    while i < len(lower) or j < len(upper):
        if j == len(upper) or (i < len(lower) and keys[lower[i]] <= keys[upper[j]]):
            out.append((lower[i], True))
            i += 1
        else:
            out.append((upper[j], False))
            j += 1
    return out


def _left(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float], below: bool) -> bool:
    """Whether the corner a, b, c may be cut off: it lies inside, seen from its chain. Straight ones may."""
    turn = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
    return turn >= 0 if below else turn <= 0


def _facing(here: int, a: int, b: int, swap: bool) -> Triangle:
    """The triangle anticlockwise: a before b along the sweep, here beyond them on the lower or the upper side."""
    return (a, b, here) if not swap else (b, a, here)


def _cut_off(points: Array, triangles: list[Triangle], flat_mm: float) -> tuple[Array, list[Triangle]]:
    """The sheet with everything deeper than flat_mm brought up to it, cut along that depth's contour."""
    near = SAME_HEIGHT * float(-points[:, 2].min())
    level = np.where(np.abs(points[:, 2] + flat_mm) <= near, 0, np.sign(points[:, 2] + flat_mm)).astype(int).tolist()
    cuts: dict[tuple[int, int], int] = {}
    added: list[Array] = []

    def cut(a: int, b: int) -> int:
        edge = (min(a, b), max(a, b))
        if edge not in cuts:
            low, high = points[edge[0]], points[edge[1]]
            cuts[edge] = len(points) + len(added)
            added.append(low + (-flat_mm - low[2]) / (high[2] - low[2]) * (high - low))
        return cuts[edge]

    out = [triangle for triangle in triangles if not any(level[p] for p in triangle)]
    for triangle in triangles:
        for side in (1, -1):
            if any(level[p] == side for p in triangle):
                loop: list[int] = []
                for a, b in zip(triangle, triangle[1:] + triangle[:1], strict=True):
                    loop += [a] if level[a] != -side else []
                    loop += [cut(a, b)] if level[a] * level[b] < 0 else []
                out += [(loop[0], loop[i], loop[i + 1]) for i in range(1, len(loop) - 1)]
    whole = np.concatenate([points, np.array(added).reshape(-1, 3)])
    whole[:, 2] = np.maximum(whole[:, 2], -flat_mm)
    return whole, out
