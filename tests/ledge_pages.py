"""A field, a choice and a word to be ticked on a page of their own, where taking a value is slow.

While one is being taken, the ledge is shown again and again as it was before, as it is on a job's page when grooves
come in. "refused" is never taken.
"""

from __future__ import annotations

import asyncio
from functools import partial
from typing import Any

from fastapi import FastAPI

STEPS, STEP_S = 8, 0.05

told: list[list[Any]] = []
"""What has been handed on: which, and what."""


def pages(api: FastAPI) -> None:
    """The page, and what it has been told."""
    from nicegui import ui

    from stopcut.app.choices import Choice, Toggle
    from stopcut.app.fields import Field, word_button, words

    @ui.page("/")
    def front() -> None:
        held: dict[str, Any] = {"radius": "400 mm", "bend": "up", "tick": False}
        shown: dict[str, Any] = {}

        def show() -> None:
            for name, one in shown.items():
                one.show(held[name])

        async def take(name: str, value: Any) -> bool:
            told.append([name, value])
            for _ in range(STEPS):
                show()
                await asyncio.sleep(STEP_S)
            if value == "refused":
                return False
            held[name] = value
            return True

        async def take_length(written: str) -> None:
            if not await take("radius", written):
                raise ValueError("That is no length.")
            held["radius"] = written.replace("mm", "").strip() + " mm"  # as the program writes it
            asyncio.get_running_loop().call_later(STEP_S, show)

        def another() -> None:
            held["radius"] = "70 mm"
            show()

        shown["radius"] = Field("Radius", "400 mm", take_length)
        bends = [("straight", "a straight line"), ("up", "an arc"), ("refused", "a wave")]
        shown["bend"] = Choice("On", bends, "up", partial(take, "bend"))
        shown["tick"] = Toggle("old-style figures", False, partial(take, "tick"))
        word_button("Another window", another)
        words("ready").props("id=ready")

    @api.get("/told")
    async def all_told() -> list[list[Any]]:
        return told
