"""Which parts of a letter are thin strokes, and how their edges move to make them thick enough.

A thin part between two thick ones (the bar of an H, the hairline top of an O) is a thin stroke whatever its length. A
thin part with a free end is one only while its edges run side by side for a while: a serif or a tapering tip is thin
by nature and stays as it is. Edges of a thin stroke move apart, each by half of what is wanting, save that an edge on
the letter's own top or bottom stays, so that lines of words keep their height. What hangs on the end of a thin stroke
is stretched across as the stroke was: its corners go with the edges, a serif moves out unchanged, a point stays a
point.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from stopcut.arrays import Array, Flags, Indices
from stopcut.shape.thickness import Thickness

__all__ = ["BLEND", "amounts", "moves", "thin_strokes"]


THROUGH_LEAN_DEG = 40.0
"""Edges of a thin part between thick ones lean less than this. Our choice: a hairline that swells to a bowl leans 30°
where it reaches the asked width; a crotch leans more."""
END_LEAN_DEG = 10.0
"""Edges of a thin stroke with a free end lean less than this: as for a parallel run: half-width 0.09 a length."""
END_LENGTH = 1.2
"""And run so for at least this many times the asked width. Our choice: half again as long as wide is no stroke yet."""
SERIF_REACH = 0.17
"""And for more than this share of the letter's height. Our choice: the longest serifs of book faces reach 0.15."""
BENT_DEG = 20.0
"""An edge that turns more than this to the left along a thin stroke is the outer side of a bend, and stays; one that
turns less either way is straight. Our choice: a hairline top of an O turns 40° and more."""
RUN_ON = 2.0
"""A moved edge runs on straight to an inner corner this many asked widths away or nearer. Our choice: where strokes
cross at 30° a corner is as far from where the stroke widens as the stroke is wide, twice."""
MOST_AHEAD = 60
"""Samples looked at ahead along an asked width. Our choice: thrice as many as there are; short segments have more."""
FADE = 6.0
"""Else it comes back to the old edge over this many times its move. Our choice: a turn of 10° hides in a joint."""
LEVEL_COSINE = (0.80, 0.97)
"""An edge counts as level from the second of these up, not below the first (cosine of its slope). Our choice."""
NEAR_EXTENT = (0.04, 0.12)
"""It belongs to the letter's top or bottom within these shares of the letter's height, fading. Our choice: round
letters overshoot by 1 to 2 %, and a hairline round top is thin over a tenth of the height."""
UPRIGHT = 0.4
"""A stroke whose edges' normals are this level (cosine) stands up: its end can go sideways. Our choice."""
BLEND = 0.06
"""How gently widening begins, as a share of the asked width: strokes within half of it of the asked width move too, by
an eighth of it at most. Our choice: 0.02 mm for 2.5 mm, and no kink where a bowl grows thin."""
SMOOTHED = 13
"""Samples over which the widening is averaged along an edge. Our choice: four fifths of the asked width."""
CORNER_DEG = 20.0
"""Less turn than this within a gap is a bend, not a corner. Our choice."""


def thin_strokes(thick: Thickness, thinnest: float, height: float) -> Flags:
    """Which samples lie on the edge of a thin stroke (not: a serif, a tip, a corner) of a letter so high. (n,)"""
    thin = np.isfinite(thick.radius)
    lean = np.where(thin, thick.lean_deg, 180.0)
    fold = thick.fold
    through = thin & np.isinf(fold) & (lean <= THROUGH_LEAN_DEG)
    ends = thin & np.isfinite(fold) & (lean <= END_LEAN_DEG)
    long = np.zeros(len(thin), dtype=bool)
    for run in _runs(thick, ends):
        if _span(thick, run) >= max(END_LENGTH * thinnest, SERIF_REACH * height):
            long[run] = True
    long &= long[thick.other]
    return through | long


def amounts(thick: Thickness, strokes: Flags, thinnest: float, extents: Array, share: Array) -> Array:
    """How far each edge of a thin stroke moves along its own normal. (n,)

    extents (rings, 2): the bottom and top of each outer contour, nan for a hole. share (rings,) is how much of its move
    a ring may make; the edge across takes over the rest, save on the letter's top and bottom and on bowls that have it.
    """
    level = _level(thick, extents)
    bent, straight = _bent(thick, strokes)
    kept = np.maximum(level, bent)
    wanting = np.where(strokes, _wanting(2 * np.minimum(thick.radius, thinnest), thinnest), 0.0)
    own = np.where(strokes, wanting * (1 - kept + kept[thick.other]) / 2, 0.0)
    limited = share[thick.ring]
    if limited.min() == 1:
        return _held(thick, strokes, straight, _smooth(thick, strokes, own), thinnest)
    free = straight.copy()
    for run in _chains(thick, strokes):  # a bowl that is held at the top and grew beside it would be out of shape
        free[run] |= level[run].max() == 0
    taken = np.where(strokes & free, (own * (1 - limited))[thick.other] * (1 - level), 0.0)
    amount = own * limited + taken
    for run in _lines(thick, [run for run in _chains(thick, strokes) if straight[run[0]]]):
        if taken[run].any():  # evenly, or it would have a kink where a counter begins
            amount[run] = np.minimum(amount[run].max(), wanting[run])
            whole = limited[thick.other[run]] == 1
            amount[thick.other[run[whole]]] = np.maximum(wanting[run] - amount[run], 0)[whole]
    return _held(thick, strokes, straight, _smooth(thick, strokes, amount), thinnest)


def _wanting(width: Array, thinnest: float) -> Array:
    """What a stroke's width wants, beginning gently. (n,)"""
    blend = BLEND * thinnest
    short = thinnest - width
    gentle = (np.clip(short + blend / 2, 0, blend)) ** 2 / (2 * blend)
    wanting: Array = np.where(short > blend / 2, short, gentle)
    return wanting


def _held(thick: Thickness, strokes: Flags, straight: Flags, amount: Array, thinnest: float) -> Array:
    """Straight edges that end at an inner corner move evenly up to it, though the stroke widens there. (n,)"""
    held = amount.copy()
    for chain in _chains(thick, strokes):
        if not straight[chain[0]]:
            continue
        for end, step in ((chain[::-1], 1), (chain, -1)):
            if _inner_corner_near(thick, int(end[0]), step, thinnest):
                near = end[: 1 + int(np.searchsorted(np.cumsum(_gaps(thick, int(end[0]), end[1:])), thinnest))]
                held[near] = np.maximum(held[near], amount[near[-1]])
    return held


def _inner_corner_near(thick: Thickness, start: int, step: int, thinnest: float) -> bool:
    """Whether the first corner from a sample on, along its ring (step 1) or back (-1), is a near and inner one."""
    ring = thick.ring[start]
    first, size = int(np.searchsorted(thick.ring, ring)), int(np.count_nonzero(thick.ring == ring))
    ahead = first + (start - first + step * np.arange(1, min(size, round(MOST_AHEAD * RUN_ON)))) % size
    turns = np.degrees(_turns(thick, np.concatenate([[start], ahead]))) * step
    corners = np.flatnonzero(np.abs(turns) >= CORNER_DEG)
    if not len(corners) or turns[corners[0]] > 0:
        return False
    return bool(_gaps(thick, start, ahead[: corners[0] + 1]).sum() <= RUN_ON * thinnest)


def moves(thick: Thickness, strokes: Flags, amount: Array, thinnest: float, extents: Array) -> Array:
    """How far each sample moves when the thin strokes' edges move by amount (n,) and all else goes with them. (n, 2)"""
    move = amount[:, None] * thick.out
    level = _level(thick, extents) > 0.5
    ended = np.zeros(len(amount), dtype=bool)
    for run in _runs(thick, np.isfinite(thick.radius) & ~strokes):
        before, after = _neighbours(thick, run)
        if strokes[before] and strokes[after]:
            ended[run] = True
            if _across(thick, before, after, thinnest):
                move[run] = _stretched(thick, move, run, before, bool(level[run].any()))
            else:
                move[run] = _joined(thick, move, run, before, after)
    _run_on(thick, strokes, ended, amount, move, thinnest)
    return move


def _run_on(thick: Thickness, strokes: Flags, ended: Flags, amount: Array, move: Array, thinnest: float) -> None:
    """Let moved edges run on where a stroke joins a thick one: to the inner corner there, or fading away. In place."""
    room = np.zeros(len(amount))
    for run in _runs(thick, ~strokes & ~ended):
        if len(run) == np.count_nonzero(thick.ring == thick.ring[run[0]]):
            continue
        before, after = _neighbours(thick, run)
        turns = np.degrees(_turns(thick, np.concatenate([[before], run, [after]])))
        way = np.cumsum(_gaps(thick, before, run))
        smooth = np.abs(turns).max() < CORNER_DEG and abs(turns.sum()) < 2 * CORNER_DEG
        if way[-1] <= 2 * RUN_ON * thinnest and smooth:
            share = way / (way[-1] + way[0])
            room[run] = amount[before] * (1 - share) + amount[after] * share
            continue
        for start, beyond, turn in ((before, run, turns), (after, run[::-1], turns[::-1])):
            if amount[start] > 0:
                way = np.cumsum(_gaps(thick, start, beyond))
                room[beyond] = np.maximum(room[beyond], _beyond(amount[start], way, turn, thinnest))
    more = room > 0
    move[more] = room[more, None] * thick.out[more]


def _beyond(amount: float, way: Array, turn: Array, thinnest: float) -> Array:
    """How far samples beyond the last of a moved edge move, by their way from it and the turn before each."""
    corner = int(np.argmax(np.abs(turn) >= CORNER_DEG)) if (np.abs(turn) >= CORNER_DEG).any() else len(way)
    on = np.zeros(len(way))
    if corner == 0:
        return on
    near = way[:corner]
    if corner < len(turn) and turn[corner] <= -CORNER_DEG and near[-1] <= RUN_ON * thinnest:
        on[:corner] = amount
    else:
        on[:corner] = amount * np.maximum(1 - near / min(FADE * amount, max(near[-1], 1e-300)), 0)
    on[:corner] *= np.clip(1 - np.abs(np.cumsum(turn[:corner])) / (2 * CORNER_DEG), 0, 1)
    return on


def _gaps(thick: Thickness, start: int, chain: Indices) -> Array:
    """The distances from sample to sample along a chain, beginning with that from start to its first."""
    arc = thick.arc[np.concatenate([[start], chain])]
    length = thick.length[thick.ring[start]]
    step = np.abs(np.diff(arc))
    gaps: Array = np.minimum(step, length - step)
    return gaps


def _smooth(thick: Thickness, strokes: Flags, amount: Array) -> Array:
    smooth = amount.copy()
    for run in _runs(thick, strokes):
        if len(run) > SMOOTHED:
            padded = np.pad(amount[run], SMOOTHED // 2, mode="edge")
            smooth[run] = np.convolve(padded, np.full(SMOOTHED, 1 / SMOOTHED), mode="valid")
    return smooth


def _level(thick: Thickness, extents: Array) -> Array:
    """1 for level edges on the letter's top or bottom, which stay; 0 for all others; between where they fade. (n,)"""
    bottom, top = extents[thick.ring, 0], extents[thick.ring, 1]
    height = np.maximum(top - bottom, 1e-300)
    y, up = thick.points[:, 1], thick.out[:, 1]
    off = np.where(up > 0, top - y, y - bottom) / height
    near = 1 - _ramp(off, *NEAR_EXTENT)
    return np.nan_to_num(near * _ramp(np.abs(up), *LEVEL_COSINE))


def _bent(thick: Thickness, strokes: Flags) -> tuple[Array, Flags]:
    """1 for the outer sides of bent thin strokes, else 0; and which samples lie on straight ones. (n,), (n,)"""
    outer, straight = np.zeros(len(strokes)), np.zeros(len(strokes), dtype=bool)
    for run in _chains(thick, strokes):
        turn = float(np.degrees(_turns(thick, run).sum()))
        outer[run] = turn > BENT_DEG
        straight[run] = abs(turn) <= BENT_DEG
    return outer, straight


def _chains(thick: Thickness, mask: Flags) -> Iterator[Indices]:
    """The runs of samples in mask, cut at corners."""
    for run in _runs(thick, mask):
        corners = np.flatnonzero(np.abs(np.degrees(_turns(thick, run))) >= CORNER_DEG) + 1
        yield from (part for part in np.split(run, corners) if len(part))


def _lines(thick: Thickness, chains: list[Indices]) -> list[Indices]:
    """Chains put together that lie on one segment of the outline."""
    lines: list[tuple[set[int], list[Indices]]] = []
    for chain in chains:
        segments, parts = set(thick.segment[chain].tolist()), [chain]
        for line in [line for line in lines if line[0] & segments]:
            lines.remove(line)
            segments, parts = segments | line[0], line[1] + parts
        lines.append((segments, parts))
    return [np.concatenate(parts) for _, parts in lines]


def _turns(thick: Thickness, run: Indices) -> Array:
    """How far the edge turns to the left from each sample of a run to the next. [rad]"""
    a, b = thick.out[run[:-1]], thick.out[run[1:]]
    turns: Array = np.arctan2(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0], np.einsum("ij,ij->i", a, b))
    return turns


def _ramp(value: Array, low: float, high: float) -> Array:
    t = np.clip((value - low) / (high - low), 0, 1)
    return t * t * (3 - 2 * t)


def _across(thick: Thickness, before: int, after: int, thinnest: float) -> bool:
    """Whether the strokes' edges on both sides of a gap are the two edges of one stroke: the gap is its end."""
    other = int(thick.other[before])
    if thick.ring[other] != thick.ring[after]:
        return False
    way = abs(float(thick.arc[other] - thick.arc[after]))
    return min(way, float(thick.length[thick.ring[after]]) - way) <= 0.6 * thinnest


def _stretched(thick: Thickness, move: Array, run: Indices, before: int, level: bool) -> Array:
    """The end of a stroke, stretched across as the stroke's last two edge points are moved apart.

    An end that is level on the letter's top or bottom goes sideways only, as far as keeps the stroke's edges straight.
    """
    other = int(thick.other[before])
    across = thick.points[before] - thick.points[other]
    share = np.clip((thick.points[run] - thick.points[other]) @ across / (across @ across), 0, 1)
    near, far = move[before], move[other]
    if level and abs(across[0]) > UPRIGHT * math.hypot(*across):
        near, far = (np.array([(m @ across) / across[0], 0.0]) for m in (near, far))
    moved: Array = far + share[:, None] * (near - far)
    return moved


def _joined(thick: Thickness, move: Array, run: Indices, before: int, after: int) -> Array:
    """A gap between two different edges: each edge runs on to the sharpest corner; a mere bend is shared out."""
    around = np.concatenate([[before], run, [after]])
    turn = np.degrees(np.arccos(np.clip(np.einsum("ij,ij->i", thick.out[around[:-1]], thick.out[around[1:]]), -1, 1)))
    place = np.arange(len(run))
    bend = turn.max() < CORNER_DEG
    share = (place + 1) / (len(run) + 1) if bend else np.where(place >= int(turn.argmax()), 1.0, 0.0)
    first, second = move[before] @ thick.out[before], move[after] @ thick.out[after]
    amount: Array = first * (1 - share) + second * share
    return amount[:, None] * thick.out[run]


def _runs(thick: Thickness, mask: Flags) -> Iterator[Indices]:
    """The unbroken runs of samples in mask, each along one ring, round its seam too."""
    for ring in range(len(thick.length)):
        here = np.flatnonzero(thick.ring == ring)
        chosen = mask[here]
        if not chosen.any():
            continue
        if chosen.all():
            yield here
            continue
        here = np.roll(here, -int(np.argmin(chosen)))  # begin where the mask is not
        chosen = mask[here]
        edges = np.flatnonzero(np.diff(np.concatenate([[False], chosen, [False]]).astype(int)))
        for start, end in zip(edges[::2], edges[1::2], strict=True):
            yield here[start:end]


def _span(thick: Thickness, run: Indices) -> float:
    """How long a run is along its ring."""
    ring = thick.ring[run[0]]
    return float((thick.arc[run[-1]] - thick.arc[run[0]]) % thick.length[ring]) if len(run) > 1 else 0.0


def _neighbours(thick: Thickness, run: Indices) -> tuple[int, int]:
    """The samples before and after a run on its ring."""
    here = np.flatnonzero(thick.ring == thick.ring[run[0]])
    first, size = here[0], len(here)
    return int(first + (run[0] - first - 1) % size), int(first + (run[-1] - first + 1) % size)
