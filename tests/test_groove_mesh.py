"""The carved sheet as a mesh: measured by trimesh, whole once a lid is laid on it."""

from __future__ import annotations

import numpy as np
import pytest
import trimesh
from groove_shapes import LETTERS, SHAPES, letter, on_board
from hypothesis import given, settings
from hypothesis import strategies as st

from stopcut.groove.groove import groove
from stopcut.groove.mesh import Mesh, mesh, roof_triangles
from stopcut.groove.surface import Groove
from stopcut.shape.outline import Outline, polygon


def lidded(made: Groove, sheet: Mesh) -> trimesh.Trimesh:
    """The sheet and, on the board's face, its own plan turned over: together the wood taken away."""
    lid = sheet.vertices.copy()
    lid[:, 2] = 0.0
    count = len(sheet.vertices)
    # The lid shares the outline's vertices, which lie on the face already.
    number = np.arange(count) + count
    on_face = sheet.vertices[:, 2] == 0
    number[on_face] = np.arange(count)[on_face]
    vertices = np.vstack([sheet.vertices, lid])
    triangles = np.vstack([sheet.triangles[:, ::-1], number[sheet.triangles]])
    return trimesh.Trimesh(vertices, triangles, process=False)


def measured(made: Groove) -> None:
    sheet = mesh(made)
    solid = lidded(made, sheet)
    assert solid.is_watertight
    assert solid.is_winding_consistent
    assert solid.volume == pytest.approx(made.volume_mm3, rel=1e-9)
    surface = trimesh.Trimesh(sheet.vertices, sheet.triangles, process=False)
    assert surface.area == pytest.approx(made.wall_area_mm2 + made.flat_area_mm2, rel=1e-7)
    assert -sheet.vertices[:, 2].min() == pytest.approx(made.max_depth_mm, rel=1e-12)
    # Seen from above every triangle lies right way up, and together they cover the plan once.
    a, b, c = (sheet.vertices[sheet.triangles[:, i], :2] for i in range(3))
    plan = ((b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0]) / 2
    assert plan.min() > -1e-9 * made.plan_area_mm2
    assert plan.sum() == pytest.approx(made.plan_area_mm2, rel=1e-9)


@settings(max_examples=30)
@given(name=st.sampled_from(sorted(SHAPES)), part=st.floats(0.05, 1.3), wall=st.floats(20, 80), turn=st.floats(0, 90))
def test_plain_shapes_are_one_whole_sheet_with_and_without_a_flat_bottom(
    name: str, part: float, wall: float, turn: float
) -> None:
    whole = groove(on_board(SHAPES[name], turn_deg=turn, scale=1.5), wall)
    measured(whole)
    measured(groove(whole.placed, wall, whole.max_depth_mm * part))


@pytest.mark.parametrize(("family", "char"), LETTERS)
@pytest.mark.parametrize("part", [None, 0.3, 0.8])
def test_letters_are_one_whole_sheet_with_and_without_a_flat_bottom(family: str, char: str, part: float | None) -> None:
    whole = groove(on_board(letter(family, char), scale=90.0, index=1), 60)
    measured(whole if part is None else groove(whole.placed, 60, whole.max_depth_mm * part))


def test_a_flat_bottom_just_at_a_junctions_depth_leaves_no_hole() -> None:
    # The rectangle's ridge and both ends of it lie exactly at 5 · tan 45°.
    made = groove(on_board(SHAPES["rectangle"]), 45, 5.0 - 1e-13)
    measured(made)


def test_the_sheet_falls_at_the_wall_angle_everywhere_but_on_the_flat() -> None:
    sheet = mesh(groove(on_board(letter("cinzel", "R"), scale=90.0, index=1), 60, 3.0))
    a, b, c = (sheet.vertices[sheet.triangles[:, i]] for i in range(3))
    normal = np.cross(b - a, c - a)
    area = np.linalg.norm(normal, axis=1)
    big = area > 1e-6
    slope = np.degrees(np.arccos(np.clip(normal[big, 2] / area[big], -1, 1)))
    flat = np.all(np.stack([p[big, 2] for p in (a, b, c)]) <= -3.0 + 1e-9, axis=0)
    assert slope[~flat] == pytest.approx(60, abs=0.01)
    assert slope[flat] == pytest.approx(0, abs=1e-6)
    assert flat.any()


def test_a_comb_of_many_teeth_falls_into_triangles_two_fewer_than_its_corners() -> None:
    top = [(x, 30 if i % 2 else 20 + i % 3) for i, x in enumerate(range(40, -1, -4))]
    made = groove(on_board(polygon([(0, 0), (40, 0), *top])), 45)
    expected = sum(len(face) - 2 for face in made.roof.faces)
    assert len(roof_triangles(made.roof)) == expected
    measured(made)


def test_nothing_to_carve_is_an_empty_sheet() -> None:
    sheet = mesh(groove(on_board(Outline(())), 60))
    assert sheet.vertices.shape == (0, 3)
    assert sheet.triangles.shape == (0, 3)
