"""The lines of a long list as a table: twenty at once, words written in it, lines moved by drag, key or press.

A row shows what stands before the tab and what after it. Its number is its handle: pressed it chooses the line, dragged
it moves it, and the arrow keys move it line by line.
"""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Collection
from dataclasses import dataclass
from functools import partial

from nicegui import ui
from nicegui.elements.mixins.text_element import TextElement
from nicegui.events import GenericEventArguments

from stopcut.app.brief_job import make
from stopcut.app.fields import Field, word_button, words
from stopcut.app.job_page import JobPage
from stopcut.job.edit_values import At, MoveTable, SetWords
from stopcut.job.job import Job

__all__ = ["AT_ONCE", "LinesTable"]

AT_ONCE = 20
"""Lines shown at once. Our choice: as many rows as the height of a small desk window has room for."""

_KEYS = """(e) => {
  const by = { ArrowUp: -1, ArrowDown: 1 }[e.key];
  if (!by || e.ctrlKey || e.metaKey) return;
  e.preventDefault();
  emit({ by });
}"""
_DRAG = """(e) => {
  if (e.button) return;
  const handle = e.currentTarget, from = handle.closest("[data-slot]"), table = from.parentElement;
  const rowAt = (event) => {
    const row = document.elementFromPoint(event.clientX, event.clientY)?.closest("[data-slot]");
    return row?.parentElement === table && !row.hidden ? row : null;
  };
  const clear = () => table.querySelectorAll(".goes, .to").forEach((row) => row.classList.remove("goes", "to"));
  const move = (event) => {
    const to = rowAt(event);
    clear();
    if (to && to !== from) { from.classList.add("goes"); to.classList.add("to"); }
  };
  const stop = (event) => {
    handle.removeEventListener("pointermove", move);
    handle.removeEventListener("pointerup", stop);
    handle.removeEventListener("pointercancel", stop);
    clear();
    const to = event.type === "pointerup" ? rowAt(event) : null;
    if (!to || to === from) return;
    const still = (click) => click.stopImmediatePropagation();
    handle.addEventListener("click", still, { capture: true });
    setTimeout(() => handle.removeEventListener("click", still, { capture: true }));
    emit({ by: Number(to.dataset.slot) - Number(from.dataset.slot) });
  };
  handle.setPointerCapture(e.pointerId);
  handle.addEventListener("pointermove", move);
  handle.addEventListener("pointerup", stop);
  handle.addEventListener("pointercancel", stop);
}"""
"""Follows the handle until it is let go, and tells by how many rows it went. Rows stay until it is kept."""


@dataclass
class _TableLine:
    """A row of the table, and the words of its line as they were last shown."""

    place: ui.element
    handle: TextElement
    first: Field
    second: Field
    saw: str = ""


class LinesTable:
    """The table. choose is told the number of a line whose handle is pressed."""

    def __init__(self, page: JobPage, choose: Callable[[int], Awaitable[None]]) -> None:
        self._page = page
        self._choose = choose
        self._begins = 0
        self._lines = 0
        self._marked: tuple[int, frozenset[int]] = (0, frozenset())
        self._job: Job | None = None
        with ui.element("div").classes("lines-table").props("role=group aria-label=Lines") as self.place:
            self._rows = [self._row(slot) for slot in range(AT_ONCE)]
        with ui.element("div").classes("line-ways") as self._ways:
            self._earlier = word_button("Earlier lines", lambda: self._turn(-1))
            self._later = word_button("Later lines", lambda: self._turn(1))
            self._which = words("", "quiet").props("role=status")

    @property
    def shown(self) -> range:
        """The numbers of the lines that stand in the table."""
        return range(self._begins + 1, min(self._begins + AT_ONCE, self._lines) + 1)

    def hide(self) -> None:
        """Of a board of few lines there is no table."""
        self.place.set_visibility(False)
        self._ways.set_visibility(False)

    def show(self, job: Job, chosen: int, wrong: Collection[int]) -> None:
        """The lines as they stand; the chosen one and those that are wrong marked."""
        self._job, self._lines = job, len(job.lines)
        self._marked = (chosen, frozenset(wrong))
        self._begins = min(self._begins, (self._lines - 1) // AT_ONCE * AT_ONCE)
        self.place.set_visibility(True)
        self._ways.set_visibility(self._lines > AT_ONCE)
        for slot, row in enumerate(self._rows):
            here = self._begins + slot < self._lines
            row.place.set_visibility(here)
            if here:
                self._show_row(row, self._begins + slot + 1)
        _may(self._earlier, self._begins > 0)
        _may(self._later, self._begins + AT_ONCE < self._lines)
        self._which.text = f"Lines {self.shown[0]} to {self.shown[-1]} of {self._lines}"

    def _show_row(self, row: _TableLine, number: int) -> None:
        assert self._job is not None
        line = self._job.lines[number - 1]
        chosen, wrong = self._marked
        before, tab, after = line.words.partition("\t")
        row.saw = line.words
        row.handle.text = str(number)
        _say(row.handle, "aria-label", f"Line {number}: choose it, or move it by the arrow keys")
        _say(row.handle, "aria-pressed", "true" if number == chosen else "false")
        _say(row.first.input, "aria-label", f"Line {number}" + (", before the tab" if tab else ""))
        _say(row.second.input, "aria-label", f"Line {number}, after the tab")
        for name, is_so in (("chosen", number == chosen), ("lacks", number in wrong), ("parted", bool(tab))):
            row.place.classes(add=name if is_so else None, remove=None if is_so else name)
        row.first.show(before)
        row.second.show(after)
        row.second.set_visibility(bool(tab))

    def _row(self, slot: int) -> _TableLine:
        with ui.element("div").classes("table-line").props(f"data-slot={slot}") as place:
            handle = TextElement(tag="button", text="").classes("handle").props("type=button")
            handle.on("click", lambda: self._choose(self._number(slot)))
            handle.on("keydown", partial(self._moved, slot), js_handler=_KEYS)
            handle.on("pointerdown", partial(self._moved, slot), js_handler=_DRAG)
            first = Field("", "", lambda value: self._set(slot, 0, value))
            second = Field("", "", lambda value: self._set(slot, 1, value))
        return _TableLine(place, handle, first, second)

    def _number(self, slot: int) -> int:
        return self._begins + slot + 1

    async def _set(self, slot: int, part: int, value: str) -> None:
        row = self._rows[slot]
        parts = row.saw.split("\t")
        parts[part] = value.strip()
        if not all(parts):
            raise ValueError("A line has words; take it out below if it is not wanted.")
        await make(self._page, SetWords(At("line", self._number(slot), row.saw), "\t".join(parts)))

    async def _moved(self, slot: int, event: GenericEventArguments) -> None:
        """A line taken so many rows down, or up where that is less than 0."""
        number = self._number(slot)
        to = min(max(number + int(event.args.get("by", 0)), 1), self._lines)
        if to == number or not await self._page.edit(MoveTable(At("line", number, self._rows[slot].saw), to)):
            return
        self._begins = (to - 1) // AT_ONCE * AT_ONCE if to not in self.shown else self._begins
        await self._choose(to)
        ui.run_javascript(f"getHtmlElement({self._rows[to - 1 - self._begins].handle.id})?.focus()")

    async def _turn(self, by: int) -> None:
        self._begins = max(self._begins + by * AT_ONCE, 0)
        await self._choose(0)


def _say(element: ui.element, name: str, value: str) -> None:
    """Set a prop that may change; what is as it was is not sent anew."""
    if element.props.get(name) != value:
        element.props[name] = value
        element.update()


def _may(button: TextElement, can: bool) -> None:
    if can:
        button.props(remove="disabled")
    else:
        button.props("disabled")
