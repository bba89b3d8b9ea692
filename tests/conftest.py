"""Shared by all tests: a home of their own, so that no test reads or fills the carver's."""

import os
import tempfile
from pathlib import Path

import pytest
from hypothesis import settings
from workshop import browser, context, lit, page, starts, workshop

__all__ = ["browser", "context", "lit", "page", "starts", "workshop"]

# Set before any test imports stopcut's caches: one folder a test run and worker, gone when the machine clears it.
os.environ["STOPCUT_HOME"] = tempfile.mkdtemp(prefix="stopcut-test-home-")

# No test is timed. The same cases every time, so that what has passed passes; STOPCUT_SEEK=1 looks for new ones.
settings.register_profile("stopcut", deadline=None, derandomize="STOPCUT_SEEK" not in os.environ)
settings.load_profile("stopcut")


@pytest.fixture
def job_text() -> str:
    """A small right job, for tests that change one thing of it."""
    return """\
format = 1
title = "Plot 7"

[board]
width = 400
height = 120
thickness = 22
wood = "lime"
margin = 20

[lettering]
face = "Cinzel"
weight = 500
cap_height = 40

[[line]]
words = "PLOT 7"
"""


@pytest.fixture
def job_file(tmp_path: Path, job_text: str) -> Path:
    """The same as a file."""
    path = tmp_path / "plot.toml"
    path.write_text(job_text, encoding="utf-8")
    return path
