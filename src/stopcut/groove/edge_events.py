"""Which reflex corners may run into which edges: the wavefront's question, asked of many at once.

A letter has a few thousand pairs of corner and edge, and all are tried. An ornament has hundreds of millions; there a
tree of boxes finds those near each other within a time, and the time is doubled for the corners that met nothing.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from stopcut.arrays import Array, Indices
from stopcut.groove.front import MOVING_ALONG, NEAR

__all__ = ["first_hits", "may_hit"]


FEW_PAIRS = 1 << 20
"""Corner-edge pairs that are all tried. Our choice: about 20 ms."""
ROWS_OF = 1 << 17
"""Pairs worked at a time, to stay in the processor's cache. Our choice."""


def first_hits(corners: Array, lines: Array, starts: Array, ends: Array) -> tuple[Array, Indices]:
    """Time and edge of each corner's first hit if nothing else happens, (inf, -1) where it hits nothing.

    corners (4, r): place and velocity of each at time 0; lines (3, n): each edge's inward normal and offset; starts and
    ends (2, n): where along the edge its two ends are at time 0, and how fast they run along it.
    """
    if corners.shape[1] * lines.shape[1] > FEW_PAIRS:
        return _windowed(corners, lines, starts, ends)
    times = np.empty(corners.shape[1])
    edges = np.empty(corners.shape[1], dtype=np.int64)
    rows = max(1, ROWS_OF // lines.shape[1])
    for first in range(0, corners.shape[1], rows):
        part = slice(first, first + rows)
        time = _times(corners[:, part, None], lines, starts, ends)
        edges[part] = np.argmin(time, axis=1)
        times[part] = np.min(time, axis=1)
    return times, np.where(np.isfinite(times), edges, -1)


def _times(corners: Array, lines: Array, starts: Array, ends: Array) -> Array:
    """When each corner lands on each edge, inf where it does not; shapes as numpy's broadcasting makes them."""
    x, y, vx, vy = corners
    ex, ey, ec = lines
    nearing = 1 - ex * vx - ey * vy
    above = ex * x + ey * y - ec
    with np.errstate(divide="ignore", invalid="ignore"):
        time: Array = above / nearing
        along = ey * (x + vx * time) - ex * (y + vy * time)
        lands = (along >= starts[0] + starts[1] * time - NEAR) & (along <= ends[0] + ends[1] * time + NEAR)
    lands &= (nearing > MOVING_ALONG) & (above >= -NEAR)
    time[~lands] = np.inf
    return time


def _windowed(corners: Array, lines: Array, starts: Array, ends: Array) -> tuple[Array, Indices]:
    """As first_hits: corners and edges that are near each other within a window of time, then within twice that."""
    import shapely  # for ornaments alone; importing it takes as long as twenty letters

    times = np.full(corners.shape[1], np.inf)
    edges = np.full(corners.shape[1], -1, dtype=np.int64)
    left = np.arange(corners.shape[1])
    reach = float(np.ptp(corners[:2], axis=1).max()) + float(np.ptp(starts[0]))
    length = ends[0] - starts[0]
    with np.errstate(divide="ignore", invalid="ignore"):
        lasting = np.where(starts[1] > ends[1], length / (starts[1] - ends[1]), np.inf)
    window = 2 * float(np.median(length))
    while len(left):
        tree = shapely.STRtree(_swept_boxes(lines, starts, ends, np.minimum(lasting, window)))
        x, y, vx, vy = corners[:, left]
        one, other = tree.query(_boxes(np.array([x, x + vx * window]), np.array([y, y + vy * window])))
        time = _times(corners[:, left[one]], lines[:, other], starts[:, other], ends[:, other])
        order = np.lexsort((time, one))
        first = order[np.unique(one[order], return_index=True)[1]]
        first = first[time[first] <= window]
        found = left[one[first]]
        times[found], edges[found] = time[first], other[first]
        if window > reach:
            break
        left = np.setdiff1d(left, found)
        window *= 2
    return times, edges


def _swept_boxes(lines: Array, starts: Array, ends: Array, until: Array) -> NDArray[np.object_]:
    """A box for each edge around where it is from time 0 to until."""
    ex, ey, ec = lines
    xs, ys = [], []
    for time in (np.zeros_like(until), until):
        for end in (starts, ends):
            along, off = end[0] + end[1] * time, ec + time
            xs.append(ey * along + ex * off)
            ys.append(ey * off - ex * along)
    return _boxes(np.array(xs), np.array(ys))


def _boxes(xs: Array, ys: Array) -> NDArray[np.object_]:
    import shapely

    boxes: NDArray[np.object_] = shapely.box(
        xs.min(axis=0) - NEAR, ys.min(axis=0) - NEAR, xs.max(axis=0) + NEAR, ys.max(axis=0) + NEAR
    )
    return boxes


def may_hit(corners: Array, line: tuple[float, float, float], start: Array, end: Array, now: float) -> Indices:
    """Which of many corners may land on one piece from now on, and before what they were going to hit.

    corners (6, r): place and velocity at birth, time of birth, time of the next hit; line: the edge's normal and
    offset; start and end (3,): place along the edge at birth, speed, time of birth. May name a few too many, by NEAR.
    """
    x, y, vx, vy, born, hit = corners
    ex, ey, ec = line
    nearing = 1 - ex * vx - ey * vy
    with np.errstate(divide="ignore", invalid="ignore"):
        span = (ex * x + ey * y - ec - born) / nearing
        time = born + span
        along = ey * (x + vx * span) - ex * (y + vy * span)
        lands = (nearing > MOVING_ALONG) & (time >= now - NEAR) & (time < hit)
        lands &= along >= start[0] + start[1] * (time - start[2]) - 2 * NEAR
        lands &= along <= end[0] + end[1] * (time - end[2]) + 2 * NEAR
    return np.flatnonzero(lands)
