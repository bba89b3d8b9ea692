"""The locks add to one another: none holds what another before it has, and together they agree."""

import re
import tomllib
from pathlib import Path

import pytest
from checks.locks import beyond, pins, whole

ROOT = Path(__file__).resolve().parents[1]
RUN, DEV, BENCH, SEEK, DOCS = (
    (ROOT / f"requirements{kind}.lock").read_text(encoding="utf-8") for kind in ("", "-dev", "-bench", "-seek", "-docs")
)
OLD = "numpy==2.3.0 \\\n    --hash=sha256:aa\nregex==2025.1 \\\n    --hash=sha256:bb\n"
MORE = "pytest==9.0 \\\n    --hash=sha256:cc\n"


def test_what_is_beyond_a_lock_comes_with_its_hashes_and_nothing_else() -> None:
    assert beyond(whole([OLD, MORE]), [OLD]) == MORE
    assert pins(OLD)["regex"].endswith("--hash=sha256:bb")


def test_two_versions_of_one_package_are_refused_by_name() -> None:
    with pytest.raises(ValueError, match="numpy"):
        beyond(OLD.replace("2.3.0", "2.4.0"), [OLD])


@pytest.mark.parametrize("locks", [[RUN, DEV, BENCH, SEEK], [RUN, DOCS]], ids=["to seek", "to docs"])
def test_no_package_is_locked_twice(locks: list[str]) -> None:
    names = [name for lock in locks for name in pins(lock)]
    assert len(names) == len(set(names))


def test_the_docs_can_be_made_beside_the_tests() -> None:
    """One environment holds both, so what both lock is one version."""
    dev, docs = pins(DEV), pins(DOCS)
    assert {name: dev[name].split()[0] for name in dev.keys() & docs.keys()} == {
        name: docs[name].split()[0] for name in dev.keys() & docs.keys()
    }


@pytest.mark.parametrize("extra", ["", "dev", "bench", "seek", "docs"])
def test_every_requirement_of_the_project_is_locked_with_hashes_and_no_host(extra: str) -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    wanted = project["optional-dependencies"][extra] if extra else project["dependencies"]
    locked = {"": [RUN], "dev": [RUN, DEV], "bench": [RUN, DEV, BENCH], "seek": [SEEK], "docs": [RUN, DOCS]}[extra]
    names = {re.sub(r"[-_.]+", "-", re.split(r"[\[>=<; ]", one)[0]).lower() for one in wanted}
    held = pins(whole(locked))
    assert names <= held.keys()
    assert all("--hash=sha256:" in block and "://" not in block for block in held.values())
