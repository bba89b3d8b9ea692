"""One of many, by the browser's own list."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Sequence

from nicegui import ui
from nicegui.events import GenericEventArguments

from stopcut.app.fields import words

__all__ = ["Select"]


class Select:
    """A label and a list; options are value and word. says is the longer name for a screen reader."""

    def __init__(
        self,
        label: str,
        options: Sequence[tuple[str, str]],
        value: str = "",
        on_change: Callable[[str], Awaitable[None] | None] | None = None,
        says: str = "",
    ) -> None:
        self.value = value or options[0][0]
        self._on_change = on_change
        with ui.element("label").classes("entry"):
            words(label, tag="span").classes("label")
            with ui.element("select").classes("plain") as chosen:
                for option, word in options:
                    made = ui.element("option")
                    made.props["value"] = option
                    if option == self.value:
                        made.props("selected")
                    with made:
                        words(word, tag="span")
        if says:
            chosen.props["aria-label"] = says
        chosen.on("change", self._take, js_handler="(e) => emit(e.target.value)")

    async def _take(self, event: GenericEventArguments) -> None:
        self.value = str(event.args)
        answer = self._on_change(self.value) if self._on_change is not None else None
        if answer is not None:
            await answer
