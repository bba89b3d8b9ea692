"""The light between two lines of which one or both stand on an arc.

The feet of the upper line and the heads of the lower follow two rails, each a straight line or part of a circle. Where
the rails lie nearest the eye judges most, as between the sides of two letters; the same rails at the lowest tail and
the highest head must leave the wood standing. Two straight lines beside each other have one distance all along, so that
arcs of a very large radius come out as straight lines do.
"""

from __future__ import annotations

import math

import numpy as np

from stopcut.arrays import Array, Flags
from stopcut.setting.lay import Lain
from stopcut.setting.profile import slices

__all__ = ["even_gap", "least_gap", "rail"]


_REACH = 0.1
"""How gradually nearness counts, in parts of the lines' mean cap height. Our choice, by eye: somewhat
less than between letters, so that the ends of an arc keep clear of a long line under it."""

_POINTS = 33
"""Points of a rail at which light is measured. Our choice: about one a letter."""

_FINE = 4
"""Times as many points for the wood."""

_CLOSE_MM = 0.005
_MOST_ROUNDS = 40


def rail(line: Lain, left_mm: float, level_mm: float, points: int = _POINTS) -> Array:
    """Points (points, 2) along a line's whole ink at a height above its baseline (below: < 0). [mm]

    left_mm is where its ink begins, on the board; y = 0 on its baseline, at an arc's own middle.
    """
    if line.bend is None:
        return np.stack([np.linspace(left_mm, left_mm + line.box.width, points), np.full(points, level_mm)], axis=1)
    heads, radius = line.bend.heads, line.bend.radius_mm
    turns = np.linspace(*line.bend.turns, points)
    out = np.stack([np.sin(turns), np.cos(turns)], axis=1) * (radius + heads * level_mm)
    # cos − 1 written so that nothing is lost on a very large circle.
    out[:, 1] = heads * (heads * level_mm * np.cos(turns) - 2 * radius * np.sin(turns / 2) ** 2)
    out[:, 0] += left_mm + line.bend.centre_mm
    return out


def even_gap(upper: Lain, lower: Lain, lefts: tuple[float, float], light_mm: float, least_mm: float) -> float:
    """The gap from the upper line's baseline to the lower's cap height at which the light between is light_mm. [mm]

    Where an arc is, both are taken at its own middle. lefts are where the two lines' ink begins. Never below least_mm.
    """
    feet, heads = rail(upper, lefts[0], 0.0), rail(lower, lefts[1], lower.cap_height_mm)
    heads[:, 1] -= lower.cap_height_mm
    reach = _REACH * (upper.cap_height_mm + lower.cap_height_mm) / 2
    beside = _beside(feet, heads)
    if beside is not None:
        return max(light_mm + beside, least_mm)
    # From far enough down for the lines to clear each other, up by what there is too much of: light never falls faster
    # than the gap, so this stops before the rails meet.
    gap = max(light_mm, 0.0) + float(heads[:, 1].max() - feet[:, 1].min())
    for _ in range(_MOST_ROUNDS):
        over = _light(feet, heads - [0.0, gap], reach) - light_mm
        gap = max(gap - over, least_mm)
        if abs(over) < _CLOSE_MM or gap == least_mm:
            break
    return gap


def least_gap(upper: Lain, lower: Lain, lefts: tuple[float, float], wood_mm: float) -> float:
    """The least such gap at which the lowest tail of the one and the highest head of the other leave the wood. [mm]

    Tails and heads are taken to be anywhere along the line.
    """
    tail, head = min(_tails(upper), 0.0), max(_heads(lower), lower.cap_height_mm)
    low, high = rail(upper, lefts[0], tail, _FINE * _POINTS), rail(lower, lefts[1], head, _FINE * _POINTS)
    high[:, 1] -= lower.cap_height_mm
    beside = _beside(low, high)
    if beside is not None:
        return beside + wood_mm
    column = max(wood_mm / 4, 1.0)
    first, lows, _ = _columns(low, column)
    other, _, highs = _columns(high, column)
    start, end = min(first, other), max(first + len(lows), other + len(highs))
    floor, ceiling = np.full(end - start, np.inf), np.full(end - start, -np.inf)
    floor[first - start : first - start + len(lows)] = lows
    ceiling[other - start : other - start + len(highs)] = highs
    least = -math.inf
    for step in range(-math.ceil(wood_mm / column), math.ceil(wood_mm / column) + 1):
        aside = max(abs(step) - 1, 0) * column
        if aside < wood_mm or step == 0:
            moved = np.roll(np.pad(ceiling, abs(step), constant_values=-np.inf), step)
            moved = moved[abs(step) : len(moved) - abs(step)] if step else moved
            least = max(least, float((moved - floor).max()) + math.sqrt(max(wood_mm**2 - aside**2, 0.0)))
    return least


def _tails(line: Lain) -> float:
    """The lowest ink from the baseline, ≤ 0 where it reaches below; on an arc towards or from its centre. [mm]"""
    return min(float(shape.columns[1].min()) for shape in line.rows) * line.unit_mm


def _heads(line: Lain) -> float:
    """The highest ink from the baseline, likewise. [mm]"""
    return max(float(shape.columns[2].max()) for shape in line.rows) * line.unit_mm


def _beside(feet: Array, heads: Array) -> float | None:
    """How far the heads' end stands above the feet's where the two lines lie beside each other and share no width; the
    ends nearest to each other stand for the lines then. None where they share some. [mm]
    """
    if max(feet[:, 0].min(), heads[:, 0].min()) <= min(feet[:, 0].max(), heads[:, 0].max()):
        return None
    near = int(np.argmin(np.abs(feet[[0, -1], 0] - heads[[-1, 0], 0])))
    return float(heads[[-1, 0], 1][near] - feet[[0, -1], 1][near])


def _columns(points: Array, column: float) -> tuple[int, Array, Array]:
    """A rail in columns: the number of the leftmost, the lowest and the highest of it in each."""
    scale = 10.0 / column
    swapped = points[:, ::-1] * scale
    first, low, high = slices(swapped[:-1], swapped[1:])
    return first, low / scale, high / scale


def _light(feet: Array, heads: Array, reach: float) -> float:
    """A soft least distance of two rails, over the points of each that face the other."""
    there, back = _distances(feet, heads), _distances(heads, feet)
    away = np.concatenate([there[0], back[0]])
    facing = np.concatenate([there[1], back[1]])
    # What faces nothing (a line's ends beyond the other's) counts only where it is nearer than all that does.
    counts = facing | (away <= away[facing].min(initial=away.min() if not facing.any() else math.inf))
    near = away[counts]
    least = float(near.min())
    return least - reach * math.log(float(np.exp((least - near) / reach).mean()))


def _distances(points: Array, line: Array) -> tuple[Array, Flags]:
    """From points (n, 2) to the nearest of a line of points (m, 2): how far, and whether not to one of its ends."""
    step = np.diff(line, axis=0)
    to = points[:, None, :] - line[None, :-1, :]
    share = (to * step).sum(axis=2) / np.maximum((step * step).sum(axis=1), 1e-30)
    held = np.clip(share, 0.0, 1.0)
    away = np.hypot(*np.moveaxis(to - held[..., None] * step, 2, 0))
    nearest = away.argmin(axis=1)
    at = (np.arange(len(points)), nearest)
    beyond = ((nearest == 0) & (share[at] < 0)) | ((nearest == len(step) - 1) & (share[at] > 1))
    return away[at], ~beyond
