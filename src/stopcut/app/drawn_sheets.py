"""The sheets of a job as the pages offer them: drawn once a revision and paper, previewed page by page, handed out."""

from __future__ import annotations

import datetime
import io
import zipfile
from collections import OrderedDict
from collections.abc import Iterator
from contextlib import contextmanager
from threading import Lock
from urllib.parse import quote

from fastapi import FastAPI, Response
from starlette.concurrency import run_in_threadpool

from stopcut.app.at_bench.asked import PlanAsked
from stopcut.app.jobs_page import file_name
from stopcut.app.open_jobs import OpenJobs, job_of
from stopcut.errors import CarverError
from stopcut.options.exercises import exercise_text, exercises_of
from stopcut.options.testpiece import piece_of
from stopcut.sheets import board_svg, carved_picture, pattern
from stopcut.sheets.bench_sheets import bench_sheets_pdf
from stopcut.sheets.practice import practice_pdf
from stopcut.sheets.previews import page_png
from stopcut.shop.rates import read_times
from stopcut.shop.roll import read_roll
from stopcut.shop.shop_file import read_shop
from stopcut.store.values import NoSuchJob
from stopcut.work import Progress, Work

__all__ = ["KINDS", "MISSING", "DrawnSheets", "drawn"]

KINDS = {
    "pattern.pdf": ("Pattern", "application/pdf"),
    "pattern_whole.pdf": ("Pattern on one sheet", "application/pdf"),
    "bench.pdf": ("Bench cards", "application/pdf"),
    "practice.pdf": ("Strokes to practise", "application/pdf"),
    "testpiece.pdf": ("Test piece", "application/pdf"),
    "board.svg": ("Board, for other programs", "image/svg+xml"),
    "carved.png": ("The board as carved", "image/png"),
    "job.toml": ("Job file", "application/toml"),
}
"""What is handed out, by file name: what it is called, and its media type."""

MOST_KEPT = 32
"""Files kept drawn. Our choice: a few revisions of all kinds."""

MISSING = "not drawn.txt"
"""In the archive of all files: which are missing, and why."""

PREVIEW_PX = 900
"""Width of a page's preview. [pixels] Our choice: readable on a tablet."""


_Key = tuple[str, int, str, str, PlanAsked]
"""Job, revision, kind, paper, and what the carver asks of the plan at the bench."""


def _silent(_doing: str, _done: float) -> None:
    """Nobody waits to be told."""


class DrawnSheets:
    """Draws and keeps files; safe to ask from any thread."""

    def __init__(self, jobs: OpenJobs) -> None:
        self._jobs = jobs
        self._kept: OrderedDict[_Key, bytes] = OrderedDict()
        self._turns: dict[_Key, tuple[Lock, int]] = {}
        self._lock = Lock()

    def file(self, job_id: str, number: int, kind: str, paper: str = "", progress: Progress = _silent) -> bytes:
        """A file of a revision. Raises what reading, drawing and progress raise, KeyError for an unknown kind.

        What somebody else is drawing already is waited for.
        """
        asked = PlanAsked.of(self._jobs.store.bench_choice(job_id)) if kind == "bench.pdf" else PlanAsked()
        key = (job_id, number, kind, paper, asked)
        with self._turn(key):
            kept = self._found(key)
            if kept is not None:
                return kept
            made = drawn(self._jobs.store.text_at(job_id, number), kind, paper or None, progress, asked)
            with self._lock:
                self._kept[key] = made
                while len(self._kept) > MOST_KEPT:
                    self._kept.popitem(last=False)
        return made

    def all_of(self, job_id: str, number: int, paper: str = "") -> bytes:
        """Every file of a revision in one archive (ZIP); what could not be drawn is named in it, with the reason."""
        held = io.BytesIO()
        missing = []
        with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as archive:
            for kind, (called, _) in KINDS.items():
                try:
                    archive.writestr(kind, self.file(job_id, number, kind, paper))
                except NoSuchJob:
                    raise
                except CarverError as problem:
                    missing.append(f"{called}: {problem}")
            if missing:
                archive.writestr(MISSING, "\n".join(missing) + "\n")
        return held.getvalue()

    def _found(self, key: _Key) -> bytes | None:
        with self._lock:
            if key in self._kept:
                self._kept.move_to_end(key)
            return self._kept.get(key)

    @contextmanager
    def _turn(self, key: _Key) -> Iterator[None]:
        """One at a time draws one file."""
        with self._lock:
            turn, waiting = self._turns.get(key, (Lock(), 0))
            self._turns[key] = turn, waiting + 1
        try:
            with turn:
                yield
        finally:
            with self._lock:
                waiting = self._turns[key][1] - 1
                if waiting:
                    self._turns[key] = turn, waiting
                else:
                    del self._turns[key]

    def serve(self, api: FastAPI) -> None:
        """Put the addresses on the server."""

        @api.get("/job/{job_id}/sheets/{number}/all.zip")
        async def all_files(job_id: str, number: int, paper: str = "") -> Response:
            try:
                made = await run_in_threadpool(self.all_of, job_id, number, paper)
                entry = await run_in_threadpool(self._jobs.store.job, job_id)
            except CarverError as problem:
                return Response(str(problem), status_code=409, media_type="text/plain")
            return _handed(made, "application/zip", f"{file_name(entry.title)}.zip")

        @api.get("/job/{job_id}/sheets/{number}/{kind}")
        async def one_file(job_id: str, number: int, kind: str, paper: str = "") -> Response:
            if kind not in KINDS:
                return Response("There is no such sheet.", status_code=404, media_type="text/plain")
            try:
                made = await run_in_threadpool(self.file, job_id, number, kind, paper)
            except CarverError as problem:
                return Response(str(problem), status_code=409, media_type="text/plain")
            return _handed(made, KINDS[kind][1], kind)

        @api.get("/job/{job_id}/sheets/{number}/{kind}/{page}.png")
        async def preview(job_id: str, number: int, kind: str, page: int, paper: str = "") -> Response:
            try:
                pdf = await run_in_threadpool(self.file, job_id, number, kind, paper)
                made = await run_in_threadpool(page_png, pdf, page, PREVIEW_PX)
            except (CarverError, KeyError, IndexError):
                return Response("There is no such page.", status_code=404, media_type="text/plain")
            return Response(made, media_type="image/png", headers={"Cache-Control": "private, max-age=3600"})


def _handed(data: bytes, media: str, name: str) -> Response:
    plain = name if name.isascii() else f"sheets.{name.rpartition('.')[2]}"
    said = f"attachment; filename=\"{plain}\"; filename*=UTF-8''{quote(name)}"  # RFC 6266, 4.3
    return Response(data, media_type=media, headers={"Content-Disposition": said})


def drawn(
    text: str, kind: str, paper: str | None = None, progress: Progress = _silent, asked: PlanAsked | None = None
) -> bytes:
    """A file of a job's text; paper None is the home printer's. Raises as DrawnSheets.file does.

    asked is what the plan of the bench cards is asked for, so that paper and tablet say the same.
    """
    if kind == "job.toml":
        return text.encode()
    today = datetime.date.today()
    work = Work(job_of(text), read_shop(), progress)
    if kind in ("pattern.pdf", "pattern_whole.pdf"):
        return _pattern(work, pattern.ONE_SHEET if kind == "pattern_whole.pdf" else paper, today)
    if kind == "testpiece.pdf":
        return _pattern(Work(job_of(piece_of(work)), work.shop, progress), paper, today)
    if kind == "board.svg":
        return board_svg.board_svg(work)
    if kind == "carved.png":
        return carved_picture.carved_png(work)
    if kind == "bench.pdf":
        asked = asked or PlanAsked()
        times = read_times()
        plan = work.plan(
            asked.order,
            read_roll(),
            asked.skill,
            within=asked.within,
            only=asked.only,
            rates=times.rates,
            logged=times.logged,
        )
        progress("Cards", 0.0)
        return bench_sheets_pdf(work, plan, paper, issued=today)
    if kind == "practice.pdf":
        strokes = Work(job_of(exercise_text(work)), work.shop, progress)
        plan = strokes.plan("reading", read_roll())
        progress("Strokes", 0.0)
        return practice_pdf(strokes, plan, exercises_of(strokes, plan), paper, issued=today)
    raise KeyError(kind)


def _pattern(work: Work, paper: str | None, today: datetime.date) -> bytes:
    _ = work.grooves  # tells how far it is
    work.progress("Pattern", 0.0)
    return pattern.pattern_pdf(work, paper, issued=today)
