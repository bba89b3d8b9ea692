"""Spacing: how far apart two letters stand so that the light between them looks even.

The model sees the two facing sides and nothing else: no side bearings, no kerning, no names of letters. In the band
from the baseline to cap height each side is a row of depths behind the letter's own extent, relaxed by a cone (light
does not reach into a narrow notch). Then, in thousandths of the cap height,

    gap = C + (openness − 1)·L + pair(A, B)
    pair = k·ln(Σ v·exp(−(A + B)/k) / Σ v + over) nearness: a soft least distance of the two sides
         − c·cov(A, B) − b·mA·mB                 hollows at one height, and two open sides, draw the letters together
         + g·(mA + mB) + e·(mA² + mB²)           but nearness alone would draw open sides in too far
         − d·(unevenA + unevenB)                 a side that goes in and out looks more open than its mean
         − t·k·ln o + low(o) + small(A) + small(B) + tall(A) + tall(B)
         − τ·(tuck − 1)·(open(A, B) − j·open(H, H))   the second setting: how far open sides close up
    open = mean(a + b) − f·min(a + b)

Means m and the covariance are over rows with weights v = w·(1 where both letters have ink, less where one or neither
has), w ∝ exp(q·u² + l·u), u from −1 at the baseline to 1; uneven is how far a side goes in and out, all its steps
added up; a and b are A and B cut at a depth, so that tuck closes a side that is open beside one that is not most, and
H H are two uprights of the face, which move little; over = Σ max(exp(−(A + B)/k) − 1, 0) / rows of the band, summed
over the rows above cap height, counts what leans over its neighbour there (a vowel of Thai, a caron) and nothing else;
o the share of rows that both letters reach, low what two letters get that share hardly any. small gives room to marks
that fill little of the band (a full stop, a hyphen), tall to the hollow of what stands beyond the band at both ends (a
bracket).
L is about the gap between two uprights of the face. C, L, k and the cone's slope follow how seriffed the face is, which
its H tells. The numbers were fitted to the gaps of kerned type families; `make bench-spacing` shows how near it comes
to designers that it never saw.
"""

from __future__ import annotations

import math
from collections import OrderedDict
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache

import numpy as np

from stopcut.arrays import Array
from stopcut.lettering.letters import FaceFacts
from stopcut.setting.profile import BAND, ROW, Profile, profile

__all__ = [
    "FITTED",
    "Constants",
    "LetterSide",
    "Manner",
    "forget",
    "hang",
    "manner_of",
    "pair_gaps",
    "sides",
    "upright_sides",
]


@dataclass(frozen=True, slots=True)
class Constants:
    """The fitted numbers, one set for all faces. Lengths in 1/1000 cap height.

    Those in pairs are (for a face without serifs, natural logarithm's or plain change towards a fully seriffed one).
    """

    slope: tuple[float, float] = (0.7385, 0.5324)
    reach: tuple[float, float] = (128.63, 0.3172)
    base: tuple[float, float] = (272.0, 16.0)
    light: tuple[float, float] = (273.0, -142.0)
    bow: float = 0.2721
    lean: float = 0.0645
    one_only: float = 0.3489
    neither: float = 0.2927
    together: float = 2.32e-3
    both_open: float = 7.5e-4
    open_side: float = 0.1494
    open_side_squared: float = 5.9e-4
    uneven: float = 0.01935
    shared: float = 0.1153
    hardly_shared: float = 160.0
    small: float = 280.0
    tall: float = 0.36
    tuck: float = 0.4
    tuck_depth: float = 250.0
    tuck_least: float = 0.3
    tuck_upright: float = 0.4


FITTED = Constants()
"""Fitted to 39 kerned families (benchmarks/designers.py's tuned ones) so that the mean of their errors is least: their
capitals, with every pair alike, by use in English, and with tuck fitted, their small letters, and with less weight
mixed case and figures. shared was fitted to small letters before that; small, hardly_shared and tall are set by hand to
punctuation. tuck is our choice, so that 0 to 2 holds every tuned designer with room to spare; tuck_upright too: with it
uprights move little, and more tuck opens no pair of capitals of those families. base and light are the designers' means
and 20 more: cut letters stand a little more open than type (common practice).
"""

_SMALL_SHARE = 0.5
"""A mark that fills less of the band than this is small. Our choice: x-height letters fill two thirds."""

_HARDLY_SHARED = 0.1
"""Letters hardly share a height below this share of the band. Our choice: about a full stop's height."""

_TALL = 70.0
"""Ink this far beyond the band at both ends is fully tall. [1/1000 cap height] Our choice: as many brackets do."""

_OVERSHOOT = 50.0
"""Letters reach this far beyond the band and are not tall. [1/1000 cap height] Karow: overshoot of O is 3 %; the
pointed N and W of geometric faces reach 5."""

_ABOVE = 70
"""Rows above cap height in which letters are looked at. Our choice: marks one over the other on capitals end there."""

_FARTHEST = 1000.0
"""Nothing counts as leaning farther over its neighbour. [1/1000 cap height] Our choice: a capital's height."""

_SERIF_DEPTH = 30.0
"""A side this far back on average is that of a fully seriffed upright. [1/1000 cap height] From the trial."""

_SERIF_SLOPE = 0.78
"""The cone with which seriffedness is measured. From the trial."""

_Y = (np.arange(BAND) + 0.5) * ROW
_U = _Y / (BAND * ROW) * 2 - 1


@dataclass(frozen=True)
class Manner:
    """The model's numbers for one face: constants, how seriffed it is (0 to 1), and what follows from that.

    lean is the tangent of its slant: slanted letters are set upright before they are judged. upright_width is how wide
    an I of the face is, upright_open how open two uprights side by side are to tuck (serifs hold their stems apart).
    slope is the cone's; reach is k, light L. [1/1000 cap height]
    """

    constants: Constants
    seriffed: float
    upright_width: float
    lean: float = 0.0
    upright_open: float = 0.0

    @property
    def slope(self) -> float:
        """Slope of the cone by which sides are relaxed."""
        flat, change = self.constants.slope
        return float(flat * np.exp(change * self.seriffed))

    @property
    def reach(self) -> float:
        """How gradually nearness counts: k. [1/1000 cap height]"""
        flat, change = self.constants.reach
        return float(flat * np.exp(change * self.seriffed))

    @property
    def light(self) -> float:
        """About the gap between two uprights at openness 1, which openness scales: L. [1/1000 cap height]"""
        flat, change = self.constants.light
        return flat + change * self.seriffed

    def opened(self, openness: float) -> float:
        """What an openness gives every pair: C + (openness − 1)·L. [1/1000 cap height]"""
        flat, change = self.constants.base
        return flat + change * self.seriffed + (openness - 1) * self.light


@dataclass(frozen=True, eq=False)
class LetterSide:
    """One side of a letter as the model sees it, in rows of the band. [1/1000 cap height]

    beyond is how far the letter's whole ink reaches past its extent in the band (past its sheared extent in a slanted
    face): the pair's gap between ink extents is less by it.
    relaxed: depths relaxed by the cone, for nearness; filled: the same, but rows beyond the letter's own ink as deep as
    its last inked row; inked: 1.0 from the lowest inked row to the highest, else 0. alone is what the side adds by
    itself: small and tall, less what its ins and outs look open. above: relaxed depths in the rows above cap height and
    an overshoot, below 0 where the letter leans out beyond its extent in the band.
    """

    relaxed: Array
    filled: Array
    inked: Array
    alone: float
    beyond: float = 0.0
    above: Array = field(default_factory=lambda: np.full(_ABOVE, np.inf))


_UPRIGHT_WITHOUT_H = 115.0
"""Width of an upright where the face has no H. [1/1000 cap height] Trajan stone: stem 0.111 to 0.118."""

_SERIFFED_WITHOUT_H = 0.0


def manner_of(face: FaceFacts, constants: Constants = FITTED) -> Manner:
    """The model's numbers for a face, read from its H (a face without one is taken as having no serifs)."""
    if face.upright is None:
        width = _UPRIGHT_WITHOUT_H if face.stem is None else face.stem / face.cap_height * 1000
        return Manner(constants, _SERIFFED_WITHOUT_H, width)
    lean = math.tan(math.radians(face.slant_deg))
    left, right, x_left, x_right = profile(face.upright, face.cap_height).band(lean)
    depths = np.stack([left - x_left, x_right - right])
    seriffed = float((np.minimum(_relaxed(depths, _SERIF_SLOPE), _SERIF_DEPTH) / _SERIF_DEPTH).mean())
    stem = _UPRIGHT_WITHOUT_H if face.stem is None else face.stem / face.cap_height * 1000
    overhang = float(np.median(depths[0, BAND // 4 : 3 * BAND // 4]))
    manner = Manner(constants, seriffed, stem + 2 * overhang, lean)
    filled = _relaxed(depths, manner.slope)
    return replace(manner, upright_open=float(_open(filled[1:], filled[:1], _weight(constants), constants)[0]))


_kept_sides: OrderedDict[tuple[int, Manner], tuple[Profile, LetterSide, LetterSide]] = OrderedDict()
_KEPT = 4096


def sides(shape: Profile, manner: Manner) -> tuple[LetterSide, LetterSide]:
    """A letter's left and right side as the model sees them. Remembered: once a glyph."""
    key = (id(shape), manner)
    known = _kept_sides.get(key)
    if known is None or known[0] is not shape:
        left, right, x_left, x_right = shape.band(manner.lean)
        ends = (x_left - shape.x_left, shape.x_right - x_right)
        reach = min(shape.y_top - BAND * ROW, -shape.y_bottom)
        tall = min(max((reach - _OVERSHOOT) / (_TALL - _OVERSHOOT), 0.0), 1.0)
        known = (
            shape,
            replace(_side(left - x_left, ends[0], tall, manner), above=_above(shape, 0, x_left, manner)),
            replace(_side(x_right - right, ends[1], tall, manner), above=_above(shape, 1, x_right, manner)),
        )
        _kept_sides[key] = known
        if len(_kept_sides) > _KEPT:
            _kept_sides.popitem(last=False)
    return known[1], known[2]


def forget() -> None:
    """Forget every side, to measure from cold."""
    _kept_sides.clear()


def upright_sides(face: FaceFacts, manner: Manner) -> tuple[LetterSide, LetterSide]:
    """The left and right side of the face's upright: H's own, flat ones where it has none."""
    if face.upright is not None:
        return sides(profile(face.upright, face.cap_height), manner)
    flat = LetterSide(np.zeros(BAND), np.zeros(BAND), np.ones(BAND), 0.0)
    return flat, flat


def pair_gaps(rights: Sequence[LetterSide], lefts: Sequence[LetterSide], manner: Manner, tuck: float = 1.0) -> Array:
    """What the shapes of two facing sides add to the gap between flat ones, pair by pair. [1/1000 cap height]

    rights[i] is the right side of the letter on the left, lefts[i] the left side of its neighbour. tuck 1 as fitted;
    more closes up open sides further. The gap is between the extents of all the ink; add manner.opened(…).
    """
    if not len(rights):
        return np.empty(0)
    c, k = manner.constants, manner.reach
    weight = _weight(c)
    a, b = np.stack([s.filled for s in rights]), np.stack([s.filled for s in lefts])
    inked = np.stack([s.inked for s in rights]) + np.stack([s.inked for s in lefts])
    seen = np.array([c.neither, c.one_only, 1.0])[inked.astype(np.intp)] * weight
    seen /= seen.sum(axis=1, keepdims=True)
    nearness = np.stack([s.relaxed for s in rights]) + np.stack([s.relaxed for s in lefts])
    leaning = np.stack([s.above for s in rights]) + np.stack([s.above for s in lefts])
    over = np.expm1(-np.clip(leaning, -_FARTHEST, 0.0) / k).sum(axis=1) / BAND
    gap: Array = k * np.log((np.exp(-nearness / k) * seen).sum(axis=1) + over)
    mean_a, mean_b = (a * seen).sum(axis=1), (b * seen).sum(axis=1)
    together = (a * b * seen).sum(axis=1) - mean_a * mean_b
    gap -= c.together * together + c.both_open * mean_a * mean_b
    gap += c.open_side * (mean_a + mean_b) + c.open_side_squared * (mean_a**2 + mean_b**2)
    shared = (inked == 2) @ weight
    gap -= c.shared * k * np.log(np.maximum(shared, _HARDLY_SHARED))
    gap += c.hardly_shared * np.maximum(1 - shared / _HARDLY_SHARED, 0.0)
    if tuck != 1:
        gap -= c.tuck * (tuck - 1) * (_open(a, b, seen, c) - c.tuck_upright * manner.upright_open)
    gap += np.array([a.alone + b.alone - a.beyond - b.beyond for a, b in zip(rights, lefts, strict=True)])
    return gap


def _open(a: Array, b: Array, weight: Array, c: Constants) -> Array:
    """How open two facing sides are to tuck, pair by pair: mean(a + b) − f·min(a + b), both cut. [1/1000 cap height]"""
    cut = np.minimum(a, c.tuck_depth) + np.minimum(b, c.tuck_depth)
    out: Array = (cut * weight).sum(axis=-1) - c.tuck_least * cut.min(axis=-1)
    return out


_HANG_DEPTH = 150.0
"""An edge is judged no deeper than this. [1/1000 cap height] Our choice: about a stem and a half."""

_HANG = 0.5
"""How much of its mean depth a side hangs over the edge. Our choice, by eye: O some 2 % of cap height, A and T 5."""


@lru_cache(maxsize=_KEPT)
def hang(shape: Profile, which: int, lean: float = 0.0) -> float:
    """How far a letter at a line's end goes beyond the edge that the eye sees. [1/1000 cap height]

    which 0 for its left side at the line's left end, 1 for its right side at the right end. 0 for a flat side; a full
    stop, a hyphen or the point of an A hang out most.
    """
    left, right, x_left, x_right = shape.band(lean)
    depth = _relaxed(left - x_left if which == 0 else x_right - right, _SERIF_SLOPE)
    return float(np.minimum(depth, _HANG_DEPTH).mean()) * _HANG


@lru_cache(maxsize=16)
def _weight(constants: Constants) -> Array:
    weight = np.exp(constants.bow * _U**2 + constants.lean * _U)
    out: Array = weight / weight.sum()
    return out


def _side(depth: Array, beyond: float, tall: float, manner: Manner) -> LetterSide:
    c = manner.constants
    inked = np.isfinite(depth)
    rows = np.flatnonzero(inked)
    low, high = int(rows[0]), int(rows[-1])
    relaxed = _relaxed(depth, manner.slope)
    filled = relaxed.copy()
    filled[:low], filled[high + 1 :] = relaxed[low], relaxed[high]
    within = np.zeros(BAND)
    within[low : high + 1] = 1.0
    weight = _weight(c)
    small = max(_SMALL_SHARE - float(within @ weight), 0.0) ** 2
    uneven = float(np.abs(np.diff(filled)).sum())
    alone = c.small * small + c.tall * tall * float(filled @ weight) - c.uneven * uneven
    return LetterSide(relaxed, filled, within, alone, beyond)


def _above(shape: Profile, which: int, extent: float, manner: Manner) -> Array:
    """Relaxed depths above cap height and an overshoot, behind a side's extent in the band. [1/1000 cap height]

    which 0 for the left side, 1 for the right one.
    """
    side = shape.rows(0, BAND + _ABOVE)[which]
    upright = side - manner.lean * (np.arange(BAND + _ABOVE) + 0.5) * ROW
    depth = np.where(np.isfinite(side), extent - upright if which else upright - extent, np.inf)
    start = BAND + round(_OVERSHOOT / ROW)
    relaxed = _relaxed(depth, manner.slope)
    relaxed[BAND:start] = np.inf
    return relaxed[BAND:]


def _relaxed(depth: Array, slope: float) -> Array:
    """depth(y) = min over y' of depth(y') + slope · |y − y'|, along the last axis."""
    ramp = slope * (np.arange(depth.shape[-1]) + 0.5) * ROW
    up = np.minimum.accumulate(depth - ramp, axis=-1) + ramp
    down = np.minimum.accumulate((depth + ramp)[..., ::-1], axis=-1)[..., ::-1] - ramp
    out: Array = np.minimum(up, down)
    return out
