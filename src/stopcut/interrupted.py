"""Ctrl-C at any moment: one plain line, the shells' own exit status for it, nothing left by half.

`heed` is called before anything else is loaded. From then on Ctrl-C raises `Interrupted` where the work stands, so that
whatever is open is put away; where that takes too long (a library's long sum, a disk that does not answer), a thread
that waits for nothing else ends the process. A second Ctrl-C changes nothing of it.
"""

from __future__ import annotations

import contextlib
import os
import signal
import sys
import threading
import time
from types import FrameType
from typing import Final, NoReturn

__all__ = [
    "INTERRUPTED",
    "SAID",
    "Interrupted",
    "end",
    "finished",
    "heed",
    "interrupted",
    "leave_to_others",
    "unfinished",
]

INTERRUPTED: Final = 128 + signal.SIGINT
"""The exit status. Shells give it for a command that a signal ended (POSIX, Shell Command Language, 2.8.2)."""
GRACE_S: Final = 0.7
"""How long open things may take to be put away. [s] Our choice: with it the process has ended within a second."""
SAID: Final = "Stopped; nothing was changed by half."

unfinished: set[str] = set()
"""Paths of files that are being written beside those whose place they will take: gone with the process."""

_heeding = threading.Event()
_told = threading.Event()
_said = threading.Lock()


class Interrupted(BaseException):
    """Ctrl-C was pressed. No library knows of it, so that none says a word or goes on."""


def heed() -> None:
    """Have Ctrl-C end this process; where it is started with Ctrl-C ignored (`nohup`), that stays so."""
    if _heeding.is_set() or signal.getsignal(signal.SIGINT) is signal.SIG_IGN:
        return
    reading, writing = os.pipe()
    os.set_blocking(writing, False)
    signal.signal(signal.SIGINT, _interrupt)
    signal.set_wakeup_fd(writing, warn_on_full_buffer=False)
    _heeding.set()
    threading.Thread(target=_end_in_time, args=(reading,), daemon=True).start()


def leave_to_others() -> None:
    """Somebody else (a server) hears Ctrl-C from now on."""
    _heeding.clear()


def interrupted() -> bool:
    """Whether Ctrl-C was pressed."""
    return _told.is_set()


def end() -> NoReturn:
    """Say so and leave. Raises SystemExit."""
    _say()
    sys.exit(INTERRUPTED)


def finished() -> None:
    """The work is done and told: nothing is left that Ctrl-C could stop."""
    if _heeding.is_set():
        signal.signal(signal.SIGINT, signal.SIG_IGN)


def _interrupt(_signal: int, _frame: FrameType | None) -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    _told.set()
    sys.unraisablehook = threading.excepthook = _unheard
    raise Interrupted


def _unheard(_problem: object) -> None:
    """What is torn down is not told of."""


def _end_in_time(reading: int) -> None:
    """Runs in a thread: the interpreter writes each signal's number there at once, whatever the main thread does."""
    while os.read(reading, 1) != bytes([signal.SIGINT]) or not _heeding.is_set():
        pass
    time.sleep(GRACE_S)
    _told.set()
    for path in tuple(unfinished):
        with contextlib.suppress(OSError):
            os.unlink(path)  # noqa: PTH108 (pathlib is an import the more)
    _say()
    os._exit(INTERRUPTED)


def _say() -> None:
    """Once, below what the terminal shows of the key; its cursor, which progress hides, comes back."""
    if _said.acquire(blocking=False):
        with contextlib.suppress(OSError, ValueError):
            before = "\x1b[?25h\n" if os.isatty(2) else ""
            os.write(2, f"{before}{SAID}\n".encode())
