"""What the server keeps in STOPCUT_HOME: browsers' sessions, the secret that signs them, a log without secrets."""

from __future__ import annotations

import contextlib
import io
import logging
import logging.handlers
import os
import re
import secrets
import tempfile
import threading
from collections.abc import Iterator
from pathlib import Path

from stopcut.errors import BadFile
from stopcut.home import home

__all__ = ["log_to_home", "server_folder", "signing_secret", "terminal_kept_clear"]

SECRET_BYTES = 32
"""Of the signing secret. Our choice: as long as the signature's own hash."""
MOST_LOG_BYTES = 2**20
"""A log of this length makes way for a new one; one old one is kept. Our choice."""
_SECRET = re.compile(r"((?<=\?)[^\s\"'?]+|(?<=key=)[^&\s\"']+|(?<=://)[^/\s@\"']+(?=@))")
"""What an address is asked with, a key, and who asks (RFC 3986, 3.2.1 and 3.4): the place alone is worth keeping."""


def server_folder() -> Path:
    """The folder `app` in STOPCUT_HOME, for this user's eyes alone; made if need be. Raises BadFile."""
    folder = home() / "app"
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        with contextlib.suppress(OSError):  # a file system without such permissions
            folder.chmod(0o700)
    except OSError as problem:
        raise BadFile(
            f"{folder} cannot be made ({problem.strerror or problem}); stopcut keeps its things there."
        ) from problem
    return folder


def signing_secret() -> str:
    """The secret that signs a browser's session, the same on every start. Raises BadFile."""
    path = server_folder() / "secret"
    try:
        for _ in range(2):
            with contextlib.suppress(FileNotFoundError):
                kept = path.read_text(encoding="ascii").strip()
                if len(kept) >= SECRET_BYTES:
                    path.chmod(0o600)
                    return kept
                path.unlink()
            _keep_new(path)
        return path.read_text(encoding="ascii").strip()
    except (OSError, UnicodeError) as problem:
        raise BadFile(f"{path} cannot be read or written; take it away and start again.") from problem


def _keep_new(path: Path) -> None:
    """A new secret whole at path, unless another start was quicker."""
    handle, beside = tempfile.mkstemp(prefix=".secret.", dir=path.parent)  # mkstemp makes it for this user alone
    try:
        with os.fdopen(handle, "w", encoding="ascii") as stream:
            stream.write(secrets.token_urlsafe(SECRET_BYTES))
            stream.flush()
            os.fsync(stream.fileno())
        with contextlib.suppress(FileExistsError):
            path.hardlink_to(beside)
    finally:
        Path(beside).unlink(missing_ok=True)


def log_to_home() -> None:
    """Send what the server's libraries have to say to a file, so that the terminal stays a carver's. Raises BadFile."""
    path = server_folder() / "app.log"
    try:
        handler = logging.handlers.RotatingFileHandler(
            path, maxBytes=MOST_LOG_BYTES, backupCount=1, encoding="utf-8", delay=False
        )
    except OSError as problem:
        raise BadFile(f"{path} cannot be written ({problem.strerror or problem}).") from problem
    handler.setFormatter(_Scrubbed("%(asctime)s %(levelname)s %(name)s: %(message)s"))
    root = logging.getLogger()
    root.handlers[:] = [handler]
    root.setLevel(logging.WARNING)


@contextlib.contextmanager
def terminal_kept_clear() -> Iterator[None]:
    """Whatever libraries write to the terminal's standard error meanwhile goes to the log: it is no carver's."""
    with contextlib.redirect_stderr(_ToLog()):
        yield


class _ToLog(io.TextIOBase):
    """A standard error whose lines are the log's. What the log itself cannot write (a full disk) is dropped."""

    def __init__(self) -> None:
        self._within = threading.local()

    def writable(self) -> bool:
        return True

    def write(self, text: str) -> int:
        if text.strip() and not getattr(self._within, "logging", False):
            self._within.logging = True
            try:
                logging.getLogger("stderr").warning("%s", text.rstrip())
            finally:
                self._within.logging = False
        return len(text)


class _Scrubbed(logging.Formatter):
    """Lines without what any address was asked with, and without any key or password."""

    def format(self, record: logging.LogRecord) -> str:
        return _SECRET.sub("…", super().format(record))
