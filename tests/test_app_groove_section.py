"""Groove: sections taken by keys, walls of one line or all, strokes as they were, findings between list and board."""

from __future__ import annotations

import re

import pytest
from job_pages import go_to, letter, new_job
from ledge_reading import eventually, field, job_text
from playwright.sync_api import expect

from stopcut.app.findings_list import pin_svg
from stopcut.app.lamp_ledge import from_where
from stopcut.app.section_walk import bottom_at
from stopcut.errors import Severity
from stopcut.groove.section import section_at
from stopcut.job.read import parse_job
from stopcut.setting.line import joined_writing
from stopcut.work import Work


@pytest.fixture(scope="module")
def lit():
    return True


@pytest.fixture(scope="module")
def grooves():
    text = """\
format = 1
title = "Plot 7"
[board]
width = 400
height = 120
thickness = 22
[lettering]
face = "Cinzel"
cap_height = 40
[[line]]
words = "PLOT 7."
"""
    return Work(parse_job(text)).letter_grooves


# Without a browser.


def test_a_walk_along_the_bottom_is_in_the_groove_all_the_way(grooves):
    for groove in grooves.values():
        for share in (0.02, 0.25, 0.5, 0.75, 0.98):
            assert section_at(groove, *bottom_at(groove, share)) is not None, (groove.placed.char, share)


def test_a_walk_begins_and_ends_at_the_ends_of_the_centre_lines(grooves):
    groove = grooves[1, 4]
    bottoms = [line.points for line in groove.lines if line.kind == "centre"]
    assert bottom_at(groove, 0.0) == pytest.approx(tuple(bottoms[0][0][:2]))
    assert bottom_at(groove, 1.0) == pytest.approx(tuple(bottoms[-1][-1][:2]))


def test_the_middle_of_a_stems_bottom_is_as_deep_as_its_walls_meet(grooves):
    stem = grooves[1, 2]
    cut = section_at(stem, *bottom_at(stem, 0.5))
    assert cut.depth_mm == pytest.approx(cut.deepest_mm, rel=0.02)


def test_light_from_135_degrees_comes_from_the_upper_left():
    assert from_where(135) == "upper left"
    assert from_where(359) == "right"


def test_severities_differ_in_the_list_by_shape_and_by_word():
    drawn = {severity: pin_svg(1, severity) for severity in Severity}
    shapes = {re.search('d="([^"]+)"', one)[1] for one in drawn.values()}
    assert len(shapes) == len(Severity)
    assert "Stops the work" in drawn[Severity.STOP]


def test_letters_of_joined_scripts_have_no_gaps_to_make_equal():
    assert joined_writing("سلام")
    assert not joined_writing("שלום")
    assert not joined_writing("MARROW LANE")


# In the browser.


@pytest.mark.browser
def test_a_section_is_taken_by_keys_alone(page, workshop):
    new_job(page, workshop, "PLOT")
    go_to(page, "Groove")
    onward = page.get_by_role("button", name="Next letter")
    picture = page.get_by_role("img", name="Section through the groove")
    onward.focus()
    onward.press("Enter")
    expect(letter(page, 1)).to_have_attribute("aria-selected", "true")
    expect(picture).to_be_visible()
    onward.press("Enter")
    figures = page.locator(".figures").first
    expect(figures).to_contain_text("L (line 1, letter 2)")
    before = figures.inner_text()
    along = page.get_by_role("slider", name="Along the bottom of the letter")
    along.focus()
    along.press("End")
    expect(figures).not_to_have_text(before, use_inner_text=True)
    expect(along).to_have_attribute("aria-valuetext", re.compile("100% along the bottom of L"))


@pytest.mark.browser
def test_walls_of_this_line_alone_leave_the_other_lines_as_they_are(page, workshop):
    new_job(page, workshop, "PLOT")
    field(page, "Another line", "SEVEN")
    letter(page, 5, "SEVEN")
    go_to(page, "Groove")
    page.get_by_role("radio", name="SEVEN").check()
    page.get_by_role("radio", name="this line alone").check()
    field(page, "Walls from the face", "50°")
    eventually(page, r'(?s)words = "SEVEN"\nwall = 50')
    page.get_by_role("radio", name="PLOT").check()
    expect(page.get_by_role("textbox", name="Walls from the face")).to_have_value("60°")


@pytest.mark.browser
def test_strokes_made_stronger_are_named_and_shown_as_they_were(page, workshop):
    new_job(page, workshop, "PLOT")
    go_to(page, "Groove")
    expect(page.get_by_role("checkbox", name="Show strokes as they were before")).to_be_hidden()
    field(page, "Thinnest stroke", "8 mm")
    expect(page.get_by_text("Made stronger")).to_be_visible()
    page.get_by_role("checkbox", name="Show strokes as they were before").check()
    expect(page.locator(".stopcut-board .drawn .before").first).to_be_attached()
    page.get_by_role("checkbox", name="Show strokes as they were before").uncheck()
    expect(page.locator(".stopcut-board .drawn .before")).to_have_count(0)


@pytest.mark.browser
def test_the_depth_look_has_a_legend_of_the_tones_it_uses(page, workshop):
    new_job(page, workshop, "I")
    go_to(page, "Groove")
    legend = page.get_by_role("list", name="Depths")
    expect(legend).to_be_hidden()
    page.get_by_role("radio", name="depth").check()
    expect(legend.get_by_role("listitem").first).to_have_text(re.compile("^0 – .* mm$"))
    tones = legend.locator("i").evaluate_all("all => all.map((one) => getComputedStyle(one).backgroundColor)")
    assert len(set(tones)) == len(tones) > 1


@pytest.mark.browser
def test_a_finding_pressed_in_the_list_shows_its_pin_and_a_pin_its_row(page, workshop):
    new_job(page, workshop, "MAW")
    go_to(page, "Groove")
    pin = page.locator(".stopcut-board .pin").first
    expect(pin).to_be_attached()
    number = pin.get_attribute("data-number")
    page.locator(".findings li > button").nth(int(number) - 1).press("Enter")
    expect(page.locator(f'.stopcut-board .pin[data-number="{number}"]')).to_have_class(re.compile("shown"))
    pin.focus()
    pin.press("Enter")
    expect(page.locator(".findings li.pointed")).to_have_count(1)
    page.get_by_role("checkbox", name="Hide the marks").check()
    expect(pin).to_be_hidden()
    page.get_by_role("checkbox", name="Hide the marks").uncheck()
    expect(pin).to_be_visible()
    go_to(page, "Setting out")
    expect(pin).to_be_hidden()  # nothing lies on the lettering that was not asked for


@pytest.mark.browser
def test_a_remedy_is_pressed_and_taken_back_like_any_other_edit(page, workshop):
    new_job(page, workshop, "PLOT\nPLOT\nPLOT\nPLOT")
    wood = page.get_by_label("Wood", exact=True)
    wood.fill("white oak")
    wood.press("Enter")
    eventually(page, 'wood = "white oak"')
    go_to(page, "Groove")
    thin = page.locator(".findings li").filter(has_text="is the thinnest stroke in all 4 lines; white oak")
    expect(thin).to_have_count(1)
    expect(thin).not_to_contain_text("thinnest =")
    thin.get_by_role("button", name="Thinnest stroke 2.5 mm", exact=True).click()
    eventually(page, r'thinnest = "2.5 mm"')
    expect(page.get_by_role("textbox", name="Thinnest stroke")).to_have_value("2.5 mm")
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_role("textbox", name="Thinnest stroke")).to_have_value("")


@pytest.mark.browser
def test_the_lamps_slides_follow_the_handle_and_the_handle_the_slides(page, workshop):
    new_job(page, workshop, "I")
    go_to(page, "Groove")
    handle = page.get_by_role("slider", name="Lamp", exact=True)
    slide = page.get_by_role("slider", name="Lamp: from")
    expect(slide).to_have_value("135")
    handle.focus()
    handle.press("ArrowRight")
    expect(slide).to_have_value("130")
    slide.focus()
    slide.press("ArrowRight")
    expect(handle).to_have_attribute("aria-valuenow", "131")
    assert "lamp" not in job_text(page)
