"""The worker's half of a worker process: limits first, then one answer a line.

Imports nothing heavy: a worker's start is a person's wait.
"""

from __future__ import annotations

import json
import math
import os
import signal
import sys
from collections.abc import Callable
from typing import Any

__all__ = ["OUT_OF_TIME", "TIME", "BadInput", "counts_processor_time", "serve"]

MOST_MEMORY = 2**30
"""Address space of a worker. [bytes] Our choice: an honest one maps a quarter of it, libraries included."""
CPU_SECONDS = 20.0
"""Processor time for one request that says none. [s] Our choice: that of a dense drawing."""
TIME = "seconds"
"""Under this name a request says how much of the processor's time it may take. [s]"""
OUT_OF_TIME = tuple(getattr(signal, name) for name in ("SIGPROF", "SIGXCPU") if hasattr(signal, name))
"""The signals that end a worker whose time is up."""
MOST_FILES = 32
"""Open files of a worker. Our choice: the font, the pipes and what an import needs."""

DAMAGED = "it cannot be read: it is damaged, or uses what only a few programs understand"
"""What is said of a file that a library trips over."""


class BadInput(Exception):
    """The file is at fault; the message says in what, for a person."""


def serve(handle: Callable[[dict[str, Any]], Any]) -> None:
    """Answer requests from standard input until it ends.

    Each line is a JSON object; handle gives the answer or raises BadInput. Any other exception is an answer too: a
    reader that trips over a file says that the file is at fault. Nothing a library prints reaches the tool.
    """
    _limit()
    out = os.fdopen(os.dup(1), "wb")
    with open(os.devnull, "wb") as nowhere:  # noqa: PTH123 (a device, and pathlib is an import the more)
        os.dup2(nowhere.fileno(), 1)
    for line in sys.stdin.buffer:
        try:
            request = json.loads(line)
            _more_time(float(request.pop(TIME, CPU_SECONDS)))
            answer: dict[str, Any] = {"answer": handle(request)}
            reply = json.dumps(answer, ensure_ascii=True, allow_nan=False, separators=(",", ":"))
        except BadInput as problem:
            reply = json.dumps({"refused": str(problem)})
        except MemoryError:
            reply = json.dumps({"refused": "reading it takes more memory than it may"})
        except Exception:  # a library's own words would tell a person nothing
            reply = json.dumps({"refused": DAMAGED})
        out.write(reply.encode() + b"\n")
        out.flush()


def _limit() -> None:
    """Take from this process what it does not need. Where the system has no such limits the tool's clock remains."""
    try:
        import resource
    except ImportError:  # Windows
        return
    for name, most in (
        ("RLIMIT_AS", MOST_MEMORY),
        ("RLIMIT_CORE", 0),
        ("RLIMIT_FSIZE", 0),
        ("RLIMIT_NOFILE", MOST_FILES),
    ):
        _lower(resource, name, most)


def _lower(resource: Any, name: str, most: int) -> None:
    kind = getattr(resource, name, None)
    if kind is None:
        return
    _, hard = resource.getrlimit(kind)
    most = most if hard == resource.RLIM_INFINITY else min(most, hard)
    try:
        resource.setrlimit(kind, (most, most))
    except (OSError, ValueError):  # macOS refuses some of them
        return


def counts_processor_time() -> bool:
    """Whether this system can end a process by the processor's time that it took."""
    return hasattr(signal, "setitimer") and hasattr(signal, "ITIMER_PROF")


def _more_time(seconds: float) -> None:
    """Another request, another ration of processor time. When it is used up the system ends this process."""
    if not counts_processor_time():
        return
    signal.setitimer(signal.ITIMER_PROF, seconds)
    try:
        import resource
    except ImportError:
        return
    used = resource.getrusage(resource.RUSAGE_SELF)  # a second way, for a library that touches timers
    _, hard = resource.getrlimit(resource.RLIMIT_CPU)
    soft = math.ceil(used.ru_utime + used.ru_stime + seconds) + 1
    try:
        resource.setrlimit(resource.RLIMIT_CPU, (soft if hard == resource.RLIM_INFINITY else min(soft, hard), hard))
    except (OSError, ValueError):
        return
