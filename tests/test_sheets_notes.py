import io
from dataclasses import replace

import pypdfium2
import pytest
from reportlab.pdfgen.canvas import Canvas
from sheet_boards import board, small_board

from stopcut.errors import Finding, Severity, Where
from stopcut.groove.causes import by_cause
from stopcut.groove.surface import Pit
from stopcut.job.job import Avoid
from stopcut.shape.outline import Bounds
from stopcut.sheets.ink import begin_page
from stopcut.sheets.notes import (
    board_notes,
    finding_notes,
    height_of,
    joining_notes,
    legend,
    line_notes,
)
from stopcut.sheets.page import kept_free
from stopcut.sheets.paper import paper_named
from stopcut.sheets.tiling import tile_board

HAIR = 0.3  # mm


def read_back(rows, width=190.0):
    """The words of rows as printed, and the boxes that they take in mm from the top left."""
    height = height_of(rows) + 20
    held = io.BytesIO()
    canvas = Canvas(held, invariant=1)
    begin_page(canvas, width + 20, height)
    top = height - 10
    for row in rows:
        row.draw(canvas, 10, top)
        top -= row.height_mm
    canvas.showPage()
    canvas.save()
    page = pypdfium2.PdfDocument(held.getvalue())[0].get_textpage()
    boxes = [[v * 25.4 / 72 for v in page.get_rect(i)] for i in range(page.count_rects())]
    return " ".join(page.get_text_range().split()), boxes


def tiled(width, height):
    a4 = paper_named("A4")
    return tile_board(width, height, a4, kept_free(a4))


@pytest.mark.parametrize("room", [110.0, 180.0])
def test_nothing_of_the_notes_sticks_out_or_lies_over_another(room):
    work = board(avoid=[Avoid("knot", 100, 100, radius_mm=10)], wood="European lime, quarter-sawn " * 4)
    rows = [
        *board_notes(work, room),
        *joining_notes(work, tiled(900, 600), room),
        *line_notes(work, room),
        *finding_notes(work.causes, room),
        *legend(work, room),
    ]
    _, boxes = read_back(rows, room)
    for i, (left, bottom, right, top) in enumerate(boxes):
        assert left >= 9.5
        assert right <= 10 + room + 0.5
        # Kerned letters may reach over one another by a hair.
        own = Bounds(left, bottom, right, top).grown(-HAIR)
        assert not any(own.meets(Bounds(*other)) for other in boxes[:i])


def test_lengths_are_in_the_units_of_the_job():
    said, _ = read_back(
        board_notes(board(units="in", width_mm=22 * 25.4, height_mm=12 * 25.4, thickness_mm=22.225), 120)
    )
    assert "22 × 12 × 7/8 in" in said


def test_a_flat_bottom_is_said_where_the_groove_reaches_it():
    work = small_board()
    flat = tuple(replace(g, flat_bottom_mm=4.0, max_depth_mm=min(4.0, g.max_depth_mm)) for g in work.grooves)
    work.__dict__["grooves"] = flat
    assert "4 mm, flat" in read_back(line_notes(work, 180))[0]
    assert "flat" not in read_back(line_notes(small_board(), 180))[0]


@pytest.mark.parametrize(
    ("size", "joins"),
    [
        ((900, 200), "its right-hand join,"),
        ((150, 900), "its lower join,"),
        ((900, 900), "right-hand and lower joins,"),
    ],
)
def test_only_joins_that_there_are_are_to_be_cut(size, joins):
    assert joins in read_back(joining_notes(board(), tiled(*size), 120))[0]


def test_one_sheet_has_no_joins_to_cut():
    said, _ = read_back(joining_notes(board(), None, 120))
    assert "join" not in said
    assert "Measure both bars" in said


def test_a_finding_says_how_much_it_matters_and_where():
    found = Finding("thin", Severity.LOOK, "The stroke is thin.", "A heavier weight.", Where(2, 3))
    said, _ = read_back(
        finding_notes(by_cause([found, replace(found, says="So is this.", where=Where(line=1))], 2), 150)
    )
    assert "1 Look The stroke is thin. A heavier weight. (line 2, letter 3)" in said
    assert "(line 1)" in said


def test_no_findings_is_said_too():
    assert "Nothing found." in read_back(finding_notes([], 150))[0]


def test_only_lines_that_are_drawn_are_explained():
    assert "kept clear of" not in read_back(legend(board(), 180))[0]
    assert "kept clear of" in read_back(legend(board(avoid=[Avoid("knot", 9, 9, radius_mm=1)]), 180))[0]
    assert "pit" not in read_back(legend(board(), 180))[0]
    work = small_board()
    work.__dict__["grooves"] = (replace(work.grooves[0], pits=(Pit(9.0, 9.0, 1.0),)),)
    assert "pit: where a dot is deepest" in read_back(legend(work, 180))[0]
