"""The bidirectional algorithm against python-bidi (a wrapper of the unicode-bidi crate), and rules of UAX #9."""

from __future__ import annotations

import unicodedata

import pytest
from bidi import get_display
from hypothesis import given, settings
from hypothesis import strategies as st

from stopcut.lettering.bidi import levels, visual_runs, visual_text

PLAIN = "abXאבגابت0123٠١٢ .,:+-$%()[]<>!&*'/\u0301\u05b0\u0627"
WITH_ISOLATES = PLAIN + "\u2066\u2067\u2068\u2069"
REMOVED = {"LRE", "RLE", "LRO", "RLO", "PDF", "BN"}


def displayed(text: str, base: int) -> str:
    """Characters in the order they stand, as python-bidi gives them (it mirrors nothing)."""
    out = []
    for start, end, rtl in visual_runs(text, base):
        out.append(text[start:end][::-1] if rtl else text[start:end])
    return "".join(out)


@settings(max_examples=1500)
@given(st.text(st.sampled_from(PLAIN), max_size=14), st.sampled_from([0, 1]))
def test_characters_stand_where_another_implementation_puts_them(text: str, base: int) -> None:
    assert displayed(text, base) == get_display(text, base_dir="R" if base else "L")


@settings(max_examples=800)
@given(st.text(st.sampled_from(WITH_ISOLATES), max_size=14), st.sampled_from([0, 1]))
def test_isolates_keep_their_insides_to_themselves(text: str, base: int) -> None:
    assert displayed(text, base) == get_display(text, base_dir="R" if base else "L")


@settings(max_examples=300)
@given(st.text(st.sampled_from("abאב01 .()\u202a\u202b\u202c\u202d\u202e\u00ad"), max_size=12))
def test_embeddings_and_overrides_order_what_is_left_of_them(text: str) -> None:
    def kept(shown: str) -> str:
        return "".join(c for c in shown if unicodedata.bidirectional(c) not in REMOVED)

    assert kept(displayed(text, 0)) == kept(get_display(text, base_dir="L"))


# Worked by hand from the rules of UAX #9, sections 3.3.4 to 3.4; the second is the annex's first example of N0, what
# it writes in capitals being Hebrew here.
@pytest.mark.parametrize(
    ("text", "base", "expected"),
    [
        ("car (אב) x", 0, [0] * 5 + [1, 1] + [0] * 3),  # brackets take the line's direction
        ("אב(גד[&ef]!)gh", 1, [1] * 7 + [2, 2, 1, 1, 1, 2, 2]),  # N0, first example
        ("sמ[ב]d", 0, [0, 1, 1, 1, 1, 0]),  # R inside R context: brackets run with the Hebrew
        ("a(ב)c", 0, [0, 0, 1, 0, 0]),
        ("א 1-2", 1, [1, 1, 2, 2, 2]),  # W4: one separator between European figures goes with them
        ("ا 1-2", 1, [1, 1, 2, 1, 2]),  # W2, W6: after Arabic letters it does not
        ("ا 1,2", 1, [1, 1, 2, 2, 2]),  # W4: but a common one does
        ("א $1", 1, [1, 1, 2, 2]),  # W5: what stands before a price goes with it
        ("ا 1", 1, [1, 1, 2]),  # W2: figures after Arabic letters
        ("a 1 א", 0, [0, 0, 0, 0, 1]),  # W7: figures after Latin
        ("א ", 0, [1, 0]),  # L1: a line's last spaces stand at its own end
    ],
)
def test_levels_are_those_of_the_rules_worked_by_hand(text: str, base: int, expected: list[int]) -> None:
    assert levels(text, base) == expected


def test_the_first_strong_character_gives_the_lines_direction() -> None:
    assert levels("12 א") == [2, 2, 1, 1]
    assert levels("12 a") == [0, 0, 0, 0]
    assert levels("") == []
    assert visual_runs("") == ()


def test_a_cluster_is_never_cut_by_a_run() -> None:
    text = "a\u0600א"
    assert len({rtl for start, end, rtl in visual_runs(text, whole=[(0, 3)])}) == 1


@settings(max_examples=200)
@given(st.text(max_size=30))
def test_runs_cover_every_character_once_whatever_the_text(text: str) -> None:
    places = sorted(place for start, end, _ in visual_runs(text) for place in range(start, end))
    assert places == list(range(len(text)))


def test_brackets_turn_round_where_they_are_read_from_the_right() -> None:
    """Unicode's BidiMirroring.txt: ( and ) are each other's mirror, as are [ and ]."""
    assert visual_text("א(ב)") == "(ב)א"
    assert visual_text("Plot [ש 7] east") == "Plot [7 ש] east"
    assert visual_text("Plot (7)") == "Plot (7)"
    assert visual_text("א\u202eב") == "בא"
