"""The tool's half of a worker process: it asks in lines of JSON and waits no longer than it must.

A worker is started once for one file and serves many requests. Whatever goes wrong in it (a crash, a hang, memory
eaten, an answer that is too long or is no answer) comes out as `Gone`, the worker is ended, and the next request
starts a new one. What comes back is JSON and nothing else, so an answer can hold data but never code.
"""

from __future__ import annotations

import atexit
import contextlib
import json
import os
import signal
import subprocess
import sys
import threading
from collections import OrderedDict
from typing import Any

from stopcut.foreign.inside import OUT_OF_TIME, TIME, counts_processor_time

__all__ = ["Child", "Children", "FileRefused", "Gone"]

SECONDS = 10.0
"""Processor time for one answer. [s] Our choice: a line of the slowest honest font takes a hundredth of it."""
PATIENCE = 8.0
"""How many times as long an answer may take by the clock on the wall, where the system counts processor time: on a busy
machine an honest reader waits for its turn. Our choice: eight readers on one processor."""
MOST_BYTES = 16 * 2**20
"""Longest answer. Our choice: a thousand different glyphs of dense honest outlines take half of it."""
MOST_CHILDREN = 6
"""Workers kept at a time. Our choice: a board has few faces, and an idle worker holds some 30 MB."""


class Gone(Exception):
    """The worker did not answer; the message says what became of it, for a person."""


class FileRefused(Exception):
    """The worker answered that the file is at fault; the message says in what."""


class Child:
    """One worker: `python -m module *arguments`, started on the first request and again after a death.

    Requests and answers are JSON values; one request at a time (threads queue). seconds is the processor time that an
    answer may take.
    """

    def __init__(self, module: str, *arguments: str, seconds: float = SECONDS, most_bytes: int = MOST_BYTES) -> None:
        self._command = [sys.executable or "python3", "-P", "-X", "utf8", "-m", module, *arguments]
        self._seconds, self._most_bytes = seconds, most_bytes
        self._process: subprocess.Popen[bytes] | None = None
        self._owner = os.getpid()
        self._lock = threading.Lock()

    def ask(self, request: dict[str, Any], *, seconds: float | None = None) -> Any:
        """The worker's answer.

        Raises Refused where the worker says that the file is at fault, Gone where no answer came within the limits.
        """
        with self._lock:
            return self._ask(request, self._seconds if seconds is None else seconds)

    @property
    def running(self) -> bool:
        """Whether a worker is there and alive."""
        return self._process is not None and self._process.poll() is None

    def close_when_idle(self) -> None:
        """End the worker once it is not in the middle of an answer that another thread waits for."""
        if self._lock.acquire(blocking=False):
            try:
                self.close()
            finally:
                self._lock.release()
        else:
            threading.Thread(target=self._close_later, daemon=True).start()

    def _close_later(self) -> None:
        with self._lock:
            self.close()

    def close(self) -> None:
        """End the worker, if there is one."""
        process, self._process = self._process, None
        if process is None or self._owner != os.getpid():
            return
        with contextlib.suppress(OSError):
            process.kill()
        for pipe in (process.stdin, process.stdout):
            if pipe is not None:
                with contextlib.suppress(OSError):
                    pipe.close()
        process.wait()

    def _ask(self, request: dict[str, Any], seconds: float) -> Any:
        line = json.dumps({**request, TIME: seconds}, ensure_ascii=True).encode() + b"\n"
        wait = seconds * (PATIENCE if counts_processor_time() else 1.0)
        process = self._running()
        assert process.stdin is not None
        assert process.stdout is not None
        late = threading.Event()
        timer = threading.Timer(wait, _end, (process, late))
        timer.daemon = True
        timer.start()
        try:
            process.stdin.write(line)
            process.stdin.flush()
            reply = process.stdout.readline(self._most_bytes + 1)
        except OSError:
            reply = b""
        finally:
            timer.cancel()
        if not reply.endswith(b"\n"):
            raise Gone(self._what_became(process, late.is_set(), len(reply), seconds, wait))
        try:
            answer = json.loads(reply)
        except (ValueError, RecursionError):
            answer = None
        if isinstance(answer, dict) and "refused" in answer:
            raise FileRefused(str(answer["refused"])[:400])
        if not isinstance(answer, dict) or "answer" not in answer:
            self.close()
            raise Gone("reading it gave no sense")
        return answer["answer"]

    def _running(self) -> subprocess.Popen[bytes]:
        if self._owner != os.getpid():  # a forked copy of the tool must not share its parent's pipes
            self._process, self._owner = None, os.getpid()
        if self._process is None or self._process.poll() is not None:
            self.close()
            try:
                self._process = subprocess.Popen(
                    self._command,
                    stdin=subprocess.PIPE,
                    stdout=subprocess.PIPE,
                    stderr=subprocess.DEVNULL,
                    creationflags=getattr(subprocess, "CREATE_NO_WINDOW", 0),  # no console flashing up on Windows
                )
            except OSError as problem:
                raise Gone(f"no process could be started to read it ({problem.strerror})") from problem
        return self._process

    def _what_became(
        self, process: subprocess.Popen[bytes], late: bool, length: int, seconds: float, wait: float
    ) -> str:
        if length <= self._most_bytes and not late:  # its pipe is closed: it is ending, so its status is worth a wait
            with contextlib.suppress(subprocess.TimeoutExpired):
                process.wait(1.0)
        status = process.poll()
        self.close()
        if late:
            return f"reading it was not done after {wait:g} seconds"
        if length > self._most_bytes:
            return f"what it draws is beyond {self._most_bytes // 2**20} MB"
        if status is not None and -status in OUT_OF_TIME:
            return f"reading it was not done after {seconds:g} seconds of the processor's time"
        if status is not None and status < 0:
            with contextlib.suppress(ValueError):
                return f"reading it crashed ({signal.Signals(-status).name})"
        return "reading it crashed"


def _end(process: subprocess.Popen[bytes], late: threading.Event) -> None:
    late.set()
    with contextlib.suppress(OSError):
        process.kill()


class Children:
    """A few workers at a time, by key; the one unused for longest is ended when another is wanted."""

    def __init__(self, module: str, *, most: int = MOST_CHILDREN) -> None:
        self._module, self._most = module, most
        self._children: OrderedDict[tuple[str, ...], Child] = OrderedDict()
        self._lock = threading.Lock()
        atexit.register(self.close)

    def of(self, *arguments: str, stamp: str = "") -> Child:
        """The worker for these arguments; another stamp (a file that changed) makes another worker."""
        key = (*arguments, stamp)
        with self._lock:
            if key in self._children:
                self._children.move_to_end(key)
            else:
                self._children[key] = Child(self._module, *arguments)
                while len(self._children) > self._most:
                    _, old = self._children.popitem(last=False)
                    old.close_when_idle()
            return self._children[key]

    def close(self) -> None:
        """End them all."""
        with self._lock:
            while self._children:
                self._children.popitem()[1].close()
