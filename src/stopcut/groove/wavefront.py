"""The straight skeleton of a polygon by a moving wavefront, in plain floats.

Every edge of the outline moves inward at unit speed. Where two neighbouring edges meet there is a wavefront *vertex*,
which runs along their mitre; what is left of an edge between two vertices is a *piece*. Three things can happen:

- a piece *vanishes*: its two vertices meet;
- a reflex vertex (a corner that points into the shape) *hits* a piece elsewhere and cuts the front in two;
- a *ridge* closes: two opposite edges have met along a line, and the vertex between them runs along it in no time.

The earliest is taken, and whatever happens there is one *node* of the skeleton with one rule for all cases, since the
letters that people carve are full of ties. All vertices at the place are gathered into chains (vertices with nothing
but vanished pieces between them), together with the pieces that pass through it, each a chain of no vertices. A chain
has one edge that comes in and one that goes out; seen from the node they are rays, and the part still to be swept lies
anticlockwise of each outgoing ray. So the rays are sorted by angle (at equal angles the outgoing first: opposite
edges, a ridge) and each outgoing ray is joined by a new vertex to the next incoming one.

After a node only what changed is asked again: when the new pieces vanish, what the new reflex vertices hit, and
whether any reflex vertex hits a piece whose end now grows faster than the end it had. (A piece that is cut in two may
outlive the end that was chasing it.) A hit is kept by edge, not by piece, and is checked again when its turn comes.

Each vertex leaves an arc of the skeleton behind it, between the faces of its two edges.

Coordinates must be of the order of 1 (an em) and the rings simple and apart; nothing here proves the answer right:
stopcut.groove.check does. The idea of the wavefront with these events is Aichholzer, Aurenhammer, Alberts and Gärtner,
"A novel type of skeleton for polygons", J.UCS 1 (1995); the rule for nodes is ours.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from heapq import heapify, heappop, heappush

import numpy as np
from numpy.typing import NDArray

from stopcut.groove.hits import first_hits, may_hit

__all__ = ["Lost", "Skeleton", "skeleton"]

Array = NDArray[np.float64]

NEAR = 1e-11
"""Things this close are in one place. [em] Our choice: 1e-10 to 1e-13 answered alike in a trial, 1e-8 did not."""
SOON = 1e-11
"""Events this close in time may belong to one node (their places decide). [em] Our choice, as NEAR."""
SAME_TIME = 1e-12
"""A hit may come this much before now, by rounding. [em] Our choice."""
TIME_ROUNDING = 4e-16
"""How well a time is known; times a vertex's speed, how well its place is. [em] Doubles near 1."""
OPPOSITE = 1e-9
"""Edges that face each other within this angle meet as a ridge. [radians] Our choice: the ridge of an edge as long as
an em then rises by less than a hundredth of what the check allows."""
IN_LINE = 1e-4
"""Neighbours that turn less than this count as in line: where they cross is not known well. [radians] Our choice."""
MOVING_ALONG = 1e-12
"""A vertex that nears an edge more slowly than this moves along with it and never hits. Our choice, as NEAR."""
MANY = 200
"""Reflex vertices above which those that may hit a piece are picked out all at once. Our choice: as fast either way."""
SAME_RAY = 1e-6
"""Rays closer than this in angle are one direction. [radians] Our choice, as OPPOSITE."""
NEVER = math.inf


class Lost(Exception):
    """The wavefront became impossible, by rounding or because the outline was not simple. Says where."""


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


def skeleton(rings: Sequence[Array]) -> Skeleton:
    """The straight skeleton inside rings ((n, 2) each, outer ones anticlockwise, holes clockwise, not closed).

    Edges are numbered through all rings; edge i starts at node i. Raises Lost.
    """
    return _Front(rings).run()


@dataclass(slots=True)
class _Chain:
    """What one strand of the front brings to a node: vertices that die there, or a piece that passes through.

    came and before are the edge that comes in and the vertex it comes from; goes and after the edge that goes out and
    the vertex it runs to. was_end and was_start are the vertices that ended and began those two pieces until now.
    """

    came: int
    before: int
    was_end: int
    goes: int
    after: int
    was_start: int


class _Front:
    """The front at one moment. Lists run in step: one entry an edge, one a vertex ever born, one a node."""

    def __init__(self, rings: Sequence[Array]) -> None:
        self._set_edges(rings)
        # Vertices: where and when born, velocity; their edges, neighbours and node; how they run along both edges.
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
        self.hit: list[float] = []  # when a reflex vertex next hits something; NEVER for others
        self.reflex: dict[int, None] = {}  # reflex vertices alive, in order of birth
        self.watched: tuple[list[int], Array] = ([], np.empty((6, 0)))  # reflex vertices as may_hit takes them
        self.unwatched: set[int] = set()  # those born, or asked again, since that was made up
        self.starts: list[list[int]] = [[] for _ in self.ex]  # for each edge, the vertices its pieces start from
        self.found = Skeleton([], [], [], [])
        self.events: list[tuple[float, int, int]] = []  # (time, vertex, next vertex | ~edge hit | itself: a ridge)
        self.now = 0.0
        self._set_vertices(rings)

    # -- the start ----------------------------------------------------------------------------------------------

    def _set_edges(self, rings: Sequence[Array]) -> None:
        start = np.concatenate(rings)
        along = np.concatenate([np.roll(ring, -1, axis=0) for ring in rings]) - start
        along = along / np.hypot(along[:, 0], along[:, 1])[:, None]
        # Edge e: direction (dx, dy), inward normal (ex, ey) = (−dy, dx), and its line ex·x + ey·y = ec + time.
        self.dx, self.dy = along[:, 0].tolist(), along[:, 1].tolist()
        self.ex, self.ey = (-along[:, 1]).tolist(), along[:, 0].tolist()
        self.ec: list[float] = (along[:, 0] * start[:, 1] - along[:, 1] * start[:, 0]).tolist()
        self.live = list(range(len(start)))

    def _set_vertices(self, rings: Sequence[Array]) -> None:
        first = 0
        for ring in rings:
            n = len(ring)
            for i, (x, y) in enumerate(ring.tolist()):
                node = self._new_node(x, y, 0.0)
                self._new_vertex(first + (i - 1) % n, first + i, node, first + (i - 1) % n, first + (i + 1) % n)
            first += n
        for v in range(first):
            self._queue_vanishing(v)
        self._set_first_hits()
        heapify(self.events)

    def _set_first_hits(self) -> None:
        reflex = np.array(list(self.reflex), dtype=np.int64)
        if not len(reflex):
            return
        lines = np.array([self.ex, self.ey, self.ec])
        starts = np.array([self.at_out, self.by_out])
        ends = np.array([self.at_into, self.by_into])[:, self.next]
        places = np.array([self.x, self.y, self.vx, self.vy])[:, reflex]
        times, edges = first_hits(places, lines, starts, ends)
        for v, time, edge in zip(reflex.tolist(), times.tolist(), edges.tolist(), strict=True):
            if time < NEVER:
                self.hit[v] = time
                self.events.append((time, v, ~edge))

    # -- births and deaths --------------------------------------------------------------------------------------

    def _new_node(self, x: float, y: float, time: float) -> int:
        self.found.x.append(x)
        self.found.y.append(y)
        self.found.time.append(time)
        return len(self.found.x) - 1

    def _new_vertex(self, into: int, out: int, node: int, prev: int, next_: int) -> int:
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
        self.hit.append(NEVER)
        self.starts[out].append(v)
        if cross < 0 and not ridge:
            self.reflex[v] = None
            self.unwatched.add(v)
        return v

    def _end_vertex(self, v: int, node: int) -> None:
        self.found.arcs.append((self.node[v], node, self.into[v], self.out[v]))
        self._forget(v)

    def _forget(self, v: int) -> None:
        self.alive[v] = False
        self.starts[self.out[v]].remove(v)
        self.reflex.pop(v, None)

    # -- what will happen ---------------------------------------------------------------------------------------

    def _queue_vanishing(self, v: int) -> None:
        """When the piece that starts at v vanishes."""
        w = self.next[v]
        gap = self.at_into[w] - self.at_out[v]
        now = max(self.born[v], self.born[w])
        gap += self.by_into[w] * (now - self.born[w]) - self.by_out[v] * (now - self.born[v])
        closing = self.by_out[v] - self.by_into[w]
        if closing > 0 and not (self.ridge[v] or self.ridge[w]):
            heappush(self.events, (now + max(gap, 0.0) / closing, v, w))

    def _queue_hit(self, v: int, time: float, edge: int) -> None:
        self.hit[v] = time
        if time < NEVER:
            heappush(self.events, (time, v, ~edge))

    def _first_hit(self, v: int) -> tuple[float, int]:
        """When and on which edge a reflex vertex lands first, as the front is now."""
        x, y, vx, vy, born = self.x[v], self.y[v], self.vx[v], self.vy[v], self.born[v]
        ex, ey, ec = self.ex, self.ey, self.ec
        best, edge = NEVER, -1
        earliest = self.now - SAME_TIME
        for e in self._live_edges():
            nearing = 1 - ex[e] * vx - ey[e] * vy
            if nearing > MOVING_ALONG:
                time = born + (ex[e] * x + ey[e] * y - ec[e] - born) / nearing
                if earliest <= time < best and self._piece_under(v, e, time) is not None:
                    best, edge = time, e
        return best, edge

    def _live_edges(self) -> list[int]:
        """Edges that still have pieces (and a few that lately lost their last)."""
        if len(self.live) > 16 and self.now > 0 and len(self.found.arcs) % 16 == 0:
            self.live = [e for e in self.live if self.starts[e]]
        return self.live

    def _piece_under(self, v: int, edge: int, time: float) -> int | None:
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

    def _ask_again(self, u: int, node: int) -> None:
        """Whether any reflex vertex now hits the piece that starts at u before what it was going to hit."""
        edge = self.out[u]
        ex, ey, ec = self.ex[edge], self.ey[edge], self.ec[edge]
        for v in self._runners_to(u) if len(self.reflex) > MANY else self.reflex:
            nearing = 1 - ex * self.vx[v] - ey * self.vy[v]
            if nearing > MOVING_ALONG and self.node[v] != node:
                born = self.born[v]
                time = born + (ex * self.x[v] + ey * self.y[v] - ec - born) / nearing
                if self.now - SAME_TIME <= time < self.hit[v] and self._piece_under(v, edge, time) is not None:
                    self._queue_hit(v, time, edge)

    def _runners_to(self, u: int) -> list[int]:
        """The reflex vertices that may hit the piece that starts at u; a few of them may not."""
        names, corners = self.watched
        if len(self.unwatched) > MANY or 2 * len(self.reflex) < len(names):
            names = list(self.reflex)
            columns = (self.x, self.y, self.vx, self.vy, self.born, self.hit)
            corners = np.array([[column[v] for v in names] for column in columns])
            self.watched, self.unwatched = (names, corners), set()
        edge, w = self.out[u], self.next[u]
        start = np.array((self.at_out[u], self.by_out[u], self.born[u]))
        end = np.array((self.at_into[w], self.by_into[w], self.born[w]))
        found = may_hit(corners, (self.ex[edge], self.ey[edge], self.ec[edge]), start, end, self.now)
        known = [names[i] for i in found.tolist()]
        return [v for v in known if self.alive[v] and v not in self.unwatched] + sorted(
            self.unwatched & self.reflex.keys()
        )

    # -- what happens -------------------------------------------------------------------------------------------

    def run(self) -> Skeleton:
        """Let the front run till nothing is left of it."""
        most = 20 * len(self.ex) + 200
        while self.events:
            time, v, what = heappop(self.events)
            if self._is_stale(time, v, what):
                continue
            self.now = max(self.now, time)
            place = self._place(v, what)
            if place is None:
                self.unwatched.add(v)
                self._queue_hit(v, *self._first_hit(v))
                continue
            self._make_node(*self._gather(place, v, what))
            most -= 1
            if most < 0:
                raise Lost("the front never came to rest")
        if any(self.alive):
            v = self.alive.index(True)
            raise Lost(f"the front stood still at ({self.x[v]:.6f}, {self.y[v]:.6f})")
        return self.found

    def _is_stale(self, time: float, v: int, what: int) -> bool:
        if not self.alive[v]:
            return True
        if what < 0:
            return self.hit[v] != time
        return what != v and self.next[v] != what

    def _place(self, v: int, what: int) -> tuple[float, float] | None:
        """Where an event happens now; None for a hit that misses after all."""
        if what < 0:
            return None if self._piece_under(v, ~what, self.now) is None else self._at(v)
        if what == v:
            return self._at(self._ridge_end(v))
        return self._at(min(v, what, key=self._speed))

    def _at(self, v: int) -> tuple[float, float]:
        span = self.now - self.born[v]
        return self.x[v] + self.vx[v] * span, self.y[v] + self.vy[v] * span

    def _speed(self, v: int) -> float:
        return abs(self.vx[v]) + abs(self.vy[v])

    def _ridge_end(self, v: int) -> int:
        """Where the vertex of a ridge runs to: the nearer of its neighbours."""
        x, y = self.x[v], self.y[v]
        prev, next_ = self.prev[v], self.next[v]
        (px, py), (nx, ny) = self._at(prev), self._at(next_)
        return prev if (px - x) ** 2 + (py - y) ** 2 <= (nx - x) ** 2 + (ny - y) ** 2 else next_

    def _is_at(self, v: int, place: tuple[float, float]) -> bool:
        x, y = self._at(v)
        return max(abs(x - place[0]), abs(y - place[1])) <= NEAR + TIME_ROUNDING * self._speed(v)

    def _gather(
        self, place: tuple[float, float], v: int, what: int
    ) -> tuple[tuple[float, float], set[int], dict[int, None]]:
        """All that is at this place now: vertices, and the starts of pieces that pass through."""
        members: set[int] = set()
        through: dict[int, None] = {}
        if what >= 0:
            members.update((v, what))
        if what < 0 or what == v:
            self._join_in(place, v, what, members, through)
        later = []
        while self.events and self.events[0][0] <= self.now + SOON:
            event = heappop(self.events)
            if not self._is_stale(*event) and not self._join_in(place, event[1], event[2], members, through):
                later.append(event)
        for event in later:
            heappush(self.events, event)
        for member in tuple(members):
            for step in (self.prev, self.next):
                at = step[member]
                while at not in members and self._is_at(at, place):
                    members.add(at)
                    at = step[at]
        return place, members, {u: None for u in through if u not in members and self.next[u] not in members}

    def _join_in(
        self, place: tuple[float, float], v: int, what: int, members: set[int], through: dict[int, None]
    ) -> bool:
        """Add what an event brings to this place; False if it happens elsewhere."""
        if what == v:
            end = self._ridge_end(v)
            if end not in members and not self._is_at(end, place):
                return False
            members.update((v, end))
            return True
        if what >= 0:
            return self._both_at(v, what, place, members)
        if not self._is_at(v, place):
            return False
        members.add(v)
        u = self._piece_under(v, ~what, self.now)
        if u is None:
            members.discard(v)
            return False
        ends = [end for end in (u, self.next[u]) if self._is_at(end, place)]
        members.update(ends)
        if not ends:
            through[u] = None
        return True

    def _both_at(self, v: int, w: int, place: tuple[float, float], members: set[int]) -> bool:
        if not (self._is_at(v, place) and self._is_at(w, place)):
            return False
        members.update((v, w))
        return True

    # -- one node -----------------------------------------------------------------------------------------------

    def _make_node(self, place: tuple[float, float], members: set[int], through: Iterable[int]) -> None:
        node = self._new_node(*place, self.now)
        chains = self._chains(members, through)
        for v in members:
            self._end_vertex(v, node)
        for u in through:
            self.starts[self.out[u]].remove(u)
        born = []
        for goes, came in self._joined(chains, place):
            v = self._new_vertex(came.came, goes.goes, node, came.before, goes.after)
            born.append((v, goes, came))
        for u in through:
            self.starts[self.out[u]].append(u)
        for v, goes, came in born:
            self.next[came.before], self.prev[goes.after] = v, v
        for v, _, _ in born:
            # Two vertices between the same two edges are the two ends of a ridge, or one place but for rounding.
            if self.alive[v] and self.prev[v] == self.next[v]:
                self._end_vertex(self.next[v], node)
                self._forget(v)
        self._look_ahead([birth for birth in born if self.alive[birth[0]]], node)

    def _chains(self, members: set[int], through: Iterable[int]) -> list[_Chain]:
        chains = []
        for first in members:
            if self.prev[first] not in members:
                last = first
                while self.next[last] in members:
                    last = self.next[last]
                chains.append(_Chain(self.into[first], self.prev[first], first, self.out[last], self.next[last], last))
        for u in through:
            w = self.next[u]
            chains.append(_Chain(self.out[u], u, w, self.out[u], w, u))
        return chains

    def _joined(self, chains: list[_Chain], place: tuple[float, float]) -> list[tuple[_Chain, _Chain]]:
        """(chain that goes out, chain that comes in next anticlockwise), for each new vertex."""
        if len(chains) < 2:
            return [(chain, chain) for chain in chains]
        rays = [(math.atan2(self.dy[c.goes], self.dx[c.goes]), 0, c) for c in chains]
        rays += [(math.atan2(-self.dy[c.came], -self.dx[c.came]), 1, c) for c in chains]
        rays.sort(key=lambda ray: ray[:2])
        # Anticlockwise from an outgoing ray there must be an incoming one. Where two rays are one but for rounding,
        # the outgoing one goes first, also across the cut of the angle at ±180°.
        for i in range(-1, len(rays) - 1):
            apart = (rays[i + 1][0] - rays[i][0]) % (2 * math.pi)
            if rays[i][1] > rays[i + 1][1] and min(apart, 2 * math.pi - apart) < SAME_RAY:
                rays[i], rays[i + 1] = rays[i + 1], rays[i]
        if any(rays[i - 1][1] == rays[i][1] for i in range(len(rays))):
            raise Lost(f"the front crossed itself near ({place[0]:.6f}, {place[1]:.6f})")
        return [(rays[i - 1][2], rays[i][2]) for i in range(len(rays)) if rays[i][1] == 1]

    def _look_ahead(self, born: list[tuple[int, _Chain, _Chain]], node: int) -> None:
        """Queue what the new vertices bring about."""
        for v, _, _ in born:
            if self.ridge[v]:
                heappush(self.events, (self.now, v, v))
            self._queue_vanishing(v)
            self._queue_vanishing(self.prev[v])
            if v in self.reflex:
                self._queue_hit(v, *self._first_hit(v))
        for v, goes, came in born:
            if self.by_out[v] < self.by_out[goes.was_start]:
                self._ask_again(v, node)
            if self.by_into[v] > self.by_into[came.was_end]:
                self._ask_again(self.prev[v], node)
