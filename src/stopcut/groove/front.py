"""The wavefront at one moment: its edges, the vertices between them and where they run.

Lists run in step, one entry an edge or one a vertex ever born, because that is what plain Python is quickest at. What
happens to the front, and when, is stopcut.groove.wavefront's.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from stopcut.arrays import Array
from stopcut.shape.outline import Point

__all__ = ["MOVING_ALONG", "NEAR", "NEVER", "Front", "Skeleton"]

NEAR = 1e-11
"""Things this close are in one place. [em] Our choice: 1e-10 to 1e-13 answered alike on letters, 1e-8 did not."""
TIME_ROUNDING = 4e-16
"""How well a time is known; times a vertex's speed, how well its place is. [em] Doubles near 1."""
OPPOSITE = 1e-9
"""Edges that face each other within this angle meet as a ridge. [radians] Our choice: the ridge of an edge as long as
an em then rises by less than a hundredth of what the check allows."""
IN_LINE = 1e-4
"""Neighbours that turn less than this count as in line: where they cross is not known well. [radians] Our choice."""
MOVING_ALONG = 1e-12
"""A vertex that nears an edge more slowly than this moves along with it and never hits. Our choice, as NEAR."""
NEVER = math.inf


@dataclass(frozen=True, slots=True)
class Skeleton:
    """Nodes and arcs. The first nodes are the outline's vertices.

    x, y, time: of each node; time is the height of the roof there.
    arcs: (from node, to node, edge on the left, edge on the right), each rising or level.
    """

    x: list[float]
    y: list[float]
    time: list[float]
    arcs: list[tuple[int, int, int, int]]


class Front:
    """Edges on the move, the vertices between them, and the nodes and arcs left behind.

    Edge e has direction (dx, dy), inward normal (ex, ey) = (−dy, dx), and its line is ex·x + ey·y = ec + now; starts[e]
    are the vertices that its pieces start from. Vertex v was born at (x, y) at time born and runs with (vx, vy) between
    its edges into and out, its neighbours prev and next; node is where it was born. Along its edges' directions it was
    at at_into and at_out and runs by by_into and by_out. A ridge vertex runs along a line in no time, and stands still
    here. reflex holds the living reflex vertices in order of birth.
    """

    def __init__(self, rings: Sequence[Array]) -> None:
        self._set_edges(rings)
        self.now = 0.0
        self.found = Skeleton([], [], [], [])
        self.x: list[float] = []
        self.y: list[float] = []
        self.born: list[float] = []
        self.vx: list[float] = []
        self.vy: list[float] = []
        self.into: list[int] = []
        self.out: list[int] = []
        self.prev: list[int] = []
        self.next: list[int] = []
        self.node: list[int] = []
        self.alive: list[bool] = []
        self.ridge: list[bool] = []
        self.at_into: list[float] = []
        self.by_into: list[float] = []
        self.at_out: list[float] = []
        self.by_out: list[float] = []
        self.reflex: dict[int, None] = {}
        self._set_vertices(rings)

    def _set_edges(self, rings: Sequence[Array]) -> None:
        start = np.concatenate(rings)
        along = np.concatenate([np.roll(ring, -1, axis=0) for ring in rings]) - start
        along = along / np.hypot(along[:, 0], along[:, 1])[:, None]
        self.dx, self.dy = along[:, 0].tolist(), along[:, 1].tolist()
        self.ex, self.ey = (-along[:, 1]).tolist(), along[:, 0].tolist()
        self.ec: list[float] = (along[:, 0] * start[:, 1] - along[:, 1] * start[:, 0]).tolist()
        self.starts: list[list[int]] = [[] for _ in self.ex]

    def _set_vertices(self, rings: Sequence[Array]) -> None:
        first = 0
        for ring in rings:
            n = len(ring)
            for i, (x, y) in enumerate(ring.tolist()):
                node = self.new_node(x, y, 0.0)
                self.new_vertex(first + (i - 1) % n, first + i, node, first + (i - 1) % n, first + (i + 1) % n)
            first += n

    def new_node(self, x: float, y: float, time: float) -> int:
        """A node of the skeleton; its number."""
        self.found.x.append(x)
        self.found.y.append(y)
        self.found.time.append(time)
        return len(self.found.x) - 1

    def new_vertex(self, into: int, out: int, node: int, prev: int, next_: int) -> int:
        """A vertex born at a node between two edges, and told who its neighbours are (not they of it); its number."""
        v = len(self.x)
        x, y = self.found.x[node], self.found.y[node]
        ax, ay, bx, by = self.ex[into], self.ey[into], self.ex[out], self.ey[out]
        cross, dot = ax * by - ay * bx, ax * bx + ay * by
        ridge = dot < 0 and abs(cross) < OPPOSITE
        if ridge:
            vx = vy = 0.0
        elif dot < 0:  # the mitre of a sharp corner: this form keeps its digits there, the other one elsewhere
            vx, vy = (by - ay) / cross, (ax - bx) / cross
        else:
            vx, vy = (ax + bx) / (1 + dot), (ay + by) / (1 + dot)
        if not ridge and (dot < 0 or abs(cross) > IN_LINE):
            # A node may be off a line by as much as NEAR; a vertex between two lines starts where they truly cross.
            time = self.found.time[node]
            off_a, off_b = ax * x + ay * y - self.ec[into] - time, bx * x + by * y - self.ec[out] - time
            x, y = x - (off_a * by - off_b * ay) / cross, y - (off_b * ax - off_a * bx) / cross
        self.x.append(x)
        self.y.append(y)
        self.born.append(self.found.time[node])
        self.vx.append(vx)
        self.vy.append(vy)
        self.into.append(into)
        self.out.append(out)
        self.prev.append(prev)
        self.next.append(next_)
        self.node.append(node)
        self.alive.append(True)
        self.ridge.append(ridge)
        self.at_into.append(self.dx[into] * x + self.dy[into] * y)
        self.by_into.append(self.dx[into] * vx + self.dy[into] * vy)
        self.at_out.append(self.dx[out] * x + self.dy[out] * y)
        self.by_out.append(self.dx[out] * vx + self.dy[out] * vy)
        self.starts[out].append(v)
        if cross < 0 and not ridge:
            self.reflex[v] = None
        return v

    def end_vertex(self, v: int, node: int) -> None:
        """A vertex comes to a node and leaves its arc behind."""
        self.found.arcs.append((self.node[v], node, self.into[v], self.out[v]))
        self.forget(v)

    def forget(self, v: int) -> None:
        """A vertex is no more and leaves nothing behind."""
        self.alive[v] = False
        self.starts[self.out[v]].remove(v)
        self.reflex.pop(v, None)

    def at(self, v: int) -> Point:
        """Where a vertex is now."""
        span = self.now - self.born[v]
        return self.x[v] + self.vx[v] * span, self.y[v] + self.vy[v] * span

    def speed(self, v: int) -> float:
        """How fast a vertex runs, near enough to compare."""
        return abs(self.vx[v]) + abs(self.vy[v])

    def is_at(self, v: int, place: Point) -> bool:
        """Whether a vertex is at this place now, as far as can be known."""
        x, y = self.at(v)
        return max(abs(x - place[0]), abs(y - place[1])) <= NEAR + TIME_ROUNDING * self.speed(v)

    def piece_under(self, v: int, edge: int, time: float) -> int | None:
        """The vertex from which the piece of edge starts on which v lies at that time, if it lies on any.

        Pieces that start or end at v's own birth never count: v runs away from them.
        """
        along = (
            self.dx[edge] * (self.x[v] + self.vx[v] * (time - self.born[v]))
            + self.dy[edge] * (self.y[v] + self.vy[v] * (time - self.born[v]))
        )  # fmt: skip
        for u in self.starts[edge]:
            if along >= self.at_out[u] + self.by_out[u] * (time - self.born[u]) - NEAR:
                w = self.next[u]
                if along <= self.at_into[w] + self.by_into[w] * (time - self.born[w]) + NEAR:
                    if self.node[v] in (self.node[u], self.node[w]):
                        continue
                    return u
        return None
