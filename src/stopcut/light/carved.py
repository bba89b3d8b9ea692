"""The board as carved, in light: one linear colour a pixel.

The lamp's light is sampled finely where walls or shadows end; sky and thrown light change slowly over a wall and are
found once for every cell of a grid no finer than need be.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from stopcut.arrays import Array, Indices, Single
from stopcut.groove.surface import Groove
from stopcut.light.cells import Cells
from stopcut.light.raster import Frame
from stopcut.light.sampled import LampLight, lamp_light
from stopcut.light.shade import Lamp, bounces, sky_view
from stopcut.light.wall_map import WallMap, walls_of

__all__ = ["RAKING", "SKY_AZIMUTHS", "Lighting", "WallLight", "lit_wood", "wall_light"]


@dataclass(frozen=True, slots=True)
class Lighting:
    """A lamp, and the part of the light on the board's face that comes from an even sky instead, 0…1."""

    lamp: Lamp
    sky: float


RAKING = Lighting(Lamp(azimuth_deg=135.0, elevation_deg=29.0), sky=0.16)
"""Raking light from the upper left, as inscriptions are shown by common practice; the rest is our choice, by eye."""

SKY_AZIMUTHS = 8
"""Our choice for pictures: within 0.007 of many azimuths."""

MOST_SEEN = 6_000_000
"""How many stretches of wall all cells together see of the others. Our choice: three times the demo's, half a gigabyte
at the most; where walls are made of many narrow faces, as of a round metres wide, the cells are coarser instead."""
PROBES = 200
"""From so many cells it is reckoned beforehand what all will see. Our choice: within a tenth, in no time."""

SHADOW_POWER = 1.3
"""What is darker than the open face is drawn darker still, by this power of its light. Our choice, by eye, because a
screen in a lit room shows less between light and shadow than a lamp does on wood."""


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
    lamp = lamp_light(walls, frame, lighting.lamp)
    lamp_part = (1 - lighting.sky) / lighting.lamp.on_face * lamp.light
    cells = _cells(walls, lamp, frame)
    view = sky_view(walls, lamp.spots.only(cells.middle), SKY_AZIMUTHS)
    sky = lighting.sky * view.share
    thrown = bounces(view, cells.nearest(view), cells.mean(lamp_part) + sky)
    slow = cells.spread(np.concatenate([sky[None], thrown]))
    slow[0] += lamp_part
    return WallLight(lamp.pixel, lamp.cover, lamp.spots.depth_mm, slow)


def _cells(walls: WallMap, lamp: LampLight, frame: Frame) -> Cells:
    """Cells over the walls, as fine as need be, unless they would see more of the walls than can be held."""
    cells = Cells.of(frame, lamp.pixel)
    some = cells.middle[:: max(1, len(cells.middle) // PROBES)]
    seen = len(sky_view(walls, lamp.spots.only(some), SKY_AZIMUTHS).spot) / max(1, len(some))
    return cells if seen * len(cells.middle) <= MOST_SEEN else Cells.of(frame, lamp.pixel, int(MOST_SEEN / seen))


def lit_wood(wood: Single, walls: WallLight) -> Single:
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
