"""What a carver calls the strokes of a letter."""

from __future__ import annotations

from collections import Counter

import numpy as np
import pytest
from bench_boards import FACES, carved, carved_letters
from groove_shapes import CROSS, RECTANGLE, RING, letter

from stopcut.bench.cuts import strokes_for
from stopcut.bench.plan import Stroke
from stopcut.bench.strokes import strokes_of
from stopcut.groove.groove import groove
from stopcut.shape.outline import polygon
from stopcut.shape.placed import Placed

# By eye, from the drawn letters; serifs left out.
PLAIN = {
    "A": {"bar": 1, "diagonal": 2},
    "E": {"bar": 3, "stem": 1},
    "H": {"bar": 1, "stem": 2},
    "I": {"stem": 1},
    "L": {"bar": 1, "stem": 1},
    "N": {"diagonal": 1, "stem": 2},
    "O": {"bowl": 1},
    "S": {"bowl": 2, "arc": 1},
    "T": {"bar": 1, "stem": 1},
    "U": {"bowl": 1, "stem": 2},
    "V": {"diagonal": 2},
    "X": {"diagonal": 2},
    "Z": {"bar": 2, "diagonal": 1},
}
SERIFS = {"E": 3, "H": 4, "I": 2, "T": 3, "X": 4, "O": 0}


def kinds(strokes: tuple[Stroke, ...]) -> Counter[str]:
    return Counter(stroke.kind for stroke in strokes)


@pytest.mark.parametrize("family", FACES)
@pytest.mark.parametrize("char", PLAIN)
def test_capitals_have_the_strokes_that_the_eye_sees(family: str, char: str) -> None:
    found = kinds(strokes_for(carved_letters(family, char)))
    del found["serif"]
    assert found == PLAIN[char]


@pytest.mark.parametrize("char", SERIFS)
def test_roman_capitals_have_their_serifs_and_those_of_a_sans_none(char: str) -> None:
    assert kinds(strokes_for(carved_letters("cinzel", char)))["serif"] == SERIFS[char]
    assert kinds(strokes_for(carved_letters("alegreya_sans", char)))["serif"] == 0


@pytest.mark.parametrize("turn", [-30, 10, 45, 90])
def test_a_stem_is_a_stem_however_the_letter_is_turned_on_the_board(turn: float) -> None:
    placed = Placed(letter("cinzel", "E"), 60.0, 100, 100, turn, 1, 1, "E")
    assert kinds(strokes_of(groove(placed, 60.0), (1, 1))) == {"stem": 1, "bar": 3, "serif": 3}


def test_plain_shapes_are_what_they_are() -> None:
    assert kinds(strokes_for((carved(RECTANGLE),))) == {"bar": 1}
    assert kinds(strokes_for((carved(CROSS),))) == {"bar": 1, "stem": 1}
    assert len(strokes_for((carved(RING),))) >= 1


def test_a_thin_cross_stroke_is_a_hairline() -> None:
    shape = polygon(
        [
            (0, 0),
            (10, 0),
            (10, 28),
            (40, 28),
            (40, 0),
            (50, 0),
            (50, 60),
            (40, 60),
            (40, 30),
            (10, 30),
            (10, 60),
            (0, 60),
        ]
    )
    assert kinds(strokes_for((carved(shape),))) == {"stem": 2, "hairline": 1}


def test_a_strokes_name_may_be_overruled() -> None:
    grooves = carved_letters("cinzel", "R")
    first = strokes_for(grooves)[0]
    renamed = strokes_for(grooves, {(1, 1, first.number): "hairline", (1, 2, 1): "stem"})
    assert renamed[0].kind == "hairline"
    assert [stroke.kind for stroke in renamed[1:]] == [stroke.kind for stroke in strokes_for(grooves)[1:]]


@pytest.mark.parametrize("family", FACES)
def test_strokes_are_numbered_from_1_and_lie_inside_their_letter(family: str) -> None:
    for groove_ in carved_letters(family):
        strokes = strokes_of(groove_, (1, groove_.placed.index))
        assert [stroke.number for stroke in strokes] == list(range(1, len(strokes) + 1))
        box = groove_.placed.bounds_mm
        for stroke in strokes:
            assert (stroke.points >= (box.left - 0.1, box.bottom - 0.1)).all()
            assert (stroke.points <= (box.right + 0.1, box.top + 0.1)).all()
            assert len(stroke.points) == len(stroke.half_width_mm)
            assert np.isfinite(stroke.points).all()


def test_a_letter_has_the_same_strokes_at_every_size() -> None:
    for char in "AERS":
        assert (
            len({tuple(kinds(strokes_for(carved_letters("cinzel", char, em))).items()) for em in (20.0, 60.0, 200.0)})
            == 1
        )
