"""The server: one process on this machine's own address that ends when it is told to.

`build` makes the app behind its door; `serve` runs it for a person, `running` for a test or a benchmark. The web
framework is imported here only, once STOPCUT_HOME is known to it, and never leaves anything in the current folder.
"""

from __future__ import annotations

import asyncio
import contextlib
import errno
import logging
import os
import re
import signal
import socket
import sys
import threading
import time
import webbrowser
from collections.abc import Callable, Iterator
from types import FrameType
from typing import Any

import uvicorn
from fastapi import FastAPI

from stopcut.app.door import Door
from stopcut.app.serve_home import log_to_home, server_folder, signing_secret, terminal_kept_clear
from stopcut.app.share import Share, network_address, show_share
from stopcut.errors import CarverError
from stopcut.interrupted import leave_to_others

__all__ = ["Setup", "build", "running", "serve"]

_HIGH, _LOW = r"\\u[dD][89abAB][0-9a-fA-F]{2}", r"\\u[dD][c-fC-F][0-9a-fA-F]{2}"
_HALVES = re.compile(rf"\\\\|{_HIGH}{_LOW}|(?P<lone>{_HIGH}|{_LOW})")
"""Escapes of a JSON text: a backslash, a whole character in two halves, a half alone. (RFC 8259, 7)"""

Setup = Callable[[FastAPI], object]
"""Puts pages and addresses on the server."""

HOST = "127.0.0.1"
FIRST_PORT = 8123
"""The port that is tried first. Our choice: free on most machines."""
PORTS_TRIED = 20
"""Ports tried one after the other where none is asked for. Our choice."""
ONE_YEAR_S = 365 * 24 * 3600
"""How long a browser stays the same one for undo. [s] Our choice."""
RECONNECT_S = 15.0
"""How long a page may be away and go on where it was. [s] Our choice: a tablet that is put down and taken up again."""
ANSWER_S = 30.0
"""How long a page that is asked whether it is there may take to answer. [s] Our choice: a slow machine drawing a long
board is not away, and what is typed meanwhile is not lost. A network that goes is told by the browser at once."""
GRACE_S = 1
"""How long answers under way are waited for at the end. [s] Our choice."""
END_S = 2.0
"""By when the process has ended, whatever still works in it. [s] What was shown as saved is on disk long before."""
MOST_SOCKET_BYTES = 4 * 2**20
"""Longest message through a socket. [bytes] Our choice: what pages say is a thousandth of it."""


def serve(
    *,
    port: int | None = None,
    share: bool = False,
    browser: bool = True,
    say: Callable[[str], None] = print,
    setup: Setup | None = None,
) -> None:
    """Serve until Ctrl-C or SIGTERM, then end the process; say the address, and open the browser there if asked.

    port None takes the first free one from FIRST_PORT on. Raises CarverError where it cannot be served.
    """
    log_to_home()
    host = network_address() if share else None
    sockets = _listen(port, [HOST, host] if host else [HOST])
    taken = int(sockets[0].getsockname()[1])
    shared = Share(host, taken) if host else None
    address = f"http://{HOST}:{taken}"

    def started() -> None:
        say(f"stopcut is open at {address} (Ctrl-C ends it).")
        if shared is not None:
            card = shared.card()
            say(f"It is shared on this network at {card.plain_address}: its first page shows the code to scan.")
            say(card.caution)
        if browser and _has_screen():
            threading.Thread(target=webbrowser.open, args=(address,), daemon=True).start()

    try:
        with terminal_kept_clear():
            server = _Server(_config(build(setup, port=taken, share=shared)), started)
            asyncio.run(server.serve(sockets))
    except SystemExit as problem:
        raise CarverError(f"stopcut could not start; {server_folder() / 'app.log'} says why.") from problem
    # All that was shown as saved is on disk and the store is closed. Taking down an interpreter with all its libraries,
    # or waiting for a thread that is still drawing, would hold the terminal up for seconds.
    logging.shutdown()
    sys.stdout.flush()
    sys.stderr.flush()
    os._exit(0)


@contextlib.contextmanager
def running(setup: Setup | None = None, *, port: int | None = None) -> Iterator[str]:
    """The app on a thread of this process, at the address given, until the block ends. Once a process, as build."""
    sockets = _listen(port, [HOST])
    taken = int(sockets[0].getsockname()[1])
    ready = threading.Event()
    server = _Server(_config(build(setup, port=taken)), ready.set)
    thread = threading.Thread(target=lambda: asyncio.run(server.serve(sockets)), daemon=True)
    thread.start()
    while not ready.wait(0.05):
        if not thread.is_alive():
            raise CarverError("stopcut could not start.")
    try:
        yield f"http://{HOST}:{taken}"
    finally:
        server.should_exit = True
        thread.join()


def build(setup: Setup | None = None, *, port: int, share: Share | None = None) -> Door:
    """The whole app behind its door, for this port; setup puts the pages on it, the workshop's own if None.

    The framework is one a process, so this can be called once in one.
    """
    ui, core = _framework()
    from nicegui import app

    if core.app.config.has_run_config:
        raise RuntimeError("the app has been built in this process already")
    api = FastAPI(openapi_url=None, docs_url=None, redoc_url=None)
    show_share(share.card() if share else None)
    (setup or _workshop)(api)
    core.app.config.socket_io_js_transports = ["websocket"]
    core.sio.eio.transports = ["websocket"]
    core.sio.eio.cors_allowed_origins = None  # the door asks for the page's own origin; no other is ever granted
    ui.run_with(
        api,
        title="stopcut",
        dark=None,
        language="en-US",
        reconnect_timeout=RECONNECT_S,
        gzip_middleware_factory=None,
        tailwind=False,
        storage_secret=signing_secret(),
        session_middleware_kwargs={"session_cookie": "stopcut-browser", "max_age": ONE_YEAR_S, "same_site": "lax"},
        show_welcome_message=False,
    )
    app.on_startup(lambda: setattr(core.sio.eio, "ping_timeout", ANSWER_S))  # the framework's own is 0.4 RECONNECT_S
    return Door(api, port=port, share=share)


def _framework() -> tuple[Any, Any]:
    """NiceGUI, told where to keep its things before it is first imported."""
    folder = server_folder() / "browsers"
    folder.mkdir(exist_ok=True)
    os.environ["NICEGUI_STORAGE_PATH"] = str(folder)
    from nicegui import core, run, ui
    from nicegui import json as page_json
    from nicegui.storage import Storage

    Storage.path = folder  # where something imported it before
    if page_json.loads.__module__ != __name__:
        page_json.loads = _of_whole_characters(page_json.loads)  # type: ignore[assignment]
    for name in ("engineio.server", "socketio.server"):
        logging.getLogger(name).handlers.clear()  # they would write to the terminal; the log hears them all the same
    run.process_pool_start_method = "spawn"  # a copy of a process with threads may never wake
    return ui, core


def whole_characters(text: str) -> str:
    """A page's JSON with every half of a character that lacks its other half replaced by U+FFFD.

    Browsers let such halves be written and send them (Unicode Standard, 3.8 and 3.9), but they are no text: a field
    with one in it could not be read at all, and what is written there would be lost without a word.
    """
    return _HALVES.sub(lambda found: "\\ufffd" if found.lastgroup == "lone" else found[0], text)


def _of_whole_characters(loads: Callable[[Any], Any]) -> Callable[[Any], Any]:
    def read(text: Any) -> Any:
        try:
            return loads(text)
        except ValueError:
            if not isinstance(text, str) or (mended := whole_characters(text)) == text:
                raise
            return loads(mended)

    return read


def _workshop(api: FastAPI) -> None:
    from nicegui import app

    from stopcut.app.pages import register
    from stopcut.store import open_store

    store = open_store()
    register(api, store)
    app.on_shutdown(store.close)


def _config(app: Door) -> uvicorn.Config:
    return uvicorn.Config(
        app,
        http="h11",
        ws="websockets-sansio",
        loop="asyncio",
        lifespan="on",
        log_config=None,
        access_log=False,
        proxy_headers=False,
        server_header=False,
        ws_max_size=MOST_SOCKET_BYTES,
        ws_per_message_deflate=False,
        timeout_graceful_shutdown=GRACE_S,
    )


class _Server(uvicorn.Server):
    """A server that says when it has started, and that ends in time and without a word when it is told to."""

    def __init__(self, config: uvicorn.Config, started: Callable[[], None]) -> None:
        super().__init__(config)
        self._has_started = started
        self._told = threading.Event()

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        await super().startup(sockets)
        if self.started and not self.should_exit:
            self._has_started()

    @contextlib.contextmanager
    def capture_signals(self) -> Iterator[None]:
        if threading.current_thread() is not threading.main_thread():
            yield
            return
        leave_to_others()
        threading.Thread(target=self._end_in_time, daemon=True).start()
        for name in ("SIGINT", "SIGTERM", "SIGHUP", "SIGBREAK"):
            if hasattr(signal, name):
                signal.signal(getattr(signal, name), self.handle_exit)
        yield  # the handlers stay: what is still to end after this ends by the same clock

    def handle_exit(self, sig: int, frame: FrameType | None) -> None:
        if self._told.is_set():
            os._exit(0)  # told twice
        self.should_exit = True
        self._told.set()

    def _end_in_time(self) -> None:
        self._told.wait()
        time.sleep(END_S)
        os._exit(0)


def _listen(port: int | None, hosts: list[str]) -> list[socket.socket]:
    """Listening sockets at one port of all these hosts. Raises CarverError."""
    tried = range(FIRST_PORT, FIRST_PORT + PORTS_TRIED) if port is None else [port]
    for one in tried:
        try:
            return _bound(one, hosts)
        except PermissionError as problem:
            raise CarverError(f"Port {one} is not for everyone to use; choose one above 1023 with --port.") from problem
        except OSError as problem:
            if problem.errno != errno.EADDRINUSE:
                raise CarverError(f"Port {one} cannot be used: {problem.strerror or problem}.") from problem
    if port is not None:
        raise CarverError(f"Port {port} is taken by another program. Choose another with --port, or leave --port out.")
    raise CarverError(
        f"The ports from {FIRST_PORT} to {FIRST_PORT + PORTS_TRIED - 1} are all taken; choose another with --port."
    )


def _bound(port: int, hosts: list[str]) -> list[socket.socket]:
    sockets: list[socket.socket] = []
    try:
        for host in hosts:
            sockets.append(one := socket.socket(socket.AF_INET, socket.SOCK_STREAM))
            if sys.platform == "win32":
                one.setsockopt(socket.SOL_SOCKET, socket.SO_EXCLUSIVEADDRUSE, 1)
            else:
                one.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            one.bind((host, port))
            one.listen(128)
    except OSError:
        for one in sockets:
            one.close()
        raise
    return sockets


def _has_screen() -> bool:
    """Whether a browser would have a screen to open on, rather than take over the terminal."""
    return sys.platform in ("win32", "darwin") or bool(os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))
