"""No edit is lost: not to a program killed at any moment, not to two programs or many threads at work on one job."""

from __future__ import annotations

import multiprocessing
import os
import random
import re
import sys
import threading
import time
import tomllib
from collections.abc import Callable
from multiprocessing.process import BaseProcess
from pathlib import Path

import pytest
from sqlalchemy import event

from stopcut.job.edits import At, SetKey, apply
from stopcut.job.new import demo_job_text
from stopcut.store import Store, open_store

pytest_plugins = ["stores"]

DEMO = demo_job_text()
KILLS = 50

forks = pytest.mark.skipif(
    "fork" not in multiprocessing.get_all_start_methods(), reason="programs that start by fork are not to be had here"
)


def set_key(key: str, value: float) -> SetKey:
    return SetKey(At("board"), key, value)


def titled(value: int) -> SetKey:
    return SetKey(At(), "title", f"Plot {value}")


def forked(work: Callable[..., None], *arguments: object) -> BaseProcess:
    """Another program at work: it opens the store for itself, and starts at once."""
    process = multiprocessing.get_context("fork").Process(target=work, args=arguments, daemon=True)
    process.start()
    return process


def edit_and_tell(url: str, job_id: str, start: int, out: int) -> None:
    """Edit as fast as can be, and tell each edit's revision and value once edit has returned."""
    with open_store(url) as store:
        for value in range(start, start + 100_000):
            head = store.edit(job_id, titled(value), "tablet")
            os.write(out, b"%d %d\n" % (head.number, value))


@forks
def test_whatever_edit_said_was_kept_is_there_after_the_program_is_killed(store_url: str) -> None:
    with open_store(store_url) as store:
        job_id = store.new(DEMO, "tablet").id
    chance = random.Random(7)
    told: dict[int, int] = {}
    for kill in range(KILLS):
        out, into = os.pipe()
        child = forked(edit_and_tell, store_url, job_id, 1_000_000 + kill * 100_000, into)
        os.close(into)
        first = os.read(out, 4096)
        time.sleep(chance.uniform(0, 0.05))
        child.kill()
        child.join()
        with os.fdopen(out, "rb") as rest:
            lines = (first + rest.read()).decode().split("\n")[:-1]  # the last may be told by half
        told |= {int(number): int(value) for number, value in map(str.split, lines)}
    assert len(told) > KILLS
    with open_store(store_url) as store:
        assert store.notices == ()
        last = store.job(job_id).number
        assert max(told) <= last
        kept = {entry.number: entry.edits for entry in store.revisions(job_id, last)}
        assert {number: (titled(value),) for number, value in told.items()}.items() <= kept.items()
        assert sorted(kept) == list(range(1, last + 1))
        text = DEMO
        for number in range(2, last + 1):
            text = apply(kept[number][0], text).text
        assert store.job(job_id).text == text


def edit_many(url: str, job_id: str, key: str, count: int) -> None:
    with open_store(url) as store:
        for value in range(count):
            store.edit(job_id, set_key(key, 300 + value), key)


@forks
def test_two_programs_at_once_lose_no_edit(store_url: str) -> None:
    count = 100
    with open_store(store_url) as store:
        job_id = store.new(DEMO, "tablet").id
    programs = [forked(edit_many, store_url, job_id, key, count) for key in ("width", "height")]
    for program in programs:
        program.join()
    assert [program.exitcode for program in programs] == [0, 0]
    with open_store(store_url) as store:
        made = store.revisions(job_id, 1000)
        assert [entry.number for entry in made] == list(range(1 + 2 * count, 0, -1))
        for key in ("width", "height"):
            own = [entry.edits for entry in reversed(made) if entry.window == key]
            assert own == [(set_key(key, 300 + value),) for value in range(count)]
        board = tomllib.loads(store.job(job_id).text)["board"]
        assert (board["width"], board["height"]) == (399, 399)
        text = DEMO
        for entry in reversed(made[:-1]):
            text = apply(entry.edits[0], text).text
            assert text == store.text_at(job_id, entry.number)


def test_many_threads_of_one_program_lose_no_edit(store: Store) -> None:
    job_id = store.new(DEMO, "tablet").id
    numbers: list[int] = []

    def work(thread: int) -> None:
        for value in range(20):
            numbers.append(store.edit(job_id, set_key("width", 1000 + thread * 100 + value), f"{thread}").number)
            store.head(job_id, "tablet")

    threads = [threading.Thread(target=work, args=(thread,)) for thread in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(numbers) == list(range(2, 122))
    assert store.head(job_id, "tablet").number == 121


@forks
def test_two_programs_that_begin_a_store_at_once_begin_one(sqlite_url: str, bare_postgres_url: str) -> None:
    for url in (sqlite_url, bare_postgres_url):
        start = multiprocessing.get_context("fork").Barrier(3)
        programs = [forked(_begin, url, start.wait) for _ in range(3)]
        for program in programs:
            program.join()
        assert [program.exitcode for program in programs] == [0, 0, 0]
        with open_store(url) as store:
            assert len(store.jobs()) == 3


@forks
def test_programs_that_find_a_store_damaged_at_once_set_it_aside_once(tmp_path: Path) -> None:
    for round_ in range(10):
        path = tmp_path / f"{round_}" / "workshop.db"
        path.parent.mkdir()
        path.write_bytes(b"damaged, and longer than sixteen bytes")
        start = multiprocessing.get_context("fork").Barrier(3)
        programs = [forked(_begin, str(path), start.wait) for _ in range(3)]
        for program in programs:
            program.join()
        assert sorted(program.exitcode or 0 for program in programs) == [0, 0, 1]  # one of them tells of it
        assert len(list(path.parent.glob("workshop-damaged-*.db"))) == 1
        with open_store(str(path)) as store:
            assert len(store.jobs()) == 3


def _begin(url: str, start: Callable[[], object] = bool) -> None:
    """Open a store and put a job in, all programs at once; the exit status is the number of notices."""
    start()
    with open_store(url) as store:
        store.new(DEMO, "tablet")
        sys.exit(len(store.notices))


@forks
def test_a_store_whose_beginning_is_killed_at_any_moment_begins_the_next_time(sqlite_url: str) -> None:
    chance = random.Random(11)
    for kill in range(20):
        url = sqlite_url.replace("workshop", f"workshop-{kill}")
        child = forked(_begin, url)
        time.sleep(chance.uniform(0.01, 0.2))
        child.kill()
        child.join()
        with open_store(url) as store:
            assert store.notices == ()
            begun = len(store.jobs())
            assert begun <= 1
            store.new(DEMO, "tablet")
        with open_store(url) as store:
            assert len(store.jobs()) == begun + 1


def test_no_question_to_the_database_reads_a_whole_table(sqlite_url: str) -> None:
    """So that a thousand revisions slow neither a look nor an edit."""
    with open_store(sqlite_url) as store:
        job_id = store.new(DEMO, "tablet").id
        asked: list[tuple[str, object]] = []
        event.listen(store._reads, "before_cursor_execute", lambda *call: asked.append((call[2], call[3])))
        store.edit(job_id, set_key("width", 500), "tablet", "drag")
        store.edit(job_id, set_key("width", 501), "tablet", "drag")
        store.edit(job_id, set_key("height", 501), "bench")
        for _ in range(2):
            store.undo(job_id, "tablet")
            store.redo(job_id, "tablet")
        store.head(job_id, "tablet")
        store.text_at(job_id, 2)
        store.revisions(job_id, 2)
        store.yes(job_id)
        store.message(job_id)
        explained = 0
        with store._reads.connect() as connection:
            for statement, values in list(asked):
                if re.match("SELECT|UPDATE", statement):
                    plan = connection.exec_driver_sql(f"EXPLAIN QUERY PLAN {statement}", values).fetchall()
                    steps = " / ".join(row[3] for row in plan)
                    # What is scanned is the answer of an inner question: two rows.
                    assert not re.search(r"SCAN (?!anon)", steps), (statement, steps)
                    assert "TEMP B-TREE" not in steps, (statement, steps)
                    explained += 1
        assert explained > 20
