"""A section taken without pointing: letter by letter, and along the bottom of a letter's groove from end to end."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

import numpy as np
from nicegui import ui

from stopcut.app.fields import word_button, words
from stopcut.app.job_page import JobPage
from stopcut.app.page_events import Pushed
from stopcut.app.slide import Slide
from stopcut.groove.surface import Groove
from stopcut.work import Work

__all__ = ["SectionWalk", "bottom_at"]

STEPS: Final = 200
"""Places along a letter's bottom. Our choice: a quarter of a millimetre each on a stem of 50 mm."""


class SectionWalk:
    """A part of the ledge; on_cut is given the point to cut through. [mm]"""

    def __init__(self, page: JobPage, on_cut: Callable[[float, float], None]) -> None:
        self._page, self._on_cut = page, on_cut
        self._share = 0.5
        with ui.element("p"):
            word_button("Letter before", lambda: self._step(-1))
            word_button("Next letter", lambda: self._step(1))
        self._letter = words("", "quiet").props("role=status")
        self._slide = Slide("Along the bottom of the letter", 0, STEPS, 1, self._slid, coarse=STEPS / 10)
        self._slide.show(self._share * STEPS, "in the middle")

    def chosen(self, keys: list[str]) -> None:
        """A letter was chosen: cut through it."""
        if keys:
            self._cut()

    def _step(self, by: int) -> None:
        work = self._page.work
        if work is None:
            return
        keys = [f"{one.line}:{one.index}" for one in work.setting.placed]
        if not keys:
            return
        now = self._page.chosen[0] if self._page.chosen else ""
        at = keys.index(now) + by if now in keys else (0 if by > 0 else -1)
        self._page.choose([keys[at % len(keys)]])

    def _slid(self, slid: Pushed) -> None:
        self._share = slid.value / STEPS
        if not self._page.chosen:
            self._step(1)
        else:
            self._cut()

    def _cut(self) -> None:
        work = self._page.work
        standing = self._page.standing
        if work is None or standing.state != "ready" or not self._page.chosen:
            return
        groove = groove_of(work, self._page.chosen[0])
        if groove is None:
            return
        self._slide.show(self._share * STEPS, f"{self._share:.0%} along the bottom of {groove.placed.called}")
        self._letter.text = f"{groove.placed.called}, letter {groove.placed.index} of line {groove.placed.line}"
        self._on_cut(*bottom_at(groove, self._share))


def groove_of(work: Work, key: str) -> Groove | None:
    """A letter's own groove, by "line:letter"."""
    line, index = (int(part) for part in key.split(":"))
    return work.letter_grooves.get((line, index))


def bottom_at(groove: Groove, share: float) -> tuple[float, float]:
    """A point on the bottom of a groove: a share (0 to 1) of all its centre lines, one after the other. [mm]

    The deepest point where it has no such line.
    """
    bottoms = [line.points[:, :2] for line in groove.lines if line.kind == "centre" and len(line.points) > 1]
    if not bottoms:
        deepest = groove.nodes_mm[int(np.argmax(groove.depths_mm))]
        return float(deepest[0]), float(deepest[1])
    steps = np.concatenate([np.hypot(*np.diff(points, axis=0).T) for points in bottoms])
    starts = np.concatenate([points[:-1] for points in bottoms])
    ends = np.concatenate([points[1:] for points in bottoms])
    reached = np.cumsum(steps)
    wanted = min(max(share, 0.0), 1.0) * float(reached[-1])
    at = min(int(np.searchsorted(reached, wanted)), len(steps) - 1)
    part = 1.0 - (float(reached[at]) - wanted) / max(float(steps[at]), 1e-12)
    x, y = starts[at] + min(max(part, 0.0), 1.0) * (ends[at] - starts[at])
    return float(x), float(y)
