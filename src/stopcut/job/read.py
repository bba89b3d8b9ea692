"""Reading a job: from a file or a text to a Job, or to every fault at once."""

from __future__ import annotations

import re
import stat
import tomllib
from pathlib import Path
from typing import Any, Final

from pydantic import ValidationError

from stopcut.errors import Fault, WrongJob
from stopcut.job.document import Document
from stopcut.job.faults import FaultAt, all_faults, as_faults
from stopcut.job.job import Job
from stopcut.job.places import find_places
from stopcut.job.resolve import resolved

__all__ = ["FONT_SUFFIXES", "MOST_BYTES", "names_a_file", "parse_job", "path_of", "read_job"]

MOST_BYTES: Final = 1_000_000  # our choice: a job of a thousand lines is a tenth of this
FONT_SUFFIXES: Final = (".ttf", ".otf", ".ttc", ".otc", ".woff", ".woff2")

_AT: Final = re.compile(r"\s*\(at (?:line (\d+), column (\d+)|end of document)\)$")
# What tomllib says, and what a carver can do about it. The first that is part of its message counts.
_SYNTAX: Final = (
    ("overwrite a value", "a setting or table is given twice", "keep one of the two"),
    ("twice", "a setting or table is given twice", "keep one of the two"),
    ("mutate immutable", "a table is added to after it was finished", "put all its settings in one place"),
    ("immutable", "a table is added to after it was finished", "put all its settings in one place"),
    ("Expected '=' after a key", "there is no = after the key", "write key = value"),
    ("Invalid statement", "this is no setting", "write key = value, or [table]"),
    ("Unclosed array", "a [ is never closed", "close the list with ]"),
    ("Unclosed inline table", "a { is never closed", "close it with }"),
    ("Unterminated string", "a text is never closed", 'close it with the same quote, "'),
    ("Expected newline or end", "something follows the value", "one setting a line; words go in quotes"),
    ("Illegal character", "there is a character that may not stand here", "close the text's quotes on the same line"),
    ("Invalid value", "there is no value here", 'write a number, or words in quotes, "…"'),
    ("backslash", "a backslash stands before a letter it does not go with", "write it twice, or use 'single quotes'"),
)


def read_job(path: Path) -> Job:
    """Read a job file. Relative paths in it begin at its folder, and the files it names must be there.

    Raises WrongJob with every fault found; an unreadable file is a fault too.
    """
    text = _text_of(path)
    job = parse_job(text, path.name, base_folder=path.parent)
    found = list(_missing_files(job))
    if found:
        raise WrongJob(as_faults(found, find_places(text)))
    return job


def parse_job(text: str, name: str = "job.toml", *, base_folder: Path | None = None) -> Job:
    """The job that a text says. Opens no file. Raises WrongJob with every fault found."""
    raw = _toml(text)
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
    return "/" in face or "\\" in face or face.lower().endswith(FONT_SUFFIXES)


def path_of(job: Job, file: str) -> Path:
    """Where a file that the job names is."""
    return (job.base_folder or Path()) / file


def _toml(text: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise _whole("lists or tables are nested too deeply", "write them flat") from None
    except ValueError as problem:  # TOMLDecodeError, and numbers of thousands of digits
        raise WrongJob((_syntax_fault(str(problem), text),)) from None


def _syntax_fault(message: str, text: str) -> Fault:
    at = _AT.search(message)
    line = (int(at[1]) if at[1] else text.count("\n") + 1) if at else None
    for part, found, remedy in _SYNTAX:
        if part in message:
            return Fault("", line, found, remedy)
    said = _AT.sub("", message)
    return Fault("", line, f"this is no TOML ({said[:1].lower()}{said[1:]})", "write key = value, or [table]")


def _text_of(path: Path) -> str:
    try:
        status = path.stat()
        if stat.S_ISDIR(status.st_mode):
            raise _whole(f"{path} is a folder", "name the job file in it")
        if not stat.S_ISREG(status.st_mode):
            raise _whole(f"{path} is no ordinary file", "name a job file")
        with path.open("rb") as stream:
            content = stream.read(MOST_BYTES + 1)
    except OSError as problem:
        reason = problem.strerror or str(problem)
        raise _whole(f"{path} cannot be read: {reason}", "check its name, or make one: stopcut new JOB") from None
    except ValueError:  # a path with a zero byte in it
        raise _whole("the file's name has a character that no name may have", "check its name") from None
    if len(content) > MOST_BYTES:
        raise _whole(f"{path} has more than {MOST_BYTES // 1000} kB", "a job file is much smaller: is this one?")
    return _decoded(content)


def _decoded(content: bytes) -> str:
    """The text, without the mark that some editors put before it."""
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        line = content.count(b"\n", 0, problem.start) + 1
        fault = Fault("", line, "the file is not written in UTF-8", "save it as plain text, UTF-8")
        raise WrongJob((fault,)) from None


def _missing_files(job: Job) -> list[FaultAt]:
    found: list[FaultAt] = []
    spots = find_places(job.text).spots
    faces = {("lettering", "face"), *(("line", line.number - 1, "face") for line in job.lines)}
    for key in faces & spots.keys():
        face = tomllib.loads("face = " + job.text[spots[key].value_start : spots[key].value_end])["face"]
        if names_a_file(face):
            found += [
                (key, what, "give the path of a font file, from this file's folder")
                for what in _not_a_file(path_of(job, face))
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


def _whole(found: str, remedy: str) -> WrongJob:
    return WrongJob((Fault("", None, found, remedy),))
