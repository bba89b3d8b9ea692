"""Tiles for the lamp: one small picture a glyph that says how far each place lies from its wall's edge, which way that
wall leans and how much of the sky it sees; and the bare wood.

A tile is in the outline's own unit and knows nothing of size, place, wall angle or flat bottom: those the page applies,
so that dragging, fitting and another wall angle need no new tile. The pixels are the exact raster of `light`.

The picture is an RGBA PNG, but its bytes are figures, not colours (a reader must not colour-manage them, nor multiply
by alpha). From the highest bit down: 12 bits of distance, 12 bits of azimuth, 8 bits of opening.

- distance: 0 says nothing is here; 1 … 4095 are `low` … `high`. Just outside the edge there is one ring of pixels with
  distances below 0, so that edges can be told between pixels.
- azimuth: the level direction in which the wall looks, into the groove, 0 … 4095 for 0 … 360° anticlockwise from the
  right. It turns along curves as the true wall does and jumps at real corners.
- opening: how far the place sees over the wall across from it. On a long V it is distance ÷ (width − distance), 0 at
  the lip and 1 at the root, whatever the wall angle; elsewhere the place of a long V that sees as much sky. 0 … 255
  are 0 … MOST_OPENING.

The frame (left, top, unit per pixel, low, high) is in the PNG's own text, as JSON under the keyword FRAME_KEYWORD.
"""

from __future__ import annotations

import io
import json
import math
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from PIL import Image, PngImagePlugin

from stopcut.arrays import Array, Indices
from stopcut.groove.surface import Groove
from stopcut.keep import keep
from stopcut.light.carved import SKY_AZIMUTHS
from stopcut.light.cells import Cells
from stopcut.light.colour import encoded
from stopcut.light.raster import Frame, Pixels, pixels
from stopcut.light.rays import steps
from stopcut.light.sampled import ALIKE
from stopcut.light.wall_map import GROUND, Spots, WallMap, normals, spots_on, walls_of
from stopcut.light.wood import seed_of, tone_of, wood_colour
from stopcut.shape.placed import Placed

__all__ = ["FRAME_KEYWORD", "MOST_OPENING", "GlyphTile", "pixels_for", "tile_png", "wood_png"]


FRAME_KEYWORD = "stopcut-frame"
"""Under which the PNG's text holds the frame."""

STEPS = 4095
"""The largest figure of 12 bits."""

MOST_OPENING = 2.0
"""The largest opening that a tile tells. Our choice: in the closest corners of lettering it is about 1.5."""

FEWEST, MOST = 256, 2048
"""Pixels along a tile's longer side, at least and at most. Our choice: a capital of 60 mm shows its serifs, a border
round a whole board its hollows."""

MOST_IN_ALL = 1_500_000
"""Pixels of a whole tile. Our choice: the page reads so many in about half a second."""

TO_ROOT = 12
"""Pixels from the lip to the root of the widest stroke, at least. Our choice: narrow strokes then have some too."""

BORDER = 2
"""Pixels around the glyph: the ring outside the edge, and one with nothing."""

SKY_DEG = 60.0
"""At which wall angle the sky is looked at. [degrees] Common practice's own; it hardly matters (see _opening)."""

MOST_CELLS = 400
"""For how many cells of a tile the sky is looked at. Our choice: it changes slowly."""

WOOD_PX, WOOD_MOST_PX = 1800, 2400
"""Pixels along the wood's longer side, and the most of both together over two. Our choice: a board as wide as a large
screen shows its fibres; a closer look shows them soft."""

VERSION = 3
"""Raised when the same roof would now give another tile."""


@dataclass(frozen=True, slots=True)
class GlyphTile:
    """A glyph's tile. left and top are the picture's upper left corner, per_pixel a pixel's side, low and high the
    least and greatest distance it can tell (low < 0 < high): all in the outline's own unit."""

    png: bytes
    left: float
    top: float
    per_pixel: float
    low: float
    high: float

    @classmethod
    def read(cls, png: bytes) -> GlyphTile:
        """The tile in a PNG, by the frame in its text. Raises KeyError or ValueError for any other PNG."""
        with Image.open(io.BytesIO(png)) as image:
            image.load()
            return cls(png, **json.loads(image.info[FRAME_KEYWORD]))


def tile_png(groove: Groove, longest_px: int | None = None) -> GlyphTile:
    """The tile of a groove's outline, longest_px (32 … 4096) along its longer side; as many as it needs if None.

    The same for all grooves of one outline. Raises ValueError for a groove without a wall (a space).
    """
    if not groove.roof.flat.size:
        raise ValueError("an empty outline has no tile")
    longest = pixels_for(groove) if longest_px is None else longest_px
    return keep().remembered(
        "tile",
        (groove.placed.outline.digest, groove.roof.flat.size, len(groove.roof.nodes), longest),
        lambda: _tile(groove, longest),
        version=VERSION,
        pack=lambda tile: tile.png,
        unpack=GlyphTile.read,
    )


def pixels_for(groove: Groove) -> int:
    """How many pixels along its longer side a tile needs: enough across the widest stroke, between FEWEST and MOST, and
    no more than MOST_IN_ALL for the whole."""
    shorter, longer = sorted(np.ptp(groove.roof.nodes, axis=0).tolist())
    most = min(MOST, math.isqrt(round(MOST_IN_ALL * longer / shorter)))
    return int(np.clip(math.ceil(TO_ROOT * longer / float(groove.roof.heights.max())), FEWEST, most))


def wood_png(width_mm: float, height_mm: float, grain: Literal["width", "height"], wood: str, title: str) -> bytes:
    """A board's bare wood in even light, as an sRGB PNG that fills the board; the figure is that of carved.png.

    Bright light is not eased as it is in pictures (light.colour.rolled_off), since the lamp comes after.
    """
    pixel_mm = max(max(width_mm, height_mm) / WOOD_PX, (width_mm + height_mm) / (2 * WOOD_MOST_PX))
    columns, rows = max(1, round(width_mm / pixel_mm)), max(1, round(height_mm / pixel_mm))
    frame = Frame(0.0, height_mm, width_mm / columns, columns, rows)
    colour = encoded(wood_colour(tone_of(wood), grain, seed_of(title), frame))
    out = io.BytesIO()
    Image.fromarray(colour).save(out, "PNG", compress_level=1)
    return out.getvalue()


def _tile(groove: Groove, longest: int) -> GlyphTile:
    plain = _in_own_unit(groove, 45.0)  # as deep as it is far from the edge
    walls = walls_of([plain])
    frame = _frame(groove.roof.nodes, longest)
    inside = pixels(walls, frame)
    number = inside.row * frame.columns + inside.column
    opening = _openings(_in_own_unit(groove, SKY_DEG), inside, number)
    rim_number, rim, beside = _rim(walls, frame, number, inside.face)
    spots = inside.spots(walls).joined(rim)
    at = np.concatenate([number, rim_number])
    normal = normals(walls, spots)
    low, high = float(rim.depth_mm.min()), float(spots.depth_mm.max())
    distance = 1 + np.rint((spots.depth_mm - low) / (high - low) * (STEPS - 1)).astype(np.int64)
    azimuth = np.arctan2(normal[:, 1], normal[:, 0]) / (2 * math.pi) * (STEPS + 1)
    bits = np.zeros(frame.rows * frame.columns, dtype=">u4")
    bits[at] = (
        (distance << 20)
        | ((np.rint(azimuth).astype(np.int64) % (STEPS + 1)) << 8)
        | np.rint(np.concatenate([opening, opening[beside]]) / MOST_OPENING * 255).astype(np.int64).clip(0, 255)
    )
    facts = {"left": frame.left_mm, "top": frame.top_mm, "per_pixel": frame.pixel_mm, "low": low, "high": high}
    return GlyphTile(_png(bits.view(np.uint8).reshape(frame.rows, frame.columns, 4), facts), **facts)


def _in_own_unit(groove: Groove, wall_deg: float) -> Groove:
    """The groove as if its outline's unit were a millimetre, a V throughout."""
    placed = Placed(groove.placed.outline, 1.0, 0.0, 0.0)
    return replace(groove, placed=placed, nodes_mm=groove.roof.nodes, wall_deg=wall_deg, flat_bottom_mm=None)


def _frame(nodes: Array, longest: int) -> Frame:
    low, high = nodes.min(axis=0), nodes.max(axis=0)
    width, height = (high - low).tolist()
    pixel = max(width, height) / (longest - 2 * BORDER)
    columns, rows = (math.ceil(side / pixel) + 2 * BORDER for side in (width, height))
    return Frame(float(low[0]) - BORDER * pixel, float(high[1]) + BORDER * pixel, pixel, columns, rows)


def _rim(walls: WallMap, frame: Frame, number: Indices, face: Indices) -> tuple[Indices, Spots, Indices]:
    """The ring of pixels just outside: their numbers, their spots (depths below 0) and a pixel inside beside each.

    Each lies on the plane of a neighbour's wall, drawn on beyond the edge; of several walls, on the one whose edge is
    farthest.
    """
    of = np.full(frame.rows * frame.columns, GROUND)
    of[number] = face
    wide = frame.columns
    shifts = np.array([1, -1, wide, -wide, wide + 1, wide - 1, 1 - wide, -1 - wide])
    to = (number[:, None] + shifts).ravel()
    beside = np.repeat(np.arange(len(number)), len(shifts))
    outside = of[to] == GROUND
    to, beside = to[outside], beside[outside]
    row, column = np.divmod(to, wide)
    spots = spots_on(walls, face[beside], frame.x_mm(column), frame.y_mm(row))
    order = np.lexsort((spots.depth_mm, to))
    first = order[np.append(True, np.diff(to[order]) > 0)]
    spots = spots.only(first)
    below = np.minimum(spots.depth_mm, -0.01 * frame.pixel_mm)  # beside a wall too short to have a pixel
    return to[first], replace(spots, depth_mm=below), beside[first]


def _openings(groove: Groove, inside: Pixels, number: Indices) -> Array:
    """The opening at each pixel inside.

    That of a long V as wide as the groove is there is told exactly, pixel by pixel; by how much the sky says otherwise,
    at ends and corners, changes slowly and is asked for cell by cell.
    """
    walls = walls_of([groove])
    spots = inside.spots(walls)
    long_v = _long_v(walls, spots)
    cells = Cells.of(inside.frame, number, MOST_CELLS)
    share = _sky_share(walls, spots.only(cells.middle))
    otherwise = _opening(share, math.radians(groove.wall_deg)) - long_v[cells.middle]
    out: Array = np.clip(long_v + cells.spread(otherwise[None])[0], 0.0, MOST_OPENING)
    return out


def _long_v(walls: WallMap, spots: Spots) -> Array:
    """The opening on a long V: straight on into the groove, each wall ends at a root; the part of the way that a spot
    has come, t, makes t ÷ (2 − t). Where the way leads on to the next facet of a curve, the root is where the joint
    between the two facets ends."""
    edge = np.arange(len(walls.left))
    edge, face = np.concatenate([edge, edge]), np.concatenate([walls.left, walls.right])
    inner = np.flatnonzero((face != GROUND) & (np.concatenate([walls.right, walls.left]) != GROUND))
    inner = inner[np.argsort(face[inner], kind="stable")]
    edge, face = edge[inner], face[inner]
    first = np.searchsorted(face, np.arange(walls.size + 1))
    count = np.diff(first)[spots.face]
    ends = np.cumsum(count)
    spot = np.repeat(np.arange(len(spots)), count)
    among = np.arange(len(spot)) + np.repeat(first[spots.face] - ends + count, count)
    feet, inward = walls.feet[face], walls.inward[face]
    start, end = (_place(points[edge] - feet, inward) for points in (walls.starts, walls.ends))
    here = _place(np.stack([spots.x_mm, spots.y_mm], axis=1) - walls.feet[spots.face], walls.inward[spots.face])
    along = here[spot, 0]
    lean = end[among, 0] - start[among, 0]
    part = np.divide(along - start[among, 0], lean, out=np.full(len(along), -1.0), where=lean != 0)
    root = start[among, 1] + part * (end[among, 1] - start[among, 1])
    onward = (walls.inward[walls.left[edge]] * walls.inward[walls.right[edge]]).sum(axis=1) > ALIKE
    root = np.where(onward[among], np.maximum(start[among, 1], end[among, 1]), root)
    meets = (part >= 0) & (part <= 1) & (root >= here[spot, 1])
    farthest = here[:, 1].copy()
    np.maximum.at(farthest, spot[meets], root[meets])
    t = here[:, 1] / np.maximum(farthest, 1e-12)
    out: Array = t / (2 - t)
    return out


def _place(offsets: Array, inward: Array) -> Array:
    """Offsets from a face's foot, along its edge and into the groove."""
    along = offsets[:, 0] * inward[:, 1] - offsets[:, 1] * inward[:, 0]
    return np.stack([along, (offsets * inward).sum(axis=1)], axis=1)


def _sky_share(walls: WallMap, spots: Spots) -> Array:
    """The part of an even sky's light that reaches spots (as light.shade.sky_view tells it, the sky alone)."""
    normal = normals(walls, spots, blended=False)
    share = np.zeros(len(spots))
    for azimuth in 360 * (np.arange(SKY_AZIMUTHS) + 0.5) / SKY_AZIMUTHS:
        leaning = normal[:, :2] @ (math.cos(math.radians(azimuth)), math.sin(math.radians(azimuth)))
        slope = -leaning / normal[:, 2]
        going = np.ones(len(spots), dtype=bool)
        for step in steps(walls, spots, azimuth, going):
            run, depth = step.leaves.T
            rise = spots.depth_mm[step.ray] - depth
            to = rise / np.maximum(run, 1e-12)
            slope[step.ray] = np.where(rise > 1e-9, np.maximum(slope[step.ray], to), slope[step.ray])
            going[step.ray[spots.depth_mm[step.ray] <= slope[step.ray] * run]] = False
        steep = 1 / (1 + slope * slope)
        share += normal[:, 2] * steep / 2 + leaning * (np.arctan2(1, slope) - slope * steep) / 2
    return share * (2 / SKY_AZIMUTHS)


def _opening(share: Array, wall: float) -> Array:
    """Where on a long V's wall the sky's share is that: the wall across rises to the elevation e, the share is
    (1 + cos(e + wall)) / 2 (the two-dimensional view of a slot), and tan(e) = opening · tan(wall)."""
    elevation = np.arccos(np.clip(2 * share - 1, -1, 1)) - wall
    out: Array = np.tan(np.clip(elevation, 0, math.pi / 2 - 0.1)) / math.tan(wall)
    return np.minimum(out, MOST_OPENING)


def _png(picture: NDArray[np.uint8], facts: dict[str, float]) -> bytes:
    out = io.BytesIO()
    text = PngImagePlugin.PngInfo()
    text.add_text(FRAME_KEYWORD, json.dumps(facts))
    Image.fromarray(picture).save(out, "PNG", pnginfo=text, compress_level=1)
    return out.getvalue()
