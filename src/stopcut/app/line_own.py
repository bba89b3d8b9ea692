"""What one line of the brief has for itself: its face, its weight, and its case; and the way back to the others'.

Small until it is asked for: one word in the line's row opens it. What a line has set stands there in words.
"""

from __future__ import annotations

import asyncio
from functools import partial

from nicegui import ui

from stopcut.app.brief_faces import WEIGHTS
from stopcut.app.brief_job import job_now
from stopcut.app.chosen_line import own_keys
from stopcut.app.fields import word_button, words
from stopcut.app.job_page import JobPage
from stopcut.app.lines_left import LineLacks
from stopcut.app.matching import BY_WHAT_IS_THERE, decided
from stopcut.app.merging_words import words_change
from stopcut.app.select import Select
from stopcut.app.wording import why_refused
from stopcut.job.edit_values import Edit, Refused, SetKey
from stopcut.job.job import Job, Line
from stopcut.lettering.faces import Face, list_faces
from stopcut.lettering.installed import face_key
from stopcut.written.literals import Value

__all__ = ["LineOwn", "told_of_own"]

OF_ITS_OWN = ("face", "weight", "stem", "features")
"""What of a line's lettering is told of and taken back here."""

SMALL_CAPS = "smcp"
"""Small letters as small capitals (OpenType specification, feature tags)."""

OTHERS = "others"
"""The choice by which a line has nothing of its own."""


class LineOwn:
    """The word in a line's row, and what it opens. Lines count from 1."""

    def __init__(self, page: JobPage, number: int, ways: ui.element) -> None:
        self._page = page
        self._number = number
        self._line: Line | None = None
        self._faces: tuple[Face, ...] = ()
        self._shown: tuple[object, ...] = ()
        self._selects: tuple[Select, Select, Select] | None = None
        with ways:
            self._opens = word_button("Its own face", self._open, says=f"A face, weight and case for line {number}")
            self._opens.props("aria-expanded=false")
            self._back = word_button("As the others", self._as_the_others, says=f"Line {number} as the others")
        self._lacking = ui.element("div").classes("own-told")
        self._told = words("", "quiet own-told")
        self._place = ui.element("div").classes("line-own").props(f'role=group aria-label="Line {number} alone"')
        self._place.set_visibility(False)

    def show(self, line: Line, text: str) -> None:
        """The line as it stands in this text."""
        self._line = line
        own = tuple(key for key in own_keys(text, line.number) if key in OF_ITS_OWN)
        self._told.text = told_of_own(line, own)
        self._told.set_visibility(bool(own))
        self._back.set_visibility(bool(own))
        self._show_choices(line, own)

    def show_lacking(self, lacks: LineLacks | None) -> None:
        """What the line's face lacks, and the faces that would do as presses."""
        self._lacking.clear()
        if lacks is None:
            return
        with self._lacking:
            words(lacks.says, "wrong")
            for family in lacks.faces:
                word_button(f"Carve line {self._number} in {family}", partial(self._set, "face", family))

    def _show_choices(self, line: Line, own: tuple[str, ...]) -> None:
        job = job_now(self._page.standing)
        by_match = job is not None and "weight" in decided(job.match)
        shown = (line.face, line.weight, line.features, own, line.words.upper() == line.words, by_match)
        if not self._faces or shown == self._shown:
            return
        self._shown = shown
        if self._selects is None:
            with self._place:
                self._selects = self._build(line, own)
        faces, weights, cases = self._selects
        faces.show(_faces(self._faces, line, own), _face(line, own))
        weights.show(_weights(self._faces, line, own), _weight(line, own))
        weights.set_visibility(not by_match)
        self._decided.set_visibility(by_match)
        cases.show(_CASES, _case(line, own))
        self._capitals_word.set_visibility(line.words.upper() != line.words)

    def _build(self, line: Line, own: tuple[str, ...]) -> tuple[Select, Select, Select]:
        """The three lists, once: they stay while what they offer changes, and the keyboard stays in them."""
        n = line.number
        faces = Select("Face", _faces(self._faces, line, own), _face(line, own), self._set_face, f"Face of line {n}")
        offered = _weights(self._faces, line, own)
        weights = Select("Weight", offered, _weight(line, own), self._set_weight, f"Weight of line {n}")
        self._decided = words(f"Weight {BY_WHAT_IS_THERE}.", "quiet")
        cases = Select("Small letters", _CASES, _case(line, own), self._set_case, f"Small letters of line {n}")
        self._capitals_word = word_button("Write it in capitals", self._capitals, says=f"Write line {n} in capitals")
        return faces, weights, cases

    async def _open(self) -> None:
        opened = not self._place.visible
        self._place.set_visibility(opened)
        self._opens.props(f"aria-expanded={'true' if opened else 'false'}")
        if opened and not self._faces:
            self._faces = await asyncio.to_thread(list_faces, system=False)
        if self._line is not None:
            self.show(self._line, self._page.standing.text)

    async def _set_face(self, value: str) -> bool:
        return await self._set("face", None if value == OTHERS else value)

    async def _set_weight(self, value: str) -> bool:
        if self._line is not None and "stem" in own_keys(self._page.standing.text, self._number) and value == OTHERS:
            return await self._set("stem", None)
        if value == "stem":  # how it is already, offered only then
            return True
        return await self._set("weight", None if value == OTHERS else int(float(value)))

    async def _set_case(self, value: str) -> bool:
        if self._line is None:
            return False
        plain = [tag for tag in self._line.features if tag != SMALL_CAPS]
        tags: dict[str, list[Value]] = {"small": [*plain, SMALL_CAPS], "written": [*plain]}
        return await self._set("features", tags.get(value))

    async def _set(self, key: str, value: Value | None) -> bool:
        return self._line is not None and await self._page.edit(SetKey(self._page.line_at(self._line), key, value))

    async def _capitals(self) -> None:
        line = self._line
        if line is None:
            return
        try:
            await self._page.change_or_raise(words_change(self._number, line.words, line.words.upper()))
        except Refused as refused:
            self._page.notice(why_refused(refused))

    async def _as_the_others(self) -> None:
        own = own_keys(self._page.standing.text, self._number)

        def edits(job: Job) -> list[Edit]:
            at = self._page.line_at(job.lines[self._number - 1])
            return [SetKey(at, key, None) for key in OF_ITS_OWN if key in own]

        await self._page.edit_all(edits, f"others-{self._number}")


_CASES = ((OTHERS, "as the others"), ("written", "as written"), ("small", "as small capitals"))


def told_of_own(line: Line, own: tuple[str, ...]) -> str:
    """What a line has for itself, in words: "This line alone: Cardo, weight 700, small capitals."."""
    said = []
    if "face" in own:
        said.append(line.face)
    if "weight" in own and line.weight is not None:
        said.append(f"weight {line.weight:g}")
    if "stem" in own:
        said.append("weight by its stems")
    if "features" in own:
        said.append("small capitals" if SMALL_CAPS in line.features else "small letters as written")
    return f"This line alone: {', '.join(said)}." if said else ""


def _face(line: Line, own: tuple[str, ...]) -> str:
    return line.face if "face" in own else OTHERS


def _faces(faces: tuple[Face, ...], line: Line, own: tuple[str, ...]) -> list[tuple[str, str]]:
    """The faces at hand, and the line's own where it is none of them (a file beside the job)."""
    options = [(OTHERS, "as the others")]
    for face in faces:
        same = face_key(face.family) == face_key(line.face)
        options.append((line.face if same else face.family, face.family))
    if "face" in own and line.face not in {value for value, _ in options}:
        options.append((line.face, line.face))
    return options


def _weight(line: Line, own: tuple[str, ...]) -> str:
    if "stem" in own:
        return "stem"
    return f"{line.weight:g}" if "weight" in own and line.weight is not None else OTHERS


def _weights(faces: tuple[Face, ...], line: Line, own: tuple[str, ...]) -> list[tuple[str, str]]:
    """The weights that the line's face has."""
    face = next((one for one in faces if face_key(one.family) == face_key(line.face)), None)
    least, most = (face.weight_range if face else None) or (0, 0)
    offered = {float(weight) for weight in (face.weights if face else ())}
    offered |= {float(weight) for weight in WEIGHTS if least <= weight <= most}
    if line.weight is not None:
        offered.add(float(line.weight))
    options = [(OTHERS, "as the others"), *((f"{weight:g}", f"{weight:g}") for weight in sorted(offered))]
    return [*options, ("stem", "by its stems")] if "stem" in own else options


def _case(line: Line, own: tuple[str, ...]) -> str:
    if "features" not in own:
        return OTHERS
    return "small" if SMALL_CAPS in line.features else "written"
