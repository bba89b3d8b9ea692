"""Previews: the pages of the demo's sheets as pictures, of the size asked for, their ink where the page has it."""

from __future__ import annotations

import io
import subprocess
import sys
import threading
from functools import lru_cache

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from sheet_boards import ISSUED

from stopcut.job.new import demo_job_text
from stopcut.job.read import parse_job
from stopcut.sheets import previews
from stopcut.sheets.pattern import ONE_SHEET, pattern_pdf
from stopcut.sheets.previews import MOST_PIXELS, WIDEST_PX, NoSuchPage, page_count, page_png, page_pngs
from stopcut.work import Work


@lru_cache(maxsize=4)
def demo(paper: str = "A4") -> bytes:
    return pattern_pdf(Work(parse_job(demo_job_text())), paper, issued=ISSUED)


def paper(*pages: tuple[float, float]) -> bytes:
    """A PDF of pages of these sizes, blank but for a black block of 20 by 10 mm, 30 mm from the left and top. [mm]"""
    held = io.BytesIO()
    canvas = Canvas(held)
    for width, height in pages:
        canvas.setPageSize((width * mm, height * mm))
        canvas.rect(30 * mm, (height - 40) * mm, 20 * mm, 10 * mm, stroke=0, fill=1)
        canvas.showPage()
    canvas.save()
    return held.getvalue()


def seen(png: bytes) -> NDArray[np.float64]:
    """Darkness from 0 (paper) to 1 (ink), top row first."""
    return 1 - np.asarray(Image.open(io.BytesIO(png)).convert("L"), dtype=float) / 255


def test_every_page_of_the_demo_is_shown_as_wide_as_asked_in_the_papers_own_shape() -> None:
    pictures = page_pngs(demo(), 420)
    assert len(pictures) == page_count(demo()) > 2
    # A4 is 210 by 297 mm (ISO 216): at 420 pixels two a millimetre.
    assert {Image.open(io.BytesIO(png)).size for png in pictures} == {(420, 594)}
    assert page_pngs(demo(), 420)[1] == page_png(demo(), 2, 420)


@pytest.mark.parametrize("width", [1, 333, 1000, 1234, WIDEST_PX])
def test_a_preview_is_never_a_pixel_wider_than_asked(width: int) -> None:
    assert Image.open(io.BytesIO(page_png(paper((215.9, 100)), 1, width))).width == width


def test_ink_is_shown_where_the_page_has_it_and_paper_elsewhere() -> None:
    ink = seen(page_png(paper((100, 150)), 1, 1000))
    assert ink.shape == (1500, 1000)
    assert ink[301:399, 301:499].min() == 1
    rest = ink.copy()
    rest[299:401, 299:501] = 0
    assert rest.max() == 0


def test_the_demos_100_mm_bar_is_100_mm_of_the_preview() -> None:
    ink = seen(page_png(demo(), 2, 2100))  # ten pixels a millimetre
    low = ink[-160:, :1200] > 0.15
    ticks = np.flatnonzero(np.array([_longest(column) for column in low.T]) >= 36)
    assert ticks.max() - ticks.min() == pytest.approx(1000, abs=4)


def _longest(run: NDArray[np.bool_]) -> int:
    edges = np.flatnonzero(np.diff(np.concatenate([[0], run.astype(int), [0]])))
    return int(max(edges[1::2] - edges[::2], default=0))


def test_a_whole_board_on_one_sheet_stays_a_picture_that_a_screen_can_hold() -> None:
    width, height = Image.open(io.BytesIO(page_png(demo(ONE_SHEET), 1, WIDEST_PX))).size
    assert width <= WIDEST_PX
    assert width * height <= MOST_PIXELS * 1.01
    narrow, tall = Image.open(io.BytesIO(page_png(paper((100, 5000)), 1, WIDEST_PX))).size
    assert narrow < WIDEST_PX
    assert MOST_PIXELS * 0.99 < narrow * tall < MOST_PIXELS * 1.01


def test_pages_of_unlike_sizes_are_each_drawn_in_their_own_shape() -> None:
    sizes = [Image.open(io.BytesIO(png)).size for png in page_pngs(paper((100, 200), (200, 100)), 300)]
    assert sizes == [(300, 600), (300, 150)]


@pytest.mark.parametrize("number", [-1, 0, 2, 10**9])
def test_a_page_that_is_not_there_is_said_not_to_be(number: int) -> None:
    with pytest.raises(NoSuchPage, match="the sheets have 1"):
        page_png(paper((100, 100)), number, 100)


@pytest.mark.parametrize("width", [0, -5, WIDEST_PX + 1])
def test_no_preview_is_wider_than_any_screen(width: int) -> None:
    with pytest.raises(ValueError, match="pixels wide"):
        page_png(paper((100, 100)), 1, width)


@pytest.mark.parametrize("junk", [b"", b"no pages", paper((100, 100))[:40]])
def test_what_is_no_pdf_has_no_pages_to_show(junk: bytes) -> None:
    with pytest.raises(NoSuchPage, match="no PDF"):
        page_count(junk)
    with pytest.raises(NoSuchPage, match="no PDF"):
        page_png(junk, 1, 100)


def test_pages_asked_for_at_once_come_out_as_if_asked_for_in_turn() -> None:
    pdf = paper((100, 100), (100, 120), (100, 140), (100, 160))
    alone = page_pngs(pdf, 400)
    got: dict[int, bytes] = {}
    threads = [
        threading.Thread(target=lambda number=number: got.update({number: page_png(pdf, number % 4 + 1, 400)}))
        for number in range(16)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert [got[number] for number in range(16)] == [alone[number % 4] for number in range(16)]


def test_who_looks_at_no_sheet_does_not_wait_for_pdfium() -> None:
    asked = f"import sys, {previews.__name__}; print('pypdfium2' in sys.modules)"
    answer = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True)
    assert answer.stdout.strip() == "False"
