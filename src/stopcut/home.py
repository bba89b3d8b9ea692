"""STOPCUT_HOME: where this carver's own things are kept (shop files, uploaded faces, caches, the store)."""

from __future__ import annotations

import os
from pathlib import Path

import platformdirs

__all__ = ["cache_folder", "home", "path_named"]


def path_named(text: str) -> Path:
    """The path that a text names; ~ is read as a shell reads it, and stays as written where nobody has that name."""
    try:
        return Path(text).expanduser()
    except RuntimeError:
        return Path(text)


def home() -> Path:
    """The folder of the shop's files: $STOPCUT_HOME, else the system's place for a user's data. Not made here."""
    named = os.environ.get("STOPCUT_HOME", "").strip()
    return path_named(named) if named else Path(platformdirs.user_data_dir("stopcut", appauthor=False))


def cache_folder() -> Path:
    """Where worked-out glyphs are kept between runs; may be deleted at any time."""
    named = os.environ.get("STOPCUT_HOME", "").strip()
    return home() / "cache" if named else Path(platformdirs.user_cache_dir("stopcut", appauthor=False))
