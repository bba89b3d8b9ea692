"""Sheets: every page as it will be printed, to be looked at and taken away, one or all.

Pages are drawn in a thread, one kind after the other, and say how far they are. Whatever makes them stale (an edit,
another paper, the word Stop, another section) ends the drawing at its next step.
"""

from __future__ import annotations

import asyncio
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from typing import Final
from urllib.parse import urlencode

from nicegui import background_tasks, ui

from stopcut.app.choices import ChoiceField
from stopcut.app.drawn_sheets import KINDS, DrawnSheets
from stopcut.app.fields import column, heading, word_button, words
from stopcut.app.job_page import JobPage
from stopcut.app.open_jobs import Standing, Stopped
from stopcut.app.wording import why_refused
from stopcut.errors import CarverError
from stopcut.sheets.paper import home_paper
from stopcut.sheets.previews import page_count
from stopcut.work import Progress

__all__ = ["SheetsSection"]

AT_ONCE: Final = ("pattern.pdf", "bench.pdf")
"""What is shown page by page without being asked for: what every board needs."""

ASKED_FOR: Final = ("pattern_whole.pdf", "practice.pdf", "testpiece.pdf")
"""What is shown page by page once somebody asks: it takes a while, and not every board needs it."""

SHOWN: Final = ("pattern.pdf", *ASKED_FOR, "bench.pdf")
"""In the order in which they are shown: bench cards last, since a board has dozens of them."""

PAPERS: Final = ("A4", "A3", "A2", "Letter", "Tabloid")
"""Papers offered besides the home printer's. Our choice: what home printers and copy shops take."""

ABOUT: Final = {
    "pattern_whole.pdf": "The whole board on one sheet, for a copy shop or a roll.",
    "practice.pdf": "The strokes of the first line’s letters at full size, from easy to hard, with every cut.",
    "testpiece.pdf": "The riskiest letters on a piece of waste, to try before the board.",
}


class SheetsSection:
    """The section with what is printed."""

    slug = "sheets"
    title = "Sheets"
    drawn: DrawnSheets  # given when the pages are registered

    def __init__(self, page: JobPage) -> None:
        self.page = page
        self.paper = ""
        self._number = -1
        self._wanted = 0  # raised by whatever makes the drawing under way stale
        self._asked: list[str] = list(AT_ONCE)

    def build(self) -> None:
        """Fill the ledge: papers and files on the left, the pages beside them."""
        with column("Take away"):
            self._papers = ui.element("div")
            self._files = ui.element("ul").classes("files")
        with column("Pages", wide=True):
            with ui.element("div").classes("under"):
                self._doing = words("", "quiet").props("role=status")
                self._stop = word_button("Stop", self._stop_or_go)
            self._stop.set_visibility(False)
            self._places = {kind: self._place_of(kind) for kind in SHOWN}

    def leave(self) -> None:
        """Nobody waits for the pages any more."""
        self._wanted += 1

    def show(self, standing: Standing) -> None:
        """Offer the files of a revision once its grooves stand; what was being drawn of another is stale."""
        if standing.number != self._number:
            self._wanted += 1
        if standing.state != "ready" or standing.work is None or standing.number == self._number:
            return
        self._number = standing.number
        home = home_paper(standing.work.job.units).name
        self._papers.clear()
        with self._papers:
            papers = [(name, name) for name in dict.fromkeys((home, *PAPERS))]
            ChoiceField("On paper", papers, self.paper or home, self._on_paper)
        self._offer()

    def _place_of(self, kind: str) -> ui.element:
        with ui.element("div").classes("sheet-kind"):
            heading(KINDS[kind][0])
            if kind in ABOUT:
                words(ABOUT[kind], "quiet")
            return ui.element("div").classes("pages")

    def _address(self, name: str) -> str:
        asked = f"?{urlencode({'paper': self.paper})}" if self.paper else ""
        return f"/job/{self.page.job.id}/sheets/{self._number}/{name}{asked}"

    def _offer(self) -> None:
        self._files.clear()
        with self._files:
            for name, (says, _) in {**KINDS, "all.zip": ("All of them", "")}.items():
                with ui.element("li"), ui.element("a").classes("word").props(f'href="{self._address(name)}" download'):
                    words(says, tag="span")
        for kind, place in self._places.items():
            place.clear()
            if kind not in self._asked:
                with place:
                    word_button("Show its pages", partial(self._ask, kind), says=f"Show the pages: {KINDS[kind][0]}")
        self._begin(self._asked)

    def _ask(self, kind: str) -> None:
        self._asked.append(kind)
        self._begin(self._asked)

    def _stop_or_go(self) -> None:
        self._wanted += 1
        if self._stop.text == "Stop":
            self._doing.text = "Stopped: not all pages are shown."
            self._stop.text = "Go on"
        else:
            self._begin(self._asked)

    def _begin(self, kinds: list[str]) -> None:
        self._wanted += 1
        self._stop.text = "Stop"
        self._stop.set_visibility(True)
        background_tasks.create(self._draw(list(kinds), self._number, self._wanted))

    async def _draw(self, kinds: list[str], number: int, wanted: int) -> None:
        for kind in kinds:
            with self._telling(kind, wanted) as says:
                try:
                    pdf = await asyncio.to_thread(self.drawn.file, self.page.job.id, number, kind, self.paper, says)
                    count = await asyncio.to_thread(page_count, pdf)
                except Stopped:
                    return
                except CarverError as problem:
                    if wanted == self._wanted:
                        self._show_fault(kind, why_refused(problem))
                    continue
            if wanted != self._wanted:
                return
            self._show_pages(kind, count)
        if wanted == self._wanted:
            self._doing.text = ""
            self._stop.set_visibility(False)

    @contextmanager
    def _telling(self, kind: str, wanted: int) -> Iterator[Progress]:
        """What the thread that draws tells as it goes on; it is stopped by being answered with Stopped."""
        loop = asyncio.get_running_loop()
        self._doing.text = f"{KINDS[kind][0]}: being drawn."

        def say(doing: str, done: float) -> None:
            if wanted == self._wanted:
                self._doing.text = f"{KINDS[kind][0]}: {doing.lower()}, {done:.0%} done."

        def says(doing: str, done: float) -> None:
            if wanted != self._wanted:
                raise Stopped
            loop.call_soon_threadsafe(say, doing, done)

        yield says

    def _show_fault(self, kind: str, problem: str) -> None:
        self._places[kind].clear()
        with self._places[kind]:
            words(problem, "fault whole-row").props("role=alert")

    def _show_pages(self, kind: str, count: int) -> None:
        place = self._places[kind]
        place.clear()
        with place:
            for page in range(1, count + 1):
                with ui.element("figure"):
                    ui.element("img").props(
                        f'src="{self._address(f"{kind}/{page}.png")}" loading=lazy '
                        f'alt="{KINDS[kind][0]}, page {page} of {count}"'
                    )
                    words(f"{page} of {count}", "quiet", tag="figcaption")

    def _on_paper(self, paper: str) -> None:
        self.paper = paper
        self._offer()
