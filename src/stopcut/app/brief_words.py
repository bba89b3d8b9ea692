"""The words of the brief: line by line, and large, to be read letter by letter."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from nicegui import ui
from nicegui.elements.mixins.text_element import TextElement

from stopcut.app.brief_job import job_now, make, set_value
from stopcut.app.brief_table import LinesTable
from stopcut.app.fields import Field, column, heading, word_button, words
from stopcut.app.job_page import JobPage
from stopcut.app.line_own import LineOwn
from stopcut.app.merging_words import words_change
from stopcut.job.edit_values import AddTable, MoveTable, RemoveTable
from stopcut.job.job import Job, Line
from stopcut.job.proof import Remark

__all__ = ["BriefWords"]

CARET = "‸"
"""Where words are missing: the proof-reader's mark (common practice)."""

FEW = 8
"""Lines that have a row each. Our choice: more are a list, and stand in a table."""


@dataclass
class _LineRow:
    """What stands on the ledge for one line."""

    words: Field
    size: Field
    up: TextElement
    down: TextElement
    out: TextElement
    own: LineOwn


class BriefWords:
    """The column of words."""

    def __init__(self, page: JobPage) -> None:
        self._page = page
        self._rows: dict[int, _LineRow] = {}
        self._table: LinesTable | None = None
        self._chosen = 0  # the line of a table that is chosen, 0 for none
        self._told: tuple[Job, tuple[Remark, ...]] | None = None
        with column("Words") as made:
            made.classes("brief-words")
            self._many = ui.element("div")
            self._place = ui.element("div").classes("lines")
            self._another = Field("Another line", "", self._add, long=True, hint="Write it here")
            heading("Read it letter by letter")
            self._large = ui.element("div").classes("proof")

    def show(self, job: Job, remarks: tuple[Remark, ...]) -> None:
        """The lines as they stand, and what is remarked about them marked."""
        self._told = (job, remarks)
        rest = self._page.standing.rest
        lacking = {one.line: one for one in rest.lacking} if rest is not None else {}
        numbers, large = self._shown(job, sorted(lacking))
        if list(self._rows) != numbers:
            unsaved = [row.words.written for row in self._rows.values() if row.words.asks]
            if unsaved:
                self._page.notice(f"Not saved, and its line is not where it was: “{'”, “'.join(unsaved)}”.")
            self._place.clear()
            with self._place:
                self._rows = {number: self._row(job.lines[number - 1]) for number in numbers}
            self._another.show("")
        for number, row in self._rows.items():
            line = job.lines[number - 1]
            row.words.show(line.words)
            row.size.show(f"{100 * line.size:g} %")
            row.own.show(line, self._page.standing.text)
            row.own.show_lacking(lacking.get(line.number))
            _may(row.up, line.number > 1)
            _may(row.down, line.number < len(job.lines))
            _may(row.out, len(job.lines) > 1)
        self._large.clear()
        with self._large:
            for number in large:
                _marked(job.lines[number - 1].words, [one for one in remarks if one.line == number])

    def _shown(self, job: Job, lacking: list[int]) -> tuple[list[int], Iterable[int]]:
        """The lines that have a row of their own, and those to be read large: of many, the one that is chosen in the
        table, and those that stand in it."""
        many = len(job.lines) > FEW
        if not many:
            if self._table is not None:
                self._table.hide()
            return [line.number for line in job.lines], [line.number for line in job.lines]
        if self._table is None:
            with self._many:
                self._table = LinesTable(self._page, self._choose)
        self._chosen = min(self._chosen, len(job.lines)) or next(iter(lacking), 0)
        self._table.show(job, self._chosen, lacking)
        return [self._chosen] if self._chosen else [], self._table.shown

    async def _choose(self, number: int) -> None:
        self._chosen = number
        if self._told is not None:
            job, remarks = self._told
            self.show(job_now(self._page.standing) or job, remarks)  # an edit may just have been made

    def _row(self, line: Line) -> _LineRow:
        n = line.number
        field = Field(f"Line {n}", line.words, lambda value: self._set_words(n, value), live=True, long=True)
        with ui.element("div").classes("line-ways") as ways:
            size = Field(
                "Size", f"{100 * line.size:g} %", lambda value: self._set_size(n, value), says=f"Size of line {n}"
            )
            up = word_button("Up", lambda: self._move(n, n - 1), says=f"Move line {n} up")
            down = word_button("Down", lambda: self._move(n, n + 1), says=f"Move line {n} down")
            out = word_button("Take out", lambda: self._take_out(n), says=f"Take out line {n}")
        return _LineRow(field, size, up, down, out, LineOwn(self._page, n, ways))

    def _line(self, number: int) -> Line:
        job = job_now(self._page.standing)
        if job is None or number > len(job.lines):
            raise ValueError("This line is not there any more.")
        return job.lines[number - 1]

    async def _set_words(self, number: int, value: str) -> None:
        if not value.strip():
            raise ValueError("A line has words; take the line out if it is not wanted.")
        before = self._rows[number].words.before  # another window may have changed the words since
        await self._page.change_or_raise(words_change(number, before, value), f"words-{number}")

    async def _set_size(self, number: int, value: str) -> None:
        written = value.replace("%", "").strip()
        try:
            share = round(float(written) / 100, 4) if written else None
        except ValueError:
            raise ValueError("Write the size as a share of the cap height: 60 %.") from None
        line = self._page.line_at(self._line(number))
        await set_value(self._page, line, "size", None if share == 1 else share)

    async def _add(self, value: str) -> None:
        job = job_now(self._page.standing)
        if value.strip() and job is not None:
            await make(self._page, AddTable.line(len(job.lines) + 1, value.strip()))

    async def _move(self, number: int, to: int) -> None:
        await self._page.edit(MoveTable(self._page.line_at(self._line(number)), to))

    async def _take_out(self, number: int) -> None:
        await self._page.edit(RemoveTable(self._page.line_at(self._line(number))))


def _may(button: TextElement, can: bool) -> None:
    if can:
        button.props(remove="disabled")
    else:
        button.props("disabled")


def _marked(line: str, remarks: list[Remark]) -> None:
    """A line of words, the parts that are remarked on marked, and a caret where words are missing."""
    with ui.element("p"):
        at = 0
        for one in sorted(remarks, key=lambda remark: (remark.start, remark.end)):
            if one.start < at:
                continue
            words(line[at : one.start], tag="span")
            words(line[one.start : one.end] or CARET, tag="mark").props["title"] = one.says
            at = one.end
        words(line[at:], tag="span")
