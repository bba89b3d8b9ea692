"""The groove's figures against closed formulas and shapely's mitred offsets; place, turn, size, angle and flat bottom.

Sources: depth = half-width · tan(wall) is trigonometry; volumes and areas are elementary geometry worked out here;
volume = tan(wall) · ∫ area(mitred inward offset by t) dt is the roof cut in slices, offsets by shapely (GEOS).
"""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from groove_shapes import ANGLE, CROSS, LETTERS, RECTANGLE, RING, SHAPES, TRIANGLE, letter, on_board
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from stopcut.groove.figures import area_above, face_areas, greatest_height, volume_under
from stopcut.groove.groove import BadWall, groove, tolerance_for
from stopcut.groove.roof import TOLERANCE_EM, roof_of
from stopcut.groove.surface import Groove
from stopcut.shape.outline import Outline


def tan(wall_deg: float) -> float:
    return math.tan(math.radians(wall_deg))


def under_hip(length: float, width: float, top: float) -> float:
    """What lies under a hip roof of 45° over a rectangle and below the height top: ∫ (l − 2t)(w − 2t) dt."""
    t = min(top, width / 2)
    return length * width * t - (length + width) * t**2 + 4 / 3 * t**3


# --- closed formulas ---


def test_a_stem_of_ten_millimetres_at_sixty_degrees_is_eight_point_six_six_deep() -> None:
    assert groove(on_board(RECTANGLE), 60).max_depth_mm == pytest.approx(8.66, abs=0.001)


def test_narrow_strokes_keep_the_angle_and_so_are_shallower() -> None:
    half = groove(on_board(RECTANGLE, scale=0.5), 60)
    assert half.max_depth_mm == pytest.approx(groove(on_board(RECTANGLE), 60).max_depth_mm / 2)


@pytest.mark.parametrize("wall", [20.0, 45.0, 60.0, 80.0])
def test_a_rectangle_is_a_hip_roof_upside_down(wall: float) -> None:
    made = groove(on_board(RECTANGLE), wall)
    assert made.volume_mm3 == pytest.approx(under_hip(40, 10, 5) * tan(wall), rel=1e-12)
    assert made.plan_area_mm2 == pytest.approx(400, rel=1e-12)
    assert made.wall_area_mm2 == pytest.approx(400 / math.cos(math.radians(wall)), rel=1e-12)
    assert made.flat_area_mm2 == 0


@pytest.mark.parametrize("flat", [0.5, 3.0, 5.0, 8.66])
def test_a_flat_bottom_cuts_a_rectangle_off_where_it_should(flat: float) -> None:
    made = groove(on_board(RECTANGLE), 60, flat)
    t = flat / tan(60)
    bottom = (40 - 2 * t) * (10 - 2 * t)
    assert made.max_depth_mm == flat
    assert made.volume_mm3 == pytest.approx(under_hip(40, 10, t) * tan(60), rel=1e-12)
    assert made.flat_area_mm2 == pytest.approx(bottom, rel=1e-9)
    assert made.wall_area_mm2 == pytest.approx((400 - bottom) / math.cos(math.radians(60)), rel=1e-12)


def test_a_flat_bottom_below_the_groove_changes_nothing() -> None:
    plain, flat = groove(on_board(CROSS), 60), groove(on_board(CROSS), 60, 30)
    assert (flat.max_depth_mm, flat.volume_mm3, flat.wall_area_mm2, flat.flat_area_mm2) == (
        plain.max_depth_mm,
        plain.volume_mm3,
        plain.wall_area_mm2,
        0.0,
    )


def test_a_square_ring_is_as_deep_as_its_band_and_holds_what_four_mitred_bars_hold() -> None:
    made = groove(on_board(RING), 45)
    assert made.max_depth_mm == pytest.approx(5)
    # Slices at t: outer square 30 − 2t, counter 10 + 2t; ∫ (30 − 2t)² − (10 + 2t)² dt from 0 to 5.
    assert made.volume_mm3 == pytest.approx(2000, rel=1e-12)
    assert made.plan_area_mm2 == pytest.approx(800, rel=1e-12)


def test_mitred_flats_meet_sooner_than_a_circle_would_in_a_cross() -> None:
    made = groove(on_board(CROSS), 45)
    assert made.max_depth_mm == pytest.approx(5, rel=1e-9)
    assert made.max_depth_mm / math.hypot(5, 5) == pytest.approx(0.7071, abs=1e-4)


def test_a_cross_is_two_bars_less_what_they_share() -> None:
    # A slice at t is two bars of 50 − 2t by 10 − 2t less their square: 2 · ∫(50 − 2t)(10 − 2t) − ∫(10 − 2t)² dt.
    volume = 2 * under_hip(50, 10, 5) - under_hip(10, 10, 5)
    assert groove(on_board(CROSS), 45).volume_mm3 == pytest.approx(volume, rel=1e-12)


def test_an_l_is_as_deep_as_its_arms_and_mitred_at_the_elbow() -> None:
    made = groove(on_board(ANGLE), 45)
    # A slice at t is a square of 30 − 2t less one of 20: both its corners move in alike.
    assert made.max_depth_mm == pytest.approx(5)
    assert made.volume_mm3 == pytest.approx(under_hip(30, 30, 5) - 20**2 * 5, rel=1e-12)


def test_a_triangle_is_a_pyramid_over_its_inscribed_circle() -> None:
    made = groove(on_board(TRIANGLE), 45)
    radius = 2 * 600 / (30 + 40 + 50)
    assert made.max_depth_mm == pytest.approx(radius, rel=1e-9)
    assert made.volume_mm3 == pytest.approx(600 * radius / 3, rel=1e-9)


# --- place, size, angle ---


@settings(max_examples=25)
@given(
    name=st.sampled_from(sorted(SHAPES)),
    scale=st.floats(0.2, 5),
    turn=st.floats(0, 360),
    wall=st.floats(20, 80),
    flat=st.floats(0.2, 30),
)
def test_size_turn_and_angle_scale_the_figures_as_geometry_says(
    name: str, scale: float, turn: float, wall: float, flat: float
) -> None:
    plain = groove(on_board(SHAPES[name]), 45, flat / scale / tan(wall))
    moved = groove(on_board(SHAPES[name], scale=scale, turn_deg=turn, x_mm=70, y_mm=-3), wall, flat)
    assert moved.max_depth_mm == pytest.approx(plain.max_depth_mm * scale * tan(wall), rel=1e-6)
    assert moved.volume_mm3 == pytest.approx(plain.volume_mm3 * scale**3 * tan(wall), rel=1e-6)
    assert moved.plan_area_mm2 == pytest.approx(plain.plan_area_mm2 * scale**2, rel=1e-6)
    assert moved.flat_area_mm2 == pytest.approx(plain.flat_area_mm2 * scale**2, rel=1e-5, abs=1e-6)


def test_the_groove_lies_where_the_outline_is_placed() -> None:
    placed = on_board(RECTANGLE, scale=2.0, turn_deg=90, x_mm=100, y_mm=50)
    made = groove(placed, 60)
    eaves = made.nodes_mm[made.depths_mm == 0]
    assert eaves.min(axis=0) == pytest.approx([80, 50])
    assert eaves.max(axis=0) == pytest.approx([100, 130])
    (centre,) = (line for line in made.lines if line.kind == "centre")
    assert sorted(centre.points[:, 1]) == pytest.approx([60, 120])
    assert centre.points[:, 0] == pytest.approx([90, 90])
    assert centre.half_width_mm == pytest.approx([10, 10])
    assert centre.depth_mm == pytest.approx([10 * tan(60)] * 2)


def test_lines_go_no_deeper_than_the_flat_bottom_and_keep_their_half_width() -> None:
    made = groove(on_board(RECTANGLE), 60, 4.0)
    (centre,) = (line for line in made.lines if line.kind == "centre")
    assert centre.depth_mm == pytest.approx([4, 4])
    assert centre.half_width_mm == pytest.approx([5, 5])
    assert made.depths_mm.max() == 4


def test_a_letter_is_worked_once_whatever_its_size_angle_and_place() -> None:
    one = groove(on_board(RECTANGLE, index=1), 60)
    other = groove(on_board(RECTANGLE, index=2, scale=7.0, x_mm=3.0, turn_deg=12.0), 75, 2.0)
    assert one.roof is other.roof


def test_an_ornament_is_flattened_finer_the_larger_it_is_drawn_but_by_steps() -> None:
    steps = {tolerance_for(on_board(RECTANGLE, scale=scale)) for scale in np.linspace(1.0, 1.9, 10)}
    assert len(steps) <= 2
    for scale in (0.1, 1.0, 3.7, 400.0):
        assert 0.01 < tolerance_for(on_board(RECTANGLE, scale=scale)) * scale <= 0.02


def test_nothing_to_carve_has_a_groove_of_nothing() -> None:
    made = groove(on_board(Outline(())), 60, 5)
    assert (made.max_depth_mm, made.volume_mm3, made.plan_area_mm2, made.lines, made.pits) == (0, 0, 0, (), ())


@pytest.mark.parametrize("wall", [0.0, 90.0, -10.0, 120.0, math.nan])
def test_a_wall_that_is_flat_upright_or_beyond_is_refused(wall: float) -> None:
    with pytest.raises(BadWall, match="from the board's face"):
        groove(on_board(RECTANGLE), wall)


@pytest.mark.parametrize("flat", [0.0, -1.0, math.nan])
def test_a_flat_bottom_above_the_face_is_refused(flat: float) -> None:
    with pytest.raises(BadWall, match="flat bottom"):
        groove(on_board(RECTANGLE), 60, flat)


# --- real letters against shapely's offsets ---


def flat_shape(made: Groove) -> BaseGeometry:
    rings = [Polygon(ring * made.placed.scale) for ring in made.roof.flat.rings]
    solid = unary_union([ring for ring in rings if ring.exterior.is_ccw])
    return solid.difference(unary_union([ring for ring in rings if not ring.exterior.is_ccw]))


def slices(shape: BaseGeometry, ts: np.ndarray) -> np.ndarray:
    return np.array([shape.buffer(-t, join_style="mitre", mitre_limit=60).area for t in ts])


@pytest.mark.parametrize(("family", "char"), LETTERS)
def test_a_letters_volume_is_its_mitred_slices_put_together(family: str, char: str) -> None:
    made = groove(on_board(letter(family, char), scale=90.0, index=1), 60)
    deepest = made.max_depth_mm / tan(60)
    ts = np.linspace(0, deepest, 161)
    areas = slices(flat_shape(made), ts)
    volume = float(np.sum([(a + b) / 2 for a, b in pairwise(areas)])) * deepest / 160 * tan(60)
    assert made.volume_mm3 == pytest.approx(volume, rel=1e-3)
    assert slices(flat_shape(made), np.array([deepest * 1.005]))[0] == 0
    assert slices(flat_shape(made), np.array([deepest * 0.99]))[0] > 0


@pytest.mark.parametrize(("family", "char"), LETTERS)
def test_a_letters_flat_bottom_is_the_mitred_slice_at_its_depth(family: str, char: str) -> None:
    whole = groove(on_board(letter(family, char), scale=90.0, index=1), 60)
    flat_mm = whole.max_depth_mm * 0.6
    made = groove(whole.placed, 60, flat_mm)
    t = flat_mm / tan(60)
    ts = np.linspace(0, t, 61)
    areas = slices(flat_shape(made), ts)
    assert made.flat_area_mm2 == pytest.approx(areas[-1], rel=1e-3)
    volume = float(np.sum([(a + b) / 2 for a, b in pairwise(areas)])) * t / 60 * tan(60)
    assert made.volume_mm3 == pytest.approx(volume, rel=1e-3)


@pytest.mark.parametrize(("family", "char"), LETTERS)
def test_walls_cover_the_outline_once(family: str, char: str) -> None:
    roof = roof_of(letter(family, char), TOLERANCE_EM)
    assert face_areas(roof).min() > 0
    assert face_areas(roof).sum() == pytest.approx(roof.flat.area, rel=1e-9)
    top = greatest_height(roof)
    assert volume_under(roof, top) == pytest.approx(volume_under(roof), rel=1e-12)
    assert area_above(roof, top) == pytest.approx(0, abs=1e-12)
    assert area_above(roof, 1e-9) == pytest.approx(roof.flat.area, rel=1e-6)
