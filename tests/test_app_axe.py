"""Nobody is kept out: axe-core finds no serious fault on any page, and a job can be done by the keyboard alone."""

from __future__ import annotations

import re
import tomllib

import pytest
from job_pages import kept_job, letter, line_field
from playwright.sync_api import expect
from workshop import PATIENCE_MS, UNLIT

pytestmark = pytest.mark.browser

GRAVE = {"serious", "critical"}
SECTIONS = ("brief", "setting-out", "groove", "bench", "sheets")
WINDOWS = (("light", 1280), ("dark", 1280), ("light", 360))


@pytest.fixture(scope="module")
def axe():
    """axe-core from the package's own copy: nothing is fetched."""
    found = pytest.importorskip("axe_playwright_python.sync_playwright", reason="axe-playwright-python is missing")
    return found.Axe()


@pytest.fixture(scope="module", params=WINDOWS, ids=lambda window: f"{window[0]}-{window[1]}")
def looks(browser, request):
    """What windows share in one of the two colour schemes, wide or as narrow as a phone."""
    scheme, width = request.param
    context = browser.new_context(
        viewport={"width": width, "height": 860}, color_scheme=scheme, reduced_motion="reduce", locale="en-GB"
    )
    context.add_init_script(UNLIT)
    yield context
    context.close()


@pytest.fixture
def window(looks, workshop):
    """A window of such looks."""
    page = looks.new_page()
    page.set_default_timeout(PATIENCE_MS)
    yield page
    page.close()


def grave(axe, page):
    """What axe finds serious or critical, each with the places it is found at."""
    response = axe.run(page).response
    assert {one["id"] for one in response["passes"]} >= {"color-contrast", "document-title"} or response["violations"]
    return [
        (one["id"], one["impact"], [(node["html"][:140], node["failureSummary"][:240]) for node in one["nodes"][:4]])
        for one in response["violations"]
        if one["impact"] in GRAVE
    ]


@pytest.fixture(scope="module")
def job(workshop):
    """The address of a job on which there is something to look at."""
    return kept_job(workshop, "LANE")


def ready(page):
    """Once the grooves stand."""
    letter(page, 3)
    expect(page.locator(".stopcut-board.coming")).to_have_count(0)


@pytest.mark.parametrize("section", SECTIONS)
def test_no_section_of_a_job_has_a_serious_fault(axe, window, job, section):
    window.goto(f"{job}/{section}")
    if section == "bench":
        expect(window.get_by_role("button", name="Done", exact=True)).to_be_enabled()
    else:
        ready(window)
    if section == "setting-out":
        letter(window, 3).click()
    if section == "sheets":
        expect(window.get_by_role("img", name=re.compile("Pattern, page 1"))).to_be_visible()
    assert grave(axe, window) == []
    assert window.evaluate("document.documentElement.scrollWidth") <= window.viewport_size["width"]


@pytest.mark.parametrize("path", ["/", "/classes", "/tools"])
def test_no_other_page_has_a_serious_fault(axe, window, job, workshop, path):
    window.goto(f"{workshop.url}{path}")
    expect(window.get_by_role("heading", level=1)).to_be_visible()
    assert grave(axe, window) == []
    assert window.evaluate("document.documentElement.scrollWidth") <= window.viewport_size["width"]


def test_the_archive_that_is_empty_has_no_serious_fault(axe, window, workshop):
    window.goto(workshop.url)
    window.get_by_role("radio", name="archive").check(force=True)
    expect(window.get_by_text("Nothing is in the archive.")).to_be_visible()
    assert grave(axe, window) == []


def test_what_is_wrong_is_said_without_a_serious_fault(axe, window, job):
    window.goto(f"{job}/brief")
    ready(window)
    window.get_by_label("Thickness").fill("28 stone")
    window.get_by_label("Thickness").press("Enter")
    expect(window.get_by_role("alert").filter(has_text="28 stone")).to_be_visible()
    line_field(window).fill("")
    expect(window.get_by_role("alert").filter(has_text="words")).to_be_visible()
    assert grave(axe, window) == []


def tab_to(page, says, most=120):
    """Press Tab until what is focused says this; the eye finds it by its outline."""
    script = """() => {
        const e = document.activeElement, label = e.labels?.[0]?.textContent ?? "";
        const shown = e.matches(":focus-visible");
        const words = e.matches("input, textarea") ? "" : e.textContent;
        return [[e.getAttribute("aria-label"), label, words].join(" "), shown];
    }"""
    for _ in range(most):
        page.keyboard.press("Tab")
        named, shown = page.evaluate(script)
        if re.search(says, named):
            assert shown, f"{says} has the focus and does not show it"
            return
    raise AssertionError(f"Tab never comes to {says}")


def test_a_whole_job_is_done_by_the_keyboard_alone(page, workshop):
    page.goto(workshop.url)
    tab_to(page, "Words of a new job")
    page.keyboard.type("MARROW LANE")
    tab_to(page, "^ *New job|New job *$")
    page.keyboard.press("Enter")
    page.wait_for_url("**/job/*/brief")
    ready(page)
    tab_to(page, "^ *Line 1")
    page.keyboard.press("End")
    page.keyboard.type("S")
    letter(page, 11, "MARROW LANES")
    tab_to(page, "Thickness")
    page.keyboard.press("ControlOrMeta+a")
    page.keyboard.type("30")
    page.keyboard.press("Enter")
    page.evaluate("document.activeElement.blur(); scrollTo(0, 0)")
    tab_to(page, "^ *Setting out")
    page.keyboard.press("Enter")
    page.wait_for_url("**/setting-out")
    tab_to(page, "The board|letter 1 of")
    page.keyboard.press("Home")
    page.keyboard.press("ArrowDown")
    expect(page.locator(".ledge .large").first).to_contain_text("mm")
    page.keyboard.press("Shift+ArrowRight")
    expect(page.locator(".ledge .by-hand").first).to_contain_text(re.compile(r"\b1\b"))
    page.keyboard.press("ControlOrMeta+z")
    expect(page.locator(".ledge .by-hand").first).not_to_contain_text(re.compile(r"\b1\b"))
    page.keyboard.press("ControlOrMeta+y")
    expect(page.locator(".ledge .by-hand").first).to_contain_text(re.compile(r"\b1\b"))
    page.evaluate("document.activeElement.blur(); scrollTo(0, 0)")
    tab_to(page, "^ *Sheets")
    page.keyboard.press("Enter")
    page.wait_for_url("**/sheets")
    expect(page.get_by_role("link", name="Job file")).to_be_visible()
    tab_to(page, "Job file")
    with page.expect_download() as taken:
        page.keyboard.press("Enter")
    job = tomllib.loads(taken.value.path().read_text())
    assert job["line"][0]["words"] == "MARROW LANES"
    assert job["board"]["thickness"] == 30
    assert job["line"][0]["shifts"]
