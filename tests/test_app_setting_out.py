"""Setting out in a real Chromium: a line's own settings, the ruler, letters taken by hand, points measured."""

from __future__ import annotations

import re

import pytest
from job_pages import go_to, letter, middle, new_job
from ledge_reading import eventually, field, job_text
from playwright.sync_api import expect

from stopcut.app.chosen_line import own_keys, place_of
from stopcut.app.gap_ledge import reach_mm, signed
from stopcut.app.letter_ledge import offered_features, with_feature
from stopcut.app.slide import read_slid


def two_lines(page, workshop) -> None:
    new_job(page, workshop, "MARROW LANE")
    field(page, "Another line", "ALLOTMENTS")
    letter(page, 10, "ALLOTMENTS")
    go_to(page, "Setting out")


# Without a browser.


def test_what_a_line_has_set_for_itself_stays_its_own_and_the_rest_is_for_every_line():
    assert place_of("openness", ("openness",), alone=False) == "line"
    assert place_of("openness", (), alone=False) == "lettering"
    assert place_of("openness", (), alone=True) == "line"
    assert place_of("wall", (), alone=False) == "groove"
    assert place_of("drop", (), alone=False) == "line"


def test_a_stem_takes_the_place_of_a_lines_own_weight_in_that_line():
    assert place_of("stem", ("weight",), alone=False) == "line"


def test_a_lines_own_settings_are_read_from_the_jobs_text(job_text):
    assert own_keys(job_text, 1) == ()
    assert own_keys(job_text + "openness = 1.2\n", 1) == ("openness",)


def test_the_ruler_always_has_a_step_of_room_beyond_the_shift():
    for shift in (0.0, 2.0, -2.01, 7.5, -12.0):
        assert reach_mm(shift, 1.0) >= abs(shift) + 0.98


def test_a_shift_has_its_sign_and_inches_are_fractions():
    assert signed(-0.4, "mm") == "−0.4 mm"
    assert signed(25.4 / 32, "in") == "+1/32 in"


def test_only_what_the_face_has_or_the_job_asks_for_is_offered():
    offered = offered_features({"smcp", "onum", "kern", "ss02"}, ("salt",))
    assert set(offered) == {"smcp", "onum", "ss02", "salt"}
    assert offered["ss02"] == "stylistic set 2"


def test_a_feature_ticked_off_goes_in_whatever_form_it_was_written():
    assert with_feature(("smcp", "salt=2"), "salt", on=False) == ("smcp",)
    assert with_feature(("-onum",), "onum", on=True) == ("onum",)


@pytest.mark.parametrize("sent", [None, {}, {"value": "1", "gesture": "a"}, {"value": float("nan"), "gesture": "a"},
                                  {"value": 1, "gesture": "../x"}, {"value": True, "gesture": "a"}])  # fmt: skip
def test_what_no_slide_sends_is_no_value(sent):
    assert read_slid(sent, 0, 10) is None


def test_a_slide_cannot_be_pushed_past_its_ends():
    assert read_slid({"value": 99, "gesture": "a-1"}, 0, 10).value == 10


# In the browser.


@pytest.mark.browser
def test_a_button_stays_the_same_one_while_the_board_is_worked_out(page, workshop):
    """One that is made anew between a finger's coming down and its going up is not pressed."""
    two_lines(page, workshop)
    page.get_by_role("radio", name="ALLOTMENTS").check()
    page.get_by_role("radio", name="this line alone").check()
    field(page, "Openness", "0.8")
    back = page.get_by_role("button", name="As the others: openness")
    back.evaluate("button => { window.before = button; }")
    page.get_by_role("radio", name="every line").check()
    field(page, "Cap height", "20 mm")
    expect(page.locator(".figures").filter(has_text="Capitals stand").first).to_contain_text("20 mm")
    expect(page.locator(".stopcut-board.coming")).to_have_count(0)
    assert back.evaluate("button => button === window.before && button.isConnected")


@pytest.mark.browser
def test_a_lines_openness_is_for_every_line_unless_it_is_for_this_line_alone(page, workshop):
    two_lines(page, workshop)
    page.get_by_role("radio", name="ALLOTMENTS").check()
    field(page, "Openness", "1.2")
    eventually(page, r"(?s)\[lettering\].*openness = 1\.2.*\[\[line\]\]")
    page.get_by_role("radio", name="this line alone").check()
    field(page, "Openness", "0.8")
    eventually(page, r'(?s)words = "ALLOTMENTS"\nopenness = 0\.8')
    page.get_by_role("button", name="As the others: openness").click()
    expect(page.get_by_role("textbox", name="Openness", exact=True)).to_have_value("1.2")
    assert "openness = 0.8" not in job_text(page)


@pytest.mark.browser
def test_a_line_goes_on_an_arc_and_back(page, workshop):
    new_job(page, workshop, "MARROW LANE")
    go_to(page, "Setting out")
    page.get_by_role("radio", name="an arc, middle high").check()
    eventually(page, r'arc = \{.*bend = "up"')
    expect(page.get_by_role("textbox", name="Radius of the arc")).to_have_value(re.compile("mm"))
    field(page, "Radius of the arc", "900 mm")
    eventually(page, r'arc = \{ ?radius = "900 mm", bend = "up"')
    page.get_by_role("radio", name="a straight line").check()
    eventually(page, r"(?s)^(?!.*\narc)")
    expect(page.get_by_role("textbox", name="Radius of the arc")).to_be_hidden()


@pytest.mark.browser
def test_what_limits_a_fitted_line_is_said_beside_it(page, workshop):
    new_job(page, workshop, "MARROW LANE")
    go_to(page, "Setting out")
    field(page, "Cap height", "40 mm")
    eventually(page, "cap_height = .*40")
    page.get_by_role("button", name="As large as the margins allow").click()
    expect(page.locator(".limits").first).to_contain_text("limits it")


@pytest.mark.browser
def test_a_kind_of_letter_that_the_face_has_is_ticked_by_its_name(page, workshop):
    new_job(page, workshop, "PLOT 1931")
    go_to(page, "Setting out")
    page.get_by_role("checkbox", name="old-style figures").check()
    eventually(page, r'features = \["onum"\]')
    page.get_by_role("checkbox", name="old-style figures").uncheck()
    page.wait_for_function("document.querySelector('.state')")
    eventually(page, r"(?s)^(?!.*onum)")


@pytest.mark.browser
def test_the_ruler_sets_the_shift_by_keys_and_by_a_press(page, workshop):
    new_job(page, workshop, "MARROW LANE")
    go_to(page, "Setting out")
    letter(page, 4).click()
    slide = page.get_by_role("slider", name="Shift by hand")
    slide.focus()
    slide.press("ArrowLeft")
    slide.press("ArrowLeft")
    expect(page.locator(".ledge .by-hand").first).to_have_text("by hand −0.2")
    expect(slide).to_have_attribute("aria-valuetext", re.compile("0.2 mm tighter"))
    slide.press("Shift+ArrowRight")
    expect(page.locator(".ledge .by-hand").first).to_have_text("by hand +0.8")
    box = slide.bounding_box()
    page.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    expect(page.locator(".ledge .by-hand").first).to_have_text("")
    assert not re.search("(?m)^shifts", job_text(page))


@pytest.mark.browser
def test_a_push_on_the_ruler_is_one_step_back(page, workshop):
    new_job(page, workshop, "MARROW LANE")
    go_to(page, "Setting out")
    letter(page, 4).click()
    box = page.get_by_role("slider", name="Shift by hand").bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 60, y, steps=8)
    page.mouse.up()
    expect(page.locator(".ledge .by-hand").first).to_contain_text("+")
    page.get_by_role("button", name="Undo").click()
    expect(page.locator(".ledge .by-hand").first).to_have_text("")
    assert not re.search("(?m)^shifts", job_text(page))


@pytest.mark.browser
def test_a_shift_whose_pair_is_gone_is_shown_and_can_be_taken_out(page, workshop):
    new_job(page, workshop, "MARROW LANE")
    go_to(page, "Setting out")
    letter(page, 5).click()
    page.keyboard.press("Shift+ArrowRight")
    eventually(page, '(?m)^shifts.*pair = "RO"')
    go_to(page, "Brief")
    page.get_by_role("textbox", name="Line 1", exact=True).fill("MARL LANE")
    letter(page, 8, "MARL LANE")
    go_to(page, "Setting out")
    expect(page.locator(".findings")).to_contain_text("Line 1 has no “RO” any more")
    page.get_by_role("button", name=re.compile("^Take it out: RO")).click()
    expect(page.locator(".findings")).not_to_contain_text("RO")
    assert not re.search('(?m)^shifts.*"RO"', job_text(page))
    assert re.search('(?m)^shifts.*"OW"', job_text(page)), "the other shift of that push went as well"


@pytest.mark.browser
def test_a_letter_is_taken_by_its_hole_and_by_its_thin_stroke(page, workshop):
    new_job(page, workshop, "LION")
    go_to(page, "Setting out")
    for index in (2, 3):
        x, y = middle(letter(page, index))
        page.mouse.click(x, y)
        expect(letter(page, index)).to_have_attribute("aria-selected", "true")


@pytest.mark.browser
def test_where_two_boxes_lie_over_each_other_the_nearer_ink_is_taken(page, workshop):
    new_job(page, workshop, "LTA")
    go_to(page, "Setting out")
    lower, upper = letter(page, 1).bounding_box(), letter(page, 2).bounding_box()
    shared = (max(lower["x"], upper["x"]) + min(lower["x"] + lower["width"], upper["x"] + upper["width"])) / 2
    assert upper["x"] < lower["x"] + lower["width"], "the boxes of L and T do not meet"
    page.mouse.click(shared, lower["y"] + lower["height"] - 2)
    expect(letter(page, 1)).to_have_attribute("aria-selected", "true")
    page.mouse.click(shared, upper["y"] + 2)
    expect(letter(page, 2)).to_have_attribute("aria-selected", "true")


@pytest.mark.browser
def test_points_that_are_written_are_measured_between(page, workshop):
    new_job(page, workshop, "MARROW LANE")
    go_to(page, "Setting out")
    page.get_by_role("checkbox", name="Between two points").check()
    for label, value in (("From, across", "10"), ("From, up", "20"), ("To, across", "40"), ("To, up", "60")):
        field(page, label, value)
    expect(page.get_by_role("status").filter(has_text="across")).to_have_text("50 mm (30 mm across, 40 mm up)")
    expect(page.locator(".measure .label text").nth(1)).to_have_text("50 mm")


@pytest.mark.browser
def test_a_finger_pushes_a_letter(browser, workshop, page):
    new_job(page, workshop, "MARROW LANE")
    address = page.url.rsplit("/", 1)[0]
    context = browser.new_context(viewport={"width": 1024, "height": 768}, has_touch=True)
    tablet = context.new_page()
    tablet.goto(f"{address}/setting-out")
    third = letter(tablet, 3)
    was = middle(third)
    hand = context.new_cdp_session(tablet)
    x, y = was

    def touch(kind, *points):
        hand.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": [{"x": px, "y": py} for px, py in points]})

    touch("touchStart", (x, y))
    for step in range(1, 9):
        touch("touchMove", (x + 2 * step, y))
    touch("touchEnd")
    expect(tablet.locator(".ledge .by-hand").first).to_contain_text("by hand +")
    assert middle(letter(tablet, 3))[0] - was[0] == pytest.approx(16, abs=1.5)
    context.close()


@pytest.mark.browser
def test_equal_gaps_are_offered_only_where_letters_do_not_join(page, workshop):
    new_job(page, workshop, "MARROW LANE")
    go_to(page, "Setting out")
    page.get_by_role("radio", name="equal gaps").check()
    expect(page.get_by_role("img", name="The same words set otherwise")).to_be_visible()
