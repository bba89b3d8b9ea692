"""The roof's check on itself: what must be so of every right roof and was not so of any wrong one that was tried.

That the faces' areas add up to the outline's proves nothing (half-edges cancel in pairs whatever they are), so each
node's height is compared with its distance from the edge of each face it is in, every face must have area, and along
its edge it must run one way (faces of a straight skeleton are monotone to their edge: Aichholzer and others, 1995).
That every half-edge is used once, walk_faces sees to.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from stopcut.arrays import Array
from stopcut.groove.wavefront import Lost

__all__ = ["check_roof"]


HEIGHT_SLACK = 1e-7
"""How far a node's height may be from its distance to its walls' edges. [em] Our choice: 6 nm at 60 mm letters."""
RUN_SLACK = 1e-7
"""How far a face may run back along its edge. [em] Our choice, as HEIGHT_SLACK."""


def check_roof(nodes: Array, heights: Array, faces: Sequence[Sequence[int]]) -> None:
    """Raises Lost, saying what and where, unless every face is a true wall on its edge.

    nodes (n, 2), heights (n,) and faces as in Roof, coordinates of the order of 1.
    """
    sizes = np.fromiter(map(len, faces), dtype=np.int64, count=len(faces))
    loops = np.concatenate([np.asarray(face, dtype=np.int64) for face in faces])
    face_of = np.repeat(np.arange(len(faces)), sizes)
    first = np.cumsum(sizes) - sizes
    start, end = nodes[loops[first]], nodes[loops[first + 1]]
    along = (end - start) / np.hypot(*(end - start).T)[:, None]

    from_start = nodes[loops] - start[face_of]
    run = (from_start * along[face_of]).sum(axis=1)
    rise = along[face_of, 0] * from_start[:, 1] - along[face_of, 1] * from_start[:, 0]
    off = np.abs(rise - heights[loops])
    if not off.max() <= HEIGHT_SLACK:
        worst = int(off.argmax())
        raise Lost(
            f"the wall on edge {face_of[worst]} misses a node at {_where(nodes[loops[worst]])} by {off[worst]:.1e}"
        )

    following = np.arange(1, len(loops) + 1)
    following[first + sizes - 1] = first
    swept = np.add.reduceat(run * rise[following] - rise * run[following], first) / 2
    if not swept.min() > 0:
        raise Lost(f"the wall on edge {swept.argmin()} at {_where(start[swept.argmin()])} has no area")

    # Round a face the run first grows (along its edge, and out to where a reflex corner took it), then shrinks, then
    # grows again to the start: between its first and last step back there must be no step forward.
    step = run[following] - run
    forward = np.cumsum(step > RUN_SLACK)
    back = step < -RUN_SLACK
    earliest = np.minimum.reduceat(np.where(back, forward, len(loops)), first)
    latest = np.maximum.reduceat(np.where(back, forward, -1), first)
    if (latest > earliest).any():
        worst = int((latest > earliest).argmax())
        raise Lost(f"the wall on edge {worst} at {_where(start[worst])} folds back")


def _where(point: Array) -> str:
    return f"({point[0]:.4f}, {point[1]:.4f})"
