"""Writing files so that a person has the old ones or the new, never half of one."""

from __future__ import annotations

import contextlib
import errno
import os
import secrets
from collections.abc import Mapping
from pathlib import Path

from stopcut.errors import BadFile
from stopcut.interrupted import unfinished

__all__ = ["write_together"]


def write_together(folder: Path, contents: Mapping[str, bytes]) -> tuple[Path, ...]:
    """Write files into folder (made if need be): all are written beside first, then each is renamed into place.

    contents maps plain file names to what goes into them. Returns their paths. Raises BadFile, with nothing renamed, if
    any could not be written.
    """
    staged: list[tuple[Path, Path]] = []
    made = not folder.exists()
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, content in contents.items():
            beside = folder / f".{name}.{secrets.token_hex(8)}.part"
            staged.append((beside, folder / name))
            unfinished.add(str(beside))
            with beside.open("xb") as stream:  # made with the rights of any other new file, whatever the umask is
                stream.write(content)
                stream.flush()
                os.fsync(stream.fileno())
        for beside_path, target in staged:
            beside_path.replace(target)
    except OSError as problem:
        raise BadFile(_said(folder, problem)) from problem
    finally:
        for beside_path, _ in staged:
            with contextlib.suppress(OSError):  # the folder itself was not to be had
                beside_path.unlink(missing_ok=True)
            unfinished.discard(str(beside_path))
        if made:
            with contextlib.suppress(OSError):  # it holds something, or never came to be
                folder.rmdir()
    return tuple(target for _, target in staged)


def _said(folder: Path, problem: OSError) -> str:
    """What went wrong with a folder, in the carver's words."""
    if isinstance(problem, FileExistsError | NotADirectoryError):
        return f"{folder} cannot be written to: it is a file, or stands in one. Name a folder."
    if isinstance(problem, FileNotFoundError):
        return f"{folder} cannot be made there. Name another folder."
    if problem.errno in (errno.ENOSPC, errno.EDQUOT):
        return (
            f"{folder} could not be written to: the disk is full. Make room and try again; nothing was changed by half."
        )
    if isinstance(problem, PermissionError):
        return f"{folder} may not be written to. Name another folder, or ask who it belongs to."
    return f"{folder} could not be written to ({problem.strerror or problem}); nothing there was changed by half."
