"""The floor of a groove that is cut off at a flat bottom."""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
import pytest
import shapely
from bench_boards import FACES, carved_letters
from groove_shapes import CROSS, RECTANGLE

import stopcut.bench.floor as floor_module
from stopcut.bench.cuts import cuts_for
from stopcut.bench.floor import floor_of, floor_swept
from stopcut.bench.minutes import PUBLISHED_RATES, cut_minutes
from stopcut.bench.paths import evenly
from stopcut.bench.plan import Cut
from stopcut.bench.planned import planned
from stopcut.bench.totals import covered, covered_by_letter
from stopcut.groove.groove import groove
from stopcut.groove.surface import Groove
from stopcut.shape.outline import Outline, polygon
from stopcut.shape.placed import Placed
from stopcut.shop.tools import Roll, Tool

TAN = math.tan(math.radians(60))


def cut_off(outline: Outline, flat_mm: float, wall_deg: float = 60.0) -> Groove:
    return groove(Placed(outline, 1.0, 0.0, 0.0, 0.0, 1, 1, "x"), wall_deg, flat_mm)


@lru_cache
def flat_letters(family: str, chars: str = "ABEMORSX", flat_mm: float = 1.5) -> tuple[Groove, ...]:
    return tuple(
        groove(Placed(g.placed.outline, 64.0, 60.0 * n, 0, 0, 1, n + 1, g.placed.char), 60.0, flat_mm)
        for n, g in enumerate(carved_letters(family, chars))
    )


@lru_cache
def cuts_of_flat(family: str) -> tuple[Cut, ...]:
    return cuts_for(flat_letters(family))


def floors(cuts: tuple[Cut, ...]) -> list[Cut]:
    return [cut for cut in cuts if cut.kind == "floor"]


def test_a_bars_floor_is_one_pass_down_its_middle_as_wide_as_the_walls_leave() -> None:
    # 40 × 10 mm; walls at 60° reach 3 mm deep at 3/tan 60° = 1.732 mm in: a floor of 36.536 × 6.536 mm.
    bar = cut_off(RECTANGLE, 3.0)
    (floor,) = floors(cuts_for((bar,)))
    left = 2 * 3.0 / TAN
    wide = 10 - left
    assert floor.floor_area_mm2 == pytest.approx((40 - left) * wide, rel=0.02)
    assert max(math.hypot(*way) for way in floor.across_mm) == pytest.approx(wide / 2)
    assert floor.length_mm == pytest.approx(40 - left, abs=0.5)
    assert floor.depth_mm == 3.0
    assert floor.tool is not None
    assert floor.tool.name == "chisel 6"
    assert floor.technique == "edge flat on the floor, pushed along it, in 2 lanes"
    assert floor.placements == 2 * 2  # two lanes of 6 mm, each in two pushes
    assert (floor.passes, floor.slice, floor.axis_deg) == ((), "either", 0.0)


def test_a_floor_of_metres_is_measured_at_no_more_places_than_one_of_200_mm(monkeypatch: pytest.MonkeyPatch) -> None:
    measured = []

    def noted(points: np.ndarray, step_mm: float) -> tuple[np.ndarray, np.ndarray]:
        places, where = evenly(points, step_mm)
        measured.append(len(places))
        return places, where

    monkeypatch.setattr(floor_module, "evenly", noted)
    long_bar = polygon([(0, 0), (3000, 0), (3000, 60), (0, 60)])
    made = floors(cuts_for((cut_off(long_bar, 20.0),)))
    assert max(measured) <= floor_module.MOST_PLACES + 2
    left = 2 * 20.0 / TAN
    assert sum(floor.floor_area_mm2 for floor in made) == pytest.approx((3000 - left) * (60 - left), rel=0.02)


def test_a_groove_that_does_not_reach_its_flat_bottom_has_no_floor() -> None:
    assert floors(cuts_for((cut_off(RECTANGLE, 9.0),))) == []
    assert floor_of(cut_off(RECTANGLE, 9.0)).is_empty


def test_a_floor_narrower_than_every_edge_is_taken_with_the_edge_skewed() -> None:
    (floor,) = floors(cuts_for((cut_off(RECTANGLE, 4.25 * TAN),), Roll((Tool("chisel 6", "chisel", 6),))))
    assert (floor.use, floor.placements) == ("part", 2)
    assert "skewed" in floor.technique


def test_a_roll_without_a_straight_edge_has_no_tool_for_a_floor() -> None:
    (floor,) = floors(cuts_for((cut_off(RECTANGLE, 3.0),), Roll((Tool("g", "gouge", 6, 12),))))
    assert floor.tool is None


@pytest.mark.parametrize("family", FACES)
def test_the_floor_is_as_large_as_the_groove_says(family: str) -> None:
    for letter in flat_letters(family):
        assert floor_of(letter).area == pytest.approx(letter.flat_area_mm2, abs=1e-3)


@pytest.mark.parametrize("family", FACES)
def test_floor_cuts_stay_on_the_floor_and_off_the_walls(family: str) -> None:
    swept: dict[tuple[int, int], list[shapely.Geometry]] = {}
    for cut in floors(cuts_of_flat(family)):
        swept.setdefault(cut.key, []).append(floor_swept(cut))
    for letter in flat_letters(family):
        own = swept[letter.placed.line, letter.placed.index]
        assert shapely.union_all(own).difference(floor_of(letter).buffer(0.05)).area < 0.05


@pytest.mark.parametrize("family", FACES)
def test_nearly_all_of_the_floor_is_cut_and_what_is_left_is_in_its_corners(family: str) -> None:
    letters, cuts = flat_letters(family), cuts_of_flat(family)
    assert covered(letters, cuts).floor >= 0.95
    assert covered(letters, cuts).wall >= 0.995
    for share in covered_by_letter(letters, cuts).values():
        assert share.floor >= 0.88
    total = sum(cut.floor_area_mm2 for cut in floors(cuts))
    assert total == pytest.approx(covered(letters, cuts).floor * sum(g.flat_area_mm2 for g in letters), rel=0.01)


def test_a_cross_has_its_floor_cut_along_both_arms() -> None:
    cross = cut_off(CROSS, 2.0)
    found = floors(cuts_for((cross,)))
    assert len(found) >= 2
    assert covered((cross,), cuts_for((cross,))).floor >= 0.97


@pytest.mark.parametrize("family", FACES)
def test_the_floor_comes_after_all_walls_serifs_and_tips_of_its_letter(family: str) -> None:
    cuts = cuts_of_flat(family)
    for floor in floors(cuts):
        own = {cut.id for cut in cuts if cut.key == floor.key and cut.kind in ("wall", "serif", "corner")}
        assert own <= set(floor.after)


@pytest.mark.parametrize("way", ["middle", "stroke", "reading"])
def test_every_order_keeps_floors_for_the_last(way: str) -> None:
    plan = planned(flat_letters("cinzel"), order=way)  # type: ignore[arg-type]
    done: set[str] = set()
    for cut in plan.cuts:
        assert set(cut.after) <= done
        done.add(cut.id)


def test_a_round_dots_floor_is_cut_too() -> None:
    ring = [(10 + 6 * math.cos(a), 10 + 6 * math.sin(a)) for a in (math.radians(5 * n) for n in range(72))]
    dot = cut_off(polygon(ring), 3.0)
    assert covered((dot,), cuts_for((dot,))).floor >= 0.9


def test_a_floor_takes_time_by_its_area_and_its_pushes() -> None:
    (floor,) = floors(cuts_for((cut_off(RECTANGLE, 3.0),)))
    seconds = floor.placements * PUBLISHED_RATES.pare_s + 60 * floor.floor_area_mm2 / PUBLISHED_RATES.floor_mm2_per_min
    assert cut_minutes(floor) == pytest.approx(seconds / 60 * (1 + PUBLISHED_RATES.rest))


def test_a_letters_floor_is_the_same_wherever_it_stands() -> None:
    outline = carved_letters("cinzel", "R")[0].placed.outline
    here, there = (groove(Placed(outline, 64.0, x, y, 0, 1, 1, "R"), 60.0, 1.5) for x, y in [(0, 0), (211.7, 87.3)])
    for a, b in zip(floors(cuts_for((here,))), floors(cuts_for((there,))), strict=True):
        moved = shapely.transform(floor_swept(a), lambda points: points + np.array([211.7, 87.3]))
        assert moved.symmetric_difference(floor_swept(b)).area < 1e-3
