"""Chains: single edges of the roof strung together into lines, split where lines meet."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from stopcut.arrays import Array
from stopcut.groove.surface import LineKind, Roof

__all__ = ["BOTTOMS", "Chain", "chains", "distances", "joined"]


BOTTOMS: tuple[LineKind, ...] = ("centre", "corner")
"""The kinds of line that run along the groove's bottom."""
MEET = 1e-3
"""Lines that meet nearer to each other than this meet in one point. [deepest half-widths] Our choice: 5 μm on a stem of
10 mm."""


@dataclass(frozen=True, eq=False)
class Chain:
    """A run of roof edges of one kind.

    points (k, 2) and heights (k,) along it; ends are the numbers of its first and last node (equal for a loop), below
    0 for a place between nodes; first and last are the numbers of its end edges, -1 at such a place; deepest is its
    shape's deepest half-width.
    """

    kind: LineKind
    points: Array
    heights: Array
    ends: tuple[int, int]
    first: int
    last: int
    deepest: float

    @property
    def length(self) -> float:
        """Along the chain."""
        return float(distances(self.points)[-1])

    def turned(self) -> Chain:
        """The same chain the other way round."""
        return Chain(
            self.kind, self.points[::-1], self.heights[::-1], self.ends[::-1], self.last, self.first, self.deepest
        )


def distances(points: Array) -> Array:
    """The distance along a line at each of its points, from 0."""
    steps = np.diff(points, axis=0)
    out: Array = np.concatenate([[0.0], np.cumsum(np.hypot(steps[:, 0], steps[:, 1]))])
    return out


def chains(roof: Roof, kinds: Sequence[LineKind | None], deepest: Sequence[float]) -> list[Chain]:
    """All edges that have a kind as chains; deepest has for each node the deepest half-width of its shape.

    Arrises do not split the lines that carry the groove's bottom. Nodes too near each other to tell apart are one.
    """
    arcs, tiny = _contracted(roof, kinds, MEET * min(deepest))
    out: list[Chain] = []
    for group in (BOTTOMS, ("arris",)):
        at: dict[int, list[int]] = {}
        for i, (a, b) in enumerate(arcs):
            if kinds[i] in group and i not in tiny:
                at.setdefault(a, []).append(i)
                at.setdefault(b, []).append(i)
        out += [_chain(roof, kinds, deepest, *run) for run in _walks(arcs, kinds, at)]
    return out


def _contracted(roof: Roof, kinds: Sequence[LineKind | None], least: float) -> tuple[list[list[int]], set[int]]:
    """The edges' nodes with those less than least apart made one, and the edges that this leaves without length."""
    arcs: list[list[int]] = roof.arcs.tolist()
    step = roof.nodes[roof.arcs[:, 1]] - roof.nodes[roof.arcs[:, 0]]
    short: list[int] = np.flatnonzero(np.hypot(step[:, 0], step[:, 1]) < least).tolist()
    tiny = {i for i in short if kinds[i] in BOTTOMS}
    same: dict[int, int] = {}

    def root(node: int) -> int:
        while node in same:
            node = same[node]
        return node

    for i in tiny:
        a, b = root(arcs[i][0]), root(arcs[i][1])
        if a != b:
            same[max(a, b)] = min(a, b)
    return ([[root(a), root(b)] for a, b in arcs] if same else arcs), tiny


def _walks(
    arcs: Sequence[Sequence[int]], kinds: Sequence[LineKind | None], at: dict[int, list[int]]
) -> Iterable[tuple[list[int], list[int]]]:
    """Nodes and edges of each chain: those with ends first, then the loops."""
    ends = {node for node, edges in at.items() if len(edges) != 2 or kinds[edges[0]] != kinds[edges[1]]}
    used: set[int] = set()
    for start in [*sorted(ends), *sorted(at)]:
        for edge in at[start]:
            if edge not in used:
                nodes, edges = [start], [edge]
                while True:
                    used.add(edges[-1])
                    a, b = arcs[edges[-1]]
                    nodes.append(b if nodes[-1] == a else a)
                    if nodes[-1] in ends or nodes[-1] == start:
                        break
                    edges.append(next(e for e in at[nodes[-1]] if e != edges[-1]))
                yield nodes, edges


def _chain(
    roof: Roof, kinds: Sequence[LineKind | None], deepest: Sequence[float], nodes: list[int], edges: list[int]
) -> Chain:
    kind, ends = kinds[edges[0]], (nodes[0], nodes[-1])
    assert kind is not None
    return Chain(kind, roof.nodes[nodes], roof.heights[nodes], ends, edges[0], edges[-1], deepest[nodes[0]])


def joined(parts: Iterable[Chain]) -> list[Chain]:
    """Chains of one kind put together where just two bottoms (centre lines or mitres) meet end to end."""
    todo = list(parts)
    out: list[Chain] = []
    meeting: dict[int, int] = {}
    for part in todo:
        for end in part.ends:
            if part.kind != "arris":
                meeting[end] = meeting.get(end, 0) + 1
    while todo:
        chain = todo.pop()
        other = None if chain.kind == "arris" or chain.ends[0] == chain.ends[1] else _next(chain, todo, meeting)
        if other is None:
            out.append(chain)
        else:
            todo.remove(other)
            todo.append(_tied(chain, other))
    return out[::-1]


def _next(chain: Chain, others: list[Chain], meeting: dict[int, int]) -> Chain | None:
    for end in chain.ends:
        if meeting[end] == 2:
            for other in others:
                if other.kind == chain.kind and end in other.ends:
                    return other
    return None


def _tied(a: Chain, b: Chain) -> Chain:
    """Two chains that share an end as one."""
    if a.ends[0] in b.ends:
        a = a.turned()
    if b.ends[0] != a.ends[1]:
        b = b.turned()
    return Chain(
        a.kind,
        np.concatenate([a.points, b.points[1:]]),
        np.concatenate([a.heights, b.heights[1:]]),
        (a.ends[0], b.ends[1]),
        a.first,
        b.last,
        a.deepest,
    )
