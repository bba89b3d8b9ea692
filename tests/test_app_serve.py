"""The server: at which address, what it keeps where, and that it ends when it is told to."""

from __future__ import annotations

import io
import json
import logging
import os
import re
import signal
import socket
import stat
import struct
import subprocess
import sys
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path

import httpx
import patient
import pytest
from app_process import PATIENCE_S, AppProcess, app_process, asked
from click.testing import CliRunner
from websockets.sync.client import connect

from stopcut.app import serve as server
from stopcut.app.serve_home import log_to_home, server_folder, signing_secret, terminal_kept_clear
from stopcut.cli.main import commands
from stopcut.errors import BadFile, CarverError

SOCKET = "/_nicegui_ws/socket.io/?EIO=4&transport=websocket"
posix = pytest.mark.skipif(os.name == "nt", reason="Windows has neither these signals nor these permissions")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "app"


@pytest.fixture
def own_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("STOPCUT_HOME", str(tmp_path / "home"))
    return tmp_path / "home"


@contextmanager
def open_page(app: AppProcess, path: str = "/") -> Iterator[None]:
    """A page with its socket open, by the handshake that a browser does once it has the page."""
    client = re.search(r"'client_id': '([^']+)'", patient.get(app.address + path).text)
    assert client is not None
    query = f"&client_id={client[1]}&document_id=d&tab_id=t&next_message_id=0&implicit_handshake=true"
    with connect(f"ws://{app.host}{SOCKET}{query}", origin=f"http://{app.host}") as opened:  # type: ignore[arg-type]
        assert json.loads(str(opened.recv())[1:])["sid"]
        opened.send("40")
        while path == "/" and not (said := str(opened.recv())).startswith("40"):  # the other pages are busy by then
            assert said == "2"  # are you there
        yield


@posix
@pytest.mark.parametrize("sig", [signal.SIGINT, signal.SIGTERM])
def test_it_ends_without_a_word_though_a_page_is_open(folder: Path, sig: signal.Signals) -> None:
    with app_process(folder) as app, open_page(app):
        said = app.words()
        assert app.end(sig) == 0
        assert app.words() == said
        assert "Traceback" not in (app.home / "app" / "app.log").read_text()
        with pytest.raises(OSError, match="refused"):
            socket.create_connection(("127.0.0.1", app.port), timeout=5)


@posix
@pytest.mark.parametrize("path", ["/held", "/stuck"])
def test_it_ends_though_something_in_it_would_go_on_for_two_minutes(folder: Path, path: str) -> None:
    with app_process(folder) as app, open_page(app, path):
        while not (folder / "work" / "begun").exists():
            assert app.process.poll() is None
            time.sleep(0.02)
        assert app.end(signal.SIGINT) == 0
    assert server.END_S < 3  # the clock of its own by which it ended, as promised


def test_it_serves_this_machine_alone(folder: Path) -> None:
    with app_process(folder) as app:
        assert app.host.startswith("127.0.0.1:")
        listening = Path("/proc/net/tcp")
        if not listening.exists():
            pytest.skip("this system does not tell who listens where")
        port = f"{app.port:04X}"
        lines = [line.split() for line in listening.read_text().splitlines()[1:]]
        assert {line[1] for line in lines if line[3] == "0A" and line[1].endswith(port)} == {f"0100007F:{port}"}


def test_nothing_is_left_in_the_current_folder_and_the_log_says_nothing_of_visits(folder: Path) -> None:
    with app_process(folder) as app:
        with httpx.Client(timeout=patient.PATIENCE_S) as browser:
            for _ in range(2):
                browser.get(app.address)
        assert [path.name for path in (folder / "work").iterdir()] == ["static"]  # the test's own
        assert (app.home / "app" / "secret").exists()
        assert "GET" not in app.words() + (app.home / "app" / "app.log").read_text()


def test_a_taken_port_is_told_and_the_next_free_one_is_taken_where_none_is_asked_for() -> None:
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        taken = other.getsockname()[1]
        with pytest.raises(CarverError, match=f"Port {taken} is taken"):
            server._listen(taken, ["127.0.0.1"])
    first = server._listen(None, ["127.0.0.1"])
    second = server._listen(None, ["127.0.0.1"])
    try:
        ports = [one[0].getsockname()[1] for one in (first, second)]
        assert server.FIRST_PORT <= ports[0] < ports[1] < server.FIRST_PORT + server.PORTS_TRIED
    finally:
        for one in (*first, *second):
            one.close()


def test_a_port_that_is_free_at_one_address_only_is_not_taken_at_either(monkeypatch: pytest.MonkeyPatch) -> None:
    if sys.platform != "linux":
        pytest.skip("only Linux has 127.0.0.2 without asking")
    with socket.socket() as other:
        other.bind(("127.0.0.2", 0))
        other.listen()
        taken = other.getsockname()[1]
        with pytest.raises(CarverError, match="is taken"):
            server._listen(taken, ["127.0.0.1", "127.0.0.2"])
        for one in server._listen(taken, ["127.0.0.1"]):
            one.close()


@pytest.mark.parametrize("port", ["0", "65536", "-1", "gate"])
def test_a_port_that_cannot_be_is_not_taken(port: str) -> None:
    done = CliRunner().invoke(commands, ["app", "--port", port])
    assert done.exit_code == 2
    assert "Traceback" not in done.output


def test_the_command_serves_what_it_is_asked_for(monkeypatch: pytest.MonkeyPatch) -> None:
    asked_for: list[dict[str, object]] = []
    monkeypatch.setattr(server, "serve", lambda **options: asked_for.append(options))
    CliRunner().invoke(commands, ["app"], standalone_mode=False)
    CliRunner().invoke(commands, ["app", "--port", "9000", "--no-browser", "--share"], standalone_mode=False)
    told = [{key: options[key] for key in ("port", "share", "browser")} for options in asked_for]
    assert told == [{"port": None, "share": False, "browser": True}, {"port": 9000, "share": True, "browser": False}]


@posix
@pytest.mark.parametrize("more", [["--no-browser"], []])
def test_the_command_opens_the_workshop_at_the_port_asked_for_and_ends(tmp_path: Path, more: list[str]) -> None:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    browser = tmp_path / "browser"
    browser.write_text(
        f'#!/bin/sh\nprintf %s "$1" > {tmp_path}/opened.new\nmv {tmp_path}/opened.new {tmp_path}/opened\n'
    )
    browser.chmod(0o755)
    own = {"STOPCUT_HOME": str(tmp_path / "home"), "BROWSER": str(browser), "DISPLAY": ":0"}
    environment = {name: value for name, value in os.environ.items() if not name.startswith("PYTEST")} | own
    command = [sys.executable, "-m", "stopcut", "app", "--port", str(port), *more]
    with subprocess.Popen(command, cwd=tmp_path, env=environment, stdout=subprocess.PIPE, text=True) as process:
        try:
            assert process.stdout is not None
            assert f"http://127.0.0.1:{port}" in process.stdout.readline()
            page = patient.get(f"http://127.0.0.1:{port}/")
            assert page.status_code == 200
            assert "<title>Jobs" in page.text
            while not more and not (tmp_path / "opened").exists():
                assert process.poll() is None
            process.send_signal(signal.SIGTERM)
            assert process.wait(60) == 0
            assert process.stdout.read() == ""
        finally:
            process.kill()
    opened = {"opened"} if not more else set()
    assert {path.name for path in tmp_path.iterdir()} == {"home", "browser"} | opened
    assert more or (tmp_path / "opened").read_text() == f"http://127.0.0.1:{port}"


def test_other_commands_wait_for_no_server(tmp_path: Path) -> None:
    script = (
        "import sys; from stopcut.cli.main import commands\n"
        "list(commands.commands.values())\n"
        "commands.main(['app', '--help'], standalone_mode=False)\n"
        "print(sorted({'nicegui', 'fastapi', 'uvicorn', 'segno', 'stopcut.app.serve'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "[]"


@posix
def test_the_signing_secret_is_for_this_user_alone_and_stays(own_home: Path) -> None:
    secret = signing_secret()
    path = own_home / "app" / "secret"
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert stat.S_IMODE(path.parent.stat().st_mode) == 0o700
    path.chmod(0o644)
    assert signing_secret() == secret
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert len(secret) >= 32
    assert [one.name for one in path.parent.iterdir()] == ["secret"]


def test_starts_at_the_same_moment_agree_on_one_secret(own_home: Path) -> None:
    with ThreadPoolExecutor(8) as threads:
        secrets = list(threads.map(lambda _: signing_secret(), range(24)))
    assert len(set(secrets)) == 1


def test_a_secret_that_was_cut_short_makes_way_for_a_new_one(own_home: Path) -> None:
    path = server_folder() / "secret"
    path.write_text("short")
    assert len(signing_secret()) >= 32
    path.write_bytes(b"\xff" * 40)
    with pytest.raises(BadFile, match="take it away"):
        signing_secret()


def test_a_home_that_cannot_be_made_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "file").write_text("")
    monkeypatch.setenv("STOPCUT_HOME", str(tmp_path / "file" / "home"))
    with pytest.raises(BadFile, match="cannot be made"):
        signing_secret()


def test_the_log_has_no_key_in_it(own_home: Path) -> None:
    root = logging.getLogger()
    before, level = root.handlers[:], root.level
    try:
        log_to_home()
        logging.getLogger("nicegui").warning("%s not found", "http://127.0.0.2:8123/job?a=1&key=abcDEF-_1&b=2")
        try:
            raise ValueError("/?key=abcDEF-_1")
        except ValueError:
            logging.getLogger("uvicorn.error").exception("broke")
        root.handlers[0].close()
    finally:
        root.handlers[:] = before
        root.setLevel(level)
    said = (own_home / "app" / "app.log").read_text()
    assert "abcDEF" not in said
    assert "http://127.0.0.2:8123/job?… not found" in said


def _unloved(host: str) -> list[bytes]:
    """What no browser sends: other protocols, broken heads, transports and sockets that are none of ours."""
    to = f"Host: {host}\r\n".encode()
    socket_head = b"Upgrade: websocket\r\nConnection: Upgrade\r\nSec-WebSocket-Version: 13\r\n"
    socket_head += b"Sec-WebSocket-Key: AAAAAAAAAAAAAAAAAAAAAA==\r\nOrigin: http://" + host.encode() + b"\r\n"
    opened = b"GET " + SOCKET.encode() + b" HTTP/1.1\r\n" + to + socket_head + b"\r\n"
    return [
        b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03",
        b"GET / HTTP/9.9\r\n\r\n",
        b"GET / HTTP/1.1\r\n" + to + b"Long: " + b"x" * 200_000 + b"\r\n\r\n",
        b"POST / HTTP/1.1\r\n" + to + b"Content-Length: 100\r\n\r\nabc",
        opened,
        opened + b"\xff" * 50,
        opened + b"\x81\x82\x00\x00\x00\x0040\x81\x86\x00\x00\x00\x0042[" + b'"a"',
    ]


@posix
def test_the_terminal_has_our_own_lines_alone_whatever_is_sent_and_broken_off(folder: Path) -> None:
    with app_process(folder) as app:
        said = app.words()
        for raw in _unloved(app.host) * 2:
            with socket.create_connection(("127.0.0.1", app.port), timeout=PATIENCE_S) as connection:
                connection.sendall(raw)
                connection.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))  # closed as torn
        assert asked(app.host, SOCKET.replace("websocket", "polling"))[0] == 400
        assert asked(app.host)[0] == 200
        assert app.end(signal.SIGINT) == 0
        assert app.words() == said


def test_what_libraries_write_to_the_terminal_goes_to_the_log_and_nowhere_where_that_is_full(
    own_home: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    root = logging.getLogger()
    before, level = root.handlers[:], root.level
    try:
        log_to_home()
        with terminal_kept_clear():
            print("a library's line at /?key=abc", file=sys.stderr)
            monkeypatch.setattr(root.handlers[0], "stream", _FullDisk())
            logging.getLogger("nicegui").warning("one more")  # logging tells of its own trouble on standard error
            print("a last line", file=sys.stderr)
        monkeypatch.undo()
        root.handlers[0].close()
    finally:
        root.handlers[:] = before
        root.setLevel(level)
    assert capsys.readouterr() == ("", "")


class _FullDisk(io.StringIO):
    def write(self, _text: str) -> int:
        raise OSError(28, "No space left on device")


def test_the_app_runs_on_a_thread_for_a_test_and_once_a_process(tmp_path: Path) -> None:
    script = (
        f"import sys; sys.path.insert(0, {str(Path(__file__).parent)!r})\n"
        "import httpx, app_pages; from stopcut.app.serve import build, running\n"
        "with running(app_pages.pages) as address: print(httpx.get(address, timeout=120).status_code)\n"
        "try: build(app_pages.pages, port=1)\n"
        "except RuntimeError as problem: print(problem)"
    )
    environment = {**os.environ, "STOPCUT_HOME": str(tmp_path / "home")}
    environment.pop("PYTEST_CURRENT_TEST", None)
    done = subprocess.run(
        [sys.executable, "-c", script], cwd=tmp_path, env=environment, capture_output=True, text=True, check=True
    )
    assert done.stdout.splitlines() == ["200", "the app has been built in this process already"]
    assert "Traceback" not in done.stderr
