"""A groove's walls: every face once, by plain shapes with closed formulas and by letters."""

from __future__ import annotations

import math

import numpy as np
import pytest
from bench_boards import FACES, carved, carved_letters
from groove_shapes import ANGLE, CROSS, RECTANGLE, RING

from stopcut.bench.cuts import keys_of
from stopcut.bench.strokes import strokes_of
from stopcut.bench.walls import Walls, stretches, walls_of
from stopcut.groove.groove import groove
from stopcut.groove.surface import Groove
from stopcut.shape.outline import polygon
from stopcut.shape.placed import Placed

TAN, COS = math.tan(math.radians(60)), math.cos(math.radians(60))


def walls(groove: Groove) -> Walls:
    return walls_of(groove, strokes_of(groove, keys_of((groove,))[0]))


def test_a_rectangles_walls_are_two_trapezes_and_two_triangles() -> None:
    found = walls(carved(RECTANGLE))
    assert sorted(found.area_mm2 * COS) == pytest.approx([25, 25, 175, 175])
    assert found.length_mm == pytest.approx([40, 10, 40, 10])
    assert found.corner.all()
    assert not found.bend.any()


def test_a_walls_path_is_the_outline_with_the_depth_beneath() -> None:
    found = walls(carved(RECTANGLE))
    assert found.path([0]) == pytest.approx(np.array([(0, 0, 0), (5, 0, 5 * TAN), (35, 0, 5 * TAN), (40, 0, 0)]))
    assert found.path([1]) == pytest.approx(np.array([(40, 0, 0), (40, 5, 5 * TAN), (40, 10, 0)]))


def test_past_an_inner_corner_a_walls_path_runs_on_over_the_open_groove() -> None:
    found = walls(carved(ANGLE))
    inner = next(n for n in range(6) if found.turn[n] < 0)
    path = found.path([inner])
    assert path[0, :2] == pytest.approx((5, 10) if found.direction[inner][0] else (10, 5))
    assert path[0, 2] == pytest.approx(5 * TAN)


@pytest.mark.parametrize("shape", [RECTANGLE, CROSS, ANGLE, RING])
def test_of_straight_shapes_every_edge_is_a_stretch_of_its_own(shape: object) -> None:
    found = walls(carved(shape))  # type: ignore[arg-type]
    assert sorted(stretch.faces for stretch in stretches(found)) == [(n,) for n in range(len(found.length_mm))]


def test_a_rings_walls_belong_to_its_stroke_and_a_bars_ends_are_its_ends() -> None:
    assert {label.region for label in walls(carved(RING)).labels} == {"wall"}
    assert sorted(label.region for label in walls(carved(RECTANGLE)).labels) == ["end", "end", "wall", "wall"]


def test_a_round_walls_bend_is_its_circles() -> None:
    angles = np.radians(np.arange(0, 360, 3))
    outer = [(20 + 20 * math.cos(a), 20 + 20 * math.sin(a)) for a in angles]
    inner = [(20 + 14 * math.cos(a), 20 + 14 * math.sin(a)) for a in angles[::-1]]
    found = walls(carved(polygon(outer, inner)))
    assert found.bend[:120] == pytest.approx(np.full(120, 1 / 20), rel=0.01)
    assert found.bend[120:] == pytest.approx(np.full(120, -1 / 14), rel=0.01)
    assert [len(stretch.faces) for stretch in stretches(found)] == [120, 120]


@pytest.mark.parametrize("family", FACES)
def test_every_face_of_every_letter_is_in_one_stretch_and_the_areas_add_up(family: str) -> None:
    for carving in carved_letters(family):
        found = walls(carving)
        faces = sorted(face for stretch in stretches(found) for face in stretch.faces)
        assert faces == list(range(len(carving.roof.faces)))
        assert found.area_mm2.sum() == pytest.approx(carving.wall_area_mm2, rel=1e-9)


@pytest.mark.parametrize("flat_mm", [0.5, 2.0, 4.0])
def test_a_flat_bottom_takes_its_share_of_the_walls(flat_mm: float) -> None:
    for letter in carved_letters("cinzel", "ERS"):
        cut = groove(Placed(letter.placed.outline, 64.0, 0, 0, 0, 1, 1, "x"), 60.0, flat_mm)
        assert walls(cut).area_mm2.sum() == pytest.approx(cut.wall_area_mm2, rel=1e-9)


def test_the_foot_of_an_i_is_a_serif_and_the_end_of_a_plain_i_is_its_end() -> None:
    (roman,), (plain,) = carved_letters("cinzel", "I"), carved_letters("alegreya_sans", "I")
    assert {"wall", "serif"} == {label.region for label in walls(roman).labels}
    assert {"wall", "end"} == {label.region for label in walls(plain).labels}
