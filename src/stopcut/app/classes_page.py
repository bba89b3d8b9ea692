"""Class lists: all of them, and one: a board for each learner from one job, seen, mended and printed as one pack."""

from __future__ import annotations

import asyncio
import time
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial

from nicegui import background_tasks, ui

from stopcut.app.choices import ChoiceField
from stopcut.app.class_boards import Boards, ServedBoards, boards_of, learners_pasted, pack_of, text_digest
from stopcut.app.faults_list import FaultsList
from stopcut.app.fields import Field, heading, word_button, words
from stopcut.app.jobs_page import head_of_page
from stopcut.app.open_jobs import OpenJobs, Stopped
from stopcut.app.select import Select
from stopcut.app.wording import ago, why_refused
from stopcut.errors import CarverError
from stopcut.job.new import new_job_text
from stopcut.options.learners import LEVELS
from stopcut.store.values import LearnerEntry
from stopcut.units import format_length

__all__ = ["ClassPage", "ClassesPage"]

TELL_EVERY_S = 0.2
"""How often long work says how far it is. [s] Our choice."""
PAPERS = ("", "A4", "A3", "Letter", "Tabloid")


class ClassesPage:
    """The page with all class lists."""

    def __init__(self, jobs: OpenJobs) -> None:
        self._store = jobs.store
        head_of_page("Class lists", ("All jobs", "/"), ("Tool roll", "/tools"))
        with ui.element("div").classes("class-page"):
            with ui.element("div").classes("begin"), ui.element("div").classes("new-class"):
                self._title = Field("Title of a new class", "", lambda _: None, long=True)
                jobs_now = [(entry.id, entry.title) for entry in self._store.jobs()]
                self._job = Select("Boards made after", [("", "a new board"), *jobs_now])
                word_button("New class", self._begin, firm=True)
            with ui.element("ul").classes("classes"):
                lists = self._store.class_lists()
                for one in lists:
                    with ui.element("li"):
                        with ui.element("h2"), ui.element("a").props(f'href="/class/{one.id}"'):
                            words(one.title, tag="span")
                        count = len(one.learners)
                        learners = "no learner yet" if not count else f"{count} learner{'s' * (count > 1)}"
                        words(f"{learners} · begun {ago(one.made_at)}", "quiet")
                if not lists:
                    words("No class yet: one job, and a name or a word for each learner.", "quiet", tag="li")

    def _begin(self) -> None:
        title = self._title.written.strip()
        if not title:
            self._title.fault("Write what the class is called.")
            return
        try:
            text = self._store.job(self._job.value).text if self._job.value else new_job_text(title, ("NAME",))
            made = self._store.new_class(title, text)
        except CarverError as problem:
            self._title.fault(why_refused(problem))
            return
        ui.navigate.to(f"/class/{made.id}")


@dataclass
class _LearnerRow:
    """What stands on the page for one learner."""

    learner: LearnerEntry
    picture: ui.element
    faults: FaultsList
    element: ui.element


class ClassPage:
    """The page of one class."""

    def __init__(self, jobs: OpenJobs, kept: ServedBoards, class_id: str) -> None:
        self._jobs, self._store, self._kept, self._id = jobs, jobs.store, kept, class_id
        self._rows: dict[str, _LearnerRow] = {}
        self._boards = Boards()
        self._wanted = 0  # raised by every change: what was begun for a smaller number is stale
        self._drawing = 0  # likewise for packs
        self._own_sizes, self._paper = False, ""
        listed = self._store.class_list(class_id)
        self._job_id = listed.job_id
        self._head = head_of_page(listed.title, ("Class lists", "/classes"), ("All jobs", "/"), ("Tool roll", "/tools"))
        with ui.element("div").classes("class-page"):
            with ui.element("div").classes("class-head"):
                Field("Title", listed.title, self._rename, long=True)
                with ui.element("a").classes("word").props(f'href="/job/{listed.job_id}/brief"'):
                    words("The job that all boards are made after", tag="span")
                self._said = words("", "quiet").props("role=status")
                self._job_faults = FaultsList()
            self._list = ui.element("ul").classes("learners").props('aria-label="Learners"')
            with self._list:
                for learner in listed.learners:
                    self._row(learner)
            with ui.element("div").classes("class-foot"):
                self._adding()
                self._pasting()
                self._printing()
            self._tools = ui.element("div")
        self._changed()

    # Learners.

    def _row(self, learner: LearnerEntry) -> None:
        with ui.element("li") as element:
            picture = ui.element("div").classes("learner-picture")
            with ui.element("div").classes("learner-fields"):
                name = learner.name
                Field("Name", name, partial(self._set, learner.id, "name"), says=f"Name of {name}")
                Field("Words", learner.words, partial(self._set, learner.id, "words"), says=f"Words of {name}")
                level = [(one, one) for one in LEVELS]
                Select("Level", level, learner.level, partial(self._set, learner.id, "level"), says=f"Level of {name}")
                hands = [("right", "right"), ("left", "left")]
                Select("Hand", hands, learner.hand, partial(self._set, learner.id, "hand"), says=f"Hand of {name}")
            faults = FaultsList()
            word_button("Take out", partial(self._take_out, learner.id), says=f"Take out {name}")
        self._rows[learner.id] = _LearnerRow(learner, picture, faults, element)

    def _set(self, learner_id: str, key: str, value: str) -> None:
        row = self._rows[learner_id]
        changed = replace(row.learner, **{key: value.strip()})  # type: ignore[arg-type]
        self._store.change_learner(self._id, changed)
        row.learner = changed
        self._changed()

    def _take_out(self, learner_id: str) -> None:
        self._store.remove_learner(self._id, learner_id)
        self._rows.pop(learner_id).element.delete()
        self._changed()

    def _add(self, learner: LearnerEntry) -> None:
        made = self._store.add_learner(self._id, learner)
        with self._list:
            self._row(made)

    def _adding(self) -> None:
        with ui.element("section"):
            heading("Add a learner")
            self._name = Field("Name", "", lambda _: None, says="Name of a new learner")
            self._words = Field("Words", "", lambda _: None, hint="as the name", says="Words of a new learner")
            self._level = Select("Level", [(one, one) for one in LEVELS], says="Level of a new learner")
            self._hand = Select("Hand", [("right", "right"), ("left", "left")], says="Hand of a new learner")
            word_button("Add", self._add_one)
            words("Lines of words are parted by a stroke: HAZEL / Plot 4.", "quiet")

    def _add_one(self) -> None:
        name = self._name.written.strip()
        if not name:
            self._name.fault("Write the learner’s name.")
            return
        said = self._words.written.strip() or name
        hand = "left" if self._hand.value == "left" else "right"
        self._add(LearnerEntry("", name, said, self._level.value, hand))  # type: ignore[arg-type]
        self._name.clear()
        self._words.clear()
        self._name.fault("")
        self._name.input.run_method("focus")
        self._changed()

    def _pasting(self) -> None:
        with ui.element("section"):
            heading("Or paste a list")
            self._pasted = Field(
                "A learner a line: name, words, level, hand",
                "",
                lambda _: None,
                lines=True,
                long=True,
                hint="Hazel, HAZEL, practised, left",
            )
            word_button("Add them all", self._add_all)

    def _add_all(self) -> None:
        try:
            found = learners_pasted(self._pasted.written)
        except ValueError as slips:
            self._pasted.fault(str(slips))
            return
        if not found:
            self._pasted.fault("Write or paste a line for each learner.")
            return
        for learner in found:
            self._add(learner)
        self._pasted.clear()
        self._pasted.fault("")
        self._changed()

    def _rename(self, title: str) -> None:
        if not title.strip():
            raise ValueError("A class has a title.")
        self._store.rename_class(self._id, title.strip())
        self._head.text = title.strip()

    # Boards.

    def _changed(self) -> None:
        """Work the boards out anew; what was under way is stale."""
        self._wanted += 1
        self._drawing += 1
        self._setting_out = background_tasks.create(self._work_out(self._wanted))

    async def _work_out(self, wanted: int) -> None:
        learners = tuple(row.learner for row in self._rows.values())
        self._said.text = "The boards are being set out." if learners else "No learner yet."
        text = self._store.job(self._job_id).text
        progress = self._progress(lambda: wanted == self._wanted, lambda said: None)
        try:
            boards = await asyncio.to_thread(boards_of, text, learners, progress, own_sizes=self._own_sizes)
        except Stopped:
            return
        except CarverError as problem:
            boards = Boards(faults={"": (why_refused(problem),)})
        if wanted == self._wanted:
            self._kept.keep_boards(boards)
            self._boards = boards
            self._show(boards)

    def _show(self, boards: Boards) -> None:
        self._job_faults.say(boards.faults.get("", ()))
        for key, row in self._rows.items():
            row.faults.say([one.replace("a [[line]]", "a line") for one in boards.faults.get(key, ())])
            row.picture.clear()
            member = boards.members.get(key)
            if member is not None:
                with row.picture:
                    image = ui.element("img").props(f'src="/class-board/{text_digest(member.text)}.png" loading=lazy')
                    image.props["alt"] = f"The board of {member.name}: {member.words}"
        self._said.text = _sizes(boards)

    def _progress(self, wanted: Callable[[], bool], says: Callable[[str], None]) -> Callable[[str, float], None]:
        """What a thread says how far it is with; it stops where nobody waits any more."""
        loop, last = asyncio.get_running_loop(), 0.0

        def progress(doing: str, done: float) -> None:
            nonlocal last
            if not wanted():
                raise Stopped
            now = time.monotonic()
            if now - last > TELL_EVERY_S:
                last = now
                loop.call_soon_threadsafe(says, f"{doing}: {done:.0%} done.")

        return progress

    # The pack.

    def _printing(self) -> None:
        with ui.element("section"):
            heading("The pack")
            alike = [("alike", "as high for all"), ("own", "as large as each board has room for")]
            ChoiceField("Letters", alike, "alike", self._set_sizes)
            papers = [(name, name or "usual") for name in PAPERS]
            ChoiceField("On paper", papers, "", self._set_paper)
            word_button("Draw the pack", self._draw, firm=True)
            self._stop = word_button("Stop", self._stop_drawing)
            self._stop.set_visibility(False)
            self._doing = words("", "quiet").props("role=status")
            self._take = ui.element("div").classes("class-pack")

    def _set_sizes(self, value: str) -> None:
        self._own_sizes = value == "own"
        self._changed()

    def _set_paper(self, value: str) -> None:
        self._paper = value

    def _stop_drawing(self) -> None:
        self._drawing += 1
        self._done("Stopped.")

    def _done(self, said: str) -> None:
        self._stop.set_visibility(False)
        self._doing.text = said

    async def _draw(self) -> None:
        self._drawing += 1
        drawing = self._drawing
        self._take.clear()
        self._tools.clear()
        self._stop.set_visibility(True)
        self._doing.text = "The pack is being drawn."
        await asyncio.wait({self._setting_out})
        if drawing != self._drawing:
            return
        boards = self._boards

        def says(said: str) -> None:
            if drawing == self._drawing:
                self._doing.text = said

        progress = self._progress(lambda: drawing == self._drawing, says)
        title = self._store.class_list(self._id).title
        try:
            pack = await asyncio.to_thread(pack_of, title, boards, progress, self._paper or None)
        except Stopped:
            return
        except (CarverError, ValueError) as problem:
            self._done(why_refused(problem))
            return
        if drawing != self._drawing:
            return
        left = len(self._rows) - len(boards.members)
        self._done(f"Without {left} whose board{'s' * (left > 1)} cannot be made yet." if left else "")
        name = self._kept.keep_pack(pack)
        with self._take:
            for kind, said in (("pdf", "The pack, to print (PDF)"), ("zip", "With every job file (ZIP)")):
                with ui.element("a").classes("word").props(f'href="/class-pack/{name}/class.{kind}" download'):
                    words(said, tag="span")
        with self._tools:
            self._show_tools([(n.name, n.learners, n.at_once, n.there_are, n.short) for n in pack.tools])
            if any(need.there_are is None for need in pack.tools):
                words("Nobody has counted the published tools: note your own on the tool roll.", "quiet")

    @staticmethod
    def _show_tools(rows: list[tuple[str, int, int, int | None, int]]) -> None:
        with ui.element("table").classes("needs"):
            words("Tools needed, if all begin together", "quiet", tag="caption")
            with ui.element("tr"):
                for head in ("Tool", "Learners", "At once", "There are", "Short by"):
                    words(head, tag="th").props("scope=col")
            for name, users, at_once, there_are, short in rows:
                with ui.element("tr"):
                    words(name, tag="th").props("scope=row")
                    there = "–" if there_are is None else str(there_are)
                    for said in (str(users), str(at_once), there):
                        words(said, tag="td")
                    words(str(short) if short else "", "by-hand", tag="td")


def _sizes(boards: Boards) -> str:
    """What is to be said of the letters' height."""
    made = boards.made
    if made is None or not made.members:
        return ""
    if made.cap_height_mm is None:
        return "Each board’s letters have their own height."
    units = made.members[0].work.job.units
    said = f"Letters {format_length(made.cap_height_mm, units)} high for all, by the words of {made.longest}."
    if made.without_longest_mm is None or made.without_longest_mm - made.cap_height_mm < 0.5:
        return said
    return f"{said} Without them: {format_length(made.without_longest_mm, units)}."
