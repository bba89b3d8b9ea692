import io

import pypdfium2
from reportlab.pdfgen.canvas import Canvas
from sheet_boards import board

from stopcut.sheets.ink import begin_page
from stopcut.sheets.page import kept_free
from stopcut.sheets.page_map import HIGHEST_MM, TICK_MM, can_be_numbered, draw_page_map, map_scale
from stopcut.sheets.paper import paper_named
from stopcut.sheets.tiling import tile_board

A4 = paper_named("A4")


def tiled(work):
    return tile_board(work.job.board.width_mm, work.job.board.height_mm, A4, kept_free(A4))


def numbers_of(work, room=180.0, first=2):
    """The map's numbers with the middles of their boxes, in mm from the board's lower left corner on the map."""
    held = io.BytesIO()
    canvas = Canvas(held, invariant=1)
    begin_page(canvas, 210, 130)
    draw_page_map(canvas, work, tiled(work), (10, 20), map_scale(work, room), first)
    canvas.showPage()
    canvas.save()
    page = pypdfium2.PdfDocument(held.getvalue())[0].get_textpage()
    found = {}
    for i in range(page.count_rects()):
        left, bottom, right, top = (v * 25.4 / 72 for v in page.get_rect(i))
        text = page.get_text_bounded(*page.get_rect(i)).strip()
        found[int(text)] = ((left + right) / 2 - 10, (bottom + top) / 2 - 20)
    return found


def test_every_sheet_has_its_number_within_its_part_of_the_board():
    work = board(width_mm=1100.0, height_mm=600.0)
    tiling, scale = tiled(work), map_scale(work, 180.0)
    numbers = numbers_of(work)
    assert sorted(numbers) == list(range(2, 2 + len(tiling.tiles)))
    for number, (x, y) in numbers.items():
        tile = tiling.tiles[number - 2]
        assert tile.window.left <= x / scale <= tile.window.right
        assert tile.window.bottom <= y / scale <= tile.window.top


def test_a_number_keeps_out_of_the_letters_where_a_corner_is_free():
    work = board()
    scale = map_scale(work, 180.0)
    boxes = [letter.placed.bounds_mm for line in work.setting.lines for letter in line.letters]
    for x, y in numbers_of(work).values():
        assert not any(b.left < x / scale < b.right and b.bottom < y / scale < b.top for b in boxes)


def test_the_map_fits_its_room_and_is_never_so_large_that_it_could_be_traced():
    for width, height in ((900.0, 260.0), (60.0, 40.0), (300.0, 2000.0), (20000.0, 200.0)):
        work = board(width_mm=width, height_mm=height, lines=())
        scale = map_scale(work, 180.0)
        assert scale * width <= 180 - 2 * TICK_MM + 1e-9
        assert scale * height <= HIGHEST_MM + 1e-9
        assert scale <= 0.5


def test_parts_too_small_for_numbers_have_none():
    work = board(width_mm=20000.0, height_mm=2000.0)
    assert not can_be_numbered(work, tiled(work), map_scale(work, 180.0))
    assert numbers_of(work) == {}
