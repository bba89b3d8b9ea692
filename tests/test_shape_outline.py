"""Outlines against exact formulas and against fontTools' own pens."""

import math

import pytest
from fontTools.pens.areaPen import AreaPen
from fontTools.pens.boundsPen import BoundsPen
from hypothesis import given
from hypothesis import strategies as st

from stopcut.shape.outline import Bounds, Contour, Outline, polygon

COORDINATE = st.integers(-1000, 1000).map(lambda v: v / 8)
POINT = st.tuples(COORDINATE, COORDINATE)


@st.composite
def contours(draw: st.DrawFn) -> Contour:
    """A closed run of straight, quadratic and cubic pieces, crossing itself or not."""
    inner = draw(st.lists(st.lists(POINT, min_size=0, max_size=2), min_size=2, max_size=6))
    corners = draw(st.lists(POINT, min_size=len(inner), max_size=len(inner)))
    ends = corners[1:] + corners[:1]
    return Contour(tuple((a, *mid, b) for a, mid, b in zip(corners, inner, ends, strict=True)))


def drawn_with(pen: object, contour: Contour) -> object:
    pen.moveTo(contour.segments[0][0])  # type: ignore[attr-defined]
    for segment in contour.segments:
        getattr(pen, {2: "lineTo", 3: "qCurveTo", 4: "curveTo"}[len(segment)])(*segment[1:])
    pen.closePath()  # type: ignore[attr-defined]
    return pen


@given(contours())
def test_area_under_the_curves_is_that_of_the_font_tools_pen(contour: Contour) -> None:
    assert contour.area == pytest.approx(drawn_with(AreaPen(), contour).value, abs=1e-6)  # type: ignore[attr-defined]


@given(contours())
def test_bounds_are_those_of_the_font_tools_pen(contour: Contour) -> None:
    pen = drawn_with(BoundsPen(None), contour)
    box = contour.bounds
    assert (box.left, box.bottom, box.right, box.top) == pytest.approx(pen.bounds, abs=1e-9)  # type: ignore[attr-defined]


def test_a_hole_takes_its_area_off() -> None:
    ring = polygon([(0, 0), (4, 0), (4, 4), (0, 4)], [(1, 1), (1, 3), (3, 3), (3, 1)])
    assert ring.area == pytest.approx(16 - 4)


@given(contours(), st.floats(0.1, 10), st.floats(-180, 180), POINT)
def test_a_shape_moved_and_turned_keeps_its_area_and_scaling_squares_it(
    contour: Contour, factor: float, angle: float, shift: tuple[float, float]
) -> None:
    shape = Outline((contour,))
    there = shape.scaled(factor).turned(angle).moved(*shift)
    assert there.area == pytest.approx(shape.area * factor**2, rel=1e-6, abs=1e-5)


def test_a_quarter_turn_takes_east_to_north() -> None:
    assert polygon([(1, 0), (2, 0), (2, 1)]).turned(90).bounds.top == pytest.approx(2)


def test_the_digest_tells_shapes_apart_and_knows_the_same_one_again() -> None:
    one, other = polygon([(0, 0), (1, 0), (0, 1)]), polygon([(0, 0), (1, 0), (0, math.nextafter(1, 2))])
    assert one.digest == polygon([(0, 0), (1, 0), (0, 1)]).digest
    assert one.digest != other.digest


def test_an_empty_outline_is_false_and_has_no_bounds() -> None:
    nothing = Outline(())
    assert not nothing
    assert nothing.area == 0
    with pytest.raises(ValueError, match="no bounds"):
        _ = nothing.bounds


def test_a_union_of_boxes_holds_both() -> None:
    assert Bounds(0, 0, 1, 1).union(Bounds(-1, 0.5, 0, 3)) == Bounds(-1, 0, 1, 3)
    assert Bounds(0, 0, 4, 2).centre == (2, 1)


def test_boxes_that_only_share_a_side_do_not_meet() -> None:
    box = Bounds(0, 0, 2, 2)
    assert box.meets(Bounds(1, 1, 3, 3))
    assert not box.meets(Bounds(2, 0, 3, 2))
    assert box.grown(0.1).meets(Bounds(2, 0, 3, 2))


def test_a_box_holds_itself_and_what_lies_within_but_nothing_that_sticks_out() -> None:
    box = Bounds(0, 0, 2, 2)
    assert box.holds(box)
    assert box.holds(box.grown(-0.5))
    assert not box.holds(Bounds(1, 1, 2.1, 2))
