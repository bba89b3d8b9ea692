"""The wood left standing between two letters: the least gap at which no two grooves come nearer than they may.

Worked from the exact row profiles: a row of one letter and a row of its neighbour are taken to be as near in height as
any of their points are, so the answer errs on the safe side, by less than one row's height. On an arc the rows are
rings about its centre.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache

import numpy as np

from stopcut.arrays import Array, Indices
from stopcut.setting.bent import Bow
from stopcut.setting.profile import ROW, Profile

__all__ = ["least_gaps"]


APART = -1e6
"""Least gap of two letters that share no height, so that one could stand under the other. [1/1000 cap height]"""


def least_gaps(pairs: Sequence[tuple[Profile, Profile]], wood: float, bow: Bow | None = None) -> Array:
    """The least gaps between the ink extents of letters side by side that leave this much wood. [1/1000 cap height]

    pairs are (letter on the left, letter on the right); wood ≥ 0 the least distance between their inks, measured
    straight across or aslant. Very negative where the two could never touch. With a bow the profiles are bent to it,
    and gaps are along its circle at mid cap height.
    """
    if not pairs:
        return np.empty(0)
    first, last, right, left = _facing(tuple(pairs))
    least = np.full(len(pairs), APART)
    for step in range(-math.ceil(wood / ROW), math.ceil(wood / ROW) + 1):
        rise = max(abs(step) - 1, 0) * ROW
        if rise < wood or step == 0:
            across = math.sqrt(max(wood * wood - rise * rise, 0.0))
            near = _shifted(right, step) - left
            along = across if bow is None else _along(across, np.arange(first, last), step, bow)
            least = np.maximum(least, (near + along).max(axis=1))
    return least


@lru_cache(maxsize=16)  # a line is laid out at many heights until it fits, and its letters face each other alike in all
def _facing(pairs: tuple[tuple[Profile, Profile], ...]) -> tuple[int, int, Array, Array]:
    """The rows that the letters of all pairs lie in, from first to before last; and (pairs, rows) the ink of the left
    letter measured from its right extent (≤ 0), of the right letter from its left extent (≥ 0)."""
    first = min(p.first for pair in pairs for p in pair)
    last = max(p.first + len(p.left) for pair in pairs for p in pair)
    right = np.stack([a.rows(first, last)[1] - a.x_right for a, _ in pairs])
    left = np.stack([b.rows(first, last)[0] - b.x_left for _, b in pairs])
    right.flags.writeable = left.flags.writeable = False
    return first, last, right, left


def _along(across: float, rows: Indices, step: int, bow: Bow) -> Array:
    """How far two points, one a ring of these and one step rings lower, must be turned from each other about the
    bow's centre so that they come across apart beside what they are apart in height; along mid cap height.

    From d² = (r − s)² + 4·r·s·sin²(turn / 2), with the least radii in the two rings.
    """
    inner = rows if bow.heads > 0 else rows + 1
    here, there = (np.maximum(bow.radius + bow.heads * ROW * (inner - by), 1e-9) for by in (0, step))
    out: Array = 2 * bow.middle * np.arcsin(np.minimum(across / 2 / np.sqrt(here * there), 1.0))
    return out


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
