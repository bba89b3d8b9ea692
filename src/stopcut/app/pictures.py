"""Pictures that pages ask for by address: tiles and wood for the lamp, a job's small picture, the job's own face."""

from __future__ import annotations

import hashlib
from functools import lru_cache
from urllib.parse import quote

from fastapi import FastAPI, Response
from starlette.concurrency import run_in_threadpool

from stopcut.app.lamp.tiles import tile_png, wood_png
from stopcut.app.open_jobs import OpenJobs, job_of
from stopcut.errors import CarverError
from stopcut.lettering.faces import find_face, names_a_path
from stopcut.store.values import NoSuchJob
from stopcut.work import Work

__all__ = ["face_url", "serve_pictures", "tile_url", "wood_url"]

FOREVER = "private, max-age=31536000, immutable"
"""For what is named by its content."""

SMALL_PX_WIDE = 640
"""Width of a job's picture in the list. [pixels] Our choice: sharp at twice the size it is shown."""


def tile_url(job_id: str) -> str:
    """Where a glyph's tile is to be had, with {digest} for the glyph."""
    return f"/job/{job_id}/tile/{{digest}}.png"


def wood_url(work: Work, job_id: str) -> str:
    """Where the board's bare wood is to be had; the address changes with what it shows."""
    board = work.job.board
    facts = repr((board.width_mm, board.height_mm, board.grain, board.wood, work.job.title))
    key = hashlib.blake2b(facts.encode(), digest_size=8).hexdigest()
    return f"/job/{job_id}/wood/{key}.png"


def face_url(family: str, weight: float | None) -> str:
    """Where the file of a face is to be had, by its family's name."""
    return f"/face?family={quote(family)}&weight={weight or 400:.0f}"


def serve_pictures(api: FastAPI, jobs: OpenJobs) -> None:
    """Put the addresses on the server."""

    @api.get("/job/{job_id}/tile/{digest}.png")
    async def tile(job_id: str, digest: str) -> Response:
        try:
            open_job = jobs.open(job_id)
        except NoSuchJob:
            return _none()
        groove = open_job.groove_of(digest)
        if groove is None:
            return _none()
        made = await run_in_threadpool(tile_png, groove)
        return Response(made.png, media_type="image/png", headers={"Cache-Control": FOREVER})

    @api.get("/job/{job_id}/wood/{key}.png")
    async def wood(job_id: str, key: str) -> Response:
        try:
            standing = jobs.open(job_id).standing
        except NoSuchJob:
            return _none()
        # The board as it stands, and what is drawn of one that has a line without its letters.
        left = standing.rest.work if standing.rest is not None else None
        drawn = [work for work in (left, standing.work) if work is not None]
        if not drawn:
            return _none()
        work = next((one for one in drawn if wood_url(one, job_id).endswith(f"/{key}.png")), drawn[0])
        board = work.job.board
        made = await run_in_threadpool(_wood, board.width_mm, board.height_mm, board.grain, board.wood, work.job.title)
        return Response(made, media_type="image/png", headers={"Cache-Control": FOREVER})

    @api.get("/job/{job_id}/picture/{number}.png")
    async def picture(job_id: str, number: int) -> Response:
        try:
            text = await run_in_threadpool(jobs.store.text_at, job_id, number)
            made = await run_in_threadpool(_picture, text)
        except CarverError:
            return _none()
        return Response(made, media_type="image/png", headers={"Cache-Control": FOREVER})

    @api.get("/face")
    async def face(family: str, weight: float = 400.0) -> Response:
        if names_a_path(family):
            return _none()
        try:
            found = await run_in_threadpool(find_face, family, weight)
        except CarverError:
            return _none()
        data = await run_in_threadpool(found.path.read_bytes)
        return Response(data, media_type="font/ttf", headers={"Cache-Control": "private, max-age=3600"})


_wood = lru_cache(maxsize=8)(wood_png)
"""Boards that were lately looked at: a megabyte or two each, and several windows ask for the same."""


@lru_cache(maxsize=64)
def _picture(text: str) -> bytes:
    from stopcut.sheets.carved_picture import carved_png

    work = Work(job_of(text))
    return carved_png(work, SMALL_PX_WIDE, page=False)


def _none() -> Response:
    return Response("There is no such picture.", status_code=404, media_type="text/plain")
