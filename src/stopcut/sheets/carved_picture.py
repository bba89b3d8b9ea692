"""carved.png: the board as it will look when it is carved, in raking light from the upper left.

The picture is true in proportion and carries its resolution, so that printed without scaling it is as large as the
board. It has no words on it: what there is to say stands on the pattern.
"""

from __future__ import annotations

import io
import math

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageFilter, PngImagePlugin

from stopcut.arrays import Single
from stopcut.light.carved import RAKING, Lighting, lit_wood, wall_light
from stopcut.light.colour import encoded, linear, rolled_off
from stopcut.light.raster import Frame
from stopcut.light.wood import seed_of, tone_of, wood_colour
from stopcut.work import Work

__all__ = ["carved_png"]


MARGIN = 0.02
"""Page around the board, as a part of the picture's width. Our choice."""

TALLEST = 2
"""How many times as tall as wide a picture may be. Our choice."""

PAGE = "f4f6f3"
"""The page's tone: layout paper."""

ARRIS_MM, ARRIS_DEG = 2.0, 65.0
"""How wide the board's edges are eased, and how steep they end. [mm, degrees] To ease an arris is common practice; how
much is our choice."""

SHADOW = 0.45
"""How much of the page's light the board takes where its shadow is darkest. Our choice."""


def carved_png(work: Work, width_px: int = 1800, *, page: bool = True) -> bytes:
    """The board as carved, as a PNG of that width (≥ 100 pixels) with a little page around it, or the board alone.

    The wood's figure is drawn from the job's title: the same board has the same figure. A very tall board's picture is
    narrower, so that it is not taller than TALLEST times width_px.
    """
    board = work.job.board
    margin = max(8, round(MARGIN * width_px)) if page else 0
    columns = max(1, round((width_px - 2 * margin) * min(1.0, TALLEST * board.width_mm / board.height_mm)))
    pixel_mm = board.width_mm / columns
    frame = Frame(0.0, board.height_mm, pixel_mm, columns, max(1, round(board.height_mm / pixel_mm)))
    walls = wall_light(work.grooves, frame)
    depth = np.zeros(frame.rows * frame.columns)
    depth[walls.pixel] = walls.depth_mm * walls.cover
    wood = wood_colour(
        tone_of(board.wood),
        board.grain,
        seed_of(work.job.title),
        frame,
        depth.reshape(frame.rows, frame.columns),
    )
    lit = lit_wood(wood, walls)
    ease_arrises(lit, pixel_mm)
    whole = _page(frame, margin)
    whole[margin : margin + frame.rows, margin : margin + frame.columns] = rolled_off(lit)
    return _png(encoded(whole), 25.4 / pixel_mm)


def ease_arrises(lit: Single, pixel_mm: float, lighting: Lighting = RAKING) -> None:
    """Light the board's eased edges in place: rounded over, bright towards the lamp and dark away from it."""
    rows, columns = lit.shape[:2]
    wide = min(max(2, round(ARRIS_MM / pixel_mm)), rows // 2, columns // 2)
    right, up, out = lighting.lamp.toward
    lamp = (1 - lighting.sky) / lighting.lamp.on_face
    for ring in range(wide):
        tilt = math.radians(ARRIS_DEG) * (wide - ring - 0.5) / wide
        # How much of the sky a slope sees with nothing before it.
        sky = lighting.sky * (1 + math.cos(tilt)) / 2
        top, bottom, left, end = ring, rows - 1 - ring, ring, columns - 1 - ring
        level, upright = slice(left, end + 1), slice(top + 1, bottom)
        for place, leaning in (
            ((top, level), up),
            ((bottom, level), -up),
            ((upright, left), -right),
            ((upright, end), right),
        ):
            lit[place] *= lamp * max(0.0, math.sin(tilt) * leaning + math.cos(tilt) * out) + sky


def _page(frame: Frame, margin: int) -> Single:
    """The page with the board's soft shadow on it, to the lower right."""
    tone = linear([int(PAGE[i : i + 2], 16) / 255 for i in (0, 2, 4)])
    rows, columns = frame.rows + 2 * margin, frame.columns + 2 * margin
    mask = np.zeros((rows, columns), dtype=np.uint8)
    shift = margin // 5
    mask[margin + shift : margin + shift + frame.rows, margin + shift : margin + shift + frame.columns] = 255
    soft = Image.fromarray(mask).filter(ImageFilter.BoxBlur(margin / 4)).filter(ImageFilter.BoxBlur(margin / 4))
    shade = 1 - SHADOW / 255 * np.asarray(soft)
    page: Single = (shade[:, :, None] * tone).astype(np.float32)
    return page


def _png(picture: NDArray[np.uint8], dots_per_inch: float) -> bytes:
    out = io.BytesIO()
    chunks = PngImagePlugin.PngInfo()
    chunks.add(b"sRGB", b"\x00")  # rendering intent: perceptual (PNG, third edition, 11.3.2.5)
    Image.fromarray(picture).save(out, "PNG", dpi=(dots_per_inch, dots_per_inch), pnginfo=chunks, compress_level=4)
    return out.getvalue()
