"""Whatever a page showed as saved is in the store after the program is killed, and undo goes on from there.

The store's own tests kill it under edits made as fast as a program can; these kill the whole app under edits made by
hand, in two windows of a real browser, and look from outside: what the page said is compared with the database. Most
of the fifty kills are under two windows without a browser, which are told the same and write faster.
"""

from __future__ import annotations

import contextlib
import random
import time
import tomllib

import pytest
from job_pages import letter, line_field
from playwright.sync_api import expect
from raw_window import Noting
from workshop import PATIENCE_MS, Forked

from stopcut.job.edits import apply
from stopcut.store import open_store

pytestmark = pytest.mark.browser

KILLS = 50
AT_ONCE = 2
"""Windows that edit at the same time."""

NOTE_SAVED = """
(() => {
  HTMLCanvasElement.prototype.getContext = () => null;  // no light: it takes longest and saves nothing
  const told = new Map();
  const note = () => {
    const state = document.querySelector(".head .state");
    if (state?.dataset.revision && /saved/.test(state.textContent)) {
      const words = document.querySelector("input[id^=field-]");
      told.set(+state.dataset.revision, words?.value ?? "");
    }
  };
  const all = { subtree: true, childList: true, attributes: true, characterData: true };
  new MutationObserver(note).observe(document, all);
  window.saved = () => { note(); return [...told.keys()] };
})()
"""
"""Notes on the page every revision that it has shown as saved."""

EDIT = """
([ms, seed, field]) => new Promise((done) => {
  const input = document.getElementById(field), letter = document.querySelector(".stopcut-board .letter-place");
  const end = performance.now() + ms;
  let count = 0;
  const step = () => {
    if (performance.now() > end) return done(count);
    count += 1;
    const before = input ? input.value : "";
    if (input) {
      const value = before.length > 12 ? "PLOT" : before + "ABDEGHLMNORST"[(seed + 7 * count) % 13];
      input.focus();
      input.dispatchEvent(new InputEvent("beforeinput", { bubbles: true }));
      input.value = value;
      input.dispatchEvent(new InputEvent("input", { bubbles: true }));
    } else {
      const key = count % 9 < 5 ? "ArrowRight" : "ArrowLeft";
      letter.dispatchEvent(new KeyboardEvent("keydown", { key, bubbles: true }));
    }
    setTimeout(step, input ? 15 : 25);
  };
  step();
})
"""
"""Edits as fast as a page takes them, for so many milliseconds: words in one window, a letter's keys in the other."""


@pytest.fixture
def own(tmp_path, starts):
    """A workshop that is killed."""
    workshop = Forked(tmp_path, starts).start()
    yield workshop
    workshop.stop()


@pytest.fixture
def window(browser):
    """A window that minds nothing: the program behind it is killed."""
    context = browser.new_context(viewport={"width": 900, "height": 700}, reduced_motion="reduce")
    page = context.new_page()
    page.set_default_timeout(PATIENCE_MS)
    yield page
    context.close()


def begun(window, own, words="PLOT\nMARROW"):
    window.goto(own.url)
    window.get_by_label("Words of a new job").fill(words)
    window.get_by_role("button", name="New job").click()
    window.wait_for_url("**/job/*/brief")
    letter(window, 1)
    return window.url.rsplit("/", 2)[1]


def store_of(own):
    return open_store(f"sqlite:///{own.home / 'workshop.db'}")


def test_what_two_windows_showed_as_saved_is_in_the_store_after_fifty_kills(own, window):
    job_id = begun(window, own)
    chance = random.Random(6)
    other = window.context.new_page()
    other.set_default_timeout(PATIENCE_MS)
    for page in (window, other):
        page.add_init_script(NOTE_SAVED)
    shown: set[int] = set()
    for kill in range(KILLS):
        if kill % 5 == 0:
            shown |= killed_under_pages(own, job_id, window, other, chance)
        else:
            shown |= killed_under_sockets(own, job_id, chance)
        with store_of(own) as store:
            assert store.notices == ()
            kept = {entry.number for entry in store.revisions(job_id, 100_000)} | {1}
            lost = shown - kept
            assert not lost, f"shown as saved and not in the store after kill {kill + 1}: {sorted(lost)}"
        own.start()
    assert max(shown) > KILLS, "nothing much was edited: the test has not tried anything"
    replayed(own, job_id)


def killed_under_pages(own, job_id, window, other, chance) -> set[int]:
    """Kill the app while two pages of a browser edit a job. The revisions that they have shown as saved."""
    window.goto(f"{own.url}/job/{job_id}/brief")
    field = line_field(window).get_attribute("id")
    other.goto(f"{own.url}/job/{job_id}/setting-out")
    letter(other, 3, "MARROW").click()
    expect(line_field(window)).not_to_have_value("")
    seed = chance.randrange(100)
    for page, at in ((window, field), (other, "")):
        page.evaluate(f"(told) => {{ window.edited = ({EDIT})(told); }}", [4000, seed, at])
    if seed % 2:  # in the midst of what goes on after something was saved; else at any moment, with nothing saved yet
        window.wait_for_function("before => saved().length > before", arg=len(window.evaluate("saved()")))
    window.wait_for_timeout(chance.uniform(60, 500))
    own.kill()
    shown = set(window.evaluate("saved()")) | set(other.evaluate("saved()"))
    for page in (window, other):
        page.goto("about:blank")
    return shown


def killed_under_sockets(own, job_id, chance) -> set[int]:
    """Kill the app while two windows edit a job, as fast as words are sent. The revisions they were told are saved."""
    path = f"/job/{job_id}/brief"
    with Noting(own.url, path) as words, Noting(own.url, path) as title:
        for window, label in ((words, "Line 1"), (title, "Title")):
            window.until(lambda window=window, label=label: window.value(label))
        for _ in range(chance.randint(2, 30)):
            for window, label in ((words, "Line 1"), (title, "Title")):
                with contextlib.suppress(KeyError, AssertionError):  # its field is just being made anew
                    window.write(label, "".join(chance.choices("ABDEGHLMNORST", k=8)))
            time.sleep(0.015)
        if chance.random() < 0.5:
            words.until(lambda: words.saved)
        own.kill()
    return words.saved | title.saved


def replayed(own, job_id):
    """Every revision follows from the one before by the edits it names: nothing was kept by half."""
    with store_of(own) as store:
        entries = sorted(store.revisions(job_id, 100_000), key=lambda entry: entry.number)
        assert [entry.number for entry in entries] == list(range(1, len(entries) + 1))
        text = store.text_at(job_id, 1)
        for entry in entries[1:]:
            for edit in entry.edits:
                text = apply(edit, text).text
        assert text == store.job(job_id).text
        lines = [line["words"] for line in tomllib.loads(text)["line"]]
        assert lines[1] == "MARROW"
        assert len({entry.window for entry in entries[1:]}) >= AT_ONCE


def test_undo_and_redo_go_on_after_a_kill(own, window):
    job_id = begun(window, own, "PLOT")
    field = line_field(window)
    for words in ("PLOT 7", "PLOT 75"):
        field.fill(words)
        letter(window, len(words) - 1, words)
    window.get_by_role("button", name="Undo").click()
    expect(field).to_have_value("PLOT")  # what was typed without a pause is one gesture
    own.kill()
    window.goto("about:blank")
    own.start()
    window.goto(f"{own.url}/job/{job_id}/brief")
    expect(line_field(window)).to_have_value("PLOT")
    window.get_by_role("button", name="Redo").click()
    expect(line_field(window)).to_have_value("PLOT 75")
    window.get_by_role("button", name="Undo").click()
    expect(line_field(window)).to_have_value("PLOT")
