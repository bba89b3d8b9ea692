"""The app as a process of its own, for tests that ask it, attack it and end it."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import urlsplit

NETWORK = "127.0.0.2"
"""What stands in for this machine's address on its network: Linux has all of 127.0.0.0/8 without asking."""
PATIENCE_S = 60.0


@dataclass(frozen=True)
class AppProcess:
    """A running app: its address, what it has said so far, and where it keeps its things."""

    address: str
    process: subprocess.Popen[bytes]
    home: Path
    said: Path

    @property
    def port(self) -> int:
        return urlsplit(self.address).port or 80

    @property
    def host(self) -> str:
        return f"127.0.0.1:{self.port}"

    @property
    def shared(self) -> str:
        return f"{NETWORK}:{self.port}"

    def words(self) -> str:
        return self.said.read_text()

    def end(self, sig: int) -> int:
        """Its exit status once told to end."""
        self.process.send_signal(sig)
        return self.process.wait(PATIENCE_S)


@contextmanager
def app_process(folder: Path, pages: str = "app_pages:pages", *, share: bool = False) -> Iterator[AppProcess]:
    """The app with these pages, started in folder with a home of its own there."""
    module, _, setup = pages.partition(":")
    script = (
        f"import sys; sys.path.insert(0, {str(Path(__file__).parent)!r})\n"
        f"import stopcut.app.serve as s; s.network_address = lambda: {NETWORK!r}\n"
        f"import {module}\n"
        f"s.serve(share={share}, browser=False, say=lambda t: print(t, flush=True), setup={module}.{setup})"
    )
    home, said = folder / "home", folder / "said.txt"
    work = folder / "work"
    work.mkdir(parents=True)
    environment = {name: value for name, value in os.environ.items() if not name.startswith("PYTEST")}
    environment["STOPCUT_HOME"] = str(home)
    with said.open("wb") as out:
        process = subprocess.Popen(
            [sys.executable, "-c", script], cwd=work, env=environment, stdout=out, stderr=subprocess.STDOUT
        )
    try:
        yield AppProcess(_address(process, said), process, home, said)
    finally:
        process.kill()
        process.wait()


def _address(process: subprocess.Popen[bytes], said: Path) -> str:
    until = time.monotonic() + PATIENCE_S
    while time.monotonic() < until and process.poll() is None:
        for word in said.read_text().split():
            if word.startswith("http://127.0.0.1:"):
                return word
        time.sleep(0.05)
    raise AssertionError(f"the app did not start: {said.read_text()}")


def sent(host: str, raw: bytes) -> tuple[int, dict[str, str], bytes]:
    """What comes back for these very bytes: status, headers (names in lower case), body. Status 0 for nothing."""
    name, _, port = host.rpartition(":")
    with socket.create_connection((name, int(port)), timeout=PATIENCE_S) as connection:
        connection.sendall(raw)
        received = b""
        while b"\r\n\r\n" not in received and (piece := connection.recv(65536)):
            received += piece
        head, _, body = received.partition(b"\r\n\r\n")
        if not head:
            return 0, {}, b""
        first, *lines = head.decode("latin-1").split("\r\n")
        headers = {one.partition(":")[0].lower(): one.partition(":")[2].strip() for one in lines}
        missing = int(headers.get("content-length", "0")) - len(body)
        while missing > 0 and (piece := connection.recv(65536)):
            body, missing = body + piece, missing - len(piece)
        return int(first.split()[1]), headers, body


def asked(host: str, path: str = "/", method: str = "GET", **headers: str) -> tuple[int, dict[str, str], bytes]:
    """An honest request's answer, or a dishonest one's where headers say so (underscores for hyphens)."""
    lines = {"Host": host, "Connection": "close"}
    lines |= {name.replace("_", "-"): value for name, value in headers.items()}
    head = "".join(f"{name}: {value}\r\n" for name, value in lines.items())
    return sent(host, f"{method} {path} HTTP/1.1\r\n{head}\r\n".encode())
