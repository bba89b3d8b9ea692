"""The brief in a real browser: words and the client's message, the board, faces by specimen, what else stands on it."""

from __future__ import annotations

import re

import pytest
from drawings import LEAF
from font_files import face
from job_pages import go_to, job_file, letter, line_field, new_job, written
from playwright.sync_api import Page, expect
from workshop import soon

from stopcut.shop.woods import woods

pytestmark = pytest.mark.browser


def line(page: Page, number: int):
    return page.get_by_role("textbox", name=f"Line {number}", exact=True)


def write(page: Page, label: str, value: str) -> None:
    """Write a value and press Enter."""
    field = page.get_by_label(label, exact=True)
    field.fill(value)
    field.press("Enter")


def gone(page: Page, said: str) -> None:
    """Wait until the job's file says this no more."""
    soon(lambda: said not in job_file(page), f"the job's file still says {said}", page)


def told(page: Page, words: str):
    return page.get_by_role("alert").filter(has_text=words)


def bring(page: Page, word: str, name: str, data: bytes) -> None:
    page.get_by_label(word).set_input_files({"name": name, "mimeType": "application/octet-stream", "buffer": data})


def test_lines_are_added_moved_made_smaller_and_taken_out(page, workshop):
    new_job(page, workshop)
    write(page, "Another line", "Plot 7")
    expect(line(page, 2)).to_have_value("Plot 7")
    expect(page.get_by_label("Another line")).to_have_value("")
    write(page, "Size of line 2", "60 %")
    expect(page.get_by_label("Size of line 1", exact=True)).to_have_value("100 %")
    page.get_by_role("button", name="Move line 2 up").click()
    expect(line(page, 1)).to_have_value("Plot 7")
    expect(page.get_by_label("Size of line 1", exact=True)).to_have_value("60 %")
    page.get_by_role("button", name="Take out line 1").click()
    expect(line(page, 2)).to_have_count(0)
    expect(line(page, 1)).to_have_value("MARROW LANE")
    expect(page.get_by_role("button", name="Take out line 1")).to_be_disabled()
    page.get_by_role("button", name="Undo").click()
    expect(line(page, 1)).to_have_value("Plot 7")


def test_quick_typing_loses_no_letter(page, workshop):
    new_job(page, workshop, "A")
    field = line_field(page)
    field.press("End")
    field.press_sequentially("LLOTMENT SOCIETY OF MARROW LANE", delay=25)
    expect(page.locator(".proof")).to_have_text("ALLOTMENT SOCIETY OF MARROW LANE")
    expect(field).to_have_value("ALLOTMENT SOCIETY OF MARROW LANE")
    assert written(page, 'words = "ALLOTMENT SOCIETY OF MARROW LANE"')


def test_a_value_half_written_is_left_alone_while_the_board_is_worked_out(page, workshop):
    new_job(page, workshop)
    write(page, "Width", "500")
    height = page.get_by_label("Height", exact=True)
    height.fill("19")
    expect(page.get_by_label("Width", exact=True)).to_have_value("500 mm")
    page.wait_for_timeout(1500)
    expect(height).to_have_value("19")
    height.press("Escape")
    expect(height).to_have_value("180 mm")


def test_words_that_differ_from_the_message_are_marked_and_said(page, workshop):
    new_job(page, workshop, "MARROW LAIN LAIN")
    page.get_by_label("Message, word for word").fill("Dear carver,\nplease: Marrow Lane\n")
    expect(page.locator(".brief-client [role=status]").first).to_contain_text("kept")
    expect(page.locator(".proof mark").first).to_be_visible()
    remarks = page.locator(".brief-client .findings")
    expect(remarks).to_contain_text("Lane")
    line_field(page).fill("MARROW LANE")
    expect(page.locator(".proof mark")).to_have_count(0)
    page.reload()
    expect(page.get_by_label("Message, word for word")).to_have_value("Dear carver,\nplease: Marrow Lane\n")


def test_the_clients_yes_names_a_revision_and_a_later_change_makes_it_stale(page, workshop):
    new_job(page, workshop)
    page.get_by_label("Who says yes").fill("The plot holders")
    page.get_by_role("button", name="Yes to these words").click()
    said = page.locator(".brief-client [role=status]").nth(1)
    expect(said).to_contain_text("The plot holders said yes today")
    expect(said).to_contain_text("to the job as it is.")
    line_field(page).fill("MARROW LANES")
    expect(said).to_contain_text("ask again")
    page.get_by_role("button", name="Undo").click()
    expect(said).to_contain_text("the job as it is")


def test_the_board_takes_a_day_a_wood_and_sizes_and_says_what_cannot_be(page, workshop):
    new_job(page, workshop)
    page.get_by_label("Wanted by").fill("2027-03-04")
    page.get_by_label("Wanted by").press("Enter")
    write(page, "Wood", "oak")
    page.get_by_label("its height").check()
    write(page, "Thickness", "1 1/4 in")
    expect(page.get_by_label("Thickness")).to_have_value("31.8 mm")
    write(page, "Width", "5000000")
    expect(told(page, "5000000 (5000000 mm) is too much")).to_be_visible()
    text = written(page, 'wood = "oak"', 'grain = "height"', "wanted_by = 2027-03-04")
    assert "5000000" not in text


def test_a_face_is_chosen_by_its_specimen_of_the_very_words(page, workshop):
    new_job(page, workshop, "PLOT 7")
    chosen = page.get_by_role("radio", name="EB Garamond", exact=True)
    expect(page.locator(".specimen-row").filter(has_text="EB Garamond").locator(".specimen")).to_have_text("PLOT 7")
    chosen.check()
    expect(page.locator(".specimen-row.chosen")).to_contain_text("EB Garamond")
    expect(page.get_by_label("Width", exact=True)).to_be_visible()
    assert written(page, 'face = "EB Garamond"')
    page.get_by_label("600", exact=True).check()
    expect(page.get_by_label("600", exact=True)).to_be_checked()
    page.reload()
    expect(page.get_by_role("radio", name="EB Garamond", exact=True)).to_be_checked()
    assert written(page, "weight = 600")


def test_faces_are_compared_for_carving_when_asked_until_the_words_change(page, workshop):
    new_job(page, workshop, "I")
    rows = page.locator(".specimen-row")
    expect(rows.first).to_be_visible()
    expect(page.locator(".carving:not(:empty)")).to_have_count(0)
    page.get_by_role("button", name="Compare them for carving").click()
    own = page.locator(".specimen-row.chosen .carving")
    expect(own).to_have_text(re.compile(r"^\d+ min · thinnest [\d.]+ mm · riskiest I · \d tools?$"))
    expect(page.get_by_text(re.compile(r"^Working out .*, \d+ of \d+"))).to_be_visible()
    page.get_by_role("button", name="Stop", exact=True).last.click()
    expect(page.get_by_role("button", name="Compare them for carving")).to_be_visible()
    line_field(page).fill("IT")
    expect(page.locator(".carving:not(:empty)")).to_have_count(0)


def test_a_face_that_lacks_a_character_of_the_words_says_which(page, workshop):
    new_job(page, workshop, "PLOT")
    page.get_by_role("radio", name="EB Garamond", exact=True).check()
    line_field(page).fill("PLOT Ж")
    expect(page.get_by_role("radio", name="Cinzel has no Ж")).to_be_attached()
    expect(page.get_by_role("radio", name="EB Garamond", exact=True)).to_be_checked()


def test_words_that_the_face_lacks_stay_as_they_were_written(page, workshop):
    new_job(page, workshop, "PLOT")
    line_field(page).fill("PLOT Ж")
    expect(told(page, "Cinzel has no 'Ж'")).to_be_visible()
    expect(line_field(page)).to_have_value("PLOT Ж")
    page.reload()
    expect(line_field(page)).to_have_value("PLOT Ж")
    line_field(page).fill("PLOT 7")
    letter(page, 5, "PLOT 7")
    expect(told(page, "Cinzel has no 'Ж'")).to_have_count(0)


def test_a_face_of_ones_own_is_kept_offered_and_carved_in(page, workshop, tmp_path):
    face("Marrow").save(tmp_path / "marrow.ttf")
    new_job(page, workshop, "HI")
    bring(page, "Bring in a face of your own", "notes.ttf", b"%PDF-1.7")
    expect(told(page, "notes.ttf was not kept: it is a PDF.")).to_be_visible()
    bring(page, "Bring in a face of your own", "marrow.ttf", (tmp_path / "marrow.ttf").read_bytes())
    page.get_by_role("button", name="Carve in Marrow").click()
    expect(page.get_by_role("radio", name="Marrow", exact=True)).to_be_checked()
    assert written(page, 'face = "Marrow"')
    letter(page, 2)


def test_a_drawing_brought_in_stands_clear_of_the_letters_and_can_be_moved(page, workshop):
    new_job(page, workshop, "PLOT 7")
    bring(page, "Bring in a drawing", "leaf.png", b"\x89PNG....")
    expect(told(page, "it is a picture")).to_be_visible()
    bring(page, "Bring in a drawing", "leaf.svg", LEAF)
    expect(page.get_by_role("heading", name="leaf.svg")).to_be_visible()
    write(page, "leaf.svg: turn, degrees", "30")
    write(page, "leaf.svg: width", "24")
    expect(page.get_by_label("leaf.svg: width")).to_have_value("24 mm")
    page.get_by_label("drawn only").check()
    expect(page.get_by_label("drawn only")).to_be_checked()
    assert written(page, 'file = "leaf.svg"', "turn = 30", 'carve = "none"')
    page.get_by_role("button", name="Take out leaf.svg").click()
    expect(page.get_by_role("heading", name="leaf.svg")).to_have_count(0)
    gone(page, "[[ornament]]")


def test_a_border_is_ruled_set_and_taken_away(page, workshop):
    new_job(page, workshop, "PLOT 7")
    page.get_by_label("ruled round the board").check()
    write(page, "In from the edge", "10")
    page.locator(".brief-border").get_by_label("two", exact=True).check()
    page.get_by_label("hollow", exact=True).check()
    expect(page.get_by_label("hollow", exact=True)).to_be_checked()
    assert written(page, "inset = 10", "lines = 2", 'corners = "hollow"')
    page.get_by_label("none", exact=True).check()
    expect(page.get_by_label("In from the edge")).to_have_count(0)
    gone(page, "[border]")


def test_a_knot_is_noted_moved_called_otherwise_and_taken_out(page, workshop):
    new_job(page, workshop, "PLOT 7")
    page.get_by_role("button", name="Note a knot to keep clear of").click()
    expect(page.get_by_label("knot: from the left")).to_have_value(re.compile(r"\d mm"))
    page.wait_for_load_state("networkidle")
    write(page, "knot: from the left", "300")
    expect(page.get_by_label("knot: from the left")).to_have_value("300 mm")
    write(page, "What", "shake")
    expect(page.get_by_label("shake: from the left")).to_have_value("300 mm")
    page.get_by_role("button", name="Take out shake").click()
    expect(page.get_by_label("What", exact=True)).to_have_count(0)
    gone(page, "[[avoid]]")


def test_a_job_file_brought_in_again_is_one_step_that_any_window_takes_back(page, workshop, job_text):
    new_job(page, workshop)
    before = job_file(page)
    bring(page, "Bring it in again", "plot.toml", job_text.replace("400", "-4").encode())
    expect(told(page, "plot.toml is wrong, and nothing of it was kept")).to_be_visible()
    assert job_file(page) == before
    sent = f"# by the gate\n{job_text}"
    bring(page, "Bring it in again", "plot.toml", sent.encode())
    expect(page.locator("h1")).to_have_text("Plot 7")
    assert job_file(page) == sent
    other = page.context.new_page()
    other.goto(page.url)
    letter(other, 5)
    other.get_by_role("button", name="Undo").click()
    expect(page.locator("h1")).to_have_text("Marrow Lane plot board")
    assert job_file(page) == before


def test_a_list_is_pasted_and_stands_in_columns(page, workshop):
    new_job(page, workshop, "HONOURS")
    expect(page.get_by_text("What comes second")).to_be_hidden()
    page.get_by_label("Paste a list").fill("1998 Ada Fenn\n1999 Vi Otter\n2000 Wyn Avery")
    expect(page.get_by_text("Read as year | name, 3 lines")).to_be_visible()
    page.get_by_role("button", name="Put them after the last line").click()
    expect(line(page, 4)).to_have_value("2000\tWyn Avery")
    expect(page.get_by_label("Paste a list")).to_have_value("")
    assert 'after_tab = "stop"' in written(page, 'words = "1999\\tVi Otter"')
    page.get_by_role("radio", name="two").click()
    written(page, "number = 2")
    page.get_by_role("button", name="Sort the list by surname").click()
    expect(line(page, 2)).to_have_value("2000\tWyn Avery")
    expect(line(page, 4)).to_have_value("1999\tVi Otter")
    page.get_by_role("button", name="Undo").click()
    expect(line(page, 4)).to_have_value("2000\tWyn Avery")
    page.get_by_role("radio", name="small points").click()
    written(page, 'leaders = "points"')
    page.get_by_role("button", name="Undo").click()
    gone(page, "leaders")
    page.get_by_role("button", name="Undo").click()
    gone(page, "number = 2")
    page.get_by_role("button", name="Undo").click()
    expect(line(page, 2)).to_have_count(0)


def test_one_line_has_a_face_weight_and_case_of_its_own_and_goes_back_to_the_others(page, workshop):
    new_job(page, workshop, "MARROW LANE\nAllotment Society")
    page.get_by_role("button", name="A face, weight and case for line 2").click()
    alone = page.get_by_role("group", name="Line 2 alone")
    face = alone.get_by_label("Face of line 2")
    face.focus()
    face.select_option(label="EB Garamond")
    written(page, 'face = "EB Garamond"')
    expect(page.get_by_text("This line alone: EB Garamond.")).to_be_visible()
    expect(alone.get_by_label("Weight of line 2").locator("option").last).to_have_text("800")  # as this face has
    expect(face).to_be_focused()
    alone.get_by_label("Weight of line 2").select_option("700")
    alone.get_by_label("Small letters of line 2").select_option("small")
    own = written(page, 'face = "EB Garamond"', "weight = 700", 'features = ["smcp"]')
    assert own.index("Allotment Society") < own.index("weight = 700")  # of the line, not of all
    expect(page.get_by_text("This line alone: EB Garamond, weight 700, small capitals.")).to_be_visible()
    page.get_by_role("button", name="Line 2 as the others").click()
    gone(page, "weight = 700")
    assert "EB Garamond" not in job_file(page)
    assert "smcp" not in job_file(page)
    expect(page.get_by_role("button", name="Line 2 as the others")).to_be_hidden()
    expect(face).to_have_value("others")
    page.get_by_role("button", name="Undo").click()
    written(page, 'face = "EB Garamond"', "weight = 700", 'features = ["smcp"]')


def test_a_line_is_written_in_capitals_and_back(page, workshop):
    new_job(page, workshop, "MARROW LANE\nAllotment Society")
    page.get_by_role("button", name="A face, weight and case for line 2").click()
    page.get_by_role("button", name="Write line 2 in capitals").click()
    expect(line(page, 2)).to_have_value("ALLOTMENT SOCIETY")
    expect(page.get_by_role("button", name="Write line 2 in capitals")).to_have_count(0)
    page.get_by_role("button", name="Undo").click()
    expect(line(page, 2)).to_have_value("Allotment Society")


def test_a_line_that_its_face_lacks_leaves_the_others_drawn_and_a_press_mends_it(page, workshop):
    new_job(page, workshop, "PLOT\nLANE")
    line(page, 2).fill("LANE Ж")
    expect(page.get_by_text("Cinzel has no Ж: this line is not drawn.")).to_be_visible()
    page.reload()  # opened anew, what is left is drawn on its wood too: a picture that is not there fails the test
    letter(page, 1)
    expect(page.get_by_text("Line 2: Cinzel has no 'Ж'")).to_be_visible()
    expect(page.get_by_text("line[2]")).to_have_count(0)
    line(page, 1).fill("PLOTS")
    letter(page, 5, "PLOTS")  # drawn anew, though the other line is not
    expect(page.get_by_role("option", name=re.compile("letter 1 of LANE"))).to_have_count(0)
    press = page.get_by_role("button", name=re.compile("^Carve line 2 in "))
    family = press.first.inner_text().removeprefix("Carve line 2 in ")
    press.first.click()
    written(page, f'face = "{family}"')
    letter(page, 5, "LANE Ж")
    expect(page.get_by_text("this line is not drawn")).to_have_count(0)
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_text("Cinzel has no Ж: this line is not drawn.")).to_be_visible()


def test_all_woods_of_the_table_stand_in_a_list_the_usual_first_and_another_can_be_written(page, workshop):
    new_job(page, workshop)
    table = page.get_by_label("A wood of the table")
    named = [one.strip() for one in table.locator("option").all_inner_texts()]
    assert {wood.name for wood in woods()} <= set(named)
    assert named.index("European lime") < named.index("white oak") < named.index("American beech")
    table.select_option("white oak")
    written(page, 'wood = "white oak"')
    expect(page.get_by_label("Wood", exact=True)).to_have_value("white oak")
    write(page, "Wood", "bog yew")
    written(page, 'wood = "bog yew"')
    expect(page.get_by_label("A wood of the table")).to_have_value("")


def test_lettering_already_there_is_measured_here_and_what_it_decides_takes_no_other_value(page, workshop):
    new_job(page, workshop, "PLOT")
    write(page, "1 Cap height", "30 mm")
    write(page, "3 Gap between two letters", "LO")
    expect(told(page, "Write two letters that stand side by side")).to_be_visible()
    write(page, "3 Gap between two letters", "LO 5 mm")
    expect(page.get_by_label("3 Gap of LO", exact=True)).to_have_value("5 mm")
    assert 'gaps = [{ pair = "LO", gap = "5 mm" }]' in written(page, 'cap_height = "30 mm"')
    expect(page.locator(".brief-match [role=status]")).to_contain_text("comes nearest to what is on the board")
    go_to(page, "Setting out")
    height = page.get_by_label("Cap height", exact=True)
    expect(height).to_have_value("30 mm")
    expect(height).not_to_be_editable()
    expect(page.get_by_text("decided by what is there")).to_have_count(2)
    expect(page.get_by_role("button", name="As large as the margins allow")).to_be_hidden()
    go_to(page, "Brief")
    page.get_by_role("button", name="Nothing is there yet").click()
    gone(page, "[match]")
    go_to(page, "Setting out")
    expect(height).to_be_editable()
