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

from collections.abc import Iterable, Sequence
from heapq import heapify, heappop, heappush
from time import thread_time

import numpy as np

from stopcut.arrays import Array
from stopcut.groove.edge_events import first_hits, may_hit
from stopcut.groove.front import MOVING_ALONG, NEVER, Front, Skeleton
from stopcut.groove.joints import Crossed, Strand, joined
from stopcut.shape.outline import Point

__all__ = ["Late", "Lost", "Skeleton", "skeleton"]


SOON = 1e-11
"""Events this close in time may belong to one node (their places decide). [em] Our choice, as NEAR."""
SAME_TIME = 1e-12
"""A hit may come this much before now, by rounding. [em] Our choice."""
MANY = 200
"""Reflex vertices above which those that may hit a piece are picked out all at once. Our choice: as fast either way."""


SECONDS = 30.0
"""Processor time for one outline. [s] Our choice: a dense ornament of 10,000 pieces takes a third of it."""
EVENTS = 256
"""Events between two looks at the clock. Our choice: some 10 ms."""


class Late(Exception):
    """The outline takes too long; a little different it would take as long."""


class Lost(Exception):
    """The wavefront became impossible, by rounding or because the outline was not simple. Says where."""


def skeleton(rings: Sequence[Array]) -> Skeleton:
    """The straight skeleton inside rings ((n, 2) each, outer ones anticlockwise, holes clockwise, not closed).

    Edges are numbered through all rings; edge i starts at node i. Raises Lost.
    """
    return _Wave(rings).run()


class _Wave(Front):
    """The front and what will happen to it.

    events are (time, vertex, what): the next vertex whose piece from here vanishes, ~edge for a hit on it, or the
    vertex itself for a ridge; those that have been overtaken stay and are passed over. hit is when a reflex vertex next
    hits something.
    """

    def __init__(self, rings: Sequence[Array]) -> None:
        super().__init__(rings)
        self.events: list[tuple[float, int, int]] = []
        self.hit = [NEVER] * len(self.x)
        self.live = list(range(len(self.ex)))  # edges that have pieces, and a few that lately lost their last
        self.watched: tuple[list[int], Array] = ([], np.empty((6, 0)))  # reflex vertices as may_hit takes them
        self.unwatched = set(self.reflex)  # those born, or asked again, since that was made up
        for v in range(len(self.x)):
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
        if len(self.live) > 16 + 2 * (len(self.x) - len(self.found.arcs)):
            self.live = [e for e in self.live if self.starts[e]]
        earliest = self.now - SAME_TIME
        for e in self.live:
            nearing = 1 - ex[e] * vx - ey[e] * vy
            if nearing > MOVING_ALONG:
                time = born + (ex[e] * x + ey[e] * y - ec[e] - born) / nearing
                if earliest <= time < best and self.piece_under(v, e, time) is not None:
                    best, edge = time, e
        return best, edge

    def _ask_again(self, u: int, node: int) -> None:
        """Whether any reflex vertex now hits the piece that starts at u before what it was going to hit."""
        edge = self.out[u]
        ex, ey, ec = self.ex[edge], self.ey[edge], self.ec[edge]
        for v in self._runners_to(u) if len(self.reflex) > MANY else self.reflex:
            nearing = 1 - ex * self.vx[v] - ey * self.vy[v]
            if nearing > MOVING_ALONG and self.node[v] != node:
                born = self.born[v]
                time = born + (ex * self.x[v] + ey * self.y[v] - ec - born) / nearing
                if self.now - SAME_TIME <= time < self.hit[v] and self.piece_under(v, edge, time) is not None:
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
        until = thread_time() + SECONDS
        while self.events:
            time, v, what = heappop(self.events)
            if self._is_stale(time, v, what):
                continue
            most -= 1
            if most < 0:
                raise Lost("the front never came to rest")
            if most % EVENTS == 0 and thread_time() > until:
                raise Late
            self.now = max(self.now, time)
            place = self._place(v, what)
            if place is None:
                self.unwatched.add(v)
                self._queue_hit(v, *self._first_hit(v))
                continue
            self._make_node(place, *self._gather(place, v, what))
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

    def _place(self, v: int, what: int) -> Point | None:
        """Where an event happens now; None for a hit that misses after all."""
        if what < 0:
            return None if self.piece_under(v, ~what, self.hit[v]) is None else self.at(v)
        if what == v:
            return self.at(self._ridge_end(v))
        return self.at(min(v, what, key=self.speed))

    def _ridge_end(self, v: int) -> int:
        """Where the vertex of a ridge runs to: the nearer of its neighbours."""
        x, y = self.x[v], self.y[v]
        prev, next_ = self.prev[v], self.next[v]
        (px, py), (nx, ny) = self.at(prev), self.at(next_)
        return prev if (px - x) ** 2 + (py - y) ** 2 <= (nx - x) ** 2 + (ny - y) ** 2 else next_

    def _gather(self, place: Point, v: int, what: int) -> tuple[set[int], dict[int, None]]:
        """All that is at this place now: vertices, and the starts of pieces that pass through.

        Whatever meets here has its own event about now, so the queue names all of it but neighbours with no piece left
        between them.
        """
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
                while at not in members and self.is_at(at, place):
                    members.add(at)
                    at = step[at]
        return members, {u: None for u in through if u not in members and self.next[u] not in members}

    def _join_in(self, place: Point, v: int, what: int, members: set[int], through: dict[int, None]) -> bool:
        """Add what an event brings to this place; False if it happens elsewhere."""
        if what == v:
            end = self._ridge_end(v)
            if end not in members and not self.is_at(end, place):
                return False
            members.update((v, end))
            return True
        if what >= 0:
            return self._both_at(v, what, place, members)
        return self.is_at(v, place) and self._lands_at(v, ~what, place, members, through)

    def _lands_at(self, v: int, edge: int, place: Point, members: set[int], through: dict[int, None]) -> bool:
        """A hit brings the vertex, and the piece it lands on or, if it lands on an end of that, the vertex there."""
        u = self.piece_under(v, edge, self.hit[v])
        if u is None:
            return False
        ends = [end for end in (u, self.next[u]) if self.is_at(end, place)]
        members.update((v, *ends))
        if not ends:
            through[u] = None
        return True

    def _both_at(self, v: int, w: int, place: Point, members: set[int]) -> bool:
        if not (self.is_at(v, place) and self.is_at(w, place)):
            return False
        members.update((v, w))
        return True

    # -- one node -----------------------------------------------------------------------------------------------

    def _make_node(self, place: Point, members: set[int], through: Iterable[int]) -> None:
        node = self.new_node(*place, self.now)
        chains = self._chains(members, through)
        for v in members:
            self.end_vertex(v, node)
        born = []
        for goes, came in self._joined(chains, place):
            v = self.new_vertex(came.came, goes.goes, node, came.before, goes.after)
            self.hit.append(NEVER)
            born.append((v, goes, came))
        for v, goes, came in born:
            self.next[came.before], self.prev[goes.after] = v, v
        for v, _, _ in born:
            # Two vertices between the same two edges are the two ends of a ridge, or one place but for rounding.
            if self.alive[v] and self.prev[v] == self.next[v]:
                self.end_vertex(self.next[v], node)
                self.forget(v)
        self._look_ahead([birth for birth in born if self.alive[birth[0]]], node)

    def _chains(self, members: set[int], through: Iterable[int]) -> list[Strand]:
        chains = []
        for first in members:
            if self.prev[first] not in members:
                last = first
                while self.next[last] in members:
                    last = self.next[last]
                chains.append(Strand(self.into[first], self.prev[first], first, self.out[last], self.next[last], last))
        for u in through:
            w = self.next[u]
            chains.append(Strand(self.out[u], u, w, self.out[u], w, u))
        return chains

    def _joined(self, chains: list[Strand], place: Point) -> list[tuple[Strand, Strand]]:
        try:
            return joined(chains, self.dx, self.dy)
        except Crossed:
            raise Lost(f"the front crossed itself near ({place[0]:.6f}, {place[1]:.6f})") from None

    def _look_ahead(self, born: list[tuple[int, Strand, Strand]], node: int) -> None:
        """Queue what the new vertices bring about."""
        for v, _, _ in born:
            if self.ridge[v]:
                heappush(self.events, (self.now, v, v))
            self._queue_vanishing(v)
            self._queue_vanishing(self.prev[v])
            if v in self.reflex:
                self.unwatched.add(v)
                self._queue_hit(v, *self._first_hit(v))
        for v, goes, came in born:
            if self.by_out[v] < self.by_out[goes.was_start]:
                self._ask_again(v, node)
            if self.by_into[v] > self.by_into[came.was_end]:
                self._ask_again(self.prev[v], node)
