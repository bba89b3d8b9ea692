"""A store of an earlier version is copied, then brought up to date with everything in it; never half of it."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Engine, insert, inspect

from stopcut.job.edits import digest
from stopcut.job.new import demo_job_text
from stopcut.store import migrating, open_store
from stopcut.store.address import address_of
from stopcut.store.engine import WRITES, engine_of
from stopcut.store.history import now
from stopcut.store.migrating import migrate
from stopcut.store.store_file import look
from stopcut.store.tables import VERSION_TABLE, VERSIONS, Base, JobRow, RevisionRow
from stopcut.store.values import LearnerEntry, StoreTrouble

pytest_plugins = ["stores"]

DEMO = demo_job_text()
OLDER = VERSIONS[:-1]


@pytest.fixture(params=["sqlite", "postgresql"])
def bare_url(request: pytest.FixtureRequest) -> str:
    return str(request.getfixturevalue("sqlite_url" if request.param == "sqlite" else "bare_postgres_url"))


def older_store(url: str, version: str) -> None:
    """A store as an earlier version left it, with a job in it."""
    engine = engine_of(address_of(url))
    job = {"id": "a", "title": "Gate", "number": 1, "made_at": now(), "changed_at": now(), "archived": False}
    revision = {"job_id": "a", "number": 1, "kind": "new", "window": "tablet", "gesture": "", "edits": "[]"}
    revision |= {"undo": "[]", "digest": digest(DEMO), "text": DEMO, "made_at": now()}
    with engine.connect().execution_options(**{WRITES: True}) as connection, connection.begin():
        migrate(connection, url, version)
        connection.execute(insert(JobRow.__table__), job)
        connection.execute(insert(RevisionRow.__table__), revision)
    engine.dispose()


def test_the_versions_are_those_of_the_migrations_in_their_order() -> None:
    config = Config()
    config.set_main_option("script_location", str(migrating._FOLDER))
    scripts = ScriptDirectory.from_config(config)
    assert tuple(reversed([script.revision for script in scripts.walk_revisions()])) == VERSIONS


def differences(engine: Engine) -> list[object]:
    with engine.connect() as connection:
        options = {"version_table": VERSION_TABLE, "compare_type": True}
        return list(compare_metadata(MigrationContext.configure(connection, opts=options), Base.metadata))


def test_the_migrations_make_the_tables_that_the_program_works_with(bare_url: str) -> None:
    with open_store(bare_url) as store:
        assert differences(store._reads) == []
        found = inspect(store._reads).get_foreign_keys("revisions")
        assert [key["referred_table"] for key in found] == ["jobs"]


@pytest.mark.parametrize("version", OLDER)
def test_a_store_of_an_earlier_version_keeps_its_jobs_and_takes_what_is_new(bare_url: str, version: str) -> None:
    older_store(bare_url, version)
    with open_store(bare_url) as store:
        assert len(store.notices) == 1
        assert store.job("a").text == DEMO
        store.set_message("a", "as it was")
        class_id = store.new_class("Tuesdays", DEMO).id
        store.add_learner(class_id, LearnerEntry("", "Ann", "ANN"))
        assert differences(store._reads) == []
    with open_store(bare_url) as store:
        assert store.notices == ()
        assert store.message("a") == "as it was"


@pytest.mark.parametrize("version", OLDER)
def test_a_file_is_copied_as_it_was_before_it_is_changed(tmp_path: Path, version: str) -> None:
    path = tmp_path / "workshop.db"
    older_store(str(path), version)
    holder = sqlite3.connect(path)  # another program that has it open: the newest may be in the log alone
    holder.execute("PRAGMA journal_mode = WAL")
    holder.execute("PRAGMA wal_autocheckpoint = 0")
    holder.execute("UPDATE jobs SET title = 'in the log'")
    holder.commit()
    with open_store(str(path)) as store:
        (copy,) = tmp_path.glob(f"workshop-before-{VERSIONS[-1]}-*.db")
        assert copy.name in store.notices[0]
    holder.close()
    assert look(copy).version == version
    with sqlite3.connect(copy) as connection:
        assert connection.execute("SELECT title FROM jobs").fetchall() == [("in the log",)]
    connection.close()
    assert list(tmp_path.glob(".*part")) == []


def test_a_store_that_is_up_to_date_is_not_copied(tmp_path: Path) -> None:
    for _ in range(2):
        open_store(str(tmp_path / "workshop.db")).close()
    assert list(tmp_path.glob("workshop-before-*")) == []


def test_a_migration_that_fails_leaves_the_store_as_it_was(bare_url: str) -> None:
    older_store(bare_url, VERSIONS[0])
    engine = engine_of(address_of(bare_url))
    with engine.connect().execution_options(**{WRITES: True}) as connection, connection.begin():
        connection.exec_driver_sql("CREATE TABLE yeses (mine TEXT)")  # the second table that 0002 makes
    before = sorted(inspect(engine).get_table_names())
    engine.dispose()
    with pytest.raises(StoreTrouble, match="left as it is"):
        open_store(bare_url)
    assert sorted(inspect(engine).get_table_names()) == before
    with engine.connect() as connection:
        assert connection.exec_driver_sql(f"SELECT version_num FROM {VERSION_TABLE}").scalar() == VERSIONS[0]
    engine.dispose()


def test_a_store_that_cannot_be_copied_is_not_migrated(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "workshop.db"
    older_store(str(path), VERSIONS[0])
    monkeypatch.setattr("stopcut.store.store_file.os.fsync", _full)
    with pytest.raises(StoreTrouble, match="left as it is"):
        open_store(str(path))
    assert look(path).version == VERSIONS[0]
    assert sorted(file.name for file in tmp_path.iterdir()) == ["workshop.db", "workshop.db.lock"]


def _full(_: int) -> None:
    raise OSError(28, "No space left on device")
