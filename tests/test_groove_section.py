"""Cuts through a groove at any point: against closed forms, and against trimesh cutting the carved sheet."""

from __future__ import annotations

import math

import numpy as np
import pytest
import trimesh
from groove_shapes import ANGLE, LETTERS, RECTANGLE, RING, SHAPES, TRIANGLE, letter, on_board
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from sheet_boards import stem

from stopcut.groove.groove import groove
from stopcut.groove.mesh import mesh
from stopcut.groove.section import Section, section_at
from stopcut.groove.surface import Groove
from stopcut.shape.outline import Outline, polygon

WALL = 60.0
TAN = math.tan(math.radians(WALL))


def cut(made: Groove | tuple[Groove, ...], x: float, y: float, across: float | None = None) -> Section:
    found = section_at(made, x, y, across)
    assert found is not None
    return found


def flat(points: object) -> object:
    return pytest.approx(np.array(points).ravel(), abs=1e-9)


def corners(section: Section) -> list[float]:
    return [value for corner in section.profile for value in corner]


def test_a_straight_stem_shows_an_upright_v() -> None:
    section = cut(groove(on_board(RECTANGLE), WALL), 17.0, 4.0)
    assert corners(section) == flat([(0, 0), (5, 5 * TAN), (10, 0)])
    assert (section.width_mm, section.deepest_mm) == (pytest.approx(10), pytest.approx(5 * TAN))
    assert section.depth_mm == pytest.approx(4 * TAN)
    assert (section.across_deg, section.at_mm) == (pytest.approx(90), pytest.approx(4))
    assert (*section.start, *section.end) == flat([17, 0, 17, 10])
    assert section.wall_deg == WALL
    assert section.seen_deg == pytest.approx((60, 60))


@pytest.mark.parametrize("flat_mm", [0.5, 3.0, 8.0])
def test_a_flat_bottom_is_as_deep_and_as_wide_as_it_was_asked_for(flat_mm: float) -> None:
    section = cut(groove(on_board(RECTANGLE), WALL, flat_mm), 17.0, 4.9)
    wall = flat_mm / TAN
    assert corners(section) == flat([(0, 0), (wall, flat_mm), (10 - wall, flat_mm), (10, 0)])
    assert section.depth_mm == section.deepest_mm == flat_mm


def test_a_flat_bottom_deeper_than_the_groove_changes_nothing() -> None:
    made, flat_too = groove(on_board(ANGLE), WALL), groove(on_board(ANGLE), WALL, 50.0)
    assert cut(made, 5, 20).profile == cut(flat_too, 5, 20).profile


@given(angle=st.floats(-80, 80), wall=st.floats(20, 80))
def test_a_slanting_cut_is_wider_and_shows_the_walls_less_steep(angle: float, wall: float) -> None:
    long = groove(on_board(polygon([(0, 0), (400, 0), (400, 10), (0, 10)])), wall)
    section = cut(long, 200.0, 5.0, 90 + angle)
    slant = math.cos(math.radians(angle))
    assert section.width_mm == pytest.approx(10 / slant)
    assert section.deepest_mm == pytest.approx(5 * math.tan(math.radians(wall)))
    seen = math.degrees(math.atan(math.tan(math.radians(wall)) * slant))
    assert section.seen_deg == pytest.approx((seen, seen))
    assert section.wall_deg == wall


def test_along_its_own_centre_line_a_stem_shows_its_length_and_the_mitres_at_its_ends() -> None:
    section = cut(groove(on_board(RECTANGLE), WALL), 20.0, 5.0, 0.0)
    assert corners(section) == flat([(0, 0), (5, 5 * TAN), (35, 5 * TAN), (40, 0)])
    # Through two opposite corners of a square the cut runs down two mitres, less steep than the walls.
    square = cut(groove(on_board(polygon([(0, 0), (10, 0), (10, 10), (0, 10)])), WALL), 3.0, 3.0, 45.0)
    assert square.width_mm == pytest.approx(10 * math.sqrt(2))
    assert square.seen_deg == pytest.approx((math.degrees(math.atan(TAN / math.sqrt(2))),) * 2)


@pytest.mark.parametrize("angle", [0.0, 10.0, 77.0, 180.0, 291.0])
def test_a_round_letter_is_cut_towards_its_middle_wherever_it_is_touched(angle: float) -> None:
    sides = np.linspace(0, 2 * math.pi, 360, endpoint=False)
    circle = np.column_stack([np.cos(sides), np.sin(sides)])
    made = groove(
        on_board(polygon((0.5 * circle).tolist(), (0.34 * circle[::-1]).tolist()), scale=60.0, x_mm=42.0), WALL
    )
    turn = math.radians(angle)
    section = cut(made, 42.0 + 27.0 * math.cos(turn), 27.0 * math.sin(turn))
    # 360 sides lie within 0.0012 mm of circles of 30 and 20.4 mm.
    assert section.width_mm == pytest.approx(9.6, abs=0.003)
    assert section.deepest_mm == pytest.approx(4.8 * TAN, abs=0.003)
    assert section.depth_mm == pytest.approx(3.0 * TAN, abs=0.003)
    assert math.remainder(section.across_deg - angle, 180) == pytest.approx(0, abs=0.6)


@given(wall=st.floats(20, 80), turn=st.floats(-180, 180), scale=st.floats(0.1, 20))
def test_size_turn_and_wall_scale_the_cut_as_they_scale_the_groove(wall: float, turn: float, scale: float) -> None:
    placed = on_board(stem(0.2), scale=scale, turn_deg=turn, x_mm=31.0, y_mm=12.0)
    a, b, c, d, e, f = placed.matrix
    section = cut(groove(placed, wall), a * 0.06 + c * 0.6 + e, b * 0.06 + d * 0.6 + f)
    assert section.width_mm == pytest.approx(0.2 * scale, rel=1e-6)
    assert section.deepest_mm == pytest.approx(0.1 * scale * math.tan(math.radians(wall)), rel=1e-6)
    assert section.depth_mm == pytest.approx(0.06 * scale * math.tan(math.radians(wall)), rel=1e-6)
    assert -90 < section.across_deg <= 90
    assert math.remainder(section.across_deg - turn, 180) == pytest.approx(0, abs=1e-6)


def test_beyond_the_end_of_a_centre_line_the_cut_still_goes_across_the_stroke() -> None:
    section = cut(groove(on_board(RECTANGLE), WALL), 1.0, 5.0)
    assert section.across_deg == pytest.approx(90)
    assert corners(section) == flat([(0, 0), (1, TAN), (9, TAN), (10, 0)])


def test_a_shape_without_a_centre_line_is_cut_through_its_deepest_point() -> None:
    made = groove(on_board(TRIANGLE), WALL)
    assert not [line for line in made.lines if line.kind == "centre"]
    # The circle within a triangle of sides 30, 40 and 50 has a radius of 10.
    section = cut(made, 4.0, 6.0)
    assert section.deepest_mm == pytest.approx(10 * TAN)
    assert section.across_deg == pytest.approx(math.degrees(math.atan2(4, 6)))
    assert cut(made, 10.0, 10.0).across_deg == 0


def test_whole_wood_has_no_section_outside_or_within_a_counter_or_on_a_lip() -> None:
    made = groove(on_board(RING), WALL)
    assert section_at(made, -1, 5) is None
    assert section_at(made, 15, 15) is None
    assert section_at(made, 0, 5) is None
    assert section_at(made, 15, 30) is None
    assert section_at((), 5, 5) is None
    assert section_at(groove(on_board(Outline(())), WALL), 0, 0) is None


def test_the_cut_ends_at_the_nearest_lips_though_it_meets_the_letter_again_beyond() -> None:
    section = cut(groove(on_board(RING), WALL), 4.0, 15.0, 0.0)
    assert corners(section) == flat([(0, 0), (5, 5 * TAN), (10, 0)])
    assert (*section.start, *section.end) == flat([0, 15, 10, 15])


def test_the_letter_that_is_cut_is_the_one_under_the_point() -> None:
    row = tuple(
        groove(on_board(stem(), scale=50.0, x_mm=30.0 * number, line=1, index=number + 1, char="I"), WALL)
        for number in range(5)
    )
    for number, made in enumerate(row):
        section = cut(row, 30.0 * number + 3.0, 25.0)
        assert section.groove is made
        assert section.groove.placed.index == number + 1
    assert section_at(row, 20.0, 25.0) is None


def by_trimesh(made: Groove, section: Section) -> tuple[np.ndarray, float]:
    """What trimesh cuts of the sheet from start to end: (n, 2) distances and depths, and how far they reach in all."""
    sheet = mesh(made)
    turn = math.radians(section.across_deg)
    along, normal = np.array([math.cos(turn), math.sin(turn), 0]), np.array([-math.sin(turn), math.cos(turn), 0])
    origin = np.array([*section.start, 0.0])
    body = trimesh.Trimesh(sheet.vertices, sheet.triangles, process=False)
    pieces = trimesh.intersections.mesh_plane(body, normal, origin)
    places, depths = (pieces - origin) @ along, -pieces[:, :, 2]
    middles = places.mean(axis=1)
    within = (middles > 0) & (middles < section.width_mm)
    reach = np.abs(np.diff(places[within], axis=1)).sum()
    return np.column_stack([places[within].ravel(), depths[within].ravel()]), float(reach)


def agrees_with_trimesh(made: Groove, x: float, y: float, across: float | None) -> None:
    section = cut(made, x, y, across)
    points, reach = by_trimesh(made, section)
    assert reach == pytest.approx(section.width_mm, abs=1e-5)
    places, depths = np.array(section.profile).T
    assert np.all(np.diff(places) >= 0)
    assert points[:, 1] == pytest.approx(np.interp(points[:, 0], places, depths), abs=1e-5)
    assert section.deepest_mm == pytest.approx(points[:, 1].max(), abs=1e-5)
    assert section.depth_mm == pytest.approx(float(np.interp(section.at_mm, places, depths)), abs=1e-9)
    assert max(section.seen_deg) <= made.wall_deg + 1e-3


@settings(max_examples=60)
@given(
    name=st.sampled_from(sorted(SHAPES)),
    at=st.tuples(st.floats(0.01, 0.99), st.floats(0.01, 0.99)),
    across=st.none() | st.floats(-90, 90),
    part=st.none() | st.floats(0.1, 1.2),
)
def test_trimesh_cuts_plain_shapes_alike(
    name: str, at: tuple[float, float], across: float | None, part: float | None
) -> None:
    whole = groove(on_board(SHAPES[name], turn_deg=20, scale=1.5), WALL)
    made = whole if part is None else groove(whole.placed, WALL, whole.max_depth_mm * part)
    low, high = made.nodes_mm.min(axis=0), made.nodes_mm.max(axis=0)
    x, y = (low + np.array(at) * (high - low)).tolist()
    assume(section_at(made, x, y) is not None)
    agrees_with_trimesh(made, x, y, across)


@pytest.mark.parametrize(("family", "char"), LETTERS)
def test_trimesh_cuts_letters_alike(family: str, char: str) -> None:
    made = groove(on_board(letter(family, char), scale=60.0, line=1, index=1, char=char), WALL, 4.0)
    tries = np.random.default_rng(7).uniform(made.nodes_mm.min(axis=0), made.nodes_mm.max(axis=0), (200, 2))
    inside = [point for point in tries.tolist() if section_at(made, *point) is not None]
    assert len(inside) > 20
    for number, (x, y) in enumerate(inside[:30]):
        agrees_with_trimesh(made, x, y, None if number % 2 else 12.0 * number)


@settings(max_examples=60)
@given(at=st.integers(0, 10_000), across=st.floats(-90, 90))
def test_a_cut_through_a_corner_where_walls_meet_is_as_sound_as_any(at: int, across: float) -> None:
    made = groove(on_board(letter("cinzel", "R"), scale=60.0), WALL)
    inner = np.flatnonzero(made.roof.heights > 0.02)
    node = int(inner[at % len(inner)])
    section = cut(made, *made.nodes_mm[node].tolist(), across)
    assert section.depth_mm == pytest.approx(made.depths_mm[node], abs=1e-6)
    assert section.deepest_mm <= made.max_depth_mm + 1e-9
