"""Two windows on one job at once: an edit is made of what a hand did and of the job as it stands at that moment.

What a window saw may be a moment old. `words_change` gives a `MakeEdits`, to be called with the latest text: it gives
the edits that lay what was done here on top of what others have done, and raises `Clash` where that can't be told, so
that the page asks and keeps what was written.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Sequence

from stopcut.job.edit_values import At, Edit, Refused, SetWords
from stopcut.store.merging import merged

__all__ = ["Clash", "MakeEdits", "merged_words", "words_change"]

MakeEdits = Callable[[str], Sequence[Edit]]
"""The edits that a hand's doing makes of the latest text. Raises Refused, Clash."""


class Clash(Refused):
    """Another window has changed the same thing, and the two can't be laid together. now is what stands in the job."""

    def __init__(self, now: str) -> None:
        super().__init__(f"Not saved: in another window this has become “{now}”.")
        self.now = now


def words_change(number: int, base: str, written: str) -> MakeEdits:
    """A line's words written over what the window showed (base). Lines count from 1."""

    def edits(text: str) -> Sequence[Edit]:
        lines = [str(line.get("words", "")) for line in tomllib.loads(text).get("line", [])]
        place = _line_of(lines, number, base)
        now = lines[place]
        words = written if now == base else merged_words(base, written, now)
        if words is None or not words.strip():
            raise Clash(now)
        return (SetWords(At("line", place + 1, now), words),)

    return edits


def merged_words(base: str, ours: str, theirs: str) -> str | None:
    """Both changes of the words in one; None where they touch each other."""
    return merged(base, ours, theirs)


def _line_of(lines: list[str], number: int, base: str) -> int:
    """The place of the line that showed base as the number-th, from 0. Raises Refused if it is gone."""
    if 1 <= number <= len(lines) and lines[number - 1] == base:
        return number - 1
    same = [place for place, words in enumerate(lines) if words == base]
    if len(same) == 1:
        return same[0]
    if 1 <= number <= len(lines):
        return number - 1
    raise Refused("Not saved: this line has been taken out in another window.")
