"""Two changes of one text laid together, line by line; what can't be told apart is left to a person."""

from __future__ import annotations

import difflib
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

__all__ = ["merged"]

MOST_LINES: Final = 5_000  # our choice: laying longer texts beside each other takes seconds


@dataclass(frozen=True, slots=True)
class _Change:
    """Lines start to end of the base (end not with them) become these lines."""

    start: int
    end: int
    lines: tuple[str, ...]


def merged(base: str, ours: str, theirs: str) -> str | None:
    """Both changes of base in one text; None where they meet and differ, or the texts are too long."""
    lines, our_lines, their_lines = (text.splitlines(keepends=True) for text in (base, ours, theirs))
    if max(len(lines), len(our_lines), len(their_lines)) > MOST_LINES:
        return None
    changes = sorted({*_changes(lines, our_lines), *_changes(lines, their_lines)}, key=lambda c: (c.start, c.end))
    if any(_meet(one, other) for one, other in pairwise(changes)):
        return None
    out: list[str] = []
    done = 0
    for change in changes:
        out += [*lines[done : change.start], *change.lines]
        done = change.end
    return "".join(out + lines[done:])


def _changes(base: list[str], new: list[str]) -> list[_Change]:
    matcher = difflib.SequenceMatcher(None, base, new, autojunk=False)
    return [
        _Change(start, end, tuple(new[new_start:new_end]))
        for kind, start, end, new_start, new_end in matcher.get_opcodes()
        if kind != "equal"
    ]


def _meet(one: _Change, other: _Change) -> bool:
    """Whether two changes touch the same lines, or put something in where the other begins or ends."""
    if one.start == one.end or other.start == other.end:
        return other.start <= one.end
    return other.start < one.end
