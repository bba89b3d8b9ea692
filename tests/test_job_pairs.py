"""Pairs of letters: what a shift by hand belongs to, while the words around it change."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stopcut.job.pairs import Pair, letters_of, pairs_after, pairs_between, pairs_of, renumbered, split_pair


def test_letters_are_grapheme_clusters_and_blanks_are_none() -> None:
    # Extended grapheme clusters, Unicode Standard Annex 29: a base with its marks is one.
    assert letters_of("Cafe\u0301 12") == ("C", "a", "f", "\u00e9", "1", "2")
    assert letters_of("ක්ෂ") != tuple("ක්ෂ")


def test_pairs_are_numbered_by_their_letters_in_reading_order() -> None:
    assert [(pair.letters, pair.nth) for pair in pairs_of("ROROR")] == [("RO", 1), ("OR", 1), ("RO", 2), ("OR", 2)]
    assert [(pair.letters, pair.nth) for pair in pairs_of("AAA")] == [("AA", 1), ("AA", 2)]
    assert pairs_of("A") == pairs_of("") == ()


def test_letters_of_two_words_make_no_pair() -> None:
    assert [pair.letters for pair in pairs_of("OW  LA")] == ["OW", "LA"]


def test_it_does_not_matter_how_an_accent_was_typed() -> None:
    assert pairs_of("CAFE\u0301") == pairs_of("CAF\u00c9")


@pytest.mark.parametrize(
    ("text", "letters"),
    [
        ("RO", ("R", "O")),
        ("W L", None),
        ("e\u0301l", ("\u00e9", "l")),
        ("R", None),
        ("ROA", None),
        ("R ", None),
        (" R", None),
        ("", None),
        ("W  L", None),
    ],
)
def test_a_pair_as_written_is_two_letters(text: str, letters: tuple[str, str] | None) -> None:
    assert split_pair(text) == letters


@pytest.mark.parametrize(
    ("old", "new", "before", "after"),
    [
        ("ROAD", "THE ROAD", ("RO", 1), ("RO", 1)),
        ("ROAD", "ROSE ROAD", ("RO", 1), ("RO", 2)),
        ("ROSE ROAD", "ROAD", ("RO", 2), ("RO", 1)),
        ("ROSE ROAD", "ROSE LANE ROAD", ("RO", 2), ("RO", 2)),
        ("ROSE ROAD", "ROSY ROAD", ("RO", 1), ("RO", 1)),
        ("MARROW LANE", "MARROW  LANE", ("LA", 1), ("LA", 1)),
        ("ROAD", "RO AD", ("AD", 1), ("AD", 1)),
        ("MARROW LANE", "MARROW LANES", ("AN", 1), ("AN", 1)),
        ("BARROW ROW", "ARROW ROW", ("RO", 2), ("RO", 2)),
        ("ROW ROW ROW", "ROW ROW", ("RO", 1), ("RO", 1)),
        ("LANE", "PLANE LANE", ("LA", 1), ("LA", 2)),
        ("ROAD", "RROAD", ("RO", 1), ("RO", 1)),
        ("ROSE ROADS", "ROAD", ("RO", 2), ("RO", 1)),
        ("OLD ROAD", "THE NEW ROAD", ("OA", 1), ("OA", 1)),
        ("A" * 400 + "ROAD", "B" + "A" * 400 + "ROADS", ("RO", 1), ("RO", 1)),
    ],
)
def test_typing_elsewhere_keeps_a_shift_at_its_letters(
    old: str, new: str, before: tuple[str, int], after: tuple[str, int]
) -> None:
    assert renumbered([Pair(*before)], old, new) == (Pair(*after),)


def test_a_shift_whose_pair_is_gone_takes_no_other_pair() -> None:
    (orphan,) = renumbered([Pair("RO", 1)], "ROAD ROSE", "OAD ROSE")
    assert orphan == Pair("RO", 2)
    assert orphan not in pairs_of("OAD ROSE")


def test_two_shifts_never_come_to_one_pair() -> None:
    assert renumbered([Pair("RO", 1), Pair("RO", 2)], "ROAD ROSE", "OAD ROSE") == (Pair("RO", 2), Pair("RO", 1))


def test_a_letter_taken_out_and_typed_again_keeps_its_shift() -> None:
    (orphan,) = renumbered([Pair("RO", 1)], "MARROW", "MARRW")
    assert orphan not in pairs_of("MARRW")
    assert renumbered([orphan], "MARRW", "MARROW") == (Pair("RO", 1),)


_words = st.text("ROAL  é", max_size=12)


@given(st.text("xyz ", max_size=8), _words, st.text("xyz ", max_size=8))
def test_what_is_typed_before_or_after_words_moves_no_shift_within_them(before: str, words: str, after: str) -> None:
    pairs = pairs_of(words)
    longer = pairs_of(f"{words} {after}")
    assert renumbered(list(pairs), words, f"{words} {after}") == longer[: len(pairs)]
    longer = pairs_of(f"{before} {words}")
    assert renumbered(list(pairs), words, f"{before} {words}") == longer[len(longer) - len(pairs) :]


@given(_words, _words)
def test_pairs_that_live_on_keep_their_letters_and_their_order(old: str, new: str) -> None:
    became = pairs_after(old, new)
    places = [pairs_of(new).index(became[pair]) for pair in pairs_of(old) if pair in became]
    assert all(pair.letters == now.letters for pair, now in became.items())
    assert places == sorted(set(places))


@given(_words, _words)
def test_renumbering_never_gives_two_shifts_one_pair(old: str, new: str) -> None:
    now = renumbered(list(pairs_of(old)), old, new)
    assert len(set(now)) == len(now)


@given(_words)
def test_the_same_words_change_nothing(words: str) -> None:
    assert renumbered(list(pairs_of(words)), words, words) == pairs_of(words)


@pytest.mark.parametrize(
    ("words", "letters", "pairs"),
    [
        ("RO RO", "R|O|R|O", ["RO 1", None, "RO 2", None]),
        ("fine infill", "fi|n|e|i|n|fi|l|l", ["in 1", "ne 1", None, "in 2", "nf 1", "il 1", "ll 1", None]),
        ("affix", "a|ffi|x", ["af 1", "ix 1", None]),
        ("AV\u200bA", "A|V|A", ["AV 1", "V\u200b 1", None]),
    ],
)
def test_a_gap_is_called_by_the_two_letters_that_face_each_other_over_it_also_beside_a_ligature(words, letters, pairs):
    found = pairs_between(words, letters.split("|"))
    assert [None if pair is None else f"{pair.letters} {pair.nth}" for pair in found] == pairs


@given(st.text("abAfi\u0301 ", max_size=30))
def test_letters_set_one_by_one_have_all_pairs_of_their_words_in_order(words):
    found = pairs_between(words, letters_of(words))
    assert tuple(pair for pair in found if pair is not None) == pairs_of(words)
