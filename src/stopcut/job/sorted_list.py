"""The lines of a list put in order, by year or by surname; nothing else of the document changes.

A line moves with all that is written of it, and with the comments directly above it. Lines that stand alone stay where
they are, and every list of the board is sorted by itself.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from itertools import groupby, pairwise
from typing import Final, Literal, TypeAlias

import regex

from stopcut.job.edit_values import Edit, Refused, ReplaceText
from stopcut.job.job import Job, Line
from stopcut.written.places import TextBlock, find_places

__all__ = ["Order", "sort_edits", "surname_first", "year_of"]

Order: TypeAlias = Literal["year", "surname"]

_YEAR: Final = regex.compile(r"(?<![0-9])(?:1[0-9]|20)[0-9]{2}(?![0-9])")
"""1000 to 2099, as a pasted list is read."""
_AFTER_NAMES: Final = frozenset({"jr", "jnr", "jun", "sr", "snr", "sen", "ii", "iii", "iv"})
"""What may follow a surname (common practice); the surname is the word before it."""
_LAST_OF_ALL: Final = 10_000
"""Where a line without a year stands: after all that have one."""


def sort_edits(job: Job, order: Order) -> tuple[Edit, ...]:
    """The edit that sorts every list of the job; none where all stand in order. Lines that are equal keep theirs.

    Raises Refused where a line is not written in one piece.
    """
    wanted: list[Line] = []
    for listed, group in groupby(job.lines, lambda line: line.in_columns):
        lines = list(group)
        if listed:
            lines = sorted(lines, key=year_of) if order == "year" else sorted(lines, key=surname_first)
        wanted += lines
    if wanted == list(job.lines):
        return ()
    places = find_places(job.text)
    spans = [_span(blocks, number) for number, blocks in enumerate(places.members("line"), 1)]
    if len(spans) != len(wanted):
        raise Refused("The lines are not written as [[line]] each: sort them by hand.")
    out, at = [], 0
    for (start, end), line in zip(spans, wanted, strict=True):
        begin, stop = spans[line.number - 1]
        block = job.text[begin:stop]
        out += [job.text[at:start], block if block.endswith("\n") else f"{block}\n"]
        at = end
    return (ReplaceText("".join([*out, job.text[at:]])),)


def year_of(line: Line) -> int:
    """The first year in a line's words, 10 000 where it has none."""
    found = _YEAR.search(line.words)
    return int(found[0]) if found else _LAST_OF_ALL


def surname_first(line: Line) -> tuple[str, str, int]:
    """What a line is sorted by: the surname, the names before it, and the year, capitals and accents all one."""
    parts = [part for part in line.words.split("\t") if not _YEAR.fullmatch(part.strip()[:4])]
    names = [_plain(word) for word in " ".join(parts or [line.words]).split()]
    while len(names) > 1 and names[-1] in _AFTER_NAMES:
        names.pop()
    return names[-1] if names else "", " ".join(names[:-1]), year_of(line)


def _plain(word: str) -> str:
    """A word without its accents, commas and capitals."""
    apart = unicodedata.normalize("NFKD", word.casefold())
    return "".join(char for char in apart if not unicodedata.combining(char)).strip(".,;:()")


def _span(blocks: Sequence[TextBlock], number: int) -> tuple[int, int]:
    if any(one.end != other.start for one, other in pairwise(blocks)):
        raise Refused(f"Line {number} is not written in one piece: sort the list by hand.")
    return blocks[0].start, blocks[-1].end
