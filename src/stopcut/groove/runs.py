"""Parallel runs: the parts of a centre line where the walls are parallel, between the first and the last stop cut.

The stop cut down the middle of a stroke begins and ends where the stroke starts to flare into its serif (common
practice). How nearly parallel is parallel enough is our choice: a tapered stem is still one run.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from stopcut.arrays import Array
from stopcut.groove.chains import distances

__all__ = ["RunLine", "Span", "long_runs", "parallel_runs", "slopes", "turned_loop"]


Span = tuple[float, float]

STRAIGHT_SLOPE = 0.08
"""Walls of a straight stroke whose half-width changes no more than this are parallel. [per length] Our choice, from
trials: the run's end moves only 0.01 em between 0.05 and 0.10."""
CURVE_SLOPE = 0.15
"""The same on a curve, whose strokes swell and thin all the time. [per length] Our choice, from trials."""
SHORTEST_DEEP = 1.5
"""And so are runs shorter than this. [deepest half-widths] Our choice: hairline tips need no stop cut."""
CURVED_DEG = (2.0, 6.0)
"""A line whose chords over a half-width either way turn by the first is still straight, by the second a curve; between
them the limit goes over from one to the other, so that it never jumps. [degrees] Our choice."""
SHORTEST = 3.0
"""Runs shorter than this are none. [their half-widths] Our choice, from trials."""
STRAIGHT_ON_DEG = 20.0
"""A run that turns less than this where lines meet goes on. [degrees] Our choice."""
JOINT = 2.0
"""Where strokes meet their lines bend over no more than this. [half-widths] Our choice."""
HALF_WINDOW = 0.5
"""The slope is looked at over this much either way. [half-widths there] Our choice, from trials."""
ROUNDING = 1e-9
"""A slope just at its limit is within it, from whichever end the line is looked at. [of the limit]"""
STEPS = 24
"""Looks per deepest half-width along a line. Our choice: 0.2 mm on a 10 mm stem."""


@dataclass(frozen=True, eq=False)
class RunLine:
    """A centre line with its runs.

    points (k, 2) and half_width (k,) along it; ends are the numbers of the nodes at its ends, deepest its shape's
    deepest half-width.
    """

    points: Array
    half_width: Array
    ends: tuple[int, int]
    deepest: float
    runs: tuple[Span, ...]


def parallel_runs(points: Array, half_width: Array, deepest: float) -> tuple[Span, ...]:
    """Where the walls are parallel along a centre line, however short, as (start, end) distances from its beginning.

    deepest is the shape's deepest half-width, in the unit of the points.
    """
    along = distances(points)
    length = float(along[-1])
    at = np.linspace(0.0, length, max(2, round(length / deepest * STEPS) + 1))
    closed = bool(np.array_equal(points[0], points[-1]))
    reach = HALF_WINDOW * np.interp(at, along, half_width)
    slope = slopes(along, half_width, at, reach, closed)
    limit = np.interp(_turn(along, points, 2 * reach, at, closed), CURVED_DEG, (STRAIGHT_SLOPE, CURVE_SLOPE))
    return tuple(_below(at, slope - limit * (1 + ROUNDING)))


def long_runs(lines: Sequence[RunLine]) -> list[tuple[Span, ...]]:
    """The runs of each line that are worth a stop cut.

    A run that goes straight on into another line's where lines meet (the bar of a T on either side of its stem) is
    one with it, and they are measured together.
    """
    members = [(i, run) for i, line in enumerate(lines) for run in line.runs]
    group = list(range(len(members)))
    for a, b in _carried_on(lines, members):
        old, new = group[b], group[a]
        group = [new if number == old else number for number in group]
    kept: list[list[Span]] = [[] for _ in lines]
    for number in set(group):
        own = [members[k] for k in range(len(members)) if group[k] == number]
        length = sum(end - start for _, (start, end) in own)
        widest = max(_width_at(lines[i], (start + end) / 2) for i, (start, end) in own)
        if length >= max(SHORTEST * widest, SHORTEST_DEEP * lines[own[0][0]].deepest):
            for i, run in own:
                kept[i].append(run)
    return [tuple(sorted(runs)) for runs in kept]


def _width_at(line: RunLine, at: float) -> float:
    return float(np.interp(at, distances(line.points), line.half_width))


@dataclass(frozen=True, eq=False)
class _End:
    """An end of a run near the end of its line: the run's number, which end, where, which way it leaves, how wide."""

    run: int
    last: bool
    point: Array
    heading: Array
    half_width: float


def _carried_on(lines: Sequence[RunLine], members: Sequence[tuple[int, Span]]) -> list[tuple[int, int]]:
    """Pairs of runs that go straight on into each other, the straightest first, each end used once."""
    meeting: dict[int, list[_End]] = {}
    for k, (i, run) in enumerate(members):
        line = lines[i]
        length = float(distances(line.points)[-1])
        for last, over in ((False, run[0]), (True, length - run[1])):
            end = _end(line, k, run, last)
            if over <= JOINT * end.half_width and line.ends[0] != line.ends[1]:
                meeting.setdefault(line.ends[-1 if last else 0], []).append(end)
    pairs = [
        (_bend(one, two), (one.run, one.last), (two.run, two.last))
        for ends in meeting.values()
        for i, one in enumerate(ends)
        for two in ends[i + 1 :]
    ]
    used: set[tuple[int, bool]] = set()
    out = []
    for bend, a, b in sorted(pairs):
        if bend <= STRAIGHT_ON_DEG and a not in used and b not in used:
            used |= {a, b}
            out.append((a[0], b[0]))
    return out


def _end(line: RunLine, number: int, run: Span, last: bool) -> _End:
    """One end of a run, and which way it leaves there, over a half-width or the whole run."""
    along = distances(line.points)
    at = run[1] if last else run[0]
    half_width = float(np.interp(at, along, line.half_width))
    back = min(half_width, run[1] - run[0])
    x, y = (np.interp([at, at - back if last else at + back], along, line.points[:, axis]) for axis in (0, 1))
    heading = np.array([x[0] - x[1], y[0] - y[1]])
    return _End(number, last, np.array([x[0], y[0]]), heading / max(float(np.hypot(*heading)), 1e-300), half_width)


def _bend(one: _End, two: _End) -> float:
    """How far two runs are from being one straight line: the greatest turn on the way across."""
    cosines = [-float(np.dot(one.heading, two.heading))]
    gap = two.point - one.point
    if (far := float(np.hypot(*gap))) > 0.1 * one.half_width:
        cosines += [float(np.dot(one.heading, gap)) / far, -float(np.dot(two.heading, gap)) / far]
    return float(np.degrees(np.arccos(np.clip(min(cosines), -1.0, 1.0))))


def slopes(along: Array, half_width: Array, at: Array, reach: Array, closed: bool = False) -> Array:
    """|change of half-width per length| at distances along a line, over `reach` either way (a length at each).

    Beyond an open line's ends nothing is known: there the look is one-sided.
    """
    before, after = at - reach, at + reach
    if not closed:
        before, after = np.maximum(before, 0.0), np.minimum(after, along[-1])
    rise = _at(along, half_width, after, closed) - _at(along, half_width, before, closed)
    out: Array = np.abs(rise) / np.maximum(after - before, 1e-12)
    return out


def turned_loop(points: Array, half_width: Array) -> tuple[Array, Array]:
    """A closed line begun anew where its walls are least parallel, so that no run lies over its beginning."""
    along = distances(points)
    at = along[:-1]
    start = int(np.argmax(slopes(along, half_width, at, HALF_WINDOW * half_width[:-1], closed=True)))
    order = np.r_[start : len(points) - 1, 0 : start + 1]
    return points[order], half_width[order]


def _at(along: Array, values: Array, at: Array, closed: bool) -> Array:
    if closed:
        at = at % along[-1]
    out: Array = np.interp(at, along, values)
    return out


def _turn(along: Array, points: Array, reach: Array, at: Array, closed: bool) -> Array:
    """How much a line turns at distances along it: between its chords over `reach` either way. [degrees]"""
    places = [at - reach, at, at + reach]
    if not closed:
        places = [np.clip(p, 0.0, along[-1]) for p in places]
    x, y = ([_at(along, points[:, axis], p, closed) for p in places] for axis in (0, 1))
    back = np.arctan2(y[1] - y[0], x[1] - x[0])
    ahead = np.arctan2(y[2] - y[1], x[2] - x[1])
    turn: Array = np.abs((np.degrees(ahead - back) + 180) % 360 - 180)
    one_sided = (places[1] - places[0] < 1e-9) | (places[2] - places[1] < 1e-9)
    return np.where(one_sided, 0.0, turn)


def _below(at: Array, excess: Array) -> list[tuple[float, float]]:
    """Stretches where the excess is not above 0, their ends found between the looks."""
    inside = excess <= 0
    out: list[tuple[float, float]] = []
    start: float | None = None
    for i, yes in enumerate(inside.tolist()):
        if yes and start is None:
            start = _between(at, excess, i - 1, i) if i else float(at[0])
        elif not yes and start is not None:
            out.append((start, _between(at, excess, i - 1, i)))
            start = None
    if start is not None:
        out.append((start, float(at[-1])))
    return out


def _between(at: Array, excess: Array, i: int, j: int) -> float:
    """Where the excess passes 0 between two looks."""
    return float(at[i] - excess[i] * (at[j] - at[i]) / (excess[j] - excess[i]))
