import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString

from stopcut.errors import CarverError
from stopcut.groove.border import border_outline, place_border
from stopcut.groove.groove import groove
from stopcut.job.job import Board, Border
from stopcut.shape.regions import region_of

CORNERS = ("square", "cut", "hollow")


@pytest.mark.parametrize("lines", [1, 2])
def test_a_square_border_has_the_area_of_its_rectangles(lines):
    outline = border_outline(Border(10, 5, lines, "square"), 300, 160)
    ring = 280 * 140 - 270 * 130
    inner = 250 * 110 - 240 * 100  # two strokes of wood between
    assert outline.area == pytest.approx(ring if lines == 1 else ring + inner)


def test_a_cut_corner_takes_off_triangles():
    outline = border_outline(Border(0, 4, 1, "cut"), 300, 160)
    outer, inner = (abs(contour.area) for contour in outline.contours)
    size = 20.0
    assert outer == pytest.approx(300 * 160 - 2 * size**2)
    leg = size - 4 * (2 - math.sqrt(2))  # of the triangle within the inner rectangle
    assert inner == pytest.approx(292 * 152 - 2 * leg**2)


def test_a_hollow_corner_takes_off_quarter_circles():
    outline = border_outline(Border(0, 4, 1, "hollow"), 300, 160)
    outer = max(contour.area for contour in outline.contours)
    assert outer == pytest.approx(300 * 160 - math.pi * 20**2, rel=1e-6)


@given(st.sampled_from(CORNERS), st.floats(1, 12), st.floats(0, 40), st.sampled_from([1, 2]))
@settings(max_examples=40)
def test_every_stroke_is_as_broad_as_asked_all_round(corners, stroke, inset, lines):
    outline = border_outline(Border(inset, stroke, lines, corners), 500, 400)
    region = region_of(outline, 0.01)
    middle, third = (400 - 2 * inset) / 2, (500 - 2 * inset) / 3
    for line in (LineString([(-1, middle), (60, middle)]), LineString([(third, -1), (third, 60)])):
        assert region.intersection(line).length == pytest.approx(lines * stroke, abs=1e-6)
    if corners != "square":
        corner = LineString([(0, 0), (120, 120)])
        assert region.intersection(corner).length == pytest.approx(lines * stroke, abs=0.02)


@pytest.mark.parametrize("corners", CORNERS)
def test_the_groove_of_a_border_is_as_deep_as_its_stroke_says(corners):
    board = Board(300, 160, 28, 20, "lime", "width")
    placed = place_border(Border(10, 6, 1, corners), board)
    assert (placed.bounds_mm.left, placed.bounds_mm.top) == pytest.approx((10, 150))
    cut = groove(placed, 60)
    # A stroke of 6 mm is 3 tan 60° deep; where straight meets hollow it is a little broader.
    assert 3 * math.sqrt(3) - 1e-4 <= cut.max_depth_mm <= 3 * math.sqrt(3) * (1.04 if corners == "hollow" else 1.001)


def test_a_border_the_board_has_no_room_for_is_refused_with_what_it_takes():
    with pytest.raises(CarverError, match="takes 120 mm of the board and the board is 100 mm"):
        border_outline(Border(50, 10, 1, "square"), 300, 100)
    with pytest.raises(CarverError, match="in of the board"):
        border_outline(Border(50, 10, 1, "square"), 300, 100, "in")
