"""Face allowance: what is sanded or planed off the face after carving, and how much larger the letters are cut for it.

Pencil marks and stain come off with a shaving of the face, and with it every stroke narrows: a face lowered by t takes
t / tan(wall) from each edge of a V groove. So the pattern's outlines stand out by as much, with mitred corners, and
stab depths grow by t; what is left when the face has come down are the letters as designed. That the face is cleaned
up after carving is common practice.
"""

from __future__ import annotations

import math
from dataclasses import replace

from stopcut.errors import CarverError
from stopcut.shape.offset import BadOffset, mitred
from stopcut.shape.outline import Outline
from stopcut.shape.placed import Placed

__all__ = ["allowance_mm", "allowance_outline", "allowance_placed", "cut_depth_mm"]

TOLERANCE_MM = 0.02
"""How far a pattern's edges may lie off the curves. [mm] Our choice: a fifth of a pencil line's breadth."""


def allowance_mm(face_off_mm: float, wall_deg: float) -> float:
    """How far each edge stands out on the pattern: face_off / tan(wall). [mm] 0 < wall_deg < 90."""
    if not 0 < wall_deg < 90:
        raise CarverError(f"A wall of {wall_deg:g}° cannot be cut: give its slope from the board's face, 20 to 80.")
    if not 0 <= face_off_mm < math.inf:
        raise CarverError(f"{face_off_mm:g} mm cannot be taken off the face.")
    return face_off_mm / math.tan(math.radians(wall_deg))


def cut_depth_mm(finished_depth_mm: float, face_off_mm: float) -> float:
    """How deep to cut from the face as it is now, for a depth from the finished face. [mm]"""
    return finished_depth_mm + face_off_mm


def allowance_outline(outline_mm: Outline, face_off_mm: float, wall_deg: float) -> Outline:
    """The outline to draw on the board so that the finished letter is outline_mm. Both in mm.

    It is the outline itself when nothing is taken off. Depths are the designed groove's and what comes off: a notch
    that the enlarging closes would make the pattern's own groove deeper there. Raises CarverError where it cannot be
    drawn.
    """
    try:
        return mitred(outline_mm, allowance_mm(face_off_mm, wall_deg), TOLERANCE_MM)
    except BadOffset as problem:
        raise CarverError(
            "The pattern's outline could not be drawn larger for what is taken off the face."
        ) from problem


def allowance_placed(placed: Placed, face_off_mm: float, wall_deg: float) -> Placed:
    """A placed outline as it is to be drawn on the board: the same place, its outline enlarged."""
    if face_off_mm == 0:
        return placed
    enlarged = allowance_outline(placed.outline.scaled(placed.scale), face_off_mm, wall_deg)
    return replace(placed, outline=enlarged.scaled(1 / placed.scale))
