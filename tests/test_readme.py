"""The README says what is so: every key of a job, every dependency, every command, every face with its licence."""

import re
import tomllib
from pathlib import Path

import pytest

from stopcut.cli.main import commands
from stopcut.cli.plain import board_in_words
from stopcut.job import document
from stopcut.job.new import demo_job_text
from stopcut.job.read import parse_job
from stopcut.lettering.faces import list_faces
from stopcut.work import Work

ROOT = Path(__file__).resolve().parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]


def test_every_key_that_a_job_may_hold_is_told_of() -> None:
    tables = [table for table in vars(document).values() if isinstance(table, type) and hasattr(table, "model_fields")]
    keys = {key for table in tables for key in table.model_fields}
    assert len(keys) > 30
    assert {key for key in keys if not re.search(rf"[`\[ ]{key}[`\] ]", README)} == set()


def test_the_job_of_the_readme_is_a_right_one() -> None:
    text = next(block for block in re.findall(r"```toml\n(.*?)```", README, re.S) if block.startswith("format"))
    assert [line.words for line in parse_job(text).lines] == ["MARROW LANE", "Allotment Society"]


@pytest.mark.parametrize("requirement", [r for r in PROJECT["dependencies"] if not r.startswith("fontpkg-")])
def test_each_dependency_earns_its_line(requirement: str) -> None:
    name = re.match(r"[\w-]+", requirement)
    assert name
    row = rf"^\| [^|]*\b{re.escape(name[0])}\b[^|]* \|[^|]+\|[^|]+\|$"
    assert re.search(row, README, re.M | re.I), requirement


def test_each_packaged_face_stands_there_with_its_licence() -> None:
    wanted = {r.removeprefix("fontpkg-") for r in PROJECT["dependencies"] if r.startswith("fontpkg-")}
    faces = {face.family.lower().replace(" ", "-"): face for face in list_faces(system=False)}
    for slug in wanted:
        face = faces[slug]
        assert re.search(rf"\| {re.escape(face.family)} \|.*{re.escape(face.licence)}", README), face.family


def test_every_command_is_shown() -> None:
    assert {name for name in commands.commands if f"`stopcut {name}" not in README} == set()


def test_every_picture_it_shows_is_there() -> None:
    pictures = re.findall(r"!\[[^\]]*\]\(([^)]+)\)", README)
    assert pictures
    assert [picture for picture in pictures if not (ROOT / picture).is_file()] == []


def test_what_measure_says_of_the_demo_is_so() -> None:
    said = board_in_words(Work(parse_job(demo_job_text()))).splitlines()
    assert [line for line in said if line not in README.splitlines()] == []
