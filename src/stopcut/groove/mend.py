"""Mending a flattened outline, so that the wavefront meets nothing that no chisel could follow either.

Taking overlaps out of glyphs leaves hair-thin spikes and slits, edges of a few thousandths of a millimetre and slivers
of rings; rounding may make contours touch or cross. In turn:

1. vertices go to a fine grid, on which tests for touching are exact;
2. an edge that is next to nothing is closed up; a spike or slit narrower than MOST goes whole; so does a ring;
3. where rings touch or cross (stopcut.groove.tangles), the crossings are made vertices, what is covered is kept, and
   the rings are led so that they touch from outside alone.

Nothing but such spikes, slits and slivers moves by more than MOST. All lengths are in units of the flattening
tolerance, which is what the shape is known to.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np

from stopcut.arrays import Array, Indices
from stopcut.groove.tangles import is_tangled, untangled
from stopcut.shape.flat import Flat

__all__ = ["GRID", "MOST", "mended", "on_grid", "unit_of"]


GRID = 2.0**-24
"""The grid that coordinates are moved to. [of the shape's reach rounded to a power of two] Our choice: moves a letter's
edge by 4 nm at 60 mm caps, and products of two differences stay exact in doubles."""
MOST = 0.8
"""The most that mending moves an outline, and the width under which a spike or slit goes whole. [tolerances] Our
choice: 0.017 to 0.019 mm at 60 mm caps flattened to 0.00025 em, and never 0.02 mm of an ornament."""
TINY = 0.4
"""An edge shorter than this is closed up. [tolerances] Our choice: 0.0001 em of a letter, found needful."""
HAIRPIN_DEG = 165.0
"""A vertex that turns this much is a spike's tip or a slit's end. [degrees] Our choice, as TINY."""
CORNER_DEG = 30.0
"""A turn left by mending that counts as a break of the outline. [degrees] Our choice: flattening turns less."""
ROUNDS = 8
"""How often a ring is gone over; each round can only take vertices away. Our choice: two were the most needed."""


def unit_of(flat: Flat) -> float:
    """The outline's reach from the origin as a power of two: in this unit its coordinates are of the order of 1."""
    reach = max(float(np.abs(ring).max()) for ring in flat.rings)
    return float(2.0 ** round(math.log2(reach))) if 0 < reach < math.inf else 1.0


def on_grid(ring: Array, unit: float) -> Array:
    """The ring with its vertices on the grid."""
    step = GRID * unit
    snapped: Array = np.round(ring / step) * step
    return snapped


def mended(flat: Flat, tolerance: float) -> Flat:
    """The outline without hair spikes, slits, slivers and tiny edges, its rings simple and apart.

    tolerance is what it was flattened to. Edges keep the sources they had; a vertex made here has the turn of its
    chords as its break. May be empty.
    """
    if not flat.rings:
        return flat
    unit = unit_of(flat)
    tidy = _tidied([_Ring.of(flat, i, unit) for i in range(len(flat.rings))], tolerance)
    if is_tangled([ring.points for ring in tidy]):
        whole = _flat(tidy)
        apart = untangled(whole, GRID * unit)
        tidy = _tidied([_Ring.of(apart, i, unit) for i in range(len(apart.rings))], tolerance)
    return _flat([ring for ring in tidy if not _is_sliver(ring, tolerance)])


@dataclass(slots=True)
class _Ring:
    points: Array
    sources: Indices
    breaks: Array
    touched: set[int] = field(default_factory=set)

    @classmethod
    def of(cls, flat: Flat, number: int, unit: float) -> _Ring:
        return cls(on_grid(flat.rings[number], unit), flat.sources[number].copy(), flat.breaks[number].copy())


def _flat(rings: list[_Ring]) -> Flat:
    return Flat(tuple(r.points for r in rings), tuple(r.sources for r in rings), tuple(r.breaks for r in rings))


def _tidied(rings: list[_Ring], tolerance: float) -> list[_Ring]:
    for ring in rings:
        for _ in range(ROUNDS):
            if not _tidy_once(ring, tolerance):
                break
    return [ring for ring in rings if len(ring.points) >= 3]


def _is_sliver(ring: _Ring, tolerance: float) -> bool:
    """Whether a ring is nowhere wide enough to matter: its mean width, 2·area/perimeter, is under half of MOST."""
    step = np.roll(ring.points, -1, axis=0) - ring.points
    x, y = (ring.points - ring.points[0]).T
    area = abs(float(x @ np.roll(y, -1) - y @ np.roll(x, -1))) / 2
    return area < MOST / 4 * tolerance * float(np.hypot(*step.T).sum())


def _tidy_once(ring: _Ring, tolerance: float) -> bool:
    """Take away what of one ring is too small, no two neighbours in one round. False if there was nothing."""
    step = np.roll(ring.points, -1, axis=0) - ring.points
    length = np.hypot(*step.T)
    before, length_before = np.roll(step, 1, axis=0), np.roll(length, 1)
    cross = before[:, 0] * step[:, 1] - before[:, 1] * step[:, 0]
    dot = (before * step).sum(axis=1)
    longer = np.maximum(length, length_before)
    with np.errstate(divide="ignore", invalid="ignore"):
        width = np.abs(cross) / longer
    hairpin = (np.abs(np.degrees(np.arctan2(cross, dot))) >= HAIRPIN_DEG) & (width < MOST * tolerance)
    tiny = length < TINY * tolerance
    if not (hairpin.any() or tiny.any()):
        return False
    gone: set[int] = set()
    n = len(ring.points)
    for i in np.flatnonzero(hairpin | tiny).tolist():
        if n - len(gone) >= 3 and not gone & {(i - 2) % n, (i - 1) % n, i, (i + 1) % n, (i + 2) % n}:
            gone.add(_close_edge(ring, i, tolerance) if tiny[i] else _cut_hairpin(ring, i, length))
    _take_away(ring, gone)
    return bool(gone)


def _close_edge(ring: _Ring, i: int, tolerance: float) -> int:
    """Close the tiny edge i → i + 1: both ends become where its neighbours' lines meet, or, if that is not near,
    the end of the longer neighbour."""
    n = len(ring.points)
    j = (i + 1) % n
    a, b, c, d = (ring.points[k % n] for k in (i - 1, i, i + 1, i + 2))
    u, v = b - a, d - c
    cross = float(u[0] * v[1] - u[1] * v[0])
    meet = None
    if abs(cross) > 1e-6 * float(np.hypot(*u) * np.hypot(*v)):
        w = c - a
        meet = a + u * float(w[0] * v[1] - w[1] * v[0]) / cross
    if meet is None or max(np.hypot(*(meet - b)), np.hypot(*(meet - c))) > MOST * tolerance:
        meet = b if np.hypot(*u) >= np.hypot(*v) else c
    ring.points[j] = meet
    ring.breaks[j] += ring.breaks[i]
    return i


def _cut_hairpin(ring: _Ring, i: int, length: Array) -> int:
    """Take vertex i, the tip, away: the edge that then joins its neighbours runs along the longer of its two edges."""
    n = len(ring.points)
    if length[i] > length[i - 1]:
        ring.sources[i - 1] = ring.sources[i]
    ring.touched |= {(i - 1) % n, (i + 1) % n}
    return i


def _take_away(ring: _Ring, gone: set[int]) -> None:
    keep = np.array([i not in gone for i in range(len(ring.points))])
    number = np.cumsum(keep) - 1
    touched = [int(number[i]) for i in ring.touched if keep[i]]
    ring.points, ring.sources, ring.breaks = ring.points[keep], ring.sources[keep], ring.breaks[keep].copy()
    ring.touched = set()
    for i in touched:
        if len(ring.points) >= 3:
            turn = _turn(ring.points, i)
            ring.breaks[i] = turn if abs(turn) >= CORNER_DEG else ring.breaks[i]


def _turn(points: Array, i: int) -> float:
    a, b, c = points[i - 1], points[i], points[(i + 1) % len(points)]
    u, v = b - a, c - b
    return math.degrees(math.atan2(float(u[0] * v[1] - u[1] * v[0]), float(u @ v)))
