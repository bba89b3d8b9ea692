"""A test piece: the two or three riskiest letters of a job, at size, as a small job of their own for an offcut.

A printed shape can disappoint in wood, so carvers try the awkward letters first (common practice). What is risky here:
what the findings point at, the thinnest stroke, the most corners.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from stopcut.errors import CarverError, Finding, Severity, WrongJob
from stopcut.groove.shape_facts import Carved
from stopcut.groove.surface import Groove
from stopcut.job.edits import At, Edit, Refused, ReplaceText, SetKey, SetWords, apply
from stopcut.job.job import Job
from stopcut.setting.set_board import SetBoard
from stopcut.units import MM_PER_INCH, Units
from stopcut.work import Work
from stopcut.written import splices
from stopcut.written.places import find_places

__all__ = ["Risk", "piece_of", "piece_text", "riskiest"]

MOST = 3
"""Letters of a test piece. Our choice: two or three are an evening's work."""
WEIGHTS = {Severity.STOP: 6.0, Severity.LOOK: 4.0, Severity.NOTE: 2.0}
"""What a finding that points at a letter counts. Our choice: any outweighs thinness and corners together."""
CORNER_DEG = 40.0
"""A corner is a true break in the outline's direction of so much. The rule of the groove's lines for corners."""
ROOM = 0.6
"""Wood to the side of each letter, in cap heights. Our choice."""
TALL = 1.9
"""Height of the piece for each line, in cap heights: accents and tails have room. Our choice."""
MARGIN_MM = 15.0
"""Margin of the piece. [mm] Our choice: enough to clamp beside."""
GRID = {"mm": 10.0, "in": MM_PER_INCH / 2}
"""The piece's sides are whole numbers of this. [mm] Our choice: an offcut is measured roughly."""

LEFT_OUT: Final = ("ornament", "border", "avoid", "match", "wanted_by")
LEFT_OUT_OF_LINES: Final = ("shifts", "strokes", "widen", "arc", "drop", "size", "line_gap", "align")


@dataclass(frozen=True, slots=True)
class Risk:
    """A letter and how risky it is, from 0: findings weigh most, then thin strokes, then corners."""

    line: int
    index: int
    char: str
    risk: float


def riskiest(
    setting: SetBoard, grooves: Sequence[Groove], findings: Sequence[Finding], most: int = MOST
) -> tuple[Risk, ...]:
    """The riskiest letters, each character once, the riskiest first; fewer where there are fewer."""
    of_letter = {(g.placed.line, g.placed.index): g for g in grooves if g.placed.index}
    letters = [letter.placed for line in setting.lines for letter in line.letters]
    widths = {key: Carved.of(groove).thinnest_mm for key, groove in of_letter.items()}
    corners = {key: _corners(groove) for key, groove in of_letter.items()}
    thinnest = min(widths.values(), default=math.inf)
    most_corners = max(corners.values(), default=0) or 1
    risks = []
    for placed in letters:
        key = (placed.line, placed.index)
        if key not in of_letter:
            continue
        pointed = sum(WEIGHTS[f.severity] for f in findings if (f.where.line, f.where.index) == key)
        thin = thinnest / widths[key] if math.isfinite(widths[key]) else 0.0
        risks.append(Risk(placed.line, placed.index, placed.char, pointed + thin + 0.8 * corners[key] / most_corners))
    return _distinct(sorted(risks, key=lambda risk: (-risk.risk, risk.line, risk.index)), most)


def piece_text(job: Job, setting: SetBoard, risks: Sequence[Risk]) -> str:
    """The text of a job that has only these letters, at the size and cut as in the job they are from.

    Paths in it are those of the job: keep it in the same folder. Raises CarverError for a job without letters.
    """
    if not risks:
        raise CarverError("There is no letter to try: the job has none that can be carved.")
    text = job.text
    try:
        for edit in _edits(job, setting, risks):
            text = apply(edit, text).text
    except Refused as refused:
        raise WrongJob(refused.faults) if refused.faults else refused from None
    return text


def piece_of(work: Work) -> str:
    """The test piece of a job worked out, as a job's text."""
    return piece_text(work.job, work.setting, riskiest(work.setting, work.grooves, work.findings))


def _edits(job: Job, setting: SetBoard, risks: Sequence[Risk]) -> Iterator[Edit]:
    """What makes the piece of the job, one after the other; none of them makes a wrong job on the way."""
    numbers = sorted({risk.line for risk in risks})
    yield ReplaceText(_with_lines(job, numbers))
    yield SetKey(At(), "title", f"{job.title}: test piece")
    for key in LEFT_OUT:
        yield SetKey(At(), key, None)
    if ("lettering", "align") in find_places(job.text).spots:
        yield SetKey(At("lettering"), "align", "centre")  # a few letters spread to the margins would say nothing
    words = {line.number: line.words for line in job.lines}
    heights = {line.number: line.cap_height_mm for line in setting.lines}
    for place, number in enumerate(numbers, 1):
        at = At("line", place, words[number])
        for key in LEFT_OUT_OF_LINES:
            yield SetKey(at, key, None)
        yield SetKey(at, "cap_height", f"{heights[number]:.2f} mm")
        chosen = sorted((risk for risk in risks if risk.line == number), key=lambda risk: risk.index)
        yield SetWords(at, "".join(risk.char for risk in chosen))
    yield from _board_edits(job, setting, risks)


def _with_lines(job: Job, numbers: Sequence[int]) -> str:
    """A job's text with these of its lines alone, counted from 1."""
    text, places = job.text, find_places(job.text)
    tables = places.members("line")
    if tables:
        others = [blocks for number, blocks in enumerate(tables, 1) if number not in numbers]
        return splices.cut_blocks(places, [block for blocks in others for block in blocks])
    for place in reversed(range(len(job.lines))):  # written as one list
        if place + 1 not in numbers:
            text, _ = splices.remove_member(find_places(text), ("line",), place)
    return text


def _board_edits(job: Job, setting: SetBoard, risks: Sequence[Risk]) -> Iterator[Edit]:
    """The piece's width, height and margin; the margin first where the piece has no room for the job's."""
    heights = {line.number: line.cap_height_mm for line in setting.lines}
    inks = {(line.number, letter.placed.index): letter for line in setting.lines for letter in line.letters}
    rows: dict[int, float] = {}
    for risk in risks:
        ink = inks[risk.line, risk.index].placed.bounds_mm.width
        rows[risk.line] = rows.get(risk.line, 0.0) + ink + ROOM * heights[risk.line]
    width = max(rows.values()) + 2 * MARGIN_MM
    height = sum(TALL * heights[number] for number in rows) + 2 * MARGIN_MM
    sizes = [
        SetKey(At("board"), key, _on_grid(size, job.units)) for key, size in (("width", width), ("height", height))
    ]
    margin = SetKey(At("board"), "margin", f"{MARGIN_MM:g} mm")
    yield from (margin, *sizes) if job.board.margin_mm > MARGIN_MM else (*sizes, margin)


def _on_grid(size_mm: float, units: Units) -> str:
    """A side of the piece as it is written, rounded up."""
    whole = math.ceil(size_mm / GRID[units]) * GRID[units]
    return f"{whole:g} mm" if units == "mm" else f"{whole / MM_PER_INCH:g} in"


def _distinct(risks: Sequence[Risk], most: int) -> tuple[Risk, ...]:
    seen: set[tuple[int, str]] = set()
    chosen: list[Risk] = []
    for risk in risks:
        if (risk.line, risk.char) not in seen and len(chosen) < most:
            seen.add((risk.line, risk.char))
            chosen.append(risk)
    return tuple(chosen)


def _corners(groove: Groove) -> int:
    """How many corners a groove's outline has."""
    return sum(int((np.abs(breaks) >= CORNER_DEG).sum()) for breaks in groove.roof.flat.breaks)
