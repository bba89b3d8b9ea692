"""The board of the brief: title, date, sizes, wood and grain; and the job's own file, saved and brought in again."""

from __future__ import annotations

import datetime
from functools import partial

from nicegui import ui
from nicegui.elements.upload_files import FileUpload

from stopcut.app.brief_job import make, set_value
from stopcut.app.bring_in import BringIn, text_of_file
from stopcut.app.choices import ChoiceField
from stopcut.app.fields import Field, column, heading, words
from stopcut.app.job_page import JobPage
from stopcut.app.jobs_page import MOST_JOB_BYTES, file_name
from stopcut.app.select import Select
from stopcut.app.wood_list import listed_woods
from stopcut.app.wording import as_written
from stopcut.job.edit_values import At, ReplaceText
from stopcut.job.job import Job
from stopcut.job.read import parse_job
from stopcut.shop.shop_file import read_shop
from stopcut.shop.woods import woods
from stopcut.units import format_length

__all__ = ["BriefBoard"]

_SIZES = (("width", "Width"), ("height", "Height"), ("thickness", "Thickness"), ("margin", "Margin"))


class BriefBoard:
    """The column of the board."""

    def __init__(self, page: JobPage) -> None:
        self._page = page
        self._shop = read_shop()
        self._names = listed_woods({wood.name for wood in (*self._shop.woods, *woods())})
        with column("Board") as made:
            made.classes("brief-board")
            self._title = Field("Title", "", lambda value: set_value(page, At(), "title", value.strip()), long=True)
            self._wanted = Field("Wanted by", "", self._set_wanted, kind="date")
            self._sizes = {key: Field(label, "", partial(self._set, key)) for key, label in _SIZES}
            self._wood = Field("Wood", "", partial(self._set, "wood"), suggestions=self._names)
            options = self._options("")
            self._table = Select("Of the table", options, "", partial(self._set, "wood"), "A wood of the table")
            self._of_wood = words("", "quiet")
            ways = [("width", "its width"), ("height", "its height")]
            self._grain = ChoiceField("Grain along", ways, "width", partial(self._set, "grain"))
            heading("Job file")
            with ui.element("a").classes("word").props(f'href="/job/{page.job.id}/job.toml"') as self._out:
                words("Save the job file", tag="span")
            BringIn(
                "Bring it in again",
                "In place of this job, which Undo brings back",
                ".toml",
                MOST_JOB_BYTES,
                self._again,
            )

    def show(self, job: Job) -> None:
        """The board as it stands."""
        board = job.board
        self._title.show(job.title)
        self._wanted.show(job.wanted_by.isoformat() if job.wanted_by else "")
        lengths = (board.width_mm, board.height_mm, board.thickness_mm, board.margin_mm)
        for field, mm in zip(self._sizes.values(), lengths, strict=True):
            field.show(format_length(mm, job.units))
        self._wood.show(board.wood)
        answer = self._shop.wood_called(board.wood)
        named = "" if answer.wood is None else answer.wood.name
        self._table.show(self._options(named), named)
        said = answer.findings
        self._of_wood.text = " ".join(one.on_screen for one in said)
        self._grain.show(board.grain)
        self._out.props["download"] = f"{file_name(job.title)}.toml"

    def _options(self, name: str) -> list[tuple[str, str]]:
        """All woods of the table, and none of them where the wood is none."""
        options = [(wood, wood) for wood in self._names]
        return options if name in self._names else [("", "not in the table"), *options]

    async def _set(self, key: str, value: str) -> None:
        written = value.strip() or None if key in ("wood", "grain") else as_written(value)
        await set_value(self._page, At("board"), key, written)

    async def _set_wanted(self, value: str) -> None:
        try:
            day = datetime.date.fromisoformat(value) if value else None
        except ValueError:
            raise ValueError("Write the day as year-month-day: 2027-03-04.") from None
        await set_value(self._page, At(), "wanted_by", day)

    async def _again(self, file: FileUpload) -> None:
        """One step in place of the whole job, which any window may take back."""
        text = text_of_file(await file.read(), file.name)
        parse_job(text, file.name)
        await make(self._page, ReplaceText(text))
