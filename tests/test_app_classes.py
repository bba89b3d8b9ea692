"""Class lists: a board for each learner with the faults told of whom they are, and their pages in a real browser."""

from __future__ import annotations

import io
import zipfile

import pytest
from playwright.sync_api import Page, expect

from stopcut.app.class_boards import ServedBoards, boards_of, learners_pasted, pack_of, text_digest
from stopcut.app.open_jobs import Stopped
from stopcut.job.new import new_job_text
from stopcut.job.read import parse_job
from stopcut.store.values import LearnerEntry

JOB = new_job_text("Name board", ("NAME",))


def test_a_learner_whose_board_cannot_be_made_keeps_nobody_back():
    learners = (
        LearnerEntry("a", "Hazel", "HAZEL"),
        LearnerEntry("b", "Rowan", "ROWAN Ж"),
        LearnerEntry("c", "", "ASH"),
        LearnerEntry("d", "hazel", "OAK"),
        LearnerEntry("e", "Elm", "ELM / Plot 4"),
        LearnerEntry("f", "Birch", "BIRCH"),
    )
    boards = boards_of(JOB, learners)
    assert set(boards.members) == {"a", "f"}
    said = {key: " ".join(faults) for key, faults in boards.faults.items()}
    assert set(said) == {"b", "c", "d", "e"}
    assert "has no 'Ж'" in said["b"]
    assert "on the list already" in said["d"]
    assert "2 lines of words" in said["e"]


def test_all_letters_are_as_high_as_the_longest_words_allow():
    boards = boards_of(JOB, (LearnerEntry("a", "Ash", "ASH"), LearnerEntry("b", "Hornbeam", "HORNBEAM")))
    caps = {round(one.cap_height_mm, 3) for member in boards.members.values() for one in member.work.setting.lines}
    assert len(caps) == 1
    own = boards_of(JOB, (LearnerEntry("a", "Ash", "ASH"), LearnerEntry("b", "Hornbeam", "HORNBEAM")), own_sizes=True)
    heights = [member.work.setting.lines[0].cap_height_mm for member in own.members.values()]
    assert heights[0] > heights[1] + 1


def test_a_job_that_is_wrong_is_told_once_and_not_of_each_learner():
    boards = boards_of(
        JOB.replace("Cinzel", "No Such Face"), (LearnerEntry("a", "Ash", "ASH"), LearnerEntry("b", "Elm", "ELM"))
    )
    assert list(boards.faults) == [""]
    assert not boards.members


def test_the_pack_holds_every_learners_job_and_says_which_tools_are_short():
    boards = boards_of(JOB, (LearnerEntry("a", "Ash", "I", "daily", "left"), LearnerEntry("b", "Elm", "L")))
    told = []
    pack = pack_of("Beginners", boards, lambda doing, done: told.append(doing))
    assert pack.pdf.startswith(b"%PDF")
    with zipfile.ZipFile(io.BytesIO(pack.files)) as archive:
        assert archive.namelist() == ["class.pdf", "01-ash.toml", "02-elm.toml"]
        assert parse_job(archive.read("02-elm.toml").decode()).lines[0].words == "L"
    assert "The plan of Elm" in told
    assert pack.tools
    kept = ServedBoards()
    kept.keep_boards(boards)
    assert kept.pack(kept.keep_pack(pack)) is pack
    assert kept.text(text_digest(boards.members["a"].text)) == boards.members["a"].text


def test_a_pack_that_nobody_waits_for_is_left_off():
    boards = boards_of(JOB, (LearnerEntry("a", "Ash", "I"),))

    def stopped(doing: str, done: float) -> None:
        raise Stopped

    with pytest.raises(Stopped):
        pack_of("Beginners", boards, stopped)


@pytest.mark.parametrize("mark", [",", ";", "\t"])
def test_a_pasted_list_may_leave_out_words_level_and_hand(mark):
    text = "name,words,level,hand\nHazel,HAZEL,Practised,Left\n\nRowan\n".replace(",", mark)
    assert learners_pasted(text) == (
        LearnerEntry("", "Hazel", "HAZEL", "practised", "left"),
        LearnerEntry("", "Rowan", "Rowan", "first board", "right"),
    )


def test_a_level_or_hand_that_is_none_is_named_and_never_taken_for_another():
    with pytest.raises(
        ValueError, match="“begginer”, for Hazel, is no level: write first board, practised or daily"
    ) as slips:
        learners_pasted("Hazel, HAZEL, begginer, left\nRowan,,daily,lefft\nElm,,,R")
    assert "“lefft”, for Rowan, is no hand" in str(slips.value)
    assert "Elm" not in str(slips.value)


# The pages.


def begin(page: Page, url: str, title: str) -> None:
    page.goto(f"{url}/classes")
    page.get_by_label("Title of a new class").fill(title)
    page.get_by_role("button", name="New class").click()
    page.wait_for_url("**/class/*")


def learners(page: Page):
    return page.locator(".learners > li")


@pytest.mark.browser
def test_a_class_gets_a_board_for_each_learner_with_faults_beside_them(page, workshop):
    begin(page, workshop.url, "Saturday beginners")
    page.get_by_label("Name of a new learner").fill("Hazel")
    page.get_by_label("Hand of a new learner").select_option("left")
    page.get_by_role("button", name="Add", exact=True).click()
    expect(page.get_by_role("img", name="The board of Hazel: Hazel")).to_be_visible()
    expect(page.get_by_label("Name of a new learner")).to_be_focused()
    page.get_by_label("A learner a line").fill("Rowan, ROWAN Ж, daily\nElm; x")
    page.get_by_role("button", name="Add them all").click()
    expect(learners(page)).to_have_count(3)
    rowan = learners(page).nth(1)
    expect(rowan.get_by_role("alert").filter(has_text="has no 'Ж'")).to_be_visible()
    page.get_by_label("Words of Rowan").fill("ROWAN")
    page.get_by_label("Words of Rowan").press("Enter")
    expect(page.get_by_role("img", name="The board of Rowan: ROWAN")).to_be_visible()
    expect(rowan.get_by_role("listitem")).to_have_count(0)
    page.get_by_role("button", name="Take out Elm; x").click()
    expect(learners(page)).to_have_count(2)
    page.reload()
    expect(page.get_by_label("Hand of Hazel")).to_have_value("left")
    expect(page.get_by_label("Level of Rowan")).to_have_value("daily")
    page.goto(f"{workshop.url}/classes")
    expect(page.get_by_role("listitem").filter(has_text="Saturday beginners")).to_contain_text("2 learners")


@pytest.mark.browser
def test_a_class_is_printed_as_one_pack_with_the_tools_needed_at_once(page, workshop):
    begin(page, workshop.url, "Printers")
    page.get_by_role("button", name="Draw the pack").click()
    expect(page.get_by_role("status").filter(has_text="No learner has a board yet.")).to_be_visible()
    page.get_by_label("A learner a line").fill("Ash, I\nElm, L")
    page.get_by_role("button", name="Add them all").click()
    expect(page.get_by_role("img", name="The board of Elm: L")).to_be_visible()
    page.get_by_role("button", name="Draw the pack").click()
    link = page.get_by_role("link", name="The pack, to print")
    expect(link).to_be_visible()
    with page.expect_download() as taken:
        link.click()
    assert taken.value.path().read_bytes().startswith(b"%PDF")
    expect(page.get_by_role("table", name="Tools needed")).to_contain_text("chisel")


@pytest.mark.browser
def test_a_word_that_moves_from_under_the_finger_is_pressed_and_one_left_by_the_finger_is_not(page, workshop):
    """Right after a class's page has opened its boards are set out, and what is said of them moves the words below."""
    begin(page, workshop.url, "Movers")
    draw = page.get_by_role("button", name="Draw the pack")
    said = page.get_by_role("status").filter(has_text="No learner has a board yet.")
    box = draw.bounding_box()
    at = (box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    lower = "by => { document.querySelector('.class-foot').style.marginTop = by }"
    page.mouse.move(*at)
    page.mouse.down()
    page.mouse.move(at[0], at[1] - 200)
    page.mouse.up()
    expect(page.get_by_role("button", name="Stop")).to_be_hidden()
    page.mouse.move(*at)
    page.mouse.down()
    page.evaluate(lower, "200px")
    page.mouse.up()
    expect(said).to_be_visible()


@pytest.mark.browser
def test_a_pack_asked_for_while_the_boards_are_being_set_out_has_them_all(page, workshop):
    begin(page, workshop.url, "Early")
    page.get_by_label("A learner a line").fill("Ash, I\nElm, L")
    page.get_by_role("button", name="Add them all").click()
    page.get_by_role("button", name="Draw the pack").click()
    expect(page.get_by_role("link", name="The pack, to print")).to_be_visible()


@pytest.mark.browser
def test_a_class_is_made_after_a_job_there_is_and_called_otherwise(page, workshop, job_text):
    page.goto(workshop.url)
    page.get_by_label("Bring in a job file").set_input_files(
        {"name": "plot.toml", "mimeType": "application/toml", "buffer": job_text.encode()}
    )
    page.wait_for_url("**/brief")
    page.goto(f"{workshop.url}/classes")
    page.get_by_label("Title of a new class").fill("Plots")
    page.get_by_label("Boards made after").select_option(label="Plot 7")
    page.get_by_role("button", name="New class").click()
    page.wait_for_url("**/class/*")
    page.get_by_label("Title", exact=True).fill("Plot holders")
    page.get_by_label("Title", exact=True).press("Enter")
    expect(page.locator("h1")).to_have_text("Plot holders")
    page.get_by_role("link", name="The job that all boards are made after").click()
    page.wait_for_url("**/brief")
    expect(page.locator("h1")).to_have_text("Plot 7")


@pytest.mark.browser
def test_a_class_fits_a_phone(page, workshop):
    page.set_viewport_size({"width": 360, "height": 740})
    begin(page, workshop.url, "On a phone")
    page.get_by_label("A learner a line").fill("Ash, I")
    page.get_by_role("button", name="Add them all").click()
    expect(page.get_by_role("img", name="The board of Ash: I")).to_be_visible()
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
