"""What must be done before what, within a letter, and an order that keeps to it.

1. A stop cut before the end cuts and the walls of its stroke.
2. End cuts before the walls of their stroke, or after them, as the carver likes; before them always where the stroke
   runs with the grain, and so is its end wall: what is stopped across the fibres cannot break out.
3. Stop cuts across the grain before walls with it.
4. Stems and diagonals before bars, bowls and the rest; these before serifs, and serifs before tips.
5. Walls at an acute point of wood after the others of their kind: weak short grain keeps what holds it to the last.
6. The floor of a flat bottom after all walls, serifs and tips: it is pared to where they meet it.

All are common practice. Every cut has a rank, and only what ranks lower may be wanted before it, so that no two cuts
ever wait for each other.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence, Set
from dataclasses import replace
from typing import Final

from stopcut.bench.grain import Grain, with_grain
from stopcut.bench.plan import Cut, CutKind, Stroke, StrokeKind
from stopcut.bench.settings import BenchSettings

__all__ = ["in_order"]

FIRST: Final[tuple[StrokeKind, ...]] = ("stem", "diagonal")
LAST: Final[tuple[CutKind, ...]] = ("serif", "corner", "floor")
Rank = tuple[int, int, int]
END_WALL: Final = 2  # the first of a rank: see _rank


def in_order(found: Sequence[Cut], grain: Grain, settings: BenchSettings, strokes: Mapping[int, Stroke]) -> list[Cut]:
    """A letter's cuts numbered in an order that keeps the rules, each with the ids of those before it."""
    along_grain = {number for number, stroke in strokes.items() if with_grain(stroke.points, grain)}
    ranks = [_rank(cut, settings, along_grain) for cut in found]
    order = sorted(range(len(found)), key=lambda n: (ranks[n], found[n].stroke, n))
    cuts = [replace(found[n], id=f"{found[n].line}.{found[n].letter}.{number}") for number, n in enumerate(order, 1)]
    ranks = [ranks[n] for n in order]
    stops = [cut for cut in cuts if cut.kind == "stop" and len(cut.points) > 1]
    across = {cut.id for cut in stops if not with_grain(cut.points, grain)}
    out: list[Cut] = []
    for cut, rank in zip(cuts, ranks, strict=True):
        before = [
            other.id
            for other, other_rank in zip(cuts, ranks, strict=True)
            if other_rank < rank and _wants(cut, rank, other, other_rank, across, along_grain)
        ]
        out.append(replace(cut, after=tuple(before)))
    return out


def _rank(cut: Cut, settings: BenchSettings, along_grain: set[int]) -> Rank:
    """Stop cuts, end cuts, end walls of strokes with the grain, other walls, serifs, tips, floors; then by kind of
    stroke."""
    main = 0 if cut.stroke_kind in FIRST else 1
    if cut.kind == "stop":
        return 0, main, 0
    if cut.kind == "end":
        late = settings.end_cuts == "after" and cut.stroke not in along_grain
        return (4 if late else 1), main, 0
    if cut.kind == "wall":
        first = cut.side is None and cut.stroke in along_grain
        return (END_WALL if first else 3), main, 0 if first else int(bool(cut.cautions))
    return {"serif": 5, "corner": 6}.get(cut.kind, 7), 0, int(bool(cut.cautions))


def _wants(cut: Cut, rank: Rank, other: Cut, other_rank: Rank, across: Set[str], along_grain: Set[int]) -> bool:
    """Whether other, which ranks lower, has to be done before cut. across has the stop cuts that cross the fibres."""
    same = cut.stroke == other.stroke
    if other.kind == "stop":
        if cut.kind == "stop":
            return other_rank < rank
        return same or (other.id in across and cut.kind == "wall" and cut.stroke in along_grain)
    if other.kind == "end":
        return same or cut.kind in LAST
    if cut.kind == "end":
        return same
    if other_rank[0] == END_WALL:
        return same or cut.kind in LAST or other_rank[1] < rank[1]
    return True
