"""The pattern, rendered by other people's PDF readers and measured back."""

import ctypes
import datetime
import io
import math
import shutil
import subprocess
from dataclasses import replace

import numpy as np
import pypdfium2
import pypdfium2.raw as pdfium
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from PIL import Image
from sheet_boards import ISSUED, board, small_board, words

from stopcut.errors import Finding, Severity
from stopcut.job.document import LONGEST_BOARD_MM
from stopcut.sheets.page import PaperTooSmall, kept_free
from stopcut.sheets.paper import UnknownPaper, paper_named
from stopcut.sheets.pattern import MOST_SHEETS, pattern_pdf
from stopcut.sheets.tiling import tile_board

DPI = 300
PER_MM = DPI / 25.4
MARGIN_MM = 6.5  # beyond the 6.35 mm that the worst of common printers cannot reach
WITHIN_MM = 0.1

needs_poppler = pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="poppler's pdftoppm is not on this machine")


def by_pdfium(pdf, page=0, dpi=DPI):
    """A page as darkness from 0 (paper) to 1 (ink), top row first."""
    picture = pypdfium2.PdfDocument(pdf)[page].render(scale=dpi / 72, grayscale=True)
    return 1 - picture.to_numpy().reshape(picture.height, -1)[:, : picture.width] / 255


def by_poppler(pdf, page=0, dpi=DPI):
    asked = ["pdftoppm", "-r", str(dpi), "-gray", "-f", str(page + 1), "-l", str(page + 1), "-"]
    made = subprocess.run(asked, input=pdf, capture_output=True, check=True).stdout
    return 1 - np.asarray(Image.open(io.BytesIO(made)).convert("L"), dtype=float) / 255


READERS = [pytest.param(by_pdfium, id="pdfium"), pytest.param(by_poppler, id="poppler", marks=needs_poppler)]


def uprights(ink, at_least_mm):
    """Middles of upright lines at least that long, from the left. [mm]"""
    longest = np.zeros(ink.shape[1])
    run = np.zeros(ink.shape[1])
    for row in ink > 0.15:
        run = (run + 1) * row
        longest = np.maximum(longest, run)
    columns = np.flatnonzero(longest >= at_least_mm * PER_MM)
    groups = np.split(columns, np.flatnonzero(np.diff(columns) > 2) + 1)
    weight = np.where(np.isin(np.arange(ink.shape[1]), columns), ink.sum(axis=0), 0)
    return [float(np.average(group + 0.5, weights=weight[group])) / PER_MM for group in groups if len(group)]


def levels(ink, at_least_mm):
    """Middles of level lines at least that long, from the top. [mm]"""
    return uprights(ink.T, at_least_mm)


def cut(ink, left, top, right, bottom):
    """A part of the page, in mm from its top left."""
    return ink[round(top * PER_MM) : round(bottom * PER_MM), round(left * PER_MM) : round(right * PER_MM)]


@pytest.mark.parametrize("read", READERS)
@pytest.mark.parametrize("paper", ["A4", "Letter", "A3"])
def test_both_bars_measure_100_mm_on_every_page(read, paper):
    pdf = pattern_pdf(board(), paper, issued=ISSUED)
    # Poppler takes its time over a page: one of each paper is enough for a second opinion.
    for number in (1,) if read is by_poppler else (0, 1, len(pypdfium2.PdfDocument(pdf)) - 1):
        ink = read(pdf, number)
        height = ink.shape[0] / PER_MM
        along = uprights(cut(ink, 0, height - 16, 120, height), 3.6)
        up = levels(cut(ink, 0, height - 130, 12, height - 18), 3.6)
        assert along[-1] - along[0] == pytest.approx(100, abs=WITHIN_MM)
        assert up[-1] - up[0] == pytest.approx(100, abs=WITHIN_MM)


@pytest.mark.parametrize("read", READERS)
def test_both_bars_measure_4_inches_on_a_job_in_inches(read):
    pdf = pattern_pdf(board(units="in"), issued=ISSUED)
    ink = read(pdf, 1)
    height = ink.shape[0] / PER_MM
    along = uprights(cut(ink, 0, height - 16, 125, height), 3.6)
    up = levels(cut(ink, 0, height - 130, 12, height - 18), 3.6)
    assert along[-1] - along[0] == pytest.approx(4 * 25.4, abs=WITHIN_MM)
    assert up[-1] - up[0] == pytest.approx(4 * 25.4, abs=WITHIN_MM)
    assert "they must be 4 in." in pypdfium2.PdfDocument(pdf)[1].get_textpage().get_text_range()


def test_the_cautions_stand_on_the_first_page():
    for work in (board(), small_board()):
        first = pypdfium2.PdfDocument(pattern_pdf(work, issued=ISSUED))[0].get_textpage().get_text_range()
        text = " ".join(first.split())
        for said in ("Before the first cut", "clamps", "both hands behind the cutting edge", "come before these"):
            assert said in text


@pytest.mark.parametrize("read", READERS)
def test_the_board_and_a_letter_come_out_at_their_size(read):
    ink = read(pattern_pdf(small_board(), issued=ISSUED))
    sides = uprights(ink, 75)
    assert sides[-1] - sides[0] == pytest.approx(120, abs=WITHIN_MM)
    edges = levels(ink, 115)
    assert edges[-1] - edges[0] == pytest.approx(80, abs=WITHIN_MM)
    stem = [x for x in uprights(cut(ink, 0, 30, 210, 140), 38) if sides[0] + 25 < x < sides[0] + 45]
    assert stem[1] - stem[0] == pytest.approx(0.16 * 40, abs=WITHIN_MM)
    # The stem stands where the setting put it: 29.9 mm from the board's left edge.
    (left,) = [letter.left_mm for letter in small_board().setting.lines[0].letters[:1]]
    assert stem[0] - sides[0] == pytest.approx(left, abs=WITHIN_MM)


@pytest.mark.parametrize(
    ("paper", "size"),
    [
        ("A4", (210, 297)),
        ("A3", (297, 420)),
        ("Letter", (215.9, 279.4)),
        ("ANSI B", (279.4, 431.8)),
        ("A5", (148, 210)),
    ],
)
def test_pages_have_the_papers_published_size(paper, size):  # ISO 216; ANSI/ASME Y14.1
    document = pypdfium2.PdfDocument(pattern_pdf(board(), paper, issued=ISSUED))
    for page in document:
        assert sorted(v * 25.4 / 72 for v in page.get_size()) == pytest.approx(size, abs=0.01)


@pytest.mark.parametrize(
    ("work", "paper"),
    [
        (board(), None),
        (board(units="in"), None),
        (small_board(), None),
        (board(), "A5"),
        (board(), "one sheet"),
        (board(width_mm=1800.0, height_mm=1300.0), "A3"),
        (board(title="A very long title indeed " * 12, wood="wood " * 40), "A4"),
    ],
)
def test_nothing_is_drawn_where_a_printer_cannot_reach(work, paper):
    pdf = pattern_pdf(work, paper, issued=ISSUED)
    for number in range(min(len(pypdfium2.PdfDocument(pdf)), 12)):
        ink = by_pdfium(pdf, number, dpi=100)
        edge = math.floor(MARGIN_MM * 100 / 25.4)
        inner = ink[edge:-edge, edge:-edge]
        assert inner.max() > 0.5
        assert ink.sum() == pytest.approx(inner.sum())


def test_every_page_says_what_it_is():
    document = pypdfium2.PdfDocument(pattern_pdf(board(), issued=ISSUED))
    for number, page in enumerate(document, 1):
        text = page.get_textpage().get_text_range()
        for said in (
            "Marrow Lane gate board",
            f"sheet {number} of {len(document)}",
            "Scale 1:1",
            "millimetres",
            "issued 25 November 2026",
            "Measure both bars before tracing: they must be 100 mm.",
        ):
            assert said in text
        # The upright bar's words may come back in pieces, as readers cut upright words where they are kerned.
        assert "".join(text.split()).count("100mm") >= 3
        if number > 1:
            assert f"row 1, column {number - 1}" in text


def test_the_cover_says_what_is_carved_and_what_was_found():
    text = " ".join(
        pypdfium2.PdfDocument(pattern_pdf(board(), issued=ISSUED))[0].get_textpage().get_text_range().split()
    )
    for said in ("900 × 260 × 28 mm", "lime", "along the width", "IOIO OIOI", "60 mm", "60°", "8.3 mm", "4 March 2027"):
        assert said in text
    assert "1 Stop The groove is 15.2 mm deep" in text
    assert "(line 1, letter 2)" in text


def test_letters_are_numbered_and_lines_named():
    document = pypdfium2.PdfDocument(pattern_pdf(small_board(), issued=ISSUED))
    said = document[0].get_textpage().get_text_range().split()
    assert {"1", "2", "grain"} <= set(said)
    assert "line 1" in " ".join(said)


def test_outlines_are_drawn_as_true_curves():
    page = pypdfium2.PdfDocument(pattern_pdf(small_board(), issued=ISSUED))[0]
    curves = []
    for thing in page.get_objects(filter=[pdfium.FPDF_PAGEOBJ_PATH]):
        kinds = [
            pdfium.FPDFPathSegment_GetType(pdfium.FPDFPath_GetPathSegment(thing.raw, i))
            for i in range(pdfium.FPDFPath_CountSegments(thing.raw))
        ]
        curves.append(kinds.count(pdfium.FPDF_SEGMENT_BEZIERTO) // 3)
    assert 4 + 8 in curves  # the ring: four cubics round it, eight quadratics within


def test_neighbouring_pages_show_the_same_in_their_overlap():
    pdf = pattern_pdf(board(), issued=ISSUED)
    left, right = by_pdfium(pdf, 3), by_pdfium(pdf, 4)
    # The overlap of the two windows, where the same register marks stand: found by laying one page over the other.
    strip = right[:, round(14 * PER_MM) : round(34 * PER_MM)]
    best = min(range(left.shape[1] - strip.shape[1]), key=lambda x: _unlike(left, strip, x))
    shown = left[:, best : best + strip.shape[1]]
    window = slice(round(14 * PER_MM), -round(19 * PER_MM))
    assert np.abs(_soft(shown[window]) - _soft(strip[window])).max() < 0.25
    assert strip[window].sum() > 1000


def test_the_same_work_and_date_give_the_same_bytes():
    assert pattern_pdf(board(), issued=ISSUED) == pattern_pdf(board(), issued=ISSUED)
    assert pattern_pdf(board(), issued=ISSUED) != pattern_pdf(board(), issued=datetime.date(2026, 11, 26))


def test_a_board_that_fits_takes_one_page_with_its_notes():
    document = pypdfium2.PdfDocument(pattern_pdf(small_board(), issued=ISSUED))
    assert len(document) == 1
    assert "Before tracing" in document[0].get_textpage().get_text_range()


@pytest.mark.parametrize(("units", "size"), [("mm", (210, 297)), ("in", (215.9, 279.4))])
def test_a_home_printer_gets_its_own_paper(units, size):
    page = pypdfium2.PdfDocument(pattern_pdf(board(units=units), issued=ISSUED))[0]
    assert sorted(v * 25.4 / 72 for v in page.get_size()) == pytest.approx(size, abs=0.01)


@pytest.mark.parametrize(
    ("width", "height", "size"),
    [(120, 80, (210, 297)), (350, 150, (297, 420)), (560, 200, (420, 594)), (900, 260, (841, 1189))],
)
def test_one_sheet_is_the_smallest_that_holds_the_board(width, height, size):
    pdf = pattern_pdf(board(width_mm=width, height_mm=height, lines=(), findings=()), "one sheet", issued=ISSUED)
    (page,) = pypdfium2.PdfDocument(pdf)
    assert sorted(v * 25.4 / 72 for v in page.get_size()) == pytest.approx(size, abs=0.01)


def test_a_board_beyond_the_largest_sheet_takes_a_piece_of_a_roll():
    work = board(width_mm=3000.0)
    (page,) = pypdfium2.PdfDocument(pattern_pdf(work, "one sheet", issued=ISSUED))
    assert 3000 < page.get_size()[0] * 25.4 / 72 < 3060


def test_a_board_longer_than_a_pdf_page_is_answered_with_what_to_do():
    with pytest.raises(PaperTooSmall, match="join"):
        pattern_pdf(board(width_mm=9000.0), "one sheet", issued=ISSUED)


def test_paper_too_small_for_a_bar_is_answered_with_what_would_do():
    with pytest.raises(PaperTooSmall, match="A5"):
        pattern_pdf(board(), "A6", issued=ISSUED)


def test_a_pattern_that_nobody_would_join_is_answered_with_the_paper_that_would_do():
    with pytest.raises(
        PaperTooSmall, match=r"take \d{4} sheets of A4, and 500 are the most: print on A\d \(\d+ sheets\)"
    ):
        pattern_pdf(board(width_mm=19_000.0, height_mm=17_000.0), "A4", issued=ISSUED)


def test_the_largest_board_of_all_can_be_joined_of_the_largest_sheets():
    large = paper_named("A0"), paper_named("ANSI E")
    assert all(
        len(tile_board(LONGEST_BOARD_MM, LONGEST_BOARD_MM, sheet, kept_free(sheet)).tiles) <= MOST_SHEETS
        for sheet in large
    )


def test_paper_that_nobody_makes_is_refused():
    with pytest.raises(UnknownPaper):
        pattern_pdf(board(), "A4½", issued=ISSUED)


def test_many_findings_flow_over_as_many_covers_as_they_need():
    many = [Finding("thin", Severity.LOOK, f"Stroke {n} is thin.", "A heavier weight would do.") for n in range(90)]
    document = pypdfium2.PdfDocument(pattern_pdf(board(findings=many), issued=ISSUED))
    texts = [page.get_textpage().get_text_range() for page in document]
    assert sum(text.count("A heavier weight would do.") for text in texts) == 90
    assert f"sheet 1 of {len(document)}" in texts[0]
    covers = sum(", column" not in text for text in texts)
    assert covers >= 2
    assert len(document) == covers + 6


@pytest.mark.parametrize("title", ["Огород Мароу", "קבוצת גינה", "日本の畑", "‮board‬", "🥕", "a\u0301\u0301", "x" * 500])
def test_a_title_in_any_script_is_printed(title):
    assert len(pypdfium2.PdfDocument(pattern_pdf(board(title=title), issued=ISSUED))) == 7


@settings(max_examples=15)
@given(
    st.floats(15, 3000),
    st.floats(15, 1500),
    st.floats(0, 200),
    st.sampled_from(["A5", "A4", "Letter", "ARCH D", "one sheet", None]),
    st.sampled_from(["width", "height"]),
)
@example(1167.0, 97.77242550920752, 0.0, "one sheet", "width")
def test_a_board_of_any_size_has_a_pattern(width, height, margin, paper, grain):
    work = board(width_mm=width, height_mm=height, margin_mm=margin, grain=grain)
    assert pattern_pdf(work, paper, issued=ISSUED).startswith(b"%PDF-")


def test_words_that_the_sheets_type_cannot_print_are_drawn_in_their_own_outlines():
    line = replace(words("IOI", 1, 40.0, 20.0, 120.0), words="日本語")
    page = pypdfium2.PdfDocument(pattern_pdf(small_board(lines=(line,)), issued=ISSUED))[0]
    filled = []
    for thing in page.get_objects(filter=[pdfium.FPDF_PAGEOBJ_PATH]):
        mode, stroked = ctypes.c_int(), ctypes.c_int()
        pdfium.FPDFPath_GetDrawMode(thing.raw, mode, stroked)
        if mode.value != pdfium.FPDF_FILLMODE_NONE and not stroked.value:
            filled.append(thing)
    assert len(filled) == 3


def test_a_board_without_words_is_still_a_board():
    assert len(pypdfium2.PdfDocument(pattern_pdf(small_board(lines=()), issued=ISSUED))) == 1


def _unlike(page, strip, x):
    return float(np.abs(page[::4, x : x + strip.shape[1]] - strip[::4]).sum())


def _soft(ink):
    """Blurred over 7 pixels, so that a part of a pixel's shift does not tell."""
    kernel = np.ones(7) / 7
    rows = np.apply_along_axis(np.convolve, 0, ink, kernel, "same")
    return np.apply_along_axis(np.convolve, 1, rows, kernel, "same")
