"""The workshop as a carver starts it: `stopcut app` in a process of its own. For the tests and the benchmarks."""

from __future__ import annotations

import contextlib
import os
import shutil
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from pathlib import Path

FLAGS = [
    "--no-sandbox",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
STARTS_S = 60


def chromium_path() -> str | None:
    """A Chromium on the machine; None leaves it to Playwright's own."""
    return next(
        (found for name in ("chromium", "chromium-browser", "google-chrome") if (found := shutil.which(name))), None
    )


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


class Workshop:
    """`stopcut app` on a home and a port; may be killed and started again on both."""

    def __init__(self, home: Path, *arguments: str, store: str = "") -> None:
        self.home, self.port, self.arguments, self.store = home, free_port(), arguments, store
        self.url = f"http://127.0.0.1:{self.port}"
        self.process: subprocess.Popen[str] | None = None

    def start(self) -> Workshop:
        env = os.environ | {"STOPCUT_HOME": str(self.home), "STOPCUT_STORE": self.store}
        self.log = (self.home / "app.log").open("a")
        command = [sys.executable, "-m", "stopcut", "app", "--no-browser", "--port", str(self.port), *self.arguments]
        self.process = subprocess.Popen(command, env=env, stdout=self.log, stderr=self.log, text=True, cwd=self.home)
        deadline = time.monotonic() + STARTS_S
        while time.monotonic() < deadline:
            if self.process.poll() is not None:
                raise AssertionError("the app ended: " + (self.home / "app.log").read_text()[-2000:])
            with contextlib.suppress(urllib.error.URLError, OSError), urllib.request.urlopen(self.url, timeout=5):
                return self
            time.sleep(0.1)
        raise AssertionError("the app does not answer")

    def kill(self) -> None:
        """As a power cut would."""
        assert self.process is not None
        self.process.kill()
        self.process.wait()

    def stop(self) -> None:
        """As Ctrl-C would."""
        if self.process is not None and self.process.poll() is None:
            self.process.send_signal(signal.SIGINT)
            try:
                self.process.wait(10)
            except subprocess.TimeoutExpired:
                self.process.kill()
                raise
        self.log.close()
