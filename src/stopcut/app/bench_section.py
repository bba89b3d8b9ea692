"""Bench: one cut at a time, in one of three orders, ticked with a thumb and timed."""

from __future__ import annotations

import asyncio
from collections.abc import Iterable, Mapping
from functools import partial
from typing import Any, Final, get_args
from urllib.parse import quote

from nicegui import background_tasks, ui

from stopcut.app.at_bench.element import AtTheBench
from stopcut.app.at_bench.routes import steps_of
from stopcut.app.choices import ChoiceField
from stopcut.app.fields import FiguresList, column, heading, word_button, words
from stopcut.app.job_page import JobPage
from stopcut.app.mending_ledge import MendingLedge
from stopcut.app.open_jobs import Standing
from stopcut.app.wording import ago
from stopcut.bench.order import Way
from stopcut.errors import CarverError
from stopcut.shop.rates import Skill
from stopcut.store.values import LoggedMinutes

__all__ = ["BenchSection", "hours", "noted_words", "way_words"]

CAUTIONS: Final = (
    "Clamp the work. Keep both hands behind the edge. Protect your eyes when you use a mallet, and your lungs from "
    "dust: some woods sensitise. Follow your local rules."
)
"""Common practice with edge tools."""

ORDERS: Final[dict[Way, str]] = {
    "middle": "middle letter first",
    "stroke": "stroke by stroke across the line",
    "reading": "as it is read",
}
SKILLS: Final[dict[Skill, str]] = {"first board": "a first board", "practised": "practised", "daily": "daily"}

MOST_NOTED: Final = 12
"""Timed letters shown, the newest first. Our choice: about what a day brings."""

MINUTES_AN_HOUR = 60


class BenchSection:
    """The section for a tablet at the bench."""

    slug = "bench"
    title = "Bench"

    def __init__(self, page: JobPage) -> None:
        self.page = page
        self.order: Way = "middle"
        self.skill: Skill = "practised"
        self._asked = 0

    def build(self) -> None:
        """Fill the ledge: the cut, large; then order and hand."""
        self.page.hide_board(True)
        with ui.element("section").classes("pane bench-pane"):
            self._bench = AtTheBench(self.page.job.id, self._at_letter, self._noted)
        with column("Order"):
            ChoiceField("Order", list(ORDERS.items()), self.order, self._in_order, quiet=True)
            with ui.element("div").classes("ways-figures"):
                self._ways = FiguresList({})
        with column("Whose hand"):
            ChoiceField("Skill", list(SKILLS.items()), self.skill, self._by_hand, quiet=True)
            heading("Letters timed")
            self._times = ui.element("ul").classes("findings noted")
        with column("With sharp tools"):
            words(CAUTIONS, "quiet")
        with column(wide=True):
            self._mending = MendingLedge(self.page)

    def leave(self) -> None:
        """The board comes back."""
        self._asked += 1
        self.page.hide_board(False)

    def show(self, standing: Standing) -> None:
        """Plan what stands, once its grooves do."""
        if standing.state == "ready":
            self._ask()

    def _in_order(self, order: str) -> None:
        self.order = next(way for way in get_args(Way) if way == order)
        self._ask()

    def _by_hand(self, skill: str) -> None:
        self.skill = next(one for one in get_args(Skill) if one == skill)
        self._ask()

    def _at_letter(self, letter: str) -> None:
        self._mending.at(letter)

    def _noted(self) -> None:
        self._ask()

    def _ask(self) -> None:
        self._asked += 1
        asked = f"order={self.order}&skill={quote(self.skill)}"
        self._bench.cuts_at(f"/job/{self.page.job.id}/bench/{self.page.standing.number}/cuts.json?{asked}")
        background_tasks.create(self._show_reckoned(self._asked, self.page.standing.number))

    async def _show_reckoned(self, asked: int, number: int) -> None:
        """What every order comes to, and what was timed, once the plan is made."""
        store, job_id = self.page.jobs.store, self.page.job.id
        noted = await asyncio.to_thread(store.logged_minutes, job_id)
        try:
            steps = await asyncio.to_thread(steps_of, store, job_id, number, self.order, self.skill)
        except CarverError:
            return  # the page at the bench says why
        if asked != self._asked or self._times.is_deleted:
            return
        self._ways.show({ORDERS[way]: way_words(figures) for way, figures in steps["ways"].items()})
        self._times.clear()
        with self._times:
            newest = sorted(noted, key=lambda one: one.at, reverse=True)[:MOST_NOTED]
            for one, said in zip(newest, noted_words(newest, steps["letters"]), strict=True):
                with ui.element("li").classes("one"):
                    words(said + " ", tag="span")
                    word_button("Take out", partial(self._forget, one.id), says=f"Take out: {said}")
            if not noted:
                words("None yet: the clock is beside the cut.", "quiet", tag="li")

    async def _forget(self, id: str) -> None:
        await asyncio.to_thread(self.page.jobs.store.forget_minutes, self.page.job.id, id)
        self._ask()


def way_words(figures: Mapping[str, int]) -> str:
    """An order's pick-ups and minutes: "42 pick-ups, about 3 h 30"."""
    return f"{figures['pick_ups']} pick-ups, about {hours(figures['likely'])}"


def hours(minutes: int) -> str:
    """Minutes as one says them: "45 min", "3 h 30"."""
    whole, rest = divmod(minutes, MINUTES_AN_HOUR)
    return f"{whole} h {rest:02}" if whole else f"{rest} min"


def noted_words(noted: Iterable[LoggedMinutes], letters: Mapping[str, Mapping[str, Any]]) -> list[str]:
    """Timed letters in words, the newest first."""
    newest = sorted(noted, key=lambda one: one.at, reverse=True)[:MOST_NOTED]
    said = []
    for one in newest:
        known = letters.get(f"{one.line}:{one.letter}")
        name = known["name"] if known else f"letter {one.letter} of line {one.line}"
        said.append(f"{name}: {one.taken_min:.0f} min, {ago(one.at)}")
    return said
