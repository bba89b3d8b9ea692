"""Lettering already on the board, on the brief: what was measured of it, with a drawing of what to measure."""

from __future__ import annotations

from functools import partial

from nicegui import ui

from stopcut.app.brief_job import job_now
from stopcut.app.fields import Field, column, word_button, words
from stopcut.app.job_page import JobPage
from stopcut.app.match_drawing import match_svg
from stopcut.app.matching import gap_change, gap_written, measure_change, nothing_there
from stopcut.app.merging_words import MakeEdits
from stopcut.app.open_jobs import Standing
from stopcut.app.wording import as_written, why_refused
from stopcut.errors import CarverError
from stopcut.job.edit_values import Refused
from stopcut.job.job import Job
from stopcut.units import format_length
from stopcut.work import Work

__all__ = ["BriefMatch"]

FIRST_GAP = 3
"""The figure of the first gap: the drawing has 1 and 2 for the cap height and the stem."""

HINT = {"mm": "RO 6 mm", "in": "RO 1/4 in"}


class BriefMatch:
    """The column of what is there already."""

    def __init__(self, page: JobPage) -> None:
        self._page = page
        self._gaps: list[Field] = []
        self._pairs: tuple[str, ...] = ()
        with column("Lettering already on the board") as made:
            made.classes("brief-match")
            words("Measure what is there, and the new lines match it. What was not measured stays empty.", "quiet")
            with ui.element("div").classes("match"):
                ui.html(match_svg(), sanitize=False)
                with ui.element("div"):
                    with ui.element("div").classes("for-cap"):
                        self._cap = Field("1 Cap height", "", partial(self._set, "cap_height"))
                    with ui.element("div").classes("for-stem"):
                        self._stem = Field("2 Stem", "", partial(self._set, "stem"))
                    with ui.element("div").classes("for-gap"):
                        self._place = ui.element("div")
                        self._another = Field(f"{FIRST_GAP} Gap between two letters", "", self._add)
                    self._found = words("", "quiet").props("role=status")
                    self._none = word_button("Nothing is there yet", self._take_all_out)

    def show(self, job: Job) -> None:
        """What was measured."""
        match, units = job.match, job.units
        cap, stem = (None, None) if match is None else (match.cap_height_mm, match.stem_mm)
        gaps = () if match is None else match.gaps
        self._cap.show("" if cap is None else format_length(cap, units))
        self._stem.show("" if stem is None else format_length(stem, units))
        pairs = tuple(pair for pair, _ in gaps)
        if pairs != self._pairs:
            self._pairs = pairs
            self._place.clear()
            with self._place:
                self._gaps = [self._row(place, pair) for place, pair in enumerate(pairs)]
            self._another.show("")
        for field, (_, mm) in zip(self._gaps, gaps, strict=True):
            field.show(format_length(mm, units))
        self._another.rename(f"{FIRST_GAP + len(gaps)} {'Another gap' if gaps else 'Gap between two letters'}")
        self._another.hint(HINT[units])
        self._none.set_visibility(match is not None)

    def show_found(self, standing: Standing) -> None:
        """What matching came to, once the letters stand."""
        self._found.text = found_words(standing.work) if standing.work is not None else ""

    def _row(self, place: int, pair: str) -> Field:
        with ui.element("div").classes("match-gap"):
            field = Field(f"{FIRST_GAP + place} Gap of {pair}", "", partial(self._set_gap, place, pair))
            word_button("Take out", partial(self._take_out, place, pair), says=f"Take out the gap of {pair}")
        return field

    async def _set(self, key: str, value: str) -> None:
        await self._make(measure_change(key, as_written(value)))

    async def _set_gap(self, place: int, pair: str, value: str) -> None:
        await self._make(gap_change(place, pair, as_written(value)))

    async def _add(self, value: str) -> None:
        job = job_now(self._page.standing)
        if value.strip() and job is not None:
            pair, gap = gap_written(value, job.units)
            await self._make(gap_change(len(self._pairs), pair, gap))

    async def _take_out(self, place: int, pair: str) -> None:
        await self._make_or_say(gap_change(place, pair, None))

    async def _take_all_out(self) -> None:
        await self._make_or_say(nothing_there)

    async def _make(self, change: MakeEdits) -> None:
        """Make a change for a field. Raises ValueError with the plain reason where it is refused."""
        try:
            await self._page.change_or_raise(change)
        except Refused as refused:
            raise ValueError(why_refused(refused)) from None

    async def _make_or_say(self, change: MakeEdits) -> None:
        try:
            await self._make(change)
        except ValueError as problem:
            self._page.notice(str(problem))


def found_words(work: Work) -> str:
    """What matching came to, line by line where lines differ in it; "" where nothing is to be matched."""
    try:
        said = dict.fromkeys(finding.says for finding in work.matched)
    except CarverError:
        return ""
    return " ".join(said)
