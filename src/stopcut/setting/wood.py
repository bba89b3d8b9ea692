"""The wood left standing between two letters: the least gap at which no two grooves come nearer than they may.

Worked from the exact row profiles: a row of one letter and a row of its neighbour are taken to be as near in height as
any of their points are, so the answer errs on the safe side, by less than one row's height.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from stopcut.setting.profile import ROW, Profile

__all__ = ["least_gaps", "wood_between"]

Array = NDArray[np.float64]

APART = -1e6
"""Least gap of two letters that share no height, so that one could stand under the other. [1/1000 cap height]"""


def least_gaps(pairs: Sequence[tuple[Profile, Profile]], wood: float) -> Array:
    """The least gaps between the ink extents of letters side by side that leave this much wood. [1/1000 cap height]

    pairs are (letter on the left, letter on the right); wood ≥ 0 the least distance between their inks, measured
    straight across or aslant. Very negative where the two could never touch.
    """
    if not pairs:
        return np.empty(0)
    first = min(p.first for pair in pairs for p in pair)
    last = max(p.first + len(p.left) for pair in pairs for p in pair)
    # Ink of the left letter measured from its right extent (≤ 0), of the right letter from its left extent (≥ 0).
    right = np.stack([a.rows(first, last)[1] - a.x_right for a, _ in pairs])
    left = np.stack([b.rows(first, last)[0] - b.x_left for _, b in pairs])
    least = np.full(len(pairs), APART)
    for step in range(-math.ceil(wood / ROW), math.ceil(wood / ROW) + 1):
        rise = max(abs(step) - 1, 0) * ROW
        if rise < wood or step == 0:
            across = math.sqrt(max(wood * wood - rise * rise, 0.0))
            near = _shifted(right, step) - left
            least = np.maximum(least, near.max(axis=1) + across)
    return least


def wood_between(left: Profile, right: Profile, gap: float, enough: float) -> float:
    """About how much wood stands between two letters with this gap between extents, up to enough. [1/1000 cap height]

    0 when they touch or overlap.
    """
    low, high = 0.0, enough
    if least_gaps([(left, right)], enough)[0] <= gap:
        return enough
    if least_gaps([(left, right)], 0.0)[0] > gap:
        return 0.0
    for _ in range(20):
        middle = (low + high) / 2
        low, high = (middle, high) if least_gaps([(left, right)], middle)[0] <= gap else (low, middle)
    return low


def _shifted(rows: Array, step: int) -> Array:
    """Rows moved up by step, no ink where none came from."""
    if step == 0:
        return rows
    out = np.full_like(rows, -np.inf)
    if step > 0:
        out[:, step:] = rows[:, :-step]
    else:
        out[:, :step] = rows[:, -step:]
    return out
