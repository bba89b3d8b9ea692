"""Letters seen from the centre of their arc, and the wood between them, against plain trigonometry."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from setting_faces import SHAPES, outline, plain, set_in
from shapely.geometry import Polygon

from stopcut.job.job import Arc
from stopcut.setting.bent import Bow, bent
from stopcut.setting.profile import ROW, profile
from stopcut.setting.request import LineSetting, SettingRequest
from stopcut.setting.set_board import SetLetter
from stopcut.setting.set_out import set_out
from stopcut.shape.flat import flatten


def solid(letter: SetLetter) -> Polygon:
    rings = flatten(letter.placed.on_board, 0.01, area_true=False).rings
    return Polygon(max(rings, key=lambda ring: abs(Polygon(ring).area)))


def tight(words: str, arc: Arc | None, wood: float, openness: float = 0.0) -> tuple[SetLetter, ...]:
    setting = LineSetting(plain(words), 40, arc=arc, openness=openness, tuck=3)
    return set_out(SettingRequest(4000, 4000, 0, (setting,), wood)).lines[0].letters


@pytest.mark.parametrize("heads", [1, -1])
def test_an_upright_side_stands_at_the_angle_whose_sine_is_its_half_width_over_the_ring(heads: int) -> None:
    bow = Bow(3000.0, heads)
    shape = bent(profile(SHAPES["I"], 1.0), bow)
    rings = np.arange(5, 95)
    nearer = bow.radius + heads * (rings if heads > 0 else rings + 1) * ROW
    expected = np.arcsin(50 / nearer) * bow.middle
    assert np.allclose(shape.right[rings - shape.first], expected, atol=0.1)
    assert np.allclose(shape.left[rings - shape.first], -expected, atol=0.1)


def test_a_ring_of_a_very_large_circle_is_a_row() -> None:
    straight = profile(outline("EB Garamond", "R"), outline("EB Garamond", "H").bounds.top)
    round_ = bent(straight, Bow(1e10, 1))
    middle = (straight.x_left + straight.x_right) / 2
    assert (round_.first, len(round_.left)) == (straight.first, len(straight.left))
    assert np.allclose(round_.left, straight.left - middle, atol=0.01)
    assert np.allclose(round_.right, straight.right - middle, atol=0.01)


def test_a_letter_that_reaches_the_centre_cannot_stand_there() -> None:
    with pytest.raises(ValueError, match="smaller than its letters"):
        bent(profile(SHAPES["I"], 1.0), Bow(900.0, -1))
    with pytest.raises(ValueError, match="smaller than its letters"):
        bent(profile(SHAPES["p"], 1.0), Bow(250.0, 1))


@pytest.mark.parametrize(("bend", "level"), [("up", 0.0), ("down", 40.0)])
@pytest.mark.parametrize("radius", [60.0, 200.0])
def test_two_uprights_turned_together_leave_the_wood_at_their_nearest_corners(
    bend: str, level: float, radius: float
) -> None:
    """The corners nearest the centre are a chord apart: 2·ρ·sin((turn − 2·atan(half / r)) / 2) at ρ = √(r² + half²)."""
    wood, half = 3.0, 2.0
    one, other = tight("II", Arc(radius, bend), wood)  # type: ignore[arg-type]
    turn = math.radians(abs(one.placed.turn_deg - other.placed.turn_deg))
    inner = radius + (level if bend == "up" else -level)
    chord = 2 * math.hypot(inner, half) * math.sin((turn - 2 * math.atan(half / inner)) / 2)
    assert wood - 1e-9 <= chord <= wood * 1.03
    assert solid(one).distance(solid(other)) == pytest.approx(chord, abs=1e-6)


@settings(max_examples=30)
@given(
    st.text("IOVATLH", min_size=2, max_size=6), st.floats(70, 900), st.sampled_from(["up", "down"]), st.floats(0.2, 4)
)
def test_no_two_neighbours_on_an_arc_stand_nearer_than_the_wood_can(
    words: str, radius: float, bend: str, wood: float
) -> None:
    for one, other in pairwise(tight(words, Arc(radius, bend), wood)):  # type: ignore[arg-type]
        assert solid(one).distance(solid(other)) >= wood - 1e-6


@pytest.mark.parametrize("bend", ["up", "down"])
def test_two_letters_never_meet_over_a_small_one_between_them_on_an_arc(bend: str) -> None:
    first, _, second = tight("T.T", Arc(150, bend), 2.0)  # type: ignore[arg-type]
    assert solid(first).distance(solid(second)) >= 2.0 - 1e-6


@settings(max_examples=20)
@given(st.text("IOVATLH.-", min_size=2, max_size=6), st.sampled_from(["up", "down"]), st.floats(0, 4))
def test_on_a_very_large_arc_the_wood_is_that_of_the_straight_line(words: str, bend: str, wood: float) -> None:
    level, round_ = tight(words, None, wood), tight(words, Arc(1e8, bend), wood)  # type: ignore[arg-type]
    for one, other in zip(level[:-1], round_[:-1], strict=True):
        assert other.gap_after_mm == pytest.approx(one.gap_after_mm, abs=1e-3)


def test_heads_that_turn_towards_each_other_are_held_apart_where_a_straight_line_need_not() -> None:
    """TT at a given openness: on an arc bent down the arms come nearest, bent up they part."""
    words = set_in("Jost", "TT")
    request = [LineSetting(words, 40, arc=arc, openness=0.0) for arc in (Arc(60, "down"), None, Arc(60, "up"))]
    down, level, up = (set_out(SettingRequest(900, 900, 0, (one,), 2.0)).lines[0].letters for one in request)
    assert down[0].gap_after_mm > level[0].gap_after_mm + 1 > up[0].gap_after_mm + 2
