"""Notes: what the pattern says in words: the board, its lines, how to join the sheets, what the lines mean, findings.

Notes are rows, one under another, each with its height and a way to draw itself, so that they flow over as many pages
as they need, or stand under a pattern that leaves them room.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from reportlab.pdfgen.canvas import Canvas

from stopcut.bench.cautions import BENCH_RULES, LOCAL_RULES, dust_caution
from stopcut.errors import Where
from stopcut.groove.allowance import cut_depth_mm
from stopcut.groove.causes import Cause
from stopcut.setting.set_board import SetLine
from stopcut.sheets.drawn import PENS, PIT_MM, all_placed
from stopcut.sheets.ink import draw_line, draw_outlines, take_pen
from stopcut.sheets.page import day_in_words
from stopcut.sheets.tiling import Tiling
from stopcut.sheets.words import POINT_MM, SMALL_PT, TEXT_PT, can_print, draw_words, fitted, width_mm, wrapped
from stopcut.units import format_angle, format_length
from stopcut.work import Work

__all__ = [
    "COLUMN_GAP_MM",
    "Row",
    "beside",
    "board_notes",
    "caution_notes",
    "caution_texts",
    "finding_notes",
    "height_of",
    "joining_notes",
    "legend",
    "line_notes",
]

LEAD_MM = 5.0
"""From one line of text to the next. (our choice: 11 pt on 14)"""

_GAP_MM = 3.0
COLUMN_GAP_MM = 10.0
_SAMPLE_MM = 16.0
_SAMPLE_GAP_MM = 3.0
_NUMBER_MM = 6.0
_CELL_GAP_MM = 4.0


@dataclass(frozen=True, slots=True)
class Row:
    """One row of notes: how high it is, and how it is drawn with its top left corner at a place. [mm]

    leads says that the row must not stand last on a page (a heading).
    """

    height_mm: float
    draw: Callable[[Canvas, float, float], None]
    leads: bool = False


def height_of(rows: Sequence[Row]) -> float:
    """How high rows stand together. [mm]"""
    return sum(row.height_mm for row in rows)


def beside(left: Sequence[Row], right: Sequence[Row], left_width_mm: float) -> Row:
    """Two columns of rows as one row."""

    def draw(canvas: Canvas, x: float, top: float) -> None:
        for rows, at in ((left, x), (right, x + left_width_mm + COLUMN_GAP_MM)):
            y = top
            for row in rows:
                row.draw(canvas, at, y)
                y -= row.height_mm

    return Row(max(height_of(left), height_of(right)), draw)


def board_notes(work: Work, room_mm: float) -> list[Row]:
    """The board in figures."""
    job, board = work.job, work.job.board
    sides = [format_length(mm, job.units) for mm in (board.width_mm, board.height_mm, board.thickness_mm)]
    unit = sides[0].rsplit(" ", 1)[-1]
    size = " × ".join(side.removesuffix(f" {unit}") for side in sides) + f" {unit}"
    facts = [
        ("Size", size),
        ("Wood", board.wood),
        ("Grain", f"along the {board.grain}"),
        ("Margin", format_length(board.margin_mm, job.units)),
    ]
    if job.face_off_mm:
        facts.append(("To come off", f"{format_length(job.face_off_mm, job.units)}: outlines are bolder by it"))
    if job.wanted_by is not None:
        facts.append(("Wanted by", day_in_words(job.wanted_by)))
    return [_heading("The board"), *(_fact(label, figure, room_mm) for label, figure in facts), _space()]


def caution_texts(work: Work) -> tuple[str, ...]:
    """What a carver is told before the first cut of this board; that local rules come first is the last."""
    wood = work.wood.wood
    dust = dust_caution(work.job.board.wood, *((wood.name,) if wood is not None else ()))
    return (*BENCH_RULES, dust, LOCAL_RULES)


def caution_notes(work: Work, room_mm: float) -> list[Row]:
    """What a carver is told before the first cut; it stands on the first page of every pattern."""
    return [_heading("Before the first cut"), *_paragraph(" ".join(caution_texts(work)), room_mm), _space()]


def line_notes(work: Work, room_mm: float) -> list[Row]:
    """The lines of words: what each says, its face, cap height, wall and greatest depth."""
    heads = ("", "Words", "Face", "Cap height", "Wall from face", "Deepest")
    table = [_figures(work, line) for line in work.setting.lines]
    columns = _columns((heads, *table), room_mm)

    def head(canvas: Canvas, x: float, top: float) -> None:
        for at, text in zip(columns, heads, strict=True):
            draw_words(canvas, x + at, _baseline(top), text, SMALL_PT)

    rows = [_heading("The lines"), Row(LEAD_MM, head, leads=True)]
    rows += [_line(work, line, texts, columns, room_mm) for line, texts in zip(work.setting.lines, table, strict=True)]
    return [*rows, _space()]


def joining_notes(work: Work, tiling: Tiling | None, room_mm: float) -> list[Row]:
    """What to do before tracing: how the sheets of a tiling become one pattern; None for a pattern on one sheet."""
    board = work.job.board
    width, height = (format_length(mm, work.job.units) for mm in (board.width_mm, board.height_mm))
    steps = ["Print at actual size (100 %), not fitted to the page. Measure both bars on every sheet."]
    if tiling is not None and len(tiling.tiles) > 1:
        sides = (("right-hand", tiling.columns), ("lower", tiling.rows))
        joins = [words for words, count in sides if count > 1]
        named, them = (" and ".join(joins) + " joins", "them") if len(joins) > 1 else (f"{joins[0]} join", "one")
        steps += [
            f"Cut each sheet along its {named}, where it has {them}, from tick to tick through the register marks.",
            "Lay it on its neighbour so that half marks meet whole ones of the same letter, and tape.",
        ]
    steps.append(f"Check the whole: {width} and {height} between the board's edges.")
    rows = [_heading("Before tracing")]
    for number, step in enumerate(steps, 1):
        rows += _hanging(f"{number}", step, _NUMBER_MM, room_mm)
    return [*rows, _space()]


def legend(work: Work, room_mm: float) -> list[Row]:
    """A sample of each line that the pattern has, and what it is."""
    left = ["outline", "parallel-run", "centre-line", "corner-line", "arris"]
    if any(groove.pits for groove in work.grooves):
        left.append("pit")
    right = [name for name in PENS if name not in (*left, "pit") and _is_drawn(work, name)]
    half = (room_mm - COLUMN_GAP_MM) / 2
    if max(width_mm(PENS[name][0], SMALL_PT) for name in PENS) > half - _SAMPLE_MM - _SAMPLE_GAP_MM:
        return [_heading("What the lines mean"), *(_sample(name) for name in (*left, *right)), _space()]
    columns = beside([_sample(name) for name in left], [_sample(name) for name in right], half)
    return [_heading("What the lines mean"), columns, _space()]


def _is_drawn(work: Work, layer: str) -> bool:
    """Whether the pattern has anything of a layer that most boards lack."""
    if layer == "avoid":
        return bool(work.job.avoid)
    if layer == "before-strengthening":
        return bool(work.before_strengthening)
    return layer != "relief" or any(not ornament.carved for ornament in work.ornaments)


def finding_notes(causes: Sequence[Cause], room_mm: float) -> list[Row]:
    """What the carver should know before cutting: causes in their order, each with its place and remedy."""
    if not causes:
        return [_heading("To look at"), *_paragraph("Nothing found.", room_mm), _space()]
    rows = [_heading("To look at")]
    for cause in causes:
        place = _place(cause.where) if len(cause.lines) < 2 else ""
        told = " ".join(part for part in (cause.says, cause.more, cause.screen) if part)
        says = told + (f" ({place})" if place else "")
        kind = cause.severity.value.capitalize()
        rows += [*_hanging(f"{cause.number}", says, 20.0, room_mm, kind), Row(1.0, _nothing)]
    return [*rows, _space()]


def _place(where: Where) -> str:
    parts = (f"line {where.line}" if where.line else "", f"letter {where.index}" if where.index else "")
    return ", ".join(part for part in parts if part)


def _figures(work: Work, line: SetLine) -> tuple[str, ...]:
    """A line's row of the table, in words."""
    grooves = [groove for groove in work.grooves if groove.placed.line == line.number]
    units = work.job.units
    wall = format_angle(grooves[0].wall_deg) if grooves else "–"
    depth = max((g.max_depth_mm for g in grooves), default=0.0)
    deepest = format_length(depth, units, finest=64) if grooves else "–"
    if grooves and work.job.face_off_mm:
        deepest += f", cut {format_length(cut_depth_mm(depth, work.job.face_off_mm), units, finest=64)}"
    if any(g.flat_bottom_mm is not None and g.max_depth_mm >= g.flat_bottom_mm for g in grooves):
        deepest += ", flat"
    return (str(line.number), line.words, line.family, format_length(line.cap_height_mm, units), wall, deepest)


def _columns(table: Sequence[tuple[str, ...]], room_mm: float) -> list[float]:
    """Where a table's columns begin: the last three as wide as they need, words and face sharing what is left. [mm]"""
    narrow = [max(width_mm(row[i]) for row in table) + _CELL_GAP_MM for i in (3, 4, 5)]
    shared = room_mm - _NUMBER_MM - sum(narrow)
    starts = [0.0, _NUMBER_MM, _NUMBER_MM + 0.6 * shared, _NUMBER_MM + shared]
    return [*starts, starts[-1] + narrow[0], starts[-1] + narrow[0] + narrow[1]]


def _line(work: Work, line: SetLine, texts: tuple[str, ...], columns: list[float], room_mm: float) -> Row:
    ends = (*columns[1:], room_mm)

    def draw(canvas: Canvas, x: float, top: float) -> None:
        for i, (at, end, text) in enumerate(zip(columns, ends, texts, strict=True)):
            if i == 1 and not can_print(text):
                _as_carved(canvas, work, line, x + at, _baseline(top), end - at - _CELL_GAP_MM)
            else:
                draw_words(canvas, x + at, _baseline(top), fitted(text, end - at - 1))

    return Row(LEAD_MM + 0.6, draw)


def _as_carved(canvas: Canvas, work: Work, line: SetLine, x: float, y: float, room_mm: float) -> None:
    """Words in a script that the sheets' type has not: their own outlines, small."""
    height = line.cap_height_mm or 1.0
    scale = min(TEXT_PT * POINT_MM * 0.64 / height, room_mm / max(line.ink_right_mm - line.ink_left_mm, 1.0))
    move = (scale, 0.0, 0.0, scale, x - scale * line.ink_left_mm, y - scale * line.baseline_y_mm)
    own = [placed.on_board.mapped(move) for placed in all_placed(work) if placed.line == line.number]
    draw_outlines(canvas, own, filled=True)


def _fact(label: str, figure: str, room_mm: float) -> Row:
    def draw(canvas: Canvas, x: float, top: float) -> None:
        draw_words(canvas, x, _baseline(top), label, TEXT_PT)
        draw_words(canvas, x + 24, _baseline(top), fitted(figure, room_mm - 24), TEXT_PT)

    return Row(LEAD_MM, draw)


def _sample(name: str) -> Row:
    says, pen = PENS[name]

    def draw(canvas: Canvas, x: float, top: float) -> None:
        y = _baseline(top) + 1.1
        take_pen(canvas, pen)
        half = (PIT_MM if name == "pit" else _SAMPLE_MM) / 2
        middle = x + _SAMPLE_MM / 2
        draw_line(canvas, middle - half, y, middle + half, y)
        if name == "pit":
            draw_line(canvas, middle, y - half, middle, y + half)
        draw_words(canvas, x + _SAMPLE_MM + _SAMPLE_GAP_MM, _baseline(top), says, SMALL_PT)

    return Row(LEAD_MM, draw)


def _heading(text: str) -> Row:
    def draw(canvas: Canvas, x: float, top: float) -> None:
        draw_words(canvas, x, _baseline(top), text, TEXT_PT + 1, bold=True)

    return Row(LEAD_MM + 1.2, draw, leads=True)


def _paragraph(text: str, room_mm: float) -> list[Row]:
    return [_text(line, 0.0) for line in wrapped(text, room_mm)]


def _hanging(number: str, text: str, indent_mm: float, room_mm: float, lead: str = "") -> list[Row]:
    """A numbered paragraph, its lines set in behind its number and its lead (a word in bold)."""
    lines = [_text(line, indent_mm) for line in wrapped(text, room_mm - indent_mm)]

    def first(canvas: Canvas, x: float, top: float) -> None:
        draw_words(canvas, x, _baseline(top), number)
        draw_words(canvas, x + _NUMBER_MM, _baseline(top), lead, bold=True)
        lines[0].draw(canvas, x, top)

    return [Row(LEAD_MM, first, leads=len(lines) > 1), *lines[1:]]


def _text(text: str, indent_mm: float) -> Row:
    return Row(LEAD_MM, lambda canvas, x, top: draw_words(canvas, x + indent_mm, _baseline(top), text))


def _space() -> Row:
    return Row(_GAP_MM, _nothing)


def _nothing(canvas: Canvas, x: float, top: float) -> None:
    """A row of white."""


def _baseline(top: float) -> float:
    """Where the baseline of a row's text is. [mm]"""
    return top - TEXT_PT * POINT_MM
