"""One node of the skeleton: how the strands of the front that meet there are joined anew."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

__all__ = ["Crossed", "Strand", "joined"]

SAME_RAY = 1e-6
"""Rays closer than this in angle are one direction. [radians] Our choice: the ground already swept between two rays is
as wide as the front has come, so it is never so thin a wedge; the ground still to be swept may be."""


class Crossed(Exception):
    """Rays do not alternate: the front has crossed itself."""


@dataclass(slots=True)
class Strand:
    """What one strand of the front brings to a node: vertices that die there, or a piece that passes through.

    came and before are the edge that comes in and the vertex it comes from; goes and after the edge that goes out and
    the vertex it runs to. was_end and was_start are the vertices that ended and began those two pieces until now.
    """

    came: int
    before: int
    was_end: int
    goes: int
    after: int
    was_start: int


def joined(chains: list[Strand], dx: Sequence[float], dy: Sequence[float]) -> list[tuple[Strand, Strand]]:
    """(chain that goes out, chain that comes in next anticlockwise of it), for each new vertex.

    dx, dy: each edge's direction. Raises Crossed.
    """
    if len(chains) < 2:
        return [(chain, chain) for chain in chains]
    rays = [(math.atan2(dy[c.goes], dx[c.goes]), 0, c) for c in chains]
    rays += [(math.atan2(-dy[c.came], -dx[c.came]), 1, c) for c in chains]
    rays.sort(key=lambda ray: ray[:2])
    # Anticlockwise from an outgoing ray there must be an incoming one. Where two rays are one but for rounding,
    # the outgoing one goes first, also across the cut of the angle at ±180°.
    for i in range(-1, len(rays) - 1):
        apart = (rays[i + 1][0] - rays[i][0]) % (2 * math.pi)
        if rays[i][1] > rays[i + 1][1] and min(apart, 2 * math.pi - apart) < SAME_RAY:
            rays[i], rays[i + 1] = rays[i + 1], rays[i]
    if any(rays[i - 1][1] == rays[i][1] for i in range(len(rays))):
        raise Crossed
    return [(rays[i - 1][2], rays[i][2]) for i in range(len(rays)) if rays[i][1] == 1]
