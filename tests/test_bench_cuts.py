"""The whole alphabet in three faces at the bench: covered, within the outline, sliced with the grain."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from bench_boards import (
    BASSWOOD,
    EM_MM,
    FACES,
    along_of,
    alphabet_cuts,
    carved,
    carved_letters,
    edge_laid,
    of_height,
    settings_of,
    tall_cuts,
)
from groove_shapes import RECTANGLE, letter

from stopcut.bench.cuts import cuts_for, keys_of, worked
from stopcut.bench.grain import EITHER, sliced
from stopcut.bench.plan import Cut
from stopcut.bench.settings import PUBLISHED_BENCH, BenchSettings
from stopcut.bench.totals import covered, covered_by_letter
from stopcut.groove.groove import groove
from stopcut.groove.surface import Groove
from stopcut.shape.outline import polygon
from stopcut.shape.placed import Placed
from stopcut.shop.tools import Roll, Tool

TAN = math.tan(math.radians(60))
FLATTENED_MM = 0.05
"""An outline's straight edges, as flattened, lie off its curves by no more than this at EM_MM (0.0005 em, pushed)."""


def own(cuts: tuple[Cut, ...], grooves: tuple[Groove, ...]) -> list[tuple[Groove, list[Cut]]]:
    return [(g, [cut for cut in cuts if cut.key == key]) for g, key in zip(grooves, keys_of(grooves), strict=True)]


def ground(groove: Groove) -> shapely.Geometry:
    """The letter's ink, of its roof's faces."""
    return shapely.union_all([shapely.Polygon(groove.nodes_mm[loop]).buffer(1e-6) for loop in groove.roof.faces])


@pytest.mark.parametrize("family", FACES)
def test_the_cuts_of_every_letter_cover_its_walls_and_all_of_its_centre_lines(family: str) -> None:
    grooves = carved_letters(family)
    for key, share in covered_by_letter(grooves, alphabet_cuts(family)).items():
        assert share.wall >= 0.996, key
        assert share.centre >= 0.999, key
    whole = covered(grooves, alphabet_cuts(family))
    assert whole.wall >= 0.999
    assert whole.centre >= 0.999


@pytest.mark.parametrize("family", FACES)
def test_points_sown_over_the_walls_lie_in_the_plane_of_a_cut_that_passes_there(family: str) -> None:
    """Another way to the same share: each point's depth is held against the planes that the cuts sweep over it."""
    chance = np.random.default_rng(7)
    for g, cuts in own(alphabet_cuts(family), carved_letters(family)):
        hits = sown = 0
        lines = [np.asarray(line.points) for cut in cuts for line in cut.lines if line.faces]
        for loop in g.roof.faces:
            corners, depths = g.nodes_mm[loop], g.depths_mm[loop]
            face = shapely.Polygon(corners)
            for _ in range(int(chance.poisson(face.area * 0.5))):
                weights = chance.dirichlet(np.ones(len(loop)))
                place, depth = weights @ corners, float(weights @ depths)  # the face is flat
                if not face.contains(shapely.Point(place)):
                    continue
                sown += 1
                hits += any(passes(line, place, depth) for line in lines)
        assert sown >= 10
        assert hits >= 0.98 * sown - 2, (g.placed.char, hits, sown)


def passes(line: np.ndarray, place: np.ndarray, depth: float) -> bool:
    """Whether a wall that goes in square to a line passes a place at a depth, to 0.2 mm, as deep as the line says."""
    step = np.diff(line[:, :2], axis=0)
    far = np.hypot(step[:, 0], step[:, 1])
    ok = far > 1e-9
    start, step, far = line[:-1][ok], step[ok] / far[ok, None], far[ok]
    off = place - start[:, :2]
    run = np.einsum("ij,ij->i", off, step)
    inward = step[:, 0] * off[:, 1] - step[:, 1] * off[:, 0]
    slack = np.maximum(0.3, 0.35 * depth / TAN)  # it swings round a little at each end of a step
    beside = (run >= -slack) & (run <= far + slack) & (inward >= -1e-6)
    end = line[1:][ok]
    reach = np.maximum(start[:, 2], end[:, 2]) / TAN + 0.1
    return bool((beside & (inward <= reach) & (np.abs(inward * TAN - depth) <= 0.35)).any())


@pytest.mark.parametrize("family", FACES)
def test_no_edge_laid_on_a_wall_comes_further_outside_the_outline_than_the_tolerance(family: str) -> None:
    laid = 0
    for g, cuts in own(alphabet_cuts(family), carved_letters(family)):
        ink = ground(g)
        for cut in cuts:
            if cut.kind not in ("wall", "serif") or cut.use == "point" or cut.missed_mm > 0:
                continue
            for line in cut.lines:
                for start in settings_of(cut, line):
                    laid += 1
                    outside = shapely.distance(shapely.points(edge_laid(cut, line, start)), ink).max()
                    assert outside <= PUBLISHED_BENCH.tolerance_mm + FLATTENED_MM, (cut.id, cut.char)
    assert laid > 500


@pytest.mark.parametrize("family", FACES)
def test_no_edge_stabbed_along_a_line_leaves_the_letter(family: str) -> None:
    """A stop cut may run a little straighter than the bottom where strokes meet, but never outside the outline."""
    for g, cuts in own(alphabet_cuts(family), carved_letters(family)):
        ink = ground(g)
        for cut in cuts:
            if cut.kind != "stop" or cut.use == "point":
                continue
            for line in (line for line in cut.lines if along_of(line.points)[-1] > cut.edge_mm):
                for start in settings_of(cut, line):
                    points = shapely.points(edge_laid(cut, line, start))
                    assert shapely.distance(points, ink).max() <= PUBLISHED_BENCH.stab_tolerance_mm, (cut.id, cut.char)


@pytest.mark.parametrize("grain", ["width", "height"])
@pytest.mark.parametrize("family", FACES)
def test_every_line_is_sliced_with_the_grain_and_either_way_only_where_it_does_not_matter(
    family: str, grain: str
) -> None:
    grooves = carved_letters(family)
    cuts = alphabet_cuts(family) if grain == "width" else cuts_for(grooves, grain="height")
    for g, mine in own(cuts, grooves):
        starts = g.nodes_mm[[int(loop[0]) for loop in g.roof.faces]]
        ends = g.nodes_mm[[int(loop[1]) for loop in g.roof.faces]]
        heading = (ends - starts) / np.hypot(*(ends - starts).T)[:, None]
        products = sliced(heading, grain)  # type: ignore[arg-type]
        for cut in mine:
            for line in cut.lines:
                if cut.kind in ("wall", "serif"):
                    signs = {float(np.sign(p)) for p in products[list(line.faces)] if abs(p) >= EITHER}
                    assert line.slice is not None
                    assert signs == {"either": set(), "along": {1.0}, "against": {-1.0}}[line.slice], cut.id
                elif cut.kind in ("stop", "end"):
                    assert line.slice is None


@pytest.mark.parametrize("family", FACES)
def test_every_face_of_the_wall_is_taken_by_exactly_one_cut(family: str) -> None:
    for g, cuts in own(alphabet_cuts(family), carved_letters(family)):
        assert sorted(face for cut in cuts for face in cut.faces) == list(range(len(g.roof.faces)))
        assert sum(cut.wall_area_mm2 for cut in cuts) == pytest.approx(g.wall_area_mm2, rel=1e-9)


def test_a_plain_bar_is_one_stop_cut_two_ends_two_facets_and_two_walls() -> None:
    cuts = cuts_for((carved(RECTANGLE),))
    assert [cut.kind for cut in cuts] == ["stop", "end", "end", "wall", "wall", "wall", "wall"]
    stop = cuts[0]
    assert stop.tool is not None
    assert (stop.tool.name, stop.length_mm, stop.placements) == ("chisel 12", pytest.approx(30), 3)
    assert stop.depth_mm == pytest.approx(5 * TAN - 0.3)
    assert stop.passes == pytest.approx((stop.depth_mm / 2, stop.depth_mm))  # 8.4 mm in passes of 6
    assert stop.by_hand  # it runs with the fibres, and the wood is soft
    assert [len(cut.lines) for cut in cuts[1:3]] == [2, 2]
    assert [cut.by_hand for cut in cuts[3:]] == [False, False, True, True]  # the ends are cut across the fibres
    assert sorted(round(cut.wall_area_mm2 / 2, 6) for cut in cuts[3:]) == [25, 25, 175, 175]
    assert [cut.side for cut in cuts[3:5]] == [None, None]
    assert {cut.side for cut in cuts[5:]} == {"upper", "lower"}


# Common practice: a trained carver's cuts, a cut being one edge worked along one side or centre of one stroke. I 13,
# E 30, R 28, O 9 to 12, S 15 to 18; four to six tools for a whole board.
COUNTED = {"I": 13, "E": 30, "R": 28, "O": 12, "S": 18}


@pytest.mark.parametrize(
    ("family", "cuts", "tools", "on_board"),
    [
        ("cinzel", 22, 3.8, 4),
        ("eb_garamond", 23, 3.8, 4),
        ("alegreya_sans", 17, 3.5, 4),
        ("zilla_slab", 28, 3.8, 4),
        ("jost", 16, 3.5, 4),
    ],
)
def test_a_to_z_at_60_mm_take_as_many_cuts_and_tools_as_a_trained_carver(
    family: str, cuts: float, tools: float, on_board: int
) -> None:
    found = own(tall_cuts(family), of_height(family))
    assert sum(len(mine) for _, mine in found) / 26 <= cuts
    assert sum(len({cut.tool for cut in mine}) for _, mine in found) / 26 <= tools
    assert len({cut.tool for cut in tall_cuts(family)}) <= on_board
    assert all(cut.tool is not None for cut in tall_cuts(family))
    for letter_cut, mine in found:
        if letter_cut.placed.char in COUNTED:
            assert len(mine) <= 1.4 * COUNTED[letter_cut.placed.char], letter_cut.placed.char


@pytest.mark.parametrize("family", ["marcellus", "cormorant", "playfair_display", "josefin_sans", "spectral"])
def test_faces_that_nothing_was_tuned_on_are_cut_as_sparingly_and_covered(family: str) -> None:
    letters = of_height(family, "AEGHKMRSW&aegkmstxy2358")
    cuts = worked(letters, hardness_lbf=BASSWOOD).cuts
    assert len(cuts) / len(letters) <= 27
    assert len({cut.tool for cut in cuts}) <= 8  # capitals, small letters and figures on one board
    share = covered(letters, cuts)
    assert share.wall >= 0.999
    assert share.centre >= 0.999


def test_in_hard_wood_the_mallet_is_taken_with_the_grain_too() -> None:
    assert not any(cut.by_hand for cut in cuts_for((carved(RECTANGLE),), settings=BenchSettings(soft_wood=False)))


def test_a_letter_has_the_same_cuts_wherever_it_stands_on_the_board() -> None:
    outline = letter("cinzel", "R")
    one, other = (groove(Placed(outline, EM_MM, x, y, 0, 1, 1, "R"), 60) for x, y in [(0, 0), (311.7, 87.3)])
    here, there = cuts_for((one,)), cuts_for((other,))
    assert [(c.id, c.kind, c.tool, c.slice, c.placements, c.after) for c in here] == [
        (c.id, c.kind, c.tool, c.slice, c.placements, c.after) for c in there
    ]
    for a, b in zip(here, there, strict=True):
        assert b.points == pytest.approx(a.points + np.array([311.7, 87.3, 0]), abs=1e-6)


def test_a_deeper_wall_angle_wants_deeper_cuts_of_the_same_lines() -> None:
    outline = letter("alegreya_sans", "I")
    flat, steep = (groove(Placed(outline, EM_MM, 0, 0, 0, 1, 1, "I"), wall) for wall in (45, 60))
    for a, b in zip(cuts_for((flat,)), cuts_for((steep,)), strict=True):
        assert b.points[:, :2] == pytest.approx(a.points[:, :2])
        if a.faces:
            assert b.depth_mm == pytest.approx(a.depth_mm * TAN)


def test_what_nothing_in_the_roll_fits_has_no_tool_and_is_not_hidden() -> None:
    only = Roll((Tool("half round", "gouge", 6, 3),))
    cuts = cuts_for((carved(RECTANGLE),), only)
    assert {cut.tool for cut in cuts if cut.kind == "stop"} == {None}
    assert {cut.technique for cut in cuts if cut.kind == "stop"} == {"nothing in the roll fits"}


def test_ornaments_have_keys_of_their_own() -> None:
    letters = carved_letters("cinzel", "I")
    ornament = carved(RECTANGLE, line=0, index=0)
    grooves = (*letters, ornament, ornament)
    assert keys_of(grooves) == ((1, 1), (0, 1), (0, 2))
    assert {cut.key for cut in cuts_for(grooves)} == {(1, 1), (0, 1), (0, 2)}
    assert len({cut.id for cut in cuts_for(grooves)}) == len(cuts_for(grooves))


def test_a_round_dot_is_a_mark_and_a_wall_all_round() -> None:
    angles = np.radians(np.arange(0, 360, 5))
    dot = carved(polygon([(10 + 5 * math.cos(a), 10 + 5 * math.sin(a)) for a in angles]))
    cuts = cuts_for((dot,))
    assert cuts[0].kind == "stop"
    assert cuts[0].points[0, :2] == pytest.approx((10, 10), abs=0.05)
    assert sum(cut.wall_area_mm2 for cut in cuts) == pytest.approx(dot.wall_area_mm2)


def test_nothing_to_carve_is_nothing_to_cut() -> None:
    assert cuts_for(()) == ()
