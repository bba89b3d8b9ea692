"""A job's text for another folder: the files it names by a path from its own folder are named from there."""

from __future__ import annotations

import os
import tomllib
from pathlib import Path

from stopcut.home import path_named
from stopcut.job.edit_values import At, SetKey
from stopcut.job.edits import apply
from stopcut.job.read import names_a_file

__all__ = ["text_for"]


def text_for(text: str, began: Path, folder: Path) -> str:
    """A right job's text, whose relative paths begin at the folder `began`, as it must read in another folder.

    Families, whole paths and those from a user's home stay as they are written. Raises Refused as `apply` does.
    """
    job = tomllib.loads(text)
    lines = [(At("line", n, one["words"]), one) for n, one in enumerate(job.get("line", []), 1)]
    faces = [
        (at, "face", one["face"]) for at, one in [(At("lettering"), job.get("lettering", {})), *lines] if "face" in one
    ]
    named = [one for one in faces if names_a_file(one[2])]
    named += [(At("ornament", n, one["file"]), "file", one["file"]) for n, one in enumerate(job.get("ornament", []), 1)]
    for at, key, path in named:
        seen = _seen_from(folder, began, path)
        if seen != path:
            text = apply(SetKey(at, key, seen), text).text
    return text


def _seen_from(folder: Path, began: Path, path: str) -> str:
    if path_named(path).is_absolute():
        return path
    whole, there = (began / path).absolute(), folder.absolute()
    if whole == (there / path).absolute():
        return path
    try:
        return Path(os.path.relpath(whole, there)).as_posix()
    except ValueError:  # another drive
        return whole.as_posix()
