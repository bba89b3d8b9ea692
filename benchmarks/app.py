"""The workshop's speed in a real Chromium: keys to board, shifts, the first page, the lamp, memory over many edits.

    python -m benchmarks.app

Times are from the press in the page to the change of the page, by the page's own clock, so they hold all of it: the
socket, the store on disk, the setting, the drawing. Each beside what was asked of it. Machines are noisy: medians.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

from playwright.sync_api import Page, sync_playwright

from benchmarks.workshop import FLAGS, Workshop, chromium_path

THIRTY = "MARROW LANE ALLOTMENT SOCIETY FOUR"
"""Thirty letters, spaces not counted."""
KNOWN, NEW = "ESTAROLE", "BDGHJKPQUVXZ&"
"""Letters that are on the board already, and others."""
LIBRARIES = (
    "nicegui, sqlalchemy.orm, fastapi, uvicorn, numpy, shapely, uharfbuzz, fontTools.ttLib, pydantic, tomlkit, PIL"
)
EDITS = 1000
SETTLED = 200
"""Edits before memory is first looked at: caches fill."""

WATCH = """
() => {
  window.pressed = 0; window.seen = {};
  const note = (what) => {
    if (window.pressed && !(what in window.seen)) window.seen[what] = performance.now() - window.pressed;
  };
  const board = document.querySelector(".stopcut-board");
  let letters = board.querySelectorAll(".letter").length;
  new MutationObserver((changes) => {
    if (changes.some((one) => one.attributeName === "transform" && one.target.closest(".letter-place"))) note("moved");
    const now = board.querySelectorAll(".letter").length;
    if (now !== letters) { letters = now; note("letters"); window.mustCome = true; }
    if (board.classList.contains("coming")) note("marked");
    else if (window.mustCome && "letters" in window.seen) { note("grooves"); window.mustCome = false; }
  }).observe(board, { subtree: true, childList: true, attributes: true });
  const ledge = document.querySelector(".ledge");
  new MutationObserver(() => note("ledge")).observe(ledge, { subtree: true, childList: true, characterData: true });
  addEventListener("keydown", () => { window.pressed = performance.now(); window.seen = {}; }, true);
}
"""

FRAMES = """
(ms) => new Promise((done) => {
  const begun = performance.now(); let frames = 0;
  const next = () => {
    frames += 1;
    if (performance.now() - begun < ms) requestAnimationFrame(next);
    else done(1000 * frames / ms);
  };
  requestAnimationFrame(next);
})
"""


def main() -> None:
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium_path(), args=FLAGS)
        importing, first = _first_page(Path(folder) / "first", browser)
        print(f"{'':38}{'median':>9}{'worst':>9}  asked")
        _row("first page beyond importing, s", [one - importing for one in first], "1.5", 2)
        home = Path(folder) / "home"
        home.mkdir()
        shop = Workshop(home).start()
        try:
            page = browser.new_context(viewport={"width": 1440, "height": 900}).new_page()
            _thirty(page, shop.url)
            known, new = _typed(page, KNOWN), _typed(page, NEW)
            _row("key to letters, ms", [one["letters"] for one in known + new], "100")
            _row("key to grooves, letters known, ms", [one["grooves"] for one in known], "500")
            _row("key to grooves, letters new, ms", [one["grooves"] for one in new], "500")
            shifts = _shifts(page, 30)
            _row("a shift, the letter moved, ms", [one["moved"] for one in shifts], "50")
            _row("a shift, kept and its gap told, ms", [one["ledge"] for one in shifts], "50")
            _row("lamp, frames a second", _lamp(page), "20 in software")
            before, after = _memory(page, shop)
            print(f"{'memory over ' + str(EDITS) + ' edits, MB':38}{before:9.0f}{after:9.0f}  flat (before, after)")
        finally:
            shop.stop()
            browser.close()


def _row(name: str, values: list[float], asked: str, places: int = 0) -> None:
    print(f"{name:38}{statistics.median(values):9.{places}f}{max(values):9.{places}f}  {asked}", flush=True)


def _first_page(folder: Path, browser: Any) -> tuple[float, list[float]]:
    """Seconds of importing the libraries alone, and from starting the program to its first page in sight."""
    importing, first = [], []
    for number in range(5):
        home = folder.with_name(f"first{number}")
        home.mkdir()
        begun = time.perf_counter()
        subprocess.run([sys.executable, "-c", f"import {LIBRARIES}"], check=True)
        importing.append(time.perf_counter() - begun)
        page = browser.new_page()
        shop = Workshop(home)
        begun = time.perf_counter()
        shop.start()
        page.goto(shop.url)
        page.get_by_role("heading", name="Jobs").wait_for()
        first.append(time.perf_counter() - begun)
        page.close()
        shop.stop()
    return statistics.median(importing), first


def _thirty(page: Page, url: str) -> None:
    page.goto(url)
    page.get_by_label("Words of a new job").fill(THIRTY)
    page.get_by_role("button", name="New job").click()
    page.wait_for_url("**/brief")
    page.get_by_role("textbox", name="Width").fill("2000")
    page.get_by_role("textbox", name="Width").press("Enter")
    page.locator(".stopcut-board .letter").nth(29).wait_for(state="attached")
    page.wait_for_timeout(4000)
    page.evaluate(WATCH)


def _typed(page: Page, letters: str) -> list[dict[str, float]]:
    """What a key took, for each letter put at the end of the line and taken away again."""
    field = page.get_by_role("textbox", name="Line 1", exact=True)
    field.focus()
    page.keyboard.press("End")
    took = []
    for letter in letters:
        page.keyboard.press(letter if letter != "&" else "Shift+Digit7")
        took.append(_seen(page, "grooves"))
        page.keyboard.press("Backspace")
        _seen(page, "grooves")
    return took


def _seen(page: Page, what: str) -> dict[str, float]:
    page.wait_for_function(f"'{what}' in window.seen", timeout=20_000)
    seen: dict[str, float] = page.evaluate("window.seen")
    page.wait_for_timeout(150)
    return seen


def _shifts(page: Page, times: int) -> list[dict[str, float]]:
    page.get_by_role("link", name="Setting out").click()
    page.locator(".stopcut-board .letter").nth(8).click()
    page.wait_for_timeout(800)
    page.evaluate(WATCH)
    took = []
    for number in range(times):
        page.keyboard.press("ArrowRight" if number % 2 else "ArrowLeft")
        took.append(_seen(page, "ledge"))
    return took


def _lamp(page: Page) -> list[float]:
    """Frames a second while the lamp is pushed back and forth."""
    page.get_by_role("link", name="Groove").click()
    page.wait_for_timeout(1500)
    lamp = page.get_by_role("slider", name="Lamp").first
    box = lamp.bounding_box()
    assert box is not None
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    rates = []
    page.mouse.move(x, y)
    page.mouse.down()
    for _ in range(3):
        page.evaluate("(code) => { window.rate = eval(code)(2000) }", FRAMES)
        end = time.perf_counter() + 2.0
        while time.perf_counter() < end:
            for step in range(20):
                page.mouse.move(x + 12 * step, y)
        rates.append(page.evaluate("window.rate"))
    page.mouse.up()
    return rates


def _memory(page: Page, shop: Workshop) -> tuple[float, float]:
    """Megabytes that the program holds after SETTLED edits, and after EDITS more."""
    page.get_by_role("link", name="Setting out").click()
    page.locator(".stopcut-board .letter").nth(8).click()
    _nudge(page, SETTLED)
    before = _resident(shop)
    _nudge(page, EDITS)
    return before, _resident(shop)


def _nudge(page: Page, times: int) -> None:
    for number in range(times):
        page.keyboard.press("ArrowRight" if number // 20 % 2 else "ArrowLeft")
        if number % 20 == 19:
            page.wait_for_timeout(200)
    page.wait_for_timeout(1500)


def _resident(shop: Workshop) -> float:
    assert shop.process is not None
    status = Path(f"/proc/{shop.process.pid}/status").read_text()
    return next(int(line.split()[1]) / 1024 for line in status.splitlines() if line.startswith("VmRSS"))


if __name__ == "__main__":
    main()
