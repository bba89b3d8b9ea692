"""Pieces of one wall or one line, as they follow one another, joined into cuts: what one tool takes in one go.

A cut goes on over neighbouring pieces as long as it keeps its tool, the way it is held and the way it is sliced; where
it bends more, less of the edge is used. Of all ways to part a row of pieces the cheapest is taken, in settings of an
edge, every cut costing a little more and a short one more still: a plan of few longer cuts can be read at the bench.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Final, TypeAlias

from stopcut.bench.choose import Choice, Piece, choices, preferred
from stopcut.bench.plan import Slice
from stopcut.bench.settings import BenchSettings
from stopcut.shop.tools import Roll

__all__ = ["CUT_COSTS", "Link", "Run", "joined"]

CUT_COSTS: Final = 1.0
SHORT_COSTS: Final = 1.0
"""What beginning another cut costs, and what more if it is short. [settings of an edge] Our choice, from trials:
finding it on the card, and often taking up another tool; with more for short ones hardly fewer come of it, and many
more settings."""
LONG_MM: Final = 10.0
"""Pieces longer than this, each with a bend of its own, keep their own tools: only what is shorter is taken in by a
neighbour; what is no longer is a short cut. [mm] Our choice: over a longer curve an edge that does not quite fit leaves
facets to be seen."""
KEPT: Final = 20_000
"""Rows of pieces kept in memory. Our choice: a board has a few thousand."""

_Held: TypeAlias = tuple[str, bool, bool]
"""A tool by name, whether its hollow is to the wall, whether its point alone is used: what stays the same in a cut."""


@dataclass(frozen=True, slots=True)
class Link:
    """One piece of a row: what an edge follows there, which way it is sliced, and whose it is.

    Pieces of different owners are never one cut.
    """

    piece: Piece
    way: Slice = "either"
    owner: int = 0


@dataclass(frozen=True, slots=True)
class Run:
    """Links first to last (last not included) as one cut: piece has all their bends; choice is None where nothing
    fits."""

    first: int
    last: int
    piece: Piece
    choice: Choice | None
    way: Slice


def joined(row: Sequence[Link], roll: Roll, settings: BenchSettings, favour: Mapping[str, int]) -> list[Run]:
    """A row of pieces as cuts. favour counts, by the tool's name, the cuts that each is likely to make."""
    best: list[tuple[float, int]] = [(0.0, 0)]  # up to each place in the row: the cost, and where its last cut begins
    found: dict[tuple[int, int], tuple[Choice, ...]] = {}
    for last in range(1, len(row) + 1):
        here: list[tuple[float, int]] = []
        for first in range(last - 1, -1, -1):
            if first < last - 1 and _way(row[first:last]) is None:
                break
            can = _together(tuple(link.piece for link in row[first:last]), roll, settings)
            found[first, last] = can
            if not can and first < last - 1:
                break
            here.append((best[first][0] + _cost(row[first:last], can), first))
        best.append(min(here))
    out: list[Run] = []
    last = len(row)
    while last:
        first = best[last][1]
        links = row[first:last]
        piece = _one([link.piece for link in links])
        out.append(Run(first, last, piece, preferred(found[first, last], favour), _way(links) or "either"))
        last = first
    return out[::-1]


def _cost(links: Sequence[Link], can: Sequence[Choice]) -> float:
    """What links cost as one cut, with the best tool for it."""
    short = sum(link.piece.length_mm for link in links) <= LONG_MM
    return CUT_COSTS + SHORT_COSTS * short + (can[0].cost if can else 0.0)


def _way(links: Sequence[Link]) -> Slice | None:
    """The one way in which links are sliced, None where they cannot be one cut."""
    ways = {link.way for link in links} - {"either"}
    if len(ways) > 1 or len({link.owner for link in links}) > 1:
        return None
    return ways.pop() if ways else "either"


def _one(pieces: Sequence[Piece]) -> Piece:
    """Pieces in a row as one, with all their bends."""
    if len(pieces) == 1:
        return pieces[0]
    return Piece(
        round(sum(piece.length_mm for piece in pieces), 4),
        min(piece.least for piece in pieces),
        max(piece.most for piece in pieces),
        pieces[0].purpose,
    )


@lru_cache(maxsize=KEPT)
def _together(pieces: tuple[Piece, ...], roll: Roll, settings: BenchSettings) -> tuple[Choice, ...]:
    """Every tool that can do all pieces without being held otherwise, the best first.

    What the point is drawn along for want of a better edge is not drawn any further.
    """
    all_found = [choices(piece, roll, settings) for piece in pieces]
    if len(pieces) == 1 or not all(all_found):
        return all_found[0] if len(pieces) == 1 else ()
    point = {found[0].use == "point" for found in all_found}
    known = [
        {_held(choice): choice for choice in found if point == {True} or choice.use != "point"} for found in all_found
    ]
    if len(point) > 1:
        return ()
    whole = _one(pieces)
    out = {}
    if len({piece.shape for piece in pieces}) == 1:
        out = {_held(c): c for c in choices(whole, roll, settings) if _held(c) in known[0]}
    if sum(piece.length_mm > LONG_MM for piece in pieces) <= 1:
        for held in known[0]:
            if all(held in one for one in known):
                one_by_one = _eased([one[held] for one in known])
                out[held] = min(one_by_one, out.get(held, one_by_one), key=lambda choice: choice.rank)
    return tuple(sorted(out.values(), key=lambda choice: choice.rank))


def _held(choice: Choice) -> _Held:
    return choice.tool.name, choice.turned, choice.use == "point"


def _eased(row: Sequence[Choice]) -> Choice:
    """One tool for pieces in a row, with as much of its edge on each as that takes."""
    uses = {choice.use for choice in row}
    edges = {choice.edge_mm for choice in row}
    return replace(
        row[0],
        edge_mm=min(edges),
        use=uses.pop() if len(uses) == 1 else "part",
        placements=sum(choice.placements for choice in row),
        eased=len(edges) > 1,
        tipped=sum(choice.tipped for choice in row),
    )
