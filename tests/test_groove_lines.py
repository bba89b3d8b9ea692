"""The lines a carver would pencil: plain shapes by hand, letters counted tip by tip, whole alphabets held together.

Sources: for a convex polygon the straight skeleton is its medial axis, a tree with one branch to each corner (skeleton
theory); a point of the roof is no farther from a wall's line than from the nearest edge (definition of the distance);
how many tips a letter has is counted by eye on the letter itself.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from glyphs import families
from groove_shapes import ANGLE, CROSS, RECTANGLE, RING, letter
from hypothesis import given, settings
from hypothesis import strategies as st

from stopcut.groove.chains import distances
from stopcut.groove.lines import lines, lines_of, pack_lines, unpack_lines
from stopcut.groove.roof import TOLERANCE_EM, roof_of
from stopcut.groove.surface import PlanLine, PlanLines, Roof
from stopcut.keep import keep
from stopcut.shape.outline import Contour, Outline, polygon

FINE = 0.001
CAPITALS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ&123"
SMALL = "abcdefghijklmnopqrstuvwxyz0123456789"
FOUR = ["cinzel", "eb_garamond", "zilla_slab", "alegreya_sans"]


def drawn(outline: Outline, tolerance: float = FINE) -> PlanLines:
    return lines(roof_of(outline, tolerance))


def of_kind(made: PlanLines, kind: str) -> list[PlanLine]:
    return [line for line in made.lines if line.kind == kind]


def length(line: PlanLine) -> float:
    return float(distances(line.points)[-1])


def run_length(made: PlanLines) -> float:
    return sum(end - start for line in made.lines for start, end in line.parallel)


def circle(x: float, y: float, radius: float, clockwise: bool = False) -> Contour:
    """Four cubics, within 0.03 % of the circle."""
    k = radius * 4 / 3 * math.tan(math.pi / 8)
    r = radius
    quarter = [((r, 0), (r, k), (k, r), (0, r)), ((0, r), (-k, r), (-r, k), (-r, 0))]
    quarter += [tuple((-a, -b) for a, b in segment) for segment in quarter]  # type: ignore[misc]
    segments = [tuple((x + a, y + b) for a, b in segment) for segment in quarter]
    if clockwise:
        segments = [segment[::-1] for segment in segments[::-1]]
    return Contour(tuple(segments))


def capsule(half: float, radius: float) -> Outline:
    """A stroke with round ends about (−half, 0) and (half, 0)."""
    k = radius * 4 / 3 * math.tan(math.pi / 8)
    r, h = radius, half
    return Outline(
        (
            Contour(
                (
                    ((-h, -r), (h, -r)),
                    ((h, -r), (h + k, -r), (h + r, -k), (h + r, 0.0)),
                    ((h + r, 0.0), (h + r, k), (h + k, r), (h, r)),
                    ((h, r), (-h, r)),
                    ((-h, r), (-h - k, r), (-h - r, k), (-h - r, 0.0)),
                    ((-h - r, 0.0), (-h - r, -k), (-h - k, -r), (-h, -r)),
                )
            ),
        )
    )


# --- plain shapes ---


def test_a_bar_has_one_centre_line_and_a_mitre_to_each_corner() -> None:
    made = drawn(RECTANGLE)
    (centre,) = of_kind(made, "centre")
    assert sorted(map(tuple, centre.points.round(9))) == [(5, 5), (35, 5)]
    assert centre.half_width == pytest.approx([5, 5])
    mitres = of_kind(made, "corner")
    assert {tuple(line.points[-1].round(9)) for line in mitres} == {(0, 0), (40, 0), (40, 10), (0, 10)}
    assert all(line.half_width[-1] == 0 and line.half_width[0] == pytest.approx(5) for line in mitres)
    assert len(made.lines) == 5


def test_the_stop_cut_of_a_bar_runs_from_mitre_to_mitre() -> None:
    (centre,) = of_kind(drawn(RECTANGLE), "centre")
    ((start, end),) = centre.parallel
    assert (start, end) == (0, pytest.approx(30))


def test_a_bar_too_short_for_a_stop_cut_has_none() -> None:
    made = drawn(polygon([(0, 0), (20, 0), (20, 10), (0, 10)]))
    assert length(of_kind(made, "centre")[0]) == pytest.approx(10)
    assert run_length(made) == 0


@pytest.mark.parametrize("corners", [3, 4, 5, 6, 7, 8])
def test_a_regular_polygon_has_a_mitre_to_each_corner_and_they_meet_in_the_middle(corners: int) -> None:
    turns = np.arange(corners) / corners * 2 * np.pi + 0.3
    made = drawn(polygon([(10 * math.cos(a), 10 * math.sin(a)) for a in turns]))
    assert [line.kind for line in made.lines] == ["corner"] * corners
    assert all(np.hypot(*line.points[0]) < 1e-3 for line in made.lines)
    assert made.pits == ()


@settings(max_examples=60)
@given(st.lists(st.floats(0.4, 1.0), min_size=3, max_size=7), st.floats(0, 6), st.floats(0.5, 1.0))
def test_a_convex_polygon_has_a_tree_of_lines_with_one_branch_to_each_sharp_corner(
    parts: list[float], turn: float, squash: float
) -> None:
    angles = turn + np.cumsum(parts) / sum(parts) * 2 * np.pi
    points = [(30 * math.cos(a), 30 * squash * math.sin(a)) for a in angles]
    corner = shapely.Polygon(points)
    edges = np.roll(points, -1, axis=0) - points
    before = np.roll(edges, 1, axis=0)
    cross, dot = before[:, 0] * edges[:, 1] - before[:, 1] * edges[:, 0], (before * edges).sum(1)
    turns = np.degrees(np.arctan2(cross, dot))
    deepest = shapely.maximum_inscribed_circle(corner, tolerance=1e-6).length
    sharp = (turns > 41) & (np.hypot(*edges.T) > 0.45 * deepest) & (np.hypot(*before.T) > 0.45 * deepest)
    made = drawn(polygon(points))
    reached = shapely.MultiPoint([line.points[-1] for line in made.lines if line.half_width[-1] == 0])
    assert np.all(shapely.distance(shapely.points(np.array(points)[sharp]), reached) < 1e-3)
    assert network(made) == (1, 0)


def test_a_ring_has_one_line_round_it_and_its_stop_cut_goes_all_the_way() -> None:
    made = drawn(Outline((circle(0, 0, 30), circle(0, 0, 20, clockwise=True))), 0.005)
    (line,) = made.lines
    assert line.kind == "centre"
    assert np.array_equal(line.points[0], line.points[-1])
    assert np.hypot(*line.points.T) == pytest.approx(25, abs=0.02)
    assert line.half_width == pytest.approx(5, abs=0.02)
    assert run_length(made) == pytest.approx(2 * math.pi * 25, rel=1e-3)


def test_a_square_ring_has_arrises_at_the_counters_corners_and_mitres_at_its_own() -> None:
    made = drawn(RING)
    assert {tuple(line.points[-1].round(9)) for line in of_kind(made, "corner")} == {(0, 0), (30, 0), (30, 30), (0, 30)}
    arrises = of_kind(made, "arris")
    ends = {tuple(np.array(p).round(9)) for line in arrises for p in (line.points[0], line.points[-1])}
    assert {(10, 10), (20, 10), (20, 20), (10, 20)} <= ends
    assert sum(length(line) for line in of_kind(made, "centre")) == pytest.approx(80)


def test_a_round_dot_has_no_line_but_a_mark_at_its_deepest_point() -> None:
    made = drawn(Outline((circle(3, 4, 2),)))
    assert made.lines == ()
    (pit,) = made.pits
    assert (pit.x, pit.y, pit.half_width) == pytest.approx((3, 4, 2), abs=0.01)


def test_a_circle_of_many_straight_pieces_is_as_round_as_a_curve() -> None:
    turns = np.arange(400) / 400 * 2 * np.pi
    made = drawn(polygon([(2 * math.cos(a), 2 * math.sin(a)) for a in turns]))
    assert made.lines == ()
    assert len(made.pits) == 1


def test_a_small_shape_keeps_its_corners_beside_a_large_one() -> None:
    small = polygon([(0, 0), (4, 0), (4, 2), (0, 2)])
    made = drawn(Outline((circle(100, 0, 50), *small.contours)), 0.01)
    assert sorted(line.kind for line in made.lines) == ["centre"] + ["corner"] * 4
    assert len(made.pits) == 1


def test_a_square_dot_is_four_mitres_and_needs_no_mark() -> None:
    made = drawn(polygon([(0, 0), (4, 0), (4, 4), (0, 4)]))
    assert len(of_kind(made, "corner")) == 4
    assert len(made.lines) == 4
    assert made.pits == ()


@pytest.mark.parametrize("tolerance", [0.05, 0.01, 0.002])
def test_a_stroke_with_round_ends_has_a_centre_line_between_their_centres_and_no_whiskers(tolerance: float) -> None:
    made = drawn(capsule(20, 5), tolerance)
    (line,) = made.lines
    assert line.kind == "centre"
    assert sorted(line.points[[0, -1], 0]) == pytest.approx([-20, 20], abs=0.6)
    assert run_length(made) == pytest.approx(40, abs=1.2)


def test_an_l_bends_with_a_mitre_outside_and_an_arris_inside() -> None:
    made = drawn(ANGLE)
    assert len(of_kind(made, "centre")) == 2
    assert sum(length(line) for line in of_kind(made, "centre")) == pytest.approx(40)
    assert len(of_kind(made, "corner")) == 5
    (arris,) = of_kind(made, "arris")
    assert {tuple(p.round(9)) for p in arris.points} == {(10, 10), (5, 5)}


def test_four_arms_of_a_cross_meet_in_one_point_with_four_arrises() -> None:
    made = drawn(CROSS)
    assert len(of_kind(made, "centre")) == 4
    assert len(of_kind(made, "arris")) == 4
    assert all((25, 25) in {tuple(p.round(9)) for p in line.points[[0, -1]]} for line in of_kind(made, "centre"))


def test_a_thin_stem_runs_into_a_thick_bar_and_its_line_is_carried_on_to_the_bars() -> None:
    made = drawn(polygon([(0, 40), (17, 40), (17, 0), (23, 0), (23, 40), (40, 40), (40, 50), (0, 50)]))
    assert network(made) == (1, 0)
    stem = next(line for line in of_kind(made, "centre") if np.ptp(line.points[:, 0]) < 1e-9)
    assert sorted(stem.points[[0, -1], 1]) == pytest.approx([3, 45])
    assert stem.half_width.min() == pytest.approx(3)


def test_a_slabs_bar_is_one_stop_cut_though_the_stem_comes_in_between() -> None:
    # Each half of the foot alone is shorter than three half-widths.
    foot = [(0, 0), (40, 0), (40, 10), (26, 10), (26, 60), (14, 60), (14, 10), (0, 10)]
    level = [line for line in of_kind(drawn(polygon(foot)), "centre") if line.parallel and line.points[:, 1].max() < 12]
    assert len(level) == 2
    assert all(end - start < 15 for line in level for start, end in line.parallel)


def test_a_blunt_end_narrower_than_a_pencils_fork_gets_one_line_to_its_middle() -> None:
    made = drawn(polygon([(0, -5), (20, -5), (50, -0.8), (50, 0.8), (20, 5), (0, 5)]))
    tips = [line for line in made.lines if line.half_width[-1] == 0 and line.points[-1, 0] > 40]
    assert len(tips) == 1
    assert tips[0].points[-1] == pytest.approx([50, 0], abs=1e-9)


def test_a_step_smaller_than_any_tool_leaves_no_spur() -> None:
    plain = drawn(RECTANGLE)
    stepped = drawn(polygon([(0, 0), (40, 0), (40, 10), (20.02, 10), (20, 10.02), (0, 10.02)]))
    assert [line.kind for line in stepped.lines].count("corner") == 4
    assert not of_kind(stepped, "arris")
    assert sum(map(length, stepped.lines)) == pytest.approx(sum(map(length, plain.lines)), rel=0.01)


def test_a_tapering_stroke_has_no_stop_cut_and_a_waisted_one_only_where_it_is_straight() -> None:
    taper = drawn(polygon([(0, -8), (60, -1), (60, 1), (0, 8)]))
    assert run_length(taper) == 0
    waisted = [(0, -12), (15, -5), (65, -5), (80, -12), (80, 12), (65, 5), (15, 5), (0, 12)]
    (run,) = [run for line in drawn(polygon(waisted)).lines for run in line.parallel]
    assert 44 < run[1] - run[0] < 56


def test_nothing_has_no_lines() -> None:
    assert drawn(Outline(())) == PlanLines(())


# --- letters ---

# Counted on the letters by eye: the tips of serifs, apexes, and the corners of plain ends.
TIPS = {
    "cinzel": "A5 E8 F7 H8 I4 L5 M7 N6 O0 T6 U4 V5 W7 X8 Y6 Z6",
    "alegreya_sans": "A6 E8 F7 H8 I4 L5 M10 N8 O0 T6 U4 V6 W10 X8 Y6 Z6",
    "zilla_slab": "E12 F11 H16 I8 L9 O0 T10 U8 V10 X16 Y12",
}
COUNTED = [(family, told[0], int(told[1:])) for family, counts in TIPS.items() for told in counts.split()]


@pytest.mark.parametrize(("family", "char", "tips"), COUNTED)
def test_each_tip_of_a_letter_has_one_line_and_nothing_else_has(family: str, char: str, tips: int) -> None:
    made = drawn(letter(family, char), TOLERANCE_EM)
    ends = [line.half_width[i] for line in made.lines if line.kind != "arris" for i in (0, -1)]
    assert ends.count(0) == tips


def network(made: PlanLines) -> tuple[int, int]:
    """How many pieces the centre and corner lines hang together in, and how many rounds they make."""
    nodes: dict[tuple[float, ...], tuple[float, ...]] = {}

    def root(node: tuple[float, ...]) -> tuple[float, ...]:
        while nodes[node] != node:
            node = nodes[node]
        return node

    kept = [line for line in made.lines if line.kind != "arris"]
    for line in kept:
        a, b = (tuple(line.points[i].round(7).tolist()) for i in (0, -1))
        nodes.setdefault(a, a)
        nodes.setdefault(b, b)
        nodes[root(a)] = root(b)
    parts = len({root(node) for node in nodes})
    return parts, len(kept) - len(nodes) + parts


@pytest.mark.parametrize("family", [*FOUR, "jost", "cormorant", "spectral", "libre_baskerville"])
def test_a_letters_lines_hang_together_and_go_round_each_counter_once(family: str) -> None:
    for char in CAPITALS + "abcdefghijklmnopqrstuvwxyzéß?!":
        roof = roof_of(letter(family, char), TOLERANCE_EM)
        made = lines(roof)
        areas = [shapely.Polygon(ring).exterior.is_ccw for ring in roof.flat.rings]
        parts, rounds = network(made)
        assert (parts + len(made.pits), rounds) == (areas.count(True), areas.count(False)), char


def shape_of(roof: Roof) -> shapely.MultiLineString:
    return shapely.MultiLineString([np.vstack([ring, ring[:1]]) for ring in roof.flat.rings])


@pytest.mark.parametrize("family", FOUR)
def test_half_widths_are_true_distances_away_from_inner_corners_and_never_more(family: str) -> None:
    near = total = 0
    for char in "ABEGKMRSW&3":
        roof = roof_of(letter(family, char), TOLERANCE_EM)
        edge = shape_of(roof)
        for line in lines(roof).lines:
            away = shapely.distance(shapely.points(line.points), edge)
            assert np.all(line.half_width <= away + 1e-6)
            if line.kind == "centre":
                near += int((away - line.half_width < 1e-3).sum())
                total += len(away)
    assert near > 0.75 * total


@pytest.mark.parametrize("family", FOUR)
def test_lines_stay_inside_and_runs_lie_on_their_lines_in_order(family: str) -> None:
    for char in CAPITALS:
        for line in drawn(letter(family, char), TOLERANCE_EM).lines:
            flat_runs = [at for run in line.parallel for at in run]
            assert flat_runs == sorted(flat_runs)
            assert all(0 <= at <= length(line) + 1e-12 for at in flat_runs)
            assert line.half_width.min() >= 0
            assert line.kind == "centre" or not line.parallel


def test_the_stop_cut_of_an_inscriptional_i_ends_where_the_serifs_flare() -> None:
    outline = letter("cinzel", "I")
    (run,) = [run for line in drawn(outline, TOLERANCE_EM).lines for run in line.parallel]
    straight = max(abs(s[0][1] - s[-1][1]) for s in outline.segments if len(s) == 2)
    assert straight - 0.02 <= run[1] - run[0] <= straight + 0.1


# --- steadiness ---


def moved(one: PlanLines, other: PlanLines, kinds: set[str], scale: float, tolerance: float) -> tuple[float, float]:
    """Length of one's lines, and of what lies farther than 0.05 mm from the other's, tiny features left out."""
    theirs = shapely.MultiLineString([line.points for line in other.lines if line.kind in kinds])
    whole = away = 0.0
    for line in one.lines:
        if line.kind in kinds and length(line) >= 2 * tolerance:
            along = distances(line.points)
            at = np.linspace(0, along[-1], max(3, int(along[-1] * scale / 0.2)))
            x, y, half = (np.interp(at, along, v) for v in (*line.points.T, line.half_width))
            seen = half >= 2 * tolerance
            far = shapely.distance(shapely.points(x, y), theirs) * scale > 0.05
            whole += seen.sum() / len(at) * along[-1]
            away += (
                (seen & np.where(np.isnan(shapely.distance(shapely.points(x, y), theirs)), True, far)).sum()
                / len(at)
                * along[-1]
            )
    return whole, away


@pytest.mark.parametrize("chars", [CAPITALS, SMALL])
@pytest.mark.parametrize("family", FOUR)
def test_ninety_nine_hundredths_of_the_lines_stay_when_the_tolerance_is_halved(family: str, chars: str) -> None:
    scale = 60 / letter(family, "H").bounds.top
    whole = away = 0.0
    for char in chars:
        coarse, fine = (drawn(letter(family, char), tolerance) for tolerance in (TOLERANCE_EM, TOLERANCE_EM / 2))
        for kinds in ({"centre", "corner"}, {"arris"}):
            for pair in ((coarse, fine), (fine, coarse)):
                more = moved(*pair, kinds, scale, TOLERANCE_EM)
                whole, away = whole + more[0], away + more[1]
    assert away <= 0.01 * whole


# --- kept ---


@pytest.mark.parametrize("char", ["R", "i", "O", "&"])
def test_kept_lines_come_back_as_they_were(char: str) -> None:
    made = drawn(letter("eb_garamond", char), TOLERANCE_EM)
    back = unpack_lines(pack_lines(made))
    assert back.pits == made.pits
    assert len(back.lines) == len(made.lines)
    for a, b in zip(made.lines, back.lines, strict=True):
        assert (a.kind, a.parallel) == (b.kind, b.parallel)
        assert np.array_equal(a.points, b.points)
        assert np.array_equal(a.half_width, b.half_width)


def test_lines_are_worked_once_and_found_again_on_disk() -> None:
    outline = letter("cinzel", "R")
    first = lines_of(outline, TOLERANCE_EM)
    assert lines_of(outline, TOLERANCE_EM) is first
    keep().forget()
    again = lines_of(outline, TOLERANCE_EM)
    assert again is not first
    assert pack_lines(again) == pack_lines(first)


def test_the_families_of_these_tests_are_there() -> None:
    assert set(FOUR) <= set(families())
