"""Lines on an arc, against plain trigonometry."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from setting_faces import plain, set_in

from stopcut.job.job import Arc
from stopcut.setting.request import LineSetting, SettingRequest
from stopcut.setting.set_board import SetBoard, SetLine
from stopcut.setting.set_out import set_out


def on_arc(words: str, radius: float, bend: str, cap: float = 40.0) -> SetBoard:
    return set_out(SettingRequest(3000, 3000, 0, (LineSetting(plain(words), cap, arc=Arc(radius, bend)),)))  # type: ignore[arg-type]


def straight(words: str, cap: float = 40.0) -> SetLine:
    return set_out(SettingRequest(3000, 3000, 0, (LineSetting(plain(words), cap),))).lines[0]


def centre(line: SetLine, radius: float, bend: str) -> tuple[float, float]:
    """The arc's centre: under (or over) the middle of a symmetrical line."""
    middle = (line.ink_left_mm + line.ink_right_mm) / 2
    return middle, line.baseline_y_mm - (radius if bend == "up" else -radius)


@pytest.mark.parametrize("bend", ["up", "down"])
@pytest.mark.parametrize("radius", [120, 400, 5000])
def test_every_letter_touches_the_arc_at_the_middle_of_its_ink_and_stands_upright_to_it(
    radius: float, bend: str
) -> None:
    line = on_arc("HIHIH", radius, bend).lines[0]
    cx, cy = centre(line, radius, bend)
    for letter in line.letters:
        placed = letter.placed
        middle = placed.outline.bounds.centre[0] * placed.scale
        turn = math.radians(placed.turn_deg)
        x, y = placed.x_mm + middle * math.cos(turn), placed.y_mm + middle * math.sin(turn)
        assert math.hypot(x - cx, y - cy) == pytest.approx(radius, rel=1e-9)
        upright = math.degrees(math.atan2(x - cx, (y - cy) if bend == "up" else (cy - y)))
        assert placed.turn_deg == pytest.approx(-upright if bend == "up" else upright, abs=1e-6)


@pytest.mark.parametrize("bend", ["up", "down"])
def test_gaps_are_those_of_the_straight_line_measured_at_mid_cap_height(bend: str) -> None:
    """A letter w wide covers 2·atan(w / 2r) at radius r, a gap g covers g / r."""
    cap, radius = 40.0, 300.0
    line, level = on_arc("HOTAV", radius, bend, cap).lines[0], straight("HOTAV", cap)
    middle_radius = radius + (cap / 2 if bend == "up" else -cap / 2)
    for (one, other), (here, there) in zip(pairwise(line.letters), pairwise(level.letters), strict=True):
        turned = math.radians(abs(one.placed.turn_deg - other.placed.turn_deg))
        half = [math.atan((x.right_mm - x.left_mm) / 2 / middle_radius) for x in (here, there)]
        assert turned == pytest.approx(sum(half) + here.gap_after_mm / middle_radius, abs=1e-9)
        assert one.gap_after_mm == pytest.approx(here.gap_after_mm)


def test_bending_up_lifts_the_middle_and_down_sinks_it() -> None:
    for bend, higher in (("up", True), ("down", False)):
        letters = on_arc("HIHIH", 200, bend).lines[0].letters
        assert (letters[2].placed.bounds_mm.centre[1] > letters[0].placed.bounds_mm.centre[1]) is higher


def test_a_line_on_a_very_large_arc_is_a_straight_line() -> None:
    bent, level = on_arc("HOTAV", 1e7, "up").lines[0], straight("HOTAV")
    for one, other in zip(bent.letters, level.letters, strict=True):
        assert one.left_mm - bent.ink_left_mm == pytest.approx(other.left_mm - level.ink_left_mm, abs=0.01)


@settings(max_examples=20)
@given(st.floats(150, 2000), st.sampled_from(["up", "down"]))
def test_the_ink_of_a_bent_line_is_in_the_middle_of_the_board(radius: float, bend: str) -> None:
    line = on_arc("HIOIH", radius, bend).lines[0]
    boxes = [letter.placed.bounds_mm for letter in line.letters]
    left, right = min(box.left for box in boxes), max(box.right for box in boxes)
    bottom, top = min(box.bottom for box in boxes), max(box.top for box in boxes)
    assert (left + right) / 2 == pytest.approx(1500, abs=0.01)
    assert (bottom + top) / 2 == pytest.approx(1500, abs=0.01)
    assert line.ink_left_mm == pytest.approx(left, abs=0.01)


def test_an_arc_smaller_than_its_letters_is_said_and_the_line_shown_straight() -> None:
    board = on_arc("HIH", 15, "down")
    assert [finding.code for finding in board.findings] == ["arc-too-small"]
    assert all(letter.placed.turn_deg == 0 for letter in board.lines[0].letters)


def test_a_fitted_line_on_an_arc_keeps_the_margins() -> None:
    setting = LineSetting(set_in("Cinzel", "GREEN BEANS"), None, arc=Arc(500, "up"))
    line = set_out(SettingRequest(900, 400, 40, (setting,))).lines[0]
    boxes = [letter.placed.bounds_mm for letter in line.letters]
    assert min(box.left for box in boxes) >= 40 - 0.05
    assert max(box.right for box in boxes) <= 860 + 0.05
    assert min(box.bottom for box in boxes) >= 40 - 0.05
    assert max(box.top for box in boxes) <= 360 + 0.05
