"""The app in a process of its own, asked oddly at its door, or killed under the edits of two windows.

The windows are sockets without a browser: they are told what a page would be told, and edit faster.
"""

from __future__ import annotations

import contextlib
import random
import time
from collections.abc import Iterator
from pathlib import Path

from benchmarks.workshop import Workshop
from tests.raw_window import Noting

from seek.door import SECRET, asked, odd_request, what_is_wrong
from stopcut.job.edits import At, SetKey, apply
from stopcut.job.new import demo_job_text
from stopcut.store import open_store

__all__ = ["KILLS", "REQUESTS", "edits_under_kills", "requests_at_the_door"]

REQUESTS = 40
"""Requests of one case. Our choice: as long as the app takes to start."""
KILLS = 3
"""Kills of one case, each under new windows on the store that the last one left. Our choice."""
LETTERS = "ABDEGHLMNORST 1789"
BETWEEN_S = 0.015
"""Between two edits of a window. [s] Our choice: faster than anybody types."""
MOST_REVISIONS = 100_000


def requests_at_the_door(rng: random.Random, home: Path) -> str:
    """Odd requests to one app. What is wrong, and the request's bytes; "" for nothing."""
    job = _begun(home)
    with _app(home) as app:
        before = _store(home)
        for _ in range(REQUESTS):
            request = odd_request(rng, app.port, job)
            try:
                wrong = what_is_wrong(request, asked(request, app.port))
            except TimeoutError:
                wrong = "no answer"
            assert app.process is not None
            if app.process.poll() is not None:
                wrong = "the app ended"
            if wrong:
                return f"{wrong}: {request.sent[:1000]!r}"
    if "Traceback" in (home / "app" / "app.log").read_text(encoding="utf-8"):
        return "a fault of ours in the log: " + (home / "app" / "app.log").read_text(encoding="utf-8")[-1000:]
    return "" if _store(home) == before else "the store is not as it was"


def edits_under_kills(rng: random.Random, home: Path) -> str:
    """Edits of two windows, the app killed under them, again and again. What is wrong; "" for nothing."""
    job = _begun(home)
    shown: set[int] = set()
    for _ in range(KILLS):
        with _app(home) as app:
            shown |= _edited(app, job, rng)
        wrong = _lost(home, job, shown)
        if wrong:
            return wrong
    return ""


def _begun(home: Path) -> str:
    """A store with one job in it: the job's number."""
    with open_store(f"sqlite:///{home / 'workshop.db'}") as store:
        job = store.new(demo_job_text(), "w").id
        store.edit(job, SetKey(At(), "title", SECRET), "w")
    return job


@contextlib.contextmanager
def _app(home: Path) -> Iterator[Workshop]:
    """The app on this home; killed when the block ends, however it ends."""
    app = Workshop(home)
    try:
        yield app.start()
    finally:
        app.kill()
        app.log.close()


def _store(home: Path) -> list[tuple[str, str]]:
    with open_store(f"sqlite:///{home / 'workshop.db'}") as store:
        return [(job.id, store.job(job.id).text) for job in store.jobs()]


def _edited(app: Workshop, job: str, rng: random.Random) -> set[int]:
    """Edit in two windows, kill the app while they do: the revisions that they were told are saved."""
    path = f"/job/{job}/brief"
    with Noting(app.url, path) as one, Noting(app.url, path) as other:
        for window in (one, other):
            window.until(lambda window=window: window.value("Title") and window.value("Line 1"))  # type: ignore[misc]
        for _ in range(rng.randint(2, 40)):
            with contextlib.suppress(KeyError, AssertionError, StopIteration):  # a field that is just made anew
                _edit(rng.choice([one, other]), rng)
            time.sleep(BETWEEN_S)
        if rng.random() < 0.5:  # in the midst of what goes on after something was saved; else at any moment
            one.until(lambda: one.saved | other.saved)
        time.sleep(rng.uniform(0, 0.2))
        app.kill()
        return one.saved | other.saved


def _edit(window: Noting, rng: random.Random) -> None:
    """A title, a line's words, or a gesture undone or done again."""
    label = rng.choice(["Title", "Line 1", "Line 1", "Line 2", "Undo", "Redo"])
    if label in ("Undo", "Redo"):
        window.press(label)
    else:
        window.write(label, "".join(rng.choices(LETTERS, k=rng.choice([1, 8, 20]))))


def _lost(home: Path, job: str, shown: set[int]) -> str:
    """What of a job is not in the store as it was shown, or does not follow from what was before it."""
    with open_store(f"sqlite:///{home / 'workshop.db'}") as store:
        if store.notices:
            return f"the store says: {store.notices}"
        entries = sorted(store.revisions(job, MOST_REVISIONS), key=lambda entry: entry.number)
        lost = shown - {entry.number for entry in entries}
        if lost or [entry.number for entry in entries] != list(range(1, len(entries) + 1)):
            return f"shown as saved and not in the store: {sorted(lost)} of {len(entries)}"
        text = store.text_at(job, 1)
        for entry in entries[1:]:
            for edit in entry.edits:
                text = apply(edit, text).text
            if text != store.text_at(job, entry.number):
                return f"revision {entry.number} does not follow from its edits"
    return ""
