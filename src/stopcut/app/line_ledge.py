"""What holds for a whole line, on the ledge: its size, its light, where it stands, and what limits it."""

from __future__ import annotations

from functools import partial
from typing import Final

from nicegui import ui

from stopcut.app.choices import ChoiceField
from stopcut.app.chosen_line import ChosenLine
from stopcut.app.fields import Field, FiguresList, word_button, words
from stopcut.app.matching import BY_WHAT_IS_THERE, decided
from stopcut.app.which_line import WhichLine
from stopcut.app.wording import as_written
from stopcut.job.job import Line
from stopcut.setting.set_board import SetLine
from stopcut.units import Units, format_length, parse_length
from stopcut.work import Work
from stopcut.written.literals import Value

__all__ = ["LineLedge", "first_radius"]

OF_LINE: Final = (
    "cap_height", "size", "openness", "tuck", "word_space", "align", "line_gap", "drop", "arc", "weight", "stem",
    "thinnest", "features", "face",
)  # fmt: skip
"""What of a line's own is told of here."""

LIMITS: Final = ("does-not-fit", "fit-limit", "cannot-spread", "spread-openness", "arc-too-small")
"""Findings that say what limits a line."""

ALIGNS: Final = (("left", "left"), ("centre", "centred"), ("right", "right"), ("spread", "spread"))
BENDS: Final = (("straight", "a straight line"), ("up", "an arc, middle high"), ("down", "an arc, middle low"))


class LineLedge:
    """A column about the line in hand."""

    def __init__(self, line: ChosenLine) -> None:
        self._line = line
        self._which = WhichLine(line, OF_LINE)
        self._fields: dict[str, Field] = {}
        self._field("cap_height", "Cap height")
        self._fit_word = word_button("As large as the margins allow", self._fit)
        self._limits = ui.element("div").classes("limits")
        with ui.element("div") as self._among_others:
            self._field("size", "Size beside the others")
            self._field("line_gap", "Space above")
        for key, label in (("openness", "Openness"), ("tuck", "Tuck"), ("word_space", "Word space"), ("drop", "Drop")):
            self._field(key, label)
        self._align = ChoiceField("Stands", ALIGNS, "centre", partial(self._set, "align"))
        self._bend = ChoiceField("On", BENDS, "straight", self._bent)
        with ui.element("div") as self._radius_place:
            self._radius = Field("Radius of the arc", "", self._set_radius)
        self._figures = FiguresList({})

    def _field(self, key: str, label: str) -> None:
        self._fields[key] = Field(label, "", partial(self._set, key))

    def show(self, work: Work) -> None:
        """The line as it stands."""
        line, asked = self._line.set, self._line.asked
        if line is None or asked is None:
            return
        many = len(work.job.lines) > 1
        self._which.show(work)
        by_match = decided(work.job.match)
        for key, value in _values(asked, work.job.units).items():
            self._fields[key].show(_matched_value(key, work, line) if key in by_match else value)
            self._fields[key].decide(BY_WHAT_IS_THERE if key in by_match else "")
        self._fit_word.set_visibility("cap_height" not in by_match)
        self._among_others.set_visibility(many)
        self._align.show(asked.align)
        self._bend.show("straight" if asked.arc is None else asked.arc.bend)
        self._radius_place.set_visibility(asked.arc is not None)
        if asked.arc is not None:
            self._radius.show(format_length(asked.arc.radius_mm, work.job.units))
        self._show_limits(work, line)
        self._figures.show(_figures(work, line))

    async def _set(self, key: str, value: str) -> None:
        await self._line.put(key, as_written(value))

    async def _fit(self) -> None:
        await self._put_or_say("cap_height", "fit")

    async def _put_or_say(self, key: str, value: Value | None) -> bool:
        try:
            await self._line.put(key, value)
        except ValueError as problem:
            self._line.page.notice(str(problem))
            return False
        return True

    async def _bent(self, bend: str) -> bool:
        line, asked = self._line.set, self._line.asked
        if line is None or asked is None:
            return False
        job = self._line.page.right_job
        value: Value | None = None
        if bend != "straight":
            radius = asked.arc.radius_mm if asked.arc else first_radius(line.ink_right_mm - line.ink_left_mm)
            value = {"radius": format_length(radius, job.units if job else "mm"), "bend": bend}
        return await self._put_or_say("arc", value)

    async def _set_radius(self, written: str) -> None:
        asked, job = self._line.asked, self._line.page.right_job
        if asked is None or asked.arc is None or job is None:
            return
        parse_length(written, job.units)  # says what is wrong with it
        await self._line.put("arc", {"radius": as_written(written) or "", "bend": asked.arc.bend})

    def _show_limits(self, work: Work, line: SetLine) -> None:
        self._limits.clear()
        with self._limits:
            for finding in work.setting.findings:
                if finding.code in LIMITS and finding.where.line in (None, line.number):
                    words(finding.on_screen, f"limit {finding.severity}")


def first_radius(width_mm: float) -> float:
    """The radius that an arc begins with: its line's width, so that it spans about a sixth of a circle. [mm]

    Our choice: a gentle arch.
    """
    return max(10.0, 5.0 * round(width_mm / 5.0))


def _matched_value(key: str, work: Work, line: SetLine) -> str:
    """What lettering that is already there makes of a value."""
    if key == "cap_height" and work.job.match is not None and work.job.match.cap_height_mm is not None:
        return format_length(work.job.match.cap_height_mm, work.job.units)
    return f"{line.openness:.3g}"


def _values(asked: Line, units: Units) -> dict[str, str]:
    gap = f"{asked.line_gap:g}" if asked.line_gap_mm is None else format_length(asked.line_gap_mm, units)
    return {
        "cap_height": "fit" if asked.cap_height_mm is None else format_length(asked.cap_height_mm, units),
        "size": f"{asked.size:g}",
        "openness": f"{asked.openness:g}",
        "tuck": f"{asked.tuck:g}",
        "word_space": f"{asked.word_space:g}",
        "line_gap": gap,
        "drop": format_length(asked.drop_mm, units),
    }


def _figures(work: Work, line: SetLine) -> dict[str, str]:
    units, board = work.job.units, work.job.board
    return {
        "Capitals stand": format_length(line.cap_height_mm, units),
        "Ink to ink": format_length(line.ink_right_mm - line.ink_left_mm, units),
        "Left · right margin": f"{format_length(line.ink_left_mm, units)} · "
        f"{format_length(board.width_mm - line.ink_right_mm, units)}",
    }
