"""What to look at before cutting and what to know: an entry a cause, with what would mend it as presses."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import partial

from nicegui import ui

from stopcut.app.choices import Toggle
from stopcut.app.fields import heading, word_button, words
from stopcut.app.job_page import JobPage
from stopcut.app.open_jobs import Standing
from stopcut.app.remedies import remedies
from stopcut.app.remedy import Remedy
from stopcut.errors import Severity
from stopcut.work import Cause

__all__ = ["FindingsList", "figure_first", "pin_svg"]

SHAPES = {
    Severity.STOP: ("Stops the work", "M-12-12h24v24h-24z"),
    Severity.LOOK: ("To look at", "M0-16.5L16.5 0L0 16.5L-16.5 0Z"),
    Severity.NOTE: ("Worth knowing", "M-13 0a13 13 0 1 0 26 0a13 13 0 1 0-26 0Z"),
}
"""What a finding's severity is called, and the shape that its pin has on the board."""

_FIGURE = re.compile(r"^(?:Under )?[0-9][0-9.,/ ]*(?:mm|in|°)?(?=[ :;,.]|$)")


class FindingsList:
    """The causes of a standing; a press on one shows its pin, and every place it holds of, on the board."""

    def __init__(self, page: JobPage) -> None:
        self._page = page
        with ui.element("div").classes("marks-shown"):
            Toggle("Hide the marks", page.marks_hidden, page.hide_marks)
        self._place = ui.element("div")
        self._rows: dict[int, ui.element] = {}
        self._said: tuple[tuple[Cause, tuple[Remedy, ...]], ...] | None = None

    def show(self, standing: Standing) -> None:
        """The list of what stands; while grooves are on their way, the one before stays."""
        work = standing.work
        if work is None or standing.state != "ready":
            return
        said = tuple((cause, remedies(cause, work.job, standing.text, work.setting)) for cause in work.causes)
        if said == self._said:
            return  # a row that is made anew while it is being pressed is not pressed
        self._said = said
        self._place.clear()
        self._rows.clear()
        with self._place:
            self._part("To look at before cutting", [one for one in said if one[0].counts])
            self._part("To know", [one for one in said if not one[0].counts])
            if not said:
                words("Nothing to look at: it will carve as it is drawn.", "quiet")

    def _part(self, title: str, told: Sequence[tuple[Cause, tuple[Remedy, ...]]]) -> None:
        if not told:
            return
        heading(title)
        with ui.element("ol").classes("findings"):
            for cause, presses in told:
                with ui.element("li") as row:
                    self._rows[cause.number] = row
                    self._entry(cause)
                    with ui.element("div").classes("remedies"):
                        for press in presses:
                            word_button(press.label, partial(self._mend, press))

    def _entry(self, cause: Cause) -> None:
        with ui.element("button").props("type=button") as button:
            ui.html(pin_svg(cause.number, cause.severity), sanitize=False).classes("pin-shape")
            figure, rest = figure_first(cause.says)
            with ui.element("span"):
                if figure:
                    words(figure, "figure", tag="b")
                words(f"{rest} ", tag="span")
                words(f"{cause.more} {cause.screen}".strip(), "remedy", tag="span")
        button.on("click", lambda _, number=cause.number: self._show(number))

    async def _mend(self, remedy: Remedy) -> None:
        await self._page.edit_all(lambda _: remedy.edits, f"mend-{remedy.label}")

    def _show(self, number: int) -> None:
        self._page.board.show_pin(number)
        self._mark(number)

    def point_to(self, number: int) -> None:
        """Mark the row of a pin that was pressed, and bring it into view."""
        self._mark(number)
        row = self._rows.get(number)
        if row is not None:
            ui.run_javascript(f"getElement({row.id}).scrollIntoView({{block: 'nearest'}})")

    def _mark(self, number: int) -> None:
        for other, row in self._rows.items():
            if other == number:
                row.classes("pointed")
            else:
                row.classes(remove="pointed")


def figure_first(says: str) -> tuple[str, str]:
    """A sentence's figure, where it begins with one, and the rest of it."""
    found = _FIGURE.match(says)
    return ("", says) if found is None else (found[0].rstrip(), says[len(found[0].rstrip()) :])


def pin_svg(number: int, severity: Severity) -> str:
    """A finding's figure in the shape of its pin on the board, with its severity in words."""
    called, shape = SHAPES[severity]
    return (
        f'<svg viewBox="-18 -18 36 36" class="{severity}" role="img" aria-label="{number}. {called}:">'
        f'<path d="{shape}"/><text text-anchor="middle" y="5.5">{number}</text></svg>'
    )
