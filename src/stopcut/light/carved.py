"""The board as carved, in light: one linear colour a pixel.

Where walls begin and end, and which of them the lamp reaches, is found several times a pixel (a strip of light at the
far lip may be a tenth of a millimetre wide); what changes slowly over a wall, sky and thrown light, once a pixel.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stopcut.groove.surface import Groove
from stopcut.light.raster import Frame, Pixels, pixels
from stopcut.light.shade import Lamp, SkyView, bounces, direct, sky_view
from stopcut.light.walls import walls_of

__all__ = ["RAKING", "Lighting", "WallLight", "lit_wood", "wall_light"]

Array = NDArray[np.float64]
Indices = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Lighting:
    """A lamp, and the part of the light on the board's face that comes from an even sky instead, 0…1."""

    lamp: Lamp
    sky: float


RAKING = Lighting(Lamp(azimuth_deg=135.0, elevation_deg=29.0), sky=0.16)
"""Raking light from the upper left, as inscriptions are shown by common practice; the rest is our choice, by eye."""

FINER = 3
"""How many times a pixel is cut along each side for edges and shadows. Our choice: 9 samples a pixel."""

SHADOW_POWER = 1.3
"""What is darker than the open face is drawn darker still, by this power of its light. Our choice, by eye, because a
screen in a lit room shows less between light and shadow than a lamp does on wood."""

SKY_AZIMUTHS = 8
"""Our choice for pictures: within 0.007 of many azimuths."""


@dataclass(frozen=True, eq=False)
class WallLight:
    """Light on the walls, at the pixels (numbered row after row) that see any wall.

    cover (n,) is the part of the pixel that is wall; depth_mm (n,) how deep the wall lies there; light (4, n) what
    falls on it, the open face's being 1: first light, then light thrown once, twice and three times by bare walls that
    would keep none (multiply by the wood's reflectance once, twice, three times).
    """

    pixel: Indices
    cover: Array
    depth_mm: Array
    light: Array


def wall_light(grooves: Sequence[Groove], frame: Frame, lighting: Lighting = RAKING) -> WallLight:
    """The light on the walls of grooves, a value for each of the frame's pixels that they touch."""
    walls = walls_of(grooves)
    fine = pixels(walls, frame.finer(FINER))
    spots = fine.spots(walls)
    pixel = (fine.row // FINER) * frame.columns + fine.column // FINER
    touched, among = np.unique(pixel, return_inverse=True)
    samples = np.bincount(among, minlength=len(touched))
    lamp_part = (1 - lighting.sky) / lighting.lamp.on_face
    lamp = np.bincount(among, weights=direct(walls, spots, lighting.lamp), minlength=len(touched)) / samples * lamp_part
    middle = spots.only(_middles(fine, among, len(touched)))
    view = sky_view(walls, middle, SKY_AZIMUTHS)
    first = lamp + lighting.sky * view.share
    return WallLight(
        pixel=touched,
        cover=np.minimum(samples / FINER**2, 1.0),
        depth_mm=middle.depth_mm,
        light=np.concatenate([first[None], bounces(view, _nearest(frame, touched, view), first)]),
    )


def _middles(fine: Pixels, among: Indices, count: int) -> Indices:
    """Of each pixel's samples, one nearest its centre."""
    off = (fine.row % FINER - FINER // 2) ** 2 + (fine.column % FINER - FINER // 2) ** 2
    nearest = np.empty(count, dtype=np.int64)
    for distance in sorted(set(off.tolist()), reverse=True):
        at = np.flatnonzero(off == distance)
        nearest[among[at]] = at
    return nearest


def _nearest(frame: Frame, touched: Indices, view: SkyView) -> Indices:
    """Which of the touched pixels each stretch of wall lies in; the viewer's own where it falls between samples."""
    number = np.full(frame.rows * frame.columns, -1)
    number[touched] = np.arange(len(touched))
    found = number[frame.pixel_at(view.x_mm, view.y_mm)]
    return np.where(found < 0, view.spot, found)


def lit_wood(wood: NDArray[np.float32], walls: WallLight) -> NDArray[np.float32]:
    """Light on the board's face and walls, sent back by the wood: linear colour (rows, columns, 3)."""
    out = wood.reshape(-1, 3).copy()
    reflects = out[walls.pixel].astype(float)
    falls = walls.light[0][:, None]
    power = np.ones_like(reflects)
    for thrown in walls.light[1:]:
        power = power * reflects
        falls = falls + thrown[:, None] * power
    cover = walls.cover[:, None]
    out[walls.pixel] = reflects * (1 - cover + cover * np.where(falls < 1, falls**SHADOW_POWER, falls))
    return out.reshape(wood.shape)
