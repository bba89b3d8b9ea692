"""Ink on a PDF page: layers of strokes as true Bézier curves, in mm, in black alone."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from reportlab import rl_config
from reportlab.pdfgen.canvas import Canvas
from reportlab.pdfgen.pathobject import PDFPathObject

from stopcut.shape.outline import Bounds, Outline, Segment
from stopcut.sheets.drawn import Layer, Pen, PenStroke
from stopcut.sheets.words import POINT_MM

__all__ = [
    "begin_page",
    "clip_to",
    "dash_start",
    "draw_box",
    "draw_circle",
    "draw_layers",
    "draw_line",
    "draw_outlines",
    "draw_white",
    "take_pen",
]

# Streams as bytes rather than as letters: files a fifth smaller, and written sooner. Here, once for every sheet.
rl_config.useA85 = 0


def begin_page(canvas: Canvas, width_mm: float, height_mm: float) -> None:
    """Set the page's size, and count in mm from its lower left corner from here on."""
    canvas.setPageSize((width_mm / POINT_MM, height_mm / POINT_MM))
    canvas.scale(1 / POINT_MM, 1 / POINT_MM)
    canvas.setStrokeGray(0)
    canvas.setFillGray(0)


def take_pen(canvas: Canvas, pen: Pen) -> None:
    """Draw with that pen from here on."""
    canvas.setLineWidth(pen.weight_mm)
    canvas.setLineCap(0)
    canvas.setLineJoin(1)
    canvas.setDash(list(pen.dash_mm), 0)


def draw_line(canvas: Canvas, x0: float, y0: float, x1: float, y1: float) -> None:
    """A straight line with the pen taken. [mm]"""
    canvas.line(x0, y0, x1, y1)


def draw_box(canvas: Canvas, box: Bounds) -> None:
    """An upright box with the pen taken. [mm]"""
    canvas.rect(box.left, box.bottom, box.width, box.height, stroke=1, fill=0)


def draw_white(canvas: Canvas, box: Bounds) -> None:
    """A box of bare paper over what is drawn already. [mm]"""
    canvas.saveState()
    canvas.setFillGray(1)
    canvas.rect(box.left, box.bottom, box.width, box.height, stroke=0, fill=1)
    canvas.restoreState()


def draw_circle(canvas: Canvas, x: float, y: float, radius: float) -> None:
    """A circle with the pen taken. [mm]"""
    canvas.circle(x, y, radius, stroke=1, fill=0)


def draw_outlines(canvas: Canvas, outlines: Iterable[Outline], *, filled: bool = False) -> None:
    """Outlines with the pen taken, or filled with ink and no line. [mm]"""
    for outline in outlines:
        path = canvas.beginPath()
        for contour in outline.contours:
            _trace(path, contour.segments, closed=True)
        canvas.drawPath(path, stroke=int(not filled), fill=int(filled), fillMode=1)


def clip_to(canvas: Canvas, box: Bounds) -> None:
    """Draw nothing beyond the box until the canvas's state is restored."""
    path = canvas.beginPath()
    path.rect(box.left, box.bottom, box.width, box.height)
    canvas.clipPath(path, stroke=0, fill=0)


def draw_layers(canvas: Canvas, layers: Iterable[Layer], window: Bounds) -> None:
    """Every stroke that the window may show, layer by layer."""
    for layer in layers:
        take_pen(canvas, layer.pen)
        for stroke in layer.strokes:
            if stroke.bounds.grown(layer.pen.weight_mm).meets(window):
                dash = () if stroke.whole else layer.pen.dash_mm
                canvas.setDash(list(dash), dash_start(stroke, dash))
                _draw(canvas, stroke)


def dash_start(stroke: PenStroke, dash: tuple[float, ...]) -> float:
    """How far into its dashes an open stroke begins, so that both its ends lie in a dash: mitres reach their corners.

    Either a dash or a gap stands in the stroke's middle; of the two, one has dashes at the ends, if dashes are no
    shorter than gaps. 0 for closed strokes and other patterns. [mm]
    """
    if len(dash) != 2 or dash[0] < dash[1] or stroke.closed:
        return 0.0
    period, half = sum(dash), stroke.length / 2
    beyond = (half + period / 2) % period - period / 2
    middle = dash[0] / 2 if abs(beyond) <= dash[0] / 2 else dash[0] + dash[1] / 2
    return (middle - half) % period


def _draw(canvas: Canvas, stroke: PenStroke) -> None:
    path = canvas.beginPath()
    for run in stroke.runs:
        _trace(path, run, closed=stroke.closed)
    canvas.drawPath(path, stroke=1, fill=0)


def _trace(path: PDFPathObject, run: Sequence[Segment], *, closed: bool) -> None:
    path.moveTo(*run[0][0])
    for segment in run:
        if len(segment) == 2:
            path.lineTo(*segment[1])
        else:
            (x1, y1), (x2, y2), (x3, y3) = _cubic(segment)[1:]
            path.curveTo(x1, y1, x2, y2, x3, y3)
    if closed:
        path.close()


def _cubic(segment: Segment) -> Segment:
    """A quadratic raised to the cubic that is the same curve; a cubic as it is."""
    if len(segment) == 4:
        return segment
    start, control, end = segment
    return (
        start,
        ((start[0] + 2 * control[0]) / 3, (start[1] + 2 * control[1]) / 3),
        ((end[0] + 2 * control[0]) / 3, (end[1] + 2 * control[1]) / 3),
        end,
    )
