"""What else stands on the board: drawings, a border, and places to keep clear of."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial

from nicegui import ui
from nicegui.elements.upload_files import FileUpload

from stopcut.app.brief_job import job_now, make, set_value
from stopcut.app.bring_in import BringIn
from stopcut.app.choices import ChoiceField
from stopcut.app.fields import Field, column, heading, word_button, words
from stopcut.app.free_place import free_place
from stopcut.app.job_page import JobPage
from stopcut.app.uploads import MOST_ORNAMENT_BYTES, take_ornament
from stopcut.app.wording import as_written
from stopcut.job.edit_values import AddTable, At, RemoveTable
from stopcut.job.job import Avoid, Border, Job, Ornament
from stopcut.shape.outline import Bounds
from stopcut.units import format_length
from stopcut.written.literals import literal

__all__ = ["BriefDrawn"]

AT_THE_END = 10_000
"""A place in a list that is beyond its last: a new table is put there."""
KNOT_MM = 8.0
"""Radius of a knot that is noted without a measure. Our choice: a finger's breadth across."""
PATCH_MM = 30.0
"""Side of a patch to keep clear of. Our choice."""
BORDERS_ROOM = 7.0
"""How far in a border keeps others away, in breadths of its stroke. Our choice: two lines, hollow corners and air."""
STROKE = {"mm": "4 mm", "in": "1/8 in"}
"""Breadth of a new border's stroke. Our choice: a common V-tool's cut."""

_ORNAMENT = (("x", "From the left"), ("y", "From below"), ("width", "Width"), ("turn", "Turn, degrees"))
_KNOT = (("x", "From the left"), ("y", "From below"), ("radius", "Radius"))
_PATCH = (("x", "From the left"), ("y", "From below"), ("width", "Width"), ("height", "Height"))


@dataclass
class _DrawnRow:
    """The fields of one ornament or one place to avoid, by key."""

    fields: Mapping[str, Field]
    carve: ChoiceField | None = None


class BriefDrawn:
    """The columns of drawings and of the border and what is to be avoided."""

    def __init__(self, page: JobPage) -> None:
        self._page = page
        self._ornaments: dict[tuple[str, int], _DrawnRow] = {}
        self._avoid: dict[tuple[str, int], _DrawnRow] = {}
        self._of_ornaments: tuple[str, ...] = ()
        self._of_avoid: tuple[str, ...] = ()
        self._border: Border | None = None
        with column("Ornaments") as made:
            made.classes("brief-ornaments")
            self._place = ui.element("div")
            BringIn("Bring in a drawing", "Closed shapes (SVG)", ".svg", MOST_ORNAMENT_BYTES, self._brought)
        with column("Border") as made:
            made.classes("brief-border")
            on = [("none", "none"), ("ruled", "ruled round the board")]
            self._has_border = ChoiceField("Border", on, "none", self._set_border, quiet=True)
            self._border_place = ui.element("div")
            heading("Keep clear of")
            self._avoid_place = ui.element("div")
            word_button("A knot", lambda: self._add_avoid(round_=True), says="Note a knot to keep clear of")
            word_button("A patch", lambda: self._add_avoid(round_=False), says="Note a patch to keep clear of")

    def show(self, job: Job) -> None:
        """What stands on the board now."""
        self._show_ornaments(job)
        self._show_border(job)
        self._show_avoid(job)

    # Ornaments.

    def _show_ornaments(self, job: Job) -> None:
        shown = tuple(one.file for one in job.ornaments)
        if shown != self._of_ornaments:
            self._of_ornaments = shown
            self._place.clear()
            with self._place:
                self._ornaments = {(one.file, one.number): self._ornament_row(one) for one in job.ornaments}
        for one in job.ornaments:
            row = self._ornaments[(one.file, one.number)]
            _show_lengths(row.fields, {"x": one.x_mm, "y": one.y_mm, "width": one.width_mm}, job)
            row.fields["turn"].show(f"{one.turn_deg:g}")
            if row.carve is not None:
                row.carve.show(one.carve)

    def _ornament_row(self, one: Ornament) -> _DrawnRow:
        at = At("ornament", one.number, one.file)
        with ui.element("div").classes("thing"):
            words(one.file, "thing-name", tag="h3")
            fields = self._fields(at, _ORNAMENT, one.file)
            ways = [("groove", "carved"), ("none", "drawn only")]
            carve = ChoiceField("It is", ways, one.carve, partial(set_value, self._page, at, "carve"))
            word_button("Take out", partial(self._page.edit, RemoveTable(at)), says=f"Take out {one.file}")
        return _DrawnRow(fields, carve)

    async def _brought(self, file: FileUpload) -> None:
        kept = await take_ornament(file)
        job = job_now(self._page.standing)
        if job is None:
            raise ValueError(f"{kept.name} is kept, but there is no board to put it on: mend the job first.")
        x, y, width = self._free(job, kept.width_mm / kept.height_mm, kept.width_mm)
        toml = _table("ornament", {"file": kept.name, **_written({"x": x, "y": y, "width": width}, job)})
        await make(self._page, AddTable("ornament", AT_THE_END, toml))

    # The border.

    def _show_border(self, job: Job) -> None:
        border = job.border
        self._has_border.show("none" if border is None else "ruled")
        if (border is None) != (self._border is None):
            self._border_place.clear()
            if border is not None:
                with self._border_place:
                    self._build_border(border)
        self._border = border
        if border is not None:
            self._inset.show(format_length(border.inset_mm, job.units))
            self._stroke.show(format_length(border.stroke_mm, job.units))
            self._lines.show(str(border.lines))
            self._corners.show(border.corners)

    def _build_border(self, border: Border) -> None:
        at, page = At("border"), self._page
        self._inset = Field("In from the edge", "", lambda value: set_value(page, at, "inset", as_written(value)))
        self._stroke = Field("Stroke", "", lambda value: set_value(page, at, "stroke", as_written(value)))
        self._lines = ChoiceField(
            "Lines",
            [("1", "one"), ("2", "two")],
            str(border.lines),
            lambda value: set_value(page, at, "lines", int(value)),
        )
        corners = [("square", "square"), ("cut", "cut"), ("hollow", "hollow")]
        self._corners = ChoiceField("Corners", corners, border.corners, partial(set_value, page, at, "corners"))

    async def _set_border(self, value: str) -> None:
        job = job_now(self._page.standing)
        if job is None or (job.border is None) == (value == "none"):
            return
        if value == "none":
            await self._page.edit(RemoveTable(At("border")))
            return
        inset = {"inset": format_length(job.board.margin_mm / 2, job.units), "stroke": STROKE[job.units]}
        await self._page.edit(AddTable("border", 1, _table("border", inset, repeated=False)))

    # What is to be avoided.

    def _show_avoid(self, job: Job) -> None:
        shown = tuple(f"{one.what} {'round' if one.radius_mm is not None else ''}" for one in job.avoid)
        if shown != self._of_avoid:
            self._of_avoid = shown
            self._avoid_place.clear()
            with self._avoid_place:
                self._avoid = {(one.what, n): self._avoid_row(one, n) for n, one in enumerate(job.avoid, 1)}
        for n, one in enumerate(job.avoid, 1):
            sizes = {"x": one.x_mm, "y": one.y_mm}
            sizes |= {"radius": one.radius_mm} if one.radius_mm is not None else {}
            sizes |= {"width": one.width_mm or 0, "height": one.height_mm or 0} if one.radius_mm is None else {}
            row = self._avoid[(one.what, n)]
            _show_lengths(row.fields, sizes, job)

    def _avoid_row(self, one: Avoid, number: int) -> _DrawnRow:
        at = At("avoid", number, one.what)
        with ui.element("div").classes("thing"):
            Field("What", one.what, lambda value: set_value(self._page, at, "what", value.strip()))
            fields = self._fields(at, _KNOT if one.radius_mm is not None else _PATCH, one.what)
            word_button("Take out", partial(self._page.edit, RemoveTable(at)), says=f"Take out {one.what}")
        return _DrawnRow(fields)

    async def _add_avoid(self, round_: bool) -> None:
        job = job_now(self._page.standing)
        if job is None:
            return
        size = 2 * KNOT_MM if round_ else PATCH_MM
        x, y, _ = self._free(job, 1.0, size)
        sizes = {"x": x, "y": y} | ({"radius": KNOT_MM} if round_ else {"width": PATCH_MM, "height": PATCH_MM})
        toml = _table("avoid", {"what": "knot" if round_ else "patch", **_written(sizes, job)})
        await self._page.edit(AddTable("avoid", AT_THE_END, toml))

    # Both.

    def _fields(self, at: At, keys: tuple[tuple[str, str], ...], what: str) -> dict[str, Field]:
        return {
            key: Field(label, "", partial(self._set, at, key), says=f"{what}: {label.lower()}") for key, label in keys
        }

    async def _set(self, at: At, key: str, value: str) -> None:
        await set_value(self._page, at, key, as_written(value))

    def _free(self, job: Job, aspect: float, largest_mm: float) -> tuple[float, float, float]:
        board, margin = job.board, job.board.margin_mm
        if job.border is not None:
            margin = max(margin, job.border.inset_mm + BORDERS_ROOM * job.border.stroke_mm)
        room = Bounds(margin, margin, board.width_mm - margin, board.height_mm - margin)
        work = self._page.work
        taken = [one.bounds_mm for one in work.setting.placed] if work is not None else []
        taken += [one.placed.bounds_mm for one in work.ornaments] if work is not None else []
        return free_place(room, taken, aspect, largest_mm)


def _show_lengths(fields: Mapping[str, Field], sizes: Mapping[str, float], job: Job) -> None:
    for key, mm in sizes.items():
        fields[key].show(format_length(mm, job.units))


def _written(sizes: Mapping[str, float], job: Job) -> dict[str, str]:
    return {key: format_length(mm, job.units) for key, mm in sizes.items()}


def _table(name: str, keys: Mapping[str, str], *, repeated: bool = True) -> str:
    """A table as the job's file has it."""
    head = f"[[{name}]]" if repeated else f"[{name}]"
    return "\n".join(["", head, *(f"{key} = {literal(value)}" for key, value in keys.items()), ""])
