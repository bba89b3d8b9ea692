"""One change tried in a copy of the checkout: a fork of this process, which has the libraries already, runs the tests.

The checkout itself is never touched.
"""

from __future__ import annotations

import compileall
import contextlib
import os
import resource
import shutil
import signal
import subprocess
import sys
import tempfile
import time
import traceback
from pathlib import Path

import pytest

from mutants.changes import Mutant

__all__ = ["Copy"]

WALL_TIMES = 20.0
"""Time on the wall for one of the processor's: a guard against waiting for ever. Our choice: machines are busy."""
LIBRARIES = (
    "hypothesis", "numpy", "shapely", "shapely.ops", "fontTools.ttLib", "fontTools.pens.recordingPen", "uharfbuzz",
    "pathops", "picosvg.svg", "pydantic", "tomlkit", "regex", "sqlalchemy.orm", "alembic", "reportlab.pdfgen.canvas",
    "PIL.Image", "highspy", "click",
)  # fmt: skip


class Copy:
    """A copy of the checkout's files in a temporary folder, with the libraries loaded once for all trials."""

    def __init__(self, checkout: Path) -> None:
        """Copy what git knows of, pictures apart, as it stands now."""
        self.root = Path(tempfile.mkdtemp(prefix="mutants-"))
        known = subprocess.run(
            ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
            cwd=checkout, check=True, capture_output=True,
        ).stdout.decode()  # fmt: skip
        for name in filter(None, known.split("\0")):
            if (checkout / name).is_file() and not (name.startswith("docs/") and name.endswith(".png")):
                (self.root / name).parent.mkdir(parents=True, exist_ok=True)
                shutil.copy2(checkout / name, self.root / name)
        compileall.compile_dir(self.root / "src", quiet=1)
        for library in LIBRARIES:
            __import__(library)

    def gone(self) -> None:
        """Take the copy away."""
        shutil.rmtree(self.root, ignore_errors=True)

    def tried(self, mutant: Mutant, tests: list[str], seconds: float) -> str:
        """What the tests say of this change: "killed", "survived", or "endless" where one would never end."""
        path = self.root / "src" / "stopcut" / mutant.room / f"{mutant.module}.py"
        content, times = path.read_bytes(), path.stat()
        path.write_bytes(mutant.applied(content))
        try:
            code, _ = self.run(["-x", *tests], seconds)
        finally:
            path.write_bytes(content)
            os.utime(path, ns=(times.st_atime_ns, times.st_mtime_ns))
        return "survived" if code == 0 else "endless" if code in (-signal.SIGXCPU, -signal.SIGKILL) else "killed"

    def run(self, arguments: list[str], seconds: float, keeps: bool = False) -> tuple[int, float]:
        """Pytest's exit code in a fork (where a signal ended it, that with a minus), and the processor's time. [s]

        It is ended when it has used so many seconds of the processor's time; keeps says whether what Python compiles
        is kept for the next.
        """
        scratch = Path(tempfile.mkdtemp(prefix="mutants-scratch-"))
        child = os.fork()
        if child == 0:
            code = 70
            try:
                os.setsid()
                self._settle(scratch, seconds, keeps)
                code = int(pytest.main(["-p", "no:xdist", *arguments]))
            except BaseException:
                traceback.print_exc()
            finally:
                sys.stdout.flush()
                os._exit(code)
        end = time.monotonic() + WALL_TIMES * seconds
        pid = 0
        while not pid:
            pid, ended, used = os.wait4(child, os.WNOHANG)
            if not pid and time.monotonic() > end:
                os.killpg(child, signal.SIGKILL)
                end = float("inf")
            elif not pid:
                time.sleep(0.02)
        with contextlib.suppress(ProcessLookupError):
            os.killpg(child, signal.SIGKILL)  # what it had started
        shutil.rmtree(scratch, ignore_errors=True)
        return os.waitstatus_to_exitcode(ended), used.ru_utime + used.ru_stime

    def _settle(self, scratch: Path, seconds: float, keeps: bool) -> None:
        log = os.open(self.root / "log", os.O_WRONLY | os.O_CREAT | os.O_TRUNC)
        os.dup2(log, 1)
        os.dup2(log, 2)
        os.chdir(self.root)
        source = str(self.root / "src")
        sys.path[:0] = [source, str(self.root)]
        os.environ |= {"PYTHONPATH": f"{source}{os.pathsep}{self.root}", "TMPDIR": str(scratch)}
        tempfile.tempdir = None
        if not keeps:
            sys.dont_write_bytecode = True
            os.environ["PYTHONDONTWRITEBYTECODE"] = "1"
        whole = int(seconds) + 1
        resource.setrlimit(resource.RLIMIT_CPU, (whole, whole + 5))
        import stopcut

        if not str(stopcut.__file__).startswith(source):
            raise RuntimeError(f"the package came from {stopcut.__file__}, not from the copy")
