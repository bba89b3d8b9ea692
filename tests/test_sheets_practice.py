"""The practice sheet and the alphabet by difficulty, read back by somebody else's PDF reader."""

from __future__ import annotations

import ctypes
import io
import re
from functools import lru_cache

import numpy as np
import pypdfium2
import pypdfium2.raw as pdfium
import pytest
from sheet_boards import ISSUED

from stopcut.bench.planned import Plan
from stopcut.job.new import demo_job_text
from stopcut.job.read import parse_job
from stopcut.options.practice import PracticeStroke, counting, letters_of, practice_text, strokes_of
from stopcut.sheets.alphabet import alphabet_pdf
from stopcut.sheets.card_picture import bounds_of
from stopcut.sheets.page import PaperTooSmall
from stopcut.sheets.practice import practice_pdf
from stopcut.work import Work

POINT_MM = 25.4 / 72


@lru_cache
def made(letters: str = "ES", cap: float = 60) -> tuple[Work, Plan, tuple[PracticeStroke, ...]]:
    whole = Work(parse_job(demo_job_text().replace("cap_height = 60 ", f"cap_height = {cap:g} ")))
    work = Work(parse_job(practice_text(whole, letters)))
    plan = work.plan("reading")
    return work, plan, strokes_of(work, plan)


@lru_cache
def drawn() -> bytes:
    work, _, strokes = made()
    return practice_pdf(work, strokes, issued=ISSUED)


def texts(pdf: bytes) -> list[str]:
    return [" ".join(page.get_textpage().get_text_range().split()) for page in pypdfium2.PdfDocument(io.BytesIO(pdf))]


def polylines(pdf: bytes, number: int, weight_mm: float) -> list[np.ndarray]:
    """A page's open paths of a pen, as points in mm from the lower left corner."""
    page = pypdfium2.PdfDocument(io.BytesIO(pdf))[number]
    found = []
    for thing in page.get_objects(filter=[pdfium.FPDF_PAGEOBJ_PATH]):
        width = ctypes.c_float()
        pdfium.FPDFPageObj_GetStrokeWidth(thing.raw, width)
        matrix = thing.get_matrix()
        # A pen's width is given before the page's scale of mm to points.
        if abs(width.value - weight_mm) > 1e-3 or pdfium.FPDFPageObj_GetDashCount(thing.raw):
            continue
        points = []
        for n in range(pdfium.FPDFPath_CountSegments(thing.raw)):
            x, y = ctypes.c_float(), ctypes.c_float()
            pdfium.FPDFPathSegment_GetPoint(pdfium.FPDFPath_GetPathSegment(thing.raw, n), x, y)
            points.append(matrix.on_point(x.value, y.value))
        found.append(np.array(points) * POINT_MM)
    return found


def test_every_stroke_has_its_page_in_order_with_its_points_and_reasons() -> None:
    _, _, strokes = made()
    headed = [text for text in texts(drawn()) if re.search(r"\d+ of \d+: ", text)]
    assert len(headed) >= len(strokes)
    for n, stroke in enumerate(strokes, 1):
        (text,) = [text for text in headed if f"{n} of {len(strokes)}: {stroke.kind} of {stroke.char}" in text][:1]
        assert f"{stroke.points:.1f} points: {', '.join(stroke.reasons)}" in text


def test_every_cut_has_its_row_with_tool_and_depth() -> None:
    _, _, strokes = made()
    pages = texts(drawn())
    for n, stroke in enumerate(strokes, 1):
        text = " ".join(page for page in pages if f" {n} of {len(strokes)}: " in page)
        rows = re.findall(r"(\d+) [a-z ]+ (\d+\.\d) \d+ ×", text)
        assert [int(number) for number, _ in rows] == list(range(1, len(stroke.cuts) + 1))
        assert [depth for _, depth in rows] == [f"{cut.depth_mm:.1f}" for cut in stroke.cuts]
        for cut in stroke.cuts:
            assert (cut.tool.name if cut.tool is not None else "nothing in the roll fits") in text


def test_a_stroke_stands_at_full_size() -> None:
    _, _, strokes = made()
    pages = texts(drawn())
    for number, stroke in enumerate(strokes, 1):
        page = next(n for n, text in enumerate(pages) if f" {number} of {len(strokes)}: " in text)
        sizes = [np.ptp(line, axis=0) for line in polylines(drawn(), page, 0.15)]
        assert stroke.edge
        for edge in stroke.edge:
            size = np.ptp(edge, axis=0)
            assert any(np.allclose(size, one, atol=0.05) for one in sizes), (stroke.kind, size)


def test_a_picture_that_is_larger_than_the_stroke_says_how_much() -> None:
    pictured = [text for text in texts(drawn()) if re.search(r"\bStab\b", text)]
    assert pictured
    for text in pictured:
        shown = re.findall(r"drawn (\d+\.\d) times its size", text)
        assert len(shown) == len(re.findall(r"\b(?:Stab|Pare)\b", text)) == 2
        assert all(1.0 < float(times) <= 6.0 for times in shown)


def test_pictures_that_would_be_small_have_a_page_of_their_own() -> None:
    work, _, strokes = made("O", 70)
    pages = texts(practice_pdf(work, strokes, issued=ISSUED))
    assert len(pages) == 2
    assert "grain" in pages[0]
    assert "Stab" not in pages[0]
    assert "Stab" in pages[1]
    assert "Pare" in pages[1]


def test_both_ways_of_grain_are_shown() -> None:
    whole = Work(parse_job(demo_job_text().replace('grain = "width" ', 'grain = "height"')))
    work = Work(parse_job(practice_text(whole, "I")))
    strokes = strokes_of(work, work.plan("reading"))
    upright = practice_pdf(work, strokes, issued=ISSUED)
    assert all("grain" in text for text in texts(upright))
    arrows = [line for line in polylines(upright, 0, 0.25) if np.ptp(line[:, 0]) < 0.01 and len(line) == 2]
    assert any(np.ptp(line[:, 1]) == pytest.approx(8, abs=0.05) for line in arrows)


def test_a_stroke_too_long_for_the_paper_is_answered_with_what_would_do() -> None:
    work, _, strokes = made("I", 300)
    with pytest.raises(PaperTooSmall, match=r"stem of I, \d+ mm long.*A3"):
        practice_pdf(work, strokes, issued=ISSUED)
    larger = texts(practice_pdf(work, strokes, "A3", issued=ISSUED))
    assert any("stem of I" in text for text in larger)


def test_a_stroke_s_box_holds_its_edges_and_joins() -> None:
    _, _, strokes = made()
    for stroke in strokes:
        box = bounds_of(stroke)
        for line in (*stroke.edge, *stroke.joins):
            assert line[:, 0].min() >= box.left
            assert line[:, 1].max() <= box.top


def test_the_same_strokes_and_day_give_the_same_bytes() -> None:
    work, _, strokes = made()
    assert practice_pdf(work, strokes, issued=ISSUED) == drawn()


def test_the_alphabet_says_each_letter_s_strokes_points_and_what_the_points_are_for() -> None:
    work, plan, _ = made("SIEO")
    letters = letters_of(work, plan)
    text = " ".join(texts(alphabet_pdf(work, letters, counting(), issued=ISSUED)))
    assert "Cinzel from easy to hard" in text
    for letter in letters:
        assert letter.because in text
        assert f"{letter.points:.1f}" in text
    assert "our choice" in text
    assert "0.5 for each tool after the first" in text
    places = [text.index(letter.because) for letter in letters]
    assert places == sorted(places)
