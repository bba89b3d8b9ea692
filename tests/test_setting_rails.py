"""Light between lines of which one stands on an arc."""

from __future__ import annotations

import math
from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from setting_faces import plain, set_in
from shapely.geometry import MultiPolygon, Polygon

from stopcut.job.job import Arc
from stopcut.setting.lay import lay
from stopcut.setting.line import line_shape
from stopcut.setting.rails import rail
from stopcut.setting.request import LineSetting, SettingRequest
from stopcut.setting.set_board import SetLine
from stopcut.setting.set_out import set_out
from stopcut.shape.flat import flatten


def board(*lines: LineSetting, wood: float = 1.0) -> tuple[SetLine, ...]:
    return set_out(SettingRequest(1500, 1500, 30, lines, wood)).lines


def gap(upper: SetLine, lower: SetLine) -> float:
    """From the upper line's baseline to the lower's heads, at the middle of an arc."""
    return upper.baseline_y_mm - lower.baseline_y_mm - lower.cap_height_mm


def ink(line: SetLine) -> MultiPolygon:
    return MultiPolygon(
        [Polygon(max(flatten(letter.placed.on_board, 0.01, area_true=False).rings, key=len)) for letter in line.letters]
    )


@pytest.mark.parametrize("bend", ["up", "down"])
def test_a_rail_lies_on_the_circle_of_its_level(bend: str) -> None:
    setting = LineSetting(plain("HOTOH"), 40, arc=Arc(300, bend))  # type: ignore[arg-type]
    line = lay(setting, line_shape(setting.lettered), 40, 1.0, 1.0, np.zeros(4))
    assert line.bend is not None
    heads = 1 if bend == "up" else -1
    points = rail(line, 100.0, 25.0)
    away = np.hypot(points[:, 0] - 100 - line.bend.centre_mm, points[:, 1] + heads * 300)
    assert np.allclose(away, 300 + heads * 25)
    assert points[0, 0] == pytest.approx(100 + line.box.width - points[-1, 0] + 100, abs=0.1)


@settings(max_examples=15)
@given(
    st.sampled_from(["up", "down"]),
    st.sampled_from([(0, 1), (0,), (1,)]),
    st.sampled_from(["left", "centre", "right"]),
    st.sampled_from([0.0, 0.5, 1.0, 2.0]),
)
def test_a_line_beside_a_very_large_arc_stands_as_beside_a_straight_line(
    bend: str, which: tuple[int, ...], align: str, line_gap: float
) -> None:
    """Within a column of a skyline, a hundredth of cap height, since letters begin at other places in their columns."""

    def lines(arc: Arc | None) -> tuple[SetLine, ...]:
        arcs = [arc if i in which else None for i in (0, 1)]
        return board(
            LineSetting(plain("HOpOTHAT"), 40, arc=arcs[0]),
            LineSetting(plain("LOVpO"), 30, arc=arcs[1], align=align, line_gap=line_gap),  # type: ignore[arg-type]
        )

    level, round_ = lines(None), lines(Arc(1e7, bend))  # type: ignore[arg-type]
    assert gap(*round_) == pytest.approx(gap(*level), abs=0.4)


def test_a_short_line_comes_up_under_the_middle_of_an_arc() -> None:
    """About as near as to a straight line, although the arc's ends hang far below its heads."""
    arc = LineSetting(set_in("Cinzel", "MARROW LANE ALLOTMENTS"), 40, arc=Arc(420, "up"))
    under = LineSetting(set_in("Cinzel", "PLOT"), 30)
    level = board(LineSetting(arc.lettered, 40), under)
    upper, lower = board(arc, under)
    assert gap(upper, lower) == pytest.approx(gap(*level), abs=3)
    assert min(letter.placed.bounds_mm.bottom for letter in upper.letters) < lower.baseline_y_mm + 30 - 50


def test_two_arcs_about_one_centre_are_as_far_apart_as_two_straight_lines() -> None:
    words = plain("HIHOHIHIHOHIH")
    level = gap(*board(LineSetting(words, 40), LineSetting(words, 40)))
    outer, inner = 1200.0, 1200.0 - level - 40
    lines = board(LineSetting(words, 40, arc=Arc(outer, "up")), LineSetting(words, 40, arc=Arc(inner, "up")))
    assert gap(*lines) == pytest.approx(level, abs=0.5)


def test_the_ends_of_an_arc_keep_some_light_from_a_long_line_under_it() -> None:
    upper, lower = board(
        LineSetting(plain("HIHOHIHIHOHIH"), 40, arc=Arc(300, "up")), LineSetting(plain("HIHOHIHIHOHIHIHOH"), 40)
    )
    away = ink(upper).distance(ink(lower))
    assert 0.2 * 40 < away < 0.9 * 40
    ends = [min(letter.placed.bounds_mm.bottom for letter in (upper.letters[i],)) for i in (0, -1)]
    assert max(ends) - lower.baseline_y_mm - 40 < 0.9 * 40


@settings(max_examples=20)
@given(st.floats(120, 900), st.sampled_from(["up", "down"]), st.sampled_from(["up", "down", None]), st.floats(120, 900))
def test_lines_with_no_light_asked_for_still_leave_the_wood(
    radius: float, bend: str, other: str | None, other_radius: float
) -> None:
    below = None if other is None else Arc(other_radius, other)  # type: ignore[arg-type]
    upper, lower = board(
        LineSetting(plain("pAVOTp"), 40, arc=Arc(radius, bend)),  # type: ignore[arg-type]
        LineSetting(plain("HOTAV"), 30, arc=below, line_gap=0),
        wood=2.0,
    )
    assert ink(upper).distance(ink(lower)) >= 2.0 - 1e-6


def test_a_line_keeps_clear_of_an_arc_two_lines_above_whose_ends_reach_down_to_it() -> None:
    lines = board(
        LineSetting(set_in("Cinzel", "MARROW LANE ALLOTMENT SOCIETY"), 40, arc=Arc(260, "up")),
        LineSetting(set_in("Cinzel", "PLOTS"), 50),
        LineSetting(set_in("Cinzel", "ONE TO FORTY"), 40, arc=Arc(260, "down")),
    )
    for one, other in product(lines, lines):
        if one is not other:
            assert ink(one).distance(ink(other)) > 5


def test_an_arc_of_more_than_half_a_circle_has_its_rail_all_round() -> None:
    setting = LineSetting(plain("HIHOHIHIHOHIH"), 40, arc=Arc(100, "up"))
    line = lay(setting, line_shape(setting.lettered), 40, 1.0, 1.0, np.zeros(12))
    assert line.bend is not None
    assert line.bend.turns[1] > math.pi / 2
    assert rail(line, 0.0, 0.0)[0, 1] < -100
