import numpy as np
import pytest
from sheet_boards import board, small_board, words

from stopcut.job.job import Avoid
from stopcut.sheets.drawn import layers
from stopcut.sheets.labels import CLEAR_MM, labels


def labelled(work):
    return labels(work, layers(work))


def test_every_letter_has_its_number_and_every_line_its_name():
    texts = [label.text for label in labelled(board())]
    assert texts == [*map(str, range(1, 9)), "line 1", *map(str, range(1, 7)), "line 2", "grain"]


def test_numbers_stand_under_the_middles_of_their_letters():
    work = board()
    letters = [letter for line in work.setting.lines for letter in line.letters]
    numbers = [label for label in labelled(work) if label.text.isdigit()]
    for letter, number in zip(letters, numbers, strict=True):
        assert number.bounds.centre[0] == pytest.approx((letter.left_mm + letter.right_mm) / 2)
        assert number.bounds.top < letter.placed.bounds_mm.bottom


def test_no_label_touches_a_line_or_another_label():
    # Two lines so close that numbers have hardly any room.
    tight = (words("IOIO OIOI", 1, 60.0, 100.0, 900.0), words("OIOIOIOIO", 2, 60.0, 35.0, 900.0))
    work = board(lines=tight)
    boxes = [label.bounds for label in labelled(work)]
    assert boxes
    for i, box in enumerate(boxes):
        for other in boxes[:i]:
            assert not (box.left < other.right and other.left < box.right) or not (
                box.bottom < other.top and other.bottom < box.top
            )
    drawn = [s for layer in layers(work) if layer.name in ("outline", "reference-line") for s in layer.strokes]
    for stroke in drawn:
        for run in stroke.runs:
            for segment in run:
                for point in _along(segment):
                    assert not any(_within(box, point, CLEAR_MM - 0.3) for box in boxes)


def test_a_label_without_a_clear_place_is_left_out():
    # Letters as high as the board, foot on its edge: no white under, over or beside them but in the rings.
    work = small_board(lines=(words("III", 1, 79.0, 0.5, 120.0),), width_mm=120.0)
    texts = [label.text for label in labelled(work)]
    assert "1" not in texts or all(label.bounds.bottom > 0 for label in labelled(work))
    assert all(label.bounds.bottom > 0 and label.bounds.top < 80 for label in labelled(work))


def test_a_knot_is_named_where_it_is():
    (named,) = [
        label for label in labelled(board(avoid=[Avoid("knot", 100, 220, radius_mm=12)])) if label.text == "knot"
    ]
    assert abs(named.bounds.centre[0] - 100) < 1e-9
    assert abs(named.bounds.centre[1] - 220) < 20


def _along(segment):
    points = np.asarray(segment, dtype=float)
    for t in np.linspace(0, 1, 40):
        at = points
        while len(at) > 1:
            at = at[:-1] * (1 - t) + at[1:] * t
        yield at[0]


def _within(box, point, by):
    return box.left - by < point[0] < box.right + by and box.bottom - by < point[1] < box.top + by
