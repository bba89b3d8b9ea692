"""practice.pdf: the strokes of chosen letters from easy to hard, a page for each.

Each stroke stands there at full size in a frame, to be cut out and pasted on an offcut with its grain arrow along the
fibres; beside it larger, with what is stabbed and what is pared, every cut with its number; below, every cut with its
tool, depth and a box to tick. Joins, where another stroke would begin, are dotted: a stroke alone is stopped there.
"""

from __future__ import annotations

import datetime
import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final, Literal, Protocol

import numpy as np
from reportlab import rl_config
from reportlab.pdfgen.canvas import Canvas

from stopcut.arrays import Array
from stopcut.bench.plan import Cut, StrokeKind
from stopcut.shape.outline import Bounds
from stopcut.sheets.card_picture import (
    CARD_PT,
    CutOut,
    bounds_of,
    draw_cut_out,
    draw_polyline,
    draw_stroke,
    is_stab,
)
from stopcut.sheets.card_rows import COLUMN_GAP_MM, cut_blocks, in_columns
from stopcut.sheets.drawn import Pen
from stopcut.sheets.ink import begin_page, clip_to, draw_box, draw_line, take_pen
from stopcut.sheets.notes import Row, height_of
from stopcut.sheets.page import Heading, PaperTooSmall, draw_furniture, kept_free
from stopcut.sheets.paper import Paper, home_paper, paper_named
from stopcut.sheets.words import TEXT_PT, TITLE_PT, draw_words, fitted
from stopcut.units import format_length
from stopcut.work import Work

__all__ = ["Practised", "practice_pdf"]

rl_config.useA85 = 0

_INSET_MM: Final = 4.0
_HEAD_MM: Final = 22.0
_FRAME_MM: Final = 8.0
"""Paper round a stroke at full size. [mm] Our choice: room to paste it, and for its arrow."""
_FOOT_MM: Final = 9.0
"""Under the stroke in its frame, for the grain's arrow. [mm]"""
_PICTURE_MM: Final = 80.0
"""Height kept for pictures at least. [mm] Our choice."""
_ROWS_MM: Final = 40.0
"""Height kept for the first rows below them at least. [mm] Our choice."""
_SLACK_MM: Final = 30.0
"""By how much two columns of rows are uneven at most, heads included. [mm]"""
_ROUND_PICTURE_MM: Final = 36.0
"""What a picture's title and numbers take of its height and width. [mm]"""
_LEAST: Final = 1.6
"""Below so many times its size the pictures have a page of their own. (our choice)"""
_LARGEST: Final = 6.0
"""Beyond so many times its size a larger picture tells no more. (our choice)"""
_BESIDE_TITLE_MM: Final = 15.0
"""Where a picture's scale stands beside its title. [mm]"""
_HOW: Final = "Paste the frame with its arrow along the fibres. Dotted: another stroke would begin; stop upright there."
_PIECE, _STOP, _CUT_OUT, _GRAIN = Pen(0.15), Pen(0.25), Pen(0.15, (2.0, 1.0)), Pen(0.25)


class Practised(CutOut, Protocol):
    """A stroke to practise: what is drawn of it, its cuts in working order, and how hard it is, with the reasons."""

    @property
    def char(self) -> str:
        """The letter it is from."""

    @property
    def kind(self) -> StrokeKind:
        """What a carver calls it."""

    @property
    def cuts(self) -> tuple[Cut, ...]:
        """In working order."""

    @property
    def length_mm(self) -> float:
        """How long it is."""

    @property
    def points(self) -> float:
        """How hard it is."""

    @property
    def reasons(self) -> tuple[str, ...]:
        """What for."""


def practice_pdf(
    work: Work, strokes: Sequence[Practised], paper: str | None = None, *, issued: datetime.date | None = None
) -> bytes:
    """The practice sheet as a PDF, the strokes in the order given.

    paper is a sheet's name, the home printer's if not given. Raises UnknownPaper, or PaperTooSmall where a stroke does
    not fit the sheet at full size.
    """
    sheet = paper_named(paper) if paper is not None else home_paper(work.job.units)
    day = issued or datetime.date.today()
    pages = [page for place, stroke in enumerate(strokes, 1) for page in _pages(work, sheet, stroke, place)]
    out = io.BytesIO()
    canvas = Canvas(out, invariant=1, pageCompression=1, lang="en-GB")
    canvas.setTitle(f"{work.job.title}: strokes from easy to hard")
    canvas.setCreator("stopcut")
    for number, page in enumerate(pages, 1):
        begin_page(canvas, sheet.width_mm, sheet.height_mm)
        draw_furniture(canvas, work, Heading(number, len(pages)), (sheet.width_mm, sheet.height_mm), day)
        _draw(canvas, work, sheet, page, len(strokes))
        canvas.showPage()
    canvas.save()
    return out.getvalue()


@dataclass(frozen=True, slots=True)
class _Page:
    """A stroke's page: the columns of its rows, and how its pictures stand above them (None: they do not).

    pictures says that it is the page of the pictures alone."""

    stroke: Practised
    place: int
    columns: tuple[tuple[Row, ...], ...]
    layout: _Layout | None
    pictures: bool = False


def _room(sheet: Paper) -> Bounds:
    kept = kept_free(sheet)
    return Bounds(
        kept.left + _INSET_MM, kept.bottom + 2.0, sheet.width_mm - kept.right, sheet.height_mm - kept.top - 1.0
    )


def _pages(work: Work, sheet: Paper, stroke: Practised, place: int) -> Iterator[_Page]:
    room = _room(sheet)
    width = (room.width - COLUMN_GAP_MM) / 2
    whole = room.height - _HEAD_MM
    numbers = _numbers(stroke)
    blocks = list(cut_blocks(stroke.cuts, numbers, work.job.units, width))
    rows = sum(height_of(block) for _, block in blocks) / 2 + _SLACK_MM
    layout = _layout(stroke, sheet, rows)
    columns = in_columns(blocks, whole, width, whole - layout.high)
    for first in range(0, len(columns), 2):
        page = tuple(tuple(column) for column in columns[first : first + 2])
        yield _Page(stroke, place, page, layout if first == 0 else None)
    if layout.stands == "apart":
        yield _Page(stroke, place, (), None, pictures=True)


def _numbers(stroke: Practised) -> dict[str, int]:
    return {cut.id: number for number, cut in enumerate(stroke.cuts, 1)}


def _framed(stroke: Practised) -> tuple[float, float]:
    """Width and height of a stroke's frame at full size. [mm]"""
    box = bounds_of(stroke)
    return max(box.width, 18.0) + 2 * _FRAME_MM, box.height + 2 * _FRAME_MM + _FOOT_MM


@dataclass(frozen=True, slots=True)
class _Layout:
    """How a stroke's pictures stand: beside its frame, below it, or apart on a page of their own; and how high frame
    and pictures are together."""

    stands: Literal["beside", "below", "apart"]
    high: float


def _layout(stroke: Practised, sheet: Paper, rows_mm: float) -> _Layout:
    """The layout that shows a stroke larger, over rows of that height. Raises PaperTooSmall."""
    width, height = _framed(stroke)
    room, ink = _room(sheet), bounds_of(stroke)
    most = room.height - _HEAD_MM - _ROWS_MM
    if width > room.width or height > most:
        said = f"the {stroke.kind} of {stroke.char}, {stroke.length_mm:.0f} mm long, does not fit {sheet.name} at size"
        raise PaperTooSmall(f"{said}: practise smaller letters, or print on larger paper (A3, A2)")
    free = min(max(room.height - _HEAD_MM - rows_mm, _PICTURE_MM), most)

    def scale(layout: _Layout) -> float:
        beside = layout.stands == "beside"
        across = (room.width - width * beside) / 2 - _ROUND_PICTURE_MM
        up = layout.high - height * (not beside) - _ROUND_PICTURE_MM
        return min(across / max(ink.width, 1.0), up / max(ink.height, 1.0), _LARGEST)

    best = max(_Layout("beside", max(free, height)), _Layout("below", max(free, height)), key=scale)
    return best if scale(best) >= _LEAST else _Layout("apart", height + 2.0)


def _draw(canvas: Canvas, work: Work, sheet: Paper, page: _Page, of: int) -> None:
    room = _room(sheet)
    _head(canvas, work, page, room, of)
    top = room.top - _HEAD_MM
    if page.layout is not None:
        width, height = _framed(page.stroke)
        _piece(canvas, work, page.stroke, Bounds(room.left, top - height, room.left + width, top))
        if page.layout.stands != "apart":
            beside = page.layout.stands == "beside"
            left, upper = (room.left + width, top) if beside else (room.left, top - height)
            _side_by_side(canvas, page.stroke, Bounds(left, top - page.layout.high, room.right, upper))
        top -= page.layout.high
    if page.pictures:
        _one_above_the_other(canvas, page.stroke, Bounds(room.left, room.bottom, room.right, top))
    width = (room.width - COLUMN_GAP_MM) / 2
    for number, column in enumerate(page.columns):
        y = top
        for row in column:
            row.draw(canvas, room.left + number * (width + COLUMN_GAP_MM), y)
            y -= row.height_mm


def _head(canvas: Canvas, work: Work, page: _Page, room: Bounds, of: int) -> None:
    stroke = page.stroke
    said = f"{page.place} of {of}: {stroke.kind} of {stroke.char}, {format_length(stroke.length_mm, work.job.units)}"
    draw_words(canvas, room.left, room.top - 6.0, fitted(said, room.width, TITLE_PT, bold=True), TITLE_PT, bold=True)
    why = (
        f"{stroke.points:.1f} points: {', '.join(stroke.reasons)}" if stroke.reasons else f"{stroke.points:.1f} points"
    )
    draw_words(canvas, room.left, room.top - 12.0, fitted(why, room.width, TEXT_PT), TEXT_PT)
    draw_words(canvas, room.left, room.top - 17.0, fitted(_HOW, room.width, TEXT_PT), TEXT_PT)


def _piece(canvas: Canvas, work: Work, stroke: Practised, frame: Bounds) -> None:
    """A stroke at full size in a frame, with the way of the grain."""
    take_pen(canvas, _CUT_OUT)
    draw_box(canvas, frame)
    box = bounds_of(stroke)
    shift = np.array([frame.centre[0] - box.centre[0], frame.top - _FRAME_MM - box.top])

    def place(points: Array) -> Array:
        out: Array = points + shift
        return out

    draw_cut_out(canvas, stroke, place, outline=_PIECE)
    canvas.saveState()
    clip_to(canvas, frame)
    take_pen(canvas, _STOP)
    for cut in stroke.cuts:
        if cut.kind == "stop" and len(cut.points) > 1:
            draw_polyline(canvas, place(cut.points[:, :2]))
    canvas.restoreState()
    _grain(canvas, work, frame)


def _grain(canvas: Canvas, work: Work, frame: Bounds) -> None:
    take_pen(canvas, _GRAIN)
    x, y, far = frame.left + 4.0, frame.bottom + 4.0, 4.0 if work.job.board.grain == "height" else 5.0
    canvas.saveState()
    canvas.translate(x + (0.0 if work.job.board.grain == "height" else far - 1.0), y + 0.5)
    if work.job.board.grain == "height":
        canvas.rotate(90)
    draw_line(canvas, -far, 0, far, 0)
    for end in (-far, far):
        for side in (-1.0, 1.0):
            draw_line(canvas, end, 0, end - 2.0 * (1 if end > 0 else -1), side)
    canvas.restoreState()
    draw_words(canvas, x + (3.0 if work.job.board.grain == "height" else 2 * far), y - 1.0, "grain", TEXT_PT)


def _side_by_side(canvas: Canvas, stroke: Practised, box: Bounds) -> None:
    middle = box.centre[0]
    _picture(canvas, stroke, "stab", Bounds(box.left + 2.0, box.bottom + 2.0, middle - 1.0, box.top))
    _picture(canvas, stroke, "pare", Bounds(middle + 2.0, box.bottom + 2.0, box.right - 1.0, box.top))


def _one_above_the_other(canvas: Canvas, stroke: Practised, box: Bounds) -> None:
    middle = box.centre[1]
    _picture(canvas, stroke, "stab", Bounds(box.left, middle + 1.0, box.right, box.top))
    _picture(canvas, stroke, "pare", Bounds(box.left, box.bottom, box.right, middle - 1.0))


def _picture(canvas: Canvas, stroke: Practised, shows: Literal["stab", "pare"], box: Bounds) -> None:
    cuts = [cut for cut in stroke.cuts if is_stab(cut) == (shows == "stab")]
    title = "Stab" if shows == "stab" else "Pare"
    draw_words(canvas, box.left + 2.0, box.top - 5.0, title, CARD_PT)
    if not cuts:
        draw_words(canvas, box.left + 2.0, box.top - 12.0, "nothing here", TEXT_PT)
    box = Bounds(box.left, box.bottom, box.right, box.top - 6.0)
    scale = draw_stroke(canvas, stroke, cuts, _numbers(stroke), box, largest=_LARGEST)
    said = f"drawn {scale:.1f} times its size"
    draw_words(canvas, box.left + _BESIDE_TITLE_MM, box.top + 1.0, said, TEXT_PT)
