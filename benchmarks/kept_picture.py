"""A picture of the docs is written anew only where it shows something else: what is noise leaves the file as it was.

Noise is what drawing the same thing twice gives: colours that are quantised otherwise, edges smoothed by a hair more.
Seen through a blur it is gone; a moved line, another word or figure is not.
"""

from __future__ import annotations

import io
from pathlib import Path

from PIL import Image, ImageChops, ImageFilter

__all__ = ["keep_picture", "shows_the_same"]

BLUR_PX = 1
"""How far the blur reaches on each side. [pixels] Our choice: a smoothed edge goes, a stroke of small type stays."""
NOISE = 24
"""How far blurred colours may be apart. [of 255] Our choice: the docs' pictures in fewer colours, or smoothed by a
third of a pixel, come to 11; a changed figure in the smallest type to 58, a hairline moved by one pixel to 78."""


def keep_picture(picture: Image.Image, path: Path) -> None:
    """Write a PNG unless the one that is there shows the same, and say which."""
    held = io.BytesIO()
    picture.save(held, "PNG", optimize=True)
    same = path.is_file() and shows_the_same(Image.open(path), picture)
    if not same:
        path.write_bytes(held.getvalue())
    print(f"docs/{path.name}: {'as it was' if same else f'{len(held.getvalue()) / 1000:.0f} kB'}", flush=True)


def shows_the_same(one: Image.Image, other: Image.Image) -> bool:
    """Whether two pictures differ by noise at most."""
    if one.size != other.size:
        return False
    blur = ImageFilter.BoxBlur(BLUR_PX)
    apart = ImageChops.difference(one.convert("RGB").filter(blur), other.convert("RGB").filter(blur))
    return max(most for _, most in apart.getextrema()) <= NOISE
