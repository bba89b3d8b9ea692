"""What each reflex corner of an outline runs into first if nothing else happens: all corners against all edges."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["first_hits"]

Array = NDArray[np.float64]

MOST_PAIRS = 1 << 18
"""Corner-edge pairs worked at a time, to stay in the processor's cache. Our choice."""


def first_hits(
    corners: Array, lines: Array, starts: Array, ends: Array, moving_along: float, near: float
) -> tuple[Array, NDArray[np.int64]]:
    """Time and edge of each corner's first hit, (inf, -1) where it hits nothing.

    corners (4, r): place and velocity of each at time 0; lines (3, n): each edge's inward normal and offset; starts and
    ends (2, n): where along the edge its two ends are at time 0, and how fast they run along it.
    """
    times = np.empty(corners.shape[1])
    edges = np.empty(corners.shape[1], dtype=np.int64)
    rows = max(1, MOST_PAIRS // lines.shape[1])
    for first in range(0, corners.shape[1], rows):
        part = slice(first, first + rows)
        times[part], edges[part] = _some_hits(corners[:, part], lines, starts, ends, moving_along, near)
    return times, edges


def _some_hits(
    corners: Array, lines: Array, starts: Array, ends: Array, moving_along: float, near: float
) -> tuple[Array, NDArray[np.int64]]:
    x, y, vx, vy = corners[:, :, None]
    ex, ey, ec = lines
    nearing = 1 - ex * vx - ey * vy
    above = ex * x + ey * y - ec
    with np.errstate(divide="ignore", invalid="ignore"):
        time = above / nearing
        along = ey * (x + vx * time) - ex * (y + vy * time)
        lands = (along >= starts[0] + starts[1] * time - near) & (along <= ends[0] + ends[1] * time + near)
    lands &= (nearing > moving_along) & (above >= -near)
    time[~lands] = np.inf
    edge = np.argmin(time, axis=1)
    first = time[np.arange(len(edge)), edge]
    return first, np.where(np.isfinite(first), edge, -1)
