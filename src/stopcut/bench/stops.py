"""The lines that are stabbed: a stop cut along the bottom of every stroke, end cuts from there up to the corners.

A stop cut is a stroke's whole: it runs through where another stroke joins, takes in the valley from a bar to its stem,
and follows the flare out to where the corners part; from there the corner lines of one end are rolled up to the
surface, so that stroke and serif meet in one continuous V (common practice).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from stopcut.arrays import Array
from stopcut.bench.parts import at_sharp_turns
from stopcut.bench.paths import along, between, nearest, turned_deg
from stopcut.bench.plan import Stroke
from stopcut.bench.settings import BenchSettings
from stopcut.groove.surface import Groove, GrooveLine

__all__ = ["SHORTEST_END_MM", "Stab", "stabs"]

SHORTEST_END_MM: Final = 2.5
"""Corner lines shorter than this are cleaned out with the point. [mm] Our choice, from trials: no edge is rolled
there."""
SLIVER_MM: Final = 2.5
SLIVER: Final = 2.0
"""A piece of centre line shorter than either belongs to the stroke of the longer piece beside it. [mm, half-widths] Our
choice: it is the joint's."""
NEAR_MM: Final = 0.05
"""Lines that begin so near to each other begin in one place. [mm] Our choice."""
ON_DEG: Final = 35.0
"""A stop cut goes on into a piece that leaves it at less than this. [degrees] Our choice: an edge turns no sharper."""
ONE_END: Final = 1.0
"""Corner lines that begin within this of each other are one end's. [half-widths] Our choice."""


@dataclass(frozen=True, eq=False, slots=True)
class Stab:
    """What is stabbed as one cut: lines, each (k, 3), every point with the depth of the cut there. stroke is the
    stroke's number, 0 for none; half_width_mm the stroke's over most of it; run is False where nothing of it is
    parallel: the stroke tapers throughout."""

    kind: Literal["stop", "end"]
    lines: tuple[Array, ...]
    stroke: int
    half_width_mm: float
    run: bool = True


@dataclass(frozen=True, eq=False, slots=True)
class _Piece:
    """Part of a centre line, (k, 4): place, depth and half-width; whose it is, and whether any of it is parallel."""

    line: Array
    stroke: int
    run: bool


def stabs(groove: Groove, strokes: Sequence[Stroke], settings: BenchSettings) -> list[Stab]:
    """All stop cuts and end cuts of one groove: stop cuts stroke by stroke, then the ends."""
    main = [stroke for stroke in strokes if stroke.kind != "serif"]
    pieces = [
        piece
        for line in groove.lines
        if line.kind == "centre" and len(line.points) > 1
        for piece in _pieces(line, main, settings)
    ]
    out: list[Stab] = []
    for number in dict.fromkeys([*(stroke.number for stroke in main), *(piece.stroke for piece in pieces)]):
        own = [piece for piece in pieces if piece.stroke == number]
        for group in [own] if number else [[piece] for piece in own]:
            if group:
                out.append(_stop(group, number))
    for pit in groove.pits:
        depth = _stopped(np.array([pit.depth_mm]), settings)[0]
        out.append(Stab("stop", (np.array([[pit.x_mm, pit.y_mm, depth]]),), 0, pit.depth_mm, run=False))
    return out + _ends(groove, main, settings)


def _pieces(line: GrooveLine, main: Sequence[Stroke], settings: BenchSettings) -> list[_Piece]:
    """A centre line parted where it goes over from one stroke to another; what is short goes with what is long."""
    whole = np.column_stack([line.points, _stopped(line.depth_mm, settings), line.half_width_mm])
    distances = along(whole)
    if not main:
        return [_Piece(whole, 0, bool(line.parallel))]
    owners = nearest([stroke.points for stroke in main], (whole[:-1, :2] + whole[1:, :2]) / 2)[0].tolist()
    spans: list[list[int]] = []  # first step, last step, owner
    for n, owner in enumerate(owners):
        if spans and spans[-1][2] == owner:
            spans[-1][1] = n + 1
        else:
            spans.append([n, n + 1, owner])
    least = max(SLIVER_MM, SLIVER * float(np.median(line.half_width_mm)))
    while len(spans) > 1:
        lengths = [float(distances[last] - distances[first]) for first, last, _ in spans]
        n = int(np.argmin(lengths))
        if lengths[n] >= least:
            break
        beside = max((k for k in (n - 1, n + 1) if 0 <= k < len(spans)), key=lambda k: (lengths[k], -k))
        low, high = min(n, beside), max(n, beside)
        spans[low : high + 1] = [[spans[low][0], spans[high][1], spans[beside][2]]]
        for k in range(len(spans) - 1, 0, -1):
            if spans[k][2] == spans[k - 1][2]:
                spans[k - 1 : k + 1] = [[spans[k - 1][0], spans[k][1], spans[k][2]]]
    out = []
    for first, last, owner in spans:
        start, end = float(distances[first]), float(distances[last])
        run = any(a < end and b > start for a, b in line.parallel)
        out.append(_Piece(whole[first : last + 1], main[owner].number, run))
    return out


def _stop(pieces: list[_Piece], number: int) -> Stab:
    """A stroke's pieces of centre line as one stop cut: in as few lines as they go on in."""
    lines = [piece.line for piece in pieces]
    while (pair := _next(lines)) is not None:
        a, b, line = pair
        lines = [other for n, other in enumerate(lines) if n not in (a, b)] + [line]
    lines.sort(key=lambda line: -along(line)[-1])
    width = float(np.median(np.concatenate([piece.line[:, 3] for piece in pieces])))
    parts = tuple(part[:, :3] for line in lines for _, _, part in at_sharp_turns(line, max(width, 1e-6)))
    return Stab("stop", parts, number, width, any(piece.run for piece in pieces))


def _next(lines: list[Array]) -> tuple[int, int, Array] | None:
    """The two lines of which one goes on straightest into the other, and both as one."""
    best: tuple[float, int, int, Array] | None = None
    for a in range(len(lines)):
        for b in range(a + 1, len(lines)):
            for one in (lines[a], lines[a][::-1]):
                for other in (lines[b], lines[b][::-1]):
                    if np.hypot(*(one[-1, :2] - other[0, :2])) > NEAR_MM:
                        continue
                    turn = abs(turned_deg(_leaving(one), _leaving(other[::-1]) + 180.0))
                    if turn <= ON_DEG and (best is None or turn < best[0]):
                        best = turn, a, b, np.vstack([one, other[1:]])
    return None if best is None else best[1:]


def _leaving(line: Array) -> float:
    """The heading with which a line leaves at its end, over about its half-width. [degrees]"""
    length = float(along(line)[-1])
    piece = between(line, max(0.0, length - max(1.0, float(line[-1, 3]))), length)
    step = piece[-1] - piece[0]
    return float(np.degrees(np.arctan2(step[1], step[0])))


def _ends(groove: Groove, main: Sequence[Stroke], settings: BenchSettings) -> list[Stab]:
    """The corner lines, those of one end of a stroke together, the longest first."""
    fans: list[tuple[Array, float, list[Array]]] = []  # where the fan begins, how wide the stroke is there, its lines
    for line in groove.lines:
        if line.kind != "corner" or len(line.points) < 2 or along(line.points)[-1] < SHORTEST_END_MM:
            continue
        tip = np.column_stack([line.points, _stopped(line.depth_mm, settings)])
        wide = float(line.half_width_mm.max())
        root = line.points[0]
        fan = next((fan for fan in fans if np.hypot(*(fan[0] - root)) <= ONE_END * max(wide, fan[1])), None)
        if fan is None:
            fans.append((root, wide, [tip]))
        else:
            fan[2].append(tip)
    out = []
    for root, wide, tips in fans:
        owner = main[int(nearest([stroke.points for stroke in main], root[None])[0][0])].number if main else 0
        tips.sort(key=lambda tip: -float(along(tip)[-1]))
        out.append(Stab("end", tuple(tips), owner, wide))
    return out


def _stopped(depth: Array, settings: BenchSettings) -> Array:
    """How deep to stab where the groove is this deep: a little short of it. [mm]"""
    out: Array = depth - np.minimum(settings.short_mm, settings.short_share * depth)
    return out
