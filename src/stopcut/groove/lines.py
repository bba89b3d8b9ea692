"""The lines a carver would pencil inside a letter: centre lines, mitres up to the corners, arrises, parallel runs.

All of them are edges of the roof, each with its two walls; which ones a carver would draw is a matter of judgement,
written down here as numbered rules:

1. Walls that meet at less than FLAT_DEG are one wall: no line (whiskers of a flattened curve).
2. Walls that fall away from each other make an arris (at a re-entrant corner), walls that face each other a bottom.
3. Corners are what `corners` finds: sharp, soft and blunt ones.
4. A bottom that has no corner of the outline on one side of it lies in a smooth bend: no line, unless it rounds the
   end of a stroke. With one corner it is the mitre to that corner; with more, or between two rings, a centre line.
5. Where a stroke's line runs into another's wall, as at a T, it is carried on to the other's line.
6. A long mitre is one only while it tapers; what does not taper is centre line.
7. A line that stops short of a rounded or blunt tip is drawn out to it.
8. What has neither centre line nor mitre, or one too short to see, is a round dot: its deepest point is marked.

Limits said to be from trials, here and in the rules' modules, are our choice by eye on letters of many faces;
`python -m benchmarks.lines` draws such letters to be looked at again.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import numpy as np

from stopcut.groove.chains import BOTTOMS, Chain, chains, joined
from stopcut.groove.corners import Corners, corners
from stopcut.groove.mitres import dots, drawn_out, tapered
from stopcut.groove.roof import ROOF_VERSION, roof_of
from stopcut.groove.runs import RunLine, long_runs, parallel_runs, turned_loop
from stopcut.groove.sides import Sides, pieces, sides_of, walls
from stopcut.groove.surface import LineKind, PlanLine, PlanLines, PlanPit, Roof
from stopcut.keep import keep, pack_arrays, unpack_arrays
from stopcut.shape.outline import Outline

__all__ = ["lines", "lines_of", "pack_lines", "unpack_lines"]

FLAT_DEG = 12.0
"""Walls that turn less than this from one to the next are one wall. [degrees] Our choice, from trials: the flat seam
behind a T; more would part the two lines that meet at the apex of an M."""
ARRIS_DEG = 30.0
"""A re-entrant corner of less than this makes no arris worth drawing. [degrees] Our choice, from trials."""
END_DEG = 110.0
"""A smooth bend that turns more than this rounds the end of a stroke. [degrees] Our choice, from trials."""
HALF_END_DEG = 150.0
"""Walls that face each other like this into one corner of a blunt end are half of a stroke split along its middle, and
no fork of the end's. [degrees] Our choice."""
AROUND = 5.0
"""An outline longer than this from wall to opposite wall goes round more than an end: a ball on a hairline, a bowl.
[half-widths] Our choice: a round end's is π half-widths long."""
LINES_VERSION = 7
"""Raised when the same roof would now give other lines: what older versions kept is then not used."""
KINDS: tuple[LineKind, ...] = ("centre", "corner", "arris")
"""A line's kind is kept as its place in here."""


def lines(roof: Roof) -> PlanLines:
    """The lines in a roof, in the outline's unit. Empty for an empty roof."""
    if not roof.faces:
        return PlanLines(())
    deepest = _deepest(roof)
    first = np.cumsum([0, *(len(ring) for ring in roof.flat.rings[:-1])]).tolist()
    found = corners(roof.flat, [deepest[node] for node in first])
    kinds, sides = _kinds(roof, found)
    parts: list[Chain] = []
    for chain in chains(roof, kinds, deepest):
        parts += tapered(chain, len(parts))
    drawn = drawn_out(joined(parts), found, sides)
    pits, drawn = dots(roof, drawn)
    return PlanLines(_with_runs(drawn), pits)


def lines_of(outline: Outline, tolerance: float) -> PlanLines:
    """The lines in the roof of an outline flattened to tolerance (in its own unit), worked out once and kept."""
    return keep().remembered(
        "lines",
        (outline.digest, tolerance, ROOF_VERSION),
        lambda: lines(roof_of(outline, tolerance)),
        version=LINES_VERSION,
        pack=pack_lines,
        unpack=unpack_lines,
    )


def _deepest(roof: Roof) -> list[float]:
    """For each node the deepest half-width of the shape it belongs to: what small and near is measured by."""
    shape = np.array(pieces(roof))
    deepest = np.zeros(len(shape))
    np.maximum.at(deepest, shape, roof.heights)
    out: list[float] = deepest[shape].tolist()
    return out


def _with_runs(drawn: list[Chain]) -> tuple[PlanLine, ...]:
    """The chains as lines, the centre lines with their parallel runs."""
    out: list[PlanLine] = []
    centres: list[RunLine] = []
    meeting = Counter(end for chain in drawn if chain.kind in BOTTOMS for end in chain.ends)
    for chain in drawn:
        if chain.kind != "centre" and chain.heights[0] < chain.heights[-1]:
            chain = chain.turned()
        points, heights = chain.points, chain.heights
        if chain.kind == "centre":
            if chain.ends[0] == chain.ends[1] and meeting[chain.ends[0]] == 2:
                points, heights = turned_loop(points, heights)
            own = parallel_runs(points, heights, chain.deepest)
            centres.append(RunLine(points, heights, chain.ends, chain.deepest, own))
        out.append(PlanLine(chain.kind, points, heights))
    runs = iter(long_runs(centres))
    return tuple(replace(line, parallel=next(runs)) if line.kind == "centre" else line for line in out)


def _kinds(roof: Roof, found: Corners) -> tuple[list[LineKind | None], Sides]:
    """Rules 1 to 4 for every edge of the roof, and what is beside the bottoms."""
    turns, facing = walls(roof)
    inner = np.full(len(roof.nodes) - roof.flat.size, -np.inf)
    breaks = np.concatenate([*(ring.breaks for ring in found.rings), inner])
    reentrant = breaks[roof.arcs].max(axis=1) <= -ARRIS_DEG
    arris = ~facing & (turns >= ARRIS_DEG) & reentrant
    bottom = facing & (turns >= FLAT_DEG)
    sides = sides_of(roof, found, np.flatnonzero(bottom).tolist())
    height = roof.heights[roof.arcs].max(axis=1)
    kinds: list[LineKind | None] = ["arris" if yes else None for yes in arris.tolist()]
    for edge, side in sides.items():
        if side.ring < 0 or len(side.marks) > 1:
            kinds[edge] = "centre"
        elif side.marks or (side.blunt and turns[edge] >= HALF_END_DEG):
            kinds[edge] = "corner"
        elif side.turn >= END_DEG or side.length >= AROUND * height[edge]:
            kinds[edge] = "centre"
    for edge in _seams(roof, kinds, turns.tolist()):
        kinds[edge] = "centre"
    return kinds, sides


def _seams(roof: Roof, kinds: list[LineKind | None], turns: list[float]) -> list[int]:
    """Rule 5: the flat seams from where a stroke runs into another's wall up to that stroke's line, by edge."""
    arcs: list[list[int]] = roof.arcs.tolist()
    outer = roof.flat.size
    bottoms = Counter(node for arc, kind in zip(arcs, kinds, strict=True) if kind in BOTTOMS for node in arc)
    open_ends = [node for node, count in bottoms.items() if count == 1 and node >= outer]
    if not open_ends:
        return []
    rising: dict[int, list[tuple[int, int]]] = {}
    for edge, ((a, b), kind) in enumerate(zip(arcs, kinds, strict=True)):
        if kind is None and turns[edge] < FLAT_DEG:
            low, high = (a, b) if roof.heights[a] < roof.heights[b] else (b, a)
            rising.setdefault(low, []).append((edge, high))
    out: list[int] = []
    for node in open_ends:
        path: list[int] = []
        while len(rising.get(node, ())) == 1 and (not path or not bottoms[node]):
            edge, node = rising[node][0]
            path.append(edge)
        if bottoms[node]:
            out += path
    return out


def pack_lines(drawn: PlanLines) -> bytes:
    """Lines and pits as bytes."""
    none = np.empty((0, 2))
    return pack_arrays(
        {
            "kinds": np.array([KINDS.index(line.kind) for line in drawn.lines], dtype=np.int64),
            "sizes": np.array([len(line.points) for line in drawn.lines], dtype=np.int64),
            "points": np.concatenate([none, *(line.points for line in drawn.lines)]),
            "half_width": np.concatenate([none[:, 0], *(line.half_width for line in drawn.lines)]),
            "runs": np.array([len(line.parallel) for line in drawn.lines], dtype=np.int64),
            "parallel": np.array([run for line in drawn.lines for run in line.parallel], dtype=float).reshape(-1, 2),
            "pits": np.array([(pit.x, pit.y, pit.half_width) for pit in drawn.pits], dtype=float).reshape(-1, 3),
        }
    )


def unpack_lines(packed: bytes) -> PlanLines:
    """What pack_lines packed. Raises ValueError or KeyError for anything else."""
    held = unpack_arrays(packed)
    at, run = 0, 0
    lines = []
    for kind, size, runs in zip(held["kinds"].tolist(), held["sizes"].tolist(), held["runs"].tolist(), strict=True):
        parallel = tuple((float(start), float(end)) for start, end in held["parallel"][run : run + runs])
        lines.append(
            PlanLine(KINDS[kind], held["points"][at : at + size], held["half_width"][at : at + size], parallel)
        )
        at, run = at + size, run + runs
    return PlanLines(tuple(lines), tuple(PlanPit(*pit) for pit in held["pits"].tolist()))
