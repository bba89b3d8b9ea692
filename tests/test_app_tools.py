"""The tool roll: its file changed one tool at a time with what was noted in it kept, and its page in a real browser."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from stopcut.app.tools_page import practice_sheet
from stopcut.errors import WrongJob
from stopcut.shop.roll import published_roll, read_roll
from stopcut.shop.roll_file import add_tool, change_tool, own_roll, remove_tool, with_published

NOTED = """\
# by the window
format = 1
units = "in"   # the old rule

[[tool]]
name = "old bowl"   # grandfather's
kind = "gouge"
width = "9/16"      # worn
rise = "1/32"

# the good one
[[tool]]
name = "bench"
kind = "chisel"
width = 0.5
"""


@pytest.fixture
def roll(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("STOPCUT_HOME", str(tmp_path))
    return tmp_path / "tools.toml"


def test_the_first_tool_noted_stands_beside_the_published_ones(roll):
    add_tool({"name": "gouge 10", "kind": "gouge", "width": 10, "rise": 1})
    assert [tool.name for tool in own_roll().tools] == ["gouge 10"]
    assert {tool.name for tool in read_roll().tools} == {"gouge 10", *(tool.name for tool in published_roll().tools)}
    # Euclid, Elements III.35 (intersecting chords): 5 · 5 = 1 · (2r − 1), so r = 13
    assert own_roll().tools[0].radius_mm == pytest.approx(13)
    with_published(False)
    assert [tool.name for tool in read_roll().tools] == ["gouge 10"]


def test_changing_a_tool_keeps_every_note_in_the_file(roll):
    roll.write_text(NOTED, encoding="utf-8")
    change_tool(1, "old bowl", {"width": "1/2 in", "count": 2})
    assert roll.read_text(encoding="utf-8") == NOTED.replace('"9/16"', '"1/2 in"').replace(
        'rise = "1/32"\n', 'rise = "1/32"\ncount = 2\n'
    )
    assert own_roll().tools[0].count == 2


def test_a_tool_is_taken_out_and_the_notes_of_the_others_stay(roll):
    roll.write_text(NOTED, encoding="utf-8")
    remove_tool(1, "old bowl")
    left = roll.read_text(encoding="utf-8")
    assert "# by the window" in left
    assert "# the good one\n[[tool]]" in left
    assert "old bowl" not in left


def test_a_wrong_tool_leaves_the_file_as_it_was_and_every_fault_is_said(roll):
    roll.write_text(NOTED, encoding="utf-8")
    with pytest.raises(WrongJob) as wrong:
        add_tool({"name": "bench", "kind": "gouge", "width": 9000, "edge": 90})
    assert len(wrong.value.faults) >= 2
    assert roll.read_text(encoding="utf-8") == NOTED


def test_a_tool_that_another_window_took_out_is_not_changed(roll):
    roll.write_text(NOTED, encoding="utf-8")
    remove_tool(1, "old bowl")
    with pytest.raises(ValueError, match="old bowl is not at that place"):
        change_tool(1, "old bowl", {"width": 1})
    with pytest.raises(ValueError, match="old bowl is not at that place"):
        remove_tool(1, "old bowl")


def test_strokes_to_practise_are_drawn_from_a_job(roll, job_text):
    assert practice_sheet(job_text, "L").startswith(b"%PDF")


# The page.


def rows(page: Page, name: str):
    return page.get_by_role("list", name=name).get_by_role("listitem")


def gouge(page: Page, name: str, width: str, rise: str) -> None:
    page.get_by_role("button", name="Add a tool").click()
    page.get_by_label("Name", exact=True).fill(name)
    page.get_by_label("Width of the mark").fill(width)
    page.get_by_label("Rise of the mark").fill(rise)


@pytest.mark.browser
def test_a_gouge_is_measured_by_its_mark_and_its_circle_said_at_once(page, workshop):
    page.goto(f"{workshop.url}/tools")
    expect(page.get_by_text("plans are made for the published ones")).to_be_visible()
    gouge(page, "bowl gouge", "14", "0.8")
    expect(page.get_by_text("Part of a circle of 31 mm radius.")).to_be_visible()
    page.get_by_label("How many").fill("3")
    page.get_by_role("button", name="Keep this tool").click()
    mine = rows(page, "Your tools").filter(has_text="bowl gouge")
    expect(mine).to_contain_text("14 mm wide, rise 0.8 mm, radius 31 mm · 3 of them")
    assert "rise = 0.8" in (workshop.home / "tools.toml").read_text(encoding="utf-8")


@pytest.mark.browser
def test_what_is_wrong_with_a_tool_is_said_and_nothing_is_kept(page, workshop):
    page.goto(f"{workshop.url}/tools")
    gouge(page, "quick", "4", "3")
    expect(page.get_by_text("rises more than half its width")).to_be_visible()
    page.get_by_label("Width of the mark").fill("9000")
    page.get_by_label("How many").fill("none")
    page.get_by_role("button", name="Keep this tool").click()
    told = page.get_by_role("alert").get_by_role("listitem")
    expect(told.filter(has_text="Width")).to_be_visible()
    expect(told.filter(has_text="How many")).to_be_visible()
    page.reload()
    expect(rows(page, "Published tools").first).to_be_visible()
    expect(rows(page, "Your tools").filter(has_text="quick")).to_have_count(0)


@pytest.mark.browser
def test_a_tool_is_changed_and_taken_out_on_the_page(page, workshop):
    (workshop.home / "tools.toml").write_text(NOTED, encoding="utf-8")
    page.goto(f"{workshop.url}/tools")
    expect(rows(page, "Published tools")).to_have_count(0)
    page.get_by_role("button", name="Change old bowl").click()
    page.get_by_label("Rise of the mark").fill("1/16")
    expect(page.get_by_text("Part of a circle of 21/32 in radius.")).to_be_visible()
    page.get_by_role("button", name="Keep this tool").click()
    expect(rows(page, "Your tools").first).to_contain_text("radius 21/32 in")
    page.get_by_role("button", name="Take out bench").click()
    expect(rows(page, "Your tools")).to_have_count(1)
    assert "# grandfather's" in (workshop.home / "tools.toml").read_text(encoding="utf-8")
    page.get_by_label("yours and the published").check()
    expect(rows(page, "Published tools").first).to_be_visible()


@pytest.mark.browser
def test_a_roll_that_was_written_wrong_by_hand_is_told_with_its_lines(page, workshop):
    (workshop.home / "tools.toml").write_text(NOTED.replace("0.5", '"half a hand"'), encoding="utf-8")
    page.goto(f"{workshop.url}/tools")
    expect(page.get_by_role("listitem").filter(has_text="tool[2].width, line 15")).to_be_visible()
    (workshop.home / "tools.toml").unlink()


@pytest.mark.browser
def test_arcs_and_strokes_are_printed_from_the_page(page, workshop, job_text):
    page.goto(workshop.url)
    page.get_by_label("Bring in a job file").set_input_files(
        {"name": "plot.toml", "mimeType": "application/toml", "buffer": job_text.encode()}
    )
    page.wait_for_url("**/brief")
    page.goto(f"{workshop.url}/tools")
    with page.expect_download() as arcs:
        page.get_by_role("link", name="Arcs in inches").click()
    assert arcs.value.path().read_bytes().startswith(b"%PDF")
    page.get_by_role("button", name="Practice sheet").click()
    expect(page.get_by_role("alert").filter(has_text="Write the letters")).to_be_visible()
    page.get_by_label("Strokes of these letters").fill("I")
    with page.expect_download() as strokes:
        page.get_by_role("button", name="Practice sheet").click()
    assert strokes.value.path().read_bytes().startswith(b"%PDF")


@pytest.mark.browser
def test_the_roll_fits_a_phone_and_is_worked_by_keyboard(page, workshop):
    page.set_viewport_size({"width": 360, "height": 740})
    page.goto(f"{workshop.url}/tools")
    page.get_by_role("button", name="Add a tool").press("Enter")
    expect(page.get_by_label("Name", exact=True)).to_be_focused()
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    small = page.evaluate(
        """() => [...document.querySelectorAll('.roll-page *')].filter(one => one.childElementCount === 0
            && one.textContent.trim() && parseFloat(getComputedStyle(one).fontSize) < 14).map(one => one.textContent)"""
    )
    assert not small, json.dumps(small)
    page.keyboard.type("chisel 9")
    page.get_by_label("Width of the mark").fill("9")
    page.get_by_role("radio", name="chisel", exact=True).check()
    expect(page.get_by_label("Rise of the mark")).to_be_hidden()
    page.get_by_role("button", name="Keep this tool").press("Enter")
    expect(rows(page, "Your tools").filter(has_text=re.compile("chisel 9"))).to_have_count(1)
