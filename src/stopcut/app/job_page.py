"""One job's page: title, saved state, undo and redo; the sections in the order of the work; the board; the ledge.

The board stays while one goes from section to section: what changes is the ledge under it and what the board lets one
do. A section is a class with a name, a way to build its ledge, and a way to take a new standing.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, Protocol

from nicegui import Client, background_tasks, ui
from nicegui.elements.mixins.text_element import TextElement

from stopcut.app.board.board import BoardElement, Look
from stopcut.app.board_view import centre_lines, groove_view, known_grooves, path_data, setting_view
from stopcut.app.compared import otherwise
from stopcut.app.fields import word_button, words
from stopcut.app.merging_words import MakeEdits
from stopcut.app.open_jobs import OpenJob, OpenJobs, Standing
from stopcut.app.pictures import face_url, tile_url, wood_url
from stopcut.app.wording import day, fault_on_screen, numbered_words, why_refused
from stopcut.errors import CarverError
from stopcut.job.edit_values import At, Edit
from stopcut.job.job import Job, Line
from stopcut.shape.placed import Placed
from stopcut.store.values import Head
from stopcut.work import Work

__all__ = ["JobPage", "PageSection"]


FAULT_OF_OURS = "That did not work, by a fault of stopcut’s own. What the page said was saved is saved."


NEARER = 1.6
"""How many times as near one press looks. Our choice: five presses from a whole board to a serif."""


class PageSection(Protocol):
    """A section of the work: its ledge, and what the board lets one do meanwhile."""

    slug: str
    title: str

    def __init__(self, page: JobPage) -> None: ...

    def build(self) -> None:
        """Fill the ledge (the present slot), and set up the board's look and task."""

    def show(self, standing: Standing) -> None:
        """Take a new standing: once letters stand, again when grooves do, and when something is wrong."""

    def leave(self) -> None:
        """Put away what the section set up."""


class JobPage:
    """What the sections share: the job, this window's edits, the board, the line for notices."""

    def __init__(self, jobs: OpenJobs, job: OpenJob, sections: tuple[type[PageSection], ...], first: str) -> None:
        self.jobs, self.job, self._sections = jobs, job, sections
        self.client: Client = ui.context.client
        self.chosen: list[str] = []
        self._sent_paths: set[str] = set()
        self._view: dict[str, Any] = {}
        self._drawn = (0, "")
        self._lines = False
        self.marks_hidden = False
        self._more: list[dict[str, Any]] = []
        self._more_paths: dict[str, str] = {}
        self._beside, self._other_shown = "nothing", False
        self._head: Head | None = None
        self._on_choose: list[Callable[[list[str]], None]] = []
        self._section_type = next((one for one in sections if one.slug == first), sections[0])
        self._build()
        self._end_watch = job.watch(self._standing)
        self.client.on_delete(self._end_watch)
        self.client.on_exception(self._unforeseen)

    # What sections ask for.

    @property
    def standing(self) -> Standing:
        """The job as it stands."""
        return self.job.standing

    @property
    def work(self) -> Work | None:
        """The work as far as it is known; None before the letters stand for the first time."""
        return self.job.standing.work

    @property
    def right_job(self) -> Job | None:
        """The job as it was last right."""
        return None if self.work is None else self.work.job

    @property
    def window(self) -> str:
        """Which window this is, in the browser's own session: the same after a restart."""
        return self.client.tab_id or self.client.id

    def line_at(self, line: Line) -> At:
        """A line as an edit names it."""
        return At("line", line.number, line.words)

    async def edit(self, edit: Edit, gesture: str = "") -> bool:
        """Make an edit; when this returns it is on disk. A refusal is said on the notice line and answered False."""
        try:
            head = await self.job.edit(edit, self.window, gesture)
        except CarverError as refused:
            self.notice(why_refused(refused))
            self.board_again()
            return False
        self._saved(head)
        return True

    async def edit_all(self, make: Callable[[Job], Sequence[Edit]], gesture: str) -> bool:
        """Make the edits of one movement on the newest job, all of them or none; answers as edit does."""
        try:
            head = await self.job.edits(make, self.window, gesture)
        except CarverError as refused:
            self.notice(why_refused(refused))
            self.board_again()
            return False
        self._saved(head)
        return True

    async def edit_or_raise(self, edit: Edit, gesture: str = "") -> None:
        """Make an edit for a field, which shows a refusal itself. Raises Refused."""
        self._saved(await self.job.edit(edit, self.window, gesture))

    async def change_or_raise(self, change: MakeEdits, gesture: str = "") -> None:
        """The same of the newest text. Raises Refused, Clash."""
        self._saved(await self.job.change(change, self.window, gesture))

    async def undo(self) -> None:
        """Take back this window's own last gesture."""
        await self._go(self.job.undo)

    async def redo(self) -> None:
        """Make it again."""
        await self._go(self.job.redo)

    def notice(self, text: str) -> None:
        """Say something that wants to be seen, under the sections; the next edit takes it away."""
        self._notice.text = text

    def choose(self, keys: list[str]) -> None:
        """Choose letters, here and on the board."""
        self.chosen = list(keys)
        self.board.chosen(keys)
        for heard in self._on_choose:
            heard(self.chosen)

    def on_choose(self, heard: Callable[[list[str]], None]) -> None:
        """Be told which letters are chosen, for as long as the section is open."""
        self._on_choose.append(heard)

    def show_lines(self, on: bool) -> None:
        """Draw centre and corner lines on the board, or leave them away."""
        self._lines = on
        if on and self.work is not None and self.standing.state == "ready" and self._view:
            self._view = {**self._view, "centre": centre_lines(self.work)}
        if self._view:
            self.board.show(self._shown())

    def hide_marks(self, hidden: bool) -> None:
        """Show the findings' marks on the board, or leave them away."""
        self.marks_hidden = hidden
        self.board.pins_shown(not hidden)

    def draw_more(self, placed: Sequence[Placed], what: str) -> None:
        """Draw these outlines on the board besides what is carved, until others, or none, are given."""
        drawn = [
            {"path": one.outline.digest, "matrix": list(one.matrix), "what": what, "carved": False, "name": one.char}
            for one in placed
        ]
        if drawn == self._more:
            return
        self._more = drawn
        self._more_paths = {one.outline.digest: path_data(one.outline) for one in placed}
        self.board_again()

    def hide_board(self, hidden: bool) -> None:
        """Put the board away for a section that shows something else as large, or bring it back."""
        self._board_place.set_visibility(not hidden)

    def beside(self, what: str) -> None:
        """Show the same words below, set otherwise: "equal" gaps, the "face" designer's own, or "nothing"."""
        self._beside = what
        self._draw_beside()

    def look(self, *looks: Look) -> None:
        """How the wood is looked at, on this board and on the one beside it."""
        self.board.look(looks)
        self._other.look([one for one in looks if one != "depth"])

    def board_again(self) -> None:
        """Draw the board as it truly stands: after a refused move."""
        if self._view:
            self.board.show(self._shown())

    # The page itself.

    def _build(self) -> None:
        self._face_style = ui.element("style")
        with ui.element("div").classes("top"):
            self._build_head()
        self._notice = words("", "notice").props("role=alert")
        with ui.element("div").classes("work"):
            with ui.element("div").classes("board-place") as self._board_place:
                self.board = BoardElement(label="The board")
                self.board.on_choose(lambda event: self.choose(list(event.keys)))
                with ui.element("div").classes("other-board") as self._other_place:
                    self._other = BoardElement(label="The same words set otherwise", still=True, figures=False)
                self._other_place.set_visibility(False)
                with ui.element("div").classes("under"):
                    with ui.element("div").classes("doing").props("role=status"):
                        self._under = words("", "quiet")
                        self._stop = word_button("Stop", self._stop_or_go)
                        self._stop.set_visibility(False)
                    word_button("Nearer", lambda: self.board.nearer(NEARER))
                    word_button("Farther", lambda: self.board.nearer(1 / NEARER))
                    word_button("Whole board", self.board.whole)
            self._ledge = ui.element("div").classes("ledge")
        self._waiting: dict[str, TextElement] = self._waiting
        self._open_section(self._section_type)
        ui.keyboard(on_key=self._key, ignore=["input", "select", "textarea"])

    def _build_head(self) -> None:
        with ui.element("header").classes("head"):
            self._title = words("", tag="h1")
            self._state = words("", "state").props("role=status")
            with ui.element("nav").classes("ways").props('aria-label="Changes and jobs"'):
                self._undo = word_button("Undo", self.undo)
                self._redo = word_button("Redo", self.redo)
                ui.element("a").classes("word").props('href="/"').add_slot("default", "All jobs")
        with ui.element("nav").classes("sections").props('aria-label="Sections"'):
            self._links = {one.slug: self._section_link(one) for one in self._sections}

    def _section_link(self, section: type[PageSection]) -> ui.element:
        if not hasattr(self, "_waiting"):
            self._waiting = {}
        with ui.element("a").props(f'href="/job/{self.job.id}/{section.slug}"') as link:
            words(section.title, tag="span")
            self._waiting[section.slug] = words("", "waiting", tag="span")
        link.on("click.prevent", lambda _, section=section: self._go_to(section))
        return link

    def _go_to(self, section: type[PageSection]) -> None:
        ui.navigate.history.push(f"/job/{self.job.id}/{section.slug}")
        self._section.leave()
        self._open_section(section)

    def _open_section(self, section: type[PageSection]) -> None:
        for slug, link in self._links.items():
            if slug == section.slug:
                link.props('aria-current="page"')
            else:
                link.props(remove="aria-current")
        self._on_choose.clear()
        self._ledge.clear()
        self._section = section(self)
        with self._ledge:
            self._section.build()
        if self.standing.state != "coming" or self.work is not None:
            self._section.show(self.standing)

    def _standing(self, standing: Standing) -> None:
        """A new standing: the board first, then the head and the section."""
        drawn = (standing.number, standing.state)
        if standing.work is not None and standing.state in ("letters", "ready") and drawn != self._drawn:
            self._drawn = drawn  # how far the work has come is told again and again, and changes nothing of the board
            self._draw(standing)
        if standing.rest is not None and standing.rest.work is not None and drawn != self._drawn:
            self._drawn = drawn  # the lines that can be set, though one cannot
            self._draw(Standing(standing.number, standing.text, "letters", standing.rest.work))
        self._show_state(standing)
        if standing.state != "coming":  # of what is only being set out there is nothing new to show
            self._section.show(standing)
        if self._head is not None and self._head.number != standing.number:
            background_tasks.create(self.head_changed())

    def _stop_or_go(self) -> None:
        if self.standing.state == "stopped":
            self.job.go_on()
        else:
            self.job.stop()

    def _draw(self, standing: Standing) -> None:
        work = standing.work
        if work is None:
            return
        if standing.state == "letters":
            view = setting_view(work, self._sent_paths)
            view["wood"] = {"url": wood_url(work, self.job.id), "tone": ""}
            # letters of shapes that are known are lit at once, until the grooves come
            view["grooves"] = known_grooves(self._view.get("grooves", []), view)
        else:
            more = groove_view(work, tile_url(self.job.id), self._sent_paths, lines=self._lines)
            if not self._view or self._view.get("number") != standing.number:
                self._draw(Standing(standing.number, standing.text, "letters", work))
            view = {**self._view, **more}
        view["number"] = standing.number
        self._sent_paths.update(view["paths"])
        self._view = view
        self.board.show(self._shown())
        self._draw_beside()

    def _shown(self) -> dict[str, Any]:
        shown = self._view if self._lines else {**self._view, "centre": []}
        if self._more:
            paths = {**shown["paths"], **self._more_paths}
            shown = {**shown, "drawn": [*shown["drawn"], *self._more], "paths": paths}
        return shown

    def _draw_beside(self) -> None:
        work = self.work
        set_otherwise = None if work is None else otherwise(work, self._beside, self._view)
        self._other_place.set_visibility(set_otherwise is not None)
        if self._other_shown != (set_otherwise is not None):
            self._other_shown = set_otherwise is not None
            self.client.run_javascript(
                "setTimeout(() => dispatchEvent(new Event('resize')))"
            )  # both boards share the room
        if set_otherwise is not None:
            self._other.show(set_otherwise)

    def _show_state(self, standing: Standing) -> None:
        job = self.right_job
        if job is None:
            self._title.text = "A job to mend"
        else:
            self._title.text = job.title
            line = job.lines[0]
            self._face_style.props["innerHTML"] = (
                f'@font-face{{font-family:"job-face";src:url("{face_url(line.face, line.weight)}")}}'
            )
        waiting = (
            sum(cause.counts for cause in standing.work.causes)
            if (standing.work is not None and standing.state == "ready")
            else 0
        )
        if "groove" in self._waiting and standing.state == "ready":
            self._waiting["groove"].text = str(waiting) if waiting else ""
        self._under.text = {
            "letters": "The grooves are on their way. " + _doing(standing),
            "coming": "The board is being worked out. " + _doing(standing),
            "stopped": "Stopped: the grooves shown are not of these words.",
            "wrong": "",
            "ready": "",
        }[standing.state]
        self._stop.set_visibility(bool(standing.doing) or standing.state == "stopped")
        self._stop.text = "Go on" if standing.state == "stopped" else "Stop"
        if standing.state == "wrong":
            self.notice(_wrong(standing))

    def _saved(self, head: Head) -> None:
        self._head = head
        told = self.standing
        self._notice.text = _wrong(told) if told.state == "wrong" and told.number == head.number else ""
        saved = f"saved {head.made_at.astimezone():%H:%M}"
        job = self.right_job
        wanted = f" · wanted by {day(job.wanted_by)}" if job is not None and job.wanted_by else ""
        self._state.text = saved + wanted
        self._state.props["data-revision"] = head.number
        for button, can in ((self._undo, head.can_undo), (self._redo, head.can_redo)):
            if can:
                button.props(remove="disabled")
            else:
                button.props("disabled")

    async def opened(self) -> None:
        """The window is there: work the job out, and say what is saved."""
        await self.job.load()
        if self.standing.state != "coming" or self.work is not None:
            self._standing(self.standing)
        self._saved(await self.job.head(self.window))

    async def head_changed(self) -> None:
        """Another window has changed the job: what can be undone here may be another thing now."""
        self._saved(await self.job.head(self.window))

    async def _go(self, way: Callable[[str], Any]) -> None:
        try:
            self._saved(await way(self.window))
        except CarverError as refused:
            self.notice(why_refused(refused))

    def _unforeseen(self, problem: Exception) -> None:
        """Something went wrong where nothing was to: the carver is told, the log has the rest."""
        ours = isinstance(problem, CarverError) or (isinstance(problem, ValueError) and str(problem).endswith("."))
        self.notice(why_refused(problem) if ours else FAULT_OF_OURS)

    async def _key(self, event: Any) -> None:
        if not event.action.keydown or not (event.modifiers.ctrl or event.modifiers.meta):
            return
        if event.key == "z" and not event.modifiers.shift:
            await self.undo()
        elif event.key in ("y", "Z") or (event.key == "z" and event.modifiers.shift):
            await self.redo()


def _wrong(standing: Standing) -> str:
    """What is wrong with a job, in words."""
    return numbered_words([fault_on_screen(fault) for fault in standing.faults])


def _doing(standing: Standing) -> str:
    return f"{standing.doing}: {standing.done:.0%} done." if standing.doing else ""
