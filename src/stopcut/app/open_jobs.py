"""Jobs as they stand on the pages: a change goes into the store first, then through the stages, then to the windows.

An `OpenJob` is shared by all windows that show its job. Letters and their places are worked out at once, grooves and
findings behind them in a thread of their own; a new change makes what is under way stale, and it stops at the next
letter. What the pages are told is a `Standing`, a value: which text, how far it has been worked out, and the work.
"""

from __future__ import annotations

import asyncio
import logging
import time
from collections import OrderedDict
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field, replace
from typing import Literal, TypeVar

from stopcut.app.board_view import path_data
from stopcut.app.lines_left import Rest, rest_of
from stopcut.app.merging_words import MakeEdits
from stopcut.app.uploads import job_folder, outside_paths
from stopcut.errors import CarverError, Fault, WrongJob
from stopcut.groove.surface import Groove
from stopcut.job.edit_values import Edit
from stopcut.job.faults import fault_of
from stopcut.job.job import Job
from stopcut.job.read import parse_job
from stopcut.shop.shop_file import Shop, read_shop
from stopcut.store import Store
from stopcut.store.values import Head
from stopcut.work import Work

__all__ = ["OpenJob", "OpenJobs", "Standing", "Stopped", "job_of"]

State = Literal["coming", "letters", "ready", "wrong", "stopped"]

SHOW_PROGRESS_AFTER_S = 0.4
"""Work that takes longer than this says how far it is. [s] Our choice: what is quicker would only flicker."""

SHOW_PROGRESS_EVERY_S = 0.2
"""How often it says so. [s] Our choice."""

MOST_SHAPES = 1000
"""Grooves kept to be asked for, by outline. Our choice: a board full of letters, in a few sizes and faces."""


KEEPERS = 4
"""Threads that edits are kept in. Our choice: the store lets them through one after another anyway."""

MOST_LETTERS = 2500
"""Letters of a board that the pages work with. Our choice: five times a board of names, still set out in seconds."""


class Stopped(Exception):  # not a carver's error: nobody is told
    """Work that nobody waits for any more."""


@dataclass(frozen=True)
class Standing:
    """A job as it stands: the revision it is, how far that is worked out, and what came of it.

    state is "coming" (being set out), "letters" (set out; grooves on their way), "ready", "wrong" (faults say why) or
    "stopped". In "letters" and "ready" work is of this text; otherwise it is the last one there was, if any. doing and
    done (0 to 1) say what is going on; seconds how long the stages took. rest is what can be drawn of a board that is
    "wrong" for characters that a face lacks.
    """

    number: int
    text: str
    state: State = "coming"
    work: Work | None = None
    faults: tuple[Fault, ...] = ()
    doing: str = ""
    done: float = 0.0
    seconds: dict[str, float] = field(default_factory=dict)
    rest: Rest | None = None


Watcher = Callable[[Standing], None]
T = TypeVar("T")


def job_of(text: str) -> Job:
    """The job of a text, as the app reads it. Raises WrongJob, also for files that are not the carver's own and for a
    board of more letters than the pages can show."""
    job = parse_job(text, base_folder=job_folder())
    faults = outside_paths(job) + _too_many(job)
    if faults:
        raise WrongJob(faults)
    return job


class OpenJob:
    """One job, for all windows that show it. Used from the event loop alone."""

    def __init__(
        self, store: Store, job_id: str, threads: ThreadPoolExecutor, keeping: ThreadPoolExecutor | None = None
    ) -> None:
        self.id = job_id
        self.standing = Standing(0, "")
        self._store, self._threads, self._keeping = store, threads, keeping or threads
        self._watchers: dict[int, Watcher] = {}
        self._next_watcher = 0
        self._turn = asyncio.Lock()
        self._wanted = 0  # raised by every change: what was begun for a smaller number is stale
        self._under_way: asyncio.Task[None] | None = None
        self._shapes: OrderedDict[str, Groove] = OrderedDict()

    def watch(self, watcher: Watcher) -> Callable[[], None]:
        """Be told every new standing; the answer ends it."""
        self._next_watcher += 1
        number = self._next_watcher
        self._watchers[number] = watcher
        return lambda: self._watchers.pop(number, None)  # type: ignore[return-value]

    def groove_of(self, digest: str) -> Groove | None:
        """A groove of this outline among those that windows have been told of lately; None if there is none."""
        return self._shapes.get(digest)

    @property
    def watched(self) -> bool:
        """Whether any window shows it."""
        return bool(self._watchers)

    async def head(self, window: str) -> Head:
        """The newest revision, and whether this window can undo or redo."""
        return await self._kept(self._store.head, self.id, window)

    async def load(self) -> None:
        """Read the newest text and begin to work it out, unless it stands already."""
        head = await self.head("")
        if head.number != self.standing.number:
            self._begin(head)

    async def edit(self, edit: Edit, window: str, gesture: str = "") -> Head:
        """Make an edit on the newest text. When this returns it is on disk. Raises Refused."""
        async with self._turn:
            head = await self._kept(self._store.edit, self.id, edit, window, gesture)
            self._begin(head)
        return head

    async def edits(self, make: Callable[[Job], Sequence[Edit]], window: str, gesture: str) -> Head:
        """Make the several edits of one movement, all of them or none. Raises Refused, WrongJob.

        make is given the newest job, so that movements that come faster than they are worked out add up.
        """
        return await self.change(lambda text: make(parse_job(text)), window, gesture)

    async def change(self, change: MakeEdits, window: str, gesture: str) -> Head:
        """Make the edits that a change gives for the newest text, all of them or none. Raises Refused, and its own."""
        async with self._turn:
            head = await self._kept(self._store.change, self.id, change, window, gesture)
            self._begin(head)
        return head

    async def undo(self, window: str) -> Head:
        """Take back the window's own last gesture. Raises Refused."""
        async with self._turn:
            head = await self._kept(self._store.undo, self.id, window)
            self._begin(head)
        return head

    async def redo(self, window: str) -> Head:
        """Make what was taken back again. Raises Refused."""
        async with self._turn:
            head = await self._kept(self._store.redo, self.id, window)
            self._begin(head)
        return head

    def stop(self) -> None:
        """Leave off what is under way; the letters stay."""
        self._wanted += 1
        if self.standing.state in ("coming", "letters"):
            self._tell(replace(self.standing, state="stopped", doing="", done=0.0))

    def go_on(self) -> None:
        """Work out what was stopped."""
        self._start(self.standing.number, self.standing.text)

    async def ready(self) -> Standing:
        """The standing once nothing is under way."""
        while self._under_way is not None and not self._under_way.done():
            await asyncio.wait([self._under_way])
        return self.standing

    def _begin(self, head: Head) -> None:
        if head.number >= self.standing.number:
            self._start(head.number, head.text)

    def _start(self, number: int, text: str) -> None:
        self._wanted += 1
        before = self.standing.work
        self.standing = Standing(number, text, "coming", before)  # at once: what is done next is done to this text
        work = self._worked_out(number, text, before, self._wanted)
        self._under_way = asyncio.get_running_loop().create_task(work)

    async def _worked_out(self, number: int, text: str, before: Work | None, wanted: int) -> None:
        loop = asyncio.get_running_loop()
        begun = time.perf_counter()
        last_told = begun

        def progress(doing: str, done: float) -> None:
            nonlocal last_told
            if wanted != self._wanted:
                raise Stopped
            now = time.perf_counter()
            if now - begun > SHOW_PROGRESS_AFTER_S and now - last_told > SHOW_PROGRESS_EVERY_S:
                last_told = now
                loop.call_soon_threadsafe(self._tell_progress, wanted, doing, done)

        seconds: dict[str, float] = {}
        first = loop.call_later(SHOW_PROGRESS_AFTER_S, self._tell_progress, wanted, "Letters", 0.0)
        try:
            work = await self._in_thread(_set_out, text, progress)
            seconds["letters"] = time.perf_counter() - begun
            if wanted == self._wanted:
                self._tell(Standing(number, text, "letters", work, seconds=dict(seconds)))
            await self._in_thread(_cut, work)
            seconds["grooves"] = time.perf_counter() - begun
            self._keep_shapes(work)
            if wanted == self._wanted:
                self._tell(Standing(number, text, "ready", work, seconds=dict(seconds)))
        except Stopped:
            return
        except WrongJob as wrong:
            rest = await self._in_thread(_rest, text, wrong)
            self._tell_wrong(number, text, before, wrong.faults, wanted, rest)
        except CarverError as problem:
            fault = Fault("", None, str(problem), "Undo the last change, or mend what it names.")
            self._tell_wrong(number, text, before, (fault,), wanted)
        except Exception:  # a fault of ours: the words are kept, and the page goes on
            logging.getLogger("stopcut").exception("a job could not be worked out")
            self._tell_wrong(number, text, before, (_OURS,), wanted)
        finally:
            first.cancel()

    def _keep_shapes(self, work: Work) -> None:
        """A page may ask for the light on a letter that the next change has done away with meanwhile."""
        for groove in work.grooves:
            self._shapes[groove.placed.outline.digest] = groove
            self._shapes.move_to_end(groove.placed.outline.digest)
        while len(self._shapes) > MOST_SHAPES:
            self._shapes.popitem(last=False)

    def _tell_wrong(
        self,
        number: int,
        text: str,
        work: Work | None,
        faults: tuple[Fault, ...],
        wanted: int,
        rest: Rest | None = None,
    ) -> None:
        if wanted == self._wanted:
            self._tell(Standing(number, text, "wrong", work, faults, rest=rest))

    def _tell_progress(self, wanted: int, doing: str, done: float) -> None:
        if wanted == self._wanted and self.standing.state in ("coming", "letters"):
            self._tell(replace(self.standing, doing=doing, done=done))

    def _tell(self, standing: Standing) -> None:
        self.standing = standing
        for watcher in list(self._watchers.values()):
            try:
                watcher(standing)
            except Exception:  # one window's trouble is not the others'
                logging.getLogger("stopcut").exception("a window could not be told")

    async def _in_thread(self, work: Callable[..., T], *arguments: object) -> T:
        return await asyncio.get_running_loop().run_in_executor(self._threads, work, *arguments)

    async def _kept(self, call: Callable[..., T], *arguments: object) -> T:
        """A call of the store, which waits for no work: however much of it there is, an edit is on disk at once."""
        return await asyncio.get_running_loop().run_in_executor(self._keeping, call, *arguments)


class OpenJobs:
    """The jobs that windows show. A job that none shows any more is let go."""

    def __init__(self, store: Store, threads: int = 6) -> None:
        self.store = store
        self.threads = ThreadPoolExecutor(threads, thread_name_prefix="bench")
        self.keeping = ThreadPoolExecutor(KEEPERS, thread_name_prefix="store")
        self._jobs: dict[str, OpenJob] = {}

    def open(self, job_id: str) -> OpenJob:
        """The job as all windows share it. Raises the store's NoSuchJob."""
        for other, job in list(self._jobs.items()):
            if other != job_id and not job.watched:
                job.stop()
                del self._jobs[other]
        if job_id not in self._jobs:
            self.store.job(job_id)
            self._jobs[job_id] = OpenJob(self.store, job_id, self.threads, self.keeping)
        return self._jobs[job_id]

    def close(self) -> None:
        """Stop all work."""
        for job in self._jobs.values():
            job.stop()
        self.threads.shutdown(wait=False, cancel_futures=True)
        self.keeping.shutdown(wait=False)


def _set_out(text: str, progress: Callable[[str, float], None]) -> Work:
    work = Work(job_of(text), _shop(), progress)
    for placed in work.setting.placed:
        _ = placed.bounds_mm  # worked out here, not where pages wait for it
        path_data(placed.outline)
    return work


def _rest(text: str, wrong: WrongJob) -> Rest | None:
    """What can be drawn of a wrong job."""
    try:
        return rest_of(job_of(text), _shop(), wrong)
    except CarverError:
        return None


def _cut(work: Work) -> None:
    _ = work.grooves, work.causes


def _shop() -> Shop:
    return read_shop()


def _too_many(job: Job) -> tuple[Fault, ...]:
    count = sum(len("".join(line.words.split())) for line in job.lines)
    if count <= MOST_LETTERS:
        return ()
    found = f"{count} letters are more than the pages can work with at once"
    return (fault_of(job, ("line",), found, f"divide the words among boards of at most {MOST_LETTERS} letters"),)


_OURS = Fault("", None, "the board could not be worked out, by a fault of stopcut's own", "undo the last change")
"""What is said where something went wrong that has no words; the log has the rest."""
