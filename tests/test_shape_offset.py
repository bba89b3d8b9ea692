import math

import pytest
from glyphs import families, glyph
from hypothesis import given, settings
from hypothesis import strategies as st

from stopcut.shape.offset import mitred
from stopcut.shape.outline import Outline, polygon
from stopcut.shape.regions import region_of


@given(st.floats(5, 50), st.floats(5, 50), st.floats(0.01, 2))
@settings(max_examples=30)
def test_a_rectangle_moved_out_is_a_larger_rectangle(width, height, distance):
    moved = mitred(polygon([(0, 0), (width, 0), (width, height), (0, height)]), distance, 0.01)
    assert moved.area == pytest.approx((width + 2 * distance) * (height + 2 * distance), rel=1e-9)
    assert len(list(moved.segments)) == 4


def test_a_sharp_corner_is_drawn_out_to_its_mitre():
    half = math.radians(10)
    moved = mitred(polygon([(0, 0), (50, -50 * math.tan(half)), (50, 50 * math.tan(half))]), 0.5, 0.01)
    assert moved.bounds.left == pytest.approx(-0.5 / math.sin(half), abs=1e-9)  # the mitre's length


def test_a_counter_grows_smaller_by_as_much():
    ring = polygon([(0, 0), (20, 0), (20, 20), (0, 20)], [(5, 5), (5, 15), (15, 15), (15, 5)])
    moved = mitred(ring, 1, 0.01)
    assert sorted(contour.area for contour in moved.contours) == pytest.approx([-64, 22 * 22])


@pytest.mark.parametrize("char", "RSa&")
def test_a_letter_moved_out_and_in_again_is_the_letter(char):
    folder = families()["cinzel"]
    outline = glyph(next(iter(folder.glob("*.ttf"))), 500, char)
    assert outline is not None
    letter = outline.scaled(85)
    back = mitred(mitred(letter, 0.3, 0.01), -0.3, 0.01)
    assert region_of(letter, 0.01).symmetric_difference(region_of(back, 0.01)).area < 1e-3 * letter.area


def test_a_circle_of_curves_becomes_a_larger_circle():
    k = 10 * 4 / 3 * (math.sqrt(2) - 1)
    quarter = [(10, 0), (10, k), (k, 10), (0, 10)]
    from stopcut.shape.outline import Contour

    turned = [
        [quarter, [(-y, x) for x, y in quarter], [(-x, -y) for x, y in quarter], [(y, -x) for x, y in quarter]][i]
        for i in range(4)
    ]
    circle = Outline((Contour(tuple(tuple(points) for points in turned)),))
    assert mitred(circle, 2, 0.001).area == pytest.approx(math.pi * 144, rel=1e-3)


def test_nothing_is_moved_by_nothing():
    square = polygon([(0, 0), (1, 0), (1, 1), (0, 1)])
    assert mitred(square, 0, 0.01) is square
    assert not mitred(square, -1, 0.01)


@pytest.mark.parametrize("distance", [math.nan, math.inf])
def test_no_offset_without_a_distance(distance):
    with pytest.raises(ValueError, match="offset"):
        mitred(polygon([(0, 0), (1, 0), (1, 1)]), distance, 0.01)
