"""Every page and address of the app, put on the server."""

from __future__ import annotations

from pathlib import Path

from fastapi import FastAPI, Request, Response
from fastapi.exceptions import RequestValidationError
from nicegui import app as nicegui_app
from nicegui import ui
from starlette.concurrency import run_in_threadpool
from starlette.staticfiles import StaticFiles

from stopcut.app.at_bench.routes import serve_bench
from stopcut.app.bench_section import BenchSection
from stopcut.app.brief import BriefSection
from stopcut.app.class_boards import ServedBoards
from stopcut.app.class_routes import serve_classes
from stopcut.app.classes_page import ClassesPage, ClassPage
from stopcut.app.drawn_sheets import DrawnSheets
from stopcut.app.fields import RELEASED, words
from stopcut.app.groove_section import GrooveSection
from stopcut.app.job_page import JobPage, PageSection
from stopcut.app.jobs_page import JobsPage, head_of_page
from stopcut.app.open_jobs import OpenJobs
from stopcut.app.pictures import serve_pictures
from stopcut.app.setting_out import SettingOut
from stopcut.app.sheets_section import SheetsSection
from stopcut.app.shop_routes import serve_shop
from stopcut.app.tools_page import ToolsPage
from stopcut.errors import CarverError
from stopcut.lettering.installed import face_key
from stopcut.lettering.packaged import packaged_faces
from stopcut.store import Store
from stopcut.store.values import NoSuchJob

__all__ = ["SECTIONS", "register"]

SECTIONS: tuple[type[PageSection], ...] = (BriefSection, SettingOut, GrooveSection, BenchSection, SheetsSection)
"""In the order of the work."""

PAGE_FACE = "Alegreya Sans"
"""Our choice: humanist, with lining figures of one width."""


def register(api: FastAPI, store: Store) -> OpenJobs:
    """Put the pages on the server; what is open is handed back, to be closed with it."""
    jobs = OpenJobs(store)
    api.mount("/page", StaticFiles(directory=Path(__file__).parent / "static"))
    api.mount("/page-faces", StaticFiles(directory=_page_faces()))
    serve_pictures(api, jobs)
    serve_bench(api, jobs)
    serve_shop(api)
    kept = ServedBoards()
    serve_classes(api, kept)
    SheetsSection.drawn = DrawnSheets(jobs)
    SheetsSection.drawn.serve(api)
    _serve_job_files(api, store)
    _shop_pages(jobs, kept)
    _job_pages(jobs)
    nicegui_app.on_shutdown(jobs.close)
    return jobs


def _serve_job_files(api: FastAPI, store: Store) -> None:
    """Job files by their address, and a sentence for what is no address at all."""

    @api.exception_handler(RequestValidationError)
    async def no_such_address(_: Request, __: Exception) -> Response:
        return Response("There is nothing at this address.", status_code=422, media_type="text/plain")

    @api.get("/job/{job_id}/job.toml")
    async def job_file(job_id: str) -> Response:
        try:
            head = await run_in_threadpool(store.head, job_id, "")
        except NoSuchJob:
            return Response("There is no such job.", status_code=404, media_type="text/plain")
        except CarverError as problem:
            return Response(str(problem), status_code=409, media_type="text/plain")
        return Response(head.text, media_type="application/toml")


def _shop_pages(jobs: OpenJobs, kept: ServedBoards) -> None:
    """The pages beside the jobs' own: all jobs, class lists, the tool roll."""

    @ui.page("/", title="Jobs · stopcut", dark=None)
    def all_jobs() -> None:
        _head()
        try:
            JobsPage(jobs)
        except CarverError as problem:
            _nothing(str(problem))

    @ui.page("/classes", title="Class lists · stopcut", dark=None)
    def all_classes() -> None:
        _head()
        ClassesPage(jobs)

    @ui.page("/class/{class_id}", title="Class · stopcut", dark=None)
    async def one_class(class_id: str) -> None:
        _head()
        try:
            ClassPage(jobs, kept, class_id)
        except CarverError as problem:
            _nothing(str(problem))

    @ui.page("/tools", title="Tool roll · stopcut", dark=None)
    def tool_roll() -> None:
        _head()
        ToolsPage(jobs)


def _job_pages(jobs: OpenJobs) -> None:
    """One job's page, at any of its sections."""

    @ui.page("/job/{job_id}", title="stopcut", dark=None)
    @ui.page("/job/{job_id}/{section}", title="stopcut", dark=None)
    async def one_job(job_id: str, section: str = "") -> None:
        _head()
        try:
            job = jobs.open(job_id)
        except CarverError as problem:
            _nothing(str(problem))
            return
        page = JobPage(jobs, job, SECTIONS, section)
        await page.client.connected()
        await page.opened()


def _page_faces() -> Path:
    """The folder of the pages' own face: the packaged one, whatever the carver keeps under that name."""
    return packaged_faces()[face_key(PAGE_FACE)][0].path.parent


def _nothing(why: str) -> None:
    """A page with nothing to show: why, and the way back."""
    head_of_page("Not here", ("Jobs", "/"))
    with ui.element("div").classes("board-place"):
        words(why)


_IN_ORDER = "<script>Object.defineProperty(window, 'did_handshake', { get: () => true, set: () => {} })</script>"
"""What is done on a page before its socket has opened is kept by the socket, which sends it in order once it has.
NiceGUI would wait for that by a timer for each event, and a word pressed just after the words were written could come
before them. It leaves them to the socket itself where a connection has been lost."""


def _head() -> None:
    ui.add_head_html(_IN_ORDER)
    ui.add_head_html(RELEASED)
    ui.add_head_html('<script src="/page/away.js"></script>')
    for sheet in ("page.css", "pages_more.css", "page_sections.css", "bench.css"):
        ui.add_head_html(f'<link rel="stylesheet" href="/page/{sheet}">')
