"""Where a line has a character that its face lacks: the other lines are drawn, and the faces are told that would do."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace

from stopcut.errors import CarverError, FaceLacksCharacter, WrongJob
from stopcut.job.job import Job
from stopcut.lettering.faces import characters_lacking
from stopcut.shop.shop_file import Shop
from stopcut.work import Work

__all__ = ["LineLacks", "Rest", "rest_of"]

MOST_LEFT = 12
"""Lines that are left empty on a board whose others are drawn. Our choice: where more fail, it is the board's own face
that is wrong, and that is said."""

MOST_FACES = 4
"""Faces that are offered for a line. Our choice: what a row has room for."""


@dataclass(frozen=True, slots=True)
class LineLacks:
    """A line (from 1) that its face cannot draw: what it lacks, in words, and families that have all of the line."""

    line: int
    says: str
    faces: tuple[str, ...]


@dataclass(frozen=True)
class Rest:
    """The lines that were left empty; work is the board without them, None where it has no others to be drawn."""

    lacking: tuple[LineLacks, ...]
    work: Work | None


def rest_of(job: Job, shop: Shop, wrong: WrongJob) -> Rest | None:
    """What can be drawn of a job that is wrong in this; None where it is not for a lack of characters."""
    lacking: dict[int, LineLacks] = {}
    fault: BaseException | None = wrong
    while fault is not None:
        lack = fault.__cause__
        if not isinstance(lack, FaceLacksCharacter) or lack.line in lacking or len(lacking) >= MOST_LEFT:
            return None
        lacking[lack.line] = _told(lack, job.lines[lack.line - 1].words)
        work = Work(_without(job, lacking.keys()), shop)
        fault = None
        try:
            drawn = work.setting.lines
        except WrongJob as another:
            fault = another
        except CarverError:
            return None
    return Rest(tuple(lacking[line] for line in sorted(lacking)), work if drawn else None)


def _told(lack: FaceLacksCharacter, words: str) -> LineLacks:
    lacks = characters_lacking(lack.others, words) if lack.others else {}
    faces = tuple(family for family in lack.others if not lacks.get(family))[:MOST_FACES]
    return LineLacks(lack.line, f"{lack.family} has no {lack.char}: this line is not drawn.", faces)


def _without(job: Job, numbers: Collection[int]) -> Job:
    """The job with these lines empty, each still in its place."""
    lines = (
        replace(line, words=" ", shifts=(), strokes=(), widen=(), stem_mm=None, weight=line.weight or 400.0)
        if line.number in numbers
        else line
        for line in job.lines
    )
    return replace(job, lines=tuple(lines))
