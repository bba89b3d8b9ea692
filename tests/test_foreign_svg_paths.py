"""SVG path words against another reader of them."""

import math

import pathops
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from svgelements import Path as OtherPath

from stopcut.foreign.inside import BadInput
from stopcut.foreign.svg_paths import draw_path

NUMBERS = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2}
numbers = st.integers(-50, 50)


@st.composite
def paths(draw):
    words = ["M", str(draw(numbers)), str(draw(numbers))]
    last = "M"
    for _ in range(draw(st.integers(1, 8))):
        command = draw(st.sampled_from("LHVCSQTAZlhvcsqtaz"))
        if command in "SsTt" and last not in {"S": "CS", "T": "QT"}[command.upper()]:
            command = chr(ord(command) - (16 if command in "Ss" else 3))  # the other reader reflects any curve's handle
        last = command.upper()
        words.append(command)
        if command.upper() == "A":
            rx, ry = draw(st.integers(1, 30)), draw(st.integers(1, 30))
            turn, large, sweep = draw(st.integers(0, 90)), draw(st.integers(0, 1)), draw(st.integers(0, 1))
            words += map(str, (rx, ry, turn, large, sweep, draw(numbers), draw(numbers)))
        elif command.upper() != "Z":
            words += [str(draw(numbers)) for _ in range(NUMBERS[command.upper()])]
    return " ".join(words)


@given(paths())
@settings(max_examples=150)
def test_a_path_has_the_box_that_another_reader_gives_it(words):
    mine = draw_path(words, "nonzero").bounds
    other = OtherPath(words).bbox()
    size = max(other[2] - other[0], other[3] - other[1], 1)
    assert mine == pytest.approx(other, abs=2e-3 * size)


def test_a_half_circle_by_an_arc_has_its_area():
    path = draw_path("M10 50 A20 20 0 0 1 50 50 Z", "nonzero")
    assert abs(path.area) == pytest.approx(200 * math.pi, rel=1e-3)


def test_after_its_end_a_subpath_goes_on_from_its_start():
    path = draw_path("M10 10 h5 v5 z l-5 0 l0 -5 z", "nonzero")
    assert path.bounds == pytest.approx((5, 5, 15, 15))


def test_a_smooth_curve_after_another_kind_begins_without_a_handle():
    after_line = draw_path("M0 0 L10 0 S20 10 20 20", "nonzero")
    plain = draw_path("M0 0 L10 0 C10 0 20 10 20 20", "nonzero")
    assert list(after_line) == list(plain)


@pytest.mark.parametrize("words", ["M 1", "L 5 5 5", "M0 0 C 1 2 3", "M0 0 A 1 2 3"])
def test_half_a_command_is_refused(words):
    with pytest.raises(BadInput, match="cannot be read"):
        draw_path(words, "nonzero")


def test_fill_rules_are_kept_and_others_refused():
    assert draw_path("M0 0h1v1z", "evenodd").fillType == pathops.FillType.EVEN_ODD
    with pytest.raises(BadInput, match="fill rule"):
        draw_path("M0 0h1v1z", "sometimes")
