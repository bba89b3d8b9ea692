"""Letters of this board that were timed: what each took, whether the plan goes by it, and how it is taken out."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Iterable, Mapping
from functools import partial
from typing import Any, Final

from nicegui import ui

from stopcut.app.at_bench.timed import Verdict, Weighed
from stopcut.app.fields import heading, word_button, words
from stopcut.app.wording import ago, hours
from stopcut.bench.believable import share_in_words
from stopcut.store.values import LoggedMinutes

__all__ = ["TimesColumn", "newest", "noted_words", "verdict_words"]

MOST_NOTED: Final = 12
"""Timed letters shown, the newest first. Our choice: about what a day brings."""


class TimesColumn:
    """A part of the ledge; count and take_out are handed a timed letter's id."""

    def __init__(self, count: Callable[[str], Awaitable[None]], take_out: Callable[[str], Awaitable[None]]) -> None:
        self._count, self._take_out = count, take_out
        self._shown: list[tuple[LoggedMinutes, str, tuple[Verdict, float]]] | None = None
        heading("Letters timed")
        self._list = ui.element("ul").classes("findings noted").props('aria-label="Letters timed"')

    def show(self, noted: Iterable[LoggedMinutes], weighed: Weighed, letters: Mapping[str, Mapping[str, Any]]) -> None:
        """The timed letters as they are now; what is as before is left as it stands, for a press on its way."""
        shown = newest(noted)
        verdicts = [weighed.verdicts.get((one.job_id, one.id), ("counted", 1.0)) for one in shown]
        rows = list(zip(shown, noted_words(shown, letters), verdicts, strict=True))
        if rows == self._shown or self._list.is_deleted:
            return
        self._shown = rows
        self._list.clear()
        with self._list:
            for one, said, (verdict, share) in rows:
                with ui.element("li").classes("one"):
                    words(f"{said}{verdict_words(verdict, share)} ", tag="span")
                    if verdict in ("far off", "left out") and one.done:
                        word_button("Count it", partial(self._count, one.id), says=f"Count it: {said}")
                    word_button("Take out", partial(self._take_out, one.id), says=f"Take out: {said}")
            if not shown:
                words("None yet: the clock is beside the step.", "quiet", tag="li")


def newest(noted: Iterable[LoggedMinutes]) -> list[LoggedMinutes]:
    """The timed letters that are shown, the newest first."""
    return sorted(noted, key=lambda one: one.at, reverse=True)[:MOST_NOTED]


def noted_words(noted: Iterable[LoggedMinutes], letters: Mapping[str, Mapping[str, Any]]) -> list[str]:
    """Timed letters in words."""
    said = []
    for one in noted:
        known = letters.get(f"{one.line}:{one.letter}")
        name = known["name"] if known else f"letter {one.letter} of line {one.line}"
        said.append(f"{name}: {hours(round(one.taken_min))}, {ago(one.at)}")
    return said


def verdict_words(verdict: Verdict, share: float) -> str:
    """Why a timed letter is not counted; nothing for one that is."""
    return {
        "counted": "",
        "far off": f". That is {share_in_words(share)} what was expected: not counted.",
        "left out": ". Left out.",
        "not all ticked": ". Not counted: not all its steps are ticked as done.",
        "older": ". Not counted: it was timed against an older plan.",
    }[verdict]
