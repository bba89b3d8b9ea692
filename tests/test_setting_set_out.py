from __future__ import annotations

from itertools import combinations, pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from setting_faces import plain, set_in
from shapely.geometry import Polygon

from stopcut.errors import Severity
from stopcut.job.job import Shift
from stopcut.setting.request import LineSetting, SettingRequest
from stopcut.setting.set_board import SetBoard, SetLetter
from stopcut.setting.set_out import set_out
from stopcut.shape.flat import flatten


def board(
    *lines: LineSetting, width: float = 900, height: float = 260, margin: float = 40, wood: float = 1.0
) -> SetBoard:
    return set_out(SettingRequest(width, height, margin, lines, wood))


def codes(set_board: SetBoard) -> list[str]:
    return [finding.code for finding in set_board.findings]


def solid(letter: SetLetter) -> Polygon:
    rings = flatten(letter.placed.on_board, 0.01, area_true=False).rings
    return Polygon(max(rings, key=lambda ring: abs(Polygon(ring).area)))


def test_a_line_of_uprights_is_centred_by_its_ink_and_keeps_one_gap() -> None:
    line = board(LineSetting(plain("IIIII"), 60)).lines[0]
    assert line.ink_left_mm + line.ink_right_mm == pytest.approx(900)
    gaps = [letter.gap_after_mm for letter in line.letters]
    assert gaps[-1] is None
    assert gaps[:-1] == pytest.approx([gaps[0]] * 4)


def test_gap_after_is_the_distance_from_ink_to_ink() -> None:
    for line in board(
        LineSetting(set_in("Cinzel", "MARROW LANE"), 60), LineSetting(set_in("EB Garamond", "Quay"), 30)
    ).lines:
        for letter, following in pairwise(line.letters):
            assert letter.right_mm == pytest.approx(letter.placed.bounds_mm.right)
            assert letter.left_mm == pytest.approx(letter.placed.bounds_mm.left)
            if letter.gap_after_mm is not None:
                assert letter.gap_after_mm == pytest.approx(following.left_mm - letter.right_mm)


def test_left_and_right_lines_keep_their_margin_and_a_pointed_letter_hangs_over_it() -> None:
    uprights = board(LineSetting(plain("III"), 60, align="left"), LineSetting(plain("III"), 60, align="right"))
    assert uprights.lines[0].ink_left_mm == pytest.approx(40)
    assert uprights.lines[1].ink_right_mm == pytest.approx(860)
    pointed = board(LineSetting(plain("AIV"), 60, align="left"), LineSetting(plain("VIA"), 60, align="right"))
    assert 40 - 0.08 * 60 < pointed.lines[0].ink_left_mm < 40 - 0.02 * 60
    assert 860 + 0.02 * 60 < pointed.lines[1].ink_right_mm < 860 + 0.08 * 60


def test_a_full_stop_at_the_end_hangs_so_that_the_words_look_centred() -> None:
    line = board(LineSetting(plain("HIH."), 60)).lines[0]
    assert line.ink_left_mm > 900 - line.ink_right_mm
    assert line.letters[2].right_mm < 900 - line.ink_left_mm


def test_lines_stand_in_order_and_the_whole_in_the_middle_of_the_board() -> None:
    lines = board(LineSetting(plain("HOT"), 50), LineSetting(plain("HAT"), 30), LineSetting(plain("HIT"), 20)).lines
    assert lines[0].baseline_y_mm > lines[1].baseline_y_mm > lines[2].baseline_y_mm
    assert lines[0].baseline_y_mm + 50 + lines[2].baseline_y_mm == pytest.approx(260)


def test_a_drop_moves_one_line_and_no_other() -> None:
    before = board(LineSetting(plain("HOT"), 40), LineSetting(plain("HAT"), 40)).lines
    after = board(LineSetting(plain("HOT"), 40), LineSetting(plain("HAT"), 40, drop_mm=3)).lines
    assert after[0].baseline_y_mm == pytest.approx(before[0].baseline_y_mm)
    assert after[1].baseline_y_mm == pytest.approx(before[1].baseline_y_mm - 3)


def test_a_line_gap_given_as_a_length_is_the_wood_from_baseline_to_heads() -> None:
    upper, lower = board(LineSetting(plain("HOT"), 40), LineSetting(plain("HAT"), 30, line_gap_mm=17)).lines
    assert upper.baseline_y_mm - lower.baseline_y_mm - 30 == pytest.approx(17)


def test_small_letters_under_capitals_come_nearer_than_capitals_would() -> None:
    """Even light: what a line of x-height letters leaves open under its cap height counts as light."""
    capitals = board(LineSetting(plain("HHH"), 40), LineSetting(plain("HHH"), 40)).lines
    small = board(LineSetting(plain("HHH"), 40), LineSetting(plain("ppp"), 40)).lines
    assert small[0].baseline_y_mm - small[1].baseline_y_mm < capitals[0].baseline_y_mm - capitals[1].baseline_y_mm - 4


def test_lines_of_capitals_stand_between_two_thirds_of_their_height_and_the_whole_apart() -> None:
    """The Trajan inscription has about two thirds, Gill says about the letter height (proportions, spacing)."""
    upper, lower = board(LineSetting(set_in("Cinzel", "MARROW"), 50), LineSetting(set_in("Cinzel", "LANE"), 50)).lines
    assert 2 / 3 < (upper.baseline_y_mm - lower.baseline_y_mm - 50) / 50 < 1


def test_a_shift_moves_its_own_pair_by_its_own_length_and_leaves_every_other_gap() -> None:
    plain_gaps = board(LineSetting(plain("HOTHOT"), 60)).lines[0].letters
    shifted = board(LineSetting(plain("HOTHOT"), 60, shifts=(Shift("OT", 2, by_mm=0.4),))).lines[0].letters
    moved = [b.gap_after_mm - a.gap_after_mm for a, b in zip(plain_gaps[:-1], shifted[:-1], strict=True)]
    assert moved == pytest.approx([0, 0, 0, 0, 0.4])
    assert shifted[4].shift_mm == pytest.approx(0.4)
    assert shifted[4].model_gap_mm == pytest.approx(plain_gaps[4].model_gap_mm)


def test_a_shift_in_per_cent_grows_with_the_letters() -> None:
    for cap_height in (30, 60):
        letters = board(LineSetting(plain("HOT"), cap_height, shifts=(Shift("HO", 1, by_share=0.02),))).lines[0].letters
        assert letters[0].shift_mm == pytest.approx(0.02 * cap_height)


def test_a_shift_whose_pair_is_gone_is_a_finding_not_a_silence() -> None:
    result = board(LineSetting(plain("HOT"), 60, shifts=(Shift("HO", 2, by_mm=1), Shift("LA", 1, by_mm=1))))
    assert codes(result) == ["shift-without-pair"] * 2
    assert "second pair “HO”" in result.findings[0].says


def test_a_shift_does_not_reach_over_the_space_between_words() -> None:
    assert codes(board(LineSetting(plain("HO TO"), 60, shifts=(Shift("OT", 1, by_mm=1),)))) == ["shift-without-pair"]


def test_the_largest_cap_height_fills_the_width_and_says_what_limits_it() -> None:
    result = board(LineSetting(plain("HHHHHHHH"), None))
    line = result.lines[0]
    assert 819.5 < line.ink_right_mm - line.ink_left_mm <= 820
    (finding,) = result.findings
    assert finding.code == "fit-limit"
    assert "width of line 1" in finding.says


def test_a_short_word_is_limited_by_the_height_of_the_board() -> None:
    result = board(LineSetting(plain("HI"), None))
    assert result.lines[0].cap_height_mm == pytest.approx(180, abs=0.02)
    assert "height of the board" in result.findings[0].says


def test_fitted_lines_keep_their_relative_sizes_beside_a_line_of_a_given_height() -> None:
    lines = board(
        LineSetting(plain("HOT"), None), LineSetting(plain("HAT"), None, size=0.6), LineSetting(plain("HIT"), 25)
    ).lines
    assert lines[1].cap_height_mm == pytest.approx(0.6 * lines[0].cap_height_mm)
    assert lines[2].cap_height_mm == 25
    assert lines[0].baseline_y_mm + lines[0].cap_height_mm == pytest.approx(220, abs=0.05)


def test_words_that_do_not_fit_say_by_how_much_and_each_remedy_named_would_do() -> None:
    setting = LineSetting(plain("HOTHOTHOTHOT"), 90)
    result = board(setting)
    (finding,) = result.findings
    width = result.lines[0].ink_right_mm - result.lines[0].ink_left_mm
    assert (finding.code, finding.severity) == ("does-not-fit", Severity.STOP)
    assert f"{width - 820:.1f} mm too wide" in finding.says
    words = finding.remedy.replace(",", "").rstrip(".").split()
    height, wide = float(words[words.index("height") + 1]), float(words[words.index("board") + 1])
    assert codes(board(LineSetting(plain("HOTHOTHOTHOT"), height))) == []
    assert codes(board(setting, width=wide)) == []
    assert codes(board(LineSetting(plain("HOTHOTHOTHOT"), height * 1.01))) == ["does-not-fit"]
    assert codes(board(setting, width=wide - 2)) == ["does-not-fit"]


def test_an_openness_named_as_a_remedy_would_do() -> None:
    result = board(LineSetting(plain("HOTHOTHOTHOT"), 84))
    words = result.findings[0].remedy.rstrip(".").split()
    openness = float(words[words.index("openness") + 1])
    assert codes(board(LineSetting(plain("HOTHOTHOTHOT"), 84, openness=openness))) == []


def test_lines_too_high_together_are_a_finding() -> None:
    result = board(*[LineSetting(plain("HOT"), 60)] * 3)
    assert codes(result) == ["does-not-fit"]
    assert "too high" in result.findings[0].says


def test_spreading_reaches_both_margins_by_openness_alone_and_says_how_much() -> None:
    result = board(LineSetting(plain("HOT HAT HIT LOT"), 50, align="spread"))
    line = result.lines[0]
    assert line.ink_left_mm == pytest.approx(40)
    assert line.cap_height_mm == 50
    (finding,) = result.findings
    assert finding.code == "spread-openness"
    assert f"{line.openness:.3f}" in finding.says
    same = board(LineSetting(plain("HOT HAT HIT LOT"), 50, openness=line.openness)).lines[0]
    assert same.ink_right_mm - same.ink_left_mm == pytest.approx(line.ink_right_mm - line.ink_left_mm)


def test_a_word_too_short_to_spread_is_said() -> None:
    assert codes(board(LineSetting(plain("HI"), 20, align="spread"))) == ["cannot-spread"]
    assert codes(board(LineSetting(plain("H"), 20, align="spread"))) == ["cannot-spread"]


@settings(max_examples=25)
@given(st.text("IOVATLH.-", min_size=2, max_size=8), st.floats(0, 4), st.floats(0, 2), st.floats(0.2, 4))
def test_no_two_grooves_stand_nearer_than_the_wood_can(words: str, openness: float, tuck: float, wood: float) -> None:
    letters = board(LineSetting(plain(words), 40, openness=openness, tuck=tuck), wood=wood).lines[0].letters
    for letter, following in combinations(letters, 2):
        assert solid(letter).distance(solid(following)) >= wood - 1e-6


def test_two_letters_never_meet_over_a_small_one_between_them() -> None:
    """The Ts of T.T would both tuck over the full stop."""
    first, _, second = board(LineSetting(plain("T.T"), 40, openness=0, tuck=4), wood=2.0).lines[0].letters
    assert solid(first).distance(solid(second)) == pytest.approx(2.0, abs=1e-6)


@pytest.mark.parametrize("words", ["I.-I", "T-.T", "-.-.", "A.-V"])
def test_marks_that_share_no_height_keep_their_order(words: str) -> None:
    letters = board(LineSetting(plain(words), 40, openness=0, tuck=4)).lines[0].letters
    assert all(a.left_mm < b.right_mm and a.right_mm <= b.right_mm + 40 for a, b in pairwise(letters))
    assert letters[-1].right_mm - letters[0].left_mm < 120
    for letter, following in combinations(letters, 2):
        assert solid(letter).distance(solid(following)) >= 1.0 - 1e-6


@pytest.mark.parametrize("words", ["T.", "T-", "AV", "LT", "VA", "P.", "r.", "fj"])
def test_pairs_that_lean_into_each_other_never_touch(words: str) -> None:
    first, second = board(LineSetting(set_in("EB Garamond", words), 40, openness=0, tuck=3)).lines[0].letters
    assert solid(first).distance(solid(second)) >= 1.0 - 1e-6


@settings(max_examples=25)
@given(st.text("IOVATLH.-", min_size=2, max_size=8), st.floats(0, 4), st.floats(0, 4))
def test_more_openness_never_brings_any_two_letters_nearer(words: str, one: float, other: float) -> None:
    less, more = sorted((one, other))
    tight = board(LineSetting(plain(words), 40, openness=less)).lines[0].letters
    open_ = board(LineSetting(plain(words), 40, openness=more)).lines[0].letters
    assert all(a.gap_after_mm <= b.gap_after_mm + 1e-9 for a, b in zip(tight[:-1], open_[:-1], strict=True))


def test_openness_two_doubles_the_light_between_uprights() -> None:
    """Within a tenth: what the eye sees between two uprights of the face is their gap."""
    for family in ("Josefin Sans", "Spectral", "Jost"):
        one, two = (
            board(LineSetting(set_in(family, "HH"), 40, openness=o)).lines[0].letters[0].gap_after_mm for o in (1, 2)
        )
        assert two / one == pytest.approx(2, abs=0.35)


def test_a_wide_space_stands_between_words_about_that_of_an_upright_with_its_sides() -> None:
    """Common practice: the space between words is about an I with its side spaces."""
    apart = board(LineSetting(set_in("Cinzel", "HH HH"), 60)).lines[0].letters
    with_i = board(LineSetting(set_in("Cinzel", "HHIHH"), 60)).lines[0].letters
    space = apart[2].left_mm - apart[1].right_mm
    light = with_i[3].left_mm - with_i[1].right_mm
    assert space == pytest.approx(light, rel=0.15)


def test_words_never_run_together_however_far_open_sides_close_up() -> None:
    spaces = []
    for tuck in (0, 1, 4):
        letters = board(LineSetting(set_in("EB Garamond", "TL AV"), 60, tuck=tuck)).lines[0].letters
        spaces.append(letters[2].left_mm - letters[1].right_mm)
    assert spaces == pytest.approx([spaces[1]] * 3)


def test_word_space_scales_the_space_between_words_alone() -> None:
    usual = board(LineSetting(plain("HO TO"), 40)).lines[0].letters
    wide = board(LineSetting(plain("HO TO"), 40, word_space=1.5)).lines[0].letters
    assert wide[2].left_mm - wide[1].right_mm == pytest.approx(1.5 * (usual[2].left_mm - usual[1].right_mm))
    assert wide[0].gap_after_mm == pytest.approx(usual[0].gap_after_mm)


def test_a_right_to_left_line_reads_from_its_right_end_with_the_same_gaps() -> None:
    forwards = board(LineSetting(plain("LAV TO"), 40)).lines[0]
    backwards = board(LineSetting(plain("LAV TO", from_right=True), 40)).lines[0]
    assert [letter.placed.char for letter in backwards.letters] == list("LAVTO")
    lefts = [letter.left_mm for letter in backwards.letters]
    assert lefts == sorted(lefts, reverse=True)
    for letter, following in pairwise(backwards.letters):
        if letter.gap_after_mm is not None:
            assert letter.gap_after_mm == pytest.approx(letter.left_mm - following.right_mm)
    assert [letter.gap_after_mm is None for letter in backwards.letters] == [
        letter.gap_after_mm is None for letter in forwards.letters
    ]


def test_a_height_taken_from_the_figures_makes_the_figures_that_high() -> None:
    lettered = set_in("Cinzel", "1931")
    face = lettered.face
    tall = max(letter.outline.bounds.top for letter in lettered.letters)
    from dataclasses import replace

    figures = replace(lettered, face=replace(face, figure_height=tall))
    line = board(LineSetting(figures, 100, height_from="figures")).lines[0]
    top = max(letter.placed.bounds_mm.top for letter in line.letters)
    assert top - line.baseline_y_mm == pytest.approx(100)
    assert line.cap_height_mm == 100


def test_setting_the_same_request_twice_gives_the_same_board() -> None:
    request = SettingRequest(900, 260, 40, (LineSetting(set_in("Cinzel", "MARROW LANE"), 60),))
    assert np.array_equal(
        [letter.left_mm for letter in set_out(request).lines[0].letters],
        [letter.left_mm for letter in set_out(request).lines[0].letters],
    )


def test_a_board_of_spaces_alone_is_empty_and_no_error() -> None:
    assert board(LineSetting(plain(" "), 40)).lines == ()
