"""One of many, by the browser's own list."""

from __future__ import annotations

import json
from collections.abc import Awaitable, Callable, Sequence

from nicegui import ui
from nicegui.events import GenericEventArguments

from stopcut.app.fields import words

__all__ = ["Select"]

_PUT = """(id, value) => {
  const put = () => { const list = document.getElementById(id); if (list) list.value = value };
  put();
  setTimeout(put);
}"""
"""Chooses what is to be chosen, whatever the hand has made of it; once more when new options stand in the list."""


class Select:
    """A label and a list; options are value and word. says is the longer name for a screen reader.

    The list itself stays as it is while its options change: the keyboard is not taken from whoever is in it.
    """

    def __init__(
        self,
        label: str,
        options: Sequence[tuple[str, str]],
        value: str = "",
        on_change: Callable[[str], Awaitable[bool | None] | None] | None = None,
        says: str = "",
    ) -> None:
        self.value = self._shown = value or options[0][0]
        self._options: tuple[tuple[str, str], ...] = ()
        self._on_change = on_change
        self._under_way = 0  # choices that are being taken
        with ui.element("label").classes("entry") as self._place:
            words(label, tag="span").classes("label")
            self._list = ui.element("select").classes("plain")
        self._offer(tuple(options))
        if says:
            self._list.props["aria-label"] = says
        self._list.on("change", self._take, js_handler="(e) => emit(e.target.value)")

    def show(self, options: Sequence[tuple[str, str]], value: str) -> None:
        """What there is to choose among now, and what is chosen; a choice under way stands until it is taken."""
        self._shown = value
        if tuple(options) != self._options:
            self._offer(tuple(options), value)
        if not self._under_way and value != self.value:
            self._put(value)

    def set_visibility(self, visible: bool) -> None:
        """Show the list, or leave it away."""
        self._place.set_visibility(visible)

    def _offer(self, options: tuple[tuple[str, str], ...], value: str | None = None) -> None:
        self._options = options
        chosen = self.value if value is None or self._under_way else value
        self._list.clear()
        with self._list:
            for option, word in options:
                made = ui.element("option")
                made.props["value"] = option
                if option == chosen:
                    made.props("selected")
                with made:
                    words(word, tag="span")
        if value is not None:
            self._put(chosen)

    def _put(self, value: str) -> None:
        self.value = value
        self._list.client.run_javascript(f"({_PUT})({json.dumps(self._list.html_id)}, {json.dumps(value)})")

    async def _take(self, event: GenericEventArguments) -> None:
        self.value = value = str(event.args)
        taken = False
        self._under_way += 1
        try:
            answer = self._on_change(value) if self._on_change is not None else None
            taken = (await answer if isinstance(answer, Awaitable) else answer) is not False
        finally:
            self._under_way -= 1
            if taken:
                self._shown = value
            elif not self._under_way:
                self._put(self._shown)
