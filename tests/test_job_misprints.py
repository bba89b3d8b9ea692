"""Slips in the words themselves, each as hands make them, and names and figures that must pass untouched."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stopcut.errors import FaceLacksCharacter
from stopcut.job.misprints import misprints
from stopcut.job.remarks import LOOKS_LATIN
from stopcut.lettering.line_letters import LineRequest, letter_line

FACES = ["EB Garamond", "Cardo", "Lora", "Spectral", "Fira Sans"]


def said(*lines: str) -> list[tuple[str, int, str]]:
    """Kind, line and the characters marked."""
    return [
        (remark.kind, remark.line, lines[remark.line - 1][remark.start : remark.end]) for remark in misprints(lines)
    ]


@pytest.mark.parametrize(
    "lines",
    [
        ["MARROW LANE", "ALLOTMENT SOCIETY", "EST. 1921"],
        ["Anneliese van der Meyden", "& Sioned ap Gwilym"],
        ["No1 plot, 2nd gate, 1st prize, 10th, 1lb of beans"],
        ["Plot 101 & A1 & PLOT10", "XIV MCMXXI III"],
        ["MacDonald, O'Hara and McIver at Illfracombe"],
        ["it’s the members’ hut", "‘please shut the gate’"],
        ['5\' 6" long, 3" wide, 2" deep'],
        ["1921–1999 and 2001–2020", "well-made, hand-cut"],
        ["(open (to all) members)", "«oui»"],
        ["СОЮЗ САДОВОДОВ", "ΑΒΓ ΔΕΖ"],
        ["wait...", "open ! non"],
        ["Baden Baden-Baden"],
    ],
)
def test_what_is_rightly_written_is_left_alone(lines: list[str]) -> None:
    expected = {"open ! non": [("spaces", 2, " ")], "Baden Baden-Baden": [("doubled", 1, "Baden")] * 2}.get(
        lines[-1], []
    )
    assert said(*lines) == expected


@pytest.mark.parametrize(
    ("lines", "found"),
    [
        (["PLOTS OF THE", "THE SOCIETY"], [("doubled", 2, "THE")]),
        (["the the gate"], [("doubled", 1, "the")]),
        (["it's ours", "it’s theirs, it’s hers"], [("quotes", 1, "'")]),
        (['‘one" “two”'], [("quotes", 1, '"'), ("brackets", 1, '"')]),
        (["it´s"], [("quotes", 1, "´")]),
        (["EST. 192l"], [("figures", 1, "l")]),
        (["EST. I92I"], [("figures", 1, "I"), ("figures", 1, "I")]),
        (["19O1 and 2O24"], [("figures", 1, "O"), ("figures", 1, "O")]),
        (["1Oth"], [("figures", 1, "O")]),
        (["S0CIETY", "1NN"], [("figures", 1, "0"), ("figures", 2, "1")]),
        (["schooI", "HALl"], [("figures", 1, "I"), ("figures", 2, "l")]),
        (["MARROW  LANE"], [("spaces", 1, "  ")]),
        (["gate , please"], [("spaces", 1, " ")]),
        (["( members )"], [("spaces", 1, " "), ("spaces", 1, " ")]),
        (["1921-1999", "2001–2020, 2021–2022"], [("dashes", 1, "-")]),
        (["bees — plots", "keys - rota — sheds"], [("dashes", 2, "-")]),
        (["bees -- plots"], [("dashes", 1, "--")]),
        (["MАRROW LANE"], [("scripts", 1, "А")]),
        (["MARROW LANE", "ТОМАТО"], [("scripts", 2, char) for char in "ТОМАТО"]),
        (["САДОВOД СОЮЗ"], [("scripts", 1, "O")]),
        (["plot (12", "and 13]"], [("brackets", 1, "("), ("brackets", 2, "]")]),
        (['the "old gate'], [("brackets", 1, '"')]),
    ],
)
def test_slips_are_marked_where_they_are(lines: list[str], found: list[tuple[str, int, str]]) -> None:
    assert said(*lines) == found


def test_a_remark_says_what_to_look_at_and_where_its_like_is() -> None:
    (straight,) = misprints(["it's ours", "it’s theirs, it’s hers"])
    assert straight.says == "Straight ' here, ’ in line 2: one kind throughout looks meant."
    (across,) = misprints(["PLOTS OF THE", "THE SOCIETY"])
    assert across.says == "“THE” stands twice running, at the end of line 1 and here."
    (figure,) = misprints(["EST. 192l"])
    assert (figure.says, figure.other) == ("Is l the figure 1 in “192l”?", "1")
    (cyrillic,) = misprints(["MАRROW LANE"])
    assert cyrillic.says == "А in “MАRROW” is a Cyrillic letter though it looks like the Latin A: type it again."
    (dash,) = misprints(["bees — plots", "keys - rota — sheds"])
    assert dash.says == "Hyphen - here, em dash — in line 1, both between words."


@pytest.mark.parametrize("char", LOOKS_LATIN)
def test_letters_called_alike_are_drawn_alike(char: str) -> None:
    """UTS #39 by another way: there is a face that draws the two in one shape, to a hundredth of an em."""
    assert any(_drawn_alike(char, LOOKS_LATIN[char], face) for face in FACES)


def _drawn_alike(one: str, other: str, face: str) -> bool:
    try:
        a, b = (letter_line(LineRequest(char, face)).letters[0].outline for char in (one, other))
    except FaceLacksCharacter:
        return False
    sizes = [(box.width, box.height) for box in (a.bounds, b.bounds)]
    return sizes[0] == pytest.approx(sizes[1], abs=0.0101) and a.area == pytest.approx(b.area, rel=0.01)


@given(
    words=st.lists(st.sampled_from(["marrow", "lane", "plots", "gate", "bees"]), min_size=1, max_size=8, unique=True)
)
def test_any_word_written_twice_is_marked_and_no_other(words: list[str]) -> None:
    assert said(" ".join(words)) == []
    for at, word in enumerate(words):
        line = " ".join([*words[: at + 1], word.upper(), *words[at + 1 :]])
        assert said(line) == [("doubled", 1, word.upper())]


@given(year=st.integers(1000, 2999).map(str), at=st.integers(0, 3))
def test_any_year_with_a_letter_for_a_figure_is_marked_there(year: str, at: int) -> None:
    assert said(f"EST. {year}") == []
    letter = {"1": "l", "0": "O"}.get(year[at])
    if letter:
        (remark,) = misprints([f"{year[:at]}{letter}{year[at + 1 :]}"])
        assert (remark.kind, remark.start, remark.other) == ("figures", at, year[at])


@given(st.lists(st.text(max_size=40), max_size=4))
def test_every_remark_points_into_its_line_whatever_is_written(lines: list[str]) -> None:
    for remark in misprints(lines):
        assert 0 <= remark.start < remark.end <= len(lines[remark.line - 1])
        assert remark.says[-1] in ".?"
