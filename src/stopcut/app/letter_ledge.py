"""Which letters a line is carved in, on the ledge: how bold, how thin at the thinnest, and which kinds the face has."""

from __future__ import annotations

import asyncio
from collections.abc import Iterable
from functools import lru_cache, partial
from typing import Final

from nicegui import background_tasks, ui

from stopcut.app.choices import Toggle
from stopcut.app.chosen_line import ChosenLine
from stopcut.app.fields import Field, heading, words
from stopcut.app.matching import BY_WHAT_IS_THERE, decided
from stopcut.app.uploads import job_folder
from stopcut.app.wording import as_written
from stopcut.errors import CarverError
from stopcut.foreign.fonts import OpenFont
from stopcut.job.job import Job, Line
from stopcut.lettering.faces import find_face
from stopcut.lettering.features import FEATURE_NAMES, asked_features
from stopcut.units import format_length
from stopcut.work import Work

__all__ = ["LetterLedge", "offered_features", "with_feature"]

NOT_OFFERED: Final = ("frac", "case", "lnum", "tnum")
"""Features that change nothing a carver would tick by name: lines of figures alone have lining ones anyway."""

MOST_SETS: Final = 20
"""Stylistic sets that a face may have (OpenType specification: ss01 to ss20)."""

SAID: Final = ("nearest-weight", "nearest-stem", "face-lacks-feature", "strengthened", "cannot-strengthen")
"""Findings about which letters a line is carved in."""


class LetterLedge:
    """A column about the letters of the line in hand."""

    def __init__(self, line: ChosenLine) -> None:
        self._line = line
        self._face = words("", "large")
        self._weight = Field("Weight", "", partial(self._set, "weight"), hint="by the stem")
        self._stem = Field("Stem of the I", "", partial(self._set, "stem"), hint="by the weight")
        self._thinnest = Field("Thinnest stroke", "", partial(self._set, "thinnest"), hint="as drawn")
        self._notes = ui.element("div").classes("limits")
        self._kinds = heading("Kinds of letters")
        self._place = ui.element("div").classes("kinds")
        self._ticks: dict[str, Toggle] = {}
        self._shown_of: tuple[str, float | None] | None = None

    def show(self, work: Work) -> None:
        """The letters as they stand."""
        asked = self._line.asked
        if asked is None:
            return
        units = work.job.units
        self._face.text = asked.face
        by_match = "stem" in decided(work.job.match)
        stem_mm = work.job.match.stem_mm if by_match and work.job.match is not None else asked.stem_mm
        self._weight.show("" if asked.weight is None or by_match else f"{asked.weight:g}")
        self._stem.show("" if stem_mm is None else format_length(stem_mm, units))
        for field in (self._weight, self._stem):
            field.decide(BY_WHAT_IS_THERE if by_match else "")
        self._thinnest.show("" if asked.thinnest_mm is None else format_length(asked.thinnest_mm, units))
        self._show_notes(work, asked)
        for tag, tick in self._ticks.items():
            tick.show(tag in asked_features(asked.features))
        if self._shown_of != (asked.face, asked.weight):
            self._shown_of = asked.face, asked.weight
            background_tasks.create(self._offer(asked.face, asked.weight))

    def _show_notes(self, work: Work, asked: Line) -> None:
        said = [
            note
            for lettered in work.lettered
            for note in lettered.notes
            if note.where.line == asked.number and note.code in SAID
        ]
        self._notes.clear()
        with self._notes:
            for note in said:
                words(note.says, f"limit {note.severity}")

    async def _offer(self, face: str, weight: float | None) -> None:
        """What the face has, once it has been asked: another process reads it."""
        has = await asyncio.to_thread(features_in, face, weight)
        if self._shown_of != (face, weight) or self._place.is_deleted:
            return
        asked = self._line.asked
        on = asked_features(asked.features) if asked else ()
        self._place.clear()
        with self._place:
            self._ticks = {
                tag: Toggle(name, tag in on, partial(self._tick, tag))
                for tag, name in offered_features(has, on).items()
            }
            if not self._ticks:
                words(f"{face} has none to choose among.", "quiet")

    async def _tick(self, tag: str, on: bool) -> bool:
        asked = self._line.asked
        if asked is None:
            return False
        tags = with_feature(asked.features, tag, on)
        keep = bool(tags) or _of_every_line(self._line.page.right_job, asked)
        try:
            await self._line.put("features", list(tags) if keep else None)
        except ValueError as problem:
            self._line.page.notice(str(problem))
            return False
        return True

    async def _set(self, key: str, value: str) -> None:
        await self._line.put(key, as_written(value))


@lru_cache(maxsize=256)
def features_in(face: str, weight: float | None) -> frozenset[str]:
    """The features that a face has rules for; none where it cannot be read."""
    try:
        file = find_face(face, weight, job_folder())
        return OpenFont(file.path, file.member).about().features
    except CarverError:
        return frozenset()


def offered_features(has: Iterable[str], on: Iterable[str]) -> dict[str, str]:
    """The features to be ticked, by tag, with the words for them: what the face has, and what the job asks for."""
    names = {tag: name for tag, name in FEATURE_NAMES.items() if tag not in NOT_OFFERED}
    names |= {f"ss{number:02}": f"stylistic set {number}" for number in range(1, MOST_SETS + 1)}
    has, on = set(has), list(on)
    offered = {tag: name for tag, name in names.items() if tag in has or tag in on}
    return offered | {tag: FEATURE_NAMES.get(tag, tag) for tag in on if tag not in offered}


def with_feature(tags: tuple[str, ...], tag: str, on: bool) -> tuple[str, ...]:
    """A line's features with one on or off, the others as written."""
    rest = tuple(one for one in tags if one.lstrip("+-")[:4] != tag)
    return (*rest, tag) if on else rest


def _of_every_line(job: Job | None, line: Line) -> bool:
    """Whether a line without features of its own would have those of every line."""
    return job is not None and len(job.lines) > 1 and bool(line.features)
