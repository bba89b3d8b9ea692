"""The board's words beside the client's message: hand-made letters, and single slips that difflib finds alike."""

from __future__ import annotations

import difflib
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stopcut.job import against_message as module
from stopcut.job.against_message import against_message
from stopcut.job.remarks import fold, words_of

WORDS = [
    "marrow",
    "lane",
    "allotment",
    "society",
    "plots",
    "gate",
    "water",
    "butts",
    "tools",
    "share",
    "heap",
    "please",
    "members",
    "only",
    "bees",
    "shed",
]


def said(message: str, *lines: str) -> list[tuple[str, int, str, str]]:
    """Kind, line, the words marked and what the message has."""
    return [(r.kind, r.line, lines[r.line - 1][r.start : r.end], r.other) for r in against_message(message, lines)]


@pytest.mark.parametrize(
    ("message", "lines"),
    [
        ("Marrow Lane Allotment Society", ["MARROW LANE", "ALLOTMENT SOCIETY"]),
        ("Hello! Please carve ‘Marrow Lane’ for us. Thanks, all at the plots", ["Marrow Lane"]),
        ('"MARROW LANE"\nand smaller, below,\n"est. 1921".', ["MARROW LANE", "EST 1921"]),
        ("On top MARROW LANE and then ALLOTMENT SOCIETY", ["MARROW LANE", "ALLOTMENT SOCIETY"]),
        ("The members' hut", ["THE MEMBERS’ HUT"]),
        ("café", ["CAFE\u0301"]),
        ("Plots 1–20", ["PLOTS 1-20"]),
        ("", ["MARROW LANE"]),
        ("?!", ["MARROW LANE"]),
        ("Marrow Lane", []),
        ("Marrow Lane", ["  ", "–"]),
    ],
)
def test_words_as_the_message_has_them_pass_without_remark(message: str, lines: list[str]) -> None:
    assert against_message(message, lines) == ()


@pytest.mark.parametrize(
    ("message", "lines", "remarks"),
    [
        ("Marrow Lane Society", ["MARROW LANE", "SOCIETV"], [("differs", 2, "SOCIETV", "Society")]),
        ("established 1921", ["ESTABLISHED 1912"], [("differs", 1, "1912", "1921")]),
        ("Gate of the Marrow Lane plots", ["GATE OF MARROW LANE PLOTS"], [("missing", 1, "", "the")]),
        ("Gate of Marrow Lane", ["GATE OF THE MARROW LANE"], [("added", 1, "THE", "")]),
        ("Marrow Lane Allotment Society", ["MARROW LANE", "ALLOTMENT"], [("missing", 2, "", "Society")]),
        ("The Marrow Lane", ["MARROW LANE"], [("missing", 1, "", "The")]),
        ("Marrow Lane\nin the Vale", ["Marrow Lane", "THE VALE"], []),
        (
            'carve "the Marrow Lane plots" for us',
            ["MARROW LANE"],
            [("missing", 1, "", "the"), ("missing", 1, "", "plots")],
        ),
        ("Marrow Lane of the Plots", ["MARROW LANE", "PLOTS"], [("missing", 1, "", "of the")]),
        ("Carve\nFounded by us all\nthanks", ["FOUNDED BY"], [("missing", 1, "", "us all")]),
        ("Carve\nnow Founded by us\nthanks", ["FOUNDED BY"], []),
        ("Carve\nour Founding\nthanks", ["FOUNDING"], [("missing", 1, "", "our")]),
        ("Plots 21-40 that way", ["PLOTS 21–42"], [("differs", 1, "42", "40")]),
        ("please carve MARROW LANE for us", ["MARROW LANE"], []),
        ("in caps: GATE OPEN", ["GATE", "OPEN", "OPEN"], [("added", 2, "OPEN", "")]),
        ("The Café", ["THE CAFE"], [("differs", 1, "CAFE", "Café")]),
        ("for Mary Mac", ["For MaRy mac"], [("case", 1, "MaRy", "Mary")]),
        ("Below PLOTS, above it MARROW LANE", ["MARROW LANE", "PLOTS"], [("order", 2, "", "")]),
    ],
)
def test_slips_are_found_where_they_are(
    message: str, lines: list[str], remarks: list[tuple[str, int, str, str]]
) -> None:
    assert said(message, *lines) == remarks


@pytest.mark.parametrize(
    ("here", "there", "how"),
    [
        ("SOCIETV", "Society", "letter 7 is V here, y there"),
        ("Socitey", "Society", "letters 5 and 6 have changed places"),
        ("MAROW", "Marrow", "r is left out after letter 3"),
        ("ARROW", "Marrow", "M is left out at the front"),
        ("LAANE", "Lane", "letter 3, A, is one too many"),
        ("MARYS", "Mary’s", "’ is left out after letter 4"),
    ],
)
def test_one_wrong_letter_is_named(here: str, there: str, how: str) -> None:
    (remark,) = against_message(f"the {there} plots", [f"THE {here} PLOTS"])
    assert remark.says == f"“{here}” here, “{there}” in the message: {how}."


def test_a_message_about_something_else_is_remarked_once() -> None:
    (remark,) = against_message("Good morning, how are you?", ["MARROW LANE", "PLOTS 1 TO 20"])
    assert (remark.kind, remark.says) == ("differs", "The message has none of the board's words.")


def test_a_message_of_a_book_is_not_read_for_ever() -> None:
    (remark,) = against_message("bees " * (module.MOST_STEPS // 11), ["a b c d e f g h i j k l"])
    assert "too long" in remark.says


@given(words=st.lists(st.sampled_from(WORDS), min_size=1, max_size=12), data=st.data())
def test_however_the_words_are_broken_into_lines_and_set_in_capitals_nothing_is_remarked(
    words: list[str], data: st.DataObject
) -> None:
    lines, left = [], list(words)
    while left:
        count = data.draw(st.integers(1, len(left)))
        lines.append(" ".join(left[:count]).upper())
        left = left[count:]
    quote = data.draw(st.sampled_from(["", "‘’", "“”", '""']))
    message = f"{quote[:1]}{' '.join(words)}{quote[1:]}"
    assert against_message(message, lines) == ()


@settings(max_examples=200)
@given(
    words=st.lists(st.sampled_from(WORDS), min_size=5, max_size=12, unique=True),
    at=st.integers(0, 99),
    slip=st.sampled_from(["differs", "missing", "added"]),
    new=st.text("xyz", min_size=2, max_size=8),
)
def test_a_single_slip_within_a_line_is_found_where_difflib_finds_it(
    words: list[str], at: int, slip: str, new: str
) -> None:
    place = 1 + at % (len(words) - 2)
    put = {"differs": [new], "missing": [], "added": [new, words[place]]}[slip]
    line = " ".join([*words[:place], *put, *words[place + 1 :]])
    (remark,) = against_message(" ".join(words), [line])
    told, board = words, [word.folded for word in words_of(line)]
    ((tag, i0, i1, j0, j1),) = [
        op for op in difflib.SequenceMatcher(None, told, board, autojunk=False).get_opcodes() if op[0] != "equal"
    ]
    assert remark.kind == slip == {"replace": "differs", "delete": "missing", "insert": "added"}[tag]
    assert line[remark.start : remark.end] == " ".join(board[j0:j1])
    assert remark.other == " ".join(told[i0:i1])
    if slip == "missing":
        assert line[: remark.start].split() == board[:j0]


@settings(max_examples=200)
@given(message=st.text(max_size=60), lines=st.lists(st.text(max_size=30), max_size=4))
def test_every_remark_points_into_its_line_whatever_is_written(message: str, lines: list[str]) -> None:
    remarks = against_message(message, lines)
    for remark in remarks:
        assert 0 <= remark.start <= remark.end <= len(lines[remark.line - 1])
        assert remark.says.endswith(".")
    assert list(remarks) == sorted(remarks, key=lambda r: (r.line, r.start, r.end))


@given(st.text(max_size=30))
def test_words_stand_where_they_say_and_have_ink(text: str) -> None:
    words = words_of(text)
    assert all(text[word.start : word.end] == word.text != "" for word in words)
    assert all(a.end < b.start for a, b in pairwise(words))
    assert all(word.folded == fold(word.text) for word in words)
