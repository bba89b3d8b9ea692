import math

import numpy as np
import pytest
from glyphs import families, glyph
from hypothesis import given, settings
from hypothesis import strategies as st

from stopcut.lettering.moved_edges import MovedEdges
from stopcut.shape.outline import Outline, polygon
from stopcut.shape.thickness import thickness


def _edges(outline: Outline, extents: tuple[float, float] = (math.nan, math.nan)) -> MovedEdges:
    limits = np.full((len(outline.contours), 2), extents)
    return MovedEdges(outline, thickness(outline, 0.2, 1), limits, 0.005)


def _box(width: float, height: float) -> Outline:
    return polygon([(0, 0), (width, 0), (width, height), (0, height)])


@given(st.floats(1, 20), st.floats(1, 20), st.floats(0.01, 0.5))
@settings(max_examples=25)
def test_all_edges_moved_out_evenly_make_a_mitred_larger_rectangle(width, height, by):
    edges = _edges(_box(width, height))
    moved = edges.moved(by * edges.thick.out)
    assert len(list(moved.segments)) == 4
    assert moved.area == pytest.approx((width + 2 * by) * (height + 2 * by))


def test_what_nothing_moves_stays_the_same_curves():
    outline = glyph(next(iter(families()["cinzel"].glob("*.ttf"))), 400, "S")
    assert outline is not None
    edges = _edges(outline.scaled(50))
    assert edges.moved(np.zeros_like(edges.thick.out)) == edges.outline


def test_one_moved_edge_leaves_the_curves_elsewhere():
    outline = glyph(next(iter(families()["cinzel"].glob("*.ttf"))), 400, "O")
    assert outline is not None
    edges = _edges(outline.scaled(50))
    move = np.where((edges.thick.ring == 1)[:, None], -0.1 * edges.thick.out, 0)
    moved = edges.moved(move)
    assert moved.contours[0] == edges.outline.contours[0]
    assert moved.contours[1] != edges.outline.contours[1]


def test_a_corner_that_overtakes_a_short_edge_makes_no_loop():
    notched = polygon([(0, 0), (10, 0), (10, 10), (6, 10), (6, 9.9), (5.9, 9.9), (0, 9.9)])
    edges = _edges(notched)
    move = np.where((edges.thick.segment == 5)[:, None], 0.6 * edges.thick.out, 0)
    (ring,) = edges.ring(0, move)
    assert ring.area > 0
    assert ring.area == pytest.approx(notched.area + 0.6 * 6, abs=0.5)


def test_no_ring_grows_beyond_its_extents():
    edges = _edges(_box(10, 5), (0.0, 5.0))
    box = edges.moved(0.5 * edges.thick.out).bounds
    assert (box.bottom, box.top) == (0, 5)
    assert box.width == pytest.approx(11)
