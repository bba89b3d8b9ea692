"""The workshop in a process of its own, and a real Chromium to look at it with."""

from __future__ import annotations

import pytest
from bench.workshop import FLAGS, Workshop, chromium_path

__all__ = ["Workshop", "browser", "context", "fetched", "lit", "page", "workshop"]


PATIENCE_MS = 30_000
"""How long something may take to be seen before a test says that it is not: machines are busy, and no test is timed."""


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


@pytest.fixture(scope="module")
def workshop(tmp_path_factory):
    """A workshop of its own for a module's tests."""
    started = Workshop(tmp_path_factory.mktemp("home")).start()
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
    assert not [said for said in wrong if "ERR_CONNECTION" not in said and "WebSocket" not in said], wrong
