"""The tools of the plan: those that it chose or the carver has fixed upon; one more that would save time."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Sequence
from functools import partial
from typing import Any

from nicegui import ui

from stopcut.app.fields import heading, word_button, words
from stopcut.app.select import Select
from stopcut.app.wording import hours

__all__ = ["ToolsColumn", "tool_rows"]

_CHOOSE = "choose"


class ToolsColumn:
    """A part of the ledge; fix is handed the names of the tools fixed upon, None to have the plan choose."""

    def __init__(self, fix: Callable[[tuple[str, ...] | None], Awaitable[object]]) -> None:
        self._fix = fix
        self._shown: tuple[Any, ...] | None = None
        heading("Tools")
        self._place = ui.element("div").classes("bench-tools")

    def show(self, told: dict[str, Any], only: tuple[str, ...] | None, roll: Sequence[str]) -> None:
        """What the plan wants of the roll, whose tools are named in their order.

        What is the same as before is left as it stands: a press that is on its way would come to nothing otherwise.
        """
        shown = (told["tools"], told["without"], told["saves"], told["says"], only, tuple(roll))
        if shown == self._shown:
            return
        self._shown = shown
        self._place.clear()
        with self._place:
            words(_about(told, only))
            rows = tool_rows(told, only)
            names = tuple(name for name, _ in rows)
            with ui.element("ul").classes("findings noted").props('aria-label="Tools of the plan"'):
                for name, said in rows:
                    with ui.element("li").classes("one"):
                        words(f"{name}: {said} ", tag="span")
                        if len(rows) > 1:
                            others = tuple(one for one in names if one != name)
                            word_button("Leave out", partial(self._fix, others), says=f"Leave out {name}")
            if told["saves"] and told["saves"]["minutes"] >= 1:
                more = told["saves"]["tool"]
                words(f"A further one, {more}, would save about {hours(told['saves']['minutes'])}.")
                word_button("Take it too", partial(self._fix, (*names, more)), says=f"Take {more} too")
            self._choose_another(names, [name for name in roll if name.casefold() not in map(str.casefold, names)])
            if only is None:
                word_button("Fix these", partial(self._fix, names), says="Fix these tools")
            else:
                word_button("Have the plan choose", partial(self._fix, None))
            for said in told["says"]:
                words(said, "limit look")

    def _choose_another(self, names: tuple[str, ...], others: Sequence[str]) -> None:
        if not others:
            return

        async def taken(name: str) -> None:
            if name != _CHOOSE:
                await self._fix((*names, name))

        options = [(_CHOOSE, "choose one"), *((name, name) for name in others)]
        Select("Another from the roll", options, on_change=taken)


def tool_rows(told: dict[str, Any], only: tuple[str, ...] | None) -> list[tuple[str, str]]:
    """The tools by name, each with what it does: those of the plan, then those fixed upon that it does not want."""
    rows = [(tool["name"], f"{tool['cuts']} cut{'s' * (tool['cuts'] != 1)}") for tool in told["tools"]]
    wanted = {name.casefold() for name, _ in rows}
    rows += [(name, "nothing for it to do") for name in only or () if name.casefold() not in wanted]
    fixed = None if only is None else {name.casefold() for name in only}
    if fixed is None:
        return rows
    return [(name, said if name.casefold() in fixed else f"{said}, which none of yours can do") for name, said in rows]


def _about(told: dict[str, Any], only: tuple[str, ...] | None) -> str:
    count = len(told["tools"])
    begun = "The fewest that do this board well" if only is None else "Fixed by you; others only where none of them can"
    lacking = f" {told['without']} cuts have no tool in the roll." if told["without"] else ""
    return f"{begun}: {count} tool{'s' * (count != 1)}.{lacking}"
