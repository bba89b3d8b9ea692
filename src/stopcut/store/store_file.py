"""The file of a store on SQLite: is it sound, and if not, out of the way with it; a copy before it is changed.

Nothing here changes a sound file: it is looked at read-only, renamed, or copied.
"""

from __future__ import annotations

import contextlib
import datetime
import os
import sqlite3
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Final, Literal

from stopcut.store.engine import BUSY_S, FILE_TROUBLE, readable
from stopcut.store.tables import VERSION_TABLE, VERSIONS, Base
from stopcut.store.values import StoreTrouble

__all__ = ["Found", "alone", "copy_beside", "lacking", "look", "set_aside"]

_MARK: Final = b"SQLite format 3\0"  # this and the header's fields: https://www.sqlite.org/fileformat.html, 1.3
_HEADER_BYTES: Final = 100
_BESIDE: Final = ("-wal", "-shm", "-journal", "")  # the file itself goes last: see set_aside
_DAMAGE: Final = (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_ERROR)
_ASK_AGAIN_S: Final = 0.05
_COLUMNS: Final = "SELECT m.name, c.name FROM sqlite_master m, pragma_table_info(m.name) c WHERE m.type = 'table'"


@dataclass(frozen=True, slots=True)
class Found:
    """What stands where a store should be. version is a sound store's; why says what is wrong with a damaged one."""

    kind: Literal["nothing", "sound", "damaged", "foreign"]
    version: str = ""
    why: str = ""


def look(path: Path) -> Found:
    """Look at a store's file. Raises StoreTrouble if it can't be looked at."""
    if path.exists() and not path.is_dir() and not path.is_file():
        raise StoreTrouble(f"{path} is no ordinary file, so it can't hold a store. Name another.")
    if path.is_dir():
        raise StoreTrouble(f"{path} is a folder; a store is a file. Name a file in it, such as {path / 'workshop.db'}.")
    try:
        head = _head(path) if path.exists() else b""
        log, journal = (_size(path.with_name(path.name + ending)) for ending in ("-wal", "-journal"))
    except OSError as problem:
        raise StoreTrouble(f"The store {path} can't be read: {(problem.strerror or str(problem)).lower()}.") from None
    if not head:
        return Found("damaged", why="its file is gone, though its log is there") if log else Found("nothing")
    # With a journal beside it a file is half written, and SQLite will bring it back to what it was.
    if not journal and head[: len(_MARK)] != _MARK:
        return Found("damaged", why="it is no database")
    if not log and not journal and path.stat().st_size < _size_said(head):
        return Found("damaged", why="its end is missing")
    for mode in ("ro", "rw"):  # to be changed only where a program that died left something half done
        try:
            uri = f"{path.as_uri()}?mode={mode}"
            with contextlib.closing(sqlite3.connect(uri, uri=True, timeout=BUSY_S)) as connection:
                return _inside(connection)
        except UnicodeDecodeError:  # SQLite's own message, with words of the file in it
            return Found("damaged", why="parts of it are broken")
        except sqlite3.DatabaseError as problem:
            code = getattr(problem, "sqlite_errorcode", 0) & 0xFF
            if code in _DAMAGE:
                return Found("damaged", why="it can't be read as a database")
            if mode == "rw" or code != sqlite3.SQLITE_READONLY:
                raise StoreTrouble(f"The store {path} {FILE_TROUBLE.get(code, 'could not be opened.')}") from None
    raise AssertionError("the second way has been tried")


def set_aside(path: Path) -> Path:
    """Rename a damaged store, with what belongs to it, and give its new name. Raises StoreTrouble."""
    aside = _free(path, "damaged")
    try:
        # What is beside goes first: were the store to go first and the program to die, its log would be taken for
        # another store's.
        for ending in _BESIDE:
            part = path.with_name(path.name + ending)
            if part.exists():
                part.rename(aside.with_name(aside.name + ending))
    except OSError as problem:
        raise StoreTrouble(f"The store {path} is damaged and can't be set aside: {problem.strerror}.") from None
    return aside


def copy_beside(path: Path, why: str) -> Path:
    """Copy a sound store as it is now, whoever is using it, and give the copy's name. Raises StoreTrouble."""
    copy = _free(path, why)
    part = copy.with_name(f".{copy.name}.part")
    try:
        part.unlink(missing_ok=True)
        with (
            contextlib.closing(sqlite3.connect(path, timeout=BUSY_S)) as store,
            contextlib.closing(sqlite3.connect(part)) as into,
        ):
            store.backup(into)
        with part.open("rb+") as stream:
            os.fsync(stream.fileno())
        part.rename(copy)
    except (OSError, sqlite3.Error):
        part.unlink(missing_ok=True)
        raise StoreTrouble(f"The store {path} can't be copied, so it was left as it is. Is the disk full?") from None
    return copy


@contextlib.contextmanager
def alone(path: Path) -> Iterator[None]:
    """Hold other programs off from opening the same store. The system lets go of it should this one die."""
    lock = path.with_name(path.name + ".lock")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        stream = lock.open("ab")
    except OSError as problem:
        why = (problem.strerror or str(problem)).lower()
        raise StoreTrouble(f"There can be no store in {path.parent}: {why}. Name another folder.") from None
    with stream:
        until = time.monotonic() + BUSY_S
        while not _locked(stream):
            if time.monotonic() > until:
                raise StoreTrouble(f"Another program has been opening the store {path} for long. Try again.")
            time.sleep(_ASK_AGAIN_S)
        yield


def _locked(stream: IO[bytes]) -> bool:
    try:
        if os.name == "nt":  # pragma: no cover (closing the file lets go, here and there)
            import msvcrt

            msvcrt.locking(stream.fileno(), msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined,unused-ignore]
        else:
            import fcntl

            fcntl.flock(stream, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True


def _head(path: Path) -> bytes:
    with path.open("rb") as stream:
        return stream.read(_HEADER_BYTES)


def _size_said(head: bytes) -> int:
    """How long a file says it is, by its header; SQLite itself does not miss the end of a last page. [bytes]"""
    if len(head) < _HEADER_BYTES:
        return _HEADER_BYTES
    page = int.from_bytes(head[16:18], "big")
    return (65_536 if page == 1 else page) * int.from_bytes(head[28:32], "big")


def _size(path: Path) -> int:
    return path.stat().st_size if path.exists() else 0


def _inside(connection: sqlite3.Connection) -> Found:
    """What is in a database: a store's tables, all of them, or somebody else's."""
    connection.text_factory = readable  # a broken database has broken words in it
    (said,) = connection.execute("PRAGMA quick_check(1)").fetchone()
    if said != "ok":
        return Found("damaged", why="parts of it are broken")
    columns: dict[str, set[str]] = {}
    for table, column in connection.execute(_COLUMNS):
        columns.setdefault(table, set()).add(column)
    if VERSION_TABLE not in columns:
        if not columns:
            return Found("nothing")
        ours = len(columns.keys() & {"jobs", "revisions", "steps"}) > 1
        return Found("damaged", why="tables are missing from it") if ours else Found("foreign")
    row = connection.execute(f"SELECT version_num FROM {VERSION_TABLE}").fetchone()
    if row is None:
        return Found("damaged", why="it does not say its version")
    if row[0] == VERSIONS[-1] and lacking(columns):
        return Found("damaged", why="tables are missing from it")
    return Found("sound", str(row[0]))


def lacking(columns: dict[str, set[str]]) -> list[str]:
    """The tables of this version that are not, or not wholly, among these tables with their columns."""
    tables = Base.metadata.tables.items()
    return [name for name, table in tables if not columns.get(name, set()) >= {column.name for column in table.columns}]


def _free(path: Path, why: str) -> Path:
    """A name beside path that says why and when, and is not taken."""
    when = datetime.datetime.now().strftime("%Y-%m-%d-%H%M%S")
    names = (f"{path.stem}-{why}-{when}{again}{path.suffix}" for again in ("", *(f"-{n}" for n in range(2, 1000))))
    return next(name for name in map(path.with_name, names) if not name.exists())
