"""How a command leaves."""

from __future__ import annotations

from typing import Final

__all__ = ["FINE", "OTHER", "STOP", "WRONG"]

FINE: Final = 0
"""All is well."""

STOP: Final = 1
"""A finding says stop."""

WRONG: Final = 2
"""A wrong job, a lacking character or a bad font."""

OTHER: Final = 3
"""Anything else."""
