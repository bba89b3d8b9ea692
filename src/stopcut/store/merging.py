"""Two changes of one sequence laid together, piece by piece; what can't be told apart is left to a person.

The pieces of a job's text are its lines, those of words their letters.
"""

from __future__ import annotations

import difflib
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

__all__ = ["merged"]

MOST_PIECES: Final = 5_000  # our choice: laying more beside each other takes seconds


@dataclass(frozen=True, slots=True)
class _Change:
    """Pieces start to end of the base (end not with them) become these."""

    start: int
    end: int
    pieces: tuple[str, ...]


def merged(base: Sequence[str], ours: Sequence[str], theirs: Sequence[str]) -> str | None:
    """Both changes of base in one text; None where they meet and differ, or there are too many pieces."""
    if max(len(base), len(ours), len(theirs)) > MOST_PIECES:
        return None
    changes = sorted({*_changes(base, ours), *_changes(base, theirs)}, key=lambda c: (c.start, c.end))
    if any(_meet(one, other) for one, other in pairwise(changes)):
        return None
    out: list[str] = []
    done = 0
    for change in changes:
        out += [*base[done : change.start], *change.pieces]
        done = change.end
    return "".join([*out, *base[done:]])


def _changes(base: Sequence[str], new: Sequence[str]) -> list[_Change]:
    matcher = difflib.SequenceMatcher(None, base, new, autojunk=False)
    return [
        _Change(start, end, tuple(new[new_start:new_end]))
        for kind, start, end, new_start, new_end in matcher.get_opcodes()
        if kind != "equal"
    ]


def _meet(one: _Change, other: _Change) -> bool:
    """Whether two changes touch the same pieces, or put something in where the other begins or ends."""
    if one.start == one.end or other.start == other.end:
        return other.start <= one.end
    return other.start < one.end
