"""A worker that misbehaves is ended, and the next request has a new one."""

from __future__ import annotations

import os
import sys
import threading
from pathlib import Path

import pytest

from stopcut.foreign.child import Child, Children, FileRefused, Gone
from stopcut.foreign.inside import counts_processor_time

WORKER = """
import os, sys, time
from stopcut.foreign.inside import BadInput, serve

def handle(request):
    what = request["do"]
    if what == "echo":
        return request["say"]
    if what == "pid":
        return os.getpid()
    if what == "refuse":
        raise BadInput("it is made of cheese")
    if what == "fail":
        raise KeyError("nobody expected this")
    if what == "sleep":
        time.sleep(60)
    if what == "nap":
        time.sleep(request["for"])
        return "awake"
    if what == "work":
        until = time.process_time() + request["for"]
        while time.process_time() < until:
            pass
        return "done"
    if what == "spin":
        while True:
            pass
    if what == "exit":
        os._exit(3)
    if what == "crash":
        os.abort()
    if what == "eat":
        hoard = []
        while True:
            hoard.append(bytearray(2**24))
    if what == "babble":
        return "x" * 3_000_000
    if what == "nan":
        return float("nan")
    if what == "print":
        print("a library says hello", flush=True)
        os.write(1, b"and so does its C\\n")
        return "quiet"
    if what == "write":
        with open(request["path"], "w") as stream:
            stream.write("a worker needs to write nothing")
        return "written"

serve(handle)
"""


@pytest.fixture
def child(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Child:
    (tmp_path / "odd_worker.py").write_text(WORKER)
    paths = [str(tmp_path), os.environ.get("PYTHONPATH", "")]
    monkeypatch.setenv("PYTHONPATH", os.pathsep.join(filter(None, paths)))
    made = Child("odd_worker", seconds=20.0, most_bytes=2**20)
    yield made
    made.close()


def test_one_worker_answers_many_requests(child: Child) -> None:
    assert child.ask({"do": "pid"}) == child.ask({"do": "pid"}) != os.getpid()
    assert child.ask({"do": "echo", "say": ["É", 1.5, None]}) == ["É", 1.5, None]


@pytest.mark.parametrize(
    ("what", "says"),
    [
        ("exit", "crashed"),
        ("babble", "beyond 1 MB"),
        pytest.param("crash", "crashed .SIGABRT", marks=pytest.mark.skipif(os.name == "nt", reason="POSIX signals")),
    ],
)
def test_a_worker_that_dies_is_told_of_and_replaced(child: Child, what: str, says: str) -> None:
    first = child.ask({"do": "pid"})
    with pytest.raises(Gone, match=says):
        child.ask({"do": what})
    assert child.ask({"do": "pid"}) != first


HERE = [
    ("sleep", r"not done after 2\.4 seconds$"),  # eight times as long by the clock on the wall
    ("spin", r"not done after 0\.3 seconds of the processor's time"),
]
ELSEWHERE = [(what, r"not done after 0\.3 seconds$") for what, _ in HERE]


@pytest.mark.parametrize(("what", "says"), HERE if counts_processor_time() else ELSEWHERE)
def test_a_worker_that_hangs_is_ended_when_its_time_is_up(child: Child, what: str, says: str) -> None:
    first = child.ask({"do": "pid"})
    with pytest.raises(Gone, match=says):
        child.ask({"do": what}, seconds=0.3)
    assert child.ask({"do": "pid"}) != first


@pytest.mark.skipif(not counts_processor_time(), reason="this system counts no processor time")
def test_a_reader_that_waits_for_its_turn_is_waited_for(child: Child) -> None:
    assert child.ask({"do": "nap", "for": 0.6}, seconds=0.3) == "awake"


def test_each_request_has_a_ration_of_its_own(child: Child) -> None:
    first = child.ask({"do": "pid"})
    for _ in range(4):
        assert child.ask({"do": "work", "for": 0.2}, seconds=0.35) == "done"
    assert child.ask({"do": "pid"}) == first


@pytest.mark.skipif(sys.platform in ("win32", "darwin"), reason="these systems do not limit a process's memory")
def test_a_worker_that_eats_memory_is_stopped_at_its_limit(child: Child) -> None:
    with pytest.raises(FileRefused, match="more memory"):
        child.ask({"do": "eat"})
    assert child.ask({"do": "echo", "say": 1}) == 1


def test_what_is_wrong_with_the_file_comes_back_in_words_and_the_worker_stays(child: Child) -> None:
    first = child.ask({"do": "pid"})
    with pytest.raises(FileRefused, match="made of cheese"):
        child.ask({"do": "refuse"})
    with pytest.raises(FileRefused, match="it is damaged"):
        child.ask({"do": "fail"})
    with pytest.raises(FileRefused, match="cannot be read"):
        child.ask({"do": "nan"})
    assert child.ask({"do": "pid"}) == first


def test_what_a_library_prints_is_no_answer(child: Child) -> None:
    assert child.ask({"do": "print"}) == "quiet"


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such limit")
def test_a_worker_cannot_write_files(child: Child, tmp_path: Path) -> None:
    with pytest.raises(FileRefused):
        child.ask({"do": "write", "path": str(tmp_path / "out.txt")})
    assert not (tmp_path / "out.txt").exists() or (tmp_path / "out.txt").read_text() == ""


def test_a_worker_does_not_take_modules_from_the_folder_one_stands_in(
    child: Child, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    (elsewhere / "json.py").write_text("raise SystemExit('a stranger was imported')")
    monkeypatch.chdir(elsewhere)
    assert child.ask({"do": "echo", "say": "well"}) == "well"


def test_requests_from_several_threads_get_their_own_answers(child: Child) -> None:
    answers: dict[int, object] = {}

    def ask(number: int) -> None:
        answers[number] = child.ask({"do": "echo", "say": number})

    threads = [threading.Thread(target=ask, args=(number,)) for number in range(12)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert answers == {number: number for number in range(12)}


def test_only_so_many_workers_are_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "odd_worker.py").write_text(WORKER)
    monkeypatch.setenv("PYTHONPATH", str(tmp_path))
    some = Children("odd_worker", most=2)
    first = some.of("a")
    assert first.ask({"do": "pid"})
    assert some.of("a") is first
    assert some.of("a", stamp="changed") is not first
    some.of("b")
    assert some.of("a") is not first
    assert not first.running
    some.close()
