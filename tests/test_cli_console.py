"""What a terminal is shown while a command works."""

from __future__ import annotations

import io
import os
import subprocess
import sys
from pathlib import Path

import pytest
from workshop import soon

from stopcut.cli import console
from stopcut.cli.console import Teller
from stopcut.job.new import demo_job_text


class _Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def _on_terminal(monkeypatch: pytest.MonkeyPatch) -> _Terminal:
    """Standard error as a terminal, from here on: a fixture's would be replaced before the test begins."""
    shown = _Terminal()
    monkeypatch.setattr(sys, "stderr", shown)
    monkeypatch.setenv("TERM", "xterm")
    return shown


def test_what_is_told_once_is_shown_when_it_takes_a_while_and_is_gone_at_the_end(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    terminal = _on_terminal(monkeypatch)
    monkeypatch.setattr(console, "PATIENCE_S", 0.05)
    teller = Teller()
    with teller.working():
        teller.progress("Cuts", 0.0)
        soon(lambda: "Cuts" in terminal.getvalue())
        teller.progress("Tools", 0.25)
        soon(lambda: "Tools 25%" in terminal.getvalue())
    assert "\x1b[?25h" in terminal.getvalue()  # the cursor is back
    ended = terminal.getvalue()
    assert ended.rsplit("\x1b[2K", 1)[1].strip("\r\n") == ""  # its line is wiped


def test_what_is_done_soon_shows_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    terminal = _on_terminal(monkeypatch)
    teller = Teller()
    with teller.working():
        teller.progress("Cuts", 0.5)
    assert terminal.getvalue() == ""


def test_figures_alone_hide_results_and_no_progress(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    terminal = _on_terminal(monkeypatch)
    monkeypatch.setattr(console, "PATIENCE_S", 0.0)
    teller = Teller(results=False)
    with teller.working():
        teller.progress("Grooves", 0.5)
        soon(lambda: "Grooves 50%" in terminal.getvalue())
    teller.say("a result")
    assert capsys.readouterr().out == ""


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no such terminals")
@pytest.mark.parametrize(
    ("arguments", "stages"),
    [
        (["measure", "job.toml"], ["Letters", "Grooves"]),
        (["measure", "job.toml", "--json"], ["Letters", "Grooves"]),
        (["sheets", "job.toml", "--out", "out"], ["Grooves", "Pattern", "Picture"]),
        (["plan", "job.toml", "--out", "bench.pdf"], ["Grooves", "Cuts", "Tools", "Working order", "Bench sheets"]),
        (["arcs", "--out", "arcs.pdf"], ["Arcs"]),
        (["faces"], ["Looking for faces"]),
    ],
    ids=lambda given: " ".join(given[:1]),
)
def test_a_command_shows_each_stage_on_a_terminal_and_none_where_there_is_none(
    tmp_path: Path, arguments: list[str], stages: list[str]
) -> None:
    import pty

    (tmp_path / "job.toml").write_text(demo_job_text())
    script = (
        "import sys\nfrom stopcut.cli import console\nconsole.PATIENCE_S = 0\n"
        "from rich.status import Status\nplain = Status.update\n"
        "Status.update = lambda self, said: (sys.stderr.write(said + '\\n'), plain(self, said))[1]\n"
        f"from stopcut.cli.main import main\nmain({arguments!r})\n"
    )
    environment = {**os.environ, "STOPCUT_HOME": str(tmp_path / "home"), "TERM": "xterm"}
    ours, theirs = pty.openpty()
    process = subprocess.Popen(
        [sys.executable, "-c", script], cwd=tmp_path, env=environment, stdout=subprocess.DEVNULL, stderr=theirs
    )
    os.close(theirs)
    shown = b""
    try:
        while piece := os.read(ours, 65536):
            shown += piece
    except OSError:  # how Linux tells that the other side is closed
        pass
    finally:
        os.close(ours)
    assert process.wait() in (0, 1)
    words = shown.decode()
    assert [stage for stage in stages if stage not in words] == []
    piped = subprocess.run(
        [sys.executable, "-c", script], cwd=tmp_path, env=environment, capture_output=True, text=True
    )
    assert [stage for stage in stages if f"{stage} " in piped.stderr] == []
