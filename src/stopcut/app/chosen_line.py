"""The line that a ledge speaks of, and where in the job what is set of it is written.

What a line has set for itself stays its own. Anything else goes to what holds for every line, unless the carver says
that it is for this line alone.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from typing import Any, Final

from stopcut.app.brief_job import job_now
from stopcut.app.job_page import JobPage
from stopcut.app.matching import decided
from stopcut.app.wording import why_refused
from stopcut.job.edit_values import At, Refused, SetKey
from stopcut.job.job import Line
from stopcut.setting.set_board import SetLine
from stopcut.written.literals import Value

__all__ = ["ChosenLine", "own_keys", "place_of"]

ALONE_ALWAYS: Final = frozenset({"size", "drop", "arc", "shifts"})
"""What only a line has (the job's format)."""

INSTEAD: Final = {"weight": "stem", "stem": "weight"}
"""What takes the place of what."""

TABLES: Final = {"wall": "groove", "flat_bottom": "groove"}
"""Where what holds for every line is written, other than among the lettering."""


class ChosenLine:
    """The line in hand: that of the chosen letter, or one chosen by itself."""

    def __init__(self, page: JobPage) -> None:
        self.page = page
        self.number = 1
        self.alone = False
        self.follow(page.chosen)

    def follow(self, keys: list[str]) -> None:
        """Letters were chosen: theirs is the line."""
        if keys:
            self.number = int(keys[0].split(":")[0])

    @property
    def set(self) -> SetLine | None:
        """The line as it is set out; the first where the one in hand is gone; None before any is."""
        work = self.page.work
        if work is None or not work.setting.lines:
            return None
        return next((line for line in work.setting.lines if line.number == self.number), work.setting.lines[0])

    @property
    def asked(self) -> Line | None:
        """The same as the newest text asks for it; None where it is gone from there."""
        job, line = job_now(self.page.standing), self.set
        if job is None or line is None:
            return None
        return next((one for one in job.lines if one.number == line.number), None)

    @property
    def own(self) -> tuple[str, ...]:
        """What this line has set for itself."""
        line = self.asked
        return () if line is None else own_keys(self.page.standing.text, line.number)

    def at(self, number: int) -> At:
        """A line as an edit names it."""
        job = job_now(self.page.standing)
        line = None if job is None else next((one for one in job.lines if one.number == number), None)
        return At("line", number, "" if line is None else line.words)

    async def put(self, key: str, value: Value | None, gesture: str = "") -> None:
        """Set one value of the line, or take it out. Raises ValueError with the plain reason where it is refused."""
        line, job = self.asked, job_now(self.page.standing)
        if line is None or job is None:
            return
        if key in decided(job.match):
            raise ValueError("Lettering that is already on the board decides it: see the Brief.")
        table = place_of(key, self.own, self.alone)
        at = self.at(line.number) if table == "line" else At(table)
        written = _table(self.page.standing.text, at)
        if value is None and key not in written:
            raise ValueError("It stays as it is: nothing of its own is written here to take out.")
        try:
            await self.page.edit_or_raise(SetKey(at, key, value), gesture)
        except Refused as refused:
            raise ValueError(why_refused(refused)) from None

    async def as_the_others(self, key: str) -> None:
        """Take out what this line has set for itself."""
        line = self.asked
        if line is not None:
            await self.page.edit(SetKey(self.at(line.number), key, None))


def place_of(key: str, own: tuple[str, ...], alone: bool) -> str:
    """The table in which a value of a line is written: "line", or the one for every line."""
    if alone or key in ALONE_ALWAYS or key in own or INSTEAD.get(key) in own:
        return "line"
    return TABLES.get(key, "lettering")


def own_keys(text: str, number: int) -> tuple[str, ...]:
    """What the number-th line (from 1) of a job's text has set for itself, in the order written."""
    lines = tomllib.loads(text).get("line", [])
    if not 1 <= number <= len(lines):
        return ()
    return tuple(key for key in lines[number - 1] if key != "words")


def _table(text: str, at: At) -> Mapping[str, Any]:
    held = tomllib.loads(text).get(at.table, {})
    table: Mapping[str, Any] = held[at.number - 1] if at.table == "line" else held
    return table
