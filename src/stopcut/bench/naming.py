"""How strokes and their sides are called, as they are seen on the paper.

A stem or a diagonal has a left and a right wall, a level stroke an upper and a lower one, a curve an inside and an
outside (common practice).
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from stopcut.arrays import Array
from stopcut.bench.paths import along, at, between, closed, evenly, headings
from stopcut.bench.plan import Side, Stroke

__all__ = ["LEVEL_DEG", "side_of"]

LEVEL_DEG: Final = 12.0
"""What heads within this of level has an upper and a lower wall. [degrees] Our choice, as for bars."""
CURVED_DEG: Final = 40.0
"""A curve that turns more along a wall has an inside and an outside there. [degrees] Our choice."""
LOOKS: Final = 9
"""Places along a wall at which it is asked on which side of its stroke it lies. Our choice; the most votes decide."""
HARDLY: Final = 0.2
"""A wall that lies aside by less than such a share of how far it lies above or below is named by that. Our choice."""
NEAR_MM: Final = 0.01
"""What lies so near to a stroke's end lies at it. [mm] Our choice: rounding."""
SHORT_MM: Final = 1.0
"""A wall beside less of its stroke than this is named by the whole stroke. [mm] Our choice: the middle of an end."""


def side_of(wall: Array, stroke: Stroke | None) -> Side | None:
    """On which side of its stroke a wall lies; wall (k, 2 or more) is its line on the outline. None without a stroke.

    A stroke may turn one way and then the other, as an 8 does: what counts is how it runs beside the wall.
    """
    if stroke is None or len(wall) < 2:
        return None
    middle = _doubled_out(stroke.points)
    if len(middle) < 2:
        return None
    left, where, aside = _beside(wall, middle)
    length = float(along(middle)[-1])
    if not closed(middle) and np.median(np.minimum(where, length - where)) < NEAR_MM:
        return _called(aside, level=abs(float(aside[1])) > abs(float(aside[0])))
    beside = _stretch(middle, where)
    if stroke.kind in ("bowl", "arc"):
        turned = _turn_deg(beside, float(np.median(stroke.half_width_mm)))
        if abs(turned) > CURVED_DEG:
            return "inside" if left == (turned > 0) else "outside"
    chord = beside[-1] - beside[0]
    level = abs(float(chord[1])) <= math.tan(math.radians(LEVEL_DEG)) * abs(float(chord[0]))
    return _called(aside, level=level)


def _called(aside: Array, *, level: bool) -> Side:
    """The name of what lies this way from its stroke, which runs level or does not; by the other way where it lies
    hardly aside in the one."""
    right, above = aside.tolist()
    if level and abs(above) < HARDLY * abs(right):
        level = False
    elif not level and abs(right) < HARDLY * abs(above):
        level = True
    if level:
        return "upper" if above > 0 else "lower"
    return "right" if right > 0 else "left"


def _stretch(middle: Array, where: Array) -> Array:
    """The part of a line on which some places along it lie, round the beginning of a closed one if need be; all of it
    where that is too short to say anything."""
    first, last = float(where.min()), float(where.max())
    if closed(middle):
        length = float(along(middle)[-1])
        found = np.sort(where)
        gaps = np.diff(np.concatenate([found, found[:1] + length]))
        start = (int(gaps.argmax()) + 1) % len(found)
        first, last = float(found[start]), float(found[start]) + length - float(gaps.max())
        middle = np.vstack([middle, middle[1:]])
    return between(middle, first, last) if last - first > SHORT_MM else middle


def _doubled_out(points: Array) -> Array:
    """A line without points that stand twice in a row, as where two parts meet at a joint."""
    kept = np.concatenate([[True], np.any(np.abs(np.diff(points, axis=0)) > 1e-6, axis=1)])
    out: Array = points[kept]
    return out


def _beside(wall: Array, middle: Array) -> tuple[bool, Array, Array]:
    """Whether most places of a wall lie on the left of a line, each looked at from the nearest place on it; how far
    along the line these are; and which way the wall lies from them, right and up. [mm]"""
    distances = along(wall)
    places = at(wall[:, :2], distances, np.linspace(0.0, distances[-1], LOOKS + 2)[1:-1])
    start, step = middle[:-1], np.diff(middle, axis=0)
    squared = np.einsum("ij,ij->i", step, step)
    off = places[:, None] - start[None]
    part = np.clip(np.einsum("kij,ij->ki", off, step) / squared, 0.0, 1.0)
    away = off - part[:, :, None] * step[None]
    near = np.hypot(away[:, :, 0], away[:, :, 1]).argmin(axis=1)
    rows = np.arange(len(places))
    cross = step[near, 0] * off[rows, near, 1] - step[near, 1] * off[rows, near, 0]
    where = along(middle)[near] + part[rows, near] * np.sqrt(squared[near])
    return float(np.sign(cross).sum()) > 0, where, away[rows, near].mean(axis=0)


def _turn_deg(line: Array, step_mm: float) -> float:
    """How far a line turns from end to end, to the left. [degrees]"""
    looked, _ = evenly(line, max(step_mm, SHORT_MM))
    way = headings(looked)
    return float(way[-1] - way[0])
