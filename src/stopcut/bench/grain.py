"""Which way to slice a wall so that the knife presses the fibres down instead of lifting them.

With n the wall's horizontal normal into the groove, g the fibres' direction and t the way of the cut, the fibres are
pressed together where (t · g)(g · n) > 0: t then runs with the fibre towards where it leaves the wood. Where the
product is near nothing, either way will do. That fibres should be pressed towards the cut is common practice.
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from stopcut.arrays import Array
from stopcut.bench.plan import Slice
from stopcut.job.job import Grain

__all__ = ["EITHER", "WITH_GRAIN_DEG", "fibres", "same_way", "sliced", "with_grain"]

EITHER: Final = 0.1
"""Below this either way will do. Our choice: within 6° of along or across the fibres, where they slope no more than 1
in 10."""
WITH_GRAIN_DEG: Final = 20.0
"""A line that heads within this of the fibres runs with them: it splits wood rather than cuts it. [degrees] Our
choice."""


def fibres(grain: Grain) -> Array:
    """The direction of the fibres: along the board's width or its height."""
    return np.array([1.0, 0.0]) if grain == "width" else np.array([0.0, 1.0])


def sliced(direction: Array, grain: Grain) -> Array:
    """(t · g)(g · n) for each wall, (k,), cut the way its edge runs: direction (k, 2), the groove on its left."""
    g = fibres(grain)
    normal = np.column_stack([-direction[:, 1], direction[:, 0]])
    out: Array = (direction @ g) * (normal @ g)
    return out


def same_way(products: Array) -> list[tuple[int, int, Slice]]:
    """Runs of steps (first, last, how to slice) over which the direction does not change."""
    signs = np.where(np.abs(products) < EITHER, 0, np.sign(products)).astype(int).tolist()
    out: list[tuple[int, int, int]] = []
    for n, sign in enumerate(signs):
        if out and (sign in (0, out[-1][2]) or out[-1][2] == 0):
            out[-1] = (out[-1][0], n + 1, out[-1][2] or sign)
        else:
            out.append((n, n + 1, sign))
    names: dict[int, Slice] = {0: "either", 1: "along", -1: "against"}
    return [(first, last, names[sign]) for first, last, sign in out]


def with_grain(line: Array, grain: Grain) -> bool:
    """Whether a line (k, 2 or more) runs with the fibres, from end to end."""
    steps = np.diff(line[:, :2], axis=0)
    far = np.hypot(steps[:, 0], steps[:, 1])
    across = np.abs(steps @ fibres(grain)) < math.cos(math.radians(WITH_GRAIN_DEG)) * far
    return bool(len(steps) and float(far[across].sum()) <= 0.1 * float(far.sum()))
