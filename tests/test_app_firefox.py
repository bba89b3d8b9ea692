"""The same carver in Firefox: write words, pick a face, drag a letter, keys, undo, sheets."""

from __future__ import annotations

import contextlib
import json
import re
import shutil
import subprocess
import time
import tomllib
import urllib.request

import pytest
from benchmarks.workshop import free_port

pytestmark = pytest.mark.browser

WAITS_S = 120.0

PREFERENCES = {
    "app.update.enabled": False,
    "browser.shell.checkDefaultBrowser": False,
    "browser.startup.page": 0,
    "browser.startup.homepage_override.mstone": "ignore",
    "datareporting.policy.dataSubmissionEnabled": False,
    "extensions.systemAddon.update.enabled": False,
    "network.captive-portal-service.enabled": False,
    "network.connectivity-service.enabled": False,
    "services.settings.server": "data:,",
    "toolkit.telemetry.enabled": False,
    "webgl.force-enabled": True,
}
"""A quiet Firefox that asks nobody but the workshop."""


@pytest.fixture(scope="module")
def fox(tmp_path_factory):
    """A Firefox of its own; the tests are skipped where there is none."""
    marionette_driver = pytest.importorskip("marionette_driver", reason="marionette_driver is not installed")
    path = shutil.which("firefox-esr") or shutil.which("firefox")
    if path is None:
        pytest.skip("no Firefox on this machine: install firefox-esr")
    profile, port = tmp_path_factory.mktemp("firefox"), free_port()
    wanted = PREFERENCES | {"marionette.port": port}
    lines = (f"user_pref({json.dumps(name)}, {json.dumps(value)});\n" for name, value in wanted.items())
    (profile / "user.js").write_text("".join(lines))
    command = [path, "--headless", "--marionette", "--no-remote", "--profile", str(profile)]
    with (profile / "firefox.log").open("w") as log:
        process = subprocess.Popen(command, stdout=log, stderr=log)
        try:
            driver = marionette_driver.marionette.Marionette(port=port)
            driver.start_session(timeout=120)
            driver.set_window_rect(width=1280, height=900)
            yield Fox(driver)
            with contextlib.suppress(Exception):
                driver.delete_session()
        finally:
            process.terminate()
            process.wait(20)


class Fox:
    """What a hand does, through Marionette; things are found by what a screen reader says of them."""

    def __init__(self, driver):
        self.driver = driver

    def open(self, url):
        self.driver.navigate(url)

    def js(self, script, *arguments):
        return self.driver.execute_script(script, script_args=list(arguments))

    def wait(self, what, of, seconds=WAITS_S):
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            found = of()
            if found:
                return found
            time.sleep(0.1)
        raise AssertionError(f"not seen in {seconds:.0f} s: {what}")

    def one(self, css, text=""):
        """The first element of these that is to be seen and whose words, label or title hold text."""
        script = """
            const [css, text] = arguments;
            const says = (e) => [e.getAttribute("aria-label"), e.textContent, e.labels?.[0]?.textContent].join(" ");
            return [...document.querySelectorAll(css)].find((e) => e.getClientRects().length && says(e).includes(text))
                ?? null;
        """
        return self.wait(f"{css} {text}", lambda: self.js(script, css, text))

    def field(self, label):
        script = """
            const label = [...document.querySelectorAll("label")].find((e) => e.textContent.trim() === arguments[0]);
            return label ? document.getElementById(label.htmlFor) : null;
        """
        return self.wait(f"field {label}", lambda: self.js(script, label))

    def write(self, field, words):
        from marionette_driver.keys import Keys

        field.click()
        field.send_keys(Keys.CONTROL + "a")
        field.send_keys(words)

    def value(self, field):
        return self.js("return arguments[0].value", field)

    def box(self, element):
        return self.js("const b = arguments[0].getBoundingClientRect(); return [b.x, b.y, b.width, b.height]", element)

    def drag(self, element, dx):
        """Press in the middle, pull to the right, let go."""
        x, y, width, height = self.box(element)
        at, up = round(x + width / 2), round(y + height / 2)
        hand = self.driver.actions.sequence("pointer", "mouse", {"pointerType": "mouse"})
        hand.pointer_move(at, up, duration=20).pointer_down()
        for step in range(1, 5):
            hand.pointer_move(at + round(dx * step / 4), up, duration=40)
        hand.pointer_up().perform()

    def keys(self, *names):
        from marionette_driver.keys import Keys

        hand = self.driver.actions.sequence("key", "keyboard")
        for name in names:
            hand.key_down(getattr(Keys, name))
        for name in reversed(names):
            hand.key_up(getattr(Keys, name))
        hand.perform()


def job_of(fox):
    """The job's file as the workshop hands it out now."""
    address = fox.driver.get_url().rsplit("/", 1)[0]
    with urllib.request.urlopen(f"{address}/job.toml") as answer:
        return tomllib.loads(answer.read().decode())


def shifts_of(fox):
    return {shift["pair"]: float(shift["by"].split()[0]) for shift in job_of(fox)["line"][0].get("shifts", [])}


def at_rest(of, seconds=1.5):
    """A figure once it has been the same for a while: the face just chosen may still be on its way to the board."""
    was, since = of(), time.monotonic()
    while time.monotonic() - since < seconds:
        time.sleep(0.1)
        if of() != was:
            was, since = of(), time.monotonic()
    return was


def outline_left(fox, letter):
    """Where a letter's outline begins on the screen; a chosen letter's own box has its ring in it too."""
    return fox.js("return arguments[0].querySelector('path').getBoundingClientRect().x", letter)


def outline(fox, letter):
    return fox.js("return arguments[0].querySelector('path').getAttribute('d')", letter)


def letter(fox, name):
    return fox.one(".stopcut-board [role=option]", name)


def test_a_job_from_its_words_to_its_sheets_in_firefox(fox, workshop):
    fox.open(workshop.url)
    fox.write(fox.field("Words of a new job"), "MARROW LANE")
    fox.one("button", "New job").click()
    letter(fox, "letter 10 of MARROW LANE")

    fox.write(fox.field("Line 1"), "PLOT 7")
    letter(fox, "letter 5 of PLOT 7")
    fox.wait("the words in the store", lambda: job_of(fox)["line"][0]["words"] == "PLOT 7")

    before = outline(fox, letter(fox, "O, letter 3"))
    face = fox.one(".specimens label", "Marcellus")
    fox.js("arguments[0].scrollIntoView({block: 'center'})", face)
    face.click()
    fox.wait("the face in the job", lambda: job_of(fox)["lettering"]["face"] == "Marcellus")

    fox.wait("the face on the board", lambda: outline(fox, letter(fox, "O, letter 3")) != before)

    fox.one("nav a", "Setting out").click()
    fox.js("scrollTo(0, 0)")
    third = letter(fox, "O, letter 3 of PLOT 7")
    fox.wait("grooves", lambda: not fox.js("return document.querySelector('.stopcut-board').matches('.coming')"))
    left = at_rest(lambda: outline_left(fox, letter(fox, "O, letter 3")))
    fox.drag(third, 12)
    fox.wait("the shift of a drag", lambda: shifts_of(fox).get("LO", 0) > 0)
    fox.wait(
        "the letter where it was put", lambda: abs(outline_left(fox, letter(fox, "O, letter 3")) - left - 12) < 1.5
    )

    dragged = shifts_of(fox)["LO"]
    fox.keys("SHIFT", "ARROW_RIGHT")
    fox.wait("the shift of a key", lambda: shifts_of(fox)["LO"] > dragged)
    fox.one("button", "Undo").click()
    fox.wait("the key taken back", lambda: shifts_of(fox).get("LO") == dragged)

    fox.one("nav a", "Sheets").click()
    page = fox.one("img[alt*='Pattern, page 1 of']")
    fox.wait("the first page", lambda: fox.js("return arguments[0].naturalWidth > 500", page))
    whole = fox.js("return arguments[0].href", fox.one("a[download]", "All of them"))
    with urllib.request.urlopen(whole) as answer:
        assert answer.read(2) == b"PK"


def test_firefox_shows_the_lamp_s_light_or_the_plain_letters_in_its_place(fox, workshop):
    fox.open(workshop.url)
    fox.write(fox.field("Words of a new job"), "LANE")
    fox.one("button", "New job").click()
    letter(fox, "letter 4 of LANE")
    fox.wait("grooves", lambda: not fox.js("return document.querySelector('.stopcut-board').matches('.coming')"))
    fills = ("return [...document.querySelectorAll('.stopcut-board .letter path')].map((e) => "
             "getComputedStyle(e).fillOpacity + getComputedStyle(e).fill)")  # fmt: skip

    def seen() -> bool:
        lit = fox.js("return document.querySelector('.stopcut-board').classList.contains('lit')")
        hidden = re.compile(r"rgba\([^)]*, 0\)|none$|transparent")
        return lit or any(fill != "0none" and not hidden.search(fill) for fill in fox.js(fills))

    fox.wait("light or letters", seen)
