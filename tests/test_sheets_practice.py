"""The practice sheets and the alphabet by difficulty, read back by somebody else's PDF reader."""

from __future__ import annotations

import ctypes
import io
from functools import lru_cache

import numpy as np
import pypdfium2
import pypdfium2.raw as pdfium
import pytest
from sheet_boards import ISSUED

from stopcut.bench.planned import Plan
from stopcut.job.new import demo_job_text
from stopcut.job.read import parse_job
from stopcut.options.difficulty import counting, letters_of, strokes_of
from stopcut.options.exercises import exercise_text, exercises_of, stroke_exercises
from stopcut.options.practice_job import practice_text
from stopcut.sheets.alphabet import alphabet_pdf
from stopcut.sheets.page import PaperTooSmall
from stopcut.sheets.practice import bounds_of, practice_pdf
from stopcut.teaching.practised import Exercise
from stopcut.work import Work

POINT_MM = 25.4 / 72
EDGE_MM = 0.15


@lru_cache
def made(cap: float = 60, grain: str = "width") -> tuple[Work, Plan, tuple[Exercise, ...]]:
    text = demo_job_text().replace("cap_height = 60 ", f"cap_height = {cap:g} ")
    whole = Work(parse_job(text.replace('grain = "width" ', f'grain = "{grain}"')))
    work = Work(parse_job(exercise_text(whole)))
    plan = work.plan("reading")
    return work, plan, exercises_of(work, plan)


@lru_cache
def drawn(cap: float = 60, grain: str = "width") -> bytes:
    work, plan, exercises = made(cap, grain)
    return practice_pdf(work, plan, exercises, issued=ISSUED)


@lru_cache
def of_letters(letters: str, cap: float = 60) -> tuple[Work, Plan]:
    whole = Work(parse_job(demo_job_text().replace("cap_height = 60 ", f"cap_height = {cap:g} ")))
    work = Work(parse_job(practice_text(whole, letters)))
    return work, work.plan("reading")


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


def test_a_job_s_exercises_are_two_to_four_pages_the_cautions_on_the_first() -> None:
    for cap in (35.0, 60.0):
        found = texts(drawn(cap))
        assert 2 <= len(found) <= 4
        for caution in ("clamps", "both hands behind", "dust mask", "come before these"):
            assert caution in found[0]
        assert all("sheet" in text for text in found)


def test_every_exercise_stands_there_in_order_with_its_steps() -> None:
    exercises = made()[2]
    whole = " ".join(texts(drawn()))
    at = [whole.index(exercise.title) for exercise in exercises]
    assert at == sorted(at)
    assert "Stop the stem: chisel 20, in 2 passes:" in whole


def test_each_stroke_stands_at_full_size_as_often_as_its_row_says() -> None:
    _, _, exercises = made()
    sizes = [np.ptp(line, axis=0) for n in range(len(texts(drawn()))) for line in polylines(drawn(), n, EDGE_MM)]
    for exercise in exercises:
        for stroke in exercise.strokes:
            for edge in stroke.edge:
                there = sum(np.allclose(np.ptp(edge, axis=0), one, atol=0.05) for one in sizes)
                assert there >= exercise.copies, (exercise.title, np.ptp(edge, axis=0))


def test_no_stroke_runs_off_the_page() -> None:
    for number in range(len(texts(drawn())) - 1):
        for line in polylines(drawn(), number, EDGE_MM):
            assert line[:, 0].min() > 7
            assert line[:, 0].max() < 203.001


def test_a_letter_s_card_comes_last() -> None:
    found = texts(drawn())
    assert "A letter: R" in " ".join(found[:-1])
    assert "R: letter" in found[-1]
    assert "deep" in found[-1]


def test_both_ways_of_grain_are_shown() -> None:
    for grain, across in (("width", True), ("height", False)):
        arrows = [line for line in polylines(drawn(60, grain), 0, 0.35) if len(line) == 2]
        flat = [line for line in arrows if np.ptp(line, axis=0).max() == pytest.approx(18, abs=0.05)]
        assert flat
        assert all((np.ptp(line[:, 1]) < 0.01) == across for line in flat)


def test_every_stroke_of_chosen_letters_has_its_points_and_reasons() -> None:
    work, plan = of_letters("ES")
    strokes = strokes_of(work, plan)
    whole = " ".join(texts(practice_pdf(work, plan, stroke_exercises(strokes), issued=ISSUED)))
    for stroke in strokes:
        assert f"{stroke.kind.capitalize()} of {stroke.char}" in whole
        assert f"{stroke.points:.1f} points" in whole


def test_a_stroke_too_long_for_the_paper_is_answered_with_what_would_do() -> None:
    work, plan = of_letters("I", 300)
    exercises = stroke_exercises(strokes_of(work, plan))
    with pytest.raises(PaperTooSmall, match=r"Stem of I, \d+ mm long.*A3"):
        practice_pdf(work, plan, exercises, issued=ISSUED)
    larger = texts(practice_pdf(work, plan, exercises, "A2", issued=ISSUED))
    assert any("Stem of I" in text for text in larger)


def test_a_stroke_s_box_holds_its_edges_and_joins() -> None:
    for exercise in made()[2]:
        for stroke in exercise.strokes:
            box = bounds_of(stroke)
            for line in (*stroke.edge, *stroke.joins):
                assert line[:, 0].min() >= box.left
                assert line[:, 1].max() <= box.top


def test_the_same_exercises_and_day_give_the_same_bytes() -> None:
    work, plan, exercises = made()
    assert practice_pdf(work, plan, exercises, issued=ISSUED) == drawn()


def test_the_alphabet_says_each_letter_s_strokes_points_and_what_the_points_are_for() -> None:
    work, plan = of_letters("SIEO")
    letters = letters_of(work, plan)
    found = texts(alphabet_pdf(work, letters, counting(), issued=ISSUED))
    text = " ".join(found)
    assert "Cinzel from easy to hard" in text
    assert "both hands behind" in found[0]
    for letter in letters:
        assert letter.because in text
        assert f"{letter.points:.1f}" in text
    assert "our choice" in text
    assert "0.5 for each tool after the first" in text
    places = [text.index(letter.because) for letter in letters]
    assert places == sorted(places)
