"""Jobs as all windows share them: saved first, then worked out in stages; what is stale stops."""

import asyncio
import time
from itertools import groupby

import pytest
from loops import run

from stopcut.app import open_jobs
from stopcut.app.open_jobs import OpenJobs, job_of
from stopcut.errors import WrongJob
from stopcut.job.edits import At, ReplaceText, SetKey, SetWords
from stopcut.job.read import parse_job
from stopcut.store import open_store


@pytest.fixture
def jobs(tmp_path):
    made = OpenJobs(open_store(f"sqlite:///{tmp_path / 'workshop.db'}"), threads=3)
    yield made
    made.close()
    made.store.close()


def words(saw, new):
    return SetWords(At("line", 1, saw), new)


def opened(jobs, text):
    return jobs.open(jobs.store.new(text, "w1").id)


def test_letters_are_told_before_grooves_and_both_of_the_same_revision(jobs, job_text):
    async def tried():
        job = opened(jobs, job_text)
        told = []
        job.watch(lambda standing: told.append((standing.number, standing.state)))
        await job.load()
        await job.ready()
        await job.edit(words("PLOT 7", "PLOT 9"), "w1")
        await job.ready()
        return told

    # Said again, or said to be coming, where it takes long: with how far it has come.
    told = [one for one, _ in groupby(one for one in run(tried()) if one[1] != "coming")]
    assert told == [(1, "letters"), (1, "ready"), (2, "letters"), (2, "ready")]


def test_letters_and_grooves_that_are_told_are_those_of_the_text_they_are_told_with(jobs, job_text, monkeypatch):
    """However often it is said meanwhile how far the work has come."""
    monkeypatch.setattr(open_jobs, "SHOW_PROGRESS_AFTER_S", 0.0)
    monkeypatch.setattr(open_jobs, "SHOW_PROGRESS_EVERY_S", 0.0)
    set_out, cut = open_jobs._set_out, open_jobs._cut

    def slowly(text, progress):
        for _ in range(5):
            time.sleep(0.01)
            progress("Letters", 0.5)
        return set_out(text, progress)

    def slowly_cut(work):
        for _ in range(20):
            time.sleep(0.01)
            work.progress("Grooves", 0.5)
        cut(work)

    monkeypatch.setattr(open_jobs, "_set_out", slowly)
    monkeypatch.setattr(open_jobs, "_cut", slowly_cut)

    async def tried():
        job = opened(jobs, job_text)
        told, letters = [], asyncio.Event()

        def watch(standing):
            told.append(standing)
            if standing.state == "letters":
                letters.set()

        job.watch(watch)
        await job.load()
        await letters.wait()
        await job.edit(words("PLOT 7", "PLOT 9"), "w1")  # while the grooves before are on their way
        await job.ready()
        return told

    told = run(tried())
    assert {(one.number, one.state) for one in told} >= {(1, "letters"), (2, "coming"), (2, "letters"), (2, "ready")}
    for one in told:
        if one.state in ("letters", "ready"):
            assert one.work.job.lines[0].words == parse_job(one.text).lines[0].words


def test_an_edit_is_in_the_store_when_it_returns(jobs, job_text):
    async def tried():
        job = opened(jobs, job_text)
        head = await job.edit(words("PLOT 7", "PLOT 9"), "w1")
        return jobs.store.text_at(job.id, head.number)

    assert '"PLOT 9"' in run(tried())


def test_undo_and_redo_are_worked_out_like_any_edit(jobs, job_text):
    async def tried():
        job = opened(jobs, job_text)
        await job.edit(words("PLOT 7", "PLOT 9"), "w1")
        await job.undo("w1")
        back = (await job.ready()).work.job.lines[0].words
        await job.redo("w1")
        return back, (await job.ready()).work.job.lines[0].words

    assert run(tried()) == ("PLOT 7", "PLOT 9")


def test_a_new_edit_makes_the_grooves_under_way_stale(jobs, job_text, monkeypatch):
    begun = []
    cut = open_jobs._cut

    def slow(work):
        begun.append(work.job.lines[0].words)
        cut(work)

    monkeypatch.setattr(open_jobs, "_cut", slow)

    async def tried():
        job = opened(jobs, job_text)
        told = []
        job.watch(lambda standing: told.append((standing.number, standing.state)))
        saw = "PLOT 7"
        for new in ("PLOT 71", "PLOT 712", "PLOT 7123"):
            await job.edit(words(saw, new), "w1")
            saw = new
        standing = await job.ready()
        return told, standing

    told, standing = run(tried())
    assert standing.work.job.lines[0].words == "PLOT 7123"
    assert told[-1] == (4, "ready")
    assert [number for number, state in told if state == "ready"] == [4]


def test_what_was_stopped_goes_on_when_asked(jobs, job_text, monkeypatch):
    waits = asyncio.Event
    gate = []
    cut = open_jobs._cut

    def held(work):
        while not gate:
            work.progress("Grooves", 0.5)
        cut(work)

    monkeypatch.setattr(open_jobs, "_cut", held)

    async def tried():
        job = opened(jobs, job_text)
        letters = waits()
        job.watch(lambda standing: letters.set() if standing.state == "letters" else None)
        await job.load()
        await letters.wait()
        job.stop()
        stopped = (await job.ready()).state
        gate.append(1)
        job.go_on()
        return stopped, (await job.ready()).state

    assert run(tried()) == ("stopped", "ready")


def test_a_wrong_text_is_told_with_its_faults_beside_the_last_right_work(jobs, job_text):
    async def tried():
        job = opened(jobs, job_text)
        await job.load()
        await job.ready()
        # a face that nothing has is found only when letters are asked for
        await job.edit(SetKey(At("lettering"), "face", "No Such Face"), "w1")
        return await job.ready()

    standing = run(tried())
    assert standing.state == "wrong"
    assert standing.faults[0].key == "lettering.face"
    assert standing.work.job.lines[0].face == "Cinzel"


def test_one_windows_trouble_is_not_the_others(jobs, job_text):
    async def tried():
        job = opened(jobs, job_text)
        told = []
        job.watch(lambda standing: 1 / 0)
        job.watch(told.append)
        await job.load()
        await job.ready()
        return told

    assert len(run(tried())) == 2


def test_a_job_that_no_window_shows_is_let_go(jobs, job_text):
    async def tried():
        first, second = opened(jobs, job_text), jobs.store.new(job_text, "w1").id
        end = first.watch(lambda standing: None)
        jobs.open(second)
        still = jobs.open(first.id) is first
        end()
        jobs.open(second)
        return still, jobs.open(first.id) is first

    assert run(tried()) == (True, False)


def test_a_job_brought_in_never_opens_a_path_of_its_own_naming(job_text, tmp_path):
    font = tmp_path / "secret.ttf"
    font.write_bytes(b"")
    with pytest.raises(WrongJob) as wrong:
        job_of(job_text.replace('"Cinzel"', f'"{font}"'))
    assert wrong.value.faults[0].key == "lettering.face"


def test_a_file_brought_in_again_is_one_edit_that_any_window_may_undo(jobs, job_text):
    async def tried():
        job = opened(jobs, job_text)
        await job.edit(ReplaceText(job_text.replace("PLOT 7", "PLOT 8")), "w2")
        await job.undo("w2")
        return (await job.ready()).text

    assert run(tried()) == job_text
