"""The client's own message beside the words to carve, what to look at twice, and the client's yes."""

from __future__ import annotations

import asyncio
import datetime
from collections.abc import Callable

from nicegui import ui

from stopcut.app.fields import Field, column, heading, word_button, words
from stopcut.app.job_page import JobPage
from stopcut.app.wording import ago, why_refused
from stopcut.errors import CarverError
from stopcut.job.job import Job
from stopcut.job.proof import Remark, proof

__all__ = ["BriefClient"]


class BriefClient:
    """The column of the client; on_change is called when the message has changed."""

    def __init__(self, page: JobPage, on_change: Callable[[], None]) -> None:
        self._page, self._on_change, self._store = page, on_change, page.jobs.store
        self._turn = asyncio.Lock()
        self._text = self._newest = self._store.message(page.job.id)
        self._yes_of = -1
        with column("What the client wrote") as made:
            made.classes("brief-client")
            self._message = Field(
                "Message, word for word", self._text, self._keep, live=True, lines=True, long=True, hint="Paste it here"
            )
            self._kept = words("", "quiet").props("role=status")
            heading("To look at twice")
            self._list = ui.element("ul").classes("findings")
            heading("The client’s yes")
            self._yes = words("").props("role=status")
            self._who = Field("Who says yes", "", lambda _: None, hint="the client")
            word_button("Yes to these words", self._say_yes)

    def remarks(self, job: Job) -> tuple[Remark, ...]:
        """What is to be looked at in the job's words."""
        return proof(self._text, [line.words for line in job.lines])

    def show(self, remarks: tuple[Remark, ...], number: int) -> None:
        """The remarks, and what the yes is worth now."""
        self._list.clear()
        with self._list:
            for one in remarks:
                with ui.element("li").classes("one"):
                    words(f"Line {one.line}: ", "quiet", tag="span")
                    words(one.says, tag="span")
            if not remarks:
                says = "The words are those of the message." if self._text.strip() else "Nothing in the words."
                words(says, "quiet one", tag="li")
        if number != self._yes_of:
            self._show_yes(number)

    async def _keep(self, text: str) -> None:
        self._newest = text
        async with self._turn:
            if text is not self._newest:
                return  # more has been written since: that is kept instead
            try:
                await asyncio.to_thread(self._store.set_message, self._page.job.id, text)
            except CarverError as problem:
                self._kept.text = "not kept"
                raise ValueError(why_refused(problem)) from None
        self._text = text
        self._kept.text = f"kept {datetime.datetime.now():%H:%M}, {len(text.split())} words"
        self._on_change()

    async def _say_yes(self) -> None:
        number, who = self._page.standing.number, self._who.written.strip() or "The client"
        now = datetime.datetime.now(datetime.UTC)
        try:
            await asyncio.to_thread(self._store.say_yes, self._page.job.id, number, who, now)
        except CarverError as problem:
            self._who.fault(why_refused(problem))
            return
        self._who.leave()
        self._show_yes(self._page.standing.number)

    def _show_yes(self, number: int) -> None:
        self._yes_of = number
        yes = self._store.yes(self._page.job.id)
        if yes is None:
            said = "Nobody has said yes yet."
        elif yes.stale:
            said = f"{yes.who} said yes {ago(yes.made_at)}. The job has changed since: ask again."
        else:
            said = f"{yes.who} said yes {ago(yes.made_at)} to the job as it is."
        self._yes.text = said
        self._yes.classes(remove="by-hand")
        if yes is not None and yes.stale:
            self._yes.classes("by-hand")
