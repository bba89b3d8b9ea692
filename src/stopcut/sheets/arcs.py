"""arcs.pdf: arcs of circles at true size to lay a gouge against, and how to measure one from its stab mark.

Makers number their sweeps differently, so an edge is told by its width and the circle that it is part of. Each arc has
marks at the usual widths, in pairs as far apart as that width: the pair that an edge's corners touch while the whole of
it lies on the arc says both. The second page measures from a mark pressed into scrap: with its width w and its rise h
the radius is r = w²/(8h) + h/2 (circle geometry).
"""

from __future__ import annotations

import datetime
import io
import math
from collections.abc import Iterator, Sequence
from typing import Final

from reportlab.pdfgen.canvas import Canvas
from reportlab.pdfgen.pathobject import PDFPathObject

from stopcut.shape.outline import Bounds, Point
from stopcut.sheets.cover import paged
from stopcut.sheets.drawn import Pen
from stopcut.sheets.ink import begin_page, draw_line, take_pen
from stopcut.sheets.notes import Row
from stopcut.sheets.page import Heading, PaperTooSmall, draw_surround, kept_free
from stopcut.sheets.paper import home_paper, paper_named
from stopcut.sheets.words import POINT_MM, SMALL_PT, TEXT_PT, draw_words, width_mm, wrapped
from stopcut.shop.tools import measured_radius_mm, rise_mm
from stopcut.units import MM_PER_INCH, Units, format_length

__all__ = ["RADII", "WIDTHS", "arcs_pdf"]

_IN: Final = MM_PER_INCH
RADII: Final[dict[Units, tuple[float, ...]]] = {
    "mm": (3, 4, 5, 6, 7, 8, 10, 12, 14, 16, 18, 20, 25, 30, 35, 40, 50, 60, 80, 100),
    "in": tuple(
        eighths / 8 * _IN for eighths in (1, 1.5, 2, 2.5, 3, 3.5, 4, 5, 6, 7, 8, 10, 12, 14, 16, 18, 20, 24, 28, 32)
    ),
}
"""Radii of the arcs. [mm] Our choice: steps of a sixth or so, from the quickest small gouge to nearly straight."""

WIDTHS: Final[dict[Units, tuple[float, ...]]] = {
    "mm": (3, 5, 6, 8, 10, 12, 14, 16, 20, 25, 30),
    "in": tuple(sixteenths / 16 * _IN for sixteenths in (2, 3, 4, 6, 8, 10, 12, 16)),
}
"""Usual widths of edges, where the arcs are marked. [mm] Common practice."""

RISES: Final[dict[Units, tuple[float, ...]]] = {
    "mm": (0.3, 0.5, 0.75, 1, 1.5, 2, 3, 4, 5),
    "in": tuple(n / 64 * _IN for n in (1, 2, 3, 4, 6, 8, 12, 16)),
}
"""Rises of the table. [mm] Our choice: what a rule shows."""

_TITLE: Final = "Arcs to lay a gouge against"
_MEASURE: Final = "Measure both bars before use: they must be {bar}."
_ARC, _MARK, _RULE, _FINE = Pen(0.25), Pen(0.15), Pen(0.15), Pen(0.15, (2.0, 1.0))
_CELL_MM: Final = 55.0
_MARK_MM: Final = 1.2
"""Half the length of a width's mark. [mm] Our choice."""
_APART_MM: Final = 1.2
"""Figures at marks stand at least so far apart, and so far above each other. [mm] Our choice."""
_INSET_MM: Final = 4.0
_LEAD_MM: Final = 5.2

_HOW: Final = (
    "Stand the gouge upright with its edge on an arc, or press it into scrap and lay the paper to the mark. Its arc is "
    "the one on which no light shows under the edge; the pair of marks at its corners says how wide it is.",
    "Between two arcs, take the larger radius: a flatter edge can be tipped round a tighter curve, a tighter edge digs "
    "in at its corners (common practice).",
)
_STAB: Final = (
    "Press the gouge upright into a flat scrap of soft, even wood. Measure the mark: its width w from corner to "
    "corner, and its rise h, how far its middle stands from the line between the corners. The circle that the edge is "
    "part of has the radius r = w²/(8h) + h/2.",
    "Then write both into your tool roll: width = w, and rise = h.",
)


def arcs_pdf(units: Units = "mm", paper: str | None = None, *, issued: datetime.date | None = None) -> bytes:
    """The sheet of arcs as a PDF at true size: the arcs, then how to measure a stab mark, with a table of radii.

    units says in what lengths; paper is a sheet's name, the home printer's if not given. Raises UnknownPaper, or
    PaperTooSmall where the arcs would not fit.
    """
    sheet = paper_named(paper) if paper is not None else home_paper(units)
    kept = kept_free(sheet)
    day = issued or datetime.date.today()
    left, room = kept.left + _INSET_MM, sheet.width_mm - kept.left - kept.right - _INSET_MM
    height = sheet.height_mm - kept.bottom - kept.top
    if room < 2 * _CELL_MM:
        raise PaperTooSmall(f"{sheet.name} is too small for the arcs: print on A4 or Letter")
    pages = [*paged(_arc_rows(units, room), height), *paged(_stab_rows(units, room), height)]
    out = io.BytesIO()
    canvas = Canvas(out, invariant=1, pageCompression=1, lang="en-GB")
    canvas.setTitle(_TITLE)
    canvas.setCreator("stopcut")
    for number, rows in enumerate(pages, 1):
        begin_page(canvas, sheet.width_mm, sheet.height_mm)
        page = (sheet.width_mm, sheet.height_mm)
        draw_surround(canvas, _TITLE, units, Heading(number, len(pages)), page, day, measure=_MEASURE)
        top = sheet.height_mm - kept.top - 2.0
        for row in rows:
            row.draw(canvas, left, top)
            top -= row.height_mm
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def _arc_rows(units: Units, room: float) -> list[Row]:
    """How to use the arcs, then the arcs, as many beside each other as there is room for."""
    rows = [row for text in _HOW for row in _text(text, room)]
    across = int(room // _CELL_MM)
    radii = RADII[units]
    for first in range(0, len(radii), across):
        rows.append(_arcs_beside(radii[first : first + across], units, room / across))
    return rows


def _arcs_beside(radii: Sequence[float], units: Units, width: float) -> Row:
    high = max(_rise(radius, units) for radius in radii)

    def draw(canvas: Canvas, x: float, top: float) -> None:
        for number, radius in enumerate(radii):
            middle = x + (number + 0.5) * width
            _arc(canvas, (middle, top - 6.0), radius, units)
            said = f"r {format_length(radius, units)}"
            draw_words(canvas, middle, top - 6.0 - high - 7.5, said, TEXT_PT, bold=True, anchor=0.5)

    return Row(high + 19.0, draw)


def _widest(radius: float, units: Units) -> float:
    """The widest of the usual edges that this circle has."""
    return max(width for width in WIDTHS[units] if width <= 2 * radius + 1e-9)


def _rise(radius: float, units: Units) -> float:
    return rise_mm(_widest(radius, units), radius)


def _arc(canvas: Canvas, crown: Point, radius: float, units: Units) -> None:
    """An arc with its crown at a place, hollow side down, as long as its widest edge; marks and figures above it."""
    half_deg = math.degrees(math.asin(min(_widest(radius, units) / (2 * radius), 1.0)))
    x, y = crown[0], crown[1] - radius
    take_pen(canvas, _ARC)
    path = canvas.beginPath()
    _trace(path, (x, y), radius, 90 + half_deg, 90 - half_deg)
    canvas.drawPath(path, stroke=1, fill=0)
    take_pen(canvas, _MARK)
    widths = [width for width in WIDTHS[units] if width <= 2 * radius + 1e-9]
    figures = set(_figured(widths, radius, units))
    for width in widths:
        turn = math.asin(min(width / (2 * radius), 1.0))
        for side in (-1, 1):
            sin, cos = side * math.sin(turn), math.cos(turn)
            near, far = radius - _MARK_MM, radius + _MARK_MM
            draw_line(canvas, x + near * sin, y + near * cos, x + far * sin, y + far * cos)
        if width in figures:
            at = _figure_at(width, radius)
            said = _plain(width, units)
            draw_words(canvas, x + at[0], y + at[1] - 0.3 * SMALL_PT * POINT_MM, said, SMALL_PT, anchor=0.5)


def _figured(widths: Sequence[float], radius: float, units: Units) -> Iterator[float]:
    """The widths that have a figure: the widest, and inwards whatever keeps clear of the last."""
    last: Bounds | None = None
    for width in reversed(widths):
        x, y = _figure_at(width, radius)
        half = width_mm(_plain(width, units), SMALL_PT) / 2 + _APART_MM / 2
        box = Bounds(x - half, y - 1.3 - _APART_MM / 4, x + half, y + 1.3 + _APART_MM / 4)
        if last is None or not box.meets(last):
            last = box
            yield width


def _figure_at(width: float, radius: float) -> Point:
    """The middle of a mark's figure, from the arc's centre: outside the right-hand mark."""
    turn, reach = math.asin(min(width / (2 * radius), 1.0)), radius + _MARK_MM + 2.4
    return reach * math.sin(turn), reach * math.cos(turn)


def _plain(length_mm: float, units: Units) -> str:
    """A length without its unit, exactly: hundredths of a millimetre, or sixty-fourths of an inch."""
    return f"{length_mm:g}" if units == "mm" else format_length(length_mm, "in", finest=64).removesuffix(" in")


def _trace(path: PDFPathObject, centre: Point, radius: float, start_deg: float, end_deg: float) -> None:
    """An arc as cubics of at most 30° each, which stay within 1e-7 of the radius."""
    pieces = max(1, math.ceil(abs(end_deg - start_deg) / 30))
    step = math.radians(end_deg - start_deg) / pieces
    handle = 4 / 3 * math.tan(step / 4)

    def at(angle: float, reach: float) -> Point:
        cos, sin = math.cos(angle), math.sin(angle)
        return centre[0] + radius * (cos - reach * sin), centre[1] + radius * (sin + reach * cos)

    start = math.radians(start_deg)
    path.moveTo(*at(start, 0))
    for n in range(pieces):
        a, b = start + n * step, start + (n + 1) * step
        path.curveTo(*at(a, handle), *at(b, -handle), *at(b, 0))


def _stab_rows(units: Units, room: float) -> list[Row]:
    rows = [_words("From a stab mark", TEXT_PT + 2, bold=True), *(row for text in _STAB for row in _text(text, room))]
    rows += [_figure(units), *_table(units, room)]
    return rows


def _figure(units: Units) -> Row:
    """A stab mark, twice a usual one's size, with its width, rise and radius; and the same worked out."""
    width, rise = (20.0, 3.0) if units == "mm" else (0.75 * _IN, 0.125 * _IN)
    radius = measured_radius_mm(width, rise)
    scale = 2.0

    def draw(canvas: Canvas, x: float, top: float) -> None:
        left, base = x + 6.0, top - 16.0
        middle, w, h, r = left + scale * width / 2, scale * width, scale * rise, scale * radius
        half_deg = math.degrees(math.asin(w / (2 * r)))
        take_pen(canvas, Pen(0.7))
        path = canvas.beginPath()
        _trace(path, (middle, base + h - r), r, 90 + half_deg, 90 - half_deg)
        canvas.drawPath(path, stroke=1, fill=0)
        take_pen(canvas, _FINE)
        draw_line(canvas, left, base, left + w, base)
        draw_line(canvas, middle, base, middle, base + h)
        take_pen(canvas, _RULE)
        for end in (left, left + w):
            draw_line(canvas, end, base - 1.0, end, base - 5.0)
        draw_line(canvas, left, base - 4.0, left + w, base - 4.0)
        draw_words(canvas, middle, base - 9.0, "w", TEXT_PT, anchor=0.5)
        draw_words(canvas, middle + 1.5, base + h / 2 - 1.5, "h", TEXT_PT)
        lines = (
            "For example:",
            f"w = {format_length(width, units)}, h = {format_length(rise, units)}",
            f"r = w²/(8h) + h/2 = {format_length(radius, units)}",
        )
        for number, line in enumerate(lines):
            draw_words(canvas, left + w + 14.0, base + 4.0 - number * _LEAD_MM, line, TEXT_PT)

    return Row(32.0, draw)


def _table(units: Units, room: float) -> list[Row]:
    """Radii by width (down) and rise (across), where the rise is no more than half a circle's."""
    rises = RISES[units]
    first = width_mm(" w, h ", TEXT_PT) + 10.0
    column = min((room - first) / len(rises), 19.0)

    def cells(texts: Sequence[str], *, bold: bool = False) -> Row:
        def draw(canvas: Canvas, x: float, top: float) -> None:
            for number, text in enumerate(texts):
                at = x + first - 6.0 if number == 0 else x + first + number * column - 1.0
                draw_words(canvas, at, top - 4.4, text, TEXT_PT, bold=bold or number == 0, anchor=1)
            take_pen(canvas, _RULE)
            draw_line(canvas, x, top - 6.0, x + first + len(rises) * column, top - 6.0)

        return Row(6.4, draw)

    said = [_plain(rise, units) for rise in rises]
    rows = [_words("Radius r by width w (down) and rise h (across)", TEXT_PT, bold=True)]
    rows.append(cells(["w \\ h", *said], bold=True))
    for width in WIDTHS[units]:
        radii = [measured_radius_mm(width, rise) if 2 * rise <= width + 1e-9 else math.nan for rise in rises]
        figures = ["" if math.isnan(radius) else _radius(radius, units) for radius in radii]
        rows.append(cells([_plain(width, units), *figures]))
    return rows


def _radius(radius_mm: float, units: Units) -> str:
    """A radius of the table: a tenth of a millimetre below 20 mm, whole ones above; inches to two places."""
    if units == "in":
        return f"{radius_mm / _IN:.2f}"
    return f"{radius_mm:.1f}" if radius_mm < 20 else f"{radius_mm:.0f}"


def _words(text: str, size: float, *, bold: bool = False) -> Row:
    return Row(7.5, lambda canvas, x, top: draw_words(canvas, x, top - 5.5, text, size, bold=bold), leads=True)


def _text(text: str, room: float) -> list[Row]:
    rows = [_line(line) for line in wrapped(text, room, TEXT_PT)]
    return [*rows, Row(1.5, lambda canvas, x, top: None)]


def _line(text: str) -> Row:
    return Row(_LEAD_MM, lambda canvas, x, top: draw_words(canvas, x, top - 4.2, text, TEXT_PT))
