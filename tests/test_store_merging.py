"""Two changes of one text are laid together where they are apart, and left to a person where they meet."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stopcut.store.merging import merged

BASE = "a\nb\nc\nd\n"
texts = st.lists(st.sampled_from(["a\n", "b\n", "c\n", "\n", "d"]), max_size=8).map("".join)


def by_lines(*three: str) -> str | None:
    base, ours, theirs = (text.splitlines(keepends=True) for text in three)
    return merged(base, ours, theirs)


@pytest.mark.parametrize(
    ("ours", "theirs", "both"),
    [
        ("A\nb\nc\nd\n", "a\nb\nc\nD\n", "A\nb\nc\nD\n"),
        ("A\nb\nc\nd\n", "a\nB\nc\nd\n", "A\nB\nc\nd\n"),
        ("b\nc\nd\n", "a\nb\nc\nd\ne\n", "b\nc\nd\ne\n"),
        ("a\nx\nb\nc\nd\n", "a\nb\nc\nd\ny\n", "a\nx\nb\nc\nd\ny\n"),
        ("A\nb\nc\nd\n", "A\nb\nc\nd\n", "A\nb\nc\nd\n"),
        ("A\nb\nc\nd\n", "AA\nb\nc\nd\n", None),
        ("a\nc\nd\n", "a\nB\nc\nd\n", None),
        ("a\nb\nc\nd\nx\n", "a\nb\nc\nd\ny\n", None),
        ("a\nx\nb\nc\nd\n", "A\nb\nc\nd\n", None),
    ],
)
def test_changes_that_are_apart_are_both_kept(ours: str, theirs: str, both: str | None) -> None:
    assert by_lines(BASE, ours, theirs) == both
    assert by_lines(BASE, theirs, ours) == both


@given(texts, texts)
def test_one_change_alone_is_that_change(base: str, other: str) -> None:
    assert by_lines(base, other, base) == other
    assert by_lines(base, base, other) == other


@given(texts, texts, texts)
def test_it_does_not_matter_whose_change_comes_first(base: str, ours: str, theirs: str) -> None:
    assert by_lines(base, ours, theirs) == by_lines(base, theirs, ours)


def test_texts_too_long_to_lay_beside_each_other_are_left_to_a_person() -> None:
    assert by_lines("a\n" * 6000, "a\n" * 6001, "a\n" * 6000) is None


def test_words_are_laid_together_letter_by_letter() -> None:
    assert merged("MAROW LANE", "MARROW LANE", "MAROW LANES") == "MARROW LANES"
    assert merged("PLOT 7", "PLOT 8", "PLOT 9") is None
