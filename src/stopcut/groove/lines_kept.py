"""Lines as plain arrays, so that they are kept beside the roof they were found in."""

from __future__ import annotations

import numpy as np

from stopcut.groove.surface import LineKind, PlanLine, PlanLines, PlanPit
from stopcut.keep import pack_arrays, unpack_arrays

__all__ = ["pack_lines", "unpack_lines"]

KINDS: tuple[LineKind, ...] = ("centre", "corner", "arris")


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
