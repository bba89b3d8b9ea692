"""A slip on a part-cut board, on the ledge: glue, widen the letter in hand, or plane the face, each with its figures.

Nothing of the job is changed before the carver has read what it comes to and says so.
"""

from __future__ import annotations

import asyncio
from collections.abc import Sequence
from functools import partial

from nicegui import ui

from stopcut.app.choices import ChoiceField
from stopcut.app.fields import Field, heading, word_button, words
from stopcut.app.job_page import JobPage
from stopcut.errors import CarverError
from stopcut.job.edit_values import Edit
from stopcut.options.mended import GLUE, Planing, Widening, planing, planing_edits, widening, widening_edits
from stopcut.units import Units, format_length, parse_length
from stopcut.work import Work

__all__ = ["MendingLedge", "mending_rows"]

Mended = Widening | Planing


class MendingLedge:
    """A part of the ledge; letter is the one that is widened, "1:3"."""

    def __init__(self, page: JobPage) -> None:
        self._page = page
        self.letter = ""
        heading("A slip?")
        words(GLUE, "quiet")
        self._which = ui.element("div")
        self._widen = Field("Or widen this letter by", "", self._try_widening, hint="0.5 mm")
        self._plane = Field("Or plane the face by", "", self._try_planing, hint="1 mm")
        self._place = ui.element("div").props("role=status")

    def at(self, letter: str) -> None:
        """Another letter is in hand: what was reckoned for the one before is put away."""
        if letter != self.letter:
            self.letter = letter
            self._widen.clear()
            self._place.clear()
            self._which.clear()
            self._offer_joined(letter)

    def _offer_joined(self, letter: str) -> None:
        """Where letters join and are carved as one, which of them is meant is the carver's to say."""
        work = self._page.standing.work
        if work is None or self._page.standing.state != "ready":
            return
        groups = [[(f"{one.line}:{one.index}", one.called) for one in group] for group in work.joined]
        own = next((group for group in groups if letter in dict(group)), None)
        if own is not None:
            with self._which:
                ChoiceField("Which of them", own, letter, self._meant, quiet=True)

    def _meant(self, letter: str) -> None:
        self.letter = letter
        self._place.clear()

    async def _try_widening(self, written: str) -> None:
        work = self._ready(written)
        if work is None:
            return
        line, letter = (int(part) for part in self.letter.split(":"))
        by_mm = _more_than_nothing(written, work.job.units)
        made = await self._reckoned(lambda: widening(work, line, letter, by_mm))
        assert isinstance(made, Widening)
        ways = [(widening_edits(work, line, letter, by_mm), f"Widen {made.char} so")]
        if made.twins:
            both = widening_edits(work, line, letter, by_mm, with_twins=True)
            ways.append((both, f"Widen every {made.char} so"))
        self._offer(work, made, ways)

    async def _try_planing(self, written: str) -> None:
        work = self._ready(written)
        if work is None:
            return
        off_mm = _more_than_nothing(written, work.job.units)
        made = await self._reckoned(lambda: planing(work, off_mm))
        self._offer(work, made, [(planing_edits(work, off_mm), "Plane it so")])

    def _ready(self, written: str) -> Work | None:
        """The work, once its grooves stand and something is written."""
        self._place.clear()
        standing = self._page.standing
        if not written.strip():
            return None
        if standing.work is None or standing.state != "ready" or not self.letter:
            raise ValueError("The board is still being worked out: once it is, write the length again.")
        return standing.work

    async def _reckoned(self, reckon: object) -> Mended:
        with self._place:
            words("It is being worked out.", "quiet")
        try:
            made: Mended = await asyncio.to_thread(reckon)  # type: ignore[arg-type]
        finally:
            self._place.clear()
        return made

    def _offer(self, work: Work, made: Mended, ways: Sequence[tuple[Sequence[Edit], str]]) -> None:
        with self._place:
            with ui.element("dl").classes("figures"):
                for label, figure in mending_rows(made, work.job.units).items():
                    words(label, tag="dt")
                    words(figure, tag="dd")
            for finding in made.new_findings:
                words(finding.on_screen, f"limit {finding.severity}")
            if isinstance(made, Widening) and made.twins:
                words(made.beside_twins, "limit look")
            for edits, way in ways:
                word_button(way, partial(self._make, work, edits), firm=True)

    async def _make(self, work: Work, edits: Sequence[Edit]) -> None:
        if self._page.standing.text != work.job.text:
            self._page.notice("The job has changed since this was worked out: write the length again.")
            return
        try:
            made = await self._page.edit_all(lambda _: list(edits), f"mend-{self._page.standing.number}")
        except CarverError as problem:
            self._page.notice(str(problem))
            return
        if made:
            self._place.clear()
            for field in (self._widen, self._plane):
                field.clear()


def mending_rows(made: Mended, units: Units) -> dict[str, str]:
    """What a way to mend comes to, for label and figure."""

    def length(mm: float | None) -> str:
        return "none" if mm is None else format_length(mm, units, finest=64)

    if isinstance(made, Widening):
        wide = made.figures
        return {
            "Every stroke wider by": length(wide.by_mm),
            "Deepest then": f"{length(wide.depth_mm)} ({length(wide.deeper_mm)} more)",
            "Wood left under it": length(wide.wood_under_mm),
            "Gap before · after, as it stands": f"{length(wide.gap_before_mm)} · {length(wide.gap_after_mm)}",
            "Gap before · after, set out anew": f"{length(made.gap_before_mm)} · {length(made.gap_after_mm)}",
        }
    plane = made.figures
    left = [depth for depth in plane.depths_mm if depth > 0]
    rows = {
        "Board left": length(plane.thickness_mm),
        "Every stroke narrower by": length(plane.narrower_mm),
        "Grooves deep then": f"{length(min(left, default=0.0))} to {length(max(left, default=0.0))}",
    }
    return rows | ({"Of which nothing is left": str(plane.gone)} if plane.gone else {})


def _more_than_nothing(written: str, units: Units) -> float:
    mm = parse_length(written, units)
    if mm <= 0:
        raise ValueError("It wants a length of more than nothing.")
    return mm
