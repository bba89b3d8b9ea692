"""Bench: one step at a time, in one of four orders, ticked with a thumb and timed; the tools and the hand it is for."""

from __future__ import annotations

import asyncio
from collections.abc import Mapping
from dataclasses import replace
from typing import Final, cast

from nicegui import background_tasks, ui

from stopcut.app.at_bench.asked import PlanAsked
from stopcut.app.at_bench.element import AtTheBench
from stopcut.app.at_bench.routes import steps_of, weighed_letters
from stopcut.app.at_bench.times_column import TimesColumn
from stopcut.app.at_bench.tools_column import ToolsColumn
from stopcut.app.choices import ChoiceField
from stopcut.app.fields import FiguresList, column, words
from stopcut.app.job_page import JobPage
from stopcut.app.mending_ledge import MendingLedge
from stopcut.app.open_jobs import Standing
from stopcut.app.wording import hours
from stopcut.bench.order import Way, Within
from stopcut.errors import CarverError
from stopcut.shop.rates import Skill
from stopcut.shop.roll import read_roll
from stopcut.store.values import BenchChoice

__all__ = ["BenchSection", "way_words"]

CAUTIONS: Final = (
    "Clamp the work. Keep both hands behind the edge. Protect your eyes when you use a mallet, and your lungs from "
    "dust: some woods sensitise. Follow your local rules."
)
"""Common practice with edge tools."""

ORDERS: Final[dict[Way, str]] = {
    "middle": "middle letter first",
    "easy": "an easy letter first",
    "stroke": "stroke by stroke across the line",
    "reading": "as it is read",
}
WITHIN: Final[dict[Within, str]] = {
    "strokes": "each stroke whole, as it is taught",
    "tools": "fewer tools picked up",
}
SKILLS: Final[dict[Skill, str]] = {"first board": "a first board", "practised": "practised", "daily": "daily"}


class BenchSection:
    """The section for a tablet at the bench."""

    slug = "bench"
    title = "Bench"

    def __init__(self, page: JobPage) -> None:
        self.page = page
        self._asks = 0  # how often a plan was asked for: the answer to an earlier one comes too late
        self._noted = 0  # how often timed letters have changed here: the same plan is another then
        self.asked = PlanAsked.of(self._kept())

    def build(self) -> None:
        """Fill the ledge: the step, large; then order, tools and hand."""
        self.page.hide_board(True)
        with ui.element("section").classes("pane bench-pane"):
            self._bench = AtTheBench(self.page.job.id, self._at_letter, self._timed_anew)
        with column("Which letter first"):
            ChoiceField("Order", list(ORDERS.items()), self.asked.order, self._in_order, quiet=True)
            with ui.element("div").classes("ways-figures"):
                self._ways = FiguresList({})
        with column("Within a letter"):
            ChoiceField("Within a letter", list(WITHIN.items()), self.asked.within, self._within, quiet=True)
            words("Whose hand", tag="h2").classes("further")
            ChoiceField("Skill", list(SKILLS.items()), self.asked.skill, self._by_hand, quiet=True)
        with column():
            self._tools = ToolsColumn(self._fix)
        with column():
            self._times = TimesColumn(self._count, self._forget)
        with column("With sharp tools"):
            words(CAUTIONS, "quiet")
        with column(wide=True):
            self._mending = MendingLedge(self.page)

    def leave(self) -> None:
        """The board comes back."""
        self._asks += 1
        self.page.hide_board(False)

    def show(self, standing: Standing) -> None:
        """Plan what stands, once its grooves do."""
        if standing.state == "ready":
            self._ask()

    def _kept(self) -> BenchChoice:
        try:
            return self.page.jobs.store.bench_choice(self.page.job.id)
        except CarverError as problem:
            self.page.notice(str(problem))
            return BenchChoice()

    async def _in_order(self, order: str) -> bool:
        return await self._take(replace(self.asked, order=cast(Way, order)))

    async def _within(self, within: str) -> bool:
        return await self._take(replace(self.asked, within=cast(Within, within)))

    async def _by_hand(self, skill: str) -> bool:
        return await self._take(replace(self.asked, skill=cast(Skill, skill)))

    async def _fix(self, only: tuple[str, ...] | None) -> bool:
        return await self._take(replace(self.asked, only=only))

    async def _take(self, asked: PlanAsked) -> bool:
        """Keep what is chosen with the job, and plan so."""
        try:
            await asyncio.to_thread(self.page.jobs.store.set_bench_choice, self.page.job.id, asked.kept)
        except CarverError as problem:
            self.page.notice(str(problem))
            return False
        self.asked = asked
        self._ask()
        return True

    def _at_letter(self, letter: str) -> None:
        self._mending.at(letter)

    def _timed_anew(self) -> None:
        self._noted += 1
        self._ask()

    async def _count(self, id: str) -> None:
        await asyncio.to_thread(self.page.jobs.store.count_minutes, self.page.job.id, id, "yes")
        self._timed_anew()

    async def _forget(self, id: str) -> None:
        await asyncio.to_thread(self.page.jobs.store.forget_minutes, self.page.job.id, id)
        self._timed_anew()

    def _ask(self) -> None:
        standing = self.page.standing
        if standing.state != "ready":
            return  # it is planned once it is
        self._asks += 1
        asked = f"{self.asked.query}&noted={self._noted}"
        self._bench.steps_at(f"/job/{self.page.job.id}/bench/{standing.number}/steps.json?{asked}")
        background_tasks.create(self._show_reckoned(self._asks, standing.number))

    async def _show_reckoned(self, asks: int, number: int) -> None:
        """What every order comes to, which tools, and what was timed, once the plan is made."""
        store, job_id, asked = self.page.jobs.store, self.page.job.id, self.asked
        try:
            noted = await asyncio.to_thread(store.logged_minutes, job_id)
            steps = await asyncio.to_thread(steps_of, store, job_id, number, asked)
            weighed = await asyncio.to_thread(weighed_letters, store, asked.skill)
            roll = await asyncio.to_thread(read_roll)
        except CarverError:
            return  # the page at the bench says why
        if asks != self._asks or self._ways.element.is_deleted:
            return
        self._ways.show({ORDERS[way]: way_words(figures) for way, figures in steps["ways"].items()})
        self._tools.show(steps, asked.only, [tool.name for tool in roll.tools])
        self._times.show(noted, weighed, steps["letters"])


def way_words(figures: Mapping[str, int]) -> str:
    """An order's pick-ups and minutes: "42 pick-ups, about 3 h 30"."""
    return f"{figures['pick_ups']} pick-ups, about {hours(figures['likely'])}"
