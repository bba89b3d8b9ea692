"""One field on a ledge, in a page of its own."""

from __future__ import annotations

import patient
import pytest
from app_process import app_process
from playwright.sync_api import Page, expect
from workshop import soon


class Window:
    """The ledge in a fresh window; it takes nothing before it is let."""

    def __init__(self, page: Page, address: str) -> None:
        self.page, self.address = page, address
        page.goto(address)
        expect(page.locator("#ready")).to_be_visible()
        self.radius = page.get_by_role("textbox", name="Radius")

    def told(self) -> list:
        """What was handed on so far."""
        return patient.get(f"{self.address}/told").json()

    def tells(self, *told: list) -> None:
        """Wait until this was handed on: no more, no less."""
        soon(lambda: len(self.told()) >= len(told))
        assert self.told() == list(told)

    def shows(self) -> None:
        """Wait until the ledge was shown to the page a few times more, and the page has had it."""
        before = patient.get(f"{self.address}/shown").json()
        soon(lambda: patient.get(f"{self.address}/shown").json() > before + 2)
        self.page.wait_for_timeout(100)

    def let(self) -> None:
        """One more may be taken."""
        patient.post(f"{self.address}/let", headers={"Origin": self.address}).raise_for_status()

    def button(self, name: str):
        return self.page.get_by_role("button", name=name)

    def another(self) -> None:
        """Another window writes in the field."""
        self.button("Another window").evaluate("button => button.click()")

    def rests(self) -> None:
        """Time for what should not come."""
        self.page.wait_for_timeout(300)


@pytest.fixture(scope="module")
def ledge(tmp_path_factory):
    with app_process(tmp_path_factory.mktemp("ledge"), "ledge_pages:pages") as running:
        yield running


@pytest.fixture
def window(context, ledge):
    page = context.new_page()
    yield Window(page, ledge.address)
    page.close()
