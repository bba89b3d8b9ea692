"""What is chosen on a ledge: one of several words, or a word that is on or off.

What was chosen by hand stands until it is taken, however often the job is shown as it was before; what is refused goes
back to what holds.
"""

from __future__ import annotations

import itertools
import json
from abc import ABC, abstractmethod
from collections.abc import Awaitable, Mapping, Sequence
from typing import Generic, TypeVar

from nicegui import ui

from stopcut.app.fields import OnChange, words

__all__ = ["ChoiceField", "Toggle"]

_numbers = itertools.count(1)

_TELL = "(e) => emit(e.target.checked)"
_CHECKED = "(id, on) => { const box = document.getElementById(id); if (box) box.checked = on }"
"""Sets a box or a button as it is to be, whatever the hand has made of it."""

T = TypeVar("T")


class _ByHand(ABC, Generic[T]):
    """A value that is shown as it is and chosen by hand."""

    def __init__(self, value: T, on_change: OnChange) -> None:
        self.value = value
        self._on_change = on_change
        self._shown = value  # as it is, whatever is being made of it
        self._under_way = 0  # changes that are being taken

    @abstractmethod
    def _boxes(self) -> Mapping[T, ui.element]:
        """The boxes or buttons, each with the value at which it is marked."""

    def show(self, value: T) -> None:
        """The value as it is now; one chosen by hand stands until it is taken or refused."""
        self._shown = value
        if value != self.value and not self._under_way:
            self.value = value
            self._mark()

    async def _take(self, value: T) -> None:
        self.value = value
        self._mark()
        taken = False
        self._under_way += 1
        try:
            answer = self._on_change(value)
            taken = (await answer if isinstance(answer, Awaitable) else answer) is not False
        finally:
            self._under_way -= 1
            if taken:
                self._shown = value
            elif not self._under_way:
                self.show(self._shown)
                for at, box in self._boxes().items():
                    box.client.run_javascript(
                        f"({_CHECKED})({json.dumps(box.html_id)}, {json.dumps(at == self.value)})"
                    )

    def _mark(self) -> None:
        for at, box in self._boxes().items():
            if at == self.value:
                box.props("checked")
            else:
                box.props(remove="checked")


class ChoiceField(_ByHand[str]):
    """One of several, in words, all of them in sight. options are value and word."""

    def __init__(
        self, legend: str, options: Sequence[tuple[str, str]], value: str, on_change: OnChange, *, quiet: bool = False
    ) -> None:
        super().__init__(value, on_change)
        name = f"choice-{next(_numbers)}"
        self._buttons: dict[str, ui.element] = {}
        with ui.element("fieldset").classes("choice"):
            words(legend, "unseen" if quiet else "quiet", tag="legend")
            for option, word in options:
                with ui.element("label"):
                    button = ui.element("input").props(f'type=radio name={name} value="{option}"')
                    button.on("change", lambda _, option=option: self._take(option))
                    words(word, tag="span")
                self._buttons[option] = button
        self._mark()

    def _boxes(self) -> Mapping[str, ui.element]:
        return self._buttons


class Toggle(_ByHand[bool]):
    """A word that is on or off, underlined when it is on."""

    def __init__(self, word: str, value: bool, on_change: OnChange) -> None:
        super().__init__(value, on_change)
        with ui.element("label").classes("toggle"):
            self._box = ui.element("input").props("type=checkbox")
            self._box.on("change", lambda event: self._take(event.args is True), js_handler=_TELL)
            words(word, tag="span")
        self._mark()

    def _boxes(self) -> Mapping[bool, ui.element]:
        return {True: self._box}
