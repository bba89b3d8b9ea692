"""A slide: a value set by dragging, pressing or keys, on a plain track or on a ruler with its divisions.

The browser's own range underneath, so that fingers, keys and screen readers know it. While a hand is on it, what the
program says of the value waits.
"""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from dataclasses import replace
from typing import Any

from nicegui import events
from nicegui.element import Element

from stopcut.app.page_events import Pushed, told

__all__ = ["Slide"]


class Slide(Element, component="slide.js"):
    """A slide from low to high in steps. label is its name, says the value in words; coarse is a step with Shift held.

    A ruler has a division every so many (ruled), the middle one of them long; None is a plain track.
    """

    def __init__(
        self,
        label: str,
        low: float,
        high: float,
        step: float,
        on_slide: Callable[[Pushed], Awaitable[None] | None],
        *,
        coarse: float | None = None,
        ruled: float | None = None,
    ) -> None:
        super().__init__()
        self._on_slide = on_slide
        self.props["label"] = label
        self.props["step"] = step
        self.props["coarse"] = coarse or 10 * step
        self.bounds(low, high, ruled)
        self.show(low, "")
        self.on("slid", self._heard)

    def bounds(self, low: float, high: float, ruled: float | None = None) -> None:
        """Other ends, and other divisions."""
        self._low, self._high = low, high
        self.props["low"], self.props["high"] = low, high
        self.props["ruled"] = ruled or 0

    def show(self, value: float, says: str) -> None:
        """The value as it is, and what a screen reader says of it."""
        self.props["value"] = min(max(value, self._low), self._high)
        self.props["says"] = says

    def _heard(self, event: events.GenericEventArguments) -> None:
        slid = read_slid(event.args, self._low, self._high)
        if slid is not None:
            events.handle_event(lambda _: self._on_slide(slid), event, expect_args=True)


def read_slid(args: Any, low: float, high: float) -> Pushed | None:
    """What a browser sent as a value, held between the ends; None for what no slide sends."""
    pushed = told(Pushed, args)
    return pushed and replace(pushed, value=min(max(pushed.value, low), high))
