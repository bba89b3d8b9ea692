"""Two windows on one job: their changes are laid together, or one of them is asked; nothing typed is dropped."""

from __future__ import annotations

import re
import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st
from job_pages import gap_words, go_to, letter, line_field, new_job
from playwright.sync_api import expect
from workshop import PATIENCE_MS, fetched

from stopcut.app.merging_words import Clash, merged_words, words_change
from stopcut.job.edit_values import At, Refused, SetKey, SetWords
from stopcut.job.edits import apply

TWO_LINES = 'format = 1\ntitle = "Gate"\n[[line]]\nwords = "MARROW LANE"\n[[line]]\nwords = "Allotments"\n'

WORDS = st.text(st.sampled_from("ABN "), min_size=1, max_size=8)


def words_of(page, address):
    text = fetched(page, f"{address}/job.toml")
    return [line["words"] for line in tomllib.loads(text)["line"]]


def open_beside(page, address, section="brief"):
    """A second window of the same browser on a job."""
    other = page.context.new_page()
    other.set_default_timeout(PATIENCE_MS)
    other.goto(f"{address}/{section}")
    letter(other, 3)
    return other


def test_words_written_on_what_stands_are_taken_as_they_are():
    assert words_change(1, "MARROW LANE", "MARROW LANES")(TWO_LINES) == (
        SetWords(At("line", 1, "MARROW LANE"), "MARROW LANES"),
    )


def test_words_changed_at_their_end_here_and_at_their_start_there_hold_both():
    change = words_change(1, "ARROW LANE", "ARROW LANES")
    assert change(TWO_LINES) == (SetWords(At("line", 1, "MARROW LANE"), "MARROW LANES"),)


def test_words_changed_at_one_place_in_two_ways_are_asked_about():
    with pytest.raises(Clash, match="MARROW LANE"):
        words_change(1, "MARROW LAKE", "MARROW LATE")(TWO_LINES)


def test_words_follow_their_line_when_another_window_has_moved_it():
    assert words_change(1, "Allotments", "Allotment")(TWO_LINES) == (
        SetWords(At("line", 2, "Allotments"), "Allotment"),
    )


def test_words_of_a_line_that_is_gone_are_refused_with_the_reason():
    with pytest.raises(Refused, match="taken out in another window"):
        words_change(3, "Bees", "Bees!")(TWO_LINES)


@given(base=WORDS, ours=WORDS, theirs=WORDS)
def test_what_is_laid_together_holds_every_letter_that_either_put_in(base, ours, theirs):
    both = merged_words(base, ours, theirs)
    assert merged_words(base, ours, base) == ours
    assert merged_words(base, base, theirs) == theirs
    if both is not None:
        for letter_ in "ABN":
            put_in = max(ours.count(letter_), theirs.count(letter_)) - base.count(letter_)
            assert put_in <= 0 or both.count(letter_) >= min(ours.count(letter_), theirs.count(letter_))


@pytest.mark.browser
def test_both_ends_of_one_line_may_be_written_at_once_in_two_windows(page, workshop):
    address = new_job(page, workshop, "LANE")
    other = open_beside(page, address)
    line_field(page).focus()
    page.keyboard.press("End")
    line_field(other).focus()
    other.keyboard.press("Home")
    for end, start in zip(" GATES", "MARROW", strict=True):
        page.keyboard.type(end)
        other.keyboard.type(start)
    expect(line_field(page)).to_have_value("MARROWLANE GATES")
    expect(line_field(other)).to_have_value("MARROWLANE GATES")
    assert words_of(page, address) == ["MARROWLANE GATES"]


@pytest.mark.browser
def test_a_clash_keeps_what_was_typed_under_its_reason_until_the_carver_has_chosen(page, workshop):
    address = new_job(page, workshop, "MARROW LANE")
    other = open_beside(page, address)
    line_field(page).fill("MARROW PATH")
    expect(line_field(other)).to_have_value("MARROW PATH")
    # what is written next was begun before the other window's words came: the page is made to say so
    stale = 'window.stopcutBefore = { id: document.activeElement.id, words: "MARROW LANE" }'
    line_field(other).focus()
    other.evaluate("addEventListener('input', () => { " + stale + " }, { capture: true, once: true })")
    line_field(other).fill("MARROW WALL")
    alert = other.get_by_role("alert").filter(has_text="Not saved")
    expect(alert).to_contain_text("MARROW PATH")
    expect(line_field(other)).to_have_value("MARROW WALL")
    assert words_of(page, address) == ["MARROW PATH"]
    other.get_by_role("button", name="Put mine in its place").click()
    expect(alert).to_have_count(0)
    expect(line_field(page)).to_have_value("MARROW WALL")
    assert words_of(page, address) == ["MARROW WALL"]


@pytest.mark.browser
def test_a_measure_changed_elsewhere_while_it_is_being_written_is_said_and_not_overruled(page, workshop):
    address = new_job(page, workshop)
    other = open_beside(page, address)
    thickness = page.get_by_label("Thickness")
    was = thickness.input_value()
    thickness.fill("31 mm")
    other.get_by_label("Thickness").fill("28 mm")
    other.get_by_label("Thickness").press("Enter")
    alert = page.get_by_role("alert").filter(has_text="28 mm")
    expect(alert).to_be_visible()
    expect(thickness).to_have_value("31 mm")
    page.get_by_role("button", name="Take theirs").click()
    expect(thickness).to_have_value("28 mm")
    assert was != "28 mm"
    thickness.fill("31 mm")
    thickness.press("Enter")
    expect(other.get_by_label("Thickness")).to_have_value("31 mm")


@pytest.mark.browser
def test_one_gap_pushed_in_two_windows_opens_by_both_pushes(page, workshop):
    address = new_job(page, workshop)
    go_to(page, "Setting out")
    other = open_beside(page, address, "setting-out")
    for window in (page, other):
        letter(window, 3).click()
    for _ in range(3):
        page.keyboard.press("Shift+ArrowRight")
        other.keyboard.press("Shift+ArrowRight")
    for window in (page, other):
        expect(window.locator(".ledge .by-hand").first).to_contain_text(re.compile(r"\b6\b"))
    assert gap_words(page) == gap_words(other)


def test_a_shift_and_new_words_at_once_do_not_spoil_each_other():
    text = apply(words_change(1, "MARROW LANE", "NARROW LANE")(TWO_LINES)[0], TWO_LINES).text
    text = apply(SetKey(At(), "title", "Lane"), text).text
    assert tomllib.loads(text)["line"][0]["words"] == "NARROW LANE"
