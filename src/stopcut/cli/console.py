"""Saying things in a terminal: progress for what takes a while, findings and faults in plain words."""

from __future__ import annotations

import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

import click

from stopcut.errors import Fault, Finding, Severity

if TYPE_CHECKING:
    from rich.status import Status

    from stopcut.work import Cause, Work

__all__ = ["Teller"]

PATIENCE_S = 1.0
"""Progress is shown for what takes longer than this. [s] Our choice, as long as a person waits without wondering."""

_ORDER = list(Severity)

_UNSEEN = dict.fromkeys((7, 8, 11, 12, 13))
"""Control codes that would move or ring a terminal: left out of what is said."""


class Teller:
    """One command's voice. Results go to standard output; progress, findings and faults to standard error."""

    def __init__(self, quiet: bool = False, *, results: bool = True) -> None:
        self.quiet, self._results = quiet, results
        self._started = time.monotonic()
        self._status: Status | None = None
        self._doing = ""
        self._lock = threading.RLock()

    def say(self, text: str = "") -> None:
        """A result, unless the carver asked for quiet or for figures alone."""
        if not self.quiet and self._results:
            click.echo(text.translate(_UNSEEN), file=sys.stdout)

    def fault(self, fault: Fault | str) -> None:
        """Something wrong with the job or the request."""
        click.echo(str(fault).translate(_UNSEEN), file=sys.stderr)

    def finding(self, finding: Finding) -> None:
        """One finding: how much it matters, where, what it says, what would mend it."""
        said = f"{_where(finding)}{finding.says} {finding.remedy}".translate(_UNSEEN)
        click.echo(click.style(f"{finding.severity}: ", bold=True) + said, file=sys.stderr)

    def findings(self, findings: tuple[Finding, ...]) -> None:
        """All of them, the gravest first."""
        for finding in sorted(findings, key=lambda finding: _ORDER.index(finding.severity)):
            self.finding(finding)

    def causes(self, work: Work) -> None:
        """What is worth saying of a board: each cause once, the gravest first."""
        for cause in work.causes:
            many = len(cause.lines) > 1
            told = " ".join(part for part in (cause.says, cause.more, cause.remedy) if part)
            said = (told if many else f"{_where(cause)}{told}").translate(_UNSEEN)
            click.echo(click.style(f"{cause.severity}: ", bold=True) + said, file=sys.stderr)

    @contextmanager
    def working(self) -> Iterator[None]:
        """Progress may show while this lasts, and is gone when it ends."""
        waiting = threading.Timer(max(0.0, self._started + PATIENCE_S - time.monotonic()), self._show)
        waiting.daemon = True
        waiting.start()
        try:
            yield
        finally:
            waiting.cancel()
            with self._lock:
                self._doing = ""
                if self._status is not None:
                    self._status.stop()
                    self._status = None

    def progress(self, doing: str, done: float) -> None:
        """What is being done and how far; shown once the command has taken a while, and only to a terminal."""
        with self._lock:
            self._doing = f"{doing} {done:.0%}" if done else doing
            if time.monotonic() - self._started >= PATIENCE_S:
                self._show()

    def _show(self) -> None:
        """Runs in the command's own thread, or once it has taken a while in one that waited for that."""
        with self._lock:
            if self.quiet or not self._doing or not sys.stderr.isatty():
                return
            if self._status is None:
                from rich.console import Console  # only loaded for what takes a while

                self._status = Console(stderr=True, highlight=False).status("", spinner="line")
            self._status.update(self._doing)
            self._status.start()


def _where(finding: Finding | Cause) -> str:
    """The finding's place to stand before it, unless its words name the line already."""
    where = finding.where
    if where.line is None or f"line {where.line}" in finding.says.lower():
        return ""
    return f"line {where.line}, letter {where.index}: " if where.index else f"line {where.line}: "
