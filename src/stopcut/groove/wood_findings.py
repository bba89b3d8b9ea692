"""Findings of the wood between grooves: too thin to stand, gone where letters touch, or with its fibres cut short.

A ridge between two grooves holds by its fibres. Where they run across it from groove to groove and are shorter than
the grooves are deep, there is little to hold it: it crumbles under the chisel or breaks off later.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely

from stopcut.arrays import Array, Indices
from stopcut.errors import Severity
from stopcut.groove.finding_words import Case, is_less, listed, named
from stopcut.groove.shape_facts import Carved
from stopcut.shape.placed import Placed
from stopcut.units import Units, format_length

__all__ = ["apart_cases", "joined_cases", "short_grain_cases"]


ROW_MM = 0.5
"""Fibres are looked at this far apart. [mm] Our choice: finer than any ridge worth telling of."""
SHORT_FOR = 1.0
"""Fibres are short in earnest when they are so for at least this many times the grooves' depth along the ridge. Our
choice: where only points of serifs face each other the wood behind them holds."""
SHORT_FOR_MM = 3.0
"""And for at least this far. [mm] Our choice: a chip of less is pared away unseen."""
LEAST_ALONG = 0.5
"""The least part of a shortest line that is along the letters' line for a wider gap to be the remedy. Our choice:
beyond 60 degrees they stand over one another rather than side by side."""
TOUCHING_MM = 1e-6
"""Grooves nearer than this touch. [mm] Our choice: what reckoning leaves of nothing."""


@dataclass(frozen=True)
class _Fibres:
    """Fibres from groove to groove: length and place (middle) of each, which grooves, and the lesser depth there."""

    length: Array
    x: Array
    y: Array
    row: Indices
    first: Indices
    second: Indices
    depth: Array


def joined_cases(joined: Sequence[Sequence[Placed]]) -> Iterator[Case]:
    """Letters that were united because they touch or overlap, group by group."""
    for group in joined:
        one, other = group[0], group[1]
        names = listed([named(one, begins=True), *(named(letter) for letter in group[1:])])
        says = f"{names} touch: their grooves run into each other and are carved as one."
        remedy = "Open the gap by a shift, if they are not meant to join."
        near, far = one.bounds_mm, other.bounds_mm
        at = ((near.right + far.left) / 2, (near.bottom + near.top) / 2)
        called = f"{''.join(letter.called for letter in group)} ({', '.join(str(letter.index) for letter in group)})"
        across = "Letters touch {where}: their grooves run into each other and are carved as one."
        yield Case("touching", Severity.LOOK, one, len(group), says, remedy, at, called, across=across, beside=other)


def apart_cases(carved: Sequence[Carved], least_mm: float, wood: str, units: Units) -> Iterator[Case]:
    """Pairs of grooves that touch, or leave less than least_mm of wood between them."""
    if len(carved) < 2:
        return
    regions = np.array([one.region_mm for one in carved], dtype=object)
    first, second = shapely.STRtree(regions).query(regions, predicate="dwithin", distance=least_mm)
    for a, b in sorted((int(a), int(b)) for a, b in zip(first, second, strict=True) if a < b):
        one, other = carved[a], carved[b]
        line = shapely.shortest_line(regions[a], regions[b])
        at = line.interpolate(0.5, normalized=True)
        where = (float(at.x), float(at.y))
        if line.length <= TOUCHING_MM:
            says = (
                f"{named(one.placed, begins=True)} and {named(other.placed)} touch: their grooves run into each other."
            )
            remedy = "Open the gap by a shift, if they are not meant to join."
            across = "Letters touch {where}: their grooves run into each other and are carved as one."
            pair = _pair(one, other)
            yield Case(
                "touching", Severity.LOOK, one.placed, 0, says, remedy, where, pair, across=across, beside=other.placed
            )
        elif is_less(float(line.length), least_mm, units):
            says = (
                f"{format_length(float(line.length), units)} of wood is left between {named(one.placed)} and "
                f"{named(other.placed)}; {wood} wants {format_length(least_mm, units)} to stand."
            )
            remedy = "Open the gap by a shift, or set the line more open."
            across = (
                f"{format_length(float(line.length), units)} of wood is left between letters {{where}}; "
                f"{wood} wants {format_length(least_mm, units)} to stand."
            )
            bad, pair = -float(line.length), _pair(one, other)
            yield Case(
                "thin-wood", Severity.LOOK, one.placed, bad, says, remedy, where, pair, across=across,
                beside=other.placed, wider_mm=_wider_mm(line, least_mm),
            )  # fmt: skip


def short_grain_cases(
    carved: Sequence[Carved], grain: Literal["width", "height"], ratio: float, units: Units
) -> Iterator[Case]:
    """Pairs of grooves with fibres between them shorter than ratio times their depth, over some way."""
    fibres = _fibres(carved, grain)
    if fibres is None:
        return
    short = (fibres.length < ratio * fibres.depth) & (fibres.first != fibres.second)
    pairs: dict[tuple[int, int], list[int]] = {}
    for i in np.flatnonzero(short):
        key = (int(min(fibres.first[i], fibres.second[i])), int(max(fibres.first[i], fibres.second[i])))
        pairs.setdefault(key, []).append(int(i))
    for (a, b), which in sorted(pairs.items()):
        run = _longest(fibres, which)
        worst = min(run, key=lambda i: fibres.length[i] / fibres.depth[i])
        length, depth = float(fibres.length[worst]), float(fibres.depth[worst])
        if len(run) * ROW_MM < max(SHORT_FOR * depth, SHORT_FOR_MM):
            continue
        one, other = carved[a], carved[b]
        says = (
            f"{format_length(length, units)} is as long as the fibres are between {named(one.placed)} and "
            f"{named(other.placed)}, where the grooves are {format_length(depth, units)} deep: short grain."
        )
        remedy = "Open the gap, cut shallower there, or pare the ridge with the lightest strokes."
        where = (float(fibres.x[worst]), float(fibres.y[worst]))
        across = (
            f"{format_length(length, units)} is as long as the fibres are between letters {{where}}, where the grooves "
            f"are {format_length(depth, units)} deep: short grain."
        )
        pair = _pair(one, other)
        lacks = max(ratio * float(fibres.depth[i]) - float(fibres.length[i]) for i in run)
        yield Case(
            "short-grain", Severity.LOOK, one.placed, -length / depth, says, remedy, where, pair, across=across,
            beside=other.placed, wider_mm=lacks if grain == "width" else 0.0,
        )  # fmt: skip


def _wider_mm(between: shapely.LineString, least_mm: float) -> float:
    """By how much letters are to be moved apart along their line for least_mm between them; 0 where that does little.

    A shortest line that slants grows by less than the gap does: by the cosine of its slant, or more.
    """
    (x, y), (to_x, to_y) = between.coords[0], between.coords[-1]
    length = math.hypot(to_x - x, to_y - y)
    along = abs(to_x - x) / length if length else 0.0
    return (least_mm - length) / along if along >= LEAST_ALONG else 0.0


def _pair(one: Carved, other: Carved) -> str:
    """Two letters as they are called among others: "RO (3, 4)"."""
    if one.placed.index and other.placed.index:
        return f"{one.placed.called}{other.placed.called} ({one.placed.index}, {other.placed.index})"
    return f"{named(one.placed)} and {named(other.placed)}"


def _longest(fibres: _Fibres, which: Sequence[int]) -> list[int]:
    """The longest run of fibres in rows next to each other."""
    rows = sorted(which, key=lambda i: int(fibres.row[i]))
    best: list[int] = []
    run: list[int] = []
    for i in rows:
        run = [*run, i] if run and fibres.row[i] - fibres.row[run[-1]] <= 1 else [i]
        best = max(best, run, key=len)
    return best


def _fibres(carved: Sequence[Carved], grain: Literal["width", "height"]) -> _Fibres | None:
    """All fibres that end in a groove at both ends, row by row along the grain."""
    starts, ends, owners, depths = [], [], [], []
    for number, one in enumerate(carved):
        for ring in one.rings_mm:
            starts.append(ring)
            ends.append(np.roll(ring, -1, axis=0))
            owners.append(np.full(len(ring), number))
        depths.append(one.edge_depths_mm)
    if not starts:
        return None
    start, end = np.concatenate(starts), np.concatenate(ends)
    if grain == "height":  # mirrored in the diagonal, fibres run along x, and rings the other way round
        start, end = end[:, ::-1], start[:, ::-1]
    edge, row, x, enters = _crossings(start, end)
    order = np.lexsort((x, row))
    edge, row, x, enters = edge[order], row[order], x[order], enters[order]
    inside = np.cumsum(enters)
    gap = np.flatnonzero((inside[:-1] == 0) & (row[:-1] == row[1:]))
    owner, depth = np.concatenate(owners)[edge], np.concatenate(depths)[edge]
    middle: Array = (x[gap] + x[gap + 1]) / 2.0
    across: Array = (row[gap].astype(float) + 0.5) * ROW_MM
    along_x = grain == "width"
    return _Fibres(
        length=x[gap + 1] - x[gap],
        x=middle if along_x else across,
        y=across if along_x else middle,
        row=row[gap],
        first=owner[gap],
        second=owner[gap + 1],
        depth=np.minimum(depth[gap], depth[gap + 1]),
    )


def _crossings(start: Array, end: Array) -> tuple[Indices, Indices, Array, Indices]:
    """Where the rows cross the edges: edge, row, x, and 1 where the groove is entered going right, -1 where it is left.

    Outer rings run anticlockwise, so an edge that goes down has the groove on its right.
    """
    low = np.ceil(np.minimum(start[:, 1], end[:, 1]) / ROW_MM - 0.5).astype(np.int64)
    high = np.ceil(np.maximum(start[:, 1], end[:, 1]) / ROW_MM - 0.5).astype(np.int64)
    count = high - low
    edge = np.repeat(np.arange(len(start)), count)
    row = np.arange(len(edge)) - np.repeat(np.cumsum(count) - count, count) + low[edge]
    rise = end[edge, 1] - start[edge, 1]
    share = ((row + 0.5) * ROW_MM - start[edge, 1]) / rise
    x = start[edge, 0] + share * (end[edge, 0] - start[edge, 0])
    return edge, row, x, np.where(rise < 0, 1, -1)
