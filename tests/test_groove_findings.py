"""Findings of boards whose geometry is known: each is there when it should be, and a good board is left in peace."""

import math
from dataclasses import replace

import pytest
from glyphs import families, glyph
from hypothesis import given, settings
from hypothesis import strategies as st

from stopcut.errors import Finding, Severity
from stopcut.groove.findings import Carved, FindingsKey, board_findings
from stopcut.groove.groove import groove
from stopcut.groove.shape_facts import counters, finer_than, inner_corners
from stopcut.groove.unite import unite
from stopcut.job.job import Avoid, Board
from stopcut.shape.outline import Outline, polygon
from stopcut.shape.placed import Placed
from stopcut.shop.thresholds import PUBLISHED

BOARD = Board(600, 200, 28, 20, "lime", "width")


def _box(x: float, y: float, width: float, height: float, index: int = 1, char: str = "I", line: int = 1) -> Placed:
    outline = polygon([(0, 0), (width, 0), (width, height), (0, height)]).scaled(0.01)
    return Placed(outline, 100, x, y, line=line, index=index, char=char)


def _shape(outline: Outline, x: float = 100, y: float = 60, index: int = 1, char: str = "A") -> Placed:
    return Placed(outline.scaled(0.01), 100, x, y, line=1, index=index, char=char)


def _found(*placed: Placed, wall: float = 60, flat: float | None = None, **key: object) -> tuple[Finding, ...]:
    carved = tuple(Carved.of(groove(one, wall, flat)) for one in placed)
    asked = FindingsKey(carved, BOARD, "fine", PUBLISHED)
    return board_findings(replace(asked, **key))  # type: ignore[arg-type]


def _codes(*placed: Placed, **key: object) -> list[str]:
    return [finding.code for finding in _found(*placed, **key)]  # type: ignore[arg-type]


def test_a_plain_stem_in_the_middle_of_the_board_has_no_findings():
    assert _found(_box(100, 60, 8, 60)) == ()


@pytest.mark.parametrize(("thickness", "code"), [(14, "too-deep"), (18, None), (8, "too-deep")])
def test_a_groove_deeper_than_half_the_board_is_too_deep(thickness, code):
    # A stem of 10 mm at 60° is 8.66 mm deep (trigonometry).
    found = _found(_box(100, 60, 10, 60), board=replace(BOARD, thickness_mm=thickness))
    assert [finding.code for finding in found] == ([code] if code else [])
    if code:
        assert found[0].severity == (Severity.STOP if thickness < 8.66 else Severity.LOOK)
        assert found[0].says.startswith("8.7 mm is how deep I (line 1, letter 1) goes")


def test_an_ornament_that_is_too_deep_is_mended_where_its_wall_is_set():
    ornament = replace(_box(100, 60, 10, 60), line=0, index=0, char="vine.svg")
    (found,) = [one for one in _found(ornament, board=replace(BOARD, thickness_mm=14)) if one.code == "too-deep"]
    assert "vine.svg" in found.says
    assert "[groove]" in found.remedy
    assert "line" not in found.remedy


def test_a_flat_bottom_mends_what_is_too_deep():
    assert _found(_box(100, 60, 10, 60), flat=6, board=replace(BOARD, thickness_mm=14)) == ()


@pytest.mark.parametrize(
    ("width", "texture", "thin"), [(0.8, "fine", True), (1.2, "fine", False), (1.2, "coarse", True)]
)
def test_a_stroke_is_too_thin_for_the_woods_texture(width, texture, thin):
    assert ("thin-stroke" in _codes(_box(100, 60, width, 60), texture=texture)) == thin


def test_the_thin_strokes_of_a_line_are_one_finding_at_the_thinnest():
    found = _found(*(_box(100 + 30 * i, 60, 0.9 - 0.1 * i, 60, i + 1) for i in range(4)))
    (finding,) = found
    assert finding.says.startswith("0.6 mm is the thinnest stroke of I (line 1, letter 4); lime (fine) wants 1 mm.")
    assert finding.says.endswith("Likewise I (1), I (2) and I (3).")
    assert finding.where.index == 4
    assert finding.where.x_mm == pytest.approx(190.3, abs=0.1)
    assert finding.remedy.startswith('Set thinnest = "1 mm"')


def test_a_long_thin_spur_is_fine_detail_and_a_sharp_corner_is_none():
    spur = polygon([(0, 0), (10, 0), (10, 59.9), (20, 59.9), (20, 60.2), (0, 60.2)])
    assert _codes(_shape(spur)) == ["fine-detail"]
    wedge = polygon([(0, 0), (20, 0), (10, 60)])
    assert finer_than(wedge, 0.4) is None


@given(st.floats(0.1, 3))
@settings(max_examples=20)
def test_wood_between_grooves_is_too_thin_below_the_shops_figure(gap):
    codes = _codes(_box(100, 60, 6, 60), _box(106 + gap, 60, 6, 60, 2))
    assert ("thin-wood" in codes) == (gap < 0.95)
    assert "touching" not in codes


def test_letters_that_touch_are_told_of_once():
    found = _found(_box(100, 60, 6, 60, char="R"), _box(106, 60, 6, 60, 2, "O"))
    assert [finding.code for finding in found] == ["touching"]
    assert found[0].says == "R (line 1, letter 1) and O (line 1, letter 2) touch: their grooves run into each other."


def test_letters_united_because_they_touch_are_told_of():
    letters = (_box(100, 60, 6, 60, char="R"), _box(105, 60, 6, 60, 2, "O"))
    (one,) = unite(letters)
    found = _found(one.placed, joined=(tuple(letters[part] for part in one.parts),))
    assert [finding.code for finding in found] == ["touching"]
    assert found[0].says.startswith("R (line 1, letter 1) and O (line 1, letter 2) touch")


def test_a_narrow_tongue_of_wood_within_one_letter_is_told_of_and_a_crotch_is_not():
    comb = polygon([(0, 0), (20, 0), (20, 60), (10.4, 60), (10.4, 10), (9.6, 10), (9.6, 60), (0, 60)])
    assert _codes(_shape(comb)) == ["narrow-wood"]
    v = polygon([(10, 0), (14, 0), (28, 60), (20.5, 60), (12, 12), (3.5, 60), (-4, 60)])
    assert "narrow-wood" not in _codes(_shape(v))


@pytest.mark.parametrize(("gap", "short"), [(4, True), (6, False)])
def test_fibres_shorter_than_the_grooves_are_deep_are_short_grain(gap, short):
    # Two stems of 6 mm at 60° are 5.2 mm deep; the fibres between are as long as the gap.
    pair = (_box(100, 60, 6, 60), _box(106 + gap, 60, 6, 60, 2))
    assert _codes(*pair) == (["short-grain"] if short else [])
    if short:
        (finding,) = _found(*pair)
        assert finding.says.startswith("4 mm is as long as the fibres are")
        assert "5.2 mm deep" in finding.says
        assert finding.where.x_mm == pytest.approx(108)


def test_along_the_grain_a_ridge_of_long_fibres_stands():
    pair = (_box(100, 60, 6, 60), _box(110, 60, 6, 60, 2))
    assert _codes(*pair, board=replace(BOARD, grain="height")) == []
    stacked = (_box(100, 60, 60, 6), _box(100, 70, 60, 6, 2))
    assert _codes(*stacked, board=replace(BOARD, grain="height")) == ["short-grain"]
    assert _codes(*stacked) == []


def test_serif_points_that_nearly_meet_are_not_short_grain():
    serifed = polygon([(0, 0), (16, 0), (16, 0.6), (11, 2), (11, 60), (5, 60), (5, 2), (0, 0.6)])
    assert "short-grain" not in _codes(_shape(serifed, 100), _shape(serifed, 118, index=2))


def test_a_counter_too_small_to_stay_is_told_of_with_its_width():
    ring = polygon([(0, 0), (21, 0), (21, 21), (0, 21)], [(10, 10), (10, 11), (11, 11), (11, 10)])
    (finding,) = _found(_shape(ring, char="o"))
    assert finding.code == "small-counter"
    assert finding.says.startswith("1 mm of wood stands in the counter of o")
    assert (finding.where.x_mm, finding.where.y_mm) == pytest.approx((110.5, 70.5), abs=0.05)
    wide = polygon([(0, 0), (21, 0), (21, 21), (0, 21)], [(9, 9), (9, 12), (12, 12), (12, 9)])
    assert _codes(_shape(wide)) == []


@given(st.floats(8, 80))
@settings(max_examples=20)
def test_the_wood_inside_a_v_has_the_angle_of_its_legs(angle):
    half = math.radians(angle / 2)
    x, y = 60 * math.sin(half), 60 * math.cos(half)
    v = polygon([(0, -20 / math.sin(half) / 10), (x + 5, y), (x, y), (0, 0), (-x, y), (-x - 5, y)])
    (corner,) = inner_corners(v.scaled(0.01), 1e-4)
    assert corner.wood_deg == pytest.approx(angle, abs=1e-6)
    assert ("sharp-apex" in _codes(_shape(v, 300, 60, char="V"))) == (angle < 40)


def test_capitals_that_carvers_take_care_of_are_sharp_inside():
    path = next(iter(families()["cinzel"].glob("*.ttf")))
    sharp = {}
    for char in "MWVAHIOE":
        outline = glyph(path, 500, char)
        assert outline is not None
        sharp[char] = min((corner.wood_deg for corner in inner_corners(outline, 5e-4)), default=180.0)
    assert sharp["M"] < 40
    assert sharp["W"] < 40
    assert sharp["V"] < 50
    assert min(sharp[char] for char in "HIO") > 80


@pytest.mark.parametrize(
    ("x", "code"), [(3, "near-edge"), (-1, "off-board"), (5.5, None), (593, "off-board"), (590, "near-edge")]
)
def test_grooves_keep_clear_of_the_boards_edge(x, code):
    found = _found(_box(x, 60, 8, 60))
    assert [finding.code for finding in found] == ([code] if code else [])
    if code == "off-board":
        assert found[0].severity == Severity.STOP


@pytest.mark.parametrize(
    ("box", "edge"),
    [
        ((3, 60, 8, 60), (3, 90)),
        ((588, 60, 8, 60), (596, 90)),
        ((60, 3, 8, 60), (64, 3)),
        ((60, 136, 8, 60), (64, 196)),
    ],
)
def test_what_is_near_an_edge_is_shown_in_the_middle_of_that_side(box, edge):
    (finding,) = _found(_box(*box))
    assert (finding.where.x_mm, finding.where.y_mm) == pytest.approx(edge)


@pytest.mark.parametrize(
    ("what", "distance", "code", "severity"),
    [
        ("knot", -2, "into-avoid", Severity.LOOK),
        ("brass screw", -2, "into-avoid", Severity.STOP),
        ("knot", 2, "near-avoid", Severity.NOTE),
        ("knot", 4, None, None),
    ],
)
def test_grooves_keep_clear_of_what_is_marked(what, distance, code, severity):
    round_ = Avoid(what, 108 + 10 + distance, 90, radius_mm=10)
    square = Avoid(what, 108 + 10 + distance, 90, width_mm=20, height_mm=20)
    for avoid in (round_, square):
        found = _found(_box(100, 60, 8, 60), avoid=(avoid,))
        assert [finding.code for finding in found] == ([code] if code else [])
        if code:
            assert found[0].severity == severity
            assert what in found[0].says


def test_a_small_letter_keeps_its_case_where_a_sentence_begins():
    (finding,) = _found(_box(100, 60, 8, 60, char="l"), avoid=(Avoid("knot", 104, 70, radius_mm=3),))
    assert finding.says.startswith("l (line 1, letter 1) runs into the knot at 104 mm, 70 mm")


def test_two_knots_are_two_findings():
    knots = (Avoid("knot", 104, 70, radius_mm=3), Avoid("knot", 104, 110, radius_mm=3))
    assert _codes(_box(100, 60, 8, 60), avoid=knots) == ["into-avoid", "into-avoid"]


def test_words_keep_clear_of_a_ribbon_for_relief():
    ribbon = Placed(polygon([(0, 0), (100, 0), (100, 20), (0, 20)]), 1, 90, 100, char="ribbon")
    (finding,) = _found(_box(100, 60, 8, 60), relief=(ribbon,))
    assert finding.code == "into-relief"
    assert "the ornament ribbon" in finding.says
    assert _found(_box(100, 30, 8, 60), relief=(ribbon,)) == ()


def test_lengths_are_in_the_jobs_units():
    (finding,) = _found(_box(100, 60, 10, 60), board=replace(BOARD, thickness_mm=12.7), units="in")
    assert finding.says == "11/32 in is how deep I (line 1, letter 1) goes, more than half of the board's 1/2 in."


def test_an_ornament_is_called_by_its_name():
    leaf = Placed(polygon([(0, 0), (10, 0), (10, 60), (0, 60)]), 1, 100, 60, char="leaf")
    (finding,) = _found(leaf, board=replace(BOARD, thickness_mm=12))
    assert "the ornament leaf" in finding.says
    assert finding.where.line is None


def test_the_gravest_come_first():
    found = _found(_box(-1, 60, 10, 60), _box(100, 60, 0.5, 60, 2), board=replace(BOARD, thickness_mm=12))
    assert [finding.severity for finding in found] == sorted(
        (f.severity for f in found), key=["stop", "look", "note"].index
    )
    assert found[0].code == "off-board"


def test_counters_are_as_wide_as_their_largest_circle():
    ring = polygon([(0, 0), (40, 0), (40, 40), (0, 40)], [(10, 10), (10, 20), (30, 20), (30, 10)])
    (counter,) = counters(ring, 0.01)
    assert counter.width == pytest.approx(10, abs=0.05)


def test_a_key_is_equal_to_one_of_the_same_board():
    keys = [FindingsKey((Carved.of(groove(_box(100, 60, 8, 60), 60)),), BOARD, "fine", PUBLISHED) for _ in range(2)]
    assert keys[0] == keys[1]
    assert hash(keys[0]) == hash(keys[1])


def test_hundreds_of_letters_are_asked_in_one_sweep():
    letters = tuple(_box(20 + 12 * (i % 45), 15 + 12 * (i // 45), 4, 8, i + 1) for i in range(600))
    carved = tuple(Carved.of(groove(one, 60)) for one in letters)
    board = replace(BOARD, height_mm=250)
    assert board_findings(FindingsKey(carved, board, "fine", PUBLISHED)) == ()
