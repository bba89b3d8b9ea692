"""Where the way to slice changes along a wall that goes on smoothly: the spots to mark before the first slice.

Two stretches of one wall meet there that are sliced opposite ways, because the wall comes to run straight along or
across the fibres and then leaves them on the other side (see grain). They lead either both towards the spot or both
away.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final, Literal

from stopcut.bench.plan import Cut, LetterKey
from stopcut.bench.walls import Walls

__all__ = ["WHY_TURNS", "Turn", "turns_of"]

Leads = Literal["towards", "away"]
WHY_TURNS: Final = MappingProxyType(
    {
        "towards": "the wall turns against the fibres here: slice up to it from both sides",
        "away": "the wall turns against the fibres here: slice away from it to both sides",
    }
)


@dataclass(frozen=True, slots=True)
class Turn:
    """A spot on the outline where the slicing direction changes. [mm from the board's lower left corner]

    cuts are the ids of the two that meet there, the first one ending in it; leads says whether they are sliced towards
    it or away; why says it in words.
    """

    line: int
    letter: int
    char: str
    x_mm: float
    y_mm: float
    cuts: tuple[str, str]
    leads: Leads
    why: str

    @property
    def key(self) -> LetterKey:
        """Which letter it belongs to."""
        return self.line, self.letter


def turns_of(cuts: Sequence[Cut], walls: Walls) -> tuple[Turn, ...]:
    """All spots of a letter at which the slicing direction changes, in the order of the cuts that end in them; the two
    cuts may be one, where the turn is not worth another."""
    sliced = [
        (cut, line)
        for cut in cuts
        if cut.kind in ("wall", "serif")
        for line in cut.lines
        if line.slice in ("along", "against")
    ]
    begun = {line.faces[0]: (cut, line) for cut, line in sliced}
    out = []
    for cut, line in sliced:
        face = int(walls.following[line.faces[-1]])
        other = begun.get(face)
        if other is None or other[1].slice == line.slice or walls.corner[face]:
            continue
        leads: Leads = "towards" if line.slice == "along" else "away"
        x, y = walls.start[face].tolist()
        out.append(Turn(cut.line, cut.letter, cut.char, x, y, (cut.id, other[0].id), leads, WHY_TURNS[leads]))
    return tuple(out)
