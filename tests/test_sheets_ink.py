import io
import itertools

import numpy as np
import pypdfium2
import pytest
from hypothesis import given
from hypothesis import strategies as st
from reportlab.pdfgen.canvas import Canvas
from sheet_boards import ring

from stopcut.shape.outline import Bounds
from stopcut.sheets.drawn import Layer, Pen, PenStroke
from stopcut.sheets.ink import begin_page, clip_to, dash_start, draw_layers, draw_white

PER_MM = 20


def printed(draw):
    """What a drawing on a page of 40 × 30 mm looks like, as darkness, top row first."""
    held = io.BytesIO()
    canvas = Canvas(held, invariant=1)
    begin_page(canvas, 40, 30)
    draw(canvas)
    canvas.showPage()
    canvas.save()
    picture = pypdfium2.PdfDocument(held.getvalue())[0].render(scale=PER_MM * 25.4 / 72, grayscale=True).to_pil()
    return 1 - np.asarray(picture, dtype=float) / 255


def layer(stroke, weight=0.2, dash=()):
    return Layer("outline", "", Pen(weight, dash), (stroke,))


def straight(*points):
    return PenStroke((tuple(itertools.pairwise(points)),))


@given(st.floats(0.5, 80))
def test_a_dashed_mitre_has_a_dash_at_both_its_ends(length):
    start = dash_start(straight((0, 0), (length, 0)), (2.0, 1.0))
    assert start % 3 <= 2 + 1e-9
    assert (start + length) % 3 <= 2 + 1e-9 or (start + length) % 3 >= 3 - 1e-9


def test_dashes_have_the_length_they_should():
    ink = printed(lambda c: draw_layers(c, [layer(straight((5, 15), (25, 15)), dash=(2.0, 1.0))], Bounds(0, 0, 40, 30)))
    row = ink[15 * PER_MM] > 0.5
    edges = np.flatnonzero(np.diff(row.astype(int))) / PER_MM
    lengths = np.diff(edges)
    assert lengths[2:-2:2] == pytest.approx(2, abs=0.1)
    assert lengths[1:-1:2] == pytest.approx(1, abs=0.1)


def test_a_line_has_the_weight_of_its_pen():
    ink = printed(lambda c: draw_layers(c, [layer(straight((5, 15), (35, 15)), weight=0.35)], Bounds(0, 0, 40, 30)))
    assert ink[:, 20 * PER_MM].sum() / PER_MM == pytest.approx(0.35, abs=0.03)


def test_a_quadratic_is_drawn_as_the_same_curve():
    whole = ring().scaled(20).moved(10, 5)
    stroke = PenStroke(tuple(contour.segments for contour in whole.contours), closed=True)
    ink = printed(lambda c: draw_layers(c, [layer(stroke, weight=0.1)], Bounds(0, 0, 40, 30)))
    ys, xs = np.nonzero(ink > 0.3)
    away = np.hypot((xs + 0.5) / PER_MM - 20, 30 - (ys + 0.5) / PER_MM - 15)
    # The hole's eight quadratics keep within 0.03 % of a circle of 6.8 mm; the rim is of 10 mm.
    near = np.minimum(abs(away - 6.8), abs(away - 10))
    assert near.max() < 0.12
    assert (abs(away - 6.8) < 0.1).sum() > 500


def test_nothing_is_drawn_beyond_the_clip():
    def draw(canvas):
        clip_to(canvas, Bounds(10, 10, 20, 20))
        draw_layers(canvas, [layer(straight((0, 15), (40, 15)))], Bounds(0, 0, 40, 30))

    _, xs = np.nonzero(printed(draw) > 0.05)
    assert xs.min() >= 10 * PER_MM - 1
    assert xs.max() <= 20 * PER_MM


def test_a_white_box_bares_the_paper():
    def draw(canvas):
        draw_layers(canvas, [layer(straight((0, 15), (40, 15)))], Bounds(0, 0, 40, 30))
        draw_white(canvas, Bounds(10, 10, 20, 20))

    assert printed(draw)[:, 15 * PER_MM].max() == 0
    assert printed(draw)[:, 25 * PER_MM].max() > 0.5
