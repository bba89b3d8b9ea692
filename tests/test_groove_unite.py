import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stopcut.groove.groove import groove, tolerance_for
from stopcut.groove.unite import unite
from stopcut.shape.flat import flatten
from stopcut.shape.outline import Contour, Outline, polygon
from stopcut.shape.placed import Placed

SQUARE = polygon([(0, 0), (0.1, 0), (0.1, 0.1), (0, 0.1)])  # em

K = 4 / 3 * (2**0.5 - 1)  # a cubic's handle for a quarter circle, as is well known
QUARTERS = [
    tuple((3 * (x * c - y * s), 3 * (x * s + y * c)) for x, y in ((1, 0), (1, K), (K, 1), (0, 1)))
    for c, s in ((1, 0), (0, 1), (-1, 0), (0, -1))
]


def _at(x: float, y: float = 0.0, index: int = 1, char: str = "a", turn: float = 0.0) -> Placed:
    return Placed(SQUARE, 100, x, y, turn, line=1, index=index, char=char)


def test_what_stands_alone_keeps_its_own_outline():
    placed = (_at(0), _at(10.5, index=2))
    united = unite(placed)
    assert [one.parts for one in united] == [(0,), (1,)]
    assert all(one.placed is own for one, own in zip(united, placed, strict=True))


@given(st.floats(-9.9, 9.9), st.floats(-9.9, 9.9))
@settings(max_examples=30)
def test_two_squares_that_overlap_become_one_of_their_joint_area(dx, dy):
    (one,) = unite((_at(0, char="a"), _at(dx, dy, 2, "b")))
    assert one.parts == (0, 1)
    assert one.placed.char == "ab"
    assert one.placed.on_board.area == pytest.approx(200 - (10 - abs(dx)) * (10 - abs(dy)), rel=1e-6)


def test_squares_that_only_touch_are_one_groove():
    (one,) = unite((_at(0), _at(10, index=2)))
    cut = groove(one.placed, 45)
    assert cut.max_depth_mm == pytest.approx(5)  # a rectangle of 20 by 10 mm at 45°
    assert one.placed.on_board.area == pytest.approx(200)


def test_a_chain_of_touching_letters_is_one_and_the_rest_is_not():
    united = unite((_at(0), _at(30, index=2), _at(9, index=3), _at(18, index=4)))
    assert [one.parts for one in united] == [(0, 2, 3), (1,)]


def test_what_is_cut_differently_is_not_one_groove():
    assert len(unite((_at(0), _at(5, index=2)), (60, 55))) == 2
    assert len(unite((_at(0), _at(5, index=2)), (60, 60))) == 1
    with pytest.raises(ValueError, match="kinds"):
        unite((_at(0),), (1, 2))


def test_a_turned_letter_joins_where_it_stands_on_the_board():
    (one,) = unite((_at(0, turn=90), _at(-5, 5, 2)))
    assert one.placed.on_board.area == pytest.approx(200 - 25)
    assert one.placed.turn_deg == 90


def test_ornaments_that_touch_are_united_within_the_tolerance_their_roof_is_worked_to():
    disc = Outline((Contour(tuple(QUARTERS)),))
    one, other = (Placed(disc, 2.5, x, 0, char="rosette") for x in (0.0, 14.9))  # 15 mm across
    (both,) = unite((one, other))
    alone = flatten(disc, tolerance_for(one)).size
    # Each disc loses or gains a vertex or two where they meet; finer or coarser flattening changes far more.
    assert sum(len(contour.segments) for contour in both.placed.outline.contours) == pytest.approx(2 * alone, abs=6)


def test_a_space_joins_nothing():
    assert [one.parts for one in unite((_at(0), Placed(Outline(()), 100, 0, 0)))] == [(0,), (1,)]
