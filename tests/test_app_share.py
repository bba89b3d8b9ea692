"""Sharing with the network: only with the key, not by guessing, and without the key being told anywhere else."""

from __future__ import annotations

import html
import re
import sys
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import parse_qs, urlsplit

import pytest
import segno
from app_process import NETWORK, AppProcess, app_process, asked
from websockets.exceptions import InvalidStatus
from websockets.sync.client import connect

from stopcut.app import share as sharing
from stopcut.app.share import (
    COOKIE,
    KEY_BYTES,
    MOST_WRONG,
    MOST_WRONG_IN_ALL,
    WINDOW_S,
    Pass,
    Share,
    network_address,
)
from stopcut.errors import CarverError

TABLET, OTHER = "192.0.2.7", "192.0.2.8"


class Clock:
    def __init__(self) -> None:
        self.now = 1000.0

    def __call__(self) -> float:
        return self.now


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def share(clock: Clock) -> Share:
    return Share("192.0.2.2", 8123, clock=clock)


def key_of(share: Share) -> str:
    return parse_qs(urlsplit(share.card().address).query)["key"][0]


def carried_of(share: Share) -> str:
    return share.cookie().partition("=")[2].partition(";")[0]


# --- who comes in ----------------------------------------------------------------------------------------------------


def test_who_has_the_key_is_welcome_and_then_comes_in_with_what_they_carry(share: Share) -> None:
    assert share.look(TABLET, None, None) is Pass.NO_KEY
    assert share.look(TABLET, key_of(share), None) is Pass.WELCOME
    assert share.look(TABLET, None, carried_of(share)) is Pass.IN
    assert share.look(TABLET, "an older key", carried_of(share)) is Pass.WELCOME


@pytest.mark.parametrize("wrong", ["", "x", "ключ", "\udcff", "a" * 10_000])
def test_a_wrong_key_does_not_let_in(share: Share, wrong: str) -> None:
    assert share.look(TABLET, wrong, None) is Pass.WRONG
    assert share.look(TABLET, None, wrong) is Pass.WRONG


def test_part_of_the_key_is_a_wrong_key(share: Share) -> None:
    key = key_of(share)
    for wrong in (key[:-1], key + "A", key.swapcase(), carried_of(share)):
        assert share.look(TABLET, wrong, None) in (Pass.WRONG, Pass.WAIT)
    assert share.look(OTHER, None, key) is Pass.WRONG


def test_after_some_wrong_keys_an_address_waits_a_minute_even_with_the_right_one(share: Share, clock: Clock) -> None:
    for number in range(MOST_WRONG):
        assert share.look(TABLET, f"wrong {number}", None) is Pass.WRONG
    assert share.look(TABLET, key_of(share), None) is Pass.WAIT
    assert share.look(TABLET, None, carried_of(share)) is Pass.WAIT
    assert share.look(OTHER, key_of(share), None) is Pass.WELCOME
    clock.now += WINDOW_S + 1
    assert share.look(TABLET, key_of(share), None) is Pass.WELCOME


def test_many_addresses_do_not_help_to_guess_and_do_not_shut_out_who_is_in(share: Share, clock: Clock) -> None:
    looked_at = 0
    for number in range(200):
        met = share.look(f"192.0.2.{number}", f"wrong {number}", None)
        looked_at += met is Pass.WRONG
    assert looked_at == MOST_WRONG_IN_ALL
    assert share.look(OTHER, key_of(share), None) is Pass.WAIT
    assert share.look(TABLET, None, carried_of(share)) is Pass.IN
    assert len(share._wrong) <= MOST_WRONG_IN_ALL
    clock.now += WINDOW_S + 1
    assert share.look(OTHER, key_of(share), None) is Pass.WELCOME


def test_a_tablet_of_an_earlier_start_that_asks_again_and_again_does_not_shut_itself_out(share: Share) -> None:
    for _ in range(100):
        assert share.look(TABLET, None, "carried since yesterday") is Pass.WRONG
    assert share.look(TABLET, key_of(share), "carried since yesterday") is Pass.WELCOME


def test_guessing_by_what_is_carried_is_limited_too(share: Share) -> None:
    met = [share.look(TABLET, None, f"guess {number}") for number in range(MOST_WRONG + 3)]
    assert met.count(Pass.WRONG) == MOST_WRONG
    assert met[-1] is Pass.WAIT


# --- the key and its code --------------------------------------------------------------------------------------------


def test_the_key_is_new_on_each_start_and_long(share: Share) -> None:
    keys = {key_of(Share("192.0.2.2", 8123)) for _ in range(50)} | {key_of(share)}
    assert len(keys) == 51
    assert KEY_BYTES * 8 >= 128
    assert all(len(key) >= KEY_BYTES * 4 / 3 for key in keys)


def test_the_key_is_not_part_of_what_is_printed(share: Share) -> None:
    card = share.card()
    for shown in (repr(card), repr(share), str(card), card.plain_address, card.says, card.caution):
        assert key_of(share) not in shown


def test_the_cookie_is_for_the_server_alone_and_for_its_own_pages(share: Share) -> None:
    parts = {part.strip().lower() for part in share.cookie().split(";")[1:]}
    assert {"httponly", "samesite=strict", "path=/"} == parts
    assert key_of(share) not in share.cookie()


def luminance(colour: str) -> float:
    """WCAG 2.2, relative luminance, of #rgb or #rrggbb."""
    colour = colour if len(colour) == 7 else "#" + "".join(2 * digit for digit in colour[1:])
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def test_the_code_is_the_address_in_dark_on_light_with_its_quiet_zone(share: Share) -> None:
    card = share.card()
    svg = ET.fromstring(card.code_svg)
    paper, modules = (path for path in svg.iter() if path.tag.endswith("path"))
    light, dark = paper.get("fill") or "", modules.get("stroke") or ""
    assert (luminance(light) + 0.05) / (luminance(dark) + 0.05) >= 4.5  # WCAG 2.2, contrast (minimum)
    side = float((svg.get("viewBox") or "").split()[2])
    dots = drawn(modules.get("d") or "")
    quiet = 4  # ISO/IEC 18004: the quiet zone of a QR code is four modules
    assert min(x for x, _ in dots) == min(y for _, y in dots) == quiet
    assert max(x for x, _ in dots) == side - quiet - 1
    code = segno.make(card.address, error="m", micro=False)
    expected = {(x + quiet, y + quiet) for y, row in enumerate(code.matrix) for x, on in enumerate(row) if on}
    assert dots == expected


def drawn(path: str) -> set[tuple[int, int]]:
    """The modules that horizontal strokes of one module's width cover."""
    dots: set[tuple[int, int]] = set()
    x = y = 0.0
    for command, numbers in re.findall(r"([Mmh])([^Mmh]*)", path):
        values = [float(number) for number in numbers.split()]
        if command == "h":
            dots |= {(round(x) + step, int(y)) for step in range(round(values[0]))}
            x += values[0]
        else:
            x, y = values if command == "M" else (x + values[0], y + values[1])
    return dots


def test_nothing_is_shared_from_a_machine_on_no_network_or_open_to_all(monkeypatch: pytest.MonkeyPatch) -> None:
    class Asking:
        found = "192.0.2.2"

        def __enter__(self) -> Asking:
            return self

        def __exit__(self, *_: object) -> None: ...

        def connect(self, _address: object) -> None:
            if not self.found:
                raise OSError("network is unreachable")

        def getsockname(self) -> tuple[str, int]:
            return self.found, 1

    monkeypatch.setattr(sharing.socket, "socket", lambda *_: Asking())
    assert network_address() == "192.0.2.2"
    for found, says in (("", "no network"), ("127.0.0.1", "no network"), ("8.8.8.8", "from everywhere")):
        Asking.found = found
        with pytest.raises(CarverError, match=says):
            network_address()


# --- the running app -------------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def app(tmp_path_factory: pytest.TempPathFactory) -> Iterator[AppProcess]:
    if sys.platform != "linux":
        pytest.skip("only Linux has 127.0.0.2 without asking")
    with app_process(tmp_path_factory.mktemp("share") / "app", share=True) as running:
        yield running


@pytest.fixture(scope="module")
def key(app: AppProcess) -> str:
    """The key as the page on this machine shows it."""
    found = re.search(r"\?key=([\w-]+)", html.unescape(asked(app.host)[2].decode()))
    assert found is not None
    return found[1]


def test_this_machines_own_browser_needs_no_key(app: AppProcess) -> None:
    status, _, body = asked(app.host)
    assert status == 200
    assert b"share-code" in body
    assert b"Share on your own network only" in body


def test_the_network_gets_nothing_without_the_key(app: AppProcess) -> None:
    for path in ("/", "/files/plain.txt", "/changes", "/?a=b", "/favicon.ico", "/_nicegui/none"):
        status, _, body = asked(app.shared, path)
        assert status == 403
        assert b"with a key" in body
    own = {"Origin": f"http://{app.shared}", "Content_Length": "0"}
    assert asked(app.shared, "/change", "POST", **own)[0] == 403


def test_the_key_lets_in_once_and_the_address_is_clean_from_then_on(app: AppProcess, key: str) -> None:
    status, headers, _ = asked(app.shared, f"/?key={key}")
    assert status == 303
    assert headers["location"] == "/"
    cookie, *rules = headers["set-cookie"].split("; ")
    assert {rule.lower() for rule in rules} == {"httponly", "samesite=strict", "path=/"}
    assert key not in cookie
    status, headers, body = asked(app.shared, Cookie=f"other=1; {cookie}")
    assert status == 200
    assert b"Count" in body
    assert f"ws://{app.shared}" in headers["content-security-policy"]
    uri = f"ws://{app.shared}/_nicegui_ws/socket.io/?EIO=4&transport=websocket"
    origin = f"http://{app.shared}"
    with connect(uri, origin=origin, additional_headers={"Cookie": cookie}) as opened:  # type: ignore[arg-type]
        assert "sid" in str(opened.recv())
    with pytest.raises(InvalidStatus), connect(uri, origin=origin):  # type: ignore[arg-type]
        pass
    with (
        pytest.raises(InvalidStatus),
        connect(uri, origin="http://marrow.example", additional_headers={"Cookie": cookie}),  # type: ignore[arg-type]
    ):
        pass


def test_the_network_asks_by_the_networks_name_and_this_machine_by_its_own(app: AppProcess, key: str) -> None:
    cookie = asked(app.shared, f"/?key={key}")[1]["set-cookie"].partition(";")[0]
    assert asked(app.shared, Cookie=cookie, Host=f"localhost:{app.port}")[0] == 403
    assert asked(app.shared, Cookie=cookie, Host="marrow.example")[0] == 403
    assert asked(app.host, Host=app.shared)[0] == 403


def test_an_address_with_a_key_is_cleaned_on_this_machine_too(app: AppProcess) -> None:
    status, headers, _ = asked(app.host, "/?key=whatever")
    assert status == 303
    assert headers["location"] == "/"
    assert COOKIE not in headers.get("set-cookie", "")


def test_wrong_keys_are_answered_plainly_and_then_not_looked_at(tmp_path: Path) -> None:
    if sys.platform != "linux":
        pytest.skip("only Linux has 127.0.0.2 without asking")
    with app_process(tmp_path / "app", share=True) as app:
        met = [asked(app.shared, f"/?key=wrong{number}") for number in range(MOST_WRONG + 2)]
        assert [status for status, _, _ in met] == [403] * MOST_WRONG + [429] * 2
        assert b"Wait a minute" in met[-1][2]
        assert b"not today" in met[0][2]
        assert asked(app.host)[0] == 200


def test_the_key_is_told_nowhere_but_on_the_page(app: AppProcess, key: str) -> None:
    cookie = asked(app.shared, f"/?key={key}")[1]["set-cookie"].partition(";")[0]
    asked(app.shared, f"/none?key={key}", Cookie=cookie)
    asked(app.shared, f"/broken?key={key}", Cookie=cookie)
    asked(app.shared, f"/?a=1&key={key}", "POST", Origin=f"http://{app.shared}", Cookie=cookie, Content_Length="0")
    told = app.words()
    for path in app.home.parent.rglob("*"):
        if path.is_file():
            told += path.read_text(errors="replace")
    assert key not in told
    assert cookie.partition("=")[2] not in told
    assert f"http://{NETWORK}:{app.port}" in app.words()
    assert "Anyone on this network" in app.words()
    assert "not found" in (app.home / "app" / "app.log").read_text()  # that the log would have told
