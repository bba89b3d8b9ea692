"""Letters and facts come back from the cache as they went in, to the last bit."""

from __future__ import annotations

import pytest

from stopcut.lettering.features import asked_features, features_of, only_figures
from stopcut.lettering.line_letters import LineRequest, letter_line
from stopcut.lettering.packed_letters import pack_facts, pack_lettered, unpack_facts, unpack_lettered


def test_a_line_comes_back_from_its_bytes_as_it_was() -> None:
    lettered = letter_line(LineRequest("ROOT É", "EB Garamond", features=("swsh",)))
    again = unpack_lettered(pack_lettered(lettered))
    assert again.letters == lettered.letters
    assert [letter.outline.digest for letter in again.letters] == [letter.outline.digest for letter in lettered.letters]
    assert again.face == lettered.face
    assert (again.words, again.order) == (lettered.words, lettered.order)
    assert [note.says for note in again.notes] == [note.says for note in lettered.notes]
    assert again.letters[1].outline is again.letters[2].outline


def test_facts_come_back_from_their_bytes_as_they_were() -> None:
    facts = letter_line(LineRequest("A", "Cardo")).face
    assert unpack_facts(pack_facts(facts)) == facts


@pytest.mark.parametrize("packed", [b"", b"{}", b"[1,2]", b'{"words":"A"}', b"\xff\xfe"])
def test_bytes_of_no_sense_are_an_error_for_the_cache_to_pass_over(packed: bytes) -> None:
    with pytest.raises((ValueError, KeyError, TypeError)):
        unpack_lettered(packed)


@pytest.mark.parametrize("words", ["1931", "17", "12-14", "No. 7".replace("No", ""), " 3 ", "٣"])
def test_house_numbers_are_figures_alone(words: str) -> None:
    assert only_figures(words)


@pytest.mark.parametrize("words", ["PLOT 7", "1a", "", "-", "VII"])
def test_lines_with_letters_or_without_figures_are_not(words: str) -> None:
    assert not only_figures(words)


def test_features_are_tags_with_values_and_signs() -> None:
    assert features_of(("smcp", "salt=2", "-kern", "liga"), "Lane") == {
        "liga": 1, "clig": 0, "smcp": 1, "salt": 2, "kern": 0,
    }  # fmt: skip
    assert features_of((), "1931") == {"liga": 0, "clig": 0, "lnum": 1}
    assert features_of(("onum",), "1931") == {"liga": 0, "clig": 0, "onum": 1}
    assert asked_features(("smcp", "salt=2", "-kern", "liga", "smcp", "calt=0")) == ("smcp", "salt", "liga")
