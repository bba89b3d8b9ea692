"""Names and years: a list pasted in, its columns, and where the years stand."""

from __future__ import annotations

import uuid
from collections.abc import Sequence

from nicegui import ui

from stopcut.app.brief_job import job_now, make
from stopcut.app.choices import ChoiceField
from stopcut.app.fields import Field, column, word_button, words
from stopcut.app.job_page import JobPage
from stopcut.app.wording import as_written, why_refused
from stopcut.errors import CarverError
from stopcut.job.edit_values import Edit
from stopcut.job.job import Job
from stopcut.job.pasted import column_edit, list_edits, read_list
from stopcut.job.read import parse_job
from stopcut.job.sorted_list import Order, sort_edits
from stopcut.units import format_length

__all__ = ["BriefList"]

COLUMNS = ("one", "two", "three", "four")
"""Columns that are offered; the job's file takes more."""


class BriefList:
    """The column of the list."""

    def __init__(self, page: JobPage) -> None:
        self._page = page
        with column("Names and years") as made:
            made.classes("brief-list")
            self._ways = ui.element("div")
            with self._ways:
                numbers = [(str(n), word) for n, word in enumerate(COLUMNS, 1)]
                self._number = ChoiceField("Columns", numbers, "1", lambda value: self._set("number", int(value)))
                stands = [("edge", "at the far edge"), ("stop", "level, one under another")]
                self._after = ChoiceField(
                    "What comes second", stands, "edge", lambda value: self._set("after_tab", value)
                )
                kinds = [("none", "nothing"), ("points", "small points"), ("dots", "dots of the face")]
                self._leaders = ChoiceField("Between the two", kinds, "none", lambda value: self._set("leaders", value))
                ways = [("", "as they are"), ("in", "drawn in")]
                self._long = ChoiceField("Too long for its column", ways, "", self._set_drawn_in)
                self._between = Field("Between columns", "", lambda value: self._set("between", as_written(value)))
                with ui.element("div").classes("line-ways"):
                    word_button("By year", lambda: self._sort("year"), says="Sort the list by year")
                    word_button("By surname", lambda: self._sort("surname"), says="Sort the list by surname")
            with ui.element("div"):
                hint = "Ada Fenn 1998, one to a line"
                self._pasted = Field("Paste a list", "", self._read, live=True, lines=True, long=True, hint=hint)
                self._says = words("", "quiet").props("role=status")
                self._put = word_button("Put them after the last line", self._add)

    def show(self, job: Job) -> None:
        """The columns as they stand; of a board without a list, the place to paste one."""
        self._ways.set_visibility(any(line.in_columns for line in job.lines))
        self._number.show(str(job.columns.number))
        self._after.show(job.columns.after_tab)
        self._leaders.show(job.columns.leaders)
        self._long.show("in" if job.columns.draw_in else "")
        self._between.show(format_length(job.columns.between_mm, job.units))

    async def _set(self, key: str, value: str | float | None) -> None:
        job = job_now(self._page.standing)
        if job is not None:
            await make(self._page, column_edit(job, key, value))

    async def _set_drawn_in(self, value: str) -> None:
        await self._set("draw_in", True if value else None)

    async def _sort(self, order: Order) -> None:
        job = job_now(self._page.standing)
        if job is None:
            return
        try:
            in_order = not sort_edits(job, order)
        except CarverError as problem:
            self._page.notice(why_refused(problem))
            return
        if in_order:
            self._page.notice(f"The list stands by {order} already.")
            return
        await self._page.edit_all(lambda job: sort_edits(job, order), f"sort-{uuid.uuid4().hex[:8]}")

    def _read(self, text: str) -> None:
        self._says.text = read_list(text).says if text.strip() else ""

    async def _add(self) -> None:
        found = read_list(self._pasted.written)
        if not found.words:
            self._pasted.fault("Paste the names first, one to a line.")
            return

        def edits(text: str) -> Sequence[Edit]:
            return list_edits(found, parse_job(text))

        try:
            await self._page.change_or_raise(edits, f"list-{uuid.uuid4().hex[:8]}")
        except (CarverError, ValueError) as problem:
            self._pasted.fault(why_refused(problem))
            return
        self._pasted.leave()
        self._pasted.show("")
        self._says.text = ""
