"""The colour of the wood: one quiet tone a species, with faint figure along the grain.

No photographs: a tone, broad soft bands, fine fibres and, where the species has them, growth rings and pores, all drawn
from a seed, so that a board looks the same every time, at any resolution. Rings are solid: they run on into the groove
as they would in the plank. All figures here are our choice, by eye, for planed and unfinished heartwood in daylight.
"""

from __future__ import annotations

import hashlib
import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
from PIL import Image

from stopcut.arrays import Array, Single
from stopcut.light.colour import linear
from stopcut.light.raster import Frame
from stopcut.shop.woods import wood_called

__all__ = ["TONES", "Tone", "seed_of", "tone_of", "wood_colour"]


@dataclass(frozen=True, slots=True)
class Tone:
    """How a species looks.

    colour is its planed face in even light, as sRGB digits "rrggbb". bands, fibres, rings and pores say how strong each
    part of the figure is (0 none, 1 strong); ring_mm how far apart growth rings stand in the tree. [mm]
    """

    colour: str
    bands: float = 0.5
    fibres: float = 0.5
    rings: float = 0.0
    ring_mm: float = 3.0
    pores: float = 0.0


TONES: dict[str, Tone] = {
    "European lime": Tone("dbc299", fibres=0.4, rings=0.10),
    "basswood": Tone("dcc59f", fibres=0.4, rings=0.10),
    "butternut": Tone("bf9a70", rings=0.4, pores=0.4),
    "black cherry": Tone("b98660", rings=0.2, pores=0.1),
    "black walnut": Tone("7c5b45", bands=0.9, rings=0.4, pores=0.4),
    "white oak": Tone("c4a678", rings=0.5, ring_mm=2.5, pores=0.8),
    "northern red oak": Tone("c79f80", rings=0.6, ring_mm=3.5, pores=0.8),
    "sugar maple": Tone("dfc8a2", fibres=0.3, rings=0.15),
    "eastern white pine": Tone("dfc08c", fibres=0.3, rings=0.45, ring_mm=4.0),
    "western redcedar": Tone("b07a52", bands=0.8, rings=0.6, ring_mm=2.0),
    "yellow-poplar": Tone("cbbb92", bands=0.8, rings=0.15),
    "mahogany, true": Tone("9f6242", bands=0.7, fibres=0.7, pores=0.4),
    "teak": Tone("ab8150", bands=0.8, rings=0.4, pores=0.4),
    "white ash": Tone("d8c29b", rings=0.6, ring_mm=3.5, pores=0.6),
    "American beech": Tone("d0aa84", rings=0.1, pores=0.25),
    "American sycamore": Tone("d3b292", fibres=0.6, rings=0.1),
    "redwood, old-growth": Tone("9c614b", rings=0.6, ring_mm=1.5),
    "redwood, young-growth": Tone("ad7359", rings=0.6, ring_mm=4.0),
    "quaking aspen": Tone("e0d3b6", fibres=0.3, rings=0.1),
    "yellow birch": Tone("d7b689", rings=0.15),
    "Spanish-cedar": Tone("b67c57", rings=0.3, pores=0.5),
    "Douglas-fir, coast": Tone("cd9c6a", fibres=0.3, rings=0.9, ring_mm=3.0),
}
"""By the names of the woods table."""

PLAIN = Tone("cfb38a", rings=0.1)
"""For a wood that the table does not know."""

# How much the strongest of each part darkens: the exponent on the tone grows by so much, which turns dark figure a
# little redder, as it is in wood. Our choice, by eye.
BANDS, FIBRES, RINGS, PORES = 0.16, 0.16, 0.45, 0.5

# How long (along the grain) and how wide each layer of bands and fibres is, and its part of the whole. [mm]
BAND_LAYERS = ((700.0, 70.0, 0.6), (420.0, 16.0, 0.4))
FIBRE_LAYERS = ((160.0, 3.2, 0.4), (90.0, 1.1, 0.35), (45.0, 0.5, 0.25))
PORE_MM = (5.0, 0.4)
PORE_SHARE = 0.22

PITH_BELOW_MM = (35.0, 90.0)
"""How deep under the face the middle of the tree lies: a flat-sawn plank. [mm]"""

TAPER = 0.035
"""How far that changes along the plank, which closes the rings into tall arches. [mm per mm]"""

WANDER_MM = 5.0
"""How far rings wander from true circles. [mm]"""


def tone_of(wood: str) -> Tone:
    """The tone of the wood that a job names, as the woods table reads the name; PLAIN if it knows none."""
    known = wood_called(wood).wood
    return PLAIN if known is None else TONES.get(known.name, PLAIN)


def seed_of(title: str) -> int:
    """The seed of a board's figure, from its title; the same on every machine."""
    return int.from_bytes(hashlib.blake2b(title.encode(), digest_size=8).digest(), "big")


def wood_colour(
    tone: Tone, grain: Literal["width", "height"], seed: int, frame: Frame, depth_mm: Array | None = None
) -> Single:
    """What the wood sends back of red, green and blue light at every pixel of a frame, (rows, columns, 3), linear.

    grain says along which side of the board the fibres run; depth_mm (rows, columns) how deep the surface lies.
    """
    draw = np.random.default_rng(seed)
    figure = np.zeros((frame.rows, frame.columns), dtype=np.float32)
    for length, width, part in BAND_LAYERS:
        figure += BANDS * tone.bands * part * _streaks(draw, grain, frame, length, width)
    for length, width, part in FIBRE_LAYERS:
        figure += FIBRES * tone.fibres * part * _streaks(draw, grain, frame, length, width)
    figure += PORES * tone.pores * np.maximum(_streaks(draw, grain, frame, *PORE_MM) - 1 + 2 * PORE_SHARE, 0)
    if tone.rings:
        figure += RINGS * tone.rings * _rings(draw, grain, frame, tone.ring_mm, depth_mm)
    log_tone = np.log(linear(np.array([int(tone.colour[i : i + 2], 16) / 255 for i in (0, 2, 4)])))
    out: Single = np.exp((1 + figure)[:, :, None] * log_tone.astype(np.float32))
    return out


def _streaks(
    draw: np.random.Generator, grain: Literal["width", "height"], frame: Frame, length_mm: float, width_mm: float
) -> Single:
    """Soft noise between −1 and 1 whose features are so long along the grain and so wide across it.

    Nothing where features are too fine for the frame's pixels to show.
    """
    if width_mm < frame.pixel_mm / 2:
        return np.zeros((frame.rows, frame.columns), dtype=np.float32)
    across_x = width_mm if grain == "height" else length_mm
    across_y = width_mm if grain == "width" else length_mm
    # The lattice is the board's own, counted from its upper left corner, with a cell to spare on every side.
    columns = math.ceil(frame.columns * frame.pixel_mm / across_x) + 4
    rows = math.ceil(frame.rows * frame.pixel_mm / across_y) + 4
    lattice = Image.fromarray(draw.uniform(-1, 1, (rows, columns)).astype(np.float32))
    right = 1.5 + frame.columns * frame.pixel_mm / across_x
    bottom = 1.5 + frame.rows * frame.pixel_mm / across_y
    size = (frame.columns, frame.rows)
    drawn = lattice.resize(size, Image.Resampling.BICUBIC, box=(1.5, 1.5, right, bottom))
    return np.asarray(drawn, dtype=np.float32)


def _rings(
    draw: np.random.Generator,
    grain: Literal["width", "height"],
    frame: Frame,
    ring_mm: float,
    depth_mm: Array | None,
) -> Single:
    """Growth rings cut by the surface: 0 in early wood, rising to 1 at the end of each year's growth."""
    along = frame.x_mm(np.arange(frame.columns))[None, :]
    across = frame.y_mm(np.arange(frame.rows))[:, None]
    if grain == "height":
        along, across = across, along
    width = (frame.rows if grain == "width" else frame.columns) * frame.pixel_mm
    middle = width * draw.uniform(0.3, 0.7)
    below = draw.uniform(*PITH_BELOW_MM) + TAPER * along
    wander = WANDER_MM * _streaks(draw, grain, frame, 260.0, 45.0)
    wander += WANDER_MM / 4 * _streaks(draw, grain, frame, 120.0, 12.0)
    down = below - (0.0 if depth_mm is None else depth_mm)
    radius = (np.hypot(across - middle, down) + wander).astype(np.float32)
    # Good years and bad: the rings' edges are a running sum of uneven widths.
    years = np.cumsum(draw.uniform(0.5, 1.5, int(radius.max() / ring_mm * 1.3) + 8)) * ring_mm
    ages = np.interp(radius, np.concatenate([[0.0], years]), np.arange(len(years) + 1.0))
    growth = ages - np.floor(ages)
    # Late wood darkens slowly and stops at once; the stop is spread over a pixel.
    late: Array = growth**3 * np.clip((1 - growth) * ring_mm / frame.pixel_mm, 0, 1)
    return late.astype(np.float32)
