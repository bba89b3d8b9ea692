"""The page at the bench as an element."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from nicegui.element import Element
from nicegui.events import GenericEventArguments

from stopcut.app.page_events import LetterInHand, told

__all__ = ["AtTheBench"]


class AtTheBench(Element, component="bench.js"):
    """One step at a time. It fetches its steps itself, and keeps ticks and minutes until they are sent."""

    def __init__(self, job_id: str, on_letter: Callable[[str], Any], on_noted: Callable[[], Any]) -> None:
        """on_letter is told which letter is in hand ("1:3"), on_noted that minutes have been noted."""
        super().__init__()

        def in_hand(event: GenericEventArguments) -> Any:
            letter = told(LetterInHand, {"key": event.args})
            return letter and on_letter(letter.key)

        self.on("letter", in_hand)
        self.on("noted", lambda _: on_noted())
        self.props["job"] = job_id
        self.props["ticks-url"] = f"/job/{job_id}/bench/ticks"
        self.props["minutes-url"] = f"/job/{job_id}/bench/minutes"

    def steps_at(self, url: str) -> None:
        """Where the steps are to be had; another address is fetched anew."""
        self.props["url"] = url
