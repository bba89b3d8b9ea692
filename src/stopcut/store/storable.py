"""What text may go into a store: what every database keeps, to the letter."""

from __future__ import annotations

import datetime

from stopcut.job.edit_values import Refused

__all__ = ["aware", "storable"]


def storable(text: str) -> str:
    """The text itself. Raises Refused for the two kinds of character that PostgreSQL does not keep."""
    if "\x00" in text or any("\ud800" <= char <= "\udfff" for char in text):
        raise Refused("There is a character in it that can't be kept.")
    return text


def aware(at: datetime.datetime) -> datetime.datetime:
    """The time itself. Raises Refused if it does not say its zone."""
    if at.tzinfo is None:
        raise Refused("A time needs its zone.")
    return at
