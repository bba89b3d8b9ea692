"""Centre lines parted into what is straight and what is a curve.

A line is first cut where it turns sharply, then straight pieces are taken out, the longest first; what is left are the
curves. Lengths are in half-widths of the stroke, because a letter is the same letter at every size; how many is our
choice, from trials on A to Z of three faces.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import Final

import numpy as np

from stopcut.arrays import Array
from stopcut.bench.paths import along, between, closed, evenly, headings, turned_deg

__all__ = ["Part", "at_sharp_turns", "parts_of"]

SHARP_DEG: Final = 35.0
"""A line that turns so much from one half-width to the next is parted there. [degrees]"""
STRAIGHT_DEG: Final = 10.0
TRIM: Final = 1.2
"""A line whose headings spread no wider than the first, its ends left out by the second, is straight. [degrees,
half-widths]"""
PIECE_DEG: Final = 7.0
PIECE_AT_END: Final = 3.5
PIECE_INSIDE: Final = 6.0
"""A straight piece of a line that is not: how far its headings spread, and how long it is at least. [degrees,
half-widths]"""
BENT_END: Final = 2.5
"""What is left over at a line's end and shorter than this belongs to the straight piece beside it. [half-widths]"""
BOW: Final = 0.3
"""A line that bows no more than this, BENT_END left out at its ends, is straight. [half-widths]"""
BEND_DEG: Final = 50.0
SPINE_DEG: Final = 20.0
"""A curve that bends one way by the first and then as much the other way has a spine, over which it turns no more than
the second. [degrees]"""
STUB: Final = 1.6
"""Bends between two straight pieces that are shorter than this are no stroke. [half-widths]"""
WIDTHS: Final = 33
"""Looks at a stroke's width from end to end."""
LOOKS: Final = 6
"""Looks at a line's heading per half-width."""


@dataclass(frozen=True, eq=False)
class Part:
    """Part of a centre line. points (k, 2) and widths (k,) (half-widths) along it [mm]; straight or a curve.

    split says of its first and its last end whether it was parted there from the rest of its line; line is the number
    of that line.
    """

    points: Array
    widths: Array
    straight: bool
    split: tuple[bool, bool] = (False, False)
    line: int = 0

    @cached_property
    def half_width(self) -> float:
        """The half-width over most of it. [mm]"""
        distances = along(self.points)
        return float(np.median(np.interp(np.linspace(0.0, distances[-1], WIDTHS), distances, self.widths)))

    @cached_property
    def whole(self) -> bool:
        """Whether it goes all the way round."""
        return closed(self.points)

    @cached_property
    def turned_deg(self) -> float:
        """How far it turns from end to end, to the left. [degrees]"""
        points, _ = evenly(self.points, self.half_width)
        way = headings(points)
        return float(way[-1] - way[0])

    def leaving_deg(self, last: bool) -> float:
        """The heading with which it leaves at its first or last end, the bend of the very end left out. [degrees]"""
        points = self.points if last else self.points[::-1]
        length = float(along(points)[-1])
        if self.straight:
            start, end = (
                (TRIM * self.half_width, length - TRIM * self.half_width)
                if length > 4 * self.half_width
                else (0, length)
            )
        else:
            start, end = max(0.0, length - 2 * self.half_width), length
        piece = between(points, start, end)
        step = piece[-1] - piece[0]
        return float(np.degrees(np.arctan2(step[1], step[0])))

    def turned(self) -> Part:
        """The same part the other way round."""
        return Part(self.points[::-1], self.widths[::-1], self.straight, self.split[::-1], self.line)

    def and_then(self, other: Part) -> Part:
        """This part and the one that goes on from its end."""
        return Part(
            np.vstack([self.points, other.points]),
            np.concatenate([self.widths, other.widths]),
            self.straight,
            (self.split[0], other.split[1]),
            self.line,
        )


def parts_of(points: Array, widths: Array) -> list[Part]:
    """The straight parts and the curves of one centre line, in their order along it."""
    whole = np.column_stack([points, widths])
    width = max(float(np.median(widths)), 1e-6)
    out: list[Part] = []
    for first, last, piece in at_sharp_turns(whole, width):
        for start, end, straight in _straights(piece, width):
            length = float(along(piece)[-1])
            part = between(piece, start, end) if (start, end) != (0.0, length) else piece
            split = (start > 0 or not first, end < length or not last)
            out.append(Part(part[:, :2], part[:, 2], straight, split))
    return out


def at_sharp_turns(line: Array, width: float) -> Iterator[tuple[bool, bool, Array]]:
    """The pieces of a line between sharp turns; whether each is the first, and the last."""
    looked, where = evenly(line, width / LOOKS)
    length = float(where[-1])
    if length < 2 * width or closed(line):
        yield True, True, line
        return
    back = _at(line, np.maximum(where - width, 0.0))
    ahead = _at(line, np.minimum(where + width, length))
    before, after = looked[:, :2] - back, ahead - looked[:, :2]
    cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    turn = np.degrees(np.arctan2(np.abs(cross), np.einsum("ij,ij->i", before, after)))
    turn[(where < width) | (where > length - width)] = 0.0
    cuts = [0.0]
    while turn.max() >= SHARP_DEG:
        sharpest = int(turn.argmax())
        cuts.append(float(where[sharpest]))
        turn[np.abs(where - where[sharpest]) <= width] = 0.0
    cuts = [*sorted(cuts), length]
    for n, (start, end) in enumerate(pairwise(cuts)):
        yield n == 0, n == len(cuts) - 2, between(line, start, end) if len(cuts) > 2 else line


def _at(line: Array, where: Array) -> Array:
    distances = along(line)
    return np.column_stack([np.interp(where, distances, line[:, 0]), np.interp(where, distances, line[:, 1])])


def _straights(line: Array, width: float) -> list[tuple[float, float, bool]]:
    """(start, end, straight) distances of a line's straight pieces and curves."""
    length = float(along(line)[-1])
    looked, where = evenly(line, width / LOOKS)
    way = _smoothed(headings(looked))
    middle = (where[1:] + where[:-1]) / 2
    inner = way[(middle >= TRIM * width) & (middle <= length - TRIM * width)]
    if len(inner) == 0 or float(np.ptp(inner)) <= STRAIGHT_DEG or _nearly_straight(looked, where, width):
        straight = len(inner) > 0 or abs(turned_deg(float(way[0]), float(way[-1]))) <= 2 * STRAIGHT_DEG
        return [(0.0, length, straight)]
    found = sorted(_pieces(middle, way, width, 0.0, length, length))
    if not found:
        return _at_the_spine(middle, way, width, length)
    found = _with_bent_ends(found, width, length)
    out: list[tuple[float, float, bool]] = []
    done = 0.0
    for start, end in found:
        if out and start - done < STUB * width:
            start = done  # no more than a joint's bend
        if start > done:
            out.append((done, start, False))
        out.append((start, end, True))
        done = end
    if done < length:
        out.append((done, length, False))
    return out


def _nearly_straight(looked: Array, where: Array, width: float) -> bool:
    """Whether a line is as good as straight, its ends left out: a long stroke that swells, or bows a little."""
    inner = looked[(where >= BENT_END * width) & (where <= where[-1] - BENT_END * width), :2]
    if len(inner) < 2:
        return False
    chord = inner[-1] - inner[0]
    off = inner - inner[0]
    aside = np.abs(off[:, 0] * chord[1] - off[:, 1] * chord[0]) / max(float(np.hypot(*chord)), 1e-9)
    return bool(aside.max() <= BOW * width and float(np.hypot(*chord)) >= 2 * width)


def _at_the_spine(middle: Array, way: Array, width: float, length: float) -> list[tuple[float, float, bool]]:
    """A curve that bends one way and then the other, parted into the two bends and the spine between them."""
    best = (0.0, 0)
    for place in (int(way.argmax()), int(way.argmin())):
        best = max(best, (min(abs(way[place] - way[0]), abs(way[-1] - way[place])), place))
    turn, place = best
    if turn < BEND_DEG:
        return [(0.0, length, False)]
    low = high = place
    while low > 0 and abs(way[low - 1] - way[place]) <= SPINE_DEG:
        low -= 1
    while high < len(way) - 1 and abs(way[high + 1] - way[place]) <= SPINE_DEG:
        high += 1
    start, end = float(middle[low]), float(middle[high])
    if end - start < width:
        return [(0.0, float(middle[place]), False), (float(middle[place]), length, False)]
    return [(0.0, start, False), (start, end, False), (end, length, False)]


def _with_bent_ends(found: list[tuple[float, float]], width: float, length: float) -> list[tuple[float, float]]:
    if found[0][0] < BENT_END * width:
        found[0] = (0.0, found[0][1])
    if length - found[-1][1] < BENT_END * width:
        found[-1] = (found[-1][0], length)
    return found


def _smoothed(way: Array) -> Array:
    """Headings evened out over half a half-width, so that the kinks of flattened curves do not count."""
    reach = LOOKS // 4 + 1
    if len(way) <= 2 * reach:
        return way
    padded = np.concatenate([np.full(reach, way[0]), way, np.full(reach, way[-1])])
    out: Array = np.convolve(padded, np.full(2 * reach + 1, 1 / (2 * reach + 1)), mode="valid")
    return out


def _pieces(
    middle: Array, way: Array, width: float, start: float, end: float, length: float
) -> Iterator[tuple[float, float]]:
    """The straight pieces between two distances, the longest first."""
    inside = np.flatnonzero((middle > start) & (middle < end))
    if len(inside) < 2:
        return
    best = (0.0, 0, 0)
    low = int(inside[0])
    values = way.tolist()
    for high in inside.tolist():
        while max(values[low : high + 1]) - min(values[low : high + 1]) > PIECE_DEG:
            low += 1
        best = max(best, (float(middle[high] - middle[low]), low, high))
    reach, low, high = best
    step = float(middle[1] - middle[0])
    first, last = float(middle[low]) - step / 2, float(middle[high]) + step / 2
    at_end = first < BENT_END * width or last > length - BENT_END * width
    if reach < (PIECE_AT_END if at_end else PIECE_INSIDE) * width:
        return
    first, last = max(first, 0.0), min(last, length)
    yield first, last
    yield from _pieces(middle, way, width, start, first, length)
    yield from _pieces(middle, way, width, last, end, length)
