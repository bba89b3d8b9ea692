"""What every tool would make of a cut."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from bench_boards import BASSWOOD, FACES, of_height, tall_cuts
from hypothesis import given
from hypothesis import strategies as st

from stopcut.bench.choose import Outfit, deepest_struck_mm, options, pass_mm, purpose_of
from stopcut.bench.cuts import worked
from stopcut.bench.plan import Cut, CutLine, Trace
from stopcut.bench.settings import PUBLISHED_BENCH, BenchSettings
from stopcut.bench.trace import places_of
from stopcut.shop.rates import PUBLISHED_RATES
from stopcut.shop.roll import published_roll
from stopcut.shop.tools import Roll, Tool

OAK = 1360.0  # side hardness of white oak: Wood Handbook (FPL-GTR-190), chapter 5 [lbf]


def along(length: float, bend: float = 0.0, kind: str = "wall", deep: float = 4.0, parts: int = 24) -> Cut:
    """A cut along an arc."""
    angle = np.linspace(0, length * bend, parts + 1)
    straight = abs(bend) < 1e-9
    x = np.linspace(0, length, parts + 1) if straight else np.sin(angle) / bend
    y = np.zeros(parts + 1) if straight else (1 - np.cos(angle)) / bend
    points = np.column_stack([x, y, np.full(parts + 1, deep)])
    one = np.ones(parts)
    trace = Trace(one * length / parts, one * bend, one * deep, places_of(points))
    side = None if kind in ("stop", "end") else "left"
    return Cut("1.1.1", 1, 1, "x", 1, "stem", kind, side, (CutLine(points),), (trace,), deep)  # type: ignore[arg-type]


def shop(*tools: Tool, settings: BenchSettings = PUBLISHED_BENCH, hardness: float = BASSWOOD) -> Outfit:
    return Outfit(Roll(tools), settings, PUBLISHED_RATES, hardness)


CHISEL, GOUGE = Tool("c", "chisel", 10), Tool("g", "gouge", 10, 20)


@given(st.floats(3, 60), st.floats(2, 14))
def test_a_straight_line_takes_as_many_settings_as_edges_laid_one_in_the_others_mark(
    length: float, width: float
) -> None:
    found = options(along(length), shop(Tool("c", "chisel", width)))
    step = width * (1 - PUBLISHED_BENCH.overlap)
    reach = width + (int(found.placements[0]) - 1) * step
    assert reach >= length - 1e-6
    assert found.placements[0] == 1 or reach - step < length


@given(st.floats(8, 40), st.floats(0.01, 0.1), st.integers(5, 60))
def test_however_a_line_is_parted_in_steps_it_takes_the_same_settings(length: float, bend: float, parts: int) -> None:
    tools = shop(CHISEL, GOUGE)
    one, other = options(along(length, bend, parts=parts), tools), options(along(length, bend, parts=2 * parts), tools)
    assert (one.placements == other.placements).all()
    assert np.allclose(one.seconds, other.seconds)


def test_a_flatter_gouge_is_tipped_round_a_tighter_curve_with_part_of_its_edge() -> None:
    found = options(along(30, 1 / 12, "stop"), shop(Tool("g", "gouge", 10, 18)))
    # w²/8 · (1/12 − 1/18) = 0.3 mm, a stop cut's tolerance
    assert found.least_mm[0] == pytest.approx(math.sqrt(8 * 0.3 / (1 / 12 - 1 / 18)), rel=1e-6)
    assert found.held(0, Tool("g", "gouge", 10, 18)).use == "part"


@given(st.floats(6, 60), st.floats(6, 200))
def test_a_tighter_gouge_is_never_stabbed_on_a_flatter_line(radius: float, line: float) -> None:
    tool = Tool("g", "gouge", 8, max(radius, 4.0))
    found = options(along(30, 1 / line, "stop"), shop(tool))
    if np.isfinite(found.seconds[0]) and found.missed_mm[0] == 0:
        assert 8**2 / 8 * (1 / tool.radius_mm - 1 / line) <= PUBLISHED_BENCH.stab_tolerance_mm + 1e-9


@pytest.mark.parametrize("family", FACES)
def test_no_edge_comes_further_beyond_its_line_than_the_tolerance(family: str) -> None:
    for cut in tall_cuts(family):
        stab = purpose_of(cut, PUBLISHED_BENCH) == "stab"
        allowed = PUBLISHED_BENCH.stab_tolerance_mm if stab else PUBLISHED_BENCH.tolerance_mm
        assert cut.outside_mm <= allowed + 1e-9


def test_an_edge_wants_room_on_its_line() -> None:
    tools = shop(Tool("wide", "chisel", 20), Tool("narrow", "chisel", 6))
    assert np.isinf(options(along(9), tools).seconds[0])
    assert np.isfinite(options(along(9), tools).seconds[1])
    assert np.isfinite(options(along(10), tools).seconds[0])
    assert np.isinf(options(along(15, kind="stop"), tools).seconds[0])
    assert np.isfinite(options(along(16, kind="stop"), tools).seconds[0])


def test_no_edge_is_struck_deeper_than_twice_its_width_and_a_wider_one_is_taken_instead() -> None:
    narrow = Tool("narrow", "chisel", 3)
    assert deepest_struck_mm(narrow, PUBLISHED_BENCH) == 6
    found = options(along(30, kind="stop", deep=7.0), shop(narrow, CHISEL))
    assert np.isinf(found.seconds[0])
    assert np.isfinite(found.seconds[1])
    for cut in worked(of_height("cinzel", "WIS", 150.0), hardness_lbf=OAK).cuts:
        if cut.kind in ("stop", "end") and cut.tool is not None:
            assert cut.depth_mm <= deepest_struck_mm(cut.tool, PUBLISHED_BENCH)


def test_one_pass_goes_less_deep_in_oak_and_with_a_narrow_edge() -> None:
    assert pass_mm(CHISEL, BASSWOOD, PUBLISHED_BENCH, PUBLISHED_RATES) == 6
    assert pass_mm(CHISEL, OAK, PUBLISHED_BENCH, PUBLISHED_RATES) == pytest.approx(6 * math.sqrt(BASSWOOD / OAK))
    assert pass_mm(Tool("n", "chisel", 2), BASSWOOD, PUBLISHED_BENCH, PUBLISHED_RATES) == 3


def test_passes_are_counted_by_the_depth_at_each_place() -> None:
    flat, sloping = along(20, deep=12.0), along(20, deep=12.0)
    (trace,) = sloping.traces
    sloping = replace(sloping, traces=(replace(trace, depth=np.linspace(0, 12, len(trace.depth))),))
    tools = shop(CHISEL)
    assert options(flat, tools).settings[0] == 2 * options(flat, tools).placements[0]
    assert options(sloping, tools).settings[0] < options(flat, tools).settings[0]


def test_where_serifs_are_straight_no_gouge_carries_one() -> None:
    found = options(along(12, -0.08, "serif"), shop(CHISEL, GOUGE, settings=BenchSettings(serifs="straight")))
    assert np.isinf(found.seconds[1])


def test_points_are_cleaned_with_a_narrow_straight_edge() -> None:
    for family in FACES:
        for cut in tall_cuts(family):
            if cut.kind == "corner":
                assert cut.tool is not None
                assert cut.tool.straight
                assert cut.tool.width_mm <= 6 or cut.tool.kind in ("skew", "fishtail")


def test_parting_tools_and_skews_carry_no_wall() -> None:
    roll = published_roll()
    found = options(along(30), Outfit(roll, PUBLISHED_BENCH, PUBLISHED_RATES, BASSWOOD))
    for n, tool in enumerate(roll.tools):
        if tool.kind in ("parting", "skew"):
            assert np.isinf(found.seconds[n])
