"""A place where faults are said, one under the other, aloud as well where the page is read to somebody."""

from __future__ import annotations

from collections.abc import Sequence

from nicegui import ui

from stopcut.app.fields import words

__all__ = ["FaultsList"]


class FaultsList:
    """Nothing to be seen as long as there are none."""

    def __init__(self) -> None:
        with ui.element("div").classes("faults-place").props("role=alert"):
            self._list = ui.element("ul").classes("faults")

    def say(self, faults: Sequence[str]) -> None:
        """Say these instead of what was said before."""
        self._list.clear()
        with self._list:
            for fault in faults:
                words(fault[:1].upper() + fault[1:], tag="li")
