"""The sheet of arcs, measured back from the printed page by other people's readers."""

from __future__ import annotations

import ctypes
import io
import math
import shutil
import subprocess
from functools import lru_cache

import numpy as np
import pypdfium2
import pypdfium2.raw as pdfium
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image
from sheet_boards import ISSUED

from stopcut.sheets.arcs import RADII, WIDTHS, arcs_pdf
from stopcut.sheets.page import PaperTooSmall
from stopcut.shop.tools import measured_radius_mm
from stopcut.units import Units

PER_MM = 200 / 25.4
POINT_MM = 25.4 / 72

STAB_MARKS = [(10.0, 5.0, 5.0), (10.0, 2.0, 7.25), (10.0, 1.0, 13.0), (20.0, 3.0, 18.1667), (12.0, 0.5, 36.25)]
"""Width, rise and radius of marks, by circle geometry (r = w²/(8h) + h/2), each worked out by hand. [mm]"""


@lru_cache
def sheet(units: Units = "mm") -> bytes:
    return arcs_pdf(units, issued=ISSUED)


def curves(pdf: bytes, number: int = 0) -> list[np.ndarray]:
    """Every curved path of a page as points on it, in mm from the page's lower left corner."""
    page = pypdfium2.PdfDocument(io.BytesIO(pdf))[number]
    found = []
    for thing in page.get_objects(filter=[pdfium.FPDF_PAGEOBJ_PATH]):
        points, kinds = _segments(thing)
        if pdfium.FPDF_SEGMENT_BEZIERTO in kinds:
            found.append(_on_curve(points, kinds) * POINT_MM)
    return found


def _segments(thing):
    matrix = thing.get_matrix()
    points, kinds = [], []
    for n in range(pdfium.FPDFPath_CountSegments(thing.raw)):
        segment = pdfium.FPDFPath_GetPathSegment(thing.raw, n)
        x, y = ctypes.c_float(), ctypes.c_float()
        pdfium.FPDFPathSegment_GetPoint(segment, x, y)
        points.append(matrix.on_point(x.value, y.value))
        kinds.append(pdfium.FPDFPathSegment_GetType(segment))
    return np.array(points), kinds


def _on_curve(points, kinds):
    out, at = [points[0]], 1
    while at < len(points):
        assert kinds[at] == pdfium.FPDF_SEGMENT_BEZIERTO
        a, b, c, d = points[at - 1], *points[at : at + 3]
        for t in np.linspace(0.1, 1, 10):
            out.append((1 - t) ** 3 * a + 3 * t * (1 - t) ** 2 * b + 3 * t**2 * (1 - t) * c + t**3 * d)
        at += 3
    return np.array(out)


def circle(points):
    """The circle nearest to points (x, y, r), by least squares, and how far the worst lies off it."""
    middle = points.mean(axis=0)
    x, y = (points - middle).T
    (a, b, c), *_ = np.linalg.lstsq(np.column_stack([2 * x, 2 * y, np.ones(len(x))]), x**2 + y**2, rcond=None)
    r = math.sqrt(c + a * a + b * b)
    return r, float(np.abs(np.hypot(x - a, y - b) - r).max())


@pytest.mark.parametrize("units", ["mm", "in"])
def test_every_radius_is_drawn_once_at_its_true_size(units: Units) -> None:
    found = sorted(circle(points) for points in curves(sheet(units)))
    assert [r for r, _ in found] == pytest.approx(RADII[units], rel=2e-3)
    assert max(off for _, off in found) < 0.005


@pytest.mark.parametrize("units", ["mm", "in"])
def test_an_arc_is_as_wide_as_the_widest_usual_edge_of_its_circle(units: Units) -> None:
    for points in curves(sheet(units)):
        r, _ = circle(points)
        chord = math.dist(points[0], points[-1])
        assert chord == pytest.approx(max(w for w in WIDTHS[units] if w <= 2 * r * 1.001), abs=0.01)


def by_poppler(pdf: bytes, number: int) -> np.ndarray:
    tool = shutil.which("pdftoppm")
    if tool is None:
        pytest.skip("poppler's pdftoppm is not installed")
    command = [tool, "-r", "200", "-gray", "-f", str(number + 1), "-l", str(number + 1), "-png", "-"]
    shown = subprocess.run(command, input=pdf, capture_output=True, check=True).stdout
    return 1 - np.asarray(Image.open(io.BytesIO(shown)).convert("L")) / 255


def by_pdfium(pdf: bytes, number: int) -> np.ndarray:
    page = pypdfium2.PdfDocument(io.BytesIO(pdf))[number]
    return 1 - page.render(scale=200 / 72, grayscale=True).to_numpy() / 255


@pytest.mark.parametrize("read", [by_pdfium, by_poppler])
@pytest.mark.parametrize("units", ["mm", "in"])
def test_both_bars_measure_100_mm_or_4_inches(read, units: Units) -> None:
    for number in (0, 1):
        ink = read(sheet(units), number)
        foot = ink[round(-18 * PER_MM) : round(-11 * PER_MM), : round(130 * PER_MM)]
        side = ink[round(-130 * PER_MM) : round(-17.5 * PER_MM), round(6 * PER_MM) : round(12 * PER_MM)].T
        length = {"mm": 100.0, "in": 4 * 25.4}[units]
        for strip in (foot, side):
            dark = np.flatnonzero((strip > 0.3).sum(axis=0) > 3.3 * PER_MM)
            assert (dark[-1] - dark[0]) / PER_MM == pytest.approx(length, abs=0.3)


def test_the_table_says_what_the_geometry_says() -> None:
    text = pypdfium2.PdfDocument(io.BytesIO(sheet()))[1].get_textpage().get_text_range()
    rows = {line.split()[0]: line.split()[1:] for line in text.splitlines() if line[:1].isdigit()}
    columns = next(line.split()[3:] for line in text.splitlines() if line.startswith("w \\ h"))
    for w, h, r in STAB_MARKS:
        assert measured_radius_mm(w, h) == pytest.approx(r, abs=1e-4)
        said = float(rows[f"{w:g}"][columns.index(f"{h:g}")])
        assert said == pytest.approx(r, abs=0.5 if r >= 20 else 0.051)
    assert "r = w²/(8h) + h/2 = 18.2 mm" in text


def test_no_rise_beyond_half_a_circle_has_a_radius() -> None:
    text = pypdfium2.PdfDocument(io.BytesIO(sheet()))[1].get_textpage().get_text_range()
    (row,) = [line.split() for line in text.splitlines() if line.startswith("3 ")]
    assert len(row) == 1 + 5  # an edge of 3 mm rises no more than 1.5 mm
    assert row[-1] == "1.5"


@settings(max_examples=6)
@given(st.sampled_from(["A4", "A3", "Letter", "Tabloid", "A5"]), st.sampled_from(["mm", "in"]))
def test_on_any_paper_that_holds_them_all_arcs_are_there(paper: str, units: Units) -> None:
    pdf = arcs_pdf(units, paper, issued=ISSUED)
    pages = len(pypdfium2.PdfDocument(io.BytesIO(pdf)))
    assert sum(len(curves(pdf, number)) for number in range(pages)) == len(RADII[units]) + 1  # the figure's


def test_paper_too_small_is_answered_with_what_would_do() -> None:
    with pytest.raises(PaperTooSmall, match="A5"):
        arcs_pdf(paper="A6")


def test_the_same_day_gives_the_same_bytes() -> None:
    assert arcs_pdf("mm", issued=ISSUED) == sheet()
