import datetime
import io

import pypdfium2
import pytest
from reportlab.pdfgen.canvas import Canvas
from sheet_boards import ISSUED, board

from stopcut.shape.outline import Bounds
from stopcut.sheets.ink import begin_page
from stopcut.sheets.page import BAR_MM, Heading, PaperTooSmall, day_in_words, draw_furniture, kept_free
from stopcut.sheets.paper import PAPERS, paper_named

HAIR = 0.9  # points


def furnished(work, page=(210.0, 297.0), heading=None):
    held = io.BytesIO()
    canvas = Canvas(held, invariant=1)
    begin_page(canvas, *page)
    draw_furniture(canvas, work, heading or Heading(2, 7, "row 1, column 1"), page, ISSUED)
    canvas.showPage()
    canvas.save()
    return pypdfium2.PdfDocument(held.getvalue())[0].get_textpage()


@pytest.mark.parametrize("paper", [paper for paper in PAPERS if paper.name != "A6"], ids=lambda paper: paper.name)
def test_every_sheet_from_a5_up_has_room_for_a_bar_each_way(paper):
    kept = kept_free(paper)
    assert min(paper.width_mm, paper.height_mm) - kept.left - kept.right > 0
    assert paper.width_mm - 2 * kept.right >= BAR_MM
    assert paper.width_mm - kept.bottom - kept.top >= BAR_MM  # the paper turned: its height is the shorter side


def test_a6_has_no_room_for_a_bar():
    with pytest.raises(PaperTooSmall, match="A5"):
        kept_free(paper_named("A6"))


def test_notes_take_their_height_from_the_board_alone():
    plain, noted = kept_free(paper_named("A4")), kept_free(paper_named("A4"), notes_mm=50)
    assert noted.bottom == plain.bottom + 50
    assert (noted.left, noted.right, noted.top) == (plain.left, plain.right, plain.top)


def test_a_date_is_said_the_same_on_every_machine():
    assert day_in_words(datetime.date(2027, 3, 4)) == "4 March 2027"


def test_a_long_title_gives_way_to_the_sheets_number():
    text = furnished(board(title="Beans " * 60)).get_text_range()
    assert "…" in text
    assert "sheet 2 of 7 · row 1, column 1" in text


def test_a_cover_leaves_its_title_to_be_set_large():
    assert "Marrow Lane" not in furnished(board(), heading=Heading(1, 7, cover=True)).get_text_range()


@pytest.mark.parametrize(("units", "said"), [("mm", "lengths in millimetres"), ("in", "lengths in inches")])
def test_the_foot_says_the_units(units, said):
    assert said in furnished(board(units=units)).get_text_range()


def test_no_words_of_the_foot_lie_over_each_other_on_small_paper():
    page = furnished(board(), page=(148.0, 210.0))
    boxes = [page.get_rect(i) for i in range(page.count_rects())]
    for i, (left, bottom, right, top) in enumerate(boxes):
        # Kerned letters may reach over one another by a hair.
        own = Bounds(left, bottom, right, top).grown(-HAIR)
        assert not any(own.meets(Bounds(*other)) for other in boxes[:i])
