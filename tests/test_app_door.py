"""The door of the app: whoever asks under another name, for another page or along a crooked path stays outside."""

from __future__ import annotations

import json
import os
import socket
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from html.parser import HTMLParser
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import quote, unquote, urlsplit

import pytest
from app_process import AppProcess, app_process, asked, sent
from hypothesis import example, given
from hypothesis import strategies as st
from websockets.exceptions import InvalidStatus
from websockets.sync.client import connect

from stopcut.app.door_headers import page_policy, with_nonce
from stopcut.app.door_rules import MOST_BODY, Asked, asked_of, own_names, refusal

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

NAMES = own_names(("127.0.0.1", "localhost", "[::1]"), 8123)
HOST = "127.0.0.1:8123"


@pytest.fixture(scope="module")
def app(tmp_path_factory: pytest.TempPathFactory) -> Iterator[AppProcess]:
    with app_process(tmp_path_factory.mktemp("door") / "app") as running:
        yield running


@contextmanager
def _window(browser: Browser) -> Iterator[Page]:
    """A window that knows nothing of any other."""
    context = browser.new_context()
    yield context.new_page()
    context.close()


@pytest.fixture
def window(browser: Browser) -> Iterator[Page]:
    with _window(browser) as opened:
        yield opened


def request(method: str = "GET", target: bytes = b"/", socket: bool = False, **headers: str) -> Asked:
    """A request with these headers (underscores for hyphens); "" leaves Host out."""
    said = {"host": HOST, **headers}
    scope = {
        "type": "websocket" if socket else "http",
        "method": method,
        "path": unquote(target.decode("latin-1")),
        "raw_path": target,
        "headers": [
            (name.replace("_", "-").encode(), value.encode("latin-1")) for name, value in said.items() if value
        ],
    }
    return asked_of(scope)


def let_in(one: Asked) -> bool:
    return refusal(one, NAMES) is None


# --- names -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("host", ["127.0.0.1:8123", "localhost:8123", "LOCALHOST:8123", "[::1]:8123"])
def test_the_machines_own_names_are_let_in(host: str) -> None:
    assert let_in(request(host=host))
    assert let_in(request(host=host, origin=f"http://{host}", socket=True))


@given(st.text(st.characters(min_codepoint=33, max_codepoint=126), max_size=40))
@example("127.0.0.1")
@example("127.0.0.1:8124")
@example("localhost.:8123")
@example("carver@127.0.0.1:8123")
@example("127.0.0.1:8123@marrow.example")
@example("127.0.0.1:8123,marrow.example")
@example("127.0.0.1.marrow.example:8123")
@example("0.0.0.0:8123")
@example("[::ffff:127.0.0.1]:8123")
@example("2130706433:8123")
@example("")
def test_no_other_name_is_let_in(host: str) -> None:
    assert host.lower() in NAMES or not let_in(request(host=host))


def test_a_request_with_two_names_is_not_let_in() -> None:
    scope = {"type": "http", "method": "GET", "path": "/", "headers": [(b"host", HOST.encode())] * 2}
    assert refusal(asked_of(scope), NAMES)


def test_the_port_that_browsers_leave_out_may_be_left_out_there_only() -> None:
    assert "localhost" in own_names(["localhost"], 80)
    assert "localhost" not in own_names(["localhost"], 8123)


# --- other pages -----------------------------------------------------------------------------------------------------


@given(st.text(st.characters(min_codepoint=33, max_codepoint=126), min_size=1, max_size=40))
@example("null")
@example("https://127.0.0.1:8123")
@example("http://localhost:8123")
@example("http://127.0.0.1:8123/")
@example("http://127.0.0.1:8123.marrow.example")
@example("http://127.0.0.1")
def test_only_a_page_of_the_very_same_address_may_ask(origin: str) -> None:
    own = origin.lower() == f"http://{HOST}"
    for opened, method in ((True, "GET"), (False, "GET"), (False, "POST")):
        assert let_in(request(method, socket=opened, origin=origin)) == own


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "PATCH"])
def test_what_changes_something_says_which_page_asks(method: str) -> None:
    assert not let_in(request(method))
    assert let_in(request(method, origin=f"http://{HOST}"))
    assert not let_in(request(method, origin=f"http://{HOST}", sec_fetch_site="cross-site"))
    assert not let_in(request(method, origin=f"http://{HOST}", sec_fetch_site="same-site"))


def test_a_socket_says_which_page_asks() -> None:
    assert not let_in(request(socket=True))
    assert not let_in(request(socket=True, origin=f"http://{HOST}", sec_fetch_site="cross-site"))


def test_a_link_elsewhere_may_lead_to_a_page_but_no_page_elsewhere_may_use_one_of_the_files() -> None:
    led = {"sec_fetch_mode": "navigate", "sec_fetch_dest": "document"}
    assert let_in(request(sec_fetch_site="cross-site", **led))
    assert not let_in(request(sec_fetch_site="cross-site", sec_fetch_mode="navigate", sec_fetch_dest="iframe"))
    assert not let_in(request(sec_fetch_site="cross-site", sec_fetch_mode="no-cors"))
    assert not let_in(request(sec_fetch_site="same-site", sec_fetch_mode="cors"))
    assert not let_in(request("POST", sec_fetch_site="cross-site", **led))
    assert let_in(request(sec_fetch_site="none", **led))


@pytest.mark.parametrize("method", ["TRACE", "CONNECT", "OPTIONS", "PROPFIND"])
def test_methods_that_no_page_uses_are_not_let_in(method: str) -> None:
    assert not let_in(request(method, origin=f"http://{HOST}"))


# --- paths and bodies ------------------------------------------------------------------------------------------------


@given(st.text("./\\%25eEfFcCaA0", max_size=30).map(lambda text: f"/{text}"))
@example("/..%2fsecret")
@example("/files/%2e%2e/secret")
@example("/files/%252e%252e%252fsecret")
@example("/..%5csecret")
@example("/files/..")
@example("//marrow.example/")
def test_a_path_that_is_let_in_stays_inside_however_often_it_is_unquoted(target: str) -> None:
    if let_in(request(target=target.encode())):
        path = target
        for _ in range(3):
            assert os.path.normpath("/base/folder" + path).startswith("/base/folder")
            assert "\\" not in path
            assert "\0" not in path
            path = unquote(path)


@given(st.lists(st.text("abcXYZ019-_.~ é", min_size=1, max_size=8).filter(lambda part: ".." not in part), max_size=5))
def test_plain_paths_are_let_in(parts: list[str]) -> None:
    assert let_in(request(target=("/" + "/".join(quote(part) for part in parts)).encode()))


@pytest.mark.parametrize("target", [b"http://127.0.0.1:8123/", b"*", b"", b"marrow", b"/a%00b", b"/a%0d%0ab", b"/a\\b"])
def test_what_is_no_plain_path_is_not_let_in(target: bytes) -> None:
    scope = {"type": "http", "method": "GET", "path": "x", "raw_path": target, "headers": [(b"host", HOST.encode())]}
    assert refusal(asked_of(scope), NAMES) or not target  # no server hands on an empty one


def test_a_body_is_only_read_when_its_length_is_known_and_bearable() -> None:
    own = f"http://{HOST}"
    assert let_in(request("POST", origin=own, content_length=str(MOST_BODY)))
    for length in (str(MOST_BODY + 1), "9" * 40, "-1", "1e3", "²"):
        found = refusal(request("POST", origin=own, content_length=length), NAMES)
        assert found is not None
        assert found.status == 413
    found = refusal(request("POST", origin=own, transfer_encoding="chunked"), NAMES)
    assert found is not None
    assert found.status == 411


# --- the running app -------------------------------------------------------------------------------------------------


def test_a_page_is_served_to_its_own_address_and_says_what_it_may_do(app: AppProcess) -> None:
    status, headers, body = asked(app.host)
    assert status == 200
    assert b"Count" in body
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["referrer-policy"] == "no-referrer"
    assert headers["cross-origin-opener-policy"] == headers["cross-origin-resource-policy"] == "same-origin"
    assert "server" not in headers
    policy = dict(part.split(" ", 1) for part in headers["content-security-policy"].split("; "))
    assert policy["default-src"] == "'none'"
    assert policy["frame-ancestors"] == policy["base-uri"] == "'none'"
    assert policy["connect-src"] == f"'self' ws://{app.host}"
    assert "unsafe-inline" not in policy["script-src"]
    assert not any("http" in sources or "*" in sources for sources in policy.values())


class Scripts(HTMLParser):
    """The nonces of a page's scripts."""

    def __init__(self) -> None:
        super().__init__()
        self.nonces: list[str | None] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "script":
            self.nonces.append(dict(attrs).get("nonce"))


def test_each_pages_scripts_have_a_nonce_that_is_that_pages_alone(app: AppProcess) -> None:
    seen = set()
    for _ in range(3):
        _, headers, body = asked(app.host)
        scripts = Scripts()
        scripts.feed(body.decode())
        (nonce,) = set(scripts.nonces)
        assert nonce
        assert f"'nonce-{nonce}'" in headers["content-security-policy"]
        seen.add(nonce)
    assert len(seen) == 3


def test_words_that_look_like_a_script_get_no_nonce() -> None:
    assert with_nonce(b"<p>&lt;script&gt;</p><script>own()</script>", "abc").count(b"abc") == 1
    assert b"unsafe-eval" not in page_policy(HOST)


@pytest.mark.parametrize(
    "head",
    [
        "GET / HTTP/1.1\r\nHost: marrow.example\r\n\r\n",
        "GET / HTTP/1.1\r\nHost: marrow.example:{port}\r\n\r\n",
        "GET / HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n",
        "GET / HTTP/1.1\r\nHost: carver@127.0.0.1:{port}\r\n\r\n",
        "GET / HTTP/1.1\r\nHost: localhost.:{port}\r\n\r\n",
        "GET / HTTP/1.1\r\nHost: {host}\r\nHost: marrow.example\r\n\r\n",
        "GET / HTTP/1.1\r\nHost: {host}, marrow.example\r\n\r\n",
        "GET / HTTP/1.1\r\n\r\n",
        "GET / HTTP/1.0\r\n\r\n",
        "GET http://marrow.example/ HTTP/1.1\r\nHost: {host}\r\n\r\n",
        "GET http://{host}/ HTTP/1.1\r\nHost: marrow.example\r\n\r\n",
        "GET / HTTP/1.1\r\nHost: {host}\r\nOrigin: null\r\n\r\n",
        "GET / HTTP/1.1\r\nHost: {host}\r\nOrigin: http://marrow.example\r\n\r\n",
        "GET / HTTP/1.1\r\nHost: marrow.example\r\nX-Forwarded-Host: {host}\r\n\r\n",
        "GET / HTTP/1.1\r\n Host: {host}\r\nHost: marrow.example\r\n\r\n",
        "POST /change HTTP/1.1\r\nHost: {host}\r\nContent-Length: 0\r\n\r\n",
        "POST /change HTTP/1.1\r\nHost: {host}\r\nOrigin: null\r\nContent-Length: 0\r\n\r\n",
        "POST /change HTTP/1.1\r\nHost: {host}\r\nOrigin: http://localhost:{port}\r\nContent-Length: 0\r\n\r\n",
        "POST /change HTTP/1.1\r\nHost: {host}\r\nOrigin: http://{host}\r\nOrigin: http://marrow.example\r\n"
        "Content-Length: 0\r\n\r\n",
        "POST /change HTTP/1.1\r\nHost: {host}\r\nOrigin: http://{host}\r\nSec-Fetch-Site: cross-site\r\n"
        "Content-Length: 0\r\n\r\n",
        "POST /change HTTP/1.1\r\nHost: {host}\r\nOrigin: http://{host}\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n",
        "POST /change HTTP/1.1\r\nHost: {host}\r\nOrigin: http://{host}\r\nContent-Length: 99999999999\r\n\r\n",
        "OPTIONS * HTTP/1.1\r\nHost: {host}\r\n\r\n",
        "TRACE / HTTP/1.1\r\nHost: {host}\r\n\r\n",
        "CONNECT marrow.example:443 HTTP/1.1\r\nHost: {host}\r\n\r\n",
    ],
)
def test_attacks_on_pages_are_answered_with_a_plain_sentence_and_change_nothing(app: AppProcess, head: str) -> None:
    before = asked(app.host, "/changes")[2]
    status, headers, body = sent(app.host, head.format(host=app.host, port=app.port).encode())
    assert status in (400, 403, 405, 411, 413)
    assert b"Count" not in body
    assert b"Traceback" not in body
    assert "set-cookie" not in headers
    assert "access-control-allow-origin" not in headers
    assert asked(app.host, "/changes")[2] == before
    if status == 403:
        assert b"stopcut" in body


def test_the_apps_own_page_may_change_something(app: AppProcess) -> None:
    before = int(asked(app.host, "/changes")[2])
    own = {"Origin": f"http://{app.host}", "Content_Length": "0"}
    assert asked(app.host, "/change", "POST", **own)[0] == 200
    assert int(asked(app.host, "/changes")[2]) == before + 1


@pytest.mark.parametrize("top", ["/files", "{static}", "{root}/components", "{root}/libraries", "{root}/resources/x"])
@pytest.mark.parametrize(
    "way",
    [
        "/../../secret.txt",
        "/..%2f..%2fsecret.txt",
        "/%2e%2e/%2e%2e/secret.txt",
        "/%2e%2e%2f%2e%2e%2fsecret.txt",
        "/%252e%252e%252f%252e%252e%252fsecret.txt",
        "/..\\..\\secret.txt",
        "/..%5c..%5csecret.txt",
        "/....//....//secret.txt",
        "/..%c0%af..%c0%afsecret.txt",
        "/plain.txt%00.js",
        "/%00",
        "/link.txt",
        "//etc/passwd",
        "/%2fetc%2fpasswd",
        "/..;/..;/secret.txt",
        "/.",
        "/..",
    ],
)
def test_no_path_leads_out_of_the_packages_own_files(app: AppProcess, top: str, way: str) -> None:
    import nicegui

    root = f"/_nicegui/{nicegui.__version__}"
    path = top.format(root=root, static=f"{root}/static") + way
    status, _, body = sent(app.host, f"GET {path} HTTP/1.1\r\nHost: {app.host}\r\nConnection: close\r\n\r\n".encode())
    assert status in (400, 403, 404)
    assert b"a secret of the machine" not in body
    assert b"root:" not in body
    assert b"Traceback" not in body


def test_plain_files_are_served(app: AppProcess) -> None:
    import nicegui

    assert asked(app.host, "/files/plain.txt")[2] == b"plain"
    status, headers, body = asked(app.host, f"/_nicegui/{nicegui.__version__}/static/nicegui.js")
    assert status == 200
    assert "javascript" in headers["content-type"]
    assert body


@pytest.mark.parametrize(
    "path", ["/docs", "/redoc", "/openapi.json", "/_nicegui_ws/socket.io/?EIO=4&transport=polling"]
)
def test_what_no_page_needs_is_not_there(app: AppProcess, path: str) -> None:
    status, headers, body = asked(app.host, path)
    assert status in (400, 404)
    assert "access-control-allow-origin" not in headers
    assert b"sid" not in body


SOCKET = "/_nicegui_ws/socket.io/?EIO=4&transport=websocket"


@pytest.mark.parametrize(
    ("origin", "host"),
    [
        (None, "{host}"),
        ("null", "{host}"),
        ("http://marrow.example", "{host}"),
        ("https://{host}", "{host}"),
        ("http://localhost:{port}", "{host}"),
        ("http://marrow.example", "marrow.example"),
        ("http://marrow.example:{port}", "marrow.example:{port}"),
    ],
)
def test_a_socket_of_another_page_or_name_is_closed_before_it_opens(
    app: AppProcess, origin: str | None, host: str
) -> None:
    said = origin.format(host=app.host, port=app.port) if origin else None
    # The client sets Host from its URI: the name there is what a browser would have believed, the place is the app's.
    uri = f"ws://{host.format(host=app.host, port=app.port)}{SOCKET}"
    plain = socket.create_connection(("127.0.0.1", app.port))
    with pytest.raises(InvalidStatus) as met, connect(uri, sock=plain, origin=said):  # type: ignore[arg-type]
        pass
    assert met.value.response.status_code == 403
    assert b"stopcut" in (met.value.response.body or b"")


def test_a_socket_of_the_apps_own_page_opens(app: AppProcess) -> None:
    with connect(f"ws://{app.host}{SOCKET}", origin=f"http://{app.host}") as socket:  # type: ignore[arg-type]
        opened = socket.recv()
        assert isinstance(opened, str)
        assert json.loads(opened[1:])["sid"]


def test_nothing_a_visitor_says_of_a_server_in_between_reaches_the_page(app: AppProcess) -> None:
    body = asked(app.host, "/", X_Forwarded_Prefix="/marrow-prefix", X_Forwarded_Host="marrow.example")[2]
    assert b"marrow" not in body


def test_a_page_that_breaks_says_nothing_of_the_machine(app: AppProcess) -> None:
    status, headers, body = asked(app.host, "/broken")
    assert status == 500
    assert b"Traceback" not in body
    assert str(Path.cwd()).encode() not in body
    assert headers["content-security-policy"].startswith("default-src 'none'")


# --- in a real browser -----------------------------------------------------------------------------------------------

ELSEWHERE = """<!doctype html><title>elsewhere</title><script>
const app = "http://{host}", met = {{}};
const note = (name, promise) => promise.then((v) => met[name] = v, () => met[name] = "refused");
Promise.all([
  note("read", fetch(app + "/changes").then((r) => r.text())),
  note("send", fetch(app + "/change", {{method: "POST", mode: "no-cors"}}).then((r) => r.type)),
  note("beacon", Promise.resolve(navigator.sendBeacon(app + "/change", "x"))),
  note("script", new Promise((yes, no) => {{
    const one = document.createElement("script");
    one.onload = () => yes("loaded"); one.onerror = no; one.src = app + "{script}"; document.head.append(one);
  }})),
  note("image", new Promise((yes, no) => {{
    const one = new Image(); one.onload = () => yes("loaded"); one.onerror = no; one.src = app + "/favicon.ico";
  }})),
  note("socket", new Promise((yes, no) => {{
    const one = new WebSocket("ws://{host}{socket}"); one.onopen = () => yes("opened"); one.onerror = no;
  }})),
  note("frame", new Promise((yes) => {{
    const one = document.createElement("iframe"); one.src = app + "/"; document.documentElement.append(one);
    one.onload = () => {{ try {{ yes(one.contentDocument ? "read" : "shown") }} catch {{ yes("shown") }} }};
  }})),
]).then(() => {{ window.met = met }});
</script><form method="post" action="http://{host}/change"><button>Go</button></form>"""


@pytest.fixture(scope="module")
def elsewhere(app: AppProcess) -> Iterator[str]:
    """A page of another site of this machine that tries what such pages try."""
    import nicegui

    script = f"/_nicegui/{nicegui.__version__}/static/socket.io.min.js"
    page = ELSEWHERE.format(host=app.host, socket=SOCKET, script=script).encode()

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            self.send_response(200)
            self.send_header("Content-Type", "text/html")
            self.end_headers()
            self.wfile.write(page)

        def log_message(self, *_: object) -> None: ...

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"127.0.0.1:{server.server_port}"
    server.shutdown()


@pytest.mark.browser
def test_a_page_elsewhere_reads_nothing_and_changes_nothing(window: Page, app: AppProcess, elsewhere: str) -> None:
    before = asked(app.host, "/changes")[2]
    window.goto(f"http://{elsewhere}/")
    window.wait_for_function("window.met")
    met = window.evaluate("window.met")
    assert {name: met[name] for name in ("read", "script", "image", "socket")} == dict.fromkeys(
        ("read", "script", "image", "socket"), "refused"
    )
    (frame,) = window.frames[1:]
    assert frame.locator("#count").count() == 0
    window.get_by_role("button", name="Go").click()
    window.wait_for_url(f"http://{app.host}/change")
    assert "Another page asked" in window.inner_text("body")
    assert asked(app.host, "/changes")[2] == before


@pytest.mark.browser
def test_the_page_works_under_its_own_rules_and_asks_no_one_else(window: Page, app: AppProcess, tmp_path: Path) -> None:
    (tmp_path / "leaf.svg").write_text("<svg/>")
    said, asked_for = [], []
    window.on("console", lambda message: said.append(message.text))
    window.on("request", lambda request: asked_for.append(urlsplit(request.url)))
    window.goto(app.address)
    window.get_by_role("button", name="Count").click()
    window.locator("#count").get_by_text("1", exact=True).wait_for()
    window.set_input_files("input[type=file]", tmp_path / "leaf.svg")
    window.locator("#count").get_by_text("leaf.svg").wait_for()
    window.evaluate("document.body.insertAdjacentHTML('beforeend', '<img src=x onerror=\"window.ran = 1\">')")
    window.evaluate("new Promise((done) => setTimeout(done, 300))")
    assert window.evaluate("window.ran") is None
    refused = [text for text in said if "Content Security Policy" in text]
    assert len(refused) == 1  # that of the picture put in just now
    assert {one.netloc for one in asked_for if one.scheme not in ("data", "blob")} == {app.host}


@pytest.mark.browser
def test_a_tablet_comes_in_by_the_code_and_sees_a_clean_address(browser: Browser, tmp_path: Path) -> None:
    if sys.platform != "linux":
        pytest.skip("only Linux has 127.0.0.2 without asking")
    with app_process(tmp_path / "shared", share=True) as app, _window(browser) as page, _window(browser) as tablet:
        page.goto(app.address)
        address = page.get_by_role("link", name="address").get_attribute("href") or ""
        tablet.goto(f"http://{app.shared}/")
        assert "with a key" in tablet.inner_text("body")
        tablet.goto(address)
        assert tablet.url == f"http://{app.shared}/"
        tablet.get_by_role("button", name="Count").click()
        tablet.locator("#count").get_by_text("1", exact=True).wait_for()
