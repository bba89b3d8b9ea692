"""The pictures of the app in its docs, taken in a real browser: `python -m benchmarks.screens`.

The gate board of Marrow Lane is written, its letters are pushed a little, and each section is looked at once all is
drawn. Pictures are of few colours, so that the docs stay small.
"""

from __future__ import annotations

import io
import tempfile
from pathlib import Path

from PIL import Image
from playwright.sync_api import Browser, Page, sync_playwright

from benchmarks.kept_picture import keep_picture
from benchmarks.workshop import FLAGS, Workshop, chromium_path

DOCS = Path(__file__).resolve().parents[1] / "docs"
COLOURS = 200
"""Enough for a quiet wood and its grooves; a quarter of the bytes."""
REDS = ((0xB3, 0x26, 0x1E), (0xFF, 0x7B, 0x6B))
GROUNDS = ((0xFF, 0xFF, 0xFF), (0x24, 0x2B, 0x2E), (0xDC, 0xC4, 0x9A))
"""The red pencil of the pages in light and dark, and what it stands on; their blends are kept as they are."""
DRAWN_MS = 1500
"""For light, wood and faces to be there once the program has told everything."""
WIDE = {"width": 1280, "height": 1000}
PHONE = {"width": 390, "height": 844}


def main() -> None:
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium_path(), args=FLAGS)
        shop = Workshop(Path(folder)).start()
        try:
            page = _window(browser)
            job = _job(page, shop.url)
            _brief(page, job)
            _setting_out(page, job)
            _groove(page, job, "app-groove.png")
            _bench(page, job)
            _sheets(page, job)
            _jobs(page, shop.url)
            _groove(_window(browser, scheme="dark"), job, "app-dark.png")
            phone = _window(browser, PHONE)
            _setting_out(phone, job, "app-phone.png")
        finally:
            shop.stop()
            browser.close()


def _window(browser: Browser, size: dict[str, int] = WIDE, scheme: str = "light") -> Page:
    context = browser.new_context(
        viewport=size,  # type: ignore[arg-type]
        color_scheme=scheme,  # type: ignore[arg-type]
        reduced_motion="reduce",
        locale="en-GB",
    )
    page = context.new_page()
    page.set_default_timeout(60_000)
    return page


def _job(page: Page, url: str) -> str:
    """Two jobs, one of them the gate board; answers its address."""
    page.goto(url)
    page.get_by_label("Words of a new job").fill("PLOT 7")
    page.get_by_role("button", name="New job").click()
    page.wait_for_url("**/brief")
    page.goto(url)
    page.get_by_label("Words of a new job").fill("MARROW LANE\nAllotment Society")
    page.get_by_role("button", name="New job").click()
    page.wait_for_url("**/brief")
    address = page.url.rsplit("/", 1)[0]
    _written(page, "Title", "Gate board")
    _written(page, "Width", "900")
    _written(page, "Height", "320")
    _written(page, "Wanted by", "2027-03-04")
    message = page.get_by_label("Message, word for word")
    message.fill("Please carve Marrow Lane, and under it smaller Allotment Society. For the gate by spring.")
    message.blur()
    page.get_by_text("The words are those of the message.").wait_for()
    return address


def _written(page: Page, label: str, value: str) -> None:
    field = page.get_by_label(label, exact=True)
    field.fill(value)
    field.press("Enter")
    page.wait_for_timeout(400)


def _at(page: Page, address: str) -> None:
    page.goto(address)
    page.locator(".stopcut-board .letter").first.wait_for(state="attached")
    page.wait_for_function("!document.querySelector('.stopcut-board.coming')")
    page.wait_for_timeout(DRAWN_MS)


def _jobs(page: Page, url: str) -> None:
    page.goto(url)
    pictures = "[...document.querySelectorAll('.job-list img')]"
    page.wait_for_function(f"{pictures}.length && {pictures}.every((one) => one.complete && one.naturalWidth)")
    page.wait_for_timeout(DRAWN_MS)
    _keep(page, "app-jobs.png")


def _brief(page: Page, job: str) -> None:
    _at(page, f"{job}/brief")
    _keep(page, "app-brief.png")


def _setting_out(page: Page, job: str, name: str = "app-setting-out.png") -> None:
    _at(page, f"{job}/setting-out")
    letters = page.locator(".stopcut-board .letter-place [role=option]")
    letters.nth(4).click()
    if name == "app-setting-out.png":
        page.keyboard.press("ArrowLeft")
        page.keyboard.press("ArrowLeft")
    page.locator(".ledge .by-hand", has_text="0.2").first.wait_for()
    page.wait_for_timeout(DRAWN_MS)
    _keep(page, name)


def _groove(page: Page, job: str, name: str) -> None:
    _at(page, f"{job}/groove")
    box = page.locator(".stopcut-board .letter-place [role=option]").nth(7).bounding_box()  # the L: its stem
    assert box is not None
    page.mouse.move(box["x"] + 0.3 * box["width"], box["y"] + 0.55 * box["height"])
    page.wait_for_timeout(DRAWN_MS)
    _keep(page, name)


def _bench(page: Page, job: str) -> None:
    page.goto(f"{job}/bench")
    done = page.get_by_role("button", name="Done", exact=True)
    for _ in range(3):
        done.click()
    page.wait_for_timeout(DRAWN_MS)
    _keep(page, "app-bench.png")


def _sheets(page: Page, job: str) -> None:
    page.goto(f"{job}/sheets")
    first = page.get_by_role("img", name="Pattern, page 1 of")
    first.wait_for()
    page.get_by_role("heading", name="Bench cards").wait_for(timeout=180_000)
    page.evaluate("scrollTo(0, document.querySelector('.ledge').offsetTop - 60)")
    page.wait_for_timeout(2 * DRAWN_MS)
    _keep(page, "app-sheets.png")


def _keep(page: Page, name: str) -> None:
    keep_picture(_few_colours(Image.open(io.BytesIO(page.screenshot())).convert("RGB")), DOCS / name)


def _few_colours(picture: Image.Image) -> Image.Image:
    """The picture in its commonest colours, and the red pencil, which covers little and must stay red."""
    common = (picture.quantize(COLOURS, Image.Quantize.MEDIANCUT).getpalette() or [])[: 3 * COLOURS]
    reds = [
        round(share * a + (1 - share) * b)
        for red in REDS
        for ground in GROUNDS
        for share in (1.0, 0.75, 0.5, 0.25)
        for a, b in zip(red, ground, strict=True)
    ]
    palette = Image.new("P", (1, 1))
    palette.putpalette((common + reds)[: 3 * 256])
    return picture.quantize(palette=palette, dither=Image.Dither.NONE)


if __name__ == "__main__":
    main()
