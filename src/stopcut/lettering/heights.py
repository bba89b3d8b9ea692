"""Heights and stems measured on outlines: what a rule and dividers would find on the letter.

Outlines here are letters in em, y = 0 on the baseline.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from stopcut.arrays import Array, Flags, Indices
from stopcut.shape.outline import Contour, Outline

__all__ = ["flat_top", "slant_of", "upright_stem"]

LEVEL_DEG = 2.0
"""A top counts as flat up to this slope. [degrees] Our choice: cupped serifs of inscriptional faces lie within it."""
LEAST_FLAT = 0.02
"""Shortest flat that a height is taken from. [em] Our choice: 1.7 mm on 60 mm capitals."""
NEAR_TOP = 0.1
"""A flat lower than this part of the letter's height below its top is none of its tops (a foot, a bar). Our choice."""
UPRIGHT_DEG = 3.0
"""A stem's sides lean no more than this (from the face's own slant). [degrees] Our choice: waisted stems lie within."""
STEM_LENGTH = 0.2
"""A stem runs for at least this part of its letter's height. Our choice: arms' ends and serifs are shorter."""
AS_LONG = 0.8
"""Of stems at least this part as long as the longest, the thickest is taken (the left one of a roman U). Our choice."""
LEVELS = 81
"""Heights at which a letter is scanned. Our choice: one every 0.01 em and closer."""
WIDEST = 0.6
"""Nothing wider than this part of the letter's height is a stem. Our choice: the boldest poster faces lie below."""
STEPS = 16
"""Edges along each curve. Our choice: a waisted side, whose curve bends by some 0.01 em, is then true to 1e-5 em."""
NEAR = 2e-5
"""Sides that differ by less are one. [em] 0.002 mm on 60 mm capitals."""


@dataclass
class _Stem:
    """A stretch of ink between two near-upright sides, followed upwards from level to level."""

    levels: list[int]
    lefts: list[float]
    rights: list[float]


def flat_top(outline: Outline) -> float | None:
    """The height of the topmost flat, or None where the shape has no flat top (O, A). [em]

    The flat of an H or an x. Where that flat is cupped its highest point counts.
    """
    if not outline:
        return None
    bounds = outline.bounds
    least = bounds.top - NEAR_TOP * bounds.height
    return max((flat for contour in outline.contours for flat in _flats(contour) if flat >= least), default=None)


def _flats(contour: Contour) -> Iterator[float]:
    """The heights of a contour's level runs that have their ink below (the contour runs leftwards there)."""
    steepest = math.tan(math.radians(LEVEL_DEG))
    run, highest = 0.0, -math.inf
    for segment in (*contour.segments, *contour.segments):  # twice round, for a run across the seam
        (x0, y0), (x1, y1) = segment[0], segment[-1]
        if x1 < x0 and abs(y1 - y0) <= steepest * (x0 - x1):
            run, highest = run + x0 - x1, max(highest, y0, y1)
            if run >= LEAST_FLAT:
                yield highest
        else:
            run, highest = 0.0, -math.inf


def slant_of(outline: Outline) -> float | None:
    """How far a straight letter (I, l) leans to the right, or None where its sides do not agree. [degrees]"""
    if not outline:
        return None
    bounds = outline.bounds
    low, high = bounds.bottom + 0.35 * bounds.height, bounds.bottom + 0.65 * bounds.height
    rows = _spans(outline, np.array([low, high]))
    if any(len(row) != 1 for row in rows):
        return None
    left, right = (math.degrees(math.atan2(rows[1][0][i] - rows[0][0][i], high - low)) for i in (0, 1))
    return (left + right) / 2 if abs(left - right) <= UPRIGHT_DEG else None


def upright_stem(outline: Outline, slant_deg: float = 0.0) -> float | None:
    """The width of the letter's upright stem, measured square to it, or None where it has none (O, S, V). [em]

    Two near-parallel sides that face each other upright (or along the face's slant, positive leaning to the right)
    over a good part of the letter's height; where stems differ, the thickest of the long ones; where one is waisted,
    its width nearest the letter's half height.
    """
    if not outline:
        return None
    lean = math.tan(math.radians(slant_deg))
    straightened = outline.mapped((1, 0, -lean, 1, 0, 0)) if lean else outline
    bounds = straightened.bounds
    if bounds.height <= 0:
        return None
    levels = bounds.bottom + bounds.height * (np.arange(LEVELS) + 0.5) / LEVELS
    stems = _stems(_upright_spans(straightened, levels, WIDEST * bounds.height), bounds.height / LEVELS)
    long_enough = [stem for stem in stems if len(stem.levels) >= STEM_LENGTH * LEVELS]
    if not long_enough:
        return None
    longest = max(len(stem.levels) for stem in long_enough)
    widths = [_width(stem) for stem in long_enough if len(stem.levels) >= AS_LONG * longest]
    return max(widths) * math.cos(math.radians(slant_deg))


def _width(stem: _Stem) -> float:
    nearest = min(range(len(stem.levels)), key=lambda i: abs(stem.levels[i] - LEVELS // 2))
    return stem.rights[nearest] - stem.lefts[nearest]


def _spans(outline: Outline, levels: Array) -> list[list[tuple[float, float]]]:
    """At each level the ink's spans from left to right: (left, right)."""
    row, left, right, _ = _crossings(outline, levels)
    return _by_level(row, left, right, len(levels))


def _upright_spans(outline: Outline, levels: Array, widest: float) -> list[list[tuple[float, float]]]:
    """At each level the spans between two near-upright sides that are no wider than widest."""
    row, left, right, upright = _crossings(outline, levels)
    kept = upright & (right - left <= widest)
    return _by_level(row[kept], left[kept], right[kept], len(levels))


def _by_level(row: Indices, left: Array, right: Array, levels: int) -> list[list[tuple[float, float]]]:
    spans = list(zip(left.tolist(), right.tolist(), strict=True))
    return [spans[first:last] for first, last in pairwise(np.searchsorted(row, np.arange(levels + 1)).tolist())]


def _crossings(outline: Outline, levels: Array) -> tuple[Indices, Array, Array, Flags]:
    """The spans of ink, in order of level and from left to right: level, left, right, both sides upright or not."""
    starts, ends = _edges(outline)
    row, edge = np.nonzero((starts[:, 1] > levels[:, None]) != (ends[:, 1] > levels[:, None]))
    slope = (ends[edge, 0] - starts[edge, 0]) / (ends[edge, 1] - starts[edge, 1])
    x = starts[edge, 0] + (levels[row] - starts[edge, 1]) * slope
    order = np.lexsort((x, row))
    row, x = row[order], x[order]
    upright = np.abs(slope[order]) <= math.tan(math.radians(UPRIGHT_DEG))
    place = np.arange(len(row)) - np.searchsorted(row, row)  # a closed outline is crossed an even number of times
    first = np.flatnonzero(place[:-1] % 2 == 0)
    first = first[(row[first] == row[first + 1]) & (x[first + 1] > x[first])]
    return row[first], x[first], x[first + 1], upright[first] & upright[first + 1]


def _edges(outline: Outline) -> tuple[Array, Array]:
    """Starts and ends, each (n, 2), of short edges along the outline, in no order."""
    starts, ends = [np.empty((0, 2))], [np.empty((0, 2))]
    for size in (2, 3, 4):
        control = np.array([segment for segment in outline.segments if len(segment) == size], dtype=float)
        if len(control) == 0:
            continue
        steps = 1 if size == 2 else STEPS
        t = np.linspace(0, 1, steps + 1)
        share = np.array([math.comb(size - 1, i) * t**i * (1 - t) ** (size - 1 - i) for i in range(size)])
        points = np.einsum("ij,nik->njk", share, control)
        points[:, 0], points[:, -1] = control[:, 0], control[:, -1]
        starts.append(points[:, :-1].reshape(-1, 2))
        ends.append(points[:, 1:].reshape(-1, 2))
    return np.concatenate(starts), np.concatenate(ends)


def _stems(spans: Sequence[Sequence[tuple[float, float]]], step: float) -> list[_Stem]:
    """Upright spans followed upwards while both sides stay where they were (to within the slope allowed)."""
    near = step * math.tan(math.radians(UPRIGHT_DEG)) + NEAR
    done: list[_Stem] = []
    growing: list[_Stem] = []
    for level, row in enumerate(spans):
        still: list[_Stem] = []
        for left, right in row:
            stem = next(
                (s for s in growing if abs(s.lefts[-1] - left) <= near and abs(s.rights[-1] - right) <= near), None
            )
            if stem is None:
                stem = _Stem([], [], [])
            else:
                growing.remove(stem)
            stem.levels.append(level)
            stem.lefts.append(left)
            stem.rights.append(right)
            still.append(stem)
        done += growing
        growing = still
    return done + growing
