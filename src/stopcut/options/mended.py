"""Mending a slip on a part-cut board: each way as figures and as the changed job, so that the carver chooses.

Glue the chip back; widen the letter until the slip is cut away; plane the face down until the slip is gone (all common
practice). Widening is the line's `widen`, planing the board's thickness and `planed` of `[groove]`: the changed job is
the old text with these edits made, and whoever asked decides whether it is kept.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from stopcut.bench.mending import Planed, Widened, planed, widened
from stopcut.errors import CarverError, Finding
from stopcut.job.changing import EditedText
from stopcut.job.edits import At, Edit, SetKey, Written, apply
from stopcut.job.job import Line
from stopcut.job.read import parse_job
from stopcut.job.word_readers import plain_letter
from stopcut.lettering.named import name_of
from stopcut.setting.set_board import SetLine
from stopcut.work import Work
from stopcut.written import splices
from stopcut.written.literals import Value, literal
from stopcut.written.places import find_places

__all__ = ["GLUE", "Planing", "Widening", "planing", "planing_edits", "twins_of", "widening", "widening_edits"]

GLUE: Final = (
    "Glue a chip back before anything else: the same chip, its own way round, as little glue as wets it, clamped under "
    "paper overnight, then cut across the joint with a fresh edge. A wrong letter is cut out as a shallow rectangle "
    "along the fibres and filled with a slip of the same board; carve it anew once the glue is hard. All common "
    "practice."
)


SAME_SIZE: Final = 0.005
"""Letters whose sizes differ by less are twins. [share] Our choice: nobody sees it."""


@dataclass(frozen=True, slots=True)
class Widening:
    """A letter widened. figures are of the letter where it stands, its neighbours left as they are.

    gap_before_mm and gap_after_mm are the gaps once the line is set out anew (None where there is none). [mm] twins are
    the lines and letters of the same letter at the same size elsewhere on the board; with_twins says whether they are
    widened too. job is the changed job's text, new_findings what is only to be said of that.
    """

    line: int
    letter: int
    char: str
    figures: Widened
    gap_before_mm: float | None
    gap_after_mm: float | None
    job: str
    new_findings: tuple[Finding, ...]
    twins: tuple[tuple[int, int], ...] = ()
    with_twins: bool = False

    @property
    def beside_twins(self) -> str:
        """What is to be said of its twins, "" where there are none."""
        if not self.twins:
            return ""
        places = [f"letter {letter} of line {line}" for line, letter in self.twins]
        said = ", ".join(places[:-1]) + " and " * (len(places) > 1) + places[-1]
        if self.with_twins:
            return f"{self.char} is widened alike as {said}."
        return f"{self.char} stands on the board again, as {said}: beside it a bolder one shows."


@dataclass(frozen=True, slots=True)
class Planing:
    """The face planed down. figures are of all grooves as they are cut; job and new_findings as for Widening."""

    figures: Planed
    job: str
    new_findings: tuple[Finding, ...]


def widening(work: Work, line: int, letter: int, by_mm: float, *, with_twins: bool = False) -> Widening:
    """The letter-th letter of a line (both from 1) with every stroke wider by by_mm (> 0), its twins too if asked. [mm]

    Raises CarverError where there is no such letter or it cannot be drawn so, Refused where the job cannot say it.
    """
    set_line = next((one for one in work.setting.lines if one.number == line), None)
    if set_line is None or not 1 <= letter <= len(set_line.letters):
        raise CarverError(f"There is no letter {letter} in line {line}; lines and letters count from 1, spaces do not.")
    own = work.letter_grooves.get((line, letter))
    if own is None:
        raise CarverError(f"Letter {letter} of line {line} has no groove that could be worked out.")
    text = work.job.text
    for edit in widening_edits(work, line, letter, by_mm, with_twins=with_twins):
        text = apply(edit, text).text
    before, after = _gaps(set_line, letter)
    figures = widened(own, by_mm, thickness_mm=work.job.board.thickness_mm, gap_before_mm=before, gap_after_mm=after)
    changed = _worked(work, text)
    anew = next(one for one in changed.setting.lines if one.number == line)
    char = set_line.letters[letter - 1].placed.called
    twins = twins_of(work, line, letter)
    return Widening(
        line, letter, char, figures, *_gaps(anew, letter), text, _new(work, changed), twins, with_twins and bool(twins)
    )


def twins_of(work: Work, line: int, letter: int) -> tuple[tuple[int, int], ...]:
    """Line and letter of every other letter of the same outline at the same size: what a bolder one would stand
    beside."""
    own = work.letter_grooves.get((line, letter))
    if own is None:
        return ()
    return tuple(
        key
        for key, other in sorted(work.letter_grooves.items())
        if key != (line, letter)
        and other.placed.outline.digest == own.placed.outline.digest
        and abs(other.placed.scale / own.placed.scale - 1) < SAME_SIZE
    )


def widening_edits(work: Work, line: int, letter: int, by_mm: float, *, with_twins: bool = False) -> tuple[SetKey, ...]:
    """The edits, one after another, that widen a letter, and its twins if asked, by by_mm more than they are. [mm]"""
    text, edits = work.job.text, []
    for number, which in ((line, letter), *(twins_of(work, line, letter) if with_twins else ())):
        char, nth = name_of(work.lettered[number - 1], which)
        lines = parse_job(text, work.job.name, base_folder=work.job.base_folder).lines
        edit = _widening_edit(text, lines[number - 1], char, nth, by_mm)
        text = apply(edit, text).text
        edits.append(edit)
    return tuple(edits)


def planing(work: Work, off_mm: float) -> Planing:
    """The board with off_mm (> 0) planed off its face. [mm] Raises Refused where the job cannot say it."""
    text = work.job.text
    for edit in planing_edits(work, off_mm):
        text = apply(edit, text).text
    walls = [groove.wall_deg for groove in work.grooves] or [work.job.wall_deg]
    figures = planed(work.grooves, off_mm, min(walls), thickness_mm=work.job.board.thickness_mm)
    return Planing(figures, text, _new(work, _worked(work, text)))


def _widening_edit(text: str, line: Line, char: str, nth: int, by_mm: float) -> SetKey:
    """The edit that widens a line's nth such letter by by_mm more than it is widened already. [mm]"""
    at = At("line", line.number, line.words)
    document = EditedText(text)
    path = (*document.path(at), "widen")
    members = document.members(path)
    place = next((n for n, member in enumerate(members) if _names(member, char, nth)), None)
    old = line.widen[place].by_mm if place is not None else 0.0
    wanted: dict[str, Value] = {"letter": char, "nth": nth, "by": _mm(old + by_mm)}
    if path not in document.places.values:  # none yet, or written as tables of their own
        rest: list[Value] = [member for n, member in enumerate(members) if n != place]
        return SetKey(at, "widen", [*rest, wanted])
    if place is None:
        changed = splices.add_member(document.places, path, literal(wanted))
    else:
        changed = splices.set_value(document.places, (*path, place, "by"), literal(wanted["by"]))
    spot = find_places(changed).values[path]
    return SetKey(at, "widen", Written(changed[spot.value_start : spot.value_end]))


def planing_edits(work: Work, off_mm: float) -> tuple[Edit, ...]:
    """The edits that say off_mm was planed off the face: a thinner board, and grooves planed by as much more. [mm]"""
    job = work.job
    return (
        SetKey(At("board"), "thickness", _mm(job.board.thickness_mm - off_mm)),
        SetKey(At("groove"), "planed", _mm(job.planed_mm + off_mm)),
    )


def _mm(value: float) -> Value:
    return f"{round(value, 4):g} mm"


def _names(member: Any, char: str, nth: int) -> bool:
    letter = plain_letter(member)
    return letter is not None and (letter.letters, letter.nth) == (char, nth)


def _gaps(line: SetLine, letter: int) -> tuple[float | None, float | None]:
    """The gaps before and after a letter."""
    before = line.letters[letter - 2].gap_after_mm if letter > 1 else None
    return before, line.letters[letter - 1].gap_after_mm


def _worked(work: Work, text: str) -> Work:
    return Work(parse_job(text, work.job.name, base_folder=work.job.base_folder), work.shop, work.progress)


def _new(work: Work, changed: Work) -> tuple[Finding, ...]:
    """What is to be said of the changed job alone."""
    said = {finding.says for finding in work.findings}
    return tuple(finding for finding in changed.findings if finding.says not in said)
