"""From a skeleton's arcs to the roof's faces: one loop of nodes for each edge of the outline."""

from __future__ import annotations

from collections.abc import Sequence

from stopcut.groove.wavefront import Lost, Skeleton

__all__ = ["walk_faces"]


def walk_faces(skeleton: Skeleton, sizes: Sequence[int]) -> list[list[int]]:
    """Each edge's face, anticlockwise from that edge's two ends; sizes are the rings' numbers of vertices.

    Every arc is walked once on each of its sides. Raises Lost where the arcs do not close to one loop a face.
    """
    steps: list[dict[int, int]] = [{} for _ in range(sum(sizes))]
    for start, end, left, right in skeleton.arcs:
        if start in steps[left] or end in steps[right]:
            raise Lost(f"the wall on edge {left if start in steps[left] else right} crosses itself")
        steps[left][start] = end
        steps[right][end] = start
    loops = []
    first = 0
    for size in sizes:
        for i in range(size):
            loops.append(_loop(steps[first + i], first + i, first + (i + 1) % size))
        first += size
    return loops


def _loop(steps: dict[int, int], start: int, end: int) -> list[int]:
    loop = [start]
    at = end
    while at != start:
        loop.append(at)
        if at not in steps or len(loop) > len(steps) + 1:
            raise Lost(f"the wall on edge {start} does not close")
        at = steps[at]
    if len(loop) != len(steps) + 1:
        raise Lost(f"the wall on edge {start} is in pieces")
    return loop
