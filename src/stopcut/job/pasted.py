"""A list as people have it, read into lines with a tab between name and year: from a table, a letter, an old board.

What parts the two is a tab, an upright stroke, or two spaces and more; else a year at the beginning or the end of the
line, with a comma before it or not. Nothing else of what was written is changed.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from typing import Final, Literal

import regex

from stopcut.job.edit_values import AddTable, At, Edit, Refused, SetKey
from stopcut.job.job import Job
from stopcut.written.literals import literal

__all__ = ["PastedList", "column_edit", "list_edits", "read_list"]

First = Literal["year", "name", "neither"]
"""What stands first in most of the lines that have both; neither where they are names alone."""

_PARTS: Final = regex.compile(r"\s*(?:\t|\||\s{2,})\s*")
_YEAR: Final = r"(?:1[0-9]|20)[0-9]{2}(?:\s?[-–/]\s?(?:(?:1[0-9]|20)[0-9]{2}|[0-9]{2}))?"
"""1000 to 2099, or a span of such years (1998–2001, 1998/99). Our choice: what an honours board may show."""
_YEAR_FIRST: Final = regex.compile(rf"(?P<first>{_YEAR})[\s,:.]*\s(?P<second>\S.*)")
_YEAR_LAST: Final = regex.compile(rf"(?P<first>\S.*?)[,:]?\s[\s(]*(?P<second>{_YEAR})\)?")
_ONLY_YEAR: Final = regex.compile(_YEAR)


@dataclass(frozen=True, slots=True)
class PastedList:
    """What was read: each line's words, parted by a tab where it has a name and a year, and which stands first."""

    words: tuple[str, ...]
    first: First

    @property
    def says(self) -> str:
        """How it was read, for the screen."""
        lines = f"{len(self.words)} line{'s' * (len(self.words) != 1)}"
        how = {"year": "year | name", "name": "name | year", "neither": "names alone"}[self.first]
        return f"Read as {how}, {lines}"


def read_list(text: str) -> PastedList:
    """The lines of a pasted text that are not blank."""
    words = tuple(_parted(line.strip()) for line in text.splitlines() if line.strip())
    years_first = sum(1 for one in words if _ONLY_YEAR.fullmatch(one.split("\t")[0]) and "\t" in one)
    parted = sum(1 for one in words if "\t" in one)
    first: First = "neither" if not parted else "year" if 2 * years_first > parted else "name"
    return PastedList(words, first)


def list_edits(found: PastedList, job: Job) -> tuple[Edit, ...]:
    """The edits that put the list after the job's last line, its columns set as the list is written."""
    edits: list[Edit] = []
    at = len(job.lines)
    for place, words in enumerate(found.words, 1):
        try:
            alone = "" if "\t" in words else "in_columns = true\n"
            edits.append(AddTable("line", at + place, f"\n[[line]]\nwords = {literal(words)}\n{alone}"))
        except ValueError as problem:
            raise Refused(str(problem)) from None
    if found.first == "year" and not any(line.in_columns for line in job.lines):
        edits.append(column_edit(job, "after_tab", "stop"))
    return tuple(edits)


def column_edit(job: Job, key: str, value: str | float | None) -> Edit:
    """The edit that sets a key of [columns], which is made where the job has none."""
    if value is None or "columns" in tomllib.loads(job.text):
        return SetKey(At("columns"), key, value)
    return AddTable("columns", 1, f"\n[columns]\n{key} = {literal(value)}\n")


def _parted(line: str) -> str:
    parts = [part for part in _PARTS.split(line) if part]
    if len(parts) == 2:
        return "\t".join(parts)
    if len(parts) > 2:  # rank, name and year: the last is what stands apart
        return " ".join(parts[:-1]) + "\t" + parts[-1]
    for shape in (_YEAR_FIRST, _YEAR_LAST):
        match = shape.fullmatch(line)
        if match is not None:
            return f"{match['first']}\t{match['second']}"
    return line
