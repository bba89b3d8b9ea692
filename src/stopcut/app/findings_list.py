"""What to look at, as a list beside the board: the figure of each pin, what it says, what would mend it."""

from __future__ import annotations

from nicegui import ui

from stopcut.app.board_view import numbered
from stopcut.app.fields import words
from stopcut.app.job_page import JobPage
from stopcut.app.open_jobs import Standing
from stopcut.errors import Severity

__all__ = ["FindingsList", "pin_svg"]

SHAPES = {
    Severity.STOP: ("Stops the work", "M-12-12h24v24h-24z"),
    Severity.LOOK: ("To look at", "M0-16.5L16.5 0L0 16.5L-16.5 0Z"),
    Severity.NOTE: ("Worth knowing", "M-13 0a13 13 0 1 0 26 0a13 13 0 1 0-26 0Z"),
}
"""What a finding's severity is called, and the shape that its pin has on the board."""


class FindingsList:
    """The findings of a standing; a press on one shows its pin on the board."""

    def __init__(self, page: JobPage) -> None:
        self._page = page
        self._list = ui.element("ol").classes("findings")
        self._rows: dict[int, ui.element] = {}
        self._said: list[tuple[int, Severity, str, str]] | None = None

    def show(self, standing: Standing) -> None:
        """The list of what stands; while grooves are on their way, the one before stays."""
        if standing.work is None or standing.state != "ready":
            return
        found = list(numbered(standing.work.findings))
        said = [(number, one.severity, one.says, one.remedy) for number, one in found]
        if said == self._said:
            return  # a row that is made anew while it is being pressed is not pressed
        self._said = said
        self._list.clear()
        self._rows.clear()
        with self._list:
            for number, finding in found:
                with ui.element("li") as row, ui.element("button").props("type=button") as button:
                    self._rows[number] = row
                    ui.html(pin_svg(number, finding.severity), sanitize=False).classes("pin-shape")
                    with ui.element("span"):
                        words(finding.says + " ", tag="span")
                        words(finding.remedy, "remedy", tag="span")
                button.on("click", lambda _, number=number: self._page.board.show_pin(number))
            if not found:
                words("Nothing to look at: it will carve as it is drawn.", "quiet", tag="li")

    def point_to(self, number: int) -> None:
        """Mark the row of a pin that was pressed, and bring it into view."""
        for other, row in self._rows.items():
            if other == number:
                row.classes("pointed")
                ui.run_javascript(f"getElement({row.id}).scrollIntoView({{block: 'nearest'}})")
            else:
                row.classes(remove="pointed")


def pin_svg(number: int, severity: Severity) -> str:
    """A finding's figure in the shape of its pin on the board, with its severity in words."""
    called, shape = SHAPES[severity]
    return (
        f'<svg viewBox="-18 -18 36 36" class="{severity}" role="img" aria-label="{number}. {called}:">'
        f'<path d="{shape}"/><text text-anchor="middle" y="5.5">{number}</text></svg>'
    )
