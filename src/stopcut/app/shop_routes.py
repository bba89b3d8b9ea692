"""Sheets of the tool roll by address."""

from __future__ import annotations

import datetime

from fastapi import FastAPI, Response
from starlette.concurrency import run_in_threadpool

from stopcut.errors import CarverError

__all__ = ["serve_shop"]


def serve_shop(api: FastAPI) -> None:
    """Put the addresses on the server."""

    @api.get("/tools/arcs.pdf")
    async def arcs(units: str = "mm", paper: str | None = None) -> Response:
        from stopcut.sheets.arcs import arcs_pdf

        today = datetime.date.today()
        try:
            made = await run_in_threadpool(arcs_pdf, "in" if units == "in" else "mm", paper, issued=today)
        except CarverError as problem:
            return Response(str(problem), status_code=409, media_type="text/plain")
        said = {"Content-Disposition": 'attachment; filename="arcs.pdf"'}
        return Response(made, media_type="application/pdf", headers=said)
