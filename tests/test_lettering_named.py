"""Letters of a line by what they are and which of their kind."""

from __future__ import annotations

import pytest

from stopcut.errors import CarverError
from stopcut.lettering.letters import Lettered
from stopcut.lettering.line_letters import LineRequest, letter_line
from stopcut.lettering.named import letter_named, name_of, no_such_letter, widened_letter
from stopcut.shape.offset import mitred


def line(words: str = "MARROW ROAD") -> Lettered:
    return letter_line(LineRequest(words=words, face="Cinzel", base_folder=None, weight=400, features=(), line=1))


def test_the_nth_such_letter_is_found_in_reading_order_and_no_further_one() -> None:
    assert [letter_named(line(), "R", nth) for nth in (1, 2, 3, 4)] == [3, 4, 7, None]
    assert letter_named(line(), "Q", 1) is None


def test_a_letters_name_finds_it_again() -> None:
    for number in range(1, 11):
        assert letter_named(line(), *name_of(line(), number)) == number


def test_there_is_no_name_for_a_letter_that_the_line_does_not_have() -> None:
    with pytest.raises(CarverError, match="10 letters"):
        name_of(line(), 11)


def test_a_widened_letter_stands_out_half_as_much_at_every_edge_and_no_other_letter_changes() -> None:
    before, after = line(), widened_letter(line(), 3, 0.02, 0.0003)
    changed = [n for n, (a, b) in enumerate(zip(before.letters, after.letters, strict=True), 1) if a != b]
    assert changed == [3]
    one, other = before.letters[2], after.letters[2]
    assert other.outline.bounds.width == pytest.approx(one.outline.bounds.width + 0.02, abs=1e-3)
    assert other.outline == mitred(one.outline, 0.01, 0.0003)
    assert one.stem is not None
    assert other.stem == pytest.approx(one.stem + 0.02)


def test_what_is_said_of_a_letter_that_is_gone_names_it() -> None:
    finding = no_such_letter("R", 3, 2, "the widening")
    assert finding.says == "Line 2 has no third “R”, so the widening there does nothing."
    assert finding.where.line == 2
