"""Measuring between any two points of the board: set by a hand, or written as figures from its lower left corner."""

from __future__ import annotations

import math
from functools import partial
from typing import Final

from nicegui import ui

from stopcut.app.board.events import Measured
from stopcut.app.choices import Toggle
from stopcut.app.fields import Field, heading, words
from stopcut.app.job_page import JobPage
from stopcut.units import Units, format_length, parse_length

__all__ = ["Measuring", "said_between"]

ENDS: Final = (
    ("x0", "From, across"),
    ("y0", "From, up"),
    ("x1", "To, across"),
    ("y1", "To, up"),
)
"""The two points, each from the board's left and lower edge."""

FINEST: Final = 64
"""The finest fraction of an inch that is measured. Our choice: a fine rule's."""


class Measuring:
    """A part of the ledge: measuring on or off, the two points in figures, and what is between them."""

    def __init__(self, page: JobPage) -> None:
        self._page = page
        heading("Measure")
        Toggle("Between two points", False, self._switch)
        self._said = words("", "large").props("role=status")
        with ui.element("div") as self._place:
            self._fields = {name: Field(label, "", partial(self._write, name)) for name, label in ENDS}
        self._place.set_visibility(False)
        self._points: dict[str, float] = {}
        page.board.on_measured(self._measured)

    @property
    def _units(self) -> Units:
        job = self._page.right_job
        return "mm" if job is None else job.units

    def _switch(self, on: bool) -> None:
        self._page.board.task("measure" if on else "move")
        self._place.set_visibility(on)
        self._said.text = "Set two points on the board, or write them." if on else ""

    def _write(self, name: str, written: str) -> None:
        if written.strip():
            self._points[name] = parse_length(written, self._units)
        else:
            self._points.pop(name, None)
        if len(self._points) == len(ENDS):
            x0, y0, x1, y1 = (self._points[end] for end, _ in ENDS)
            self._page.board.measure_between((x0, y0), (x1, y1))
            self._say(Measured(x0, y0, x1, y1))

    def _measured(self, event: Measured) -> None:
        self._points = {"x0": event.x0, "y0": event.y0, "x1": event.x1, "y1": event.y1}
        for name, field in self._fields.items():
            field.show(format_length(self._points[name], self._units, finest=FINEST))
        self._say(event)

    def _say(self, event: Measured) -> None:
        said, parts = said_between(event, self._units)
        self._page.board.measured_text(said)
        self._said.text = f"{said} ({parts})"


def said_between(event: Measured, units: Units) -> tuple[str, str]:
    """How far it is between two points, and that across and up."""
    across, up = event.x1 - event.x0, event.y1 - event.y0
    said = format_length(math.hypot(across, up), units, finest=FINEST)
    parts = (
        f"{format_length(abs(across), units, finest=FINEST)} across, {format_length(abs(up), units, finest=FINEST)} up"
    )
    return said, parts
