"""What a clumsy or hostile hand may bring: the app says why in a sentence, keeps what was kept and goes on."""

from __future__ import annotations

import asyncio
import json
import threading
from urllib.parse import unquote
from xml.etree import ElementTree

import patient
import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from loops import run
from raw_window import RawWindow

from stopcut.app import open_jobs
from stopcut.app.bring_in import text_of_file
from stopcut.app.fields import MOST_WRITTEN
from stopcut.app.open_jobs import MOST_LETTERS, OpenJobs, job_of
from stopcut.app.serve import whole_characters
from stopcut.errors import WrongJob
from stopcut.job.edits import At, SetKey, SetWords, apply
from stopcut.job.new import demo_job_text
from stopcut.store import open_store
from stopcut.store.values import StoreTrouble


@pytest.fixture
def jobs(tmp_path):
    made = OpenJobs(open_store(f"sqlite:///{tmp_path / 'workshop.db'}"), threads=2)
    yield made
    made.close()
    made.store.close()


def opened(jobs, text):
    return jobs.open(jobs.store.new(text, "w1").id)


def lines_of(job_text, count, words):
    head = job_text[: job_text.index("[[line]]")]
    return head + "".join(f'[[line]]\nwords = "{words}"\n' for _ in range(count))


# --- jobs ------------------------------------------------------------------------------------------------------------


def test_a_board_of_more_letters_than_a_page_can_show_is_answered_with_how_many_it_may_have(job_text):
    words = "MARROW LANE"
    enough = MOST_LETTERS // 10
    assert len(job_of(lines_of(job_text, enough, words)).lines) == enough
    with pytest.raises(WrongJob, match=f"{10 * enough + 10} letters .* at most {MOST_LETTERS}"):
        job_of(lines_of(job_text, enough + 1, words))


def test_an_edit_is_kept_while_every_thread_works_on_boards_that_nobody_waits_for(jobs, job_text, monkeypatch):
    held = threading.Event()
    monkeypatch.setattr(open_jobs, "_set_out", lambda *_: held.wait(30))

    async def tried():
        job = opened(jobs, job_text)
        await job.load()
        saw = "PLOT 7"
        for new in ("PLOT 71", "PLOT 712", "PLOT 7123"):
            head = await asyncio.wait_for(job.edit(SetWords(At("line", 1, saw), new), "w1"), 20)
            saw = new
        return jobs.store.text_at(job.id, head.number)

    try:
        assert '"PLOT 7123"' in run(tried())
    finally:
        held.set()


def test_a_fault_of_our_own_while_a_board_is_worked_out_is_said_and_the_next_edit_is_worked_out(
    jobs, job_text, monkeypatch
):
    set_out = open_jobs._set_out

    def broken(text, progress):
        if "PLOT 8" in text:
            raise ZeroDivisionError("never thought of")
        return set_out(text, progress)

    monkeypatch.setattr(open_jobs, "_set_out", broken)

    async def tried():
        job = opened(jobs, job_text)
        await job.load()
        await job.edit(SetWords(At("line", 1, "PLOT 7"), "PLOT 8"), "w1")
        wrong = await job.ready()
        await job.edit(SetWords(At("line", 1, "PLOT 8"), "PLOT 9"), "w1")
        return wrong, await job.ready()

    wrong, right = run(tried())
    assert (wrong.state, wrong.number) == ("wrong", 2)
    assert "stopcut" in str(wrong.faults[0])
    assert "never thought of" not in str(wrong.faults[0])
    assert (right.state, right.number) == ("ready", 3)


def test_a_board_that_takes_long_says_so_even_if_its_stages_do_not(jobs, job_text, monkeypatch):
    held = threading.Event()
    set_out = open_jobs._set_out

    def slow(text, progress):
        held.wait(30)
        return set_out(text, progress)

    monkeypatch.setattr(open_jobs, "_set_out", slow)

    async def tried():
        job = opened(jobs, job_text)
        told = []

        def watch(standing):
            told.append((standing.state, standing.doing))
            held.set()

        job.watch(watch)
        await job.load()
        await job.ready()
        return told

    assert run(tried())[0] == ("coming", "Letters")


# --- addresses -------------------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def kept(workshop):
    """A job in the workshop, its title and words as bad as may be."""
    text = demo_job_text()
    with open_store(f"sqlite:///{workshop.home / 'workshop.db'}") as store:
        title = SetKey(At(), "title", '<b>Grüße"; filename="x.exe" 日本</b>')
        return store.edit(store.new(text, "w").id, title, "w") and store.jobs()[0].id


def log_of(workshop):
    return (workshop.home / "app" / "app.log").read_text()


@pytest.mark.parametrize("number", ["0", "-1", str(2**31), str(2**63), str(10**30), "x", "1.5", "9" * 5000])
@pytest.mark.parametrize(
    "address", ["sheets/{}/job.toml", "sheets/{}/all.zip", "sheets/{}/pattern.pdf/1.png", "picture/{}.png"]
)
def test_a_revision_that_there_cannot_be_is_answered_plainly(workshop, kept, address, number):
    answer = patient.get(f"{workshop.url}/job/{kept}/{address.format(number)}")
    assert answer.status_code in (404, 409, 422)
    assert answer.text.startswith("There is no")
    assert answer.headers["content-type"].startswith("text/plain")


def test_the_steps_of_a_revision_that_there_cannot_be_are_refused_plainly(workshop, kept):
    answer = patient.get(f"{workshop.url}/job/{kept}/bench/{10**30}/steps.json")
    assert answer.status_code == 404
    assert "There is no such state" in answer.text


@pytest.mark.parametrize("paper", ["<script>alert(1)</script>", "A4\r\nX-Own: 1", "0x0", "-5xinf", "A" * 5000])
def test_a_paper_that_is_none_is_refused_as_plain_text(workshop, kept, paper):
    answer = patient.get(f"{workshop.url}/job/{kept}/sheets/2/pattern.pdf", params={"paper": paper})
    assert answer.status_code == 409
    assert "no such sheet" in answer.text
    assert answer.headers["content-type"].startswith("text/plain")
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert "x-own" not in answer.headers


def test_a_title_in_any_letters_names_the_file_of_all_sheets_and_nothing_else(workshop, kept):
    answer = patient.get(f"{workshop.url}/job/{kept}/sheets/2/all.zip")
    assert answer.status_code == 200
    said = answer.headers["content-disposition"]
    plain, _, named = said.partition("; filename*=UTF-8''")
    assert plain == 'attachment; filename="sheets.zip"'
    assert unquote(named) == "b-grüße-filename-x-exe-日本-b.zip"


def test_minutes_timed_by_a_clock_that_is_past_all_dates_are_refused(workshop, kept):
    timed = {"what": "minutes", "id": "0" * 16, "letter": "1:1", "reckoned": 1, "taken": 1, "at_ms": 2**53}
    own = {"Origin": workshop.url}
    answer = patient.post(f"{workshop.url}/job/{kept}/bench/minutes", json=[timed], headers=own)
    assert answer.status_code == 422
    assert patient.post(
        f"{workshop.url}/job/{kept}/bench/minutes", json=[timed | {"at_ms": 1_700_000_000_000}], headers=own
    ).is_success


@pytest.mark.parametrize("job", ["x" * 4000, "%F0%9F%98%80", "%ED%A0%80", "'%20OR%201=1%20--"])
def test_a_job_that_there_is_not_is_a_page_that_says_so_with_a_way_back(workshop, job):
    answer = patient.get(f"{workshop.url}/job/{job}/brief")
    assert answer.status_code == 200
    assert "There is no such job" in answer.text
    assert '"href":"/"' in answer.text


def test_none_of_these_left_a_word_in_the_log(workshop):
    assert "Traceback" not in log_of(workshop)


# --- job files -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("data", [b"\xef\xbb\xbfformat = 1\r\n", b"format = 1\r\n"])
def test_a_file_out_of_an_editor_that_puts_a_mark_before_it_is_read_without_it(data):
    assert text_of_file(data, "job.toml") == "format = 1\r\n"


@pytest.mark.parametrize("data", ["Grüße".encode("latin-1"), "format = 1".encode("utf-16")])
def test_a_file_that_is_no_text_is_refused_by_its_name(data):
    with pytest.raises(ValueError, match=r"gate\.toml is no job file"):
        text_of_file(data, "gate.toml")


# --- what pages send -------------------------------------------------------------------------------------------------


@given(st.text(st.characters(categories=["Cs", "Lu", "So", "Po", "Cc"]), max_size=12))
@example("\ud83d")
@example("\udf31\ud83c")
@example("🌱\ud83c")
@example('"\\ud800')
def test_halves_of_characters_become_the_sign_for_them_and_all_else_stays(text):
    mended = json.loads(whole_characters(json.dumps(text)))
    assert mended == text.encode("utf-16", "surrogatepass").decode("utf-16", "replace")


def revision(window):
    props = (one.get("props", {}) for one in window.elements())
    return next((one["data-revision"] for one in props if "data-revision" in one), 0)


@pytest.fixture
def window(workshop, kept):
    with RawWindow(workshop.url, f"/job/{kept}/brief") as opened:
        opened.until(lambda: opened.value("Title") and revision(opened))
        yield opened


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("A" * (MOST_WRITTEN + 1), "50,000 characters at most"),
        ("🌱" * (MOST_WRITTEN // 2) + "A", "50,000 characters at most"),
        ("A" * 30_000, "30000 characters; keep to 200"),
        ("MARROW\x00LANE", "control character"),
        ("A\u202eB", "control character"),
        ("A" + "\u0301" * 5000, "characters; keep to 200"),
        ("A\nB", "a line break"),
    ],
)
def test_a_title_that_cannot_be_kept_is_answered_under_its_field_and_the_page_goes_on(window, written, said):
    before = revision(window)
    window.write("Title", written)
    window.until(lambda: said in window.fault("Title"))
    assert revision(window) == before
    window.write("Title", f"Gate {before}")
    window.until(lambda: revision(window) == before + 1)
    assert window.fault("Title") == ""


def test_half_a_character_in_the_words_is_kept_as_the_sign_for_it(window, workshop, kept):
    window.write("Title", "Gate \ud83c")
    window.until(lambda: "Gate \ufffd" in patient.get(f"{workshop.url}/job/{kept}/job.toml").text)


@pytest.mark.parametrize("tag", ["input", "button", "nicegui-input", "nicegui-element"])
def test_junk_in_place_of_an_event_changes_nothing_and_the_page_goes_on(window, tag):
    before = revision(window)
    for element in window.ids(tag):
        for kind, listener in window.listeners(element):
            if kind in ("click", "change"):
                continue  # carry nothing
            for junk in (None, 0, "x", [], {}, {"value": 5, "before": []}, {"what": "move", "key": "1:1", "dx": "x"}):
                window.send_to(element, listener, junk)
    window.write("Title", f"After junk {before}")
    window.until(lambda: revision(window) > before)


# --- the store -------------------------------------------------------------------------------------------------------


def test_a_store_that_is_taken_away_keeps_nothing_and_says_so_until_it_is_back(tmp_path, job_text):
    path, away = tmp_path / "workshop.db", tmp_path / "away.db"
    with open_store(f"sqlite:///{path}") as store:
        job = store.new(job_text, "w1").id
        path.rename(away)
        with pytest.raises(StoreTrouble, match=r"not where it was.*nothing was kept"):
            store.edit(job, SetWords(At("line", 1, "PLOT 7"), "PLOT 8"), "w1")
        path.write_bytes(away.read_bytes())
        with pytest.raises(StoreTrouble, match="another lies in its place"):
            store.edit(job, SetWords(At("line", 1, "PLOT 7"), "PLOT 8"), "w1")
        away.replace(path)
        assert store.edit(job, SetWords(At("line", 1, "PLOT 7"), "PLOT 9"), "w1").number == 2
    with open_store(f"sqlite:///{path}") as store:
        assert '"PLOT 9"' in store.job(job).text


def test_what_one_app_keeps_another_on_the_same_store_builds_on(tmp_path, job_text):
    address = f"sqlite:///{tmp_path / 'workshop.db'}"
    with open_store(address) as first, open_store(address) as second:
        here, there = OpenJobs(first, threads=2), OpenJobs(second, threads=2)

        async def tried():
            job = first.new(job_text, "w1").id
            one, two = here.open(job), there.open(job)
            await one.load()
            await two.load()
            await one.edit(SetWords(At("line", 1, "PLOT 7"), "PLOT 8"), "w1")
            await two.edit(SetKey(At(), "title", "Two apps"), "w2")
            seen = await two.ready()
            await one.undo("w1")
            return seen.work.job, (await one.ready()).work.job

        seen, after = run(tried())
        here.close()
        there.close()
    assert (seen.title, seen.lines[0].words) == ("Two apps", "PLOT 8")
    assert (after.title, after.lines[0].words) == ("Two apps", "PLOT 7")


# --- words that are somebody's program -------------------------------------------------------------------------------


def test_markup_in_title_and_words_stays_words_in_the_drawing_and_on_the_page(workshop):
    mark = "<img src=x onerror=alert(1)>"
    text = apply(SetWords(At("line", 1, "MARROW LANE"), mark), demo_job_text()).text
    text = apply(SetKey(At(), "title", f"{mark}`${{1}}]]>&"), text).text
    with open_store(f"sqlite:///{workshop.home / 'workshop.db'}") as store:
        job = store.new(text, "w").id
    drawing = patient.get(f"{workshop.url}/job/{job}/sheets/1/board.svg")
    assert drawing.status_code == 200
    tags = {one.tag.rpartition("}")[2] for one in ElementTree.fromstring(drawing.content).iter()}
    assert "svg" in tags
    assert not tags & {"img", "script", "foreignObject"}
    for path in ("/", f"/job/{job}/brief", f"/job/{job}/sheets"):
        page = patient.get(workshop.url + path).text
        assert mark not in page
        assert "`${1}" not in page


def test_a_job_of_a_thousand_lines_is_a_small_page_that_says_it_has_too_many_letters(workshop):
    with open_store(f"sqlite:///{workshop.home / 'workshop.db'}") as store:
        job = store.new(lines_of(demo_job_text(), 1000, "MARROW LANE"), "w").id
    with RawWindow(workshop.url, f"/job/{job}/brief") as opened:
        opened.until(lambda: any("10,000 letters" in text for text in opened.texts()))
        assert any("5,000 are the most" in text for text in opened.texts())
        assert len(opened.elements()) < 2000


def test_a_job_of_very_many_lines_shows_twenty_of_them(workshop):
    with open_store(f"sqlite:///{workshop.home / 'workshop.db'}") as store:
        job = store.new(lines_of(demo_job_text(), 300, "ML"), "w").id
    with RawWindow(workshop.url, f"/job/{job}/brief") as opened:
        opened.until(lambda: "Lines 1 to 20 of 300" in opened.texts())
        assert len([one for one in opened.elements() if one.get("props", {}).get("value") == "ML"]) == 20
        assert len(opened.elements()) < 2000
