"""Mutants are small wrong changes; a test that notices one kills it, and the checkout is left alone."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest
from mutants import tests as nearest
from mutants.changes import mutants_of, sampled

ROOT = Path(__file__).resolve().parents[1]
MODULE = '''\
"""How deep."""

DEEPEST = 0.5


def deep(half_width: float, wall: float, *, flat: float | None = None) -> float:
    """Depth under a wall, never below a flat bottom."""
    depth = half_width * wall
    while flat is not None and depth > flat:
        depth -= 0.25
    return depth
'''
TEST = """\
from stopcut.room.deep import deep

def test_depth_is_half_the_width_times_the_walls_slope():
    assert deep(2.0, 3.0) == 6.0
    assert deep(2.0, 3.0, flat=6.0) == 6.0
    assert deep(2.0, 3.0, flat=5.0) == 5.0
"""


@pytest.fixture
def checkout(tmp_path: Path) -> Path:
    """A small one, with a module and its test."""
    for name, text in {
        "src/stopcut/__init__.py": "",
        "src/stopcut/room/__init__.py": "",
        "src/stopcut/room/deep.py": MODULE,
        "tests/test_room_deep.py": TEST,
    }.items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text, encoding="utf-8")
    subprocess.run(["git", "init", "--quiet", tmp_path], check=True)
    return tmp_path


def changes(checkout: Path) -> set[tuple[str, str]]:
    return {(one.was, one.becomes) for one in mutants_of(checkout / "src" / "stopcut" / "room" / "deep.py")}


def test_every_kind_of_wrong_change_is_made_once_and_can_be_read(checkout: Path) -> None:
    assert changes(checkout) >= {
        ("0.5", "0.55"),
        ("half_width * wall", "(half_width / wall)"),
        ("flat is not None and depth > flat", "(flat is not None or depth > flat)"),
        ("flat is not None and depth > flat", "(not (flat is not None and depth > flat))"),
        ("depth > flat", "(depth >= flat)"),
        ("depth -= 0.25", "pass"),
        ("return depth", "return None"),
    }
    path = ROOT / "src" / "stopcut" / "setting" / "bent.py"
    mutants = mutants_of(path)
    assert len({one.name for one in mutants}) == len(mutants) > 50
    for one in mutants:
        ast.parse(one.applied(path.read_bytes()))


def test_one_function_changed_leaves_the_sample_of_the_others(checkout: Path) -> None:
    path = checkout / "src" / "stopcut" / "room" / "deep.py"
    before = {one.name for one in sampled(mutants_of(path), 4, seed=1)}
    path.write_text(MODULE.replace("DEEPEST = 0.5", "# measured anew\nDEEPEST = 0.5"), encoding="utf-8")
    assert {one.name for one in sampled(mutants_of(path), 4, seed=1)} == before


def test_a_modules_own_tests_come_first() -> None:
    assert nearest.tests_near("setting", "lay")[0] == "tests/test_setting_lay.py"
    assert nearest.tests_near("groove", "joints")[0].startswith("tests/test_groove_")


def test_mutants_are_killed_survive_or_never_end_and_the_checkout_stays(checkout: Path) -> None:
    """In a process of its own: a trial is a fork."""
    tries = f"""
from pathlib import Path
from mutants.changes import mutants_of
from mutants.trial import Copy
copy = Copy(Path({str(checkout)!r}))
try:
    for one in mutants_of(Path({str(checkout)!r}) / "src/stopcut/room/deep.py"):
        if one.becomes in ("(half_width / wall)", "0.55", "pass"):
            print(one.was, "|", one.becomes, "|", copy.tried(one, ["tests/test_room_deep.py"], 2.0))
finally:
    copy.gone()
"""
    done = subprocess.run([sys.executable, "-c", tries], cwd=ROOT, check=True, capture_output=True, encoding="utf-8")
    came = {tuple(line.split(" | ")[:2]): line.split(" | ")[2] for line in done.stdout.splitlines()}
    assert came["half_width * wall", "(half_width / wall)"] == "killed"
    assert came["0.5", "0.55"] == "survived"
    assert came["depth -= 0.25", "pass"] == "endless"
    assert (checkout / "src" / "stopcut" / "room" / "deep.py").read_text(encoding="utf-8") == MODULE
