"""A class's pictures and packs by address."""

from __future__ import annotations

from functools import lru_cache

from fastapi import FastAPI, Response
from starlette.concurrency import run_in_threadpool

from stopcut.app.class_boards import ServedBoards
from stopcut.app.open_jobs import job_of
from stopcut.errors import CarverError
from stopcut.sheets.carved_picture import carved_png
from stopcut.shop.shop_file import read_shop
from stopcut.work import Work

__all__ = ["serve_classes"]

PICTURE_PX = 440
"""Width of a learner's picture. [pixels] Our choice: sharp at twice the size it is shown."""


def serve_classes(api: FastAPI, kept: ServedBoards) -> None:
    """Put the addresses on the server."""

    @api.get("/class-board/{digest}.png")
    async def board(digest: str) -> Response:
        text = kept.text(digest)
        if text is None:
            return _none()
        try:
            made = await run_in_threadpool(_picture, text)
        except CarverError:
            return _none()
        return Response(made, media_type="image/png", headers={"Cache-Control": "private, max-age=86400"})

    @api.get("/class-pack/{name}/class.{kind}")
    async def pack(name: str, kind: str) -> Response:
        found = kept.pack(name)
        if found is None or kind not in ("pdf", "zip"):
            return _none()
        said = {"Content-Disposition": f'attachment; filename="class.{kind}"'}
        data = found.pdf if kind == "pdf" else found.files
        return Response(data, media_type=f"application/{kind}", headers=said)


@lru_cache(maxsize=120)
def _picture(text: str) -> bytes:
    return carved_png(Work(job_of(text), read_shop()), PICTURE_PX, page=False)


def _none() -> Response:
    return Response("This is not at hand any more: look at the class again.", status_code=404, media_type="text/plain")
