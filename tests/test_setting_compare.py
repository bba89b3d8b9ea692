"""Other spacings to compare with: evenly from ink to ink, or by gaps given, on straight lines and on arcs."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from setting_faces import plain

from stopcut.job.job import Arc, Shift
from stopcut.lettering.letters import Lettered
from stopcut.setting.compare import equal_gaps, respaced
from stopcut.setting.request import LineSetting, SettingRequest
from stopcut.setting.set_board import SetBoard, SetLine
from stopcut.setting.set_out import set_out

WORDS = st.text("IOVATLHp", min_size=1, max_size=6)


def line_of(lettered: Lettered, cap: float = 40.0, **asked: object) -> SetLine:
    setting = LineSetting(lettered, cap, **asked)  # type: ignore[arg-type]
    return set_out(SettingRequest(3000, 3000, 40, (setting,))).lines[0]


def evened(line: SetLine) -> SetLine:
    return equal_gaps(SetBoard((line,))).lines[0]


def on_arc(words: str, radius: float, bend: str, **asked: object) -> SetLine:
    return line_of(plain(words), arc=Arc(radius, bend), **asked)  # type: ignore[arg-type]


def gaps_within_words(line: SetLine) -> list[float]:
    return [gap for letter in line.letters if (gap := letter.gap_after_mm) is not None]


def word_spaces(line: SetLine) -> list[float]:
    return [b.left_mm - a.right_mm for a, b in pairwise(line.letters) if a.word != b.word]


def along(line: SetLine, centre: tuple[float, float], radius: float, heads: int) -> list[tuple[float, float]]:
    """Where each letter's ink begins and ends along the circle at mid cap height, by trigonometry alone."""
    middle = radius + heads * line.cap_height_mm / 2
    spans = []
    for letter in line.letters:
        box, place = letter.placed.outline.bounds, letter.placed
        turn = math.radians(place.turn_deg)
        x = place.x_mm + box.centre[0] * place.scale * math.cos(turn) - centre[0]
        y = place.y_mm + box.centre[0] * place.scale * math.sin(turn) - centre[1]
        assert math.hypot(x, y) == pytest.approx(radius, rel=1e-9)
        angle = math.atan2(x, heads * y)
        assert -heads * angle == pytest.approx(turn, abs=1e-9)
        half = math.atan(box.width * place.scale / 2 / middle)
        spans.append(((angle - half) * middle, (angle + half) * middle))
    return spans


def centre_of(line: SetLine, radius: float, bend: str) -> tuple[float, float]:
    """The arc's centre, under (or over) the foot of a letter that stands upright in the middle of its line."""
    (upright,) = [letter for letter in line.letters if abs(letter.placed.turn_deg) < 1e-9]
    x = upright.placed.x_mm + upright.placed.outline.bounds.centre[0] * upright.placed.scale
    return x, upright.placed.y_mm - (radius if bend == "up" else -radius)


@given(words=st.lists(WORDS, min_size=1, max_size=4).map(" ".join))
def test_evened_gaps_are_one_gap_between_the_same_ends_with_the_same_word_spaces(words: str) -> None:
    line = line_of(plain(words))
    even = evened(line)
    assert (even.ink_left_mm, even.ink_right_mm) == pytest.approx((line.ink_left_mm, line.ink_right_mm))
    gaps = gaps_within_words(even)
    assert gaps == pytest.approx([sum(gaps_within_words(line)) / len(gaps)] * len(gaps) if gaps else [])
    assert word_spaces(even) == pytest.approx(word_spaces(line))
    for letter, following in pairwise(even.letters):
        assert (letter.left_mm, letter.right_mm) == pytest.approx(
            (letter.placed.bounds_mm.left, letter.placed.bounds_mm.right)
        )
        if letter.gap_after_mm is not None:
            assert following.left_mm - letter.right_mm == pytest.approx(letter.gap_after_mm)


def test_a_line_that_is_even_already_and_letters_alone_stay_where_they_are() -> None:
    for words in ("IIIII", "I", "I I I"):
        line = line_of(plain(words))
        for was, now in zip(line.letters, evened(line).letters, strict=True):
            assert now.placed.x_mm == pytest.approx(was.placed.x_mm)


def test_measured_gaps_part_a_round_and_an_upright_pair_as_no_eye_would() -> None:
    line = line_of(plain("IIOO"))
    even = evened(line)
    by_eye = [letter.gap_after_mm for letter in line.letters]
    assert by_eye[0] > even.letters[0].gap_after_mm  # two uprights are too near
    assert by_eye[2] < even.letters[2].gap_after_mm  # two rounds too far apart


def test_a_shift_by_hand_is_shared_out_like_any_room_and_none_is_left() -> None:
    shifted, plainly = line_of(plain("IOIO"), shifts=(Shift("IO", 1, 6.0),)), line_of(plain("IOIO"))
    wider = [b - a for a, b in zip(gaps_within_words(evened(plainly)), gaps_within_words(evened(shifted)), strict=True)]
    assert wider == pytest.approx([2.0, 2.0, 2.0])
    assert all(letter.shift_mm == 0 for letter in evened(shifted).letters)


def test_heights_words_and_baselines_stay_and_findings_of_the_other_setting_go() -> None:
    board = set_out(SettingRequest(60, 80, 5, (LineSetting(plain("HOTAV"), 40), LineSetting(plain("IO"), 20))))
    assert board.findings
    even = equal_gaps(board)
    assert even.findings == ()
    for was, now in zip(board.lines, even.lines, strict=True):
        assert (now.words, now.scale, now.baseline_y_mm) == (was.words, was.scale, was.baseline_y_mm)
        assert [one.placed.y_mm for one in now.letters] == [one.placed.y_mm for one in was.letters]


def test_a_line_from_right_to_left_is_evened_between_the_sides_that_face_each_other() -> None:
    line = line_of(plain("HO AVT", from_right=True))
    even = evened(line)
    for letter, following in pairwise(even.letters):
        assert following.right_mm < letter.left_mm + 1e-9
        if letter.gap_after_mm is not None:
            assert letter.left_mm - following.right_mm == pytest.approx(letter.gap_after_mm)
    assert len({round(gap, 9) for gap in gaps_within_words(even)}) == 1
    assert even.ink_left_mm == pytest.approx(line.ink_left_mm)


@pytest.mark.parametrize("bend", ["up", "down"])
@pytest.mark.parametrize("radius", [110.0, 400.0, 20_000.0])
def test_on_an_arc_gaps_are_evened_along_the_circle_and_no_letter_leaves_it(bend: str, radius: float) -> None:
    line = on_arc("VTOOHOOTV", radius, bend)
    centre, heads = centre_of(line, radius, bend), 1 if bend == "up" else -1
    was, now = along(line, centre, radius, heads), along(evened(line), centre, radius, heads)
    assert (now[0][0], now[-1][1]) == pytest.approx((was[0][0], was[-1][1]), abs=1e-6)
    before = [b[0] - a[1] for a, b in pairwise(was)]
    assert before == pytest.approx(gaps_within_words(line), abs=1e-6)
    after = [b[0] - a[1] for a, b in pairwise(now)]
    assert after == pytest.approx([sum(before) / len(before)] * len(before), abs=1e-6)
    assert gaps_within_words(evened(line)) == pytest.approx(after, abs=1e-6)


@pytest.mark.parametrize("bend", ["up", "down"])
def test_on_an_arc_word_spaces_stay(bend: str) -> None:
    line = on_arc("AV I VA", 200.0, bend)
    centre, heads = centre_of(line, 200.0, bend), 1 if bend == "up" else -1
    was, now = along(line, centre, 200.0, heads), along(evened(line), centre, 200.0, heads)
    for i in (1, 2):
        assert now[i + 1][0] - now[i][1] == pytest.approx(was[i + 1][0] - was[i][1], abs=1e-6)


@settings(max_examples=40)
@given(gaps=st.lists(st.floats(-3, 40), min_size=4, max_size=4), keep=st.sampled_from(["left", "middle", "right"]))
def test_gaps_given_are_gaps_got_and_what_is_to_stay_stays(gaps: Sequence[float], keep: str) -> None:
    line = line_of(plain("HIHIH"))
    now = respaced(line, gaps, keep)  # type: ignore[arg-type]
    assert [b.left_mm - a.right_mm for a, b in pairwise(now.letters)] == pytest.approx(list(gaps), abs=1e-9)
    stays = {
        "left": (line.ink_left_mm, now.ink_left_mm),
        "right": (line.ink_right_mm, now.ink_right_mm),
        "middle": (line.ink_left_mm + line.ink_right_mm, now.ink_left_mm + now.ink_right_mm),
    }[keep]
    assert stays[0] == pytest.approx(stays[1])


@settings(max_examples=40)
@given(gaps=st.lists(st.floats(1, 20), min_size=4, max_size=4), bend=st.sampled_from(["up", "down"]))
def test_gaps_given_on_an_arc_are_gaps_got_about_the_same_middle(gaps: Sequence[float], bend: str) -> None:
    line = on_arc("HIHIH", 150.0, bend)
    centre, heads = centre_of(line, 150.0, bend), 1 if bend == "up" else -1
    now = along(respaced(line, gaps), centre, 150.0, heads)
    assert [b[0] - a[1] for a, b in pairwise(now)] == pytest.approx(list(gaps), abs=1e-6)
    assert now[0][0] + now[-1][1] == pytest.approx(0, abs=1e-6)
    assert np.all(np.diff([start for start, _ in now]) > 0)
