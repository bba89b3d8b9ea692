"""Faces and ornaments that are brought to the app, and jobs that name files.

What is brought is measured while it comes in, read in a process that may die before any of it is kept, and kept in
STOPCUT_HOME under a name of our own making. A job brought into the app opens nothing but that: a face by its family, an
ornament by its plain name.
"""

from __future__ import annotations

import asyncio
import contextlib
import re
import stat
import tempfile
import threading
from collections.abc import AsyncIterator
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

from stopcut.errors import BadFile, Fault
from stopcut.files import write_together
from stopcut.foreign.svg import read_svg
from stopcut.home import home
from stopcut.job.faults import fault_of, fault_of_line
from stopcut.job.job import Job
from stopcut.lettering.faces import names_a_path
from stopcut.lettering.uploaded import RESERVED, FaceLook, faces_folder, in_the_way, look_at_face, plain_name

__all__ = [
    "MOST_FACE_BYTES",
    "MOST_ORNAMENT_BYTES",
    "KeptFace",
    "KeptOrnament",
    "Sent",
    "job_folder",
    "keep_face",
    "keep_ornament",
    "ornaments_at_hand",
    "outside_paths",
    "take_face",
    "take_ornament",
]

MOST_FACE_BYTES = 20 * 2**20
"""Largest face that is taken. Our choice: the largest faces of Latin letters take a tenth of it."""
MOST_ORNAMENT_BYTES = 2 * 2**20
"""Largest drawing that is taken. Our choice: an ornament of 20,000 points takes half a megabyte."""
CHUNK_BYTES = 2**18
FONTS = {b"\0\1\0\0": ".ttf", b"true": ".ttf", b"OTTO": ".otf", b"wOFF": ".woff", b"wOF2": ".woff2"}
"""How font files begin (OpenType specification, "Table Directory"; W3C WOFF File Format 1.0 and 2.0)."""
OTHERS = {
    b"ttcf": "it is a collection of several faces; save the one you want as a font of its own",
    b"PK\3\4": "it is a zip; unpack it and bring the font that is in it",
    b"%PDF": "it is a PDF",
    b"\x89PNG": "it is a picture",
    b"\xff\xd8\xff": "it is a picture",
    b"\x1f\x8b": "it is compressed; unpack it first",
}
"""How files begin that people bring by mistake, and what to say of them."""

_PLAIN = re.compile(r"\w[\w .,'()&+-]*\.svg", re.IGNORECASE)
_keeping = threading.Lock()


class Sent(Protocol):
    """A file on its way in, as the page hands it over."""

    name: str

    def iterate(self, *, chunk_size: int = ...) -> AsyncIterator[bytes]:
        """Its content, piece by piece."""


@dataclass(frozen=True, slots=True)
class KeptFace:
    """A face that is kept, or in_the_way of being kept until the carver says so ("" where it is kept).

    already says that this very file had been kept before.
    """

    look: FaceLook
    in_the_way: str = ""
    already: bool = False


@dataclass(frozen=True, slots=True)
class KeptOrnament:
    """A drawing that is kept: by which name jobs call it, and its size as drawn. [mm]"""

    name: str
    width_mm: float
    height_mm: float
    already: bool = False


async def take_face(sent: Sent, *, instead: bool = False) -> KeptFace:
    """Take in a face from the page; see keep_face. Raises BadFile where it is too large."""
    data = await _whole(sent, MOST_FACE_BYTES)
    return await asyncio.to_thread(keep_face, data, sent.name, instead=instead)


async def take_ornament(sent: Sent) -> KeptOrnament:
    """Take in a drawing from the page; see keep_ornament. Raises BadFile where it is too large."""
    data = await _whole(sent, MOST_ORNAMENT_BYTES)
    return await asyncio.to_thread(keep_ornament, data, sent.name)


def keep_face(data: bytes, name: str, *, instead: bool = False) -> KeptFace:
    """Keep a font file's content, brought under this name, as a face that jobs name by its family.

    Where that would change jobs there are (a family that comes with stopcut, another file of the same weight), it is
    told and nothing is kept, unless it is to be kept instead. Raises BadFile, with a reason for the carver, for what is
    no usable font.
    """
    suffix = _font_suffix(data, name)
    look = _looked_at(data, name, suffix)
    with _keeping:
        told, standing = in_the_way(look, data)
        if standing is not None and not told:
            return KeptFace(look, already=True)
        if told and not instead:
            return KeptFace(look, in_the_way=told)
        kept_as = look.file_name
        if standing is not None:
            if standing.parent != faces_folder() or standing.suffix.lower() != suffix:
                raise BadFile(f"{_shown(name)} was not kept: take {standing} away first, whose place it would take.")
            kept_as = standing.name
        write_together(faces_folder(), {_free(faces_folder(), kept_as) if standing is None else kept_as: data})
    return KeptFace(look)


def keep_ornament(data: bytes, name: str) -> KeptOrnament:
    """Keep a drawing's content (SVG), brought under this name, by a plain name that no other drawing has.

    Raises BadFile, with a reason for the carver, for what is no drawing of closed shapes.
    """
    _refuse_size(len(data), MOST_ORNAMENT_BYTES, name)
    _refuse_others(data, name)
    with tempfile.TemporaryDirectory(prefix="stopcut-") as folder:
        path = Path(folder) / "drawing.svg"
        path.write_bytes(data)
        try:
            box = read_svg(path).bounds
        except BadFile as problem:
            raise BadFile(_refused(name, problem)) from problem
    with _keeping:
        width, height = box.right - box.left, box.top - box.bottom
        for there in ornaments_at_hand():
            with contextlib.suppress(OSError):
                if (job_folder() / there).read_bytes() == data:
                    return KeptOrnament(there, width, height, already=True)
        kept_as = _free(job_folder(), plain_name(_stem(name)) + ".svg")
        write_together(job_folder(), {kept_as: data})
    return KeptOrnament(kept_as, width, height)


def job_folder() -> Path:
    """From where the files are named of a job that is read in the app: the carver's own ornaments. Not made here."""
    return home() / "ornaments"


def ornaments_at_hand() -> tuple[str, ...]:
    """The names of the drawings that a job in the app may use, sorted."""
    try:
        names = [path.name for path in job_folder().iterdir()]
    except OSError:
        return ()
    return tuple(sorted(name for name in names if _is_at_hand(name)))


def outside_paths(job: Job) -> tuple[Fault, ...]:
    """Every file that a job names and the app does not open for it: a face by its path, an ornament not at hand.

    Nothing of the file system is looked at for a name that is not plain. Empty where the job may be worked out.
    """
    found = []
    for line in job.lines:
        if names_a_path(line.face.strip()):
            what = f"{_shown(line.face)} is a file's path, and the app opens none"
            found.append(
                fault_of_line(job, line.number, "face", what, "bring the font in here, then name it by its family")
            )
    for ornament in job.ornaments:
        if not _is_at_hand(ornament.file):
            plain = _is_plain(ornament.file)
            what = (
                f"there is no drawing {_shown(ornament.file)} here" if plain else f"{_shown(ornament.file)} is a path"
            )
            remedy = (
                "bring the drawing in here" if plain else "bring the drawing in here, then name it without a folder"
            )
            found.append(fault_of(job, ("ornament", ornament.number - 1, "file"), what, remedy))
    return tuple(dict.fromkeys(found))


def _is_plain(name: str) -> bool:
    return bool(_PLAIN.fullmatch(name)) and name.partition(".")[0].strip().casefold() not in RESERVED


def _is_at_hand(name: str) -> bool:
    """Whether a name is plain and that of a file in the ornaments' folder itself, not of a link to elsewhere."""
    if not _is_plain(name):
        return False
    try:
        return stat.S_ISREG((job_folder() / name).lstat().st_mode)
    except (OSError, ValueError):
        return False


async def _whole(sent: Sent, most: int) -> bytes:
    """All of a file, as long as it is no larger than it may be."""
    pieces: list[bytes] = []
    length = 0
    async for piece in sent.iterate(chunk_size=CHUNK_BYTES):
        length += len(piece)
        _refuse_size(length, most, sent.name)
        pieces.append(piece)
    return b"".join(pieces)


def _refuse_size(length: int, most: int, name: str) -> None:
    if length > most:
        raise BadFile(f"{_shown(name)} was not kept: it is larger than {most // 2**20} MB.")
    if length == 0:
        raise BadFile(f"{_shown(name)} was not kept: it is empty.")


def _refuse_others(data: bytes, name: str) -> None:
    for begins, says in OTHERS.items():
        if data.startswith(begins):
            raise BadFile(f"{_shown(name)} was not kept: {says}.")


def _font_suffix(data: bytes, name: str) -> str:
    """What kind of font it is by its content, as the end of its name."""
    _refuse_size(len(data), MOST_FACE_BYTES, name)
    _refuse_others(data, name)
    if data[:4] not in FONTS:
        raise BadFile(f"{_shown(name)} was not kept: it is no font (TTF, OTF, WOFF or WOFF2).")
    return FONTS[data[:4]]


def _looked_at(data: bytes, name: str, suffix: str) -> FaceLook:
    with tempfile.TemporaryDirectory(prefix="stopcut-") as folder:
        path = Path(folder) / f"face{suffix}"
        path.write_bytes(data)
        try:
            return look_at_face(path, suffix, _stem(name))
        except BadFile as problem:
            raise BadFile(_refused(name, problem)) from problem


def _refused(name: str, problem: BadFile) -> str:
    """Why a file was not kept, under the name that the carver knows it by."""
    said = str(problem)
    _, mark, why = said.partition(" cannot be used as ")
    why = why.partition(": ")[2] if mark else said[:1].lower() + said[1:]
    return f"{_shown(name)} was not kept: {why}"


def _free(folder: Path, name: str) -> str:
    """The name, or with a number after it where it is taken in the folder."""
    try:
        taken = {path.name.casefold() for path in folder.iterdir()}
    except OSError:
        return name
    stem, dot, suffix = name.rpartition(".")
    number, free = 1, name
    while free.casefold() in taken:
        number += 1
        free = f"{stem}-{number}{dot}{suffix}"
    return free


def _stem(name: str) -> str:
    """A brought file's name without folders before it and its type after it."""
    last = re.split(r"[/\\]", name)[-1]
    return last.rpartition(".")[0] or last


def _shown(name: str) -> str:
    """A name as it can be shown: on one line, and not endless."""
    plain = "".join(c if c.isprintable() else " " for c in name).strip()
    return (plain if len(plain) <= 80 else f"{plain[:79]}…") or "The file"
