"""The lamp on the ledge: two slides that follow the handle on the board, and the handle them."""

from __future__ import annotations

from typing import Final

from nicegui import ui

from stopcut.app.board.events import LampMoved
from stopcut.app.fields import heading, words
from stopcut.app.job_page import JobPage
from stopcut.app.page_events import Pushed
from stopcut.app.slide import Slide
from stopcut.units import format_angle

__all__ = ["LampLedge", "from_where"]

FIRST: Final = (135.0, 29.0)
"""Where the lamp stands at first: from the upper left, where letterers have it (common practice). [degrees]"""

LOWEST_DEG, HIGHEST_DEG = 5, 85
"""How low and how high the lamp goes. [degrees from the face] Our choice, as on the board."""

SIDES: Final = ("right", "upper right", "top", "upper left", "left", "lower left", "bottom", "lower right")


class LampLedge:
    """A part of the ledge; the board's lamp may be pushed as long as it stands there."""

    def __init__(self, page: JobPage) -> None:
        self._page = page
        self._from, self._height = FIRST
        heading("Lamp")
        words("Push the lamp round the board, or:", "quiet")
        with ui.element("div").classes("ranges"):
            words("From", tag="span")
            self._round = Slide("Lamp: from", 0, 359, 1, self._turn, coarse=15)
            self._round_says = words("", tag="span")
            words("Height", tag="span")
            self._up = Slide("Lamp: height", LOWEST_DEG, HIGHEST_DEG, 1, self._raise, coarse=10)
            self._up_says = words("", tag="span")
        page.board.on_lamp(self._moved)
        self._light()

    def _turn(self, slid: Pushed) -> None:
        self._from = slid.value
        self._light()

    def _raise(self, slid: Pushed) -> None:
        self._height = slid.value
        self._light()

    def _moved(self, event: LampMoved) -> None:
        self._from, self._height = event.azimuth % 360, event.elevation
        self._light()

    def _light(self) -> None:
        self._page.board.lamp(self._from, self._height, movable=True)
        where = from_where(self._from)
        self._round.show(round(self._from), f"{format_angle(round(self._from))}, {where}")
        self._up.show(round(self._height), f"{format_angle(round(self._height))} from the face")
        self._round_says.text = where
        self._up_says.text = format_angle(round(self._height))


def from_where(azimuth_deg: float) -> str:
    """The side that the light comes from, for an angle anticlockwise from the right."""
    return SIDES[round(azimuth_deg / 45) % len(SIDES)]
