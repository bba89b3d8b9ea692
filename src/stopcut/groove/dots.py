"""Dots: shapes so round that no line would be pencilled in them, only their deepest point marked."""

from __future__ import annotations

import numpy as np

from stopcut.groove.chains import Chain
from stopcut.groove.sides import pieces
from stopcut.groove.surface import PlanPit, Roof

__all__ = ["dots"]

DOT = 0.5
"""A centre line shorter than this in a shape without corners is a dot. [deepest half-widths] Our choice."""


def dots(roof: Roof, drawn: list[Chain], deepest: float) -> tuple[tuple[PlanPit, ...], list[Chain]]:
    """Rule 8: the dots, and the chains that are left."""
    shape = pieces(roof)
    bottoms: dict[int, list[Chain]] = {}
    for chain in drawn:
        if chain.kind != "arris":
            bottoms.setdefault(shape[max(chain.ends)], []).append(chain)
    pits: list[PlanPit] = []
    gone: list[Chain] = []
    for number in sorted(set(shape)):
        own = bottoms.get(number, [])
        if all(chain.kind == "centre" for chain in own) and sum(chain.length for chain in own) < DOT * deepest:
            gone += own
            nodes = np.flatnonzero(np.array(shape) == number)
            top = int(nodes[np.argmax(roof.heights[nodes])])
            pits.append(PlanPit(float(roof.nodes[top, 0]), float(roof.nodes[top, 1]), float(roof.heights[top])))
    return tuple(pits), [chain for chain in drawn if not any(chain is dot for dot in gone)]
