"""A document's text: from a file, and as TOML; whatever is wrong with it is a fault for the person who wrote it."""

from __future__ import annotations

import re
import stat
import tomllib
from collections.abc import Iterable
from pathlib import Path
from typing import Any, Final

from stopcut.errors import Fault, WrongJob

__all__ = ["MOST_BYTES", "decoded", "text_of", "toml_of"]

MOST_BYTES: Final = 1_000_000  # our choice: a job of a thousand lines is a tenth of this

MOST_NESTED: Final = 30  # lists and tables in each other; our choice: a job has four

# A dotted key of more than thirty parts. Each part is taken whole (+), so that looking for it takes no time.
_LONG_KEY: Final = re.compile(
    r"""(?<![A-Za-z0-9_"'-])(?:(?:[A-Za-z0-9_-]++|"[^"\n]*+"|'[^'\n]*+')[ \t]*+\.[ \t]*+){30}"""
)
_BRACKET_OR_TEXT: Final = re.compile(r"""[\[\]{}]|"(?:[^"\\\n]|\\.)*+"|'[^'\n]*+'|#[^\n]*+""")
_AT: Final = re.compile(r"\s*\(at (?:line (\d+), column (\d+)|end of document)\)$")
_BACKSLASH: Final = "put the text in 'single quotes', or write a path with forward slashes: C:/Fonts/gate.ttf"
_ENDLESS: Final = re.compile(r"[0-9](?:_?[0-9]){4299}")  # from here on Python reads no whole number
# What tomllib says, and what a carver can do about it. The first that is part of its message counts.
_SYNTAX: Final = (
    ("overwrite a value", "a setting or table is given twice", "keep one of the two"),
    ("twice", "a setting or table is given twice", "keep one of the two"),
    ("Duplicate", "a setting or table is given twice", "keep one of the two"),
    ("mutate immutable", "a table is added to after it was finished", "put all its settings in one place"),
    ("immutable", "a table is added to after it was finished", "put all its settings in one place"),
    ("Expected '=' after a key", "there is no = after the key", "write key = value"),
    ("Invalid statement", "this is no setting", "write key = value, or [table]"),
    ("Unclosed array", "a [ is never closed", "close the list with ]"),
    ("Unclosed inline table", "a { is never closed", "close it with }"),
    ("Unterminated string", "a text is never closed", 'close it with the same quote, "'),
    ("Expected newline or end", "something follows the value", "one setting a line; words go in quotes"),
    ("Illegal character", "there is a character that may not stand here", "close the text's quotes on the same line"),
    ("Invalid value", "there is no value here", 'write a number, or words in quotes, "…"'),
    ("integer string conversion", "a number has thousands of digits", "write a shorter one"),
    ("scalar value", "a backslash and its number stand for half a character", "write the character itself"),
    *(
        (part, "a backslash stands before a letter it does not go with", _BACKSLASH)
        for part in ("nescaped", "backslash", "hex value")
    ),
)


def text_of(path: Path, *, what: str = "job file") -> str:
    """A document's text from its file. Raises WrongJob where there is none to be had (a folder, not UTF-8, too large).

    what is what the document is called.
    """
    try:
        status = path.stat()
        if stat.S_ISDIR(status.st_mode):
            raise _whole(f"{path} is a folder", f"name the {what} in it")
        if not stat.S_ISREG(status.st_mode):
            raise _whole(f"{path} is no ordinary file", f"name a {what}")
        with path.open("rb") as stream:
            content = stream.read(MOST_BYTES + 1)
    except OSError as problem:
        reason = (problem.strerror or str(problem)).lower()
        raise _whole(f"{path} cannot be read: {reason}", "check its name and who may read it") from None
    except ValueError:  # a path with a zero byte in it
        raise _whole("the file's name has a character that no name may have", "check its name") from None
    return decoded(content, str(path), what=what)


def decoded(content: bytes, name: str, *, what: str = "job file") -> str:
    """The text of a document's bytes, without the mark that some editors put before it. Raises WrongJob."""
    if len(content) > MOST_BYTES:
        raise _whole(f"{name} has more than {MOST_BYTES // 1000} kB", f"a {what} is much smaller: is this one?")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        line = content.count(b"\n", 0, problem.start) + 1
        raise WrongJob((Fault("", line, "the file is not written in UTF-8", "save it as plain text, UTF-8"),)) from None


def toml_of(text: str) -> dict[str, Any]:
    """What the TOML of a text holds. Raises WrongJob, with the line, where it is broken."""
    long_key = _LONG_KEY.search(text)
    if long_key:  # reading it would take tomllib very long
        line = text.count("\n", 0, long_key.start()) + 1
        raise WrongJob((Fault("", line, "there are too many dots in one key", "write tables, [table]"),))
    try:
        data = tomllib.loads(text)
    except RecursionError:
        raise _too_deep(text) from None
    except ValueError as problem:  # TOMLDecodeError, and numbers of thousands of digits
        raise WrongJob((_syntax_fault(str(problem), text),)) from None
    if _deeper_than(MOST_NESTED, data):
        raise _too_deep(text)
    return data


def _deeper_than(depth: int, data: object) -> bool:
    """Whether lists and tables are nested more than this deep."""
    level: list[object] = [data]
    for _ in range(depth + 1):
        level = [member for table in level for member in _members(table)]
        if not level:
            return False
    return True


def _members(value: object) -> Iterable[object]:
    return value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()


def _too_deep(text: str) -> WrongJob:
    fault = Fault("", _deep_line(text), f"lists or tables are nested more than {MOST_NESTED} deep", "write them flat")
    return WrongJob((fault,))


def _deep_line(text: str) -> int | None:
    """The line of the bracket that opens one list or table too many; brackets in texts and remarks do not count."""
    deep = 0
    for match in _BRACKET_OR_TEXT.finditer(text):
        deep += {"[": 1, "{": 1, "]": -1, "}": -1}.get(match[0], 0)
        if deep > MOST_NESTED:
            return text.count("\n", 0, match.start()) + 1
    return None


def _syntax_fault(message: str, text: str) -> Fault:
    at = _AT.search(message)
    line = (int(at[1]) if at[1] else text.rstrip().count("\n") + 1) if at else None
    if line is None and (endless := _ENDLESS.search(text)):
        line = text.count("\n", 0, endless.start()) + 1
    for part, found, remedy in _SYNTAX:
        if part in message:
            return Fault("", line, found, remedy)
    said = _AT.sub("", message)
    return Fault("", line, f"this is no TOML ({said[:1].lower()}{said[1:]})", "write key = value, or [table]")


def _whole(found: str, remedy: str) -> WrongJob:
    return WrongJob((Fault("", None, found, remedy),))
