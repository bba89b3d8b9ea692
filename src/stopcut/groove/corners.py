"""Corners of an outline as a carver sees them: sharp ones, soft tips, and blunt ends that count as one.

A flattened outline is all vertices; only some are corners. A corner is a place where the curves themselves turn
sharply, or a short stretch that turns as much (a serif's rounded tip). What lies close together, against the letter's
deepest half-width, is one end of a stroke and counts once.
"""

from __future__ import annotations

import bisect
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from stopcut.arrays import Array
from stopcut.shape.flat import Flat

__all__ = ["Corners", "Ring", "corners"]


SHARP_DEG = 40.0
"""Tangents that break by this much make a corner. [degrees] Our choice, from trials on faces of every kind."""
SOFT_DEG = 50.0
"""What a soft tip turns within SOFT_SPAN. [degrees] Our choice, from trials: less takes in the shoulders of curves."""
SOFT_SPAN = 0.5
"""The stretch a soft tip has to turn in. [deepest half-widths] Our choice, from trials."""
FUSED = 0.4
"""Corners nearer than this are one end of a stroke. [deepest half-widths] Our choice, from trials: the blunt ends of
serifs; a pencil draws no fork there."""
CURVE_DEG = 15.0
"""Smaller breaks of the tangents are part of a curve, as where it was drawn as many straight pieces. [degrees] Our
choice."""
SPECK = 0.05
"""Breaks of the tangents nearer than this are taken together. [deepest half-widths] Our choice, because the steps that
drawing programs leave where shapes were joined are smaller (0.02 mm on a stem of 10 mm), and no corner is."""


@dataclass(frozen=True, eq=False)
class Ring:
    """One ring of the flattened outline, by the distance along it.

    points (n, 2) are its vertices, at (n,) where each lies along it, from 0; length is the ring's own. breaks (n,) are
    the true turns at the vertices, those of a tiny step taken together and small ones left out [degrees]. marks are the
    places of its corners, in order, those of a blunt end as one; parts the places of all of them. direction (k,) says
    which way the outline runs at the places where (k,), over three rounds, its sharp corners left out. [degrees]
    """

    points: Array
    at: Array
    length: float
    breaks: Array
    marks: tuple[float, ...]
    parts: tuple[float, ...]
    where: Array
    direction: Array

    def between(self, start: float, end: float) -> tuple[int, ...]:
        """The corners (their places in marks) on the way from start forward to end."""
        return _between(self.marks, start, end)

    def touched(self, start: float, end: float) -> bool:
        """Whether there is a corner on the way from start forward to end, be it one of a blunt end's two."""
        return bool(_between(self.parts, start, end))

    def turned(self, start: float, end: float) -> float:
        """How far the outline turns from start forward to end, to the left. [degrees]"""
        before, after = np.interp([start, end if start <= end else end + self.length], self.where, self.direction)
        return float(after - before)

    def place(self, at: float) -> Array:
        """The point of the ring at a distance along it."""
        where = np.append(self.at, self.length)
        x, y = np.append(self.points, self.points[:1], axis=0).T
        return np.array([np.interp(at, where, x), np.interp(at, where, y)])


@dataclass(frozen=True, eq=False)
class Corners:
    """All rings with their corners; first holds the number of each ring's first vertex in the whole outline."""

    rings: tuple[Ring, ...]
    first: tuple[int, ...]


def corners(flat: Flat, deepest: Sequence[float]) -> Corners:
    """The corners of a flattened outline, given for each ring the deepest half-width of its shape. [outline's unit]"""
    rings = tuple(map(_ring, flat.rings, flat.breaks, deepest))
    return Corners(rings, tuple(np.cumsum([0, *(len(ring) for ring in flat.rings[:-1])]).tolist()))


def _ring(points: Array, breaks: Array, deepest: float) -> Ring:
    edges = np.roll(points, -1, axis=0) - points
    lengths = np.hypot(edges[:, 0], edges[:, 1])
    at = np.concatenate([[0.0], np.cumsum(lengths)[:-1]])
    total = float(lengths.sum())
    breaks = np.where(np.abs(breaks) >= CURVE_DEG, breaks, 0.0)
    groups = _specks(at, breaks, total, SPECK * deepest)
    net = breaks.copy()
    lump = np.zeros_like(breaks)
    for group in groups:
        net[group] = lump[group[0]] = breaks[group].sum()
    sharp = lump >= SHARP_DEG
    marks = [float(at[g[0]] + (at[g[-1]] - at[g[0]]) % total / 2) for g in groups if sharp[g[0]]]
    where, direction = _directions(at, lengths, _turns(edges) - breaks + np.where(sharp, 0.0, lump))
    marks += _soft(where, direction, total, deepest)
    fused = tuple(sorted(_fused(marks, total, FUSED * deepest)))
    return Ring(points, at, total, net, fused, tuple(sorted(mark % total for mark in marks)), where, direction)


def _between(places: tuple[float, ...], start: float, end: float) -> tuple[int, ...]:
    """Which of the sorted places are on the way from start forward to end."""
    low, high = bisect.bisect_left(places, start), bisect.bisect_right(places, end)
    return tuple(range(low, high)) if start <= end else (*range(low, len(places)), *range(high))


def _specks(at: Array, breaks: Array, total: float, reach: float) -> list[list[int]]:
    """The vertices where the tangents break, in order, those within reach of each other in one group."""
    groups: list[list[int]] = []
    for i in np.flatnonzero(breaks).tolist():
        if groups and at[i] - at[groups[-1][0]] <= reach:
            groups[-1].append(i)
        else:
            groups.append([i])
    if len(groups) > 1 and at[groups[0][-1]] + total - at[groups[-1][0]] <= reach:
        groups[0] = groups.pop() + groups[0]
    return groups


def _turns(edges: Array) -> Array:
    """The turn of the edges at each vertex, positive to the left. [degrees]"""
    before = np.roll(edges, 1, axis=0)
    cross = before[:, 0] * edges[:, 1] - before[:, 1] * edges[:, 0]
    turns: Array = np.degrees(np.arctan2(cross, np.einsum("ij,ij->i", before, edges)))
    return turns


def _directions(at: Array, lengths: Array, bend: Array) -> tuple[Array, Array]:
    """Which way a ring runs, by the distance along it, over three rounds; bend (n,) is the turn at each vertex.

    The direction is taken to change evenly over the two half edges about a vertex, so that what counts as a tip does
    not depend on how finely the curve was flattened.
    """
    total = float(lengths.sum())
    reach = np.minimum(np.roll(lengths, 1), lengths) / 2
    knots = np.stack([at - reach, at + reach], axis=1).ravel()
    turned = np.cumsum(np.stack([np.zeros_like(bend), bend], axis=1).ravel())
    round_once = float(turned[-1])
    return (
        np.concatenate([knots - total, knots, knots + total]),
        np.concatenate([turned - round_once, turned, turned + round_once]),
    )


def _soft(where: Array, direction: Array, total: float, deepest: float) -> list[float]:
    """The middles of the soft tips along a ring."""
    span = min(SOFT_SPAN * deepest, total / 4)
    starts = np.unique(np.concatenate([where, where - span]))
    starts = starts[(starts >= where[0]) & (starts + span <= where[-1])]
    gain = np.interp(starts + span, where, direction) - np.interp(starts, where, direction)
    tips = []
    for low, high in _runs(starts[gain >= SOFT_DEG], span):
        begin, end = np.interp([low, high + span], where, direction)
        tips.append(_when((begin + end) / 2, where, direction, low, high + span))
    # Of the three rounds the middle one's tips are whole, also those that lie over the ring's beginning.
    return [tip for tip in tips if 0 <= tip < total]


def _runs(starts: Array, gap: float) -> list[tuple[float, float]]:
    """First and last of each run of sorted numbers that lie within gap of each other."""
    if not len(starts):
        return []
    cuts = np.flatnonzero(np.diff(starts) > gap) + 1
    return [(float(run[0]), float(run[-1])) for run in np.split(starts, cuts)]


def _when(value: float, where: Array, direction: Array, low: float, high: float) -> float:
    """Where the direction first reaches a value between low and high."""
    steps = np.unique(np.concatenate([[low, high], where[(where > low) & (where < high)]]))
    reached = np.interp(steps, where, direction) >= value
    i = int(np.argmax(reached))
    if i == 0:
        return float(steps[0])
    a, b = np.interp(steps[i - 1 : i + 1], where, direction)
    return float(steps[i - 1] + (value - a) / (b - a) * (steps[i] - steps[i - 1]))


def _fused(marks: list[float], total: float, gap: float) -> list[float]:
    """Corners along the ring, neighbours less than gap apart put together half way between the outermost."""
    marks = sorted(mark % total for mark in marks)
    if not marks:
        return []
    # Begin after the widest gap, so that no group lies over the ring's beginning.
    gaps = [(b - a) % total for a, b in zip(marks, marks[1:] + marks[:1], strict=True)]
    begin = max(range(len(gaps)), key=gaps.__getitem__) + 1
    groups: list[list[float]] = []
    for mark in marks[begin:] + [mark + total for mark in marks[:begin]]:
        if groups and mark - groups[-1][-1] < gap:
            groups[-1].append(mark)
        else:
            groups.append([mark])
    return [(group[0] + group[-1]) / 2 % total for group in groups]
