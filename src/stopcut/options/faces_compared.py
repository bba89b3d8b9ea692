"""Faces compared for carving: what a job's very words come to, at their very size, in another face.

A face that is lovely on paper may have strokes too thin for the wood, or twice the work. Each face is worked out as the
job itself would be with it: the edit that chooses the face is made on the job's text, the letters are drawn, set out
and cut, and the plan is made. Lines that name a face of their own keep it. Cap heights are held at what the job's own
face came out at, so that a face which runs wide is not let off with smaller letters: it is said not to fit.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

from stopcut.bench.minutes import Logged, Minutes, Skill
from stopcut.bench.order import Within
from stopcut.errors import CarverError, WrongJob
from stopcut.groove.shape_facts import Carved
from stopcut.job.edits import At, SetKey, apply
from stopcut.job.job import Job
from stopcut.job.read import parse_job
from stopcut.lettering.faces import list_faces
from stopcut.options.testpiece import Risk, riskiest
from stopcut.shop.rates import Rates
from stopcut.shop.tools import Roll
from stopcut.work import Progress, Work

__all__ = ["CarvedBy", "Compared", "compared", "packaged_families"]

NO_FIT: Final = "does-not-fit"


@dataclass(frozen=True, slots=True)
class CarvedBy:
    """For whom a face is reckoned: tools, hand, and how the work is done, all as Work.plan takes them."""

    roll: Roll | None = None
    skill: Skill = "practised"
    within: Within = "strokes"
    only: Sequence[str] | None = None
    rates: Rates | None = None
    logged: Iterable[Logged] = ()


@dataclass(frozen=True, slots=True)
class Compared:
    """A job's words in a face: how long the board takes, its thinnest stroke [mm] (None where no stroke keeps a width),
    the letter that is riskiest to carve (None on a board without letters), how many tools and steps the plan has,
    without how many cuts the roll has no tool for, and whether the words fit the board at their size."""

    family: str
    minutes: Minutes
    thinnest_mm: float | None
    riskiest: Risk | None
    tools: int
    steps: int
    without: int
    fits: bool


def packaged_families() -> tuple[str, ...]:
    """The families that come with stopcut, by name."""
    return tuple(face.family for face in list_faces(system=False) if face.origin == "packaged")


def compared(work: Work, family: str, at_bench: CarvedBy | None = None, progress: Progress | None = None) -> Compared:
    """The job of work in another face. It takes as long as opening the job anew does, and its plan.

    Raises CarverError, its message fit to stand beside the face's name, where the face lacks a character or the job
    cannot be carved in it. What progress raises ends the work.
    """
    try:
        made = Work(_in_face(work, family), work.shop, _named(progress or work.progress, family))
        widths = [Carved.of(groove).thinnest_mm for groove in made.grooves if groove.placed.line]
        found = riskiest(made.setting, made.grooves, made.findings, most=1)
    except WrongJob as wrong:
        raise CarverError(wrong.faults[0].found if wrong.faults else str(wrong)) from None
    bench = at_bench or CarvedBy()
    asked: dict[str, Any] = {"within": bench.within, "only": bench.only, "rates": bench.rates, "logged": bench.logged}
    plan = made.plan("reading", bench.roll, bench.skill, **asked)
    thinnest = min(widths, default=math.inf)
    return Compared(
        family=family,
        minutes=plan.minutes,
        thinnest_mm=thinnest if math.isfinite(thinnest) else None,
        riskiest=found[0] if found else None,
        tools=len(plan.tools),
        steps=len(plan.steps),
        without=plan.without,
        fits=all(finding.code != NO_FIT for finding in made.findings),
    )


def _in_face(work: Work, family: str) -> Job:
    """The job with another face, every line at the cap height that it has now."""
    heights = {line.number: line.cap_height_mm for line in work.setting.lines}
    text = apply(SetKey(At("lettering"), "face", family), work.job.text).text
    job = parse_job(text, work.job.name, base_folder=work.job.base_folder)
    lines = tuple(
        replace(line, cap_height_mm=heights[line.number] / line.size) if line.number in heights else line
        for line in job.lines
    )
    return replace(job, lines=lines)


def _named(progress: Progress, family: str) -> Progress:
    return lambda doing, done: progress(f"{family}: {doing.lower()}", done)
