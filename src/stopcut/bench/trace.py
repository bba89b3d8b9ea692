"""Lines as an edge meets them: even steps of what is stabbed, the outline's edges of what is pared."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from stopcut.arrays import Array
from stopcut.bench.bends import steps_of
from stopcut.bench.paths import along, at
from stopcut.bench.plan import PLACES, Trace
from stopcut.bench.walls import Walls

__all__ = ["pared", "places_of", "stabbed"]

STEP_MM: Final = 2.0
"""A long edge of the outline is looked at this often, for its depth changes along it. [mm] Our choice."""


def stabbed(line: Array, half_width_mm: float, straight_mm: float) -> Trace:
    """A line (k, 3) to stab along, kinks of the centre line evened out; see bends.steps_of."""
    if len(line) == 1 or along(line)[-1] <= 0:
        return Trace(np.zeros(1), np.zeros(1), line[:1, 2].copy(), np.repeat(line[:1], PLACES, axis=0))
    steps = steps_of(line, half_width_mm, straight_mm)
    depth = at(line[:, 2:], along(line), (steps.where[1:] + steps.where[:-1]) / 2)[:, 0]
    return Trace(steps.length, np.abs(steps.curvature), depth, places_of(line))


def pared(walls: Walls, faces: Sequence[int]) -> Trace:
    """The wall of faces in a row."""
    length: list[float] = []
    bend: list[float] = []
    depth: list[float] = []
    for face in faces:
        run = float(walls.length_mm[face])
        count = max(1, round(run / STEP_MM))
        inner = [(0.0, 0.0), *walls.profiles[face], (run, 0.0)]
        where = [run * (n + 0.5) / count for n in range(count)]
        depth += np.interp(where, [place for place, _ in inner], [deep for _, deep in inner]).tolist()
        length += [run / count] * count
        bend += [float(walls.bend[face])] * count
    return Trace(np.array(length), np.array(bend), np.array(depth), places_of(walls.path(faces)))


def places_of(line: Array) -> Array:
    """PLACES even places along a line (k, 3)."""
    distances = along(line)
    return at(line, distances, np.linspace(0.0, distances[-1], PLACES))
