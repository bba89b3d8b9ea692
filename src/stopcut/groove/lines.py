"""The lines a carver would pencil inside a letter: centre lines, mitres up to the corners, arrises, parallel runs.

All of them are edges of the roof, each with its two walls; which ones a carver would draw is a matter of judgement,
written down here as numbered rules:

1. Walls that meet at less than FLAT_DEG are one wall: no line (whiskers of a flattened curve).
2. Walls that fall away from each other make an arris (at a re-entrant corner), walls that face each other a bottom.
3. Corners are what `corners` finds: sharp, soft and blunt ones.
4. A bottom that has no corner of the outline on one side of it lies in a smooth bend: no line, unless it rounds the
   end of a stroke. With one corner it is the mitre to that corner; with more, or between two rings, a centre line.
5. A long mitre is one only while it tapers; what does not taper is centre line.
6. A mitre that stops short of a rounded or blunt tip is drawn out to it.
7. What has neither centre line nor mitre, or one too short to see, is a round dot: its deepest point is marked.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from stopcut.groove.chains import Chain, chains, joined
from stopcut.groove.corners import Corners, corners
from stopcut.groove.dots import dots
from stopcut.groove.figures import greatest_height
from stopcut.groove.lines_kept import pack_lines, unpack_lines
from stopcut.groove.mitres import Side, Sides, drawn_out, tapered
from stopcut.groove.roof import ROOF_VERSION, roof_of
from stopcut.groove.runs import parallel_runs, turned_loop
from stopcut.groove.surface import LineKind, PlanLine, PlanLines, Roof
from stopcut.keep import keep
from stopcut.shape.outline import Outline

__all__ = ["lines", "lines_of"]

Array = NDArray[np.float64]

FLAT_DEG = 12.0
"""Walls that turn less than this from one to the next are one wall. [degrees] Our choice, from trials: the flat seam
behind a T; more would part the two lines that meet at the apex of an M."""
ARRIS_DEG = 30.0
"""A re-entrant corner of less than this makes no arris worth drawing. [degrees] Our choice, from trials."""
END_DEG = 110.0
"""A smooth bend that turns more than this rounds the end of a stroke. [degrees] Our choice, from trials."""
END_HEIGHT = 0.4
"""A smooth end is at least this wide. [deepest half-widths] Our choice: what is narrower is a soft tip, or a speck."""


LINES_VERSION = 1
"""Raised when the same roof would now give other lines: what older versions kept is then not used."""


def lines(roof: Roof) -> PlanLines:
    """The lines in a roof, in the outline's unit. Empty for an empty roof."""
    deepest = greatest_height(roof)
    if not deepest > 0:
        return PlanLines(())
    found = corners(roof.flat, deepest)
    kinds, sides = _kinds(roof, found, deepest)
    parts: list[Chain] = []
    for chain in chains(roof, kinds):
        parts += tapered(chain, deepest, len(parts))
    drawn = [drawn_out(chain, found, sides) for chain in joined(parts)]
    pits, drawn = dots(roof, drawn, deepest)
    return PlanLines(tuple(_line(chain, deepest) for chain in drawn), pits)


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


def _line(chain: Chain, deepest: float) -> PlanLine:
    """A chain as a line, with its parallel runs."""
    points, heights = chain.points, chain.heights
    if chain.kind != "centre":
        return PlanLine(chain.kind, points, heights)
    if chain.ends[0] == chain.ends[1]:
        points, heights = turned_loop(points, heights)
    return PlanLine(chain.kind, points, heights, parallel_runs(points, heights, deepest))


def _kinds(roof: Roof, found: Corners, deepest: float) -> tuple[list[LineKind | None], Sides]:
    """Rules 1 to 4 for every edge of the roof, and what is beside the bottoms."""
    turns, facing = _walls(roof)
    feet = _feet(roof, found)
    breaks = np.concatenate(
        [ring.breaks for ring in found.rings] + [np.full(len(roof.nodes) - roof.flat.size, -np.inf)]
    )
    reentrant = breaks[roof.arcs].max(axis=1) <= -ARRIS_DEG
    kinds: list[LineKind | None] = []
    sides: Sides = {}
    for i, (turn, faces) in enumerate(zip(turns.tolist(), facing.tolist(), strict=True)):
        if not faces:
            kinds.append("arris" if turn >= ARRIS_DEG and reentrant[i] else None)
        elif turn < FLAT_DEG:
            kinds.append(None)
        else:
            sides[i] = side = _side(found, *(int(f) for f in roof.arc_faces[i]), *feet[i].tolist())
            if side.ring < 0 or len(side.marks) > 1:
                kinds.append("centre")
            elif side.marks:
                kinds.append("corner")
            else:
                high = roof.heights[roof.arcs[i]].max() >= END_HEIGHT * deepest
                kinds.append("centre" if turn >= END_DEG and high else None)
    return kinds, sides


def _walls(roof: Roof) -> tuple[Array, NDArray[np.bool_]]:
    """For each edge of the roof the turn from wall to wall [degrees], and whether they face each other."""
    eave = np.array([(loop[0], loop[1]) for loop in roof.faces])
    along = roof.nodes[eave[:, 1]] - roof.nodes[eave[:, 0]]
    along /= np.hypot(along[:, 0], along[:, 1])[:, None]
    normal = np.stack([-along[:, 1], along[:, 0]], axis=1)
    left, right = normal[roof.arc_faces[:, 0]], normal[roof.arc_faces[:, 1]]
    cross = left[:, 0] * right[:, 1] - left[:, 1] * right[:, 0]
    turn = np.degrees(np.arctan2(np.abs(cross), np.einsum("ij,ij->i", left, right)))
    step = roof.nodes[roof.arcs[:, 1]] - roof.nodes[roof.arcs[:, 0]]
    aside = np.stack([-step[:, 1], step[:, 0]], axis=1)
    return turn, np.einsum("ij,ij->i", left - right, aside) < 0


def _feet(roof: Roof, found: Corners) -> Array:
    """How far along its ring the foot of each roof edge's middle is on its left and on its right wall, (m, 2)."""
    eave = np.array([(loop[0], loop[1]) for loop in roof.faces])
    start, along = roof.nodes[eave[:, 0]], roof.nodes[eave[:, 1]] - roof.nodes[eave[:, 0]]
    squared = np.einsum("ij,ij->i", along, along)
    at = np.concatenate([ring.at for ring in found.rings])
    middle = roof.nodes[roof.arcs].mean(axis=1)
    out = np.empty((len(roof.arcs), 2))
    for side in (0, 1):
        face = roof.arc_faces[:, side]
        part = np.einsum("ij,ij->i", middle - start[face], along[face]) / squared[face]
        # Never on the very corner, so that it is clear on which side of it the foot is.
        out[:, side] = at[face] + np.clip(part, 1e-6, 1 - 1e-6) * np.sqrt(squared[face])
    return out


def _side(found: Corners, left: int, right: int, left_foot: float, right_foot: float) -> Side:
    ring, other = found.ring_of(left), found.ring_of(right)
    if ring != other:
        return Side(-1, ())
    here = found.rings[ring]
    return Side(ring, min(here.between(left_foot, right_foot), here.between(right_foot, left_foot), key=len))
