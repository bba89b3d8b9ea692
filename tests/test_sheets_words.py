import io

import pypdfium2
import pytest
from hypothesis import given
from hypothesis import strategies as st
from reportlab.pdfgen.canvas import Canvas

from stopcut.sheets.ink import begin_page
from stopcut.sheets.words import TEXT_PT, can_print, draw_words, fitted, width_mm, wrapped

sentences = st.text(st.characters(blacklist_categories=["Cs"]), max_size=60)


def printed(text, **how):
    held = io.BytesIO()
    canvas = Canvas(held, invariant=1)
    begin_page(canvas, 200, 40)
    draw_words(canvas, 20, 20, text, **how)
    canvas.showPage()
    canvas.save()
    return pypdfium2.PdfDocument(held.getvalue())[0]


def read_back(text):
    return printed(text).get_textpage().get_text_range()


def test_words_can_be_read_back():
    assert read_back("Measure both bars: 100 mm, 2 1/4 in") == "Measure both bars: 100 mm, 2 1/4 in"


def test_figures_are_lining_and_of_one_width():
    assert len({width_mm(digit) for digit in "0123456789"}) == 1
    page = printed("3", size_pt=100.0)
    _, bottom, _, _ = page.get_textpage().get_charbox(0)
    assert bottom == pytest.approx(20 * 72 / 25.4, abs=1.5)  # an old-style 3 hangs 0.2 em below the line


def test_letters_stand_as_their_face_kerns_them():
    assert width_mm("AV") < width_mm("A") + width_mm("V") - 0.05
    assert width_mm("HH") == pytest.approx(2 * width_mm("H"), abs=0.01)
    page = printed("AV", size_pt=100.0).get_textpage()
    moved = page.get_charbox(1, loose=True)[0] - page.get_charbox(0, loose=True)[0]
    assert moved == pytest.approx((width_mm("AV", 100.0) - width_mm("V", 100.0)) * 72 / 25.4, abs=0.2)
    assert read_back("AVIARY To W. Tea") == "AVIARY To W. Tea"


@pytest.mark.parametrize("text", ["Ελλάδα", "Огород", "Gärtner Straße", "Łąka"])
def test_other_european_scripts_are_printed_as_they_are(text):
    assert can_print(text)
    assert read_back(text) == text


def test_hebrew_is_printed_from_right_to_left():
    page = printed("שלום").get_textpage()
    assert can_print("שלום")
    boxes = {page.get_text_range(i, 1): page.get_charbox(i)[0] for i in range(page.count_chars())}
    assert boxes["ש"] > boxes["ם"]


def test_a_letter_that_no_face_has_is_a_box_and_never_missing_unseen():
    assert not can_print("日本")
    assert read_back("Gate 日本") == "Gate □□"


@given(sentences)
def test_no_words_whatever_stop_the_printing(text):
    printed(text, bold=True)
    assert width_mm(text) >= 0


@given(st.text(max_size=80), st.floats(8, 60))
def test_fitted_words_fit(text, room):
    assert width_mm(fitted(text, room)) <= room


@given(st.lists(st.text("abcdeil", min_size=1, max_size=9), max_size=30), st.floats(30, 90))
def test_wrapped_words_fit_and_none_is_lost(some, room):
    lines = wrapped(" ".join(some), room)
    assert all(width_mm(line, TEXT_PT) <= room for line in lines)
    assert " ".join(lines).split() == some


def test_a_word_longer_than_the_room_is_broken_and_nothing_of_it_lost():
    lines = wrapped("carrots" * 20, 40)
    assert len(lines) > 3
    assert "".join(lines) == "carrots" * 20
    assert all(width_mm(line) <= 40 for line in lines)


def test_no_words_are_one_blank_line():
    assert wrapped("", 40) == [""]


def test_the_anchor_says_where_along_the_words_the_place_is():
    starts = [printed("Lane", anchor=anchor).get_textpage().get_charbox(0)[0] for anchor in (0.0, 0.5, 1.0)]
    width = width_mm("Lane") * 72 / 25.4
    assert starts[0] - starts[1] == pytest.approx(width / 2, abs=0.01)
    assert starts[0] - starts[2] == pytest.approx(width, abs=0.01)
