"""A letter's walls parted as a carver parts them."""

from __future__ import annotations

import numpy as np
import pytest
from bench_boards import FACES, carved, of_height
from groove_shapes import CROSS, RECTANGLE

from stopcut.bench.paths import evenly
from stopcut.bench.plan import Stroke
from stopcut.bench.strokes import strokes_of
from stopcut.bench.wall_sides import SLIVER_MM, WallPart, wall_parts
from stopcut.bench.walls import Walls, walls_of
from stopcut.groove.surface import Groove

NAMED = ("cinzel", "eb_garamond", "alegreya_sans", "zilla_slab", "lora")
CHARS = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789"


def parted(groove: Groove) -> tuple[tuple[Stroke, ...], Walls, tuple[WallPart, ...]]:
    strokes = strokes_of(groove, (1, 1))
    walls = walls_of(groove, strokes)
    return strokes, walls, wall_parts(walls, strokes, "width")


def of(family: str, char: str) -> tuple[WallPart, ...]:
    (groove,) = of_height(family, char)
    return parted(groove)[2]


def count(parts: tuple[WallPart, ...], part: str) -> int:
    return sum(one.part == part for one in parts)


@pytest.mark.parametrize("family", NAMED)
def test_every_face_is_in_exactly_one_part(family: str) -> None:
    for groove in of_height(family, CHARS):
        faces = [face for part in parted(groove)[2] for row in part.rows for face in row]
        assert sorted(faces) == list(range(len(groove.roof.faces)))


def test_a_serifed_i_has_two_walls_four_brackets_two_facets_and_its_tips() -> None:
    for family in ("cinzel", "eb_garamond"):
        parts = of(family, "I")
        assert [count(parts, part) for part in ("wall", "bracket", "facet", "tip")] == [2, 4, 2, 1]


def test_a_plain_slot_has_two_walls_and_two_facets() -> None:
    parts = parted(carved(RECTANGLE))[2]
    assert sorted((part.part, part.side) for part in parts if part.side) == [("wall", "lower"), ("wall", "upper")]
    assert count(parts, "facet") == 2


def test_both_halves_of_a_wall_beside_a_bar_are_one_part_in_two_rows() -> None:
    parts = [part for part in of("cinzel", "H") if part.part == "wall"]
    assert sorted(len(part.rows) for part in parts) == [1, 1, 1, 1, 2, 2]
    arms = parted(carved(CROSS))[2]
    assert [len(part.rows) for part in arms if part.part == "wall"] == [2, 2, 2, 2]


def test_a_round_letter_is_parted_where_the_slicing_turns_and_nowhere_else() -> None:
    for family in FACES:
        assert count(of(family, "O"), "wall") == 8


def test_a_straight_wall_that_leans_a_little_either_way_is_one_part() -> None:
    parts = of("alegreya_sans", "I")  # its stem is waisted by a degree
    assert count(parts, "wall") == 2


@pytest.mark.parametrize("family", NAMED)
def test_no_wall_is_a_sliver(family: str) -> None:
    for groove in of_height(family):
        _, walls, parts = parted(groove)
        for part in parts:
            if part.part == "wall":
                assert walls.length_mm[[face for row in part.rows for face in row]].sum() >= SLIVER_MM


def away(stroke: Stroke, places: np.ndarray) -> np.ndarray:
    """The way from the nearest place on a stroke to each of some places."""
    line, _ = evenly(stroke.points, 0.5)
    far = np.hypot(*(line[None] - places[:, None]).transpose(2, 0, 1))
    out: np.ndarray = places - line[far.argmin(axis=1)]
    return out


@pytest.mark.parametrize("family", NAMED)
def test_the_left_wall_lies_left_and_the_upper_one_above(family: str) -> None:
    """On the paper: nothing is asked of the way in which a stroke's line happens to run."""
    told = 0
    wrong = []
    for groove in of_height(family, CHARS):
        strokes, walls, parts = parted(groove)
        own = {stroke.number: stroke for stroke in strokes}
        for part in parts:
            if part.part != "wall" or part.side is None or part.side in ("inside", "outside"):
                continue
            faces = [face for row in part.rows for face in row]
            middles = walls.start[faces] + walls.direction[faces] * walls.length_mm[faces, None] / 2
            right, above = np.average(away(own[part.stroke], middles), axis=0, weights=walls.length_mm[faces])
            told += 1
            if not {"left": right < 0, "right": right > 0, "upper": above > 0, "lower": above < 0}[part.side]:
                wrong.append((groove.placed.char, part.side, own[part.stroke].kind))
    assert told > 200
    assert wrong == []


@pytest.mark.parametrize("family", NAMED)
def test_the_inside_of_a_bowl_is_the_wall_that_faces_its_middle(family: str) -> None:
    told = 0
    for groove in of_height(family, "COQDGSos"):
        strokes, walls, parts = parted(groove)
        own = {stroke.number: stroke for stroke in strokes}
        for part in parts:
            if part.part != "wall" or part.side not in ("inside", "outside"):
                continue
            line, _ = evenly(own[part.stroke].points, 0.5)
            heart = (line.min(axis=0) + line.max(axis=0)) / 2
            faces = [face for row in part.rows for face in row]
            middles = walls.start[faces] + walls.direction[faces] * walls.length_mm[faces, None] / 2
            inward = np.einsum("ij,ij->i", away(own[part.stroke], middles), heart - middles)
            told += 1
            assert (np.average(inward, weights=walls.length_mm[faces]) > 0) == (part.side == "inside"), (
                groove.placed.char
            )
    assert told > 40
