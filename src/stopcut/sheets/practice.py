"""practice.pdf: exercises at full size, to be pasted on an offcut: rows of strokes, a stem with its serifs, a letter.

In each row the first of its kind has its marks (see marks) and below the title its steps; the others are to be cut by
heart, with their middles alone. Joins, where another stroke would begin, are dotted: a stroke alone is stopped there.
Below each stands a box to tick. A whole letter has its card as the last page.
"""

from __future__ import annotations

import datetime
import io
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Final

import numpy as np
from reportlab.pdfgen.canvas import Canvas

from stopcut.arrays import Array
from stopcut.bench.planned import Plan
from stopcut.bench.steps import steps_of
from stopcut.shape.outline import Bounds
from stopcut.sheets.bench_sheets import draw_cards
from stopcut.sheets.card_page import draw_grain, draw_legend
from stopcut.sheets.card_picture import draw_marks
from stopcut.sheets.cover import paged
from stopcut.sheets.drawn import Pen
from stopcut.sheets.ink import begin_page, draw_box, take_pen
from stopcut.sheets.letter_cards import Bench, CardStep, cards_of
from stopcut.sheets.marks import draw_polyline, stamp_turn
from stopcut.sheets.notes import COLUMN_GAP_MM, Row, beside, height_of
from stopcut.sheets.page import Heading, PaperTooSmall, draw_furniture, kept_free
from stopcut.sheets.paper import Paper, home_paper, paper_named
from stopcut.sheets.step_words import depth_said, tool_said
from stopcut.sheets.text_rows import FIRST_PT, caution_rows, gap_row, heading_row, text_rows
from stopcut.sheets.words import TITLE_PT, draw_words, fitted, wrapped
from stopcut.teaching.practised import Exercise, PracticeStroke
from stopcut.units import Units, format_length
from stopcut.work import Work

__all__ = ["bounds_of", "practice_pdf"]

_INSET_MM: Final = 4.0
_GAP_MM: Final = 9.0
"""Between strokes of a row. [mm] Our choice: room for a hand's slip."""
_LEAST_GAP_MM: Final = 4.0
"""The same where all of a row then stands on one line. [mm]"""
_NUMBER_MM: Final = 5.0
_FINE: Final = 0.55
"""Marks at full size are finer than on a card. (our choice)"""
_BOX_MM: Final = 4.2
_UNDER_MM: Final = 8.0
"""Below a stroke, for its box. [mm]"""
_OVER_MM: Final = 2.5
_STEP_MM: Final = 5.4
_MARKS: Final = ("stop", "end", "pare", "turn", "point")
_LEGEND_MM: Final = 18.0
_GRAIN_MM: Final = 22.0
_EDGE, _MIDDLE, _JOIN, _BOX = Pen(0.15), Pen(0.25), Pen(0.2, (0.6, 0.8)), Pen(0.35)
_HOW: Final = (
    "Paste on an offcut with the grain arrow along the fibres. Cut the first of a row by its marks, the others by "
    "heart. Dotted: another stroke would begin; stop upright there."
)


def practice_pdf(
    work: Work,
    plan: Plan,
    exercises: Sequence[Exercise],
    paper: str | None = None,
    *,
    issued: datetime.date | None = None,
) -> bytes:
    """The exercises as a PDF at full size, in the order given, and the cards of those that are letters.

    paper is a sheet's name, the home printer's if not given. Raises UnknownPaper, or PaperTooSmall where a stroke does
    not fit the sheet at full size.
    """
    sheet = paper_named(paper) if paper is not None else home_paper(work.job.units)
    day = issued or datetime.date.today()
    room = _room(sheet)
    rows = [*_first_rows(work, room.width), *_exercise_rows(exercises, work.job.units, sheet, room)]
    pages = list(paged(rows, room.height))
    keys = {stroke.key for exercise in exercises if exercise.letter for stroke in exercise.strokes}
    cards = [card for card in cards_of([Bench(work, plan)]) if keys.intersection(one.key for one in card.places)]
    out = io.BytesIO()
    canvas = Canvas(out, invariant=1, pageCompression=1, lang="en-GB")
    canvas.setTitle(f"{work.job.title}: exercises")
    canvas.setCreator("stopcut")
    of = len(pages) + len(cards)
    for number, page in enumerate(pages, 1):
        begin_page(canvas, sheet.width_mm, sheet.height_mm)
        draw_furniture(canvas, work, Heading(number, of), (sheet.width_mm, sheet.height_mm), day)
        y = room.top
        for row in page:
            row.draw(canvas, room.left, y)
            y -= row.height_mm
        canvas.showPage()
    draw_cards(canvas, sheet, cards, work, work.job.title, day, len(pages) + 1, of)
    canvas.save()
    return out.getvalue()


def bounds_of(stroke: PracticeStroke) -> Bounds:
    """The box round a stroke. [mm]"""
    points = np.vstack([*stroke.edge, *stroke.joins])
    (left, bottom), (right, top) = points.min(axis=0).tolist(), points.max(axis=0).tolist()
    return Bounds(left, bottom, right, top)


def _room(sheet: Paper) -> Bounds:
    kept = kept_free(sheet)
    return Bounds(
        kept.left + _INSET_MM, kept.bottom + 2.0, sheet.width_mm - kept.right, sheet.height_mm - kept.top - 1.0
    )


def _first_rows(work: Work, width: float) -> Iterator[Row]:
    """What to mind before the first cut, how to use the sheets, what the marks mean, and the way of the grain."""
    line = work.setting.lines[0]
    title = f"Exercises: strokes of {line.family}, {format_length(line.cap_height_mm, work.job.units)} high"
    yield heading_row(fitted(title, width, TITLE_PT, bold=True), TITLE_PT, 8.0)
    yield from caution_rows(work, width)
    yield gap_row(1.5)
    yield from text_rows(_HOW, width)
    yield gap_row(1.5)

    def draw(canvas: Canvas, x: float, top: float) -> None:
        draw_grain(canvas, work.job.board.grain, x, top + 1.0)
        draw_legend(canvas, frozenset(_MARKS), x + _GRAIN_MM, top, width - _GRAIN_MM)

    yield Row(_LEGEND_MM + 1.0, draw)


def _exercise_rows(exercises: Sequence[Exercise], units: Units, sheet: Paper, room: Bounds) -> Iterator[Row]:
    """The exercises one below another, two beside each other where that is lower."""
    half = Bounds(room.left, room.bottom, room.left + (room.width - COLUMN_GAP_MM) / 2, room.top)
    left = list(exercises)
    while left:
        first = list(_rows(left[0], units, sheet, room))
        if len(left) > 1:
            second = list(_rows(left[1], units, sheet, room))
            narrow = [_narrow(one, units, sheet, half) for one in left[:2]]
            if all(narrow) and max(map(height_of, narrow)) < height_of(first) + height_of(second):
                yield beside(narrow[0], narrow[1], half.width)
                left = left[2:]
                continue
        yield from first
        left = left[1:]


def _narrow(exercise: Exercise, units: Units, sheet: Paper, half: Bounds) -> list[Row]:
    """An exercise in half the width, on one page; nothing where it does not fit."""
    if any(bounds_of(stroke).width > half.width for stroke in exercise.strokes):
        return []
    rows = list(_rows(exercise, units, sheet, half))
    return rows if height_of(rows) <= half.height else []


def _rows(exercise: Exercise, units: Units, sheet: Paper, room: Bounds) -> Iterator[Row]:
    yield gap_row(2.0)
    long = " and ".join(dict.fromkeys(format_length(stroke.length_mm, units) for stroke in exercise.strokes))
    title = exercise.title if exercise.letter else f"{exercise.title}, {long} long"
    yield heading_row(fitted(title, room.width, FIRST_PT + 1, bold=True), FIRST_PT + 1, 6.2)
    for text in text_rows(exercise.says, room.width):
        yield Row(text.height_mm, text.draw, leads=True)
    if not exercise.letter:
        for stroke in exercise.strokes:
            named = f"{stroke.char}: " if len(exercise.strokes) > 1 else ""
            yield from _step_rows(stroke, named, units, room.width)
    yield from _copies(exercise, sheet, room)


def _steps(stroke: PracticeStroke) -> list[CardStep]:
    cuts = {cut.id: cut for cut in stroke.cuts}
    steps = steps_of(stroke.cuts, [0.0] * len(stroke.cuts))
    return [CardStep(n, step, tuple(cuts[one] for one in step.cuts)) for n, step in enumerate(steps, 1)]


def _step_rows(stroke: PracticeStroke, named: str, units: Units, width: float) -> Iterator[Row]:
    """A stroke's steps, each with its number before it."""
    for step in _steps(stroke):
        said = f"{named}{step.step.says}: {tool_said(step.step.tool, units)}, {depth_said(step, units)}"
        for n, line in enumerate(wrapped(said, width - _NUMBER_MM, FIRST_PT)):

            def draw(canvas: Canvas, x: float, top: float, number: str, line: str = line) -> None:
                draw_words(canvas, x, top - 4.4, number, FIRST_PT, bold=True)
                draw_words(canvas, x + _NUMBER_MM, top - 4.4, line, FIRST_PT)

            yield Row(_STEP_MM, partial(draw, number="" if n else str(step.number)), leads=True)


@dataclass(frozen=True, slots=True)
class _Copy:
    """A stroke in a row: where its box's left edge is, and whether it has its marks."""

    stroke: PracticeStroke
    left: float
    marked: bool


def _copies(exercise: Exercise, sheet: Paper, room: Bounds) -> Iterator[Row]:
    """The strokes, as many beside each other as there is room for."""
    line: list[_Copy] = []
    at = 0.0
    wide = sum(bounds_of(stroke).width for stroke in exercise.strokes) * exercise.copies
    apart = (room.width - wide) / max(len(exercise.strokes) * exercise.copies - 1, 1)
    gap = min(apart, _GAP_MM) if apart >= _LEAST_GAP_MM else _GAP_MM
    for stroke in exercise.strokes:
        box = bounds_of(stroke)
        if box.width > room.width or box.height + _OVER_MM + _UNDER_MM > room.height / 1.5:
            said = f"{exercise.title}, {stroke.length_mm:.0f} mm long, does not fit {sheet.name} at size"
            raise PaperTooSmall(f"{said}: practise smaller letters, or print on larger paper (A3, A2)")
        for copy in range(exercise.copies):
            if line and at + box.width > room.width + 0.01:
                yield _line(line)
                line, at = [], 0.0
            line.append(_Copy(stroke, at, marked=copy == 0))
            at += box.width + gap
    if line:
        yield _line(line)


def _line(copies: Sequence[_Copy]) -> Row:
    high = max(bounds_of(copy.stroke).height for copy in copies)

    def draw(canvas: Canvas, x: float, top: float) -> None:
        for copy in copies:
            box = bounds_of(copy.stroke)
            shift = np.array([x + copy.left - box.left, top - _OVER_MM - high - box.bottom])
            _draw_copy(canvas, copy, shift)
            middle = x + copy.left + box.width / 2
            foot = top - _OVER_MM - high - 2.5
            take_pen(canvas, _BOX)
            draw_box(canvas, Bounds(middle - _BOX_MM / 2, foot - _BOX_MM, middle + _BOX_MM / 2, foot))

    return Row(high + _OVER_MM + _UNDER_MM, draw)


def _draw_copy(canvas: Canvas, copy: _Copy, shift: Array) -> None:
    stroke = copy.stroke

    def place(points: Array) -> Array:
        out: Array = points + shift
        return out

    for pen, lines in ((_JOIN, stroke.joins), (_EDGE, stroke.edge)):
        take_pen(canvas, pen)
        for line in lines:
            draw_polyline(canvas, place(line))
    if copy.marked:
        draw_marks(canvas, _steps(stroke), place, 1 / math.tan(math.radians(stroke.wall_deg)), _FINE)
        for turn in stroke.turns:
            stamp_turn(canvas, place(np.array([turn]))[0], _FINE)
        return
    take_pen(canvas, _MIDDLE)
    for cut in stroke.cuts:
        if cut.kind == "stop":
            for one in cut.lines:
                if len(one.points) > 1:
                    draw_polyline(canvas, place(one.points[:, :2]))
