"""The tool roll: tools that plans are made for, measured from their stab marks; sheets to measure and practise by."""

from __future__ import annotations

import asyncio
import datetime
import math
from collections.abc import Awaitable, Callable, Mapping
from functools import partial

from nicegui import ui

from stopcut.app.choices import ChoiceField
from stopcut.app.faults_list import FaultsList
from stopcut.app.fields import Field, heading, word_button, words
from stopcut.app.jobs_page import file_name, head_of_page
from stopcut.app.open_jobs import OpenJobs, job_of
from stopcut.app.select import Select
from stopcut.app.wording import as_written, why_refused
from stopcut.errors import CarverError, WrongJob
from stopcut.job.read import parse_job
from stopcut.shop.roll import read_roll
from stopcut.shop.roll_file import Own, add_tool, change_tool, own_roll, remove_tool, with_published
from stopcut.shop.shop_file import read_shop
from stopcut.shop.tools import TOOL_KINDS, Tool, measured_radius_mm, rise_mm
from stopcut.units import Units, format_length, parse_length
from stopcut.work import Work
from stopcut.written.literals import Value

__all__ = ["ToolsPage", "practice_sheet"]

KINDS = tuple((kind, f"{kind} tool" if kind == "parting" else kind) for kind in TOOL_KINDS)
CURVED = ("gouge", "fishtail")
HOW = (
    "Press a gouge upright into scrap. Its width is from corner to corner of the mark; its rise is how far the middle "
    "of the mark stands from the straight line between the corners. Makers number their sweeps differently, so the "
    "mark is believed, not the number."
)


class ToolsPage:
    """The page with the tool roll."""

    def __init__(self, jobs: OpenJobs) -> None:
        self._jobs = jobs
        self._units: Units = "mm"
        self._form: _ToolForm | None = None
        head_of_page("Tool roll", ("All jobs", "/"), ("Class lists", "/classes"))
        with ui.element("div").classes("roll-page"):
            self._about = words("", "roll-about")
            self._wrong = FaultsList()
            with ui.element("div").classes("roll-ways"):
                self._add = word_button("Add a tool", partial(self._open, None, None), firm=True)
                self._both = ui.element("div")
            self._place = ui.element("div")
            self._own_list = ui.element("ul").classes("roll").props('aria-label="Your tools"')
            self._published_head = words("Published: common practice; measure your own", "roll-head", tag="h2")
            self._published = ui.element("ul").classes("roll").props('aria-label="Published tools"')
            self._sheets()
        self.refresh()

    def refresh(self) -> None:
        """Draw the roll as its file has it."""
        self._wrong.say(())
        for place in (self._both, self._place, self._own_list, self._published):
            place.clear()
        try:
            own = own_roll()
        except CarverError as wrong:
            self._say_wrong(wrong)
            return
        self._units = own.units
        shown = [tool for tool in read_roll().tools if not tool.measured]
        self._about.text = (
            f"Plans are made for your own {_so_many(own.tools)}" + (" and the published ones below." if shown else ".")
            if own.tools
            else "You have noted no tool yet: plans are made for the published ones."
        )
        with self._own_list:
            for number, tool in enumerate(own.tools, 1):
                self._row(tool, number)
        self._add.set_visibility(True)
        self._published_head.set_visibility(bool(shown))
        with self._published:
            for tool in shown:
                self._row(tool, 0)
        if own.tools:
            self._offer_published(own)

    def _say_wrong(self, wrong: CarverError) -> None:
        self._about.text = "The file tools.toml is wrong. Mend it by hand; nothing is changed here until then."
        faults = [str(fault) for fault in wrong.faults] if isinstance(wrong, WrongJob) else [str(wrong)]
        self._wrong.say(faults)
        self._add.set_visibility(False)
        self._published_head.set_visibility(False)

    def _offer_published(self, own: Own) -> None:
        def chosen(value: str) -> None:
            with_published(value == "both")
            self.refresh()

        with self._both:
            ways = [("both", "yours and the published"), ("own", "yours alone")]
            ChoiceField("Plan with", ways, "both" if own.published else "own", chosen)

    def _row(self, tool: Tool, number: int) -> None:
        """A tool; number is its place among one's own, 0 for a published one."""
        units = self._units
        with ui.element("li"):
            words(tool.name, "roll-name", tag="h3")
            words(_shape(tool, units), "roll-shape")
            words(_ground(tool), "quiet")
            with ui.element("div").classes("roll-doings"):
                if number:
                    word_button("Change", partial(self._open, tool, number), says=f"Change {tool.name}")
                    word_button("Take out", partial(self._take_out, tool, number), says=f"Take out {tool.name}")
                else:
                    word_button("Measure yours", partial(self._open, tool, None), says=f"Measure your {tool.name}")

    def _take_out(self, tool: Tool, number: int) -> None:
        try:
            remove_tool(number, tool.name)
        except (CarverError, ValueError) as problem:
            self._about.text = why_refused(problem)
            return
        self.refresh()

    def _open(self, tool: Tool | None, number: int | None) -> None:
        self._place.clear()
        with self._place:

            def done(values: Mapping[str, Value | None]) -> None:
                if number is None or tool is None:
                    add_tool(values, self._units)
                else:
                    change_tool(number, tool.name, values)
                self.refresh()

            self._form = _ToolForm(tool, self._units, done, self._place.clear)

    # Sheets.

    def _sheets(self) -> None:
        with ui.element("section").classes("roll-sheets"):
            with ui.element("div"):
                heading("Sheet of arcs, to lay a gouge against")
                for units, word in (("mm", "in millimetres"), ("in", "in inches")):
                    with ui.element("a").classes("word").props(f'href="/tools/arcs.pdf?units={units}" download'):
                        words(f"Arcs {word}", tag="span")
                words("Print at actual size (100 %), and measure both bars.", "quiet")
            with ui.element("div"):
                heading("Practice sheet")
                entries = [(entry.id, entry.title) for entry in self._jobs.store.jobs()]
                if not entries:
                    words("Begin a job: its face, size and walls are practised.", "quiet")
                    return
                self._job = Select("Letters as in", entries)
                self._letters = Field("Strokes of these letters", "", lambda _: None, hint="ERS")
                word_button("Practice sheet", partial(self._practise, False))
                word_button("A to Z by difficulty", partial(self._practise, True))
                self._doing = words("", "quiet").props("role=status")

    async def _practise(self, alphabet: bool) -> None:
        letters = "".join(self._letters.written.split())
        if not alphabet and not letters:
            self._letters.fault("Write the letters whose strokes are to be practised.")
            return
        self._letters.fault("")
        entry = self._jobs.store.job(self._job.value)
        self._doing.text = "The sheet is being drawn."
        try:
            pdf = await asyncio.to_thread(practice_sheet, entry.text, None if alphabet else letters)
        except CarverError as problem:
            self._doing.text = f"Not drawn: {why_refused(problem)}"
            return
        self._doing.text = ""
        ui.download.content(pdf, f"{file_name(entry.title)}-practice.pdf", "application/pdf")


class _ToolForm:
    """What is written of one tool, and its circle at once."""

    def __init__(
        self,
        tool: Tool | None,
        units: Units,
        done: Callable[[Mapping[str, Value | None]], Awaitable[None] | None],
        away: Callable[[], object],
    ) -> None:
        self._units, self._done, self._tool = units, done, tool
        self._kind = tool.kind if tool else "gouge"
        with ui.element("section").classes("tool-form").props('aria-label="A tool"'):
            ChoiceField("Kind", list(KINDS), self._kind, self._of_kind)
            self._name = Field("Name", tool.name if tool else "", lambda _: None, long=True)
            with ui.element("div").classes("tool-fields"):
                width = format_length(tool.width_mm, units) if tool else ""
                rise = _rise(tool, units) if tool else ""
                self._width = Field("Width of the mark", width, lambda _: None)
                with ui.element("div") as self._curve:
                    self._rise = Field("Rise of the mark", rise, lambda _: None)
                    self._circle = words("", "quiet").props("role=status")
                with ui.element("div") as self._between:
                    angle = f"{tool.angle_deg:g}" if tool and tool.angle_deg else "60"
                    self._angle = Field("Between its blades, degrees", angle, lambda _: None)
                self._edge = Field("Edge, degrees", f"{tool.edge_deg:g}" if tool else "25", lambda _: None)
                self._count = Field("How many", f"{tool.count}" if tool else "1", lambda _: None)
                self._number = Field("Maker’s number", tool.number if tool else "", lambda _: None)
            ways = [("double", "both sides"), ("single", "one side")]
            self._bevel = ChoiceField("Ground on", ways, tool.bevel if tool else "double", lambda _: None)
            words(HOW, "quiet")
            self._faults = FaultsList()
            with ui.element("div").classes("ends"):
                word_button("Keep this tool", self._keep, firm=True)
                word_button("Leave it", away)
        for field in (self._width, self._rise):
            field.on_written(self._round)
        self._of_kind(self._kind)
        self._name.begin()

    def _of_kind(self, kind: str) -> None:
        self._kind = kind  # type: ignore[assignment]
        self._curve.set_visibility(kind in CURVED)
        self._between.set_visibility(kind == "parting")
        self._round()

    def _round(self) -> None:
        """The circle of the mark that is written, as soon as it can be told."""
        try:
            width, rise = (parse_length(_plain(field.written), self._units) for field in (self._width, self._rise))
            radius = measured_radius_mm(width, rise)
        except ValueError:
            self._circle.text = "The radius is worked out from width and rise: w²/8h + h/2."
            return
        if math.isinf(radius):
            self._circle.text = "A straight edge."
        elif 2 * rise > width:
            self._circle.text = "The mark rises more than half its width: measure it again."
        else:
            self._circle.text = f"Part of a circle of {format_length(radius, self._units)} radius."

    async def _keep(self) -> None:
        curved, parting = self._kind in CURVED, self._kind == "parting"
        values: dict[str, Value | None] = {
            "name": self._name.written.strip(),
            "kind": self._kind,
            "width": _plain(self._width.written),
            "rise": (_plain(self._rise.written) or None) if curved else None,
            "radius": None,
            "count": _unless(self._count.written, 1),
            "bevel": None if self._bevel.value == "double" else self._bevel.value,
            "edge": _unless(self._edge.written, 25),
            "angle": as_written(self._angle.written) if parting else None,
            "number": self._number.written.strip() or None,
        }
        self._faults.say(())
        try:
            answer = self._done(values)
            if answer is not None:
                await answer
        except (CarverError, ValueError) as problem:
            self._faults.say(_reasons(problem))


def practice_sheet(text: str, letters: str | None) -> bytes:
    """The practice sheet of these letters in a job's face, size and walls; of A to Z by difficulty for None.

    Raises CarverError.
    """
    from stopcut.options.difficulty import counting, letters_of, strokes_of
    from stopcut.options.exercises import stroke_exercises
    from stopcut.options.practice_job import ALPHABET, practice_text
    from stopcut.sheets.alphabet import alphabet_pdf
    from stopcut.sheets.practice import practice_pdf

    whole = Work(job_of(text), read_shop())
    job = parse_job(practice_text(whole, letters or ALPHABET), base_folder=whole.job.base_folder)
    work = Work(job, whole.shop)
    plan = work.plan("reading", read_roll())
    day = datetime.date.today()
    if letters is None:
        return alphabet_pdf(work, letters_of(work, plan), counting(), None, issued=day)
    return practice_pdf(work, plan, stroke_exercises(strokes_of(work, plan)), None, issued=day)


def _plain(written: str) -> str | int | float:
    found = as_written(written)
    return "" if found is None else found


def _unless(written: str, usual: int) -> Value | None:
    found = as_written(written)
    return None if found == usual else found


def _reasons(problem: Exception) -> list[str]:
    if not isinstance(problem, WrongJob):
        return [str(problem)]
    return [f"{_of_key(fault.key)}: {fault.found}; {fault.remedy}." for fault in problem.faults]


def _of_key(key: str) -> str:
    last = key.rpartition(".")[2] if "." in key.rpartition("]")[2] else ""
    return {"name": "Name", "width": "Width", "rise": "Rise", "count": "How many", "edge": "Edge"}.get(
        last, "This tool"
    )


def _so_many(tools: tuple[Tool, ...]) -> str:
    count = sum(tool.count for tool in tools)
    return "tool" if count == 1 else f"{count} tools"


def _rise(tool: Tool, units: Units) -> str:
    if tool.straight:
        return ""
    rise = rise_mm(tool.width_mm, tool.radius_mm)
    return f"{rise:.2f}".rstrip("0").rstrip(".") + " mm" if units == "mm" else format_length(rise, units, finest=64)


def _shape(tool: Tool, units: Units) -> str:
    """A tool's edge in words and figures."""
    said = f"{'parting tool' if tool.kind == 'parting' else tool.kind}, {format_length(tool.width_mm, units)} wide"
    if not tool.straight:
        said += f", rise {_rise(tool, units)}, radius {format_length(tool.radius_mm, units)}"
    if tool.angle_deg:
        said += f", {tool.angle_deg:g}° between its blades"
    return said + (f" · {tool.count} of them" if tool.count > 1 else "")


def _ground(tool: Tool) -> str:
    number = f" · maker’s number {tool.number}" if tool.number else ""
    return f"{tool.bevel} bevel, edge {tool.edge_deg:g}°{number}"
