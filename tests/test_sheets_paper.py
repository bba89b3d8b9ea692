import itertools
import math

import pytest

from stopcut.sheets.paper import UnknownPaper, home_paper, paper_named, single_sheets

# ISO 216 and ANSI/ASME Y14.1, as public drafting pages list them. [mm]
ISO_216_A = {
    "A0": (841, 1189),
    "A1": (594, 841),
    "A2": (420, 594),
    "A3": (297, 420),
    "A4": (210, 297),
    "A5": (148, 210),
    "A6": (105, 148),
}
ANSI = {
    "ANSI A": (215.9, 279.4),
    "ANSI B": (279.4, 431.8),
    "ANSI C": (431.8, 558.8),
    "ANSI D": (558.8, 863.6),
    "ANSI E": (863.6, 1117.6),
    "Legal": (215.9, 355.6),
}
ARCH_INCHES = {"A": (9, 12), "B": (12, 18), "C": (18, 24), "D": (24, 36), "E": (36, 48), "E1": (30, 42)}


@pytest.mark.parametrize(("name", "size"), [*ISO_216_A.items(), *ANSI.items()])
def test_a_sheet_has_its_published_size(name, size):
    paper = paper_named(name)
    assert (paper.width_mm, paper.height_mm) == pytest.approx(size, abs=1e-9)


@pytest.mark.parametrize(("name", "inches"), ARCH_INCHES.items())
def test_an_arch_sheet_is_whole_inches(name, inches):
    paper = paper_named(f"ARCH {name}")
    assert (paper.width_mm / 25.4, paper.height_mm / 25.4) == pytest.approx(inches, abs=1e-9)


def test_an_a_sheet_is_the_one_above_halved_and_rounded_down():
    for above, below in zip(["A0", "A1", "A2", "A3", "A4", "A5"], ["A1", "A2", "A3", "A4", "A5", "A6"], strict=True):
        assert paper_named(below).height_mm == paper_named(above).width_mm
        assert paper_named(below).width_mm == math.floor(paper_named(above).height_mm / 2)


def test_letter_is_ansi_a():
    assert paper_named("letter").width_mm == paper_named("ANSI A").width_mm
    assert paper_named("letter").height_mm == paper_named("ANSI A").height_mm


def test_a_name_is_known_however_it_is_capitalised_or_spaced():
    assert paper_named(" ansib ").name == "ANSI B"


def test_an_unknown_sheet_is_answered_with_those_there_are():
    with pytest.raises(UnknownPaper, match=r"A4.*Letter"):
        paper_named("foolscap")


def test_a_carver_who_works_in_inches_prints_on_letter():
    assert home_paper("in").name == "Letter"
    assert home_paper("mm").name == "A4"


@pytest.mark.parametrize("units", ["mm", "in"])
def test_each_larger_single_sheet_holds_the_one_before(units):
    sheets = single_sheets(units)
    for small, large in itertools.pairwise(sheets):
        assert large.width_mm > small.width_mm
        assert large.height_mm > small.height_mm
