"""The job document as it is written: every table and key of format 1, with what each may hold.

This is the border: pydantic reads what the TOML holds and reports everything that is wrong at once. What comes out is
still "as written" (None where a key is absent); resolve.py turns it into the job the rooms work from.
"""

from __future__ import annotations

import datetime
from typing import Annotated, Final, get_args

from pydantic import Field

from stopcut.job import word_readers as own
from stopcut.job.job import Align, Grain, StrokeKind
from stopcut.written import readers as read

__all__ = [
    "ArcTable",
    "AvoidTable",
    "BoardTable",
    "BorderTable",
    "ColumnsTable",
    "Document",
    "GapTable",
    "GrooveTable",
    "LetteringTable",
    "LineTable",
    "MatchTable",
    "OrnamentTable",
    "ShiftTable",
    "StrokeTable",
    "WidenTable",
]

FORMAT: Final = 1

# What is absurd rather than unusual. Board and letters: the limits of format 1; the others are our choice, because
# anything beyond is a slip of the pen (a comma, a unit) and would only be found when the wood is spoilt.
LONGEST_BOARD_MM: Final = 20_000.0
SMALLEST_BOARD_MM: Final = 10.0
THICKEST_BOARD_MM: Final = 1_000.0
TALLEST_LETTER_MM: Final = 2_000.0
SMALLEST_LETTER_MM: Final = 3.0
FLATTEST_WALL_DEG: Final = 20.0
STEEPEST_WALL_DEG: Final = 80.0
THINNEST_STROKE_MM: Final = 0.1
MOST_OPENNESS: Final = 4.0
MOST_CHARACTERS: Final = 2_000
MOST_LINES: Final = 1_000
MOST_LETTERS: Final = 5_000  # of all lines: some 300 names; a minute's work with the plan of its cuts
MOST_OTHERS: Final = 1_000
MOST_STROKES: Final = 200
MOST_COLUMNS: Final = 8
LEAST_WIDENED_MM: Final = 0.05
MOST_WIDENED_MM: Final = 100.0

_anywhere = read.length(-LONGEST_BOARD_MM, LONGEST_BOARD_MM)
_board_side = read.length(SMALLEST_BOARD_MM, LONGEST_BOARD_MM)
_stroke = read.length(THINNEST_STROKE_MM, TALLEST_LETTER_MM)
_along_board = read.length(0, LONGEST_BOARD_MM)
_extent = read.length(0.1, LONGEST_BOARD_MM)
_count = read.whole_number(1, 10_000)
_face = read.text("a family name, or the path of a font file", 1_000)
_wall = read.angle(
    FLATTEST_WALL_DEG,
    STEEPEST_WALL_DEG,
    f"measured from the board's face, stay from {FLATTEST_WALL_DEG:g} to {STEEPEST_WALL_DEG:g}; 60 is usual",
)


class BoardTable(read.StrictTable):
    """[board]."""

    width: Annotated[float, _board_side]
    height: Annotated[float, _board_side]
    thickness: Annotated[float, read.length(1, THICKEST_BOARD_MM)]
    wood: Annotated[str | None, read.text("the wood's name", 200)] = None
    grain: Annotated[Grain | None, read.choice(*get_args(Grain))] = None
    margin: Annotated[float | None, read.length(0, LONGEST_BOARD_MM)] = None


class ArcTable(read.StrictTable):
    """arc = { radius, bend }."""

    radius: Annotated[float, read.length(5, 100_000)]
    bend: Annotated[str | None, read.choice("up", "down")] = None


class ShiftTable(read.StrictTable):
    """One of shifts = [{ pair, nth, by }]."""

    pair: Annotated[str, own.pair()]
    nth: Annotated[int, _count] = 1
    by: Annotated[tuple[str, float], own.shift_by(500, 2)]


class StrokeTable(read.StrictTable):
    """One of strokes = [{ letter, nth, stroke, kind }]."""

    letter: Annotated[str, own.letter()]
    nth: Annotated[int, _count] = 1
    stroke: Annotated[int, read.whole_number(1, MOST_STROKES)]
    kind: Annotated[StrokeKind, read.choice(*get_args(StrokeKind))]


class WidenTable(read.StrictTable):
    """One of widen = [{ letter, nth, by }]."""

    letter: Annotated[str, own.letter()]
    nth: Annotated[int, _count] = 1
    by: Annotated[float, read.length(LEAST_WIDENED_MM, MOST_WIDENED_MM)]


class _Inherited(read.StrictTable):
    """What [lettering] sets for every line and a line may set again."""

    face: Annotated[str | None, _face] = None
    weight: Annotated[float | None, read.number(1, 1000)] = None
    stem: Annotated[float | None, _stroke] = None
    cap_height: Annotated[float | str | None, read.length_or("fit", SMALLEST_LETTER_MM, TALLEST_LETTER_MM)] = None
    openness: Annotated[float | None, read.number(0, MOST_OPENNESS)] = None
    tuck: Annotated[float | None, read.number(0, 4)] = None
    align: Annotated[Align | None, read.choice(*get_args(Align))] = None
    word_space: Annotated[float | None, read.number(0.1, 10)] = None
    line_gap: Annotated[float | tuple[str, float] | None, own.scale_or_length(10, LONGEST_BOARD_MM)] = None
    thinnest: Annotated[float | str | None, read.length_or("none", THINNEST_STROKE_MM, 100)] = None
    features: Annotated[tuple[str, ...] | None, own.features()] = None


class LetteringTable(_Inherited):
    """[lettering]."""


class GrooveTable(read.StrictTable):
    """[groove]."""

    wall: Annotated[float | None, _wall] = None
    flat_bottom: Annotated[float | str | None, read.length_or("none", THINNEST_STROKE_MM, THICKEST_BOARD_MM)] = None
    face_off: Annotated[float | None, read.length(0, 20)] = None
    planed: Annotated[float | None, read.length(0, 20)] = None


class LineTable(_Inherited):
    """[[line]]."""

    words: Annotated[str, own.words(MOST_CHARACTERS)]
    size: Annotated[float | None, read.number(0.05, 20)] = None
    drop: Annotated[float | None, _anywhere] = None
    in_columns: Annotated[bool | None, read.yes_or_no()] = None
    draw_in: Annotated[bool | None, read.yes_or_no()] = None
    arc: ArcTable | None = None
    wall: Annotated[float | None, _wall] = None
    flat_bottom: Annotated[float | str | None, read.length_or("none", THINNEST_STROKE_MM, THICKEST_BOARD_MM)] = None
    shifts: Annotated[list[ShiftTable], Field(max_length=MOST_OTHERS)] = Field(default_factory=list)
    strokes: Annotated[list[StrokeTable], Field(max_length=MOST_OTHERS)] = Field(default_factory=list)
    widen: Annotated[list[WidenTable], Field(max_length=MOST_OTHERS)] = Field(default_factory=list)


class ColumnsTable(read.StrictTable):
    """[columns]."""

    number: Annotated[int | None, read.whole_number(1, MOST_COLUMNS)] = None
    between: Annotated[float | None, _along_board] = None
    after_tab: Annotated[str | None, read.choice("edge", "stop")] = None
    draw_in: Annotated[bool | None, read.yes_or_no()] = None
    leaders: Annotated[str | None, read.choice("none", "points", "dots")] = None


class OrnamentTable(read.StrictTable):
    """[[ornament]]."""

    file: Annotated[str, read.text("the path of an SVG file", 1_000)]
    x: Annotated[float, _along_board]
    y: Annotated[float, _along_board]
    width: Annotated[float, _extent]
    turn: Annotated[float | None, read.angle(-360, 360, "stay from -360 to 360, anticlockwise")] = None
    carve: Annotated[str | None, read.choice("groove", "none")] = None


class BorderTable(read.StrictTable):
    """[border]."""

    inset: Annotated[float, _along_board]
    stroke: Annotated[float, _stroke]
    lines: Annotated[int | None, read.whole_number(1, 2)] = None
    corners: Annotated[str | None, read.choice("square", "cut", "hollow")] = None


class AvoidTable(read.StrictTable):
    """[[avoid]]."""

    what: Annotated[str, read.text("what is there, such as a knot", 200)]
    x: Annotated[float, _along_board]
    y: Annotated[float, _along_board]
    radius: Annotated[float | None, _extent] = None
    width: Annotated[float | None, _extent] = None
    height: Annotated[float | None, _extent] = None


class GapTable(read.StrictTable):
    """One of [match]'s gaps = [{ pair, gap }]."""

    pair: Annotated[str, own.pair()]
    gap: Annotated[float, read.length(-500, LONGEST_BOARD_MM)]


class MatchTable(read.StrictTable):
    """[match]."""

    cap_height: Annotated[float | None, read.length(SMALLEST_LETTER_MM, TALLEST_LETTER_MM)] = None
    stem: Annotated[float | None, _stroke] = None
    gaps: Annotated[list[GapTable], Field(max_length=MOST_OTHERS)] = Field(default_factory=list)


class Document(read.StrictTable):
    """The whole job document."""

    format: Annotated[int, read.version(FORMAT)]
    title: Annotated[str, read.text("what the board is for", 200)]
    units: Annotated[str | None, read.choice("mm", "in")] = None
    wanted_by: Annotated[datetime.date | None, read.date()] = None
    board: BoardTable
    lettering: LetteringTable = Field(default_factory=LetteringTable)
    groove: GrooveTable = Field(default_factory=GrooveTable)
    line: Annotated[list[LineTable], Field(min_length=1, max_length=MOST_LINES)]
    ornament: Annotated[list[OrnamentTable], Field(max_length=MOST_OTHERS)] = Field(default_factory=list)
    border: BorderTable | None = None
    columns: ColumnsTable = Field(default_factory=ColumnsTable)
    avoid: Annotated[list[AvoidTable], Field(max_length=MOST_OTHERS)] = Field(default_factory=list)
    match: MatchTable | None = None
