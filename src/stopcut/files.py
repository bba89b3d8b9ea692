"""Writing files so that a person has the old ones or the new, never half of one."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Mapping
from pathlib import Path

from stopcut.errors import BadFile

__all__ = ["write_together"]


def write_together(folder: Path, contents: Mapping[str, bytes]) -> tuple[Path, ...]:
    """Write files into folder (made if need be): all are written beside first, then each is renamed into place.

    contents maps plain file names to what goes into them. Returns their paths. Raises BadFile, with nothing renamed, if
    any could not be written.
    """
    staged: list[tuple[Path, Path]] = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, content in contents.items():
            handle, beside = tempfile.mkstemp(prefix=f".{name}.", suffix=".part", dir=folder)
            staged.append((Path(beside), folder / name))
            with os.fdopen(handle, "wb") as stream:
                stream.write(content)
                stream.flush()
                os.fsync(stream.fileno())
            Path(beside).chmod(0o666 & ~_umask())
        for beside_path, target in staged:
            beside_path.replace(target)
    except OSError as problem:
        raise BadFile(f"{folder}: {problem.strerror or problem}; nothing there was changed by half") from problem
    finally:
        for beside_path, _ in staged:
            beside_path.unlink(missing_ok=True)
    return tuple(target for _, target in staged)


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
