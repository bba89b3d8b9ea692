"""The gap beside the chosen letter, on the ledge: as worked out and by hand, a ruler to push, all shifts by hand."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import partial
from typing import Final

from nicegui import ui

from stopcut.app.choices import ChoiceField
from stopcut.app.chosen_line import ChosenLine
from stopcut.app.fields import heading, word_button, words
from stopcut.app.moving import Gap, all_gaps, gaps_of_letter, shift_to, shifts_gone
from stopcut.app.page_events import Pushed
from stopcut.app.slide import Slide
from stopcut.app.wording import less_more
from stopcut.job.edit_values import SetShift
from stopcut.job.job import Job
from stopcut.shop.shop_file import Screen
from stopcut.units import Units, format_length
from stopcut.work import Work

__all__ = ["GapLedge", "reach_mm", "signed"]

NONE_CHOSEN: Final = "Choose a letter on the board, and drag it."

LEAST_REACH: Final = 3
"""Coarse steps that the ruler shows to either side at least. Our choice: more is seldom wanted and less easily hit."""

LEAST_SHIFT_MM: Final = 0.005
"""A shift smaller than this is none. [mm] Our choice: nobody can cut it."""


class GapLedge:
    """A column about one gap, and the list of what hands have done."""

    def __init__(self, line: ChosenLine, screen: Screen) -> None:
        self._line, self._page, self._screen = line, line.page, screen
        self._which = "before"
        self._title = heading("Between two letters")
        self._none = words(NONE_CHOSEN)
        with ui.element("div") as self._about:
            with ui.element("p").classes("large gap-words"):
                self._model = words("", "model", tag="span")
                self._hand = words("", "by-hand", tag="span")
                self._whole = words("", "whole-gap", tag="span")
            coarse = screen.coarse_step_mm
            reach = LEAST_REACH * coarse
            self._ruler = Slide(
                "Shift by hand", -reach, reach, screen.fine_step_mm, self._slid, coarse=coarse, ruled=coarse / 2
            )
            with ui.element("div") as self._sides:
                self._side = ChoiceField(
                    "Gap", [("before", "before it"), ("after", "after it")], "before", self._take_side
                )
        self._keys = ui.element("p").classes("keys quiet")
        self._keys_in: Units | None = None

    def build_list(self) -> None:
        """The list of all shifts by hand, wherever the column has room for it."""
        heading("By hand")
        self._shifts = ui.element("ul").classes("findings")
        self._rows: list[tuple[str, str, int, str, int]] | None = None

    @property
    def gap(self) -> Gap | None:
        """The gap in hand; None while no letter is chosen, or the one chosen has no neighbour in its word."""
        work = self._page.work
        if work is None or not self._page.chosen:
            return None
        gaps = gaps_of_letter(work.setting, self._page.chosen[0])
        return None if not gaps else gaps[-1 if self._which == "after" else 0]

    def show(self, work: Work) -> None:
        """The gap as it stands, and what was done by hand anywhere."""
        gaps = gaps_of_letter(work.setting, self._page.chosen[0]) if self._page.chosen else ()
        gap, units = self.gap, work.job.units
        self._show_keys(units)
        self._about.set_visibility(gap is not None)
        self._none.set_visibility(gap is None)
        self._none.text = _alone(work, self._page.chosen) or NONE_CHOSEN
        self._sides.set_visibility(len(gaps) > 1)
        if gap is None:
            self._title.text = "Between two letters"
        else:
            self._title.text = f"Between {gap.first_char} and {gap.then_char}"
            self._show_gap(gap, units)
        self._show_shifts(work)

    def _show_gap(self, gap: Gap, units: Units) -> None:
        by_hand, unit = abs(gap.shift_mm) > LEAST_SHIFT_MM, f" {units}"
        self._model.text = f"worked out {format_length(gap.model_mm, units).removesuffix(unit)}"
        self._hand.text = f"by hand {signed(gap.shift_mm, units).removesuffix(unit)}" if by_hand else ""
        self._whole.text = f"gap {format_length(gap.model_mm + gap.shift_mm, units)}"
        coarse = self._screen.coarse_step_mm
        reach = reach_mm(gap.shift_mm, coarse)
        self._ruler.bounds(-reach, reach, coarse / 2)
        self._ruler.show(gap.shift_mm, less_more(gap.shift_mm, units))

    def _show_keys(self, units: Units) -> None:
        """What the keys do, in the job's units."""
        if units == self._keys_in:
            return
        self._keys_in = units
        fine, coarse = (step_words(step, units) for step in (self._screen.fine_step_mm, self._screen.coarse_step_mm))
        self._keys.clear()
        with self._keys:
            for keys, says in (("← →", fine), ("⇧ ← →", coarse), ("⌫", "as worked out")):
                with ui.element("span").classes("key"):
                    words(keys, tag="kbd")
                    words(f" {says}", tag="span")

    def _take_side(self, side: str) -> None:
        self._which = side
        if self._page.work is not None:
            self.show(self._page.work)

    async def _slid(self, slid: Pushed) -> None:
        gap, line = self.gap, self._line.set
        if gap is None or line is None:
            return

        def edits(job: Job) -> list[SetShift]:
            return shift_to(job, gap, slid.value, line.cap_height_mm)

        await self._page.edit_all(edits, slid.gesture)

    # All that was done by hand.

    def _show_shifts(self, work: Work) -> None:
        units = work.job.units
        rows: list[tuple[str, str, int, str, int]] = []
        for gap in all_gaps(work.setting):
            if abs(gap.shift_mm) > LEAST_SHIFT_MM:
                says = f"{gap.first_char}–{gap.then_char} is {less_more(gap.shift_mm, units)}; your choice. "
                rows.append((says, "As worked out", gap.line, gap.pair, gap.nth))
        for line, shift in shifts_gone(work.setting, work.job):
            says = f"Line {line} has no “{shift.pair}” {_nth(shift.nth)}any more: its shift moves nothing. "
            rows.append((says, "Take it out", line, shift.pair, shift.nth))
        if rows == self._rows:
            return  # a button that is made anew while it is being pressed is not pressed
        self._rows = rows
        self._shifts.clear()
        with self._shifts:
            for row in rows:
                self._row(*row)
            if not rows:
                words("Every gap is as worked out.", "quiet", tag="li")

    def _row(self, says: str, way: str, line: int, pair: str, nth: int) -> None:
        with ui.element("li").classes("one"):
            words(says, tag="span")
            word_button(way, partial(self._take_out, line, pair, nth), says=f"{way}: {pair} {_nth(nth)}in line {line}")

    async def _take_out(self, line: int, pair: str, nth: int) -> None:
        await self._page.edit(SetShift(self._line.at(line), pair, nth, None))


def reach_mm(shift_mm: float, coarse_mm: float) -> float:
    """How far the ruler shows to either side: so that there is a step of room beyond the shift. [mm]"""
    return coarse_mm * max(LEAST_REACH, math.ceil(abs(shift_mm) / coarse_mm - 1e-6) + 1)


def signed(shift_mm: float, units: Units) -> str:
    """A shift with its sign, as it stands between the gap worked out and the whole: "−0.4 mm"."""
    size = format_length(abs(shift_mm), units, finest=64)
    if size.startswith("0 "):
        size = "a hair"
    return f"{'−' if shift_mm < 0 else '+'}{size}"


def step_words(step_mm: float, units: Units) -> str:
    """A step of the keys; a decimal where no fraction of an inch comes near it."""
    if units == "in" and step_mm < 25.4 / 64:
        return f"{step_mm / 25.4:.3f} in"
    return format_length(step_mm, units, finest=64)


def _alone(work: Work, chosen: Sequence[str]) -> str:
    """What is said of a letter without a neighbour."""
    letters = {
        f"{one.placed.line}:{one.placed.index}": one.placed.called
        for line in work.setting.lines
        for one in line.letters
    }
    if not chosen or chosen[0] not in letters:
        return ""
    return f"{letters[chosen[0]]} stands alone in its word: the space between words comes from the light."


def _nth(nth: int) -> str:
    return {1: "", 2: "(the second) ", 3: "(the third) "}.get(nth, f"(the {nth}th) ")
