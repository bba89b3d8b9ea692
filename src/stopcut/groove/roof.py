"""The roof over an outline: flattened, mended, its skeleton grown, its faces walked, checked, and kept.

`roof_of` is the way in for letters: what it gives depends on the outline's shape and the tolerance alone, so it is
kept in memory and on disk; size, place, wall angle and flat bottom come afterwards. `roof` does the work for an
outline already flattened. What grows a roof is only loaded to grow one: most letters are known.
"""

from __future__ import annotations

import random
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from stopcut.arrays import Array
from stopcut.errors import CarverError
from stopcut.groove.surface import Roof
from stopcut.keep import keep, pack_arrays, unpack_arrays
from stopcut.shape.flat import Flat, flatten
from stopcut.shape.outline import Outline

__all__ = ["ROOF_VERSION", "TOLERANCE_EM", "RoofError", "flat_for_roof", "pack_roof", "roof", "roof_of", "unpack_roof"]

Number = TypeVar("Number", np.float64, np.int64)

TOLERANCE_EM = 0.00025
"""How far a letter's flattened edge may be from its curve. [em] Our choice: 0.02 mm at 60 mm caps, and the area-true
push brings depths nearer still; at twice as much the lines of small old-style letters moved by more than 0.05 mm."""
JITTER = 1e-6
"""How far vertices are moved at random when a roof fails. [of the shape's size] Our choice: mended every failure of
21,000 runs; 0.1 μm at 60 mm caps."""
TRIES = 6
"""Times a failing roof is tried, each but the first with another jitter. Our choice."""
INWARD_DEG = 6.0
"""How far one edge turns from the last where a crotch is a round. [degrees] The mitre at such an edge runs ahead of the
round's own walls by 1/cos 3° − 1 = 0.14 %. Our choice: with it depths no longer hang on how finely a round is cut."""
TANGENT = 2.0
"""How far a curve's edge follows its tangent beside a crotch. [tolerances] The mitre that runs in from there then has
the curve's own direction and not that of a chord. Our choice: off the curve by a hundredth of a tolerance, and not so
short that mending would close it."""
ROOF_VERSION = 5
"""Raised when the same outline would now give another roof: what older versions kept is then not used."""


class RoofError(CarverError):
    """The roof of an outline could not be worked out. reason says what went wrong; who knows face and glyph adds it."""

    def __init__(self, reason: str) -> None:
        super().__init__(
            f"the groove of this shape could not be worked out ({reason}); "
            "it may cross or touch itself: another face, weight or size, or a redrawn path, would do"
        )
        self.reason = reason


def roof_of(outline: Outline, tolerance: float) -> Roof:
    """The roof of a clean outline flattened to tolerance (in the outline's own unit), worked out once.

    The rings of its flat are the mended, snapped ones; their sources count through outline.segments. Raises RoofError.
    """
    return keep().remembered(
        "roof",
        (outline.digest, tolerance),
        lambda: _made(outline, tolerance),
        version=ROOF_VERSION,
        pack=pack_roof,
        unpack=unpack_roof,
    )


def _made(outline: Outline, tolerance: float) -> Roof:
    from stopcut.groove.mend import mended

    return roof(mended(_finite(flat_for_roof(outline, tolerance)), tolerance))


def flat_for_roof(outline: Outline, tolerance: float) -> Flat:
    """An outline flattened for its roof: fine where it bends into the shape, its crotches true."""
    return flatten(outline, tolerance, inward_deg=INWARD_DEG, tangent=TANGENT * tolerance)


def roof(flat: Flat) -> Roof:
    """The roof of a flattened outline whose rings are simple and apart. Raises RoofError.

    The result's flat has its vertices moved to a fine grid (and, where nothing else helped, a little at random).
    """
    if not flat.rings:
        none = np.empty((0, 2), dtype=np.int64)
        return Roof(flat, np.empty((0, 2)), np.empty(0), (), none, none)
    from stopcut.groove.mend import on_grid, unit_of
    from stopcut.groove.wavefront import Late, Lost

    unit = unit_of(_finite(flat))
    reason = ""
    for attempt in range(TRIES):
        rings = tuple(on_grid(_shaken(ring / unit, attempt), 1.0) for ring in flat.rings)
        try:
            return _grown(rings, flat, unit)
        except Late:
            raise RoofError("it has so many pieces that it takes too long") from None
        except Lost as lost:
            reason = reason or str(lost)
        except (ArithmeticError, LookupError, ValueError) as odd:  # the front in a state that cannot be
            reason = reason or f"{type(odd).__name__}: {odd}"
    raise RoofError(reason)


def _finite(flat: Flat) -> Flat:
    if not all(np.isfinite(ring).all() for ring in flat.rings):
        raise RoofError("not all its coordinates are numbers")
    return flat


def _shaken(ring: Array, attempt: int) -> Array:
    """The ring; from the second attempt on moved a little at random, always alike for the same ring."""
    if attempt:
        chance = random.Random(attempt)
        ring = ring + [[chance.uniform(-JITTER, JITTER) for _ in "xy"] for _ in range(len(ring))]
    return ring


def _grown(rings: tuple[Array, ...], flat: Flat, unit: float) -> Roof:
    from stopcut.groove.check import check_roof
    from stopcut.groove.roof_faces import walk_faces
    from stopcut.groove.wavefront import skeleton

    found = skeleton(rings)
    faces = walk_faces(found, [len(ring) for ring in rings])
    nodes = np.column_stack((found.x, found.y))
    heights = np.array(found.time)
    check_roof(nodes, heights, faces)
    arcs = np.array(found.arcs, dtype=np.int64)
    return Roof(
        flat=Flat(tuple(ring * unit for ring in rings), flat.sources, flat.breaks),
        nodes=nodes * unit,
        heights=heights * unit,
        faces=tuple(np.array(face, dtype=np.int64) for face in faces),
        arcs=arcs[:, :2],
        arc_faces=arcs[:, 2:],
    )


def pack_roof(roof: Roof) -> bytes:
    """A roof as bytes: what stopcut.keep stores."""
    flat = roof.flat
    return pack_arrays(
        {
            "ring_sizes": np.array([len(ring) for ring in flat.rings], dtype=np.int32),
            "sources": np.concatenate((np.empty(0, np.int32), *flat.sources)).astype(np.int32),
            "breaks": np.concatenate((np.empty(0), *flat.breaks)),
            "nodes": roof.nodes,
            "heights": roof.heights,
            "face_sizes": np.array([len(face) for face in roof.faces], dtype=np.int32),
            "faces": np.concatenate((np.empty(0, np.int32), *roof.faces)).astype(np.int32),
            "arcs": np.hstack((roof.arcs, roof.arc_faces)).astype(np.int32),
        }
    )


def unpack_roof(packed: bytes) -> Roof:
    """The roof that pack_roof packed. Raises ValueError or LookupError for anything else."""
    kept = unpack_arrays(packed)
    sizes = kept["ring_sizes"]
    arcs = kept["arcs"].astype(np.int64)
    rings = _cut(kept["nodes"][: int(sizes.sum())], sizes)
    flat = Flat(rings, _cut(kept["sources"].astype(np.int64), sizes), _cut(kept["breaks"], sizes))
    faces = _cut(kept["faces"].astype(np.int64), kept["face_sizes"])
    return Roof(flat, kept["nodes"], kept["heights"], faces, arcs[:, :2], arcs[:, 2:])


def _cut(whole: NDArray[Number], sizes: NDArray[np.int32]) -> tuple[NDArray[Number], ...]:
    ends: list[int] = np.cumsum(sizes).tolist()
    return tuple(whole[start:end] for start, end in zip([0, *ends], ends, strict=False))
