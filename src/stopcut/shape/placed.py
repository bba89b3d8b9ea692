"""Placed: an outline with its place on the board, its line and its letter."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

from stopcut.shape.outline import Bounds, Outline, Point

__all__ = ["Placed"]


@dataclass(frozen=True)
class Placed:
    """An outline on the board.

    outline is in its own unit; scale is how many mm that unit is, turn_deg how far it is turned anticlockwise about its
    origin, and x_mm, y_mm where the origin comes on the board (from the lower left corner). line and index count from 1
    (0, 0 for what is no letter); char is the letter itself, a grapheme cluster, or an ornament's name; seen is what it
    looks like, "" where that is the same.
    """

    outline: Outline
    scale: float
    x_mm: float
    y_mm: float
    turn_deg: float = 0.0
    line: int = 0
    index: int = 0
    char: str = ""
    seen: str = ""

    @property
    def called(self) -> str:
        """What it is called by who sees it: "H" for an h that is drawn as a capital."""
        return self.seen or self.char

    @property
    def matrix(self) -> tuple[float, float, float, float, float, float]:
        """The map from the outline's own unit to mm on the board, as Outline.mapped takes it."""
        cos = self.scale * math.cos(math.radians(self.turn_deg))
        sin = self.scale * math.sin(math.radians(self.turn_deg))
        return (cos, sin, -sin, cos, self.x_mm, self.y_mm)

    def point_mm(self, point: Point) -> Point:
        """A point of the outline, in its own unit, where it comes on the board. [mm]"""
        a, b, c, d, e, f = self.matrix
        return (a * point[0] + c * point[1] + e, b * point[0] + d * point[1] + f)

    @cached_property
    def on_board(self) -> Outline:
        """The outline in mm on the board."""
        return self.outline.mapped(self.matrix)

    @cached_property
    def bounds_mm(self) -> Bounds:
        """The box of the ink on the board. [mm]"""
        if self.turn_deg:
            return self.on_board.bounds
        box, scale, x, y = self.outline.bounds, self.scale, self.x_mm, self.y_mm  # upright, its own box is only moved
        return Bounds(scale * box.left + x, scale * box.bottom + y, scale * box.right + x, scale * box.top + y)
