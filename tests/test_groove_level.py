"""What lies deeper than a level, and the letter that planing the face leaves."""

from __future__ import annotations

import math

import pytest
from groove_shapes import RECTANGLE, letter
from hypothesis import given
from hypothesis import strategies as st

from stopcut.groove.figures import volume_under
from stopcut.groove.groove import groove
from stopcut.groove.level import deeper, planed_placed, together
from stopcut.shape.placed import Placed

TAN = math.tan(math.radians(60))
BAR = Placed(RECTANGLE, 1.0, 0.0, 0.0, 0.0, 1, 1, "I")


@given(st.floats(0.1, 8.0))
def test_of_a_bar_a_smaller_bar_is_deeper(depth: float) -> None:
    found = groove(BAR, 60.0)
    inset = 2 * depth / TAN
    shape = together([shape for _, shape in deeper(found, depth)])
    assert shape.area == pytest.approx((40 - inset) * (10 - inset), abs=1e-3)


@given(st.floats(0.1, 8.0))
def test_a_bar_planed_down_is_narrower_by_2t_over_tan_of_the_wall(planed: float) -> None:
    left = planed_placed(BAR, planed, 60.0)
    assert left.bounds_mm.height == pytest.approx(10 - 2 * planed / TAN, abs=1e-3)
    assert groove(left, 60.0).max_depth_mm == pytest.approx(5 * TAN - planed, abs=1e-3)


@pytest.mark.parametrize("family", ["cinzel", "eb_garamond", "alegreya_sans"])
@pytest.mark.parametrize("char", ["A", "O", "R", "S", "W"])
@pytest.mark.parametrize("planed", [0.5, 2.0])
def test_a_planed_letter_is_the_rest_of_the_old_groove(family: str, char: str, planed: float) -> None:
    """Held against the old groove's own figures: the volume below the plane, and the greatest depth less what went."""
    placed = Placed(letter(family, char), 64.0, 30.0, 20.0, 7.0, 1, 2, char)
    before, after = groove(placed, 60.0), groove(planed_placed(placed, planed, 60.0), 60.0)
    top = planed / TAN / placed.scale
    rest = (volume_under(before.roof) - volume_under(before.roof, top)) * placed.scale**3 * TAN
    assert after.volume_mm3 == pytest.approx(rest, rel=1e-3)
    assert after.max_depth_mm == pytest.approx(before.max_depth_mm - planed, abs=0.01)
    own = placed.bounds_mm
    assert after.placed.bounds_mm.left > own.left
    assert after.placed.bounds_mm.right < own.right


def test_the_same_letter_elsewhere_is_planed_to_the_same_outline() -> None:
    outline = letter("cinzel", "R")
    one, other = (
        planed_placed(Placed(outline, 64.0, x, 20.0, 0.0, 1, n, "R"), 1.0, 60.0) for n, x in [(1, 0), (2, 77)]
    )
    assert one.outline.digest == other.outline.digest


def test_of_a_letter_shallower_than_the_shaving_nothing_is_left() -> None:
    assert not planed_placed(BAR, 9.0, 60.0).outline


def test_a_face_that_is_not_planed_leaves_the_letter_as_it_is() -> None:
    assert planed_placed(BAR, 0.0, 60.0) is BAR
