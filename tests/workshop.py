"""The workshop in a process of its own, and a real Chromium to look at it with."""

from __future__ import annotations

import contextlib
import json
import os
import signal
import subprocess
import sys
import time
import urllib.request
from collections.abc import Callable

import pytest
from benchmarks.workshop import FLAGS, Workshop, chromium_path

__all__ = [
    "PATIENCE_MS",
    "Forked",
    "Workshop",
    "browser",
    "context",
    "fetched",
    "lit",
    "page",
    "soon",
    "starts",
    "workshop",
]


PATIENCE_MS = 120_000
"""How long something may take to be seen before a test says that it is not: machines are busy, and no test is timed."""


def soon(holds: Callable[[], object], what: str = "nothing came of it", page=None) -> None:
    """Wait until this holds, as long as anything is waited for; a page whose events are awaited goes on meanwhile."""
    end = time.monotonic() + PATIENCE_MS / 1000
    while not holds():
        assert time.monotonic() < end, what
        page.wait_for_timeout(20) if page else time.sleep(0.02)


def fetched(page, address: str) -> str:
    """What the program hands out there; asked again where it had just let go of the window's last connection."""
    return page.request.get(address, max_retries=3).text()


@pytest.fixture(scope="session")
def browser():
    """A real Chromium: one that is on the machine, else Playwright's own; a test is skipped where there is none.

    One a worker: two of its drivers in one thread stand in each other's way.
    """
    sync_api = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    with sync_api.sync_playwright() as playwright:
        try:
            found = playwright.chromium.launch(executable_path=chromium_path(), args=FLAGS)
        except sync_api.Error:
            pytest.skip("no Chromium on this machine: install chromium, or run `playwright install chromium`")
        sync_api.expect.set_options(timeout=PATIENCE_MS)
        yield found
        found.close()


STARTS = """
import json, os, signal, sys, time
from stopcut.app import drawn_sheets, pages, serve
draws = drawn_sheets.drawn
def drawn(*asked):
    while os.path.exists("held"):
        time.sleep(0.02)
    return draws(*asked)
drawn_sheets.drawn = drawn
signal.signal(signal.SIGCHLD, signal.SIG_IGN)
for asked in sys.stdin:
    child = os.fork()
    if child:
        print(child, flush=True)
        continue
    signal.signal(signal.SIGCHLD, signal.SIG_DFL)
    told = json.loads(asked)
    os.chdir(told["home"])
    os.environ["STOPCUT_HOME"] = told["home"]
    for stream, name, how in ((0, os.devnull, os.O_RDONLY), (1, "app.log", os.O_WRONLY | os.O_CREAT | os.O_APPEND)):
        os.dup2(os.open(name, how), stream)
    os.dup2(1, 2)
    serve.serve(port=told["port"], browser=False)
"""
"""Starts the app again and again, each a process of its own, without importing everything anew each time.

Its sheets wait to be drawn as long as there is a file "held" in its home: so a test can press a word meanwhile.
"""


class Forked(Workshop):
    """A workshop that starts in a moment: a copy of a process that has imported the app and done nothing yet."""

    def __init__(self, home, starts):
        super().__init__(home)
        self._starts, self._pid = starts, 0

    def start(self):
        self._starts.stdin.write(json.dumps({"home": str(self.home), "port": self.port}) + "\n")
        self._starts.stdin.flush()
        self._pid = int(self._starts.stdout.readline())
        soon(self._answers, "the app does not answer")
        return self

    def kill(self):
        self._end(signal.SIGKILL)

    def stop(self):
        self._end(signal.SIGINT)

    def _answers(self):
        with contextlib.suppress(OSError), urllib.request.urlopen(self.url, timeout=30):
            return True

    def _end(self, sig):
        with contextlib.suppress(ProcessLookupError):
            os.kill(self._pid, sig)
        soon(self._gone, "the app does not end")

    def _gone(self):
        try:
            os.kill(self._pid, 0)
        except ProcessLookupError:
            return True


@pytest.fixture(scope="session")
def starts(tmp_path_factory):
    """What workshops are copied from, one a worker."""
    env = os.environ | {"STOPCUT_HOME": str(tmp_path_factory.mktemp("starts")), "STOPCUT_STORE": ""}
    pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE, "text": True, "env": env}
    process = subprocess.Popen([sys.executable, "-c", STARTS], **pipes, cwd=env["STOPCUT_HOME"])
    yield process
    process.stdin.close()
    process.wait(60)


@pytest.fixture(scope="module")
def workshop(tmp_path_factory, starts):
    """A workshop of its own for a module's tests."""
    started = Forked(tmp_path_factory.mktemp("home"), starts).start()
    yield started
    started.stop()


UNLIT = """
const before = HTMLCanvasElement.prototype.getContext;
HTMLCanvasElement.prototype.getContext = function (kind, ...more) {
  return kind.startsWith("webgl") ? null : before.call(this, kind, ...more);
};
"""
"""No graphics card to light the wood with: the board shows plain letters, and tests take half as long."""


@pytest.fixture(scope="session")
def lit():
    """Whether a module's windows light the wood; a module that looks at what only light shows says True."""
    return False


@pytest.fixture(scope="module")
def context(browser, lit):
    """What a module's windows share, as a browser's windows do: what it has loaded before."""
    made = browser.new_context(viewport={"width": 1280, "height": 860}, locale="en-GB")
    if not lit:
        made.add_init_script(UNLIT)
    yield made
    made.close()


@pytest.fixture
def page(context, workshop):
    """A window on the workshop; what a page logs as wrong fails the test."""
    window = context.new_page()
    wrong: list[str] = []
    window.on("pageerror", lambda problem: wrong.append(str(problem)))
    window.on("console", lambda said: wrong.append(said.text) if said.type == "error" else None)
    window.set_default_timeout(PATIENCE_MS)
    window.said_wrong = wrong  # a test that provokes such a word clears it
    yield window
    for one in context.pages:
        one.close()
    # a server killed on purpose is missed by the page, as it should be
    assert not [said for said in wrong if "net::ERR_" not in said and "WebSocket" not in said], wrong
