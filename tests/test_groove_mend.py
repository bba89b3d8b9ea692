"""Mending: hair spikes and slits go, contours that touch or cross are led apart, and nothing else moves."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from groove_shapes import letter
from hypothesis import given, settings
from hypothesis import strategies as st
from judges import as_surface
from roof_shapes import Array, blocky, flat_of, shaken, star_shaped, turned

from stopcut.groove.groove import tolerance_for
from stopcut.groove.mend import GRID, MOST, mended
from stopcut.groove.roof import TOLERANCE_EM, roof
from stopcut.groove.tangles import is_tangled, untangled
from stopcut.shape.flat import Flat, flatten
from stopcut.shape.outline import Outline, polygon
from stopcut.shape.placed import Placed

T = TOLERANCE_EM
SQUARE = [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)]
HOLE = [(0.2, 0.2), (0.2, 0.5), (0.5, 0.5), (0.5, 0.2)]


def shifted(ring: list[tuple[float, float]], dx: float, dy: float) -> list[tuple[float, float]]:
    return [(x + dx, y + dy) for x, y in ring]


def lines(flat: Flat) -> shapely.MultiLineString:
    return shapely.MultiLineString([shapely.LinearRing(ring) for ring in flat.rings])


def moved(before: Flat, after: Flat) -> float:
    """The farthest that any of the outline after is from the outline before."""
    edges = [
        shapely.LineString(pair) for ring in before.rings for pair in zip(ring, np.roll(ring, -1, axis=0), strict=True)
    ]
    places = shapely.points(shapely.get_coordinates(lines(after).segmentize(4 * T)))
    return float(shapely.STRtree(edges).query_nearest(places, return_distance=True)[1].max())


@pytest.mark.parametrize("family", ["cinzel", "eb_garamond", "zilla_slab", "alegreya_sans", "cormorant"])
def test_no_letter_is_mended_by_more_than_0_02_mm_at_60_mm_caps(family: str) -> None:
    em_mm = 60 / letter(family, "H").bounds.top
    assert MOST * T * em_mm < 0.02


@given(st.floats(0.001, 200))
def test_no_ornament_is_mended_by_more_than_0_02_mm_at_any_size(scale: float) -> None:
    ornament = Placed(polygon(SQUARE), scale, 0, 0)
    assert MOST * tolerance_for(ornament) * scale < 0.02


def test_a_clean_outline_is_left_alone() -> None:
    flat = flat_of((SQUARE, HOLE))
    after = mended(flat, T)
    assert [len(ring) for ring in after.rings] == [4, 4]
    for old, new in zip(flat.rings, after.rings, strict=True):
        assert np.abs(new - old).max() <= GRID / 2
    assert all(
        np.array_equal(a, b) for a, b in zip(flat.sources + flat.breaks, after.sources + after.breaks, strict=True)
    )
    assert mended(Flat((), (), ()), T).rings == ()


@pytest.mark.parametrize(
    ("what", "extra"),
    [
        ("a spike", [(1.0, 0.5), (1.3, 0.50004), (1.0, 0.5001)]),
        ("a slit", [(1.0, 0.5), (0.3, 0.50004), (1.0, 0.5001)]),
        ("a whisker of no width", [(1.0, 0.5), (1.2, 0.5), (1.0, 0.5)]),
        ("a tiny step", [(1.0, 0.5), (1.00005, 0.5)]),
        ("a doubled point", [(1.0, 0.5), (1.0, 0.5)]),
        ("a tiny tooth", [(1.0, 0.5), (1.00005, 0.50004), (1.0, 0.50008)]),
    ],
)
def test_what_no_chisel_could_follow_goes_and_the_rest_stays(what: str, extra: list[tuple[float, float]]) -> None:
    flat = flat_of((SQUARE[:2] + extra + SQUARE[2:],))
    after = mended(flat, T)
    assert len(after.rings[0]) < flat.size, what
    assert after.area == pytest.approx(1.0, abs=MOST * T)
    assert shapely.hausdorff_distance(lines(after), lines(flat_of((SQUARE,)))) <= MOST * T
    surface = as_surface(roof(after))
    assert surface.height == pytest.approx(0.5, abs=MOST * T)


def test_a_spike_that_can_be_seen_is_kept() -> None:
    ring = [*SQUARE[:2], (1.0, 0.5), (1.3, 0.502), (1.0, 0.504), *SQUARE[2:]]
    assert mended(flat_of((ring,)), T).size == len(ring)


def test_a_sliver_of_a_ring_goes_and_a_small_dot_stays() -> None:
    sliver = [(1.5, 0.0), (1.6, 0.0), (1.6, 0.00004)]
    dot = [(1.5 + 0.004 * math.cos(a), 0.004 * math.sin(a)) for a in np.linspace(0, 6, 12)]
    assert [len(ring) for ring in mended(flat_of((SQUARE, sliver)), T).rings] == [4]
    assert len(mended(flat_of((SQUARE, dot)), T).rings) == 2


def test_an_edge_closed_up_keeps_the_corner_where_its_neighbours_would_meet() -> None:
    ring = [(0.0, 0.0), (1.0 - 6e-5, 0.0), (1.0, 6e-5), (1.0, 1.0), (0.0, 1.0)]
    after = mended(flat_of((ring,)), T)
    assert np.abs(after.rings[0] - SQUARE).max() < 1e-7


def test_a_mended_edge_keeps_the_curve_it_came_from_and_a_new_corner_is_one() -> None:
    ring = [*SQUARE[:2], (1.0, 0.5), (1.3, 0.50004), (1.0, 0.5001), *SQUARE[2:]]
    flat = flat_of((ring,))
    after = mended(flat, T)
    assert set(after.sources[0].tolist()) <= set(flat.sources[0].tolist())
    assert [len(part) for part in (*after.sources, *after.breaks)] == [len(after.rings[0])] * 2


def test_contours_that_overlap_become_one() -> None:
    after = mended(flat_of((SQUARE, shifted(SQUARE, 0.5, 0.25))), T)
    assert len(after.rings) == 1
    assert after.area == pytest.approx(2 - 0.5 * 0.75, abs=1e-6)
    roof(after)


def test_a_hole_across_the_edge_is_taken_off() -> None:
    after = mended(flat_of((SQUARE, shifted(HOLE, -0.35, 0.0))), T)
    assert after.area == pytest.approx(1 - 0.15 * 0.3, abs=1e-6)
    roof(after)


def test_two_squares_that_touch_at_a_corner_keep_a_pyramid_each() -> None:
    after = mended(flat_of((SQUARE, shifted(SQUARE, 1.0, 1.0))), T)
    surface = as_surface(roof(after))
    assert (len(after.rings), surface.volume) == (2, pytest.approx(2 / 6, abs=1e-6))


def test_a_hole_that_touches_the_edge_pinches_the_wood_off_there() -> None:
    diamond = [(0.5, 0.0), (0.3, 0.3), (0.5, 0.6), (0.7, 0.3)]
    after = mended(flat_of((SQUARE, diamond)), T)
    assert len(after.rings) == 1  # one walk round both: in from the left of the touch, round the hole, out on its right
    touching = as_surface(roof(after))
    apart = as_surface(roof(mended(flat_of((SQUARE, shifted(diamond, 0.0, 1e-5))), T)))
    assert touching.area == pytest.approx(1 - 0.12, abs=1e-6)
    assert touching.volume == pytest.approx(apart.volume, abs=1e-4)


def test_two_holes_that_touch_become_one() -> None:
    left = [(0.2, 0.5), (0.35, 0.6), (0.5, 0.5), (0.35, 0.4)]
    after = mended(flat_of((SQUARE, left, shifted(left, 0.3, 0.0))), T)
    assert len(after.rings) == 2
    roof(after)


def test_a_contour_that_touches_itself_is_led_apart() -> None:
    # A square whose right side dips in to touch the left one.
    ring = [(0.0, 0.0), (1.0, 0.0), (1.0, 0.4), (0.0, 0.5), (1.0, 0.6), (1.0, 1.0), (0.0, 1.0)]
    after = mended(flat_of((ring,)), T)
    assert len(after.rings) == 2
    assert after.area == pytest.approx(0.9, abs=1e-6)
    assert len(roof(after).faces) == after.size


def test_a_contour_drawn_twice_or_within_another_counts_once() -> None:
    within = [(0.2, 0.2), (0.5, 0.2), (0.5, 0.5), (0.2, 0.5)]
    for extra in (within, SQUARE):
        after = mended(flat_of((SQUARE, extra)), T)
        assert (len(after.rings), after.area) == (1, pytest.approx(1.0, abs=1e-6))


def test_a_contour_the_wrong_way_round_holds_nothing() -> None:
    assert mended(flat_of((SQUARE[::-1],)), T).rings == ()
    assert mended(flat_of((SQUARE, shifted(HOLE, 2.0, 0.0))), T).area == pytest.approx(1.0, abs=1e-6)


def test_islands_in_holes_stay_islands() -> None:
    island = [(0.3, 0.3), (0.4, 0.3), (0.4, 0.4), (0.3, 0.4)]
    crossed = shifted(SQUARE, 0.9, 0.3)  # makes it a tangle
    after = mended(flat_of((SQUARE, HOLE, island, crossed)), T)
    assert after.area == pytest.approx(1 - 0.09 + 0.01 + 1 - 0.1 * 0.7, abs=1e-6)
    roof(after)


@given(star_shaped(), st.sampled_from([0.0, 0.4, 1.1]))
@settings(max_examples=60)
def test_a_tangle_is_seen_where_geos_sees_one(points: list[tuple[float, float]], angle: float) -> None:
    ring = np.round(np.array(turned(points, angle)) * 64) / 64  # coarse: some touch, some cross, some do not
    ring = np.array([p for p, q in zip(ring.tolist(), np.roll(ring, 1, axis=0).tolist(), strict=True) if p != q])
    if len(ring) >= 3:
        line = shapely.LinearRing(ring)
        assert is_tangled([ring]) == (not (line.is_simple and line.is_ccw))


@given(st.lists(star_shaped(12), min_size=2, max_size=4), st.integers(0, 99))
@settings(max_examples=60)
def test_rings_thrown_together_come_out_as_their_union(rings: list[list[tuple[float, float]]], seed: int) -> None:
    chance = np.random.default_rng(seed)
    thrown = [np.round((np.array(ring) / 4 + chance.uniform(-0.3, 0.3, 2)) * 4096) / 4096 for ring in rings]
    thrown = [ring for ring in thrown if shapely.Polygon(ring).is_valid and shapely.LinearRing(ring).is_ccw]
    after = mended(flat_of(thrown), T)
    union = shapely.union_all([shapely.Polygon(ring) for ring in thrown])
    assert after.area == pytest.approx(union.area, abs=2 * T * max(1.0, union.length))
    if after.rings:
        assert len(roof(after).faces) == after.size


SCRIBBLE = st.lists(st.tuples(st.integers(-6, 6), st.integers(-6, 6)), min_size=3, max_size=12)


@given(st.lists(SCRIBBLE, min_size=1, max_size=4), st.sampled_from([1.0, 1.0001, 0.77]))
@settings(max_examples=200)
def test_no_scribble_is_beyond_mending(rings: list[list[tuple[int, int]]], squeeze: float) -> None:
    scribbled = flat_of([np.array(ring, dtype=float) * (squeeze, 1.0) / 6 for ring in rings])
    surface = roof(mended(scribbled, T))
    assert len(surface.faces) == surface.flat.size
    assert as_surface(surface).area == pytest.approx(surface.flat.area, rel=1e-6, abs=1e-9)


@given(blocky(), st.sampled_from([3e-8, 1e-6, 3e-5, 1e-4]), st.integers(0, 99))
@settings(max_examples=25)
def test_rough_outlines_move_no_more_than_they_may(rings: list[Array], noise: float, seed: int) -> None:
    finely = [shapely.get_coordinates(shapely.LinearRing(ring).segmentize(0.01))[:-1] for ring in rings]
    flat = flat_of(shaken(finely, noise, seed))
    if is_tangled(flat.rings) or not flat.rings:
        return
    after = mended(flat, T)
    assert moved(flat, after) <= MOST * T
    assert after.area == pytest.approx(flat.area, rel=1e-3)


@given(
    star_shaped(10),
    st.lists(st.tuples(st.integers(0, 9), st.sampled_from(["double", "collinear", "step", "spike"])), max_size=8),
)
@settings(max_examples=80)
def test_nasty_points_put_in_change_nothing_that_matters(
    points: list[tuple[float, float]], nasty: list[tuple[int, str]]
) -> None:
    clean = as_surface(roof(mended(flat_of((points,)), T)))
    ring: list[tuple[float, float]] = []
    for i, (x, y) in enumerate(points):
        ring.append((x, y))
        nx, ny = points[(i + 1) % len(points)]
        for at, kind in nasty:
            if at == i:
                t = 0.5
                mx, my = x + t * (nx - x), y + t * (ny - y)
                if kind == "double":
                    ring.append((x, y))
                elif kind == "collinear":
                    ring.append((mx, my))
                elif kind == "step":
                    ring.append((x + 2e-5, y - 3e-5))
                else:
                    ring += [(mx, my), (mx + 0.01, my), (mx, my + 2e-5)]
                break
    rough = as_surface(roof(mended(flat_of((ring,)), T)))
    assert rough.height == pytest.approx(clean.height, abs=0.005)
    assert rough.area == pytest.approx(clean.area, abs=1e-3)


def test_a_letters_curve_mends_into_its_roof() -> None:
    spiked: Outline = polygon([*SQUARE[:2], (1.0, 0.5), (1.4, 0.50003), (1.0, 0.50006), *SQUARE[2:]])
    after = mended(flatten(spiked, T), T)
    assert len(untangled(after, GRID).rings) == 1
    assert as_surface(roof(after)).volume == pytest.approx(1 / 6, abs=1e-4)
