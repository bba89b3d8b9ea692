"""Where things stand in a job's text: each key's line, its value's place, and the blocks the text is made of.

TOML readers give values but no places, and a carver needs the line of the file. This small reader walks a text that is
already known to be TOML and notes where every key and value begins and ends, through quoted and dotted keys, inline
tables, arrays over several lines and strings that hold brackets, signs or whole paragraphs. Edits work on the same
places, which is why they can leave every other character as the carver wrote it.

A place is named by a path: ("board", "width"), or ("line", 1, "shifts", 0, "by") with array members counted from 0.
"""

from __future__ import annotations

import bisect
import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Final, Literal

__all__ = ["Entry", "KeySpot", "Path", "Places", "TextBlock", "dotted", "find_places"]

Path = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class KeySpot:
    """A key and its value: offsets into the text, in characters; value_start..value_end is the value as written."""

    key_start: int
    value_start: int
    value_end: int


@dataclass(frozen=True, slots=True)
class Entry:
    """One `key = value` of a table: path is the whole path of the value; start..end its lines, line break included."""

    path: Path
    spot: KeySpot
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class TextBlock:
    """A stretch of the text under one header.

    path is the table's (() for what stands before the first header); start..end are its lines, from the comment lines
    directly above the header and the blank lines above those; header is where the "[" is, body where its line ends.
    """

    kind: Literal["top", "table", "member"]
    path: Path
    start: int
    header: int
    body: int
    end: int
    entries: tuple[Entry, ...]


@dataclass(frozen=True)
class Places:
    """All places of one text. The blocks follow each other and make up the whole text.

    spots has every path that the text opens, by a key, a header or the part of a dotted one; values only those that
    have a value written there (entries, members of inline tables and of arrays).
    """

    text: str
    blocks: tuple[TextBlock, ...]
    spots: dict[Path, KeySpot]
    values: dict[Path, KeySpot]

    def line_of(self, path: Path) -> int | None:
        """The line, from 1, of the key at path, or of the nearest thing above it that is written, else None."""
        for length in range(len(path), 0, -1):
            spot = self.spots.get(path[:length])
            if spot is not None:
                return bisect.bisect_left(self._line_breaks, spot.key_start) + 1
        return None

    @cached_property
    def _line_breaks(self) -> list[int]:
        return [match.start() for match in re.finditer("\n", self.text)]

    def members(self, name: str) -> tuple[tuple[TextBlock, ...], ...]:
        """For each [[name]] of the text, in order, its block and those of its own tables ([name.arc])."""
        groups: list[list[TextBlock]] = []
        for block in self.blocks:
            if block.path[:1] != (name,) or len(block.path) < 2 or not isinstance(block.path[1], int):
                continue
            if block.kind == "member" and len(block.path) == 2:
                groups.append([block])
            elif groups:
                groups[-1].append(block)
        return tuple(tuple(group) for group in groups)


def dotted(path: Path) -> str:
    """A path as people read it, members counted from 1: "line[2].words". A key that is not bare stands in quotes.

    A key of more than LONGEST_KEY characters is cut short.
    """
    text = ""
    for part in path:
        if isinstance(part, int):
            text += f"[{part + 1}]"
        else:
            text += ("." if text else "") + (_short(part) if _BARE_KEY.fullmatch(part) else _quoted(part))
    return text


def _short(key: str) -> str:
    return key if len(key) <= LONGEST_KEY else key[: LONGEST_KEY - 1] + "…"


def find_places(text: str) -> Places:
    """Walk a text that tomllib reads without error. What tomllib would refuse gives places of no meaning."""
    walk = _Walk(text)
    walk.document()
    return Places(text, tuple(walk.blocks), walk.spots, walk.values)


LONGEST_KEY: Final = 60
"""Characters of a key that are said. Our choice: as of a value."""
_BLANK: Final = re.compile(r"[ \t]*")
_SPACE_AND_COMMENTS: Final = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_REST_OF_LINE: Final = re.compile(r"[^\n]*\n?")
_BARE_KEY: Final = re.compile(r"[A-Za-z0-9_-]+")
_LITERAL: Final = re.compile(r"'[^'\n]*'")
_BASIC: Final = re.compile(r'"(?:[^"\\\n]|\\.)*"')
_LONG_LITERAL: Final = re.compile(r"'''.*?'''(?:'{1,2})?", re.DOTALL)
_LONG_BASIC: Final = re.compile(r'"""(?:[^\\]|\\.)*?"""(?:"{1,2})?', re.DOTALL)
_SCALAR: Final = re.compile(r"[^,\]\}#\r\n]*")
_COMMENT_LINE: Final = re.compile(r"[ \t]*#")
_BLANK_LINE: Final = re.compile(r"[ \t]*\r?\n")


class _Walk:
    """The walk itself: at is where it stands; every method moves it past what it is named for."""

    def __init__(self, text: str) -> None:
        self.text, self.at = text, 0
        self.blocks: list[TextBlock] = []
        self.spots: dict[Path, KeySpot] = {}
        self.values: dict[Path, KeySpot] = {}
        self.counts: dict[Path, int] = {}

    def document(self) -> None:
        kind: Literal["top", "table", "member"] = "top"
        path: Path = ()
        start = header = 0
        body = 0
        entries: list[Entry] = []
        for line_start in self._statements():
            if self.text[self.at] != "[":
                entries.append(self._entry(path, line_start))
                continue
            lead = self._lead(line_start, body if not entries else entries[-1].end)
            self.blocks.append(TextBlock(kind, path, start, header, body, lead, tuple(entries)))
            start, header, entries = lead, self.at, []
            kind, path = self._header()
            body = self._end_of_line()
        self.blocks.append(TextBlock(kind, path, start, header, body, len(self.text), tuple(entries)))

    def _statements(self) -> Iterator[int]:
        """Stop at each key or header; yields where its line begins."""
        while True:
            self.at = _skip(_SPACE_AND_COMMENTS, self.text, self.at)
            if self.at >= len(self.text):
                return
            yield self.text.rfind("\n", 0, self.at) + 1

    def _lead(self, line_start: int, floor: int) -> int:
        """Where the comment lines directly above a header, and the blank lines above those, begin: not before floor."""
        lead = line_start
        for kind in (_COMMENT_LINE, _BLANK_LINE):
            while lead > floor:
                above = self.text.rfind("\n", 0, lead - 1) + 1
                if above < floor or not kind.match(self.text, above):
                    break
                lead = above
        return lead

    def _header(self) -> tuple[Literal["table", "member"], Path]:
        begin = self.at
        double = self.text.startswith("[[", self.at)
        self.at += 2 if double else 1
        names = self._key()
        self.at += 2 if double else 1
        path: Path = ()
        for depth, name in enumerate(names, 1):
            path += (name,)
            if double and depth == len(names):
                self.counts[path] = self.counts.get(path, 0) + 1
            if path in self.counts:
                path += (self.counts[path] - 1,)
        self._note(path, KeySpot(begin, begin, self.at))
        return ("member" if double else "table"), path

    def _entry(self, table: Path, line_start: int) -> Entry:
        path, spot = self._key_and_value(table)
        return Entry(path, spot, line_start, self._end_of_line())

    def _key_and_value(self, table: Path) -> tuple[Path, KeySpot]:
        key_start = self.at
        path = table + tuple(self._key())
        self.at = _skip(_BLANK, self.text, self.at + 1)
        value_start = self.at
        self._value(path)
        spot = KeySpot(key_start, value_start, self.at)
        self._note(path, spot)
        self.values[path] = spot
        return path, spot

    def _note(self, path: Path, spot: KeySpot) -> None:
        self.spots[path] = spot
        for length in range(1, len(path)):  # a dotted key or header opens the tables it names
            self.spots.setdefault(path[:length], spot)

    def _key(self) -> list[str]:
        names = []
        while True:
            self.at = _skip(_BLANK, self.text, self.at)
            names.append(self._name())
            self.at = _skip(_BLANK, self.text, self.at)
            if self.text[self.at : self.at + 1] != ".":
                return names
            self.at += 1

    def _name(self) -> str:
        for pattern in (_BARE_KEY, _LITERAL, _BASIC):
            match = pattern.match(self.text, self.at)
            if match:
                self.at = match.end()
                name = match[0]
                if pattern is _BARE_KEY:
                    return name
                return next(iter(tomllib.loads(f"{name} = 0"))) if "\\" in name else name[1:-1]
        raise ValueError(f"no key at character {self.at}")

    def _value(self, path: Path) -> None:
        if self.text[self.at] == "[":
            self._array(path)
        elif self.text[self.at] == "{":
            self._inline_table(path)
        else:
            for pattern in (_LONG_BASIC, _LONG_LITERAL, _BASIC, _LITERAL, _SCALAR):
                match = pattern.match(self.text, self.at)
                if match:
                    self.at += len(match[0].rstrip())
                    return

    def _array(self, path: Path) -> None:
        self.at += 1
        member = 0
        while True:
            self.at = _skip(_SPACE_AND_COMMENTS, self.text, self.at)
            if self.text[self.at] == "]":
                break
            if self.text[self.at] == ",":
                self.at += 1
                continue
            start = self.at
            self._value((*path, member))
            self.spots[*path, member] = self.values[*path, member] = KeySpot(start, start, self.at)
            member += 1
        self.at += 1

    def _inline_table(self, path: Path) -> None:
        self.at += 1
        while True:
            self.at = _skip(_SPACE_AND_COMMENTS, self.text, self.at)
            if self.text[self.at] == "}":
                break
            if self.text[self.at] == ",":
                self.at += 1
                continue
            self._key_and_value(path)
        self.at += 1

    def _end_of_line(self) -> int:
        return _skip(_REST_OF_LINE, self.text, self.at)


def _quoted(key: str) -> str:
    short = key if len(key) <= 60 else key[:59] + "…"
    return '"' + "".join(c if c.isprintable() else f"\\u{ord(c):04x}" for c in short) + '"'


def _skip(pattern: re.Pattern[str], text: str, at: int) -> int:
    match = pattern.match(text, at)
    return match.end() if match else at
