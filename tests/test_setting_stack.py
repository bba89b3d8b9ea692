from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from setting_faces import plain, set_in

from stopcut.job.job import Arc
from stopcut.setting.request import LineSetting, SettingRequest
from stopcut.setting.set_board import SetBoard
from stopcut.setting.set_out import set_out


def board(*lines: LineSetting, height: float = 600) -> SetBoard:
    return set_out(SettingRequest(900, height, 30, lines))


def wood_between(result: SetBoard) -> float:
    """From the upper line's baseline to the lower line's heads."""
    upper, lower = result.lines
    return upper.baseline_y_mm - lower.baseline_y_mm - lower.cap_height_mm


def test_a_line_gap_given_as_a_number_scales_the_light() -> None:
    """The light of two lines of blocks is their gap and nothing else."""
    one, two = (
        wood_between(board(LineSetting(plain("I"), 40), LineSetting(plain("I"), 40, line_gap=g))) for g in (1, 2)
    )
    assert two == pytest.approx(2 * one)


def test_tails_and_heads_never_meet_however_small_the_line_gap() -> None:
    result = board(
        LineSetting(set_in("EB Garamond", "gypsy"), 40), LineSetting(set_in("EB Garamond", "hilt"), 40, line_gap=0)
    )
    upper, lower = result.lines
    lowest = min(letter.placed.bounds_mm.bottom for letter in upper.letters)
    highest = max(letter.placed.bounds_mm.top for letter in lower.letters)
    assert lowest - highest >= 1.0 - 1e-9
    assert result.findings == ()


def test_a_line_gap_of_a_length_that_makes_lines_touch_is_obeyed() -> None:
    result = board(LineSetting(plain("HpH"), 40), LineSetting(plain("HHH"), 40, line_gap_mm=5))
    assert wood_between(result) == pytest.approx(5)


def test_a_line_with_tails_above_goes_down() -> None:
    tails = wood_between(board(LineSetting(plain("ppp"), 40), LineSetting(plain("HHH"), 40)))
    none = wood_between(board(LineSetting(plain("HHH"), 40), LineSetting(plain("HHH"), 40)))
    assert tails > none + 3


def test_a_drop_over_the_margin_is_said_with_how_much_would_do() -> None:
    result = board(LineSetting(plain("HIH"), 40, drop_mm=300))
    (finding,) = result.findings
    assert finding.code == "does-not-fit"
    most = float(finding.remedy.split("Drop it ")[1].split(" mm")[0])
    assert board(LineSetting(plain("HIH"), 40, drop_mm=most - 0.1)).findings == ()


@settings(max_examples=25)
@given(st.lists(st.floats(15, 60), min_size=1, max_size=4), st.floats(0.5, 2))
def test_the_ink_of_all_lines_together_is_in_the_middle(heights: list[float], gap: float) -> None:
    lines = board(*[LineSetting(plain("HpO"), cap, line_gap=gap) for cap in heights], height=900).lines
    boxes = [letter.placed.bounds_mm for line in lines for letter in line.letters]
    assert min(b.bottom for b in boxes) + max(b.top for b in boxes) == pytest.approx(900)


def test_a_straight_line_under_an_arc_clears_its_feet() -> None:
    result = board(LineSetting(plain("HIHOHIH"), 40, arc=Arc(250, "up")), LineSetting(plain("HIH"), 30))
    feet = min(letter.placed.bounds_mm.bottom for letter in result.lines[0].letters)
    assert result.lines[1].baseline_y_mm + 30 < feet
