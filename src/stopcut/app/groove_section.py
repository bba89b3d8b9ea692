"""Groove: how deep everything is under one wall angle, seen as a section, and what of it will not carve."""

from __future__ import annotations

from functools import partial
from typing import Final

from nicegui import ui

from stopcut.app.board.board import Look
from stopcut.app.board.events import PinPressed, Probed
from stopcut.app.choices import ChoiceField, Toggle
from stopcut.app.chosen_line import ChosenLine
from stopcut.app.fields import Field, FiguresList, column, words
from stopcut.app.findings_list import FindingsList
from stopcut.app.job_page import JobPage
from stopcut.app.lamp_ledge import LampLedge
from stopcut.app.open_jobs import Standing
from stopcut.app.section_picture import section_figures, section_svg
from stopcut.app.section_walk import SectionWalk
from stopcut.app.which_line import WhichLine
from stopcut.app.wording import as_written
from stopcut.groove.section import section_at
from stopcut.job.edit_values import At, SetKey
from stopcut.units import format_angle, format_length, format_volume
from stopcut.work import Work

__all__ = ["GrooveSection"]

NO_SECTION: Final = "Point at a groove on the board to cut through it there, or choose a letter."

OF_GROOVE: Final = ("wall", "flat_bottom", "thinnest")
"""What of a line's own is told of here."""


class GrooveSection:
    """The section about depth."""

    slug = "groove"
    title = "Groove"

    def __init__(self, page: JobPage) -> None:
        self.page = page
        self._line = ChosenLine(page)
        self._before = False

    def build(self) -> None:
        """Fill the ledge, and let a section be taken anywhere on the board."""
        with column():
            self._findings = FindingsList(self.page)
        with column("Cut through"):
            self._picture = ui.html("", sanitize=False).classes("section-picture")
            self._hint = words(NO_SECTION, "quiet")
            self._walk = SectionWalk(self.page, self._cut_at)
            self._section = FiguresList({})
        with column("The groove"):
            self._build_groove()
        with column("Look with"):
            self._build_looks()
        board = self.page.board
        board.task("section")
        board.pins_shown(not self.page.marks_hidden)
        board.on_probe(self._probe)
        board.on_pin(self._pin)
        self.page.on_choose(self._chosen)

    def leave(self) -> None:
        """Put the board back as other sections show it."""
        board = self.page.board
        board.task("none")
        board.pins_shown(False)
        self.page.look("carved")
        board.no_section()
        board.lamp()
        self.page.show_lines(False)
        self.page.draw_more((), "before")

    def show(self, standing: Standing) -> None:
        """Figures as they stand."""
        self._findings.show(standing)
        work = standing.work
        if work is None:
            return
        self._show_groove(work)
        if standing.state == "ready":
            self._show_strengthened(work)
            units, grooves = work.job.units, work.grooves
            self._figures.show(
                {
                    "Deepest": format_length(max((one.max_depth_mm for one in grooves), default=0.0), units),
                    "Stop cuts in all": format_length(sum(one.stop_cut_mm for one in grooves), units),
                    "Wood to cut out": format_volume(sum(one.volume_mm3 for one in grooves), units),
                }
            )

    def _build_groove(self) -> None:
        self._which = WhichLine(self._line, OF_GROOVE)
        self._wall = Field("Walls from the face", "", partial(self._of_line, "wall"))
        self._flat = Field("Flat bottom", "", partial(self._of_line, "flat_bottom"), hint="none: a V")
        self._thinnest = Field("Thinnest stroke", "", partial(self._of_line, "thinnest"), hint="as drawn")
        self._strengthened = words("", "quiet")
        with ui.element("div") as self._before_place:
            Toggle("Show strokes as they were before", False, self._show_before)
        self._before_place.set_visibility(False)
        self._face_off = Field("Planed off after", "", partial(self._of_board, "face_off"), hint="nothing")
        self._figures = FiguresList({})

    def _build_looks(self) -> None:
        looks = [("carved", "as carved"), ("depth", "depth"), ("outline", "outline")]
        ChoiceField("The board", looks, "carved", self._look, quiet=True)
        Toggle("Centre and corner lines", False, self.page.show_lines)
        LampLedge(self.page)

    def _look(self, look: Look) -> None:
        self.page.look(look)

    # The groove's settings.

    def _show_groove(self, work: Work) -> None:
        asked, units = self._line.asked, work.job.units
        self._which.show(work)
        if asked is None:
            return
        self._wall.show(format_angle(asked.wall_deg))
        self._flat.show("" if asked.flat_bottom_mm is None else format_length(asked.flat_bottom_mm, units))
        self._thinnest.show("" if asked.thinnest_mm is None else format_length(asked.thinnest_mm, units))
        self._face_off.show(format_length(work.job.face_off_mm, units) if work.job.face_off_mm else "")

    async def _of_line(self, key: str, written: str) -> None:
        value = as_written(written.replace("°", "")) if key == "wall" else as_written(written)
        if value is None and key != "wall" and (self._line.alone or key in self._line.own):
            value = "none"  # of this line, whatever the others have
        await self._line.put(key, value)

    async def _of_board(self, key: str, written: str) -> None:
        await self.page.edit_or_raise(SetKey(At("groove"), key, as_written(written)))

    def _show_strengthened(self, work: Work) -> None:
        before = work.before_strengthening
        chars = "".join(dict.fromkeys(one.called for one in before))
        self._strengthened.text = f"Made stronger: {' '.join(chars)}" if before else ""
        self._before_place.set_visibility(bool(before))
        self.page.draw_more(before if self._before else (), "before")

    def _show_before(self, on: bool) -> None:
        self._before = on
        if self.page.work is not None and self.page.standing.state == "ready":
            self._show_strengthened(self.page.work)

    # The section.

    def _chosen(self, keys: list[str]) -> None:
        self._line.follow(keys)
        self._walk.chosen(keys)
        if self.page.work is not None:
            self._show_groove(self.page.work)

    def _probe(self, event: Probed) -> None:
        self._cut_at(event.x, event.y)

    def _cut_at(self, x_mm: float, y_mm: float) -> None:
        standing = self.page.standing
        if standing.work is None or standing.state != "ready":
            return
        cut = section_at(standing.work.grooves, x_mm, y_mm)
        if cut is None:
            return  # the last one stays to be read
        units = standing.work.job.units
        self._hint.text = ""
        self._picture.content = section_svg(cut)
        ui.run_javascript(f"getElement({self._picture.id}).$el.scrollIntoView({{block: 'nearest'}})")
        self._section.show(section_figures(cut, units))
        self.page.board.section_mark(cut.start, cut.end, format_length(cut.depth_mm, units))

    def _pin(self, event: PinPressed) -> None:
        self._findings.point_to(event.number)
