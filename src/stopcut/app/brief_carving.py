"""Faces compared for carving, on the brief: worked out when it is asked for, one face after another, and shown as each
is done. It can be stopped, and stops by itself where the words change or the page is left."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Callable, Sequence

from nicegui import background_tasks, ui

from stopcut.app.at_bench.asked import PlanAsked
from stopcut.app.at_bench.routes import weighed_letters
from stopcut.app.fields import word_button, words
from stopcut.app.job_page import JobPage
from stopcut.app.open_jobs import Standing, Stopped
from stopcut.app.wording import hours, why_refused
from stopcut.errors import CarverError
from stopcut.job.edits import At, SetKey, apply
from stopcut.lettering.faces import Face
from stopcut.lettering.installed import face_key
from stopcut.options.faces_compared import CarvedBy, Compared, compared
from stopcut.shop.rates import read_times
from stopcut.shop.roll import read_roll
from stopcut.units import Units, format_length
from stopcut.work import Work

__all__ = ["BriefCarving", "carving_words"]

FAULT_OF_OURS = "could not be worked out, by a fault of stopcut’s own"


class BriefCarving:
    """The press, how far it has come, and the figures; say is handed a family and its words, "" to take them away."""

    def __init__(self, page: JobPage, say: Callable[[str, str], None]) -> None:
        self._page, self._say = page, say
        self._faces: Sequence[Face] = ()
        self._waits = False  # for the board to be worked out: it was asked for before
        self._wanted = 0  # raised by every press, stop and change of words: what was begun for a lesser one ends
        self._of = ""  # the job, whatever its face, that the figures shown are of
        with ui.element("div").classes("carving-compared"):
            self._press = word_button("Compare them for carving", self._begin)
            self._stop = word_button("Stop", self._ended)
            self._stop.set_visibility(False)
            self._status = words("", "quiet").props("role=status")
        page.client.on_delete(self.stop)

    def show(self, faces: Sequence[Face], standing: Standing) -> None:
        """The faces that there are, and the job as it stands: figures of other words are taken away."""
        self._faces = faces
        if self._of and self._of != _but_for_its_face(standing.text):
            self._ended()
            self._of = self._status.text = ""
            for face in faces:
                self._say(face.family, "")
        if self._waits and standing.state != "letters":
            self._begin()

    def stop(self) -> None:
        """Leave off what is under way."""
        self._waits = False
        self._wanted += 1

    def _ended(self) -> None:
        self.stop()
        self._press.set_visibility(True)
        self._stop.set_visibility(False)
        if self._of:
            self._status.text = "Stopped."

    def _begin(self) -> None:
        standing = self._page.standing
        self._waits = standing.state in ("coming", "letters") or not self._faces
        if self._waits:
            self._status.text = "The board itself is worked out first."
            return
        if standing.state != "ready" or standing.work is None:
            self._status.text = "Mend the job first."
            return
        self._wanted += 1
        self._of = _but_for_its_face(standing.text)
        self._press.set_visibility(False)
        self._stop.set_visibility(True)
        background_tasks.create(self._compare(standing.work, self._wanted))

    async def _compare(self, work: Work, wanted: int) -> None:
        families = _in_turn(self._faces, work.job.lines[0].face)
        self._status.text = f"Working out {families[0]}, 1 of {len(families)}."
        try:
            at_bench, skill = await asyncio.to_thread(self._at_bench)
        except CarverError as problem:
            self._ended()
            self._status.text = str(problem)
            return
        quickest: Compared | None = None
        for number, family in enumerate(families, 1):
            self._status.text = f"Working out {family}, {number} of {len(families)}."
            try:
                made = await asyncio.to_thread(self._compared, work, family, at_bench, wanted)
                said = carving_words(made, work.job.units)
                quickest = min((one for one in (quickest, made) if one), key=lambda one: one.minutes.likely)
            except Stopped:
                return
            except CarverError as problem:
                said = why_refused(problem)
            except Exception:  # a fault of ours in one face: the others are told all the same
                logging.getLogger("stopcut").exception("a face could not be compared")
                said = FAULT_OF_OURS
            if wanted != self._wanted:
                return
            self._say(family, said)
        self._ended()
        self._status.text = _about(work, skill, quickest)

    def _compared(self, work: Work, family: str, at_bench: CarvedBy, wanted: int) -> Compared:
        def progress(_doing: str, _done: float) -> None:
            if wanted != self._wanted:
                raise Stopped

        return compared(work, family, at_bench, progress)

    def _at_bench(self) -> tuple[CarvedBy, str]:
        """As the Bench section plans: with the tools, the hand and the timed letters of there."""
        store, job_id = self._page.jobs.store, self._page.job.id
        asked = PlanAsked.of(store.bench_choice(job_id))
        logged = weighed_letters(store, asked.skill).counted
        rates = read_times().rates
        return CarvedBy(read_roll(), asked.skill, asked.within, asked.only, rates, logged), asked.skill


def carving_words(made: Compared, units: Units) -> str:
    """What a face comes to: "4 h 03 · thinnest 1.6 mm · riskiest M · 4 tools"."""
    said = [hours(round(made.minutes.likely))]
    if made.thinnest_mm is not None:
        said.append(f"thinnest {format_length(made.thinnest_mm, units, finest=64)}")
    if made.riskiest is not None:
        said.append(f"riskiest {made.riskiest.char}")
    said.append(f"{made.tools} tool{'s' * (made.tools != 1)}")
    if made.without:
        said.append(f"{made.without} cuts have no tool")
    if not made.fits:
        said.append("does not fit at this size")
    return " · ".join(said)


def _in_turn(faces: Sequence[Face], own: str) -> list[str]:
    """The families to compare: the job's own first, then those that come with stopcut."""
    mine = [face.family for face in faces if face_key(face.family) == face_key(own)]
    others = [face.family for face in faces if face.origin == "packaged" and face.family not in mine]
    return [*mine, *others]


def _about(work: Work, skill: str, quickest: Compared | None) -> str:
    heights = dict.fromkeys(format_length(line.cap_height_mm, work.job.units) for line in work.setting.lines)
    hand = {"first board": "a first board", "practised": "a practised hand", "daily": "a daily hand"}[skill]
    begun = f"For these words with capitals {' and '.join(heights)} high, {hand}."
    return begun if quickest is None else f"{begun} The quickest is {quickest.family}."


def _but_for_its_face(text: str) -> str:
    """A job's text, the same whichever face it names."""
    try:
        return apply(SetKey(At("lettering"), "face", "any"), text).text
    except CarverError:
        return text
