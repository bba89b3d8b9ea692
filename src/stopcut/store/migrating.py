"""Bringing a store's tables to this program's version. Alembic is loaded only when there is something to do."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from sqlalchemy import Connection
from sqlalchemy.exc import DBAPIError

from stopcut.store.tables import VERSIONS
from stopcut.store.values import StoreTrouble

__all__ = ["migrate"]

_FOLDER: Final = Path(__file__).parent / "migrations"


def migrate(connection: Connection, said: str, version: str = VERSIONS[-1]) -> None:
    """Bring the tables up to a version, within the connection's transaction. said is the store's sayable place.

    Raises StoreTrouble if what is there does not let it; the transaction must not be kept then.
    """
    from alembic import command
    from alembic.config import Config

    config = Config(attributes={"connection": connection})
    config.set_main_option("script_location", str(_FOLDER).replace("%", "%%"))
    try:
        command.upgrade(config, version)
    except DBAPIError:
        raise StoreTrouble(
            f"The store {said} can't be made ready for this version of stopcut, as its tables are not what they should "
            "be. It was left as it is; name another, or ask for help."
        ) from None
