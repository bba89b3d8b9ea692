"""The board as an element of a page: what to show, and handlers for what hands do on it.

What is shown is kept here and sent to the browser as it changes, only what has changed. A browser that comes, or comes
again, is sent everything. There is one handler for each thing told; a later one takes the place of the one before.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any, Literal, TypeVar

from nicegui import events
from nicegui.element import Element

from stopcut.app.board.events import (
    BoardEvent,
    Chosen,
    LampMoved,
    Measured,
    Moved,
    Nudged,
    PinPressed,
    Probed,
    ResetAsked,
    read_event,
)

__all__ = ["BoardElement", "Look", "Task"]

Look = Literal["carved", "outline", "squint", "mirror", "depth"]
Task = Literal["move", "measure", "section", "none"]

_HERE = Path(__file__).parent
_Event = TypeVar("_Event", bound=BoardEvent)
_Handler = Callable[[_Event], Any] | None


class BoardElement(
    Element, component="element.js", esm={"stopcut-board": "page", "stopcut-lamp": str(_HERE.parent / "lamp")}
):
    """A board to look at and to work on. Empty until `show` gives it a view.

    label is its name for those who do not see it. A still board is a picture: nothing on it can be touched. figures
    says whether gaps and the board's size are written on it.
    """

    def __init__(self, label: str = "The board", *, still: bool = False, figures: bool = True) -> None:
        super().__init__()
        self._view: dict[str, Any] = {}
        self._paths: dict[str, str] = {}
        self._state: dict[str, Any] = {"label": label, "still": still, "figures": figures, "chosen": [], "pins": False}
        self._handlers: dict[type[Any], Callable[[Any], Any]] = {}
        self._ready = False
        self.on("told", self._heard)

    def show(self, view: dict[str, Any]) -> None:
        """Show a view (as app.board_view makes it). Outlines that have been shown need not be in it again.

        The same view once more says that it stands as it is: letters that a hand has pushed since go back.
        """
        paths = {digest: path for digest, path in view.get("paths", {}).items() if digest not in self._paths}
        self._paths.update(paths)
        rest = {name: value for name, value in view.items() if name != "paths"}
        changed = {name: value for name, value in rest.items() if name not in self._view or self._view[name] != value}
        gone = {name: None for name in self._view if name not in rest and name in ("wood", "figures")}
        self._view = json.loads(json.dumps(rest))  # a copy: the caller's may change
        if changed or gone or paths:
            self._tell({"view": {**gone, **changed, **({"paths": paths} if paths else {})}})
        else:
            self._tell({"anew": True})

    def look(self, look: Look | str | Iterable[Look]) -> None:
        """How the wood is looked at; several at once as a list or as "squint+mirror"."""
        self._set("look", look if isinstance(look, str) else "+".join(look))

    def task(self, task: Task) -> None:
        """What hands do: move letters, measure, take sections, or only choose."""
        self._set("task", task)

    def chosen(self, keys: Iterable[str]) -> None:
        """Which letters are chosen; the one that keys move comes first."""
        self._set("chosen", list(keys))

    def follows(self, follows: bool) -> None:
        """Whether the letters after a moved one go with it."""
        self._set("follows", follows)

    def lamp(
        self, azimuth: float = 135.0, elevation: float = 29.0, *, sky: float = 0.16, movable: bool = False
    ) -> None:
        """Where the light comes from (degrees, anticlockwise from the right; from the face), and whether a hand may
        push the lamp round the board. sky is the share of light from everywhere, 0 to 1."""
        self._set("lamp", {"azimuth": azimuth, "elevation": elevation, "sky": sky, "movable": movable})

    def label(self, label: str) -> None:
        """The board's name for those who do not see it."""
        self._set("label", label)

    def measured_text(self, text: str) -> None:
        """What the line between the two points measured says, until the next."""
        self._tell({"measured": text})

    def measure_between(self, from_mm: tuple[float, float], to_mm: tuple[float, float]) -> None:
        """Draw the line between two points as if a hand had set them, while the task is to measure."""
        self._tell({"between": [*from_mm, *to_mm]})

    def section_mark(self, from_mm: tuple[float, float], to_mm: tuple[float, float], text: str) -> None:
        """Draw the hairline of a section, with what it says."""
        (x0, y0), (x1, y1) = from_mm, to_mm
        self._set("section", {"x0": x0, "y0": y0, "x1": x1, "y1": y1, "text": text})

    def no_section(self) -> None:
        """Take the hairline away."""
        self._set("section", None)

    def pins_shown(self, shown: bool) -> None:
        """Whether findings are marked on the board; they are not until it is asked for."""
        self._set("pins", shown)

    def show_pin(self, number: int) -> None:
        """Bring a finding's pin into view, and let it pulse once."""
        self.run_method("showPin", number)

    def nearer(self, factor: float) -> None:
        """Look from so many times as near, at the letter in hand; below 1 from farther."""
        self.run_method("nearer", factor)

    def whole(self) -> None:
        """Show the whole board."""
        self.run_method("whole")

    def on_choose(self, handler: _Handler[Chosen]) -> None:
        """Letters were chosen, or let go."""
        self._on(Chosen, handler)

    def on_move(self, handler: _Handler[Moved]) -> None:
        """A letter was dragged and let go."""
        self._on(Moved, handler)

    def on_nudge(self, handler: _Handler[Nudged]) -> None:
        """A letter was moved by keys."""
        self._on(Nudged, handler)

    def on_reset(self, handler: _Handler[ResetAsked]) -> None:
        """A letter is to go back to where the model had it."""
        self._on(ResetAsked, handler)

    def on_measured(self, handler: _Handler[Measured]) -> None:
        """Two points were set to be measured between."""
        self._on(Measured, handler)

    def on_probe(self, handler: _Handler[Probed]) -> None:
        """A section is wanted through a point."""
        self._on(Probed, handler)

    def on_pin(self, handler: _Handler[PinPressed]) -> None:
        """A finding's pin was pressed."""
        self._on(PinPressed, handler)

    def on_lamp(self, handler: _Handler[LampMoved]) -> None:
        """The lamp was pushed."""
        self._on(LampMoved, handler)

    def _on(self, kind: type[_Event], handler: _Handler[_Event]) -> None:
        if handler is None:
            self._handlers.pop(kind, None)
        else:
            self._handlers[kind] = handler

    def _set(self, name: str, value: Any) -> None:
        if name in self._state and self._state[name] == value:
            return
        self._state[name] = value
        self._tell({name: value})

    def _tell(self, changed: dict[str, Any]) -> None:
        if self._ready:
            self.run_method("take", json.dumps(changed, separators=(",", ":")))

    def _heard(self, event: events.GenericEventArguments) -> None:
        if isinstance(event.args, dict) and event.args.get("what") == "ready":
            view: dict[str, Any] = {"view": {**self._view, "paths": self._paths}} if self._view else {}
            again = {"anew": True} if self._ready and self._view else {}
            self._ready = True
            self._tell({**self._state, **view, **again})
            return
        try:
            what = read_event(event.args)
        except ValueError:
            return  # no board of ours: not worth a word to the carver
        if isinstance(what, Chosen):
            self._state["chosen"] = list(what.keys)
        if isinstance(what, LampMoved) and "lamp" in self._state:
            self._state["lamp"] |= {"azimuth": what.azimuth, "elevation": what.elevation}
        handler = self._handlers.get(type(what))
        if handler is not None:
            events.handle_event(lambda _: handler(what), event, expect_args=True)
