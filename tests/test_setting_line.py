from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from setting_faces import SHAPES, plain

from stopcut.job.job import Shift
from stopcut.lettering.letters import Letter, Lettered
from stopcut.setting.line import line_shape
from stopcut.setting.shifts import by_hand, gap_of, shifts_without_pair
from stopcut.shape.outline import Outline


def joined(chars: str, advance: float) -> Lettered:
    """Blocks under other names, each 0.1 em wide, their pens advance apart."""
    letters = tuple(Letter(char, SHAPES["I"], advance, 0) for char in chars)
    return Lettered(chars, plain("I").face, letters, tuple(range(len(letters))))


def test_letters_that_the_writing_joins_keep_their_own_distance_at_any_openness() -> None:
    shape = line_shape(joined("بب", 0.1))
    assert [shape.gaps(60, openness, 2.0).model[0] for openness in (0, 1, 4)] == pytest.approx([0, 0, 0])


def test_letters_of_a_joining_script_that_stand_apart_are_spaced_by_the_light() -> None:
    assert line_shape(joined("دد", 0.4)).gaps(60, 1, 1.0).model[0] > 5


def test_latin_letters_that_touch_in_their_face_are_parted() -> None:
    assert line_shape(joined("ff", 0.1)).gaps(60, 1, 1.0).model[0] > 5


def test_spaces_that_came_as_letters_take_no_part() -> None:
    lettered = plain("HI HO")
    letters = (*lettered.letters[:2], Letter(" ", Outline(()), 0.3, 0), *lettered.letters[2:])
    spaced = replace(lettered, letters=letters, order=(0, 1, 2, 3, 4))
    assert np.allclose(line_shape(spaced).pair, line_shape(lettered).pair)
    assert line_shape(spaced).order == (0, 1, 2, 3)


def test_the_nth_pair_is_counted_in_reading_order_in_either_direction() -> None:
    assert gap_of(line_shape(plain("TOOTOO")), "TO", 2) == 3
    assert gap_of(line_shape(plain("TOOTOO", from_right=True)), "TO", 2) == 1
    assert gap_of(line_shape(plain("TOOTOO")), "TO", 3) is None


def test_a_pair_is_known_however_its_accents_were_typed() -> None:
    composed = Letter("É", SHAPES["L"], 0.5, 0)
    lettered = Lettered("HÉ", plain("H").face, (plain("H").letters[0], composed), (0, 1))
    assert gap_of(line_shape(lettered), "HE\N{COMBINING ACUTE ACCENT}", 1) == 0


def test_two_shifts_of_one_pair_add_up() -> None:
    shape = line_shape(plain("HOT"))
    shifts = (Shift("OT", 1, by_mm=0.5), Shift("OT", 1, by_share=0.01))
    assert by_hand(shape, shifts, 40).tolist() == pytest.approx([0, 0.9])
    assert shifts_without_pair(shape, shifts, 1) == ()
