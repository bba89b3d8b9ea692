"""The face of the brief: chosen from specimens of the very words, and what each comes to in wood; its weight; faces of
one's own brought in."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable

from nicegui import background_tasks, ui
from nicegui.elements.mixins.text_element import TextElement
from nicegui.elements.upload_files import FileUpload

from stopcut.app.brief_carving import BriefCarving
from stopcut.app.brief_job import job_now, set_value
from stopcut.app.bring_in import BringIn
from stopcut.app.choices import ChoiceField
from stopcut.app.fields import column, word_button, words
from stopcut.app.job_page import JobPage
from stopcut.app.matching import BY_WHAT_IS_THERE, decided
from stopcut.app.open_jobs import Standing
from stopcut.app.pictures import face_url
from stopcut.app.uploads import MOST_FACE_BYTES, KeptFace, keep_face, take_face
from stopcut.job.edit_values import At, SetKey
from stopcut.job.job import Job
from stopcut.lettering.faces import Face, characters_lacking, list_faces
from stopcut.lettering.installed import face_key

__all__ = ["WEIGHTS", "BriefFaces"]

WEIGHTS = (100, 200, 300, 400, 500, 600, 700, 800, 900)
"""Weights that are offered of a face whose weight is free (OpenType specification, usWeightClass)."""
TO_CHOSEN = (
    "const list = document.querySelector('.specimens'), one = list?.querySelector('.chosen'); "
    "if (one) list.scrollTop = one.offsetTop - list.offsetTop - 60"
)
"""The page's step that brings the chosen specimen into sight, within its list."""


class BriefFaces:
    """The column of faces."""

    def __init__(self, page: JobPage) -> None:
        self._page = page
        self._faces: tuple[Face, ...] = ()
        self._rows: dict[str, _Specimen] = {}
        self._shown: tuple[str, ...] | None = None
        self._weighed: tuple[str, str] | None = None
        with column("Face, by the words to be carved") as made:
            made.classes("brief-faces")
            self._list = ui.element("fieldset").classes("specimens").props('aria-label="Face" tabindex=-1')
            self._carving = BriefCarving(page, self._say_carving)
            self._others = words("", "quiet")
            self._weight = ui.element("div").classes("weights")
            BringIn(
                "Bring in a face of your own",
                "A font (TTF, OTF, WOFF, WOFF2)",
                ".ttf,.otf,.woff,.woff2",
                MOST_FACE_BYTES,
                self._brought,
            )
            self._kept = ui.element("div").props("role=status")

    def show(self, job: Job, standing: Standing) -> None:
        """The specimens with the words as they stand, the job's face chosen."""
        if not self._faces:
            if self._shown is None:
                self._shown = ()
                background_tasks.create(self._load())
            return
        self._carving.show(self._faces, standing)
        line = job.lines[0]
        for key, row in self._rows.items():
            row.choose(key == face_key(line.face))
        others = [f"line {one.number} in {one.face}" for one in job.lines if one.face != line.face]
        self._others.text = f"Set otherwise: {', '.join(others)}." if others else ""
        self._show_weight(job)
        wanted = tuple(one.words for one in job.lines)
        if wanted != self._shown and standing.state in ("ready", "wrong", "stopped"):
            self._shown = wanted
            background_tasks.create(self._show_words(wanted))

    def stop(self) -> None:
        """Leave off comparing faces."""
        self._carving.stop()

    def _say_carving(self, family: str, said: str) -> None:
        row = self._rows.get(face_key(family))
        if row is not None and not self._list.is_deleted:
            row.carve(said)

    async def _load(self) -> None:
        """Read which faces there are, and lay out their specimens."""
        self._faces = await asyncio.to_thread(list_faces, system=False)
        self._list.clear()
        with self._list:
            rules = "".join(
                f'@font-face{{font-family:"specimen {n}";src:url("{face_url(face.family, 400)}")}}'
                for n, face in enumerate(self._faces)
            )
            ui.element("style").props["innerHTML"] = rules
            self._rows = {
                face_key(face.family): _Specimen(face.family, n, self._choose) for n, face in enumerate(self._faces)
            }
        self._shown, self._weighed = (), None
        job = job_now(self._page.standing)
        if job is not None:
            self.show(job, self._page.standing)
            await self._show_words(tuple(line.words for line in job.lines))
            self._page.client.run_javascript(TO_CHOSEN)

    async def _show_words(self, wanted: tuple[str, ...]) -> None:
        for row in self._rows.values():
            row.say(wanted[0])
        families = [face.family for face in self._faces]
        lacking = await asyncio.to_thread(characters_lacking, families, "".join(wanted))
        for family, lacks in lacking.items():
            self._rows[face_key(family)].lack(lacks)

    async def _choose(self, family: str) -> None:
        await self._page.edit(SetKey(At("lettering"), "face", family))

    def _show_weight(self, job: Job) -> None:
        line = job.lines[0]
        by_match = "weight" in decided(job.match)
        said = "match" if by_match else f"{line.weight:g}" if line.weight is not None else "stem"
        if self._weighed == (line.face, said):
            return
        self._weighed = (line.face, said)
        face = next((one for one in self._faces if face_key(one.family) == face_key(line.face)), None)
        self._weight.clear()
        if by_match:
            with self._weight:
                words(f"Weight {BY_WHAT_IS_THERE}: its stems.", "quiet")
            return
        if face is None:
            return
        least, most = face.weight_range or (0, 0)
        offered = {*face.weights, *(weight for weight in WEIGHTS if least <= weight <= most)}
        options = [(f"{weight:g}", f"{weight:g}") for weight in sorted(offered | {line.weight or 400})]
        with self._weight:
            if line.weight is None:
                words("Its weight is chosen by the width of its stems.", "quiet")
                options.insert(0, ("stem", "by its stems"))
            ChoiceField("Weight", options, said, self._set_weight)

    async def _set_weight(self, value: str) -> None:
        if value != "stem":
            await set_value(self._page, At("lettering"), "weight", int(float(value)))

    # Faces brought in.

    async def _brought(self, file: FileUpload) -> None:
        self._kept.clear()
        taken = await take_face(file)
        if taken.in_the_way:
            data, name = await file.read(), file.name
            with self._kept:
                words(taken.in_the_way)
                word_button("Use this one instead", lambda: self._instead(data, name))
                word_button("Leave it as it is", self._kept.clear)
            return
        await self._taken(taken)

    async def _instead(self, data: bytes, name: str) -> None:
        await self._taken(await asyncio.to_thread(keep_face, data, name, instead=True))

    async def _taken(self, taken: KeptFace) -> None:
        look = taken.look
        self._kept.clear()
        with self._kept:
            began = f"{look.family} was kept before" if taken.already else f"{look.family} is kept"
            words(f"{began}. {' '.join(look.cautions)}".strip())
            words(f"Licence: {look.licence or 'it says none; make sure that you may use it'}.", "quiet")
            word_button(f"Carve in {look.family}", lambda: self._choose(look.family))
        await self._load()


class _Specimen:
    """The words in one face: choosing it is choosing the face."""

    def __init__(self, family: str, number: int, chosen: Callable[[str], Awaitable[None]]) -> None:
        self._family = family
        with ui.element("label").classes("specimen-row") as self._row:
            self._button = ui.element("input").props(f'type=radio name=face value="{number}"')
            self._button.props["aria-label"] = family
            self._words: TextElement = words("", "specimen", tag="span").style(f'font-family: "specimen {number}"')
            self._name = words(family, "family", tag="span")
            self._carving = words("", "carving", tag="span")
            self._button.props["aria-describedby"] = self._carving.html_id
        self._button.on("change", lambda _: chosen(family))

    def choose(self, on: bool) -> None:
        """Whether it is the job's face."""
        if on:
            self._button.props("checked")
            self._row.classes("chosen")
        else:
            self._button.props(remove="checked")
            self._row.classes(remove="chosen")

    def say(self, said: str) -> None:
        """The words, in this face."""
        self._words.text = said

    def carve(self, said: str) -> None:
        """What the words come to in wood."""
        self._carving.text = said

    def lack(self, lacks: str) -> None:
        """Which of their characters the face has no shape for."""
        self._name.text = f"{self._family} has no {' '.join(lacks)}" if lacks else self._family
        self._button.props["aria-label"] = self._name.text
        if lacks:
            self._row.classes("lacking")
        else:
            self._row.classes(remove="lacking")
