"""A small board for the tests of the bench's cards."""

from __future__ import annotations

from functools import lru_cache

from stopcut.job.read import parse_job
from stopcut.sheets.letter_cards import Bench
from stopcut.work import Work

JOB = """\
format = 1
title = "Plots"
[board]
width = 300
height = 150
thickness = 24
[lettering]
face = "Cinzel"
cap_height = 30
[[line]]
words = "{first}"
[[line]]
words = "{second}"
{more}
"""


@lru_cache
def bench(first: str, second: str, more: str = "", whose: str = "") -> Bench:
    work = Work(parse_job(JOB.format(first=first, second=second, more=more)))
    return Bench(work, work.plan("reading"), whose)
