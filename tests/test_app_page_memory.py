"""A job's page that is closed leaves nothing of ours behind, however often it is opened."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

OPENINGS = 24

SCRIPT = """
import gc, json, sys, time
from stopcut.app import serve
serve.RECONNECT_S = 0.1  # a window that is away is given up at once
from raw_window import RawWindow
from stopcut.job.new import demo_job_text
from stopcut.store import open_store

def soon(holds):
    end = time.monotonic() + 60
    while not holds():
        assert time.monotonic() < end, "nothing came of it"
        time.sleep(0.02)

def ours():
    gc.collect()
    counts = {}
    for one in gc.get_objects():
        kind = type(one)
        if str(kind.__module__).startswith("stopcut.app") or kind.__name__ in ("Client", "Element", "TextElement"):
            counts[kind.__name__] = counts.get(kind.__name__, 0) + 1
    return counts

with open_store() as store:
    job_id = store.new(demo_job_text(), "tablet").id
with serve.running() as address:
    from nicegui import Client

    def opened():
        with RawWindow(address, f"/job/{job_id}/words") as window:
            window.until(lambda: any("saved" in text for text in window.texts()))
        soon(lambda: not Client.instances)

    for _ in range(3):
        opened()
    before = ours()
    for _ in range(int(sys.argv[1])):
        opened()
    print(json.dumps([before, ours()]))
"""


def test_pages_that_are_opened_and_closed_leave_no_objects_of_ours(tmp_path: Path) -> None:
    environment = {**os.environ, "STOPCUT_HOME": str(tmp_path)}
    environment["PYTHONPATH"] = os.pathsep.join([str(Path(__file__).parent), *sys.path])
    done = subprocess.run(
        [sys.executable, "-c", SCRIPT, str(OPENINGS)], env=environment, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr[-2000:]
    before, after = json.loads(done.stdout.splitlines()[-1])
    more = {kind: count - before.get(kind, 0) for kind, count in after.items() if count - before.get(kind, 0) > 0}
    # One page may still be in the hands of what closed it; of twenty-four nothing else may be left.
    assert after.get("JobPage", 0) <= 2
    assert sum(more.values()) < 400, more
