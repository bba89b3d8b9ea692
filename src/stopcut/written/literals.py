"""Values as TOML writes them, and the few shapes of value that a job document holds."""

from __future__ import annotations

import datetime
import tomllib
from collections.abc import Mapping
from typing import TypeAlias

import tomlkit

__all__ = ["Value", "key_literal", "literal", "value_of"]

Value: TypeAlias = "str | int | float | bool | datetime.date | list[Value] | dict[str, Value]"


def literal(value: object) -> str:
    """A value as TOML, on one line: text in quotes, lists in brackets, tables in braces.

    Raises ValueError for what TOML cannot hold, such as None.
    """
    if isinstance(value, list | tuple):
        return "[" + ", ".join(literal(member) for member in value) + "]"
    if isinstance(value, Mapping):
        return "{ " + ", ".join(f"{key_literal(key)} = {literal(member)}" for key, member in value.items()) + " }"
    try:
        written = tomlkit.item(value).as_string()
        written.encode()  # half of a surrogate pair is text to Python and to no file
        tomllib.loads(f"value = {written}")
    except (TypeError, ValueError) as problem:
        raise ValueError(f"{value!r:.60} cannot be written in a job: {problem}") from problem
    return written


def value_of(written: str) -> object:
    """The value that a literal stands for. Raises ValueError if it is no TOML."""
    return tomllib.loads(f"value = {written}")["value"]


def key_literal(key: object) -> str:
    """A key as TOML, in quotes where it needs them."""
    text = str(key)
    return text if text and all(c.isascii() and (c.isalnum() or c in "-_") for c in text) else literal(text)
