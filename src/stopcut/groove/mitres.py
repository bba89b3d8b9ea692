"""Mitres and dots: the lines from a groove's bottom up to the corners of its outline.

A mitre to a square corner rises fast; the branch into a serif or a tail rises slowly and may run on as the stroke
itself. And where a corner is rounded or blunt the walls stop meeting a little short of it: the line is carried on. Dots
are shapes so round that no line would be pencilled in them: only their deepest point is marked.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import replace

import numpy as np

from stopcut.groove.chains import Chain, distances
from stopcut.groove.corners import Corners
from stopcut.groove.runs import slopes
from stopcut.groove.sides import Sides, pieces
from stopcut.groove.surface import PlanPit, Roof

__all__ = ["dots", "drawn_out", "tapered"]


LONG_MITRE = 5.0
"""A mitre longer than this must taper. [deepest half-widths] Our choice, from trials: an R's leg, an S's tail."""
TAPER = 0.10
"""The least change of half-width along a long mitre. [per length] Our choice, from trials."""
TAPER_WINDOW = 0.5
"""The taper is looked at over this much either way. [deepest half-widths] Our choice."""
TIP_REACH = 3.0
"""A mitre is drawn out to a tip no farther off than this. [half-widths at its end] Our choice: a rounded tip lies one
half-width off, a pointed one that the flattening cut off a little more."""
DOT = 0.5
"""Centre lines shorter than this that meet no other are none. [deepest half-widths] Our choice."""


def tapered(chain: Chain, number: int) -> list[Chain]:
    """Rule 6: a long mitre cut where, seen from its tip, it stops tapering. number is a new one for the cut (≥ 0)."""
    if chain.kind != "corner" or chain.length <= LONG_MITRE * chain.deepest:
        return [chain]
    if chain.heights[0] > chain.heights[-1]:
        chain = chain.turned()
    along = distances(chain.points)
    reach = TAPER_WINDOW * chain.deepest
    at = np.linspace(0.0, along[-1], int(np.ceil(along[-1] / reach * 10)) + 1)
    level = np.flatnonzero(slopes(along, chain.heights, at, np.full_like(at, reach)) < TAPER)
    if not len(level):
        return [chain]
    cut = float(at[level[0]])
    if cut <= reach:
        return [replace(chain, kind="centre")]
    place = [np.interp(cut, along, chain.points[:, axis]) for axis in (0, 1)]
    height = float(np.interp(cut, along, chain.heights))
    before, after, middle = along < cut, along > cut, -1 - number
    tip = replace(
        chain,
        points=np.vstack([chain.points[before], place]),
        heights=np.append(chain.heights[before], height),
        ends=(chain.ends[0], middle),
        last=-1,
    )
    stroke = replace(
        chain,
        kind="centre",
        points=np.vstack([place, chain.points[after]]),
        heights=np.append(height, chain.heights[after]),
        ends=(middle, chain.ends[1]),
        first=-1,
    )
    return [tip, stroke]


def drawn_out(parts: Iterable[Chain], found: Corners, sides: Sides) -> list[Chain]:
    """Rule 7: lines that end inside, short of a rounded or blunt tip, carried on to it along the wall there."""
    parts = list(parts)
    meeting = Counter(end for chain in parts if chain.kind != "arris" for end in chain.ends)
    out = []
    for chain in parts:
        for _ in range(2):
            if chain.kind != "arris" and meeting[chain.ends[1]] == 1:
                chain = _to_tip(chain, found, sides)
            chain = chain.turned()
        out.append(chain)
    return out


def _to_tip(chain: Chain, found: Corners, sides: Sides) -> Chain:
    """The chain with the tip beyond its last point added, if there is one near."""
    side, height = sides.get(chain.last), float(chain.heights[-1])
    if side is None or len(side.near) != 1 or height <= 0:
        return chain
    ring = found.rings[side.ring]
    tip = ring.place(ring.marks[side.near[0]])
    if float(np.hypot(*(tip - chain.points[-1]))) > TIP_REACH * height:
        return chain
    return replace(chain, points=np.vstack([chain.points, tip]), heights=np.append(chain.heights, 0.0))


def dots(roof: Roof, drawn: list[Chain]) -> tuple[tuple[PlanPit, ...], list[Chain]]:
    """Rule 8: the dots, and the chains that are left. Specks of line beside others go too (the middle of a ball)."""
    meeting = Counter(end for chain in drawn if chain.kind != "arris" for end in chain.ends)
    kept = [chain for chain in drawn if not _speck(chain, meeting)]
    shape = pieces(roof)
    lined = {shape[max(chain.ends)] for chain in kept if chain.kind != "arris"}
    tops: dict[int, int] = {}
    for node, number in enumerate(shape):
        if number not in lined and roof.heights[node] > roof.heights[tops.get(number, 0)]:
            tops[number] = node
    return tuple(_pit(roof, top) for top in tops.values()), kept


def _pit(roof: Roof, node: int) -> PlanPit:
    return PlanPit(float(roof.nodes[node, 0]), float(roof.nodes[node, 1]), float(roof.heights[node]))


def _speck(chain: Chain, meeting: Counter[int]) -> bool:
    """Whether a centre line is too short to see and meets no other."""
    alone = chain.ends[0] == chain.ends[1] or all(meeting[end] == 1 for end in chain.ends)
    return chain.kind == "centre" and alone and chain.length < DOT * chain.deepest
