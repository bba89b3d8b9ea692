"""The lamp's light pixel by pixel, with edges and shadows smoothed.

Where a wall begins or ends, or a shadow does, every pixel is sampled several times, as a strip of light at the far lip
may be a tenth of a millimetre wide. Well within a wall's light or its shadow, a pixel's centre is enough.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from stopcut.arrays import Array, Flags, Indices
from stopcut.light.raster import Frame, Pixels, nearest_middle, pixels
from stopcut.light.shade import Lamp, direct
from stopcut.light.wall_map import Spots, WallMap, normals

__all__ = ["ALIKE", "LampLight", "lamp_light"]


FINER = 3
"""How many times a pixel is cut along each side where edges and shadows run. Our choice: 9 samples a pixel."""

ALIKE = math.cos(math.radians(12))
"""Neighbouring pixels that face apart by less lie on one wall. Our choice, because light changes little by it."""


@dataclass(frozen=True, eq=False)
class LampLight:
    """The lamp's light at the pixels (numbered row after row) that see any wall.

    cover (n,) is the part of the pixel that is wall; light (n,) the mean cosine of incidence over that part, 0 in
    shadow; spots one spot of each, at or near its centre.
    """

    pixel: Indices
    cover: Array
    light: Array
    spots: Spots


def lamp_light(walls: WallMap, frame: Frame, lamp: Lamp) -> LampLight:
    """The lamp's light on walls: at the centre of pixels well within one wall's light or shadow, the mean of FINER ×
    FINER places elsewhere."""
    found = pixels(walls, frame)
    spots = found.spots(walls)
    normal = normals(walls, spots)
    light = direct(walls, spots, normal, lamp)
    plain = _within(found, normal, light > 0)
    numbers = (found.row * frame.columns + found.column)[plain]
    done = np.zeros(frame.rows * frame.columns, dtype=bool)
    done[numbers] = True
    fine = pixels(walls, frame.finer(FINER))
    owner = (fine.row // FINER) * frame.columns + fine.column // FINER
    mixed = np.flatnonzero(~done[owner])
    fine, owner = fine.only(mixed), owner[mixed]
    fine_spots = fine.spots(walls)
    fine_light = direct(walls, fine_spots, normals(walls, fine_spots), lamp)
    touched, among = np.unique(owner, return_inverse=True)
    samples = np.bincount(among, minlength=len(touched))
    middle = nearest_middle(fine.row % FINER, fine.column % FINER, FINER, among)
    return LampLight(
        pixel=np.concatenate([numbers, touched]),
        cover=np.concatenate([np.ones(len(numbers)), np.minimum(samples / FINER**2, 1.0)]),
        light=np.concatenate([light[plain], np.bincount(among, weights=fine_light) / samples]),
        spots=spots.only(plain).joined(fine_spots.only(middle)),
    )


def _within(found: Pixels, normal: Array, lit: Flags) -> Indices:
    """Which pixels have only neighbours that face the same way and are lit as they are."""
    wide = found.frame.columns + 2  # a border of nothing around the frame
    at = (found.row + 1) * wide + found.column + 1
    number = np.full((found.frame.rows + 2) * wide, -1)
    number[at] = np.arange(len(at))
    within = np.arange(len(at))
    for step in (1, -1, wide, -wide, wide + 1, wide - 1, 1 - wide, -1 - wide):
        other = number[at[within] + step]
        alike = np.einsum("nk,nk->n", normal[within], normal[other]) > ALIKE
        within = within[(other >= 0) & alike & (lit[within] == lit[other])]
    return within
