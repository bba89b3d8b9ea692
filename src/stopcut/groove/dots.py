"""Dots: shapes so round that no line would be pencilled in them, only their deepest point marked."""

from __future__ import annotations

from collections import Counter

from stopcut.groove.chains import Chain
from stopcut.groove.sides import pieces
from stopcut.groove.surface import PlanPit, Roof

__all__ = ["dots"]

DOT = 0.5
"""Centre lines shorter than this that meet no other are none. [deepest half-widths] Our choice."""


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
