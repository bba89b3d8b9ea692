"""Lines in pieces of one bend each, as long as one edge can follow.

A piece may hold curvatures that differ by so little that an edge made for the mean leaves no more than half of the
tolerance open at its ends. Curvature is signed. [1/mm]
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np

from stopcut.arrays import Array
from stopcut.bench.paths import along, at, between, evenly

__all__ = ["Bend", "Steps", "bends", "steps_of"]

EDGE_MM: Final = 10.0
"""The edge that a piece is measured with. [mm] Our choice: between the narrow and the wide tools of a roll."""
EDGE_RADII: Final = 0.7
"""And no wider than this on a tight curve. [its radii] Our choice: a third of a half circle's arc."""
SHORT_MM: Final = 1.5
"""Pieces shorter than this go with a neighbour where they can. [mm] Our choice."""
STRAIGHT_MM: Final = 8.0
"""A run of a centre line that is as good as straight over this much is straight. [mm] Our choice: where strokes meet,
lines lean aside by less than an edge's tolerance, and nobody picks up a gouge for it."""
TAKEN_IN: Final = 0.6
"""How far the end of what is taken in may lead away from its neighbour's bend. [tolerances] Our choice."""
WINDOW: Final = 0.6
SHORTEST_WINDOW_MM: Final = 1.0
"""The bend of a centre line is taken over this much either way, because flattening leaves kinks in it. [half-widths; at
least, mm] Our choice, from trials."""


@dataclass(frozen=True, slots=True)
class Bend:
    """Steps first to last (last not included) of a line, whose curvatures lie from least to most. [1/mm]"""

    first: int
    last: int
    least: float
    most: float


@dataclass(frozen=True, eq=False, slots=True)
class Steps:
    """A line in even steps: where (k,) they begin and end along it [mm], the curvature of each (k - 1,). [1/mm]"""

    line: Array
    where: Array
    curvature: Array

    @property
    def length(self) -> Array:
        """The length of each step. [mm]"""
        out: Array = np.diff(self.where)
        return out

    def part(self, first: int, last: int) -> Array:
        """The line from one step up to another, (k, columns)."""
        return between(self.line, float(self.where[first]), float(self.where[last]))


def steps_of(line: Array, half_width_mm: float, straight_mm: float) -> Steps:
    """Even steps of a line (k, columns), its first two columns the place; the bend of kinks evened out.

    Long runs that stay within straight_mm of their chord are straight, and so is a short line that does.
    """
    window = max(SHORTEST_WINDOW_MM, WINDOW * half_width_mm)
    points, where = evenly(line, window / 2)
    middle = (where[1:] + where[:-1]) / 2
    distances, total = along(line), float(where[-1])
    # A closed line's bend goes on round; an open one's ends have the bend of the nearest place that has a whole window.
    centres = np.clip(middle, min(window, total / 2), max(total - window, total / 2))
    back = at(line[:, :2], distances, np.maximum(centres - window, 0.0))
    here = at(line[:, :2], distances, centres)
    ahead = at(line[:, :2], distances, np.minimum(centres + window, total))
    one, two = here - back, ahead - here
    turn = np.arctan2(one[:, 0] * two[:, 1] - one[:, 1] * two[:, 0], np.einsum("ij,ij->i", one, two))
    reach = np.minimum(np.minimum(centres, total - centres), window)
    curvature = turn / np.maximum(reach, 1e-9)
    if len(curvature) >= 5:
        curvature = np.convolve(np.pad(curvature, 1, mode="edge"), [0.25, 0.5, 0.25], mode="valid")
    for first, last in _straights(points[:, :2], where, straight_mm, 0, len(where) - 1):
        curvature[first:last] = 0.0
    return Steps(line, where, curvature)


def _straights(points: Array, where: Array, straight_mm: float, first: int, last: int) -> Iterator[tuple[int, int]]:
    """The straight runs between two places (first and last of their points), the longest first."""
    best = (0.0, 0, 0)
    end = first
    for start in range(first, last):
        end = max(end, start + 1)
        while end < last and _off_chord(points[start : end + 2]) <= straight_mm:
            end += 1
        best = max(best, (float(where[end] - where[start]), start, end))
        if end == last:
            break
    run, start, end = best
    if run >= min(STRAIGHT_MM, float(where[-1])):
        yield start, end
        yield from _straights(points, where, straight_mm, first, start)
        yield from _straights(points, where, straight_mm, end, last)


def _off_chord(points: Array) -> float:
    """How far a line's points lie from the chord between its ends. [mm]"""
    chord, off = points[-1] - points[0], points - points[0]
    span = float(np.hypot(chord[0], chord[1]))
    if span == 0.0:
        return math.inf
    return float(np.abs(off[:, 0] * chord[1] - off[:, 1] * chord[0]).max()) / span


def bends(curvature: Array, length: Array, tolerance_mm: float) -> list[Bend]:
    """The steps of a line in pieces that one edge can follow within tolerance."""
    out: list[Bend] = []
    values, lengths = curvature.tolist(), length.tolist()
    first, least, most, run = 0, values[0], values[0], 0.0
    for n, (value, step) in enumerate(zip(values, lengths, strict=True)):
        low, high = min(least, value), max(most, value)
        if n > first and not _one_edge(low, high, run + step, tolerance_mm):
            out.append(Bend(first, n, least, most))
            first, low, high, run = n, value, value, 0.0
        least, most = low, high
        run += step
    out.append(Bend(first, len(values), least, most))
    return _without_short(out, lengths, tolerance_mm)


def _one_edge(least: float, most: float, run: float, tolerance_mm: float) -> bool:
    bend = 0.0 if least * most < 0 else min(abs(least), abs(most))
    edge = min(EDGE_MM, run, EDGE_RADII / bend if bend else EDGE_MM)
    return (most - least) / 2 * edge**2 / 8 <= tolerance_mm / 2


def _without_short(found: list[Bend], lengths: list[float], tolerance_mm: float) -> list[Bend]:
    """Short pieces taken in by the neighbour that bends most like them, where they hardly lead away from it."""
    pieces = list(found)
    fed = [False] * len(pieces)  # what has taken in a neighbour takes in no other, or a bend would be lost bit by bit
    n = 0
    while n < len(pieces):
        piece = pieces[n]
        run = sum(lengths[piece.first : piece.last])
        beside = [k for k in (n - 1, n + 1) if 0 <= k < len(pieces) and not fed[k]]
        off = {k: max(pieces[k].least - piece.least, piece.most - pieces[k].most, 0.0) for k in beside}
        best = min(beside, key=lambda k: off[k], default=None)
        if run >= SHORT_MM or fed[n] or best is None or off[best] * run**2 / 2 > TAKEN_IN * tolerance_mm:
            n += 1
            continue
        other = pieces[best]
        low, high = min(n, best), max(n, best)
        pieces[low : high + 1] = [Bend(pieces[low].first, pieces[high].last, other.least, other.most)]
        fed[low : high + 1] = [True]
        n = low
    return pieces
