"""Reading a job: from a file or a text to a Job, or to every fault at once."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Final

from pydantic import ValidationError

from stopcut.errors import WrongJob
from stopcut.job.document import Document
from stopcut.job.faults import all_faults
from stopcut.job.job import Job
from stopcut.job.resolve import resolved
from stopcut.written.model_faults import FaultAt, as_faults
from stopcut.written.places import find_places
from stopcut.written.toml import text_of, toml_of

__all__ = ["FONT_SUFFIXES", "names_a_file", "parse_job", "path_of", "read_job"]

FONT_SUFFIXES: Final = (".ttf", ".otf", ".ttc", ".otc", ".woff", ".woff2")


def read_job(path: Path) -> Job:
    """Read a job file. Relative paths in it begin at its folder, and the files it names must be there.

    Raises WrongJob with every fault found; an unreadable file is a fault too.
    """
    text = text_of(path)
    job = parse_job(text, path.name, base_folder=path.parent)
    found = list(_missing_files(job))
    if found:
        raise WrongJob(as_faults(found, find_places(text)))
    return job


def parse_job(text: str, name: str = "job.toml", *, base_folder: Path | None = None) -> Job:
    """The job that a text says. Opens no file. Raises WrongJob with every fault found."""
    raw = toml_of(text)
    document: Document | None = None
    problem: ValidationError | None = None
    try:
        document = Document.model_validate(raw, context={"units": raw.get("units")})
    except ValidationError as wrong:
        problem = wrong
    faults = all_faults(raw, problem, text)
    if document is None or faults:
        raise WrongJob(faults)
    return resolved(document, name=name, text=text, base_folder=base_folder)


def names_a_file(face: str) -> bool:
    """Whether a face is the path of a font file rather than a family's name."""
    return "/" in face or "\\" in face or _whole_file(face).lower().endswith(FONT_SUFFIXES)


def _whole_file(face: str) -> str:
    """The font file of a face that may be a member of it: "gate.ttc" for "gate.ttc#1"."""
    file, mark, member = face.rpartition("#")
    return file if mark and member.isdecimal() else face


def path_of(job: Job, file: str) -> Path:
    """Where a file that the job names is."""
    return (job.base_folder or Path()) / file


def _missing_files(job: Job) -> list[FaultAt]:
    found: list[FaultAt] = []
    spots = find_places(job.text).spots
    faces = {("lettering", "face"), *(("line", line.number - 1, "face") for line in job.lines)}
    for key in faces & spots.keys():
        face = tomllib.loads("face = " + job.text[spots[key].value_start : spots[key].value_end])["face"]
        if names_a_file(face):
            found += [
                (key, what, "give the path of a font file, from this file's folder")
                for what in _not_a_file(path_of(job, _whole_file(face)))
            ]
    for ornament in job.ornaments:
        found += [
            (("ornament", ornament.number - 1, "file"), what, "give the path of an SVG file, from this file's folder")
            for what in _not_a_file(path_of(job, ornament.file))
        ]
    return found


def _not_a_file(path: Path) -> list[str]:
    try:
        if path.is_dir():
            return [f"{path} is a folder"]
        return [] if path.is_file() else [f"there is no file {path}"]
    except (OSError, ValueError):
        return [f"{path!s} cannot be looked at"]
