"""Which line a ledge speaks of, whether changes are for it alone, and what it has set for itself."""

from __future__ import annotations

from collections.abc import Collection
from functools import partial
from typing import Final

from nicegui import ui

from stopcut.app.choices import ChoiceField
from stopcut.app.chosen_line import ChosenLine
from stopcut.app.fields import word_button, words
from stopcut.work import Work

__all__ = ["WhichLine", "called"]

NAMES: Final = {
    "cap_height": "cap height",
    "size": "size beside the others",
    "openness": "openness",
    "tuck": "tuck",
    "word_space": "word space",
    "align": "how it stands",
    "line_gap": "space above it",
    "drop": "drop",
    "arc": "arc",
    "weight": "weight",
    "stem": "stem",
    "thinnest": "thinnest stroke",
    "features": "kinds of letters",
    "face": "face",
    "wall": "walls",
    "flat_bottom": "flat bottom",
}
"""What a carver calls the keys of a line."""

SHORT: Final = 22
"""Characters of a line's words on its choice. Our choice: two lines of them stand on a ledge's column."""

MOST_BY_WORDS: Final = 3
"""Lines that are chosen among by their words; more of them by their numbers. Our choice."""


class WhichLine:
    """The head of a column about a line. keys are what of the line's own is told of."""

    def __init__(self, line: ChosenLine, keys: Collection[str]) -> None:
        self._line, self._keys = line, keys
        self._offered: tuple[str, ...] = ()
        self._lines: ChoiceField | None = None
        self._which = ui.element("div")
        self._words = words("", "large")
        with ui.element("div") as self._scope_place:
            for_whom = [("all", "every line"), ("line", "this line alone")]
            self._scope = ChoiceField("Changes are for", for_whom, "line" if line.alone else "all", self._for_whom)
        self._own = ui.element("div")
        self._owned: list[str] = []

    def show(self, work: Work) -> None:
        """The lines as they stand."""
        many = len(work.job.lines) > 1
        self._offer(work)
        line = self._line.set
        self._words.text = line.words if line and (len(work.job.lines) > MOST_BY_WORDS or not many) else ""
        self._scope.show("line" if self._line.alone else "all")
        self._scope_place.set_visibility(many)
        self._show_own(many)

    def _offer(self, work: Work) -> None:
        """A choice of lines where there are several."""
        said = tuple(line.words for line in work.job.lines)
        if said != self._offered:
            self._offered = said
            self._which.clear()
            with self._which:
                by_words = len(said) <= MOST_BY_WORDS
                offered = [(str(n), called(one) if by_words else str(n)) for n, one in enumerate(said, 1)]
                self._lines = (
                    ChoiceField("Line", offered, str(self._line.number), self._take_line) if len(said) > 1 else None
                )
        if self._lines is not None and self._line.set is not None:
            self._lines.show(str(self._line.set.number))

    def _take_line(self, number: str) -> None:
        self._line.number = int(number)
        self._line.page.choose([])  # whoever shows the line is told

    def _for_whom(self, value: str) -> None:
        self._line.alone = value == "line"

    def _show_own(self, many: bool) -> None:
        """What this line has set for itself, each with a way back to what holds for every line."""
        own = [key for key in self._line.own if key in self._keys] if many else []
        if own == self._owned:
            return  # a button that is made anew while it is being pressed is not pressed
        self._owned = own
        self._own.clear()
        with self._own:
            for key in own:
                with ui.element("p").classes("quiet own"):
                    words(f"Its own {NAMES[key]}. ", tag="span")
                    ways = "Without" if key in ("size", "drop", "arc") else "As the others"
                    word_button(ways, partial(self._line.as_the_others, key), says=f"{ways}: {NAMES[key]}")


def called(line: str) -> str:
    """A line's words, cut short for a choice."""
    return line if len(line) <= SHORT else line[: SHORT - 1].rstrip() + "…"
