"""A field, a choice and a word to be ticked on a page of their own, where a value is taken when the test says so.

While one is being taken, the ledge is shown again and again as it was before, as it is on a job's page when grooves
come in. "refused" is never taken.
"""

from __future__ import annotations

import asyncio
from functools import partial
from typing import Any

from fastapi import FastAPI

STEP_S, STEPS = 0.05, 2400
"""How often the ledge is shown meanwhile, and how often at most: two minutes, then nobody is there any more."""


class Ledge:
    """What a window's ledge holds, what has been handed on from it, and how much of that may be taken."""

    def __init__(self) -> None:
        self.held: dict[str, Any] = {"radius": "400 mm", "bend": "up", "tick": False}
        self.told: list[list[Any]] = []
        self.shown: dict[str, Any] = {}
        self.times = 0
        self._may = 0

    def show(self) -> None:
        self.times += 1
        for name, one in self.shown.items():
            one.show(self.held[name])

    def let(self) -> None:
        """One more of what was handed on may be taken."""
        self._may += 1

    async def take(self, name: str, value: Any) -> bool:
        self.told.append([name, value])
        mine = len(self.told)
        for _ in range(STEPS):
            self.show()
            await asyncio.sleep(STEP_S)
            if self._may >= mine:
                break
        if value == "refused":
            return False
        self.held[name] = value
        return True

    async def take_length(self, written: str) -> None:
        if not await self.take("radius", written):
            raise ValueError("That is no length.")
        self.held["radius"] = written.replace("mm", "").strip() + " mm"  # as the program writes it
        asyncio.get_running_loop().call_later(STEP_S, self.show)

    def another(self) -> None:
        self.held["radius"] = "70 mm"
        self.show()


newest: list[Ledge] = []


def pages(api: FastAPI) -> None:
    """The page, what it has been told, and leave to take one more of it."""
    from nicegui import ui

    from stopcut.app.choices import ChoiceField, Toggle
    from stopcut.app.fields import RELEASED, Field, word_button, words

    @ui.page("/")
    def front() -> None:
        ui.add_head_html(RELEASED)
        ledge = Ledge()
        newest.append(ledge)
        ledge.shown["radius"] = Field("Radius", "400 mm", ledge.take_length)
        bends = [("straight", "a straight line"), ("up", "an arc"), ("refused", "a wave")]
        ledge.shown["bend"] = ChoiceField("On", bends, "up", partial(ledge.take, "bend"))
        ledge.shown["tick"] = Toggle("old-style figures", False, partial(ledge.take, "tick"))
        word_button("Another window", ledge.another)
        word_button("Press", lambda: ledge.told.append(["pressed", None]))
        words("ready").props("id=ready")

    @api.get("/told")
    async def told() -> list[list[Any]]:
        return newest[-1].told

    @api.get("/shown")
    async def shown() -> int:
        return newest[-1].times

    @api.post("/let")
    async def let() -> None:
        newest[-1].let()
