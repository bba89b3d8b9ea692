"""A face's own spacing, against fontTools' advance widths and HarfBuzz's kerning read straight from the files."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest
import uharfbuzz as hb
from fontTools.ttLib import TTFont
from setting_faces import file_of

from stopcut.lettering.faces import find_face
from stopcut.lettering.line_letters import LineRequest, letter_line
from stopcut.lettering.own_spacing import own_pens

PLAIN = ("-kern", "-liga", "-clig", "-calt")
FACES = [
    ("Cinzel", "MARROW LANE"),
    ("EB Garamond", "AVOWAL Ty."),
    ("Libre Baskerville", "Water & To"),
    ("Jost", "LTAV Yo"),
]


def by_harfbuzz(path: Path, weight: float, words: str, features: dict[str, bool]) -> list[float]:
    """Pens of the words' characters that are no blanks, one glyph a character. [em]"""
    font = hb.Font(hb.Face(hb.Blob.from_file_path(str(path))))
    font.set_variations({"wght": weight})
    buffer = hb.Buffer()
    buffer.add_str(words)
    buffer.guess_segment_properties()
    hb.shape(font, buffer, features)
    pens, pen = [], 0.0
    for info, place in zip(buffer.glyph_infos, buffer.glyph_positions, strict=True):
        if not words[info.cluster].isspace():
            pens.append(pen / font.face.upem)
        pen += place.x_advance
    return pens


@pytest.mark.parametrize(("family", "words"), FACES)
def test_pens_stand_where_harfbuzz_puts_them_with_the_faces_kerning(family: str, words: str) -> None:
    pens = own_pens(LineRequest(words, family, weight=400, features=("-liga",)))
    assert pens == pytest.approx(by_harfbuzz(find_face(family, 400).path, 400, words, {"liga": False}), abs=1e-9)
    unkerned = own_pens(LineRequest(words, family, weight=400, features=PLAIN))
    assert pens != pytest.approx(unkerned, abs=1e-4)


@pytest.mark.parametrize("family", ["Libre Baskerville", "Zilla Slab", "Marcellus", "Spectral"])
def test_without_kerning_pens_are_the_sums_of_the_advance_widths_in_hmtx(family: str) -> None:
    words = "MARROW LANE & Plots"
    path = find_face(family, 400).path
    font = TTFont(path)
    assert "fvar" not in font or path == file_of(family)
    names, widths, upem = font.getBestCmap(), font["hmtx"].metrics, font["head"].unitsPerEm
    advances = [widths[names[ord(char)]][0] / upem for char in words]
    expected = [sum(advances[:place]) for place, char in enumerate(words) if char != " "]
    assert own_pens(LineRequest(words, family, weight=400, features=PLAIN)) == pytest.approx(expected, abs=1e-9)


def test_a_weight_has_its_own_advance_widths() -> None:
    for weight in (400, 900):
        pens = own_pens(LineRequest("MARROW", "Cinzel", weight=weight))
        assert pens == pytest.approx(by_harfbuzz(find_face("Cinzel", weight).path, weight, "MARROW", {}), abs=1e-9)
    assert own_pens(LineRequest("MARROW", "Cinzel", weight=400)) != own_pens(
        LineRequest("MARROW", "Cinzel", weight=900)
    )


@pytest.mark.parametrize(
    "words", ["MARROW LANE", "fi ffl office", "  two  spaces ", "É e\u0301 plots", "אבג plot", "-"]
)
def test_there_is_a_pen_for_each_letter_of_the_line_in_its_order(words: str) -> None:
    request = LineRequest(words, "Cardo")
    pens, letters = own_pens(request), letter_line(request).letters
    assert len(pens) == len(letters)
    assert all(a < b for a, b in pairwise(pens))
    # Within a word the way from pen to pen is the letter's own advance.
    for place, (letter, following) in enumerate(pairwise(letters)):
        if letter.word == following.word:
            assert pens[place + 1] - pens[place] == pytest.approx(letter.advance)
