"""The way to the database: connections as a store needs them, and its troubles in the carver's words."""

from __future__ import annotations

import sqlite3
from typing import Any, Final

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.exc import InterfaceError, OperationalError, SQLAlchemyError

from stopcut.store.address import Address
from stopcut.store.values import StoreTrouble

__all__ = ["BUSY_S", "FILE_TROUBLE", "WRITES", "engine_of", "readable", "trouble"]

BUSY_S: Final = 30.0
"""How long one writer waits for another. [s] (our choice: longer than any write takes)"""

CONNECT_S: Final = 10  # our choice: how long a server may take to answer [s]
WRITES: Final = "stopcut_writes"
"""The execution option of a transaction that will write: on SQLite it takes the write lock at its start."""

FILE_TROUBLE: Final = {
    sqlite3.SQLITE_BUSY: "is in use by another program that does not let go; nothing was changed. Try again.",
    sqlite3.SQLITE_LOCKED: "is in use by another program that does not let go; nothing was changed. Try again.",
    sqlite3.SQLITE_FULL: "could not be written: the disk is full. Make room and try again.",
    sqlite3.SQLITE_READONLY: "may not be written to. Ask who it belongs to, or name another.",
    sqlite3.SQLITE_PERM: "may not be written to. Ask who it belongs to, or name another.",
    sqlite3.SQLITE_CANTOPEN: "can't be opened. Is its folder there, and may you write in it?",
    sqlite3.SQLITE_IOERR: "could not be read or written: the disk reports a fault. Is it full?",
    sqlite3.SQLITE_CORRUPT: "is damaged. Start again: it will be set aside, and a new one begun.",
    sqlite3.SQLITE_NOTADB: "is damaged. Start again: it will be set aside, and a new one begun.",
}
"""What is to be said of a store's file, by the primary code that SQLite gives. (https://www.sqlite.org/rescode.html)"""

# What PostgreSQL and its library say, and what we say.
_SAID: Final = (
    ("password authentication failed", "it does not take this user and password"),
    ("no password supplied", "it wants a password"),
    ("does not exist", "there is no such database or user"),
    ("could not translate host name", "there is no machine of that name"),
    ("failed to resolve host", "there is no machine of that name"),
    ("too many clients", "it has no connection to spare"),
    ("lock timeout", "another program holds this job; try again"),
    ("timeout", "it did not answer in time"),
    ("refused", "nothing answers there: is the server running?"),
    ("no such file", "nothing answers there: is the server running?"),
)


def engine_of(address: Address) -> Engine:
    """An engine for a store. It connects when it is first used. Raises StoreTrouble where the driver is not there."""
    if address.path is not None:
        engine = create_engine(address.url, connect_args={"timeout": BUSY_S, "check_same_thread": False})
        event.listen(engine, "connect", _prepare_sqlite)
        event.listen(engine, "begin", _begin_sqlite)
        return engine
    settings = {
        "connect_timeout": CONNECT_S,
        "options": f"-c lock_timeout={int(BUSY_S * 1000)} -c synchronous_commit=on",
    }
    try:
        return create_engine(address.url, pool_pre_ping=True, connect_args=settings | dict(address.secrets))
    except ImportError:
        raise StoreTrouble("A store on PostgreSQL needs psycopg: install stopcut[postgres].") from None


def readable(words: bytes) -> str:
    """What a database holds as text. What is no UTF-8 comes out as lone surrogates, which tell that it is damaged."""
    return words.decode("utf-8", "surrogateescape")


def _prepare_sqlite(connection: sqlite3.Connection, _record: Any) -> None:
    connection.text_factory = readable
    connection.isolation_level = None  # transactions begin where _begin_sqlite says
    for pragma in ("synchronous = FULL", "foreign_keys = ON"):
        connection.execute(f"PRAGMA {pragma}")


def _begin_sqlite(connection: Connection) -> None:
    connection.exec_driver_sql("BEGIN IMMEDIATE" if connection.get_execution_options().get(WRITES) else "BEGIN")


def trouble(problem: SQLAlchemyError | sqlite3.Error, address: Address) -> StoreTrouble:
    """What went wrong with a store, for the carver. It repeats nothing that a driver says: that may hold anything."""
    original = problem if isinstance(problem, sqlite3.Error) else getattr(problem, "orig", None)
    said = str(original or "").lower()
    if address.path is not None:
        code = getattr(original, "sqlite_errorcode", 0) & 0xFF
        return StoreTrouble(f"The store {address.said} {FILE_TROUBLE.get(code, 'could not be used.')}")
    broken = isinstance(problem, OperationalError | InterfaceError)
    otherwise = "the server broke off or did not answer" if broken else "it did not take what was asked of it"
    why = next((ours for theirs, ours in _SAID if theirs in said), otherwise)
    return StoreTrouble(f"The store at {address.said} can't be used: {why}{'' if why.endswith('?') else '.'}")
