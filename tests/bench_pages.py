"""Bench sheets of a small board for the tests, read back by somebody else's PDF reader."""

from __future__ import annotations

import io
from functools import lru_cache

import pypdfium2
from sheet_boards import ISSUED

from stopcut.bench.order import Way
from stopcut.bench.planned import Plan
from stopcut.job.read import parse_job
from stopcut.sheets.bench_sheets import bench_sheets_pdf
from stopcut.work import Work

JOB = """\
format = 1
title = "Marrow Lane"
{units}
[board]
width = "300 mm"
height = "90 mm"
thickness = "24 mm"
wood = "{wood}"
margin = "10 mm"

[lettering]
face = "Cinzel"
cap_height = "50 mm"

[[line]]
words = "IRIS"
"""


@lru_cache
def made(order: Way = "middle", wood: str = "lime", units: str = "") -> tuple[Work, Plan, bytes]:
    work = Work(parse_job(JOB.format(wood=wood, units=units)))
    plan = work.plan(order)
    return work, plan, bench_sheets_pdf(work, plan, issued=ISSUED)


def pages(pdf: bytes) -> list[str]:
    document = pypdfium2.PdfDocument(io.BytesIO(pdf))
    return [" ".join(page.get_textpage().get_text_range().split()) for page in document]
