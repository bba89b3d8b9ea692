"""How much ink a general renderer puts on a drawing's page: the judge of what is read from it.

resvg renders the page twice as a raster without smoothing. Ink is what is not white on white paper: the rule by which a
drawing is carved, applied to pixels instead of shapes.
"""

from __future__ import annotations

import io
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import resvg_py
from PIL import Image

__all__ = ["Ink", "rendered_ink"]

PIXELS = 1600
"""The longer side of the raster. Our choice: a ring of 1 % of the page's width is then right to about 1 in 1,000."""
PIXEL_MM = 25.4 / 96
"""The unit of a drawing that says no size. [mm] CSS Values and Units level 3: 96 to the inch."""


@dataclass(frozen=True)
class Ink:
    """Area of the ink [mm²], the page's width and height [mm], and the ink as a raster (True is ink)."""

    area: float
    width: float
    height: float
    raster: np.ndarray


def rendered_ink(path: Path) -> Ink:
    """The ink on the page of an SVG file. Raises ValueError where the renderer cannot read it."""
    plain = _rendered(path)
    grow = PIXELS / max(plain.size)
    image = _rendered(path, zoom=grow)
    shades = np.asarray(image.convert("RGB"))
    ink = (shades < 255).any(axis=2)
    # The page's size in its own unit is known to a pixel only, from the unzoomed picture; the zoomed one is finer.
    width, height = (size / grow * PIXEL_MM for size in image.size)
    return Ink(float(ink.mean()) * width * height, width, height, ink)


def _rendered(path: Path, zoom: float | None = None) -> Image.Image:
    data = resvg_py.svg_to_bytes(
        svg_path=str(path),
        background="#ffffff",
        zoom=zoom,
        skip_system_fonts=True,
        shape_rendering="optimize_speed",
    )
    return Image.open(io.BytesIO(bytes(data)))
