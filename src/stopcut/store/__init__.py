"""The workshop's database: jobs with every revision, and what is kept beside them. See store.Store.

Importing this room loads SQLAlchemy, so commands that need no store import it where they use it.
"""

from __future__ import annotations

from stopcut.store.opening import open_store
from stopcut.store.store import Store

__all__ = ["Store", "open_store"]
