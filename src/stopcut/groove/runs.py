"""Parallel runs: the parts of a centre line where the walls are parallel, between the first and the last stop cut.

The stop cut down the middle of a stroke begins and ends where the stroke starts to flare into its serif (common
practice). How nearly parallel is parallel enough is our choice: a tapered stem is still one run.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from stopcut.groove.chains import distances

__all__ = ["parallel_runs", "slopes", "turned_loop"]

Array = NDArray[np.float64]

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
"""Runs shorter than this are none. [half-widths at their middle] Our choice, from trials."""
HALF_WINDOW = 0.5
"""The slope is looked at over this much either way. [half-widths there] Our choice, from trials."""
STEPS = 24
"""Looks per deepest half-width along a line. Our choice: 0.2 mm on a 10 mm stem."""


def parallel_runs(points: Array, half_width: Array, deepest: float) -> tuple[tuple[float, float], ...]:
    """Where the walls are parallel along a centre line, as (start, end) distances from its beginning.

    deepest is the letter's deepest half-width, in the unit of the points.
    """
    along = distances(points)
    length = float(along[-1])
    if not length > SHORTEST * float(half_width.min()):
        return ()
    at = np.linspace(0.0, length, max(2, int(np.ceil(length / deepest * STEPS)) + 1))
    closed = bool(np.array_equal(points[0], points[-1]))
    reach = HALF_WINDOW * np.interp(at, along, half_width)
    slope = slopes(along, half_width, at, reach, closed)
    limit = np.interp(_turn(along, points, 2 * reach, at, closed), CURVED_DEG, (STRAIGHT_SLOPE, CURVE_SLOPE))
    runs = _below(at, slope - limit)
    return tuple(
        (start, end)
        for start, end in runs
        if end - start
        >= max(SHORTEST * float(np.interp((start + end) / 2, along, half_width)), SHORTEST_DEEP * deepest)
    )


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
