"""A line laid out at a size, straight or on an arc: x = 0 at its ink's left, y = 0 on its baseline.

On an arc the letters stand upright to it, each touching the arc of the baseline at the middle of its ink, and gaps are
measured along the circle at mid cap height: a letter w wide covers 2·atan(w / 2r) there, a gap g covers g / r.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stopcut.setting.line import Gaps, LineShape
from stopcut.setting.profile import Profile
from stopcut.setting.request import LineSetting
from stopcut.setting.spacing import hang
from stopcut.shape.outline import Bounds

__all__ = ["Lain", "Spot", "lay"]

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a letter's own origin comes, how far it is turned anticlockwise, and the box of its ink. [mm, degrees]"""

    x_mm: float
    y_mm: float
    turn_deg: float
    box: Bounds


@dataclass(frozen=True, eq=False)
class Lain:
    """A line laid out, its letters in visual order.

    gaps are the model's and shifts the hand's (letters − 1,); box is the ink's; hang_left and hang_right say how far
    the ink goes beyond where the eye sees the line's edge. [mm]
    """

    setting: LineSetting
    shape: LineShape
    cap_height_mm: float
    openness: float
    mm_per_em: float
    gaps: Gaps
    shifts: Array
    spots: tuple[Spot, ...]
    box: Bounds
    hang_left: float
    hang_right: float


def lay(
    setting: LineSetting, shape: LineShape, cap_height_mm: float, openness: float, wood_mm: float, by_hand: Array
) -> Lain:
    """Lay a line out. by_hand holds the shifts of its gaps in visual order. [mm]

    Raises ValueError for a line without ink or an arc too small for a letter to stand on.
    """
    if not shape.letters:
        raise ValueError("a line without ink cannot be laid out")
    mm_per_em = cap_height_mm / setting.height_em
    unit = mm_per_em * shape.cap_height / 1000
    gaps = shape.gaps(mm_per_em, openness, wood_mm)
    along = gaps.model + by_hand
    hangs = (0.0, 0.0)
    if setting.arc is None:
        spots, box = _straight(shape, along, mm_per_em)
        lean = shape.manner.lean
        hangs = (hang(shape.profiles[0], 0, lean) * unit, hang(shape.profiles[-1], 1, lean) * unit)
    else:
        spots, box = _bent(shape, along, mm_per_em, setting.arc.radius_mm, 1 if setting.arc.bend == "up" else -1)
    return Lain(setting, shape, cap_height_mm, openness, mm_per_em, gaps, by_hand, spots, box, *hangs)


def _straight(shape: LineShape, along: Array, mm_per_em: float) -> tuple[tuple[Spot, ...], Bounds]:
    widths = shape.widths * (mm_per_em * shape.cap_height / 1000)
    lefts = np.concatenate([[0.0], np.cumsum(widths[:-1] + along)])
    rights = lefts + widths
    start = float(lefts.min())
    spots = tuple(
        Spot(
            left - start - p.bounds.left * mm_per_em,
            0.0,
            0.0,
            Bounds(left - start, p.bounds.bottom * mm_per_em, right - start, p.bounds.top * mm_per_em),
        )
        for p, left, right in zip(shape.profiles, lefts.tolist(), rights.tolist(), strict=True)
    )
    bottom = min(p.bounds.bottom for p in shape.profiles) * mm_per_em
    top = max(p.bounds.top for p in shape.profiles) * mm_per_em
    return spots, Bounds(0.0, bottom, float(rights.max()) - start, top)


def _bent(
    shape: LineShape, along: Array, mm_per_em: float, radius_mm: float, bend: int
) -> tuple[tuple[Spot, ...], Bounds]:
    """bend 1: the middle of the line highest, −1: lowest. y = 0 is the baseline at the arc's own middle."""
    middle_radius = radius_mm + bend * mm_per_em * shape.cap_height / 2
    if middle_radius <= 0:
        raise ValueError("the arc is smaller than its letters are high")
    widths = shape.widths * (mm_per_em * shape.cap_height / 1000)
    covered = 2 * np.arctan(widths / 2 / middle_radius)
    starts = np.concatenate([[0.0], np.cumsum(covered[:-1] + along / middle_radius)])
    middles = starts + covered / 2 - (starts[0] + starts[-1] + covered[-1]) / 2
    raw = []
    for p, angle in zip(shape.profiles, middles.tolist(), strict=True):
        turn = -bend * angle
        x, y = radius_mm * math.sin(angle), bend * radius_mm * (math.cos(angle) - 1)
        centre = p.bounds.centre[0] * mm_per_em
        x, y = x - centre * math.cos(turn), y - centre * math.sin(turn)
        raw.append((x, y, turn, _turned(p, mm_per_em, x, y, turn)))
    box = raw[0][3]
    for *_, other in raw[1:]:
        box = box.union(other)
    spots = tuple(
        Spot(x - box.left, y, math.degrees(turn), Bounds(b.left - box.left, b.bottom, b.right - box.left, b.top))
        for x, y, turn, b in raw
    )
    return spots, Bounds(0.0, box.bottom, box.width, box.top)


def _turned(shape: Profile, mm_per_em: float, x: float, y: float, turn: float) -> Bounds:
    """The box of a letter turned by an angle [radians], its origin at x, y."""
    cos, sin = math.cos(turn) * mm_per_em, math.sin(turn) * mm_per_em
    xs = shape.points @ np.array([cos, -sin]) + x
    ys = shape.points @ np.array([sin, cos]) + y
    return Bounds(float(xs.min()), float(ys.min()), float(xs.max()), float(ys.max()))
