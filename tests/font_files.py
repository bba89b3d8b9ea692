"""Font files as a carver brings them in."""

from __future__ import annotations

from fontTools.ttLib import TTFont
from making_fonts import instance, packaged


def face(family: str = "Plot Hand", weight: int = 500, **names: str) -> TTFont:
    """A font of this family, made of a packaged one."""
    font = instance(packaged("cinzel"), 500)
    said = {1: family, 16: family, **{int(key[1:]): value for key, value in names.items()}}
    for number, value in said.items():
        font["name"].setName(value, number, 3, 1, 0x409)
    font["OS/2"].usWeightClass = weight
    return font
