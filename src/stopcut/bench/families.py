"""Cuts of one shape, wherever they stand on the board and however turned or mirrored: they are cut alike.

Two cuts are one family if they are of one kind, as long as each other, and one's places can be laid over the other's,
in one direction or the other, within a distance that no eye sees. What the grain asks of them may still differ.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import permutations
from typing import Final

import numpy as np
from numpy.typing import NDArray

from stopcut.arrays import Array
from stopcut.bench.plan import Cut

__all__ = ["families", "same_shape"]

APART_MM: Final = 0.35
"""Places of one shape lie over each other within this. [mm] Our choice: about a pencil's line."""
LENGTH_MM: Final = 1.0
LENGTH_SHARE: Final = 0.03
"""And their lines differ by no more than the first and the second share. [mm, share] Our choice."""
DEPTH_MM: Final = 0.6
"""And their depths by no more than this. [mm] Our choice: nobody cuts nearer, and no other tool comes of it."""
MOST_LINES: Final = 3
"""Cuts of more lines are compared only in the order of their lengths. Our choice: points, of which each letter has one
cut."""

_Lines = NDArray[np.complex128]


def families(cuts: Sequence[Cut]) -> list[int]:
    """The family of each cut, counted from 1 in the order in which they come."""
    out: list[int] = []
    alike: dict[tuple[object, ...], list[tuple[int, _Shape]]] = defaultdict(list)
    count = 0
    for cut in cuts:
        bucket = alike[cut.kind, cut.side is None, len(cut.traces)]
        shape = _Shape.of(cut)
        number = 0
        if cut.kind not in ("floor", "corner"):
            number = next((number for number, first in bucket if first.near(shape) and first.over(shape)), 0)
        if not number:
            count += 1
            number = count
            bucket.append((number, shape))
        out.append(number)
    return out


def same_shape(one: Cut, other: Cut) -> bool:
    """Whether two cuts of one kind and number of lines are of one shape."""
    first, second = _Shape.of(one), _Shape.of(other)
    return first.near(second) and first.over(second)


@dataclass(frozen=True, eq=False, slots=True)
class _Shape:
    """A cut's lines, the longest first: how long each is, how deep, and its places."""

    runs: tuple[float, ...]
    depths: tuple[float, ...]
    places: tuple[Array, ...]

    @classmethod
    def of(cls, cut: Cut) -> _Shape:
        traces = sorted(((trace.run_mm, n) for n, trace in enumerate(cut.traces)), reverse=True)
        return cls(
            tuple(run for run, _ in traces),
            tuple(float(cut.traces[n].depth.max()) for _, n in traces),
            tuple(cut.traces[n].places for _, n in traces),
        )

    def near(self, other: _Shape) -> bool:
        """Whether lines are about as long and as deep."""
        return all(
            abs(a - b) <= LENGTH_MM + LENGTH_SHARE * a for a, b in zip(self.runs, other.runs, strict=True)
        ) and all(abs(a - b) <= DEPTH_MM for a, b in zip(self.depths, other.depths, strict=True))

    def over(self, other: _Shape) -> bool:
        """Whether the other's places lie over these, turned, mirrored, in another order or the other way along."""
        base = _centred(np.concatenate([line[:, 0] + 1j * line[:, 1] for line in self.places]))
        depth = np.concatenate([line[:, 2] for line in self.places])
        orders = permutations(other.places) if len(other.places) <= MOST_LINES else (other.places,)
        for order in orders:
            for reverse in (1, -1):
                lines = [line[::reverse] for line in order]
                if np.abs(np.concatenate([line[:, 2] for line in lines]) - depth).max() > DEPTH_MM:
                    continue
                laid = _centred(np.concatenate([line[:, 0] + 1j * line[:, 1] for line in lines]))
                if _over(base, laid) or _over(base, laid.conj()):
                    return True
        return False


def _centred(places: _Lines) -> _Lines:
    out: _Lines = places - places.mean()
    return out


def _over(base: _Lines, laid: _Lines) -> bool:
    """Whether places lie over others after the best turn."""
    turn = complex((base * laid.conj()).sum())
    if abs(turn) < 1e-12:
        return bool(np.abs(base - laid).max() <= APART_MM)
    return bool(np.abs(base - laid * turn / abs(turn)).max() <= APART_MM)
