"""All jobs: a list with pictures; new ones, copies, other titles, the archive; job files in and out."""

from __future__ import annotations

import datetime
import re

from nicegui import ui
from nicegui.elements.mixins.text_element import TextElement
from nicegui.elements.upload_files import FileUpload

from stopcut.app.bring_in import BringIn, text_of_file
from stopcut.app.choices import ChoiceField
from stopcut.app.fields import Field, word_button, words
from stopcut.app.new_job import SIZES, begun, by_day_wanted, is_near, wanted_words
from stopcut.app.open_jobs import OpenJobs
from stopcut.app.select import Select
from stopcut.app.share import share_card
from stopcut.app.wood_list import listed_woods
from stopcut.app.wording import ago, why_refused
from stopcut.errors import CarverError
from stopcut.job.edits import At, Refused, SetKey
from stopcut.job.new import demo_job_text
from stopcut.job.read import parse_job
from stopcut.shop.shop_file import read_shop
from stopcut.shop.woods import woods
from stopcut.store.values import JobEntry

__all__ = ["MOST_JOB_BYTES", "JobsPage", "file_name", "head_of_page"]

USUAL_WOOD = "European lime"
"""What job.new means by lime, with which it begins a board. Common practice: the carver's wood of these islands."""

MOST_JOB_BYTES = 200_000
"""Size of a job file brought in. Our choice: a job is a few thousand characters."""


def head_of_page(title: str, *ways: tuple[str, str]) -> TextElement:
    """The head of a page that is no job's: its title, which is answered, and the ways to other pages."""
    with ui.element("header").classes("head"):
        said = words(title, tag="h1")
        with ui.element("nav").classes("ways").props('aria-label="Other pages"'):
            for text, target in ways:
                with ui.element("a").classes("word").props(f'href="{target}"'):
                    words(text, tag="span")
    return said


class JobsPage:
    """The page with all jobs."""

    def __init__(self, jobs: OpenJobs) -> None:
        self.jobs = jobs
        self.client = ui.context.client
        self._archived = False
        head_of_page("Jobs", ("Class lists", "/classes"), ("Tool roll", "/tools"))
        for said in jobs.store.notices:
            words(said, "notice").props("role=status")
        self._share()
        with ui.element("div").classes("jobs"):
            with ui.element("div").classes("begin"):
                self._new()
                BringIn("Bring in a job file", "A job of stopcut’s (.toml)", ".toml", MOST_JOB_BYTES, self._brought)
            ChoiceField("Show", [("at hand", "at hand"), ("archive", "archive")], "at hand", self._which)
            self._list = ui.element("ul").classes("job-list")
        self.refresh()

    @property
    def window(self) -> str:
        """Which window this is."""
        return self.client.tab_id or self.client.id

    def refresh(self) -> None:
        """Draw the list as the store has it."""
        self._list.clear()
        entries = by_day_wanted(self.jobs.store.jobs(archived=self._archived))
        with self._list:
            for entry, wanted in entries:
                _Entry(self, entry, wanted)
            if not entries and self._archived:
                words("Nothing is in the archive.", "quiet", tag="li")
            elif not entries:
                with ui.element("li").classes("first-job"):
                    words("No job yet. Write the words above, or look round with one that is ready:")
                    word_button("Begin with the gate board of Marrow Lane", self._demo)

    def _share(self) -> None:
        """Where the app is shared: the code for the tablet's camera, the address, and what to mind."""
        card = share_card()
        if card is None:
            return
        with ui.element("section").classes("share").props('aria-label="Shared on this network"'):
            ui.html(card.code_svg, sanitize=False).classes("share-picture")
            with ui.element("div"):
                words(card.says)
                with ui.element("a").classes("word").props(f'href="{card.address}"'):
                    words("Its address, with the key", tag="span")
                words(card.caution, "quiet")

    def _new(self) -> None:
        with ui.element("form").classes("new-job").on("submit.prevent", lambda _: self._make()):
            self._words = Field(
                "Words of a new job",
                "",
                lambda _: None,
                lines=True,
                long=True,
                hint="A line of its own for each line on the board",
            )
            with ui.element("div").classes("new-board"):
                self._title = Field("Title", "", lambda _: None, hint="from its words", says="Title of a new job")
                of = (("width", "Wide"), ("height", "High"), ("thickness", "Thick"))
                self._sizes = {key: Field(label, SIZES["mm"][key], lambda _: None) for key, label in of}
                names = listed_woods({wood.name for wood in (*read_shop().woods, *woods())})
                self._wood = Select("Wood", [(name, name) for name in names], USUAL_WOOD, says="Wood of a new job")
                self._wanted = Field("Wanted", "", lambda _: None, kind="date", says="Day a new job is wanted")
            self._units = ChoiceField("Measure in", [("mm", "mm"), ("in", "inches")], "mm", self._measured)
            word_button("New job", self._make, firm=True)

    def _measured(self, units: str) -> None:
        """The usual sizes in other units, where others have not been written."""
        for before, now in (("mm", "in"), ("in", "mm")):
            for key, field in self._sizes.items():
                if now == units and field.written.strip() == SIZES[before][key]:  # type: ignore[index]
                    field.show(SIZES[now][key])  # type: ignore[index]

    def _make(self) -> None:
        lines = tuple(_tidied(line) for line in self._words.written.splitlines() if line.strip())
        if not lines:
            self._words.fault("Write the words that are to be carved.")
            return
        try:
            board = {key: field.written for key, field in self._sizes.items()}
            board |= {} if self._wood.value == USUAL_WOOD else {"wood": self._wood.value}
            units = self._units.value
            self._begin(begun(lines, units, self._title.written, board, self._wanted.written))  # type: ignore[arg-type]
        except (CarverError, ValueError) as problem:
            self._words.fault(why_refused(problem))

    def _demo(self) -> None:
        self._begin(demo_job_text())

    def _begin(self, text: str) -> None:
        ui.navigate.to(f"/job/{self.jobs.store.new(text, self.window).id}/brief")

    async def _brought(self, file: FileUpload) -> None:
        """A job file comes in as a new job. Files that it names are asked for on its own page."""
        text = text_of_file(await file.read(), file.name)
        parse_job(text, file.name)
        self._begin(text)

    def _which(self, value: str) -> None:
        self._archived = value == "archive"
        self.refresh()


def _tidied(line: str) -> str:
    """A line as it was written or pasted, without spaces that part nothing; a tab parts a name from its year."""
    return "\t".join(" ".join(part.split()) for part in line.split("\t") if part.strip())


class _Entry:
    """One job in the list."""

    def __init__(self, page: JobsPage, entry: JobEntry, wanted: datetime.date | None) -> None:
        self._page, self._entry = page, entry
        self._store = page.jobs.store
        with ui.element("li"):
            with ui.element("a").props(f'href="/job/{entry.id}/setting-out" tabindex=-1').classes("picture") as picture:
                image = ui.element("img").props(f'src="/job/{entry.id}/picture/{entry.number}.png" loading=lazy')
                image.props["alt"] = f"The board: {entry.title}"
                unseen = words("This board cannot be drawn: its page says why.", "quiet")
                unseen.set_visibility(False)
            image.on("error", lambda _: (image.set_visibility(False), unseen.set_visibility(True)))
            picture.props["aria-label"] = f"{entry.title}, setting out"
            with ui.element("h2"), ui.element("a").props(f'href="/job/{entry.id}/brief"'):
                words(entry.title, tag="span")
            today = datetime.datetime.now().date()
            near = wanted is not None and is_near(wanted, today)
            words(wanted_words(wanted, today), "by-hand" if near else "")
            words(f"changed {ago(entry.changed_at)}", "quiet")
            with ui.element("div").classes("doings"):
                word_button("Rename", self._open, says=f"Rename {entry.title}")
                word_button("Duplicate", self._duplicate, says=f"Duplicate {entry.title}")
                with ui.element("a").classes("word") as out:
                    words("Job file", tag="span")
                out.props["href"] = f"/job/{entry.id}/job.toml"
                out.props["download"] = f"{file_name(entry.title)}.toml"
                out.props["aria-label"] = f"Job file of {entry.title}"
                kept = "Take out of the archive" if entry.archived else "Archive"
                word_button(kept, self._archive, says=f"{kept}: {entry.title}")
            self._renaming = ui.element("div")

    def _open(self) -> None:
        """The title to write, or away with it again."""
        if self._renaming.default_slot.children:
            self._renaming.clear()
            return
        with self._renaming:
            field = Field("Title", self._entry.title, self._rename, long=True, says=f"Title of {self._entry.title}")
        field.begin()

    def _rename(self, title: str) -> None:
        if not title.strip():
            raise ValueError("A job has a title: write what the board is for.")
        try:
            self._store.edit(self._entry.id, SetKey(At(), "title", title.strip()), self._page.window)
        except Refused as refused:
            raise ValueError(why_refused(refused)) from None
        self._page.refresh()

    def _duplicate(self) -> None:
        self._store.duplicate(self._entry.id, self._page.window)
        self._page.refresh()

    def _archive(self) -> None:
        self._store.archive(self._entry.id, not self._entry.archived)
        self._page.refresh()


def file_name(title: str) -> str:
    """A title as a file's name: letters, figures and hyphens."""
    return re.sub(r"[^\w]+", "-", title).strip("-").lower()[:60] or "job"
