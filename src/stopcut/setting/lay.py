"""A line laid out at a size, straight or on an arc: x = 0 at its ink's left, y = 0 on its baseline.

On an arc the letters stand upright to it, each touching the arc of the baseline at the middle of its ink, and gaps are
measured along the circle at mid cap height: a letter w wide covers 2·atan(w / 2r) there, a gap g covers g / r.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from stopcut.arrays import Array
from stopcut.setting.bent import Bow, bent
from stopcut.setting.line import Gaps, LineShape
from stopcut.setting.profile import Profile
from stopcut.setting.request import LineSetting, SettingRequest
from stopcut.setting.shifts import by_hand as shifts_by_hand
from stopcut.setting.spacing import hang
from stopcut.shape.outline import Bounds

__all__ = ["ArcCircle", "Lain", "LetterPlace", "laid", "lay", "parted"]


@dataclass(frozen=True, slots=True)
class LetterPlace:
    """Where a letter's own origin comes, how far it is turned anticlockwise, and the box of its ink. [mm, degrees]"""

    x_mm: float
    y_mm: float
    turn_deg: float
    box: Bounds


@dataclass(frozen=True, slots=True)
class ArcCircle:
    """The circle under a line on an arc.

    centre_mm is its centre's x from the ink's left, turns the angles from the circle's own top (or bottom) at which the
    ink begins and ends [radians], heads 1 where letters point away from the centre, −1 where towards it.
    """

    radius_mm: float
    heads: int
    centre_mm: float
    turns: tuple[float, float]


@dataclass(frozen=True, eq=False)
class Lain:
    """A line laid out, its letters in visual order.

    gaps are the model's and shifts the hand's (letters − 1,); box is the ink's; hang_left and hang_right say how far
    the ink goes beyond where the eye sees the line's edge; lefts are where each letter's ink begins on a straight line,
    turned the letters' places on an arc. [mm] rows are the letters' profiles, on an arc bent to it,
    and along_mm where each profile's x = 0 stands along the line (on an arc, along the circle at mid cap height).
    tab_mm is what its tab was widened by.
    """

    setting: LineSetting
    shape: LineShape
    cap_height_mm: float
    openness: float
    mm_per_em: float
    gaps: Gaps
    shifts: Array
    box: Bounds
    lefts: Array
    hang_left: float
    hang_right: float
    rows: tuple[Profile, ...]
    along_mm: Array
    bend: ArcCircle | None = None
    turned: tuple[LetterPlace, ...] = ()
    tab_mm: float = 0.0

    @cached_property
    def spots(self) -> tuple[LetterPlace, ...]:
        """Where each letter stands."""
        if self.bend is not None:
            return self.turned
        scale = self.mm_per_em
        return tuple(
            LetterPlace(
                *(along, 0.0, 0.0),
                Bounds(left, p.bounds.bottom * scale, left + p.bounds.width * scale, p.bounds.top * scale),
            )
            for p, left, along in zip(self.shape.profiles, self.lefts.tolist(), self.along_mm.tolist(), strict=True)
        )

    @property
    def unit_mm(self) -> float:
        """A thousandth of the face's cap height. [mm]"""
        return self.mm_per_em * self.shape.cap_height / 1000


def lay(
    setting: LineSetting, shape: LineShape, cap_height_mm: float, openness: float, wood_mm: float, by_hand: Array
) -> Lain:
    """Lay a line out. by_hand holds the shifts of its gaps in visual order. [mm]

    Raises ValueError for a line without ink or an arc too small for its letters to stand on.
    """
    if not shape.letters:
        raise ValueError("a line without ink cannot be laid out")
    mm_per_em = cap_height_mm / setting.height_em
    unit = mm_per_em * shape.cap_height / 1000
    if setting.arc is not None:
        return _bent(setting, shape, cap_height_mm, openness, wood_mm, by_hand)
    gaps = shape.gaps(mm_per_em, openness, wood_mm)
    lefts, along, box = _straight(shape, gaps.model + by_hand, mm_per_em)
    lean = shape.manner.lean
    hangs = (hang(shape.profiles[0], 0, lean) * unit, hang(shape.profiles[-1], 1, lean) * unit)
    return Lain(
        setting, shape, cap_height_mm, openness, mm_per_em, gaps, by_hand, box, lefts, *hangs, shape.profiles, along
    )


def laid(
    request: SettingRequest, setting: LineSetting, shape: LineShape, cap_height_mm: float, openness: float | None = None
) -> Lain:
    """A line laid out on this board at a height, with its shifts; at another openness than its own if one is given."""
    shifts = shifts_by_hand(shape, setting.shifts, cap_height_mm)
    use = setting.openness if openness is None else openness
    return lay(setting, shape, cap_height_mm, use, request.least_wood_mm, shifts)


def parted(line: Lain, gap: int, more_mm: float) -> Lain:
    """A straight line with one of its gaps wider."""
    model = line.gaps.model.copy()
    model[gap] += more_mm
    lefts, along, box = _straight(line.shape, model + line.shifts, line.mm_per_em)
    gaps = Gaps(model, line.gaps.held)
    return replace(line, gaps=gaps, lefts=lefts, box=box, along_mm=along, tab_mm=line.tab_mm + more_mm)


def _straight(shape: LineShape, gaps: Array, mm_per_em: float) -> tuple[Array, Array, Bounds]:
    """Where each letter's ink begins, where its own origin comes, and the box of all. [mm]"""
    widths = shape.widths * (mm_per_em * shape.cap_height / 1000)
    lefts = np.concatenate([[0.0], np.cumsum(widths[:-1] + gaps)])
    lefts -= lefts.min()
    bottom, top = shape.extents
    box = Bounds(0.0, bottom * mm_per_em, float((lefts + widths).max()), top * mm_per_em)
    return lefts, lefts - shape.bearings * mm_per_em, box


def _bent(
    setting: LineSetting, shape: LineShape, cap_height_mm: float, openness: float, wood_mm: float, by_hand: Array
) -> Lain:
    """The line on its arc; y = 0 is the baseline at the arc's own middle."""
    assert setting.arc is not None
    mm_per_em = cap_height_mm / setting.height_em
    unit = mm_per_em * shape.cap_height / 1000
    radius, heads = setting.arc.radius_mm, 1 if setting.arc.bend == "up" else -1
    bow = Bow(radius / unit, heads)
    rows = tuple(bent(p, bow) for p in shape.profiles)
    gaps = shape.gaps(mm_per_em, openness, wood_mm, bow)
    middle_radius = bow.middle * unit
    covered = 2 * np.arctan(shape.widths / 2 / bow.middle)
    starts = np.concatenate([[0.0], np.cumsum(covered[:-1] + (gaps.model + by_hand) / middle_radius)])
    middles = starts + covered / 2 - (starts[0] + starts[-1] + covered[-1]) / 2
    raw = []
    for p, angle in zip(shape.profiles, middles.tolist(), strict=True):
        turn = -heads * angle
        x, y = radius * math.sin(angle), -2 * heads * radius * math.sin(angle / 2) ** 2
        centre = p.bounds.centre[0] * mm_per_em
        x, y = x - centre * math.cos(turn), y - centre * math.sin(turn)
        raw.append((x, y, turn, _turned(p, mm_per_em, x, y, turn)))
    box = raw[0][3]
    for *_, other in raw[1:]:
        box = box.union(other)
    spots = tuple(
        LetterPlace(x - box.left, y, math.degrees(turn), Bounds(b.left - box.left, b.bottom, b.right - box.left, b.top))
        for x, y, turn, b in raw
    )
    reach = [(float(p.left.min()), float(p.right.max())) for p in rows]
    turns = (
        min(m + left / bow.middle for m, (left, _) in zip(middles.tolist(), reach, strict=True)),
        max(m + right / bow.middle for m, (_, right) in zip(middles.tolist(), reach, strict=True)),
    )
    bend = ArcCircle(radius, heads, -box.left, turns)
    lain_box = Bounds(0.0, box.bottom, box.width, box.top)
    along = middles * middle_radius
    return Lain(
        *(setting, shape, cap_height_mm, openness, mm_per_em, gaps, by_hand, lain_box),
        *(np.array([spot.box.left for spot in spots]), 0.0, 0.0, rows, along, bend, spots),
    )


def _turned(shape: Profile, mm_per_em: float, x: float, y: float, turn: float) -> Bounds:
    """The box of a letter turned by an angle [radians], its origin at x, y."""
    cos, sin = math.cos(turn) * mm_per_em, math.sin(turn) * mm_per_em
    xs = shape.points @ np.array([cos, -sin]) + x
    ys = shape.points @ np.array([sin, cos]) + y
    return Bounds(float(xs.min()), float(ys.min()), float(xs.max()), float(ys.max()))
