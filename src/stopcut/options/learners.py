"""The list of a class: who carves which word, with how much practice and with which hand, from a TOML or CSV file.

```toml
format = 1

[tools]                     # how many there are of each tool of the roll; one where not said
"chisel 12" = 4

[[learner]]
name = "Hazel"
words = "HAZEL"             # for the job's first line; ["HAZEL", "Plot 4"] for its first two
level = "practised"         # "first board" where not said, "practised", "daily"
hand = "left"               # "right" where not said
```

As CSV: a first row of names (name, words, level, hand; words2 for the job's second line and so on), then a row for each
learner, parted by commas or semicolons.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from types import MappingProxyType
from typing import Annotated, Any, Final, get_args

from pydantic import Field, PlainValidator, ValidationError

from stopcut.errors import Fault, WrongJob
from stopcut.shop.rates import Skill
from stopcut.shop.tools import Hand
from stopcut.teaching.in_class import Learner
from stopcut.written import readers as read
from stopcut.written.model_faults import FaultAt, Format, single_faults
from stopcut.written.places import Path as KeyPath
from stopcut.written.places import dotted, find_places
from stopcut.written.toml import text_of, toml_of

__all__ = ["LEVELS", "ClassList", "parse_learners", "read_learners"]

LEVELS: Final[tuple[Skill, ...]] = get_args(Skill)
FORMAT: Final = 1
MOST_LEARNERS: Final = 60
"""Learners of a class. Our choice: more than any room has benches."""
MOST_LINES: Final = 8
"""Lines of words for each learner. Our choice."""
MOST_OF_A_TOOL: Final = 1_000


@dataclass(frozen=True, slots=True)
class ClassList:
    """The learners in the list's order, and how many there are of the tools that it counts, by name."""

    learners: tuple[Learner, ...]
    tools: Mapping[str, int] = field(default_factory=lambda: MappingProxyType({}))


def read_learners(path: Path) -> ClassList:
    """A class list from its file: CSV where its name ends so, else TOML. Raises WrongJob with every fault found."""
    return parse_learners(text_of(path, what="class list"), path.name)


def parse_learners(text: str, name: str = "class.toml") -> ClassList:
    """The class list that a text says; faults begin with the file's name. Raises WrongJob with every fault found."""
    try:
        found = _of_csv(text) if name.casefold().endswith(".csv") else _of_toml(text)
    except WrongJob as wrong:
        raise WrongJob(
            tuple(Fault(f"{name} {one.key}".strip(), one.line, one.found, one.remedy) for one in wrong.faults)
        ) from None
    return replace(found, learners=tuple(replace(one, key=f"{name} {one.key}".strip()) for one in found.learners))


def _of_toml(text: str) -> ClassList:
    raw, places = toml_of(text), find_places(text)
    document, found = _checked(raw)
    if document is None or found:
        raise WrongJob(_in_order([Fault(dotted(p), places.line_of(p), what, remedy) for p, what, remedy in found]))
    lines = [places.line_of(("learner", n)) for n in range(len(document.learner))]
    keys = [dotted(("learner", n)) for n in range(len(document.learner))]
    return _list_of(document, keys, lines)


def _of_csv(text: str) -> ClassList:
    rows = csv.reader(io.StringIO(text), delimiter=_delimiter(text), skipinitialspace=True)
    try:
        read_rows = [(rows.line_num, [cell.strip() for cell in row]) for row in rows]
    except csv.Error as problem:
        raise WrongJob((Fault("", rows.line_num, f"this is no CSV: {problem}", "save it as CSV again"),)) from None
    read_rows = [(line, row) for line, row in read_rows if any(row)]
    if not read_rows:
        raise WrongJob((Fault("", None, "the list is empty", "write a row of names: name,words,level,hand"),))
    first, head = read_rows[0][0], [cell.casefold() for cell in read_rows[0][1]]
    faults = _faults_of_head(head, first)
    learners, lines = [], [line for line, _ in read_rows[1:]]
    for line, row in read_rows[1:]:
        if len(row) > len(head):
            found = f"{len(row)} cells stand under {len(head)} names"
            faults.append(Fault("", line, found, "put words with a comma in them in double quotes"))
        learners.append(_learner_of_row(dict(zip(head, row, strict=False))))
    if faults:
        raise WrongJob(_in_order(faults))
    document, found_at = _checked({"format": FORMAT, "learner": learners})
    if document is None or found_at:
        placed = [_fault_of_row(path, what, remedy, lines) for path, what, remedy in found_at]
        raise WrongJob(_in_order(placed))
    return _list_of(document, [""] * len(lines), lines)


def _fault_of_row(path: KeyPath, found: str, remedy: str, lines: Sequence[int]) -> Fault:
    """A fault of the document as one of the row that it came from, by the column's name."""
    row = next((part for part in path if isinstance(part, int)), None)
    column = next((str(part) for part in reversed(path) if isinstance(part, str)), "")
    return Fault("" if row is None else column, None if row is None else lines[row], found, remedy)


def _faults_of_head(head: Sequence[str], line: int) -> list[Fault]:
    known = ("name", "words", *(f"words{n}" for n in range(2, MOST_LINES + 1)), "level", "hand")
    faults = []
    for cell in head:
        if cell and cell not in known:
            guess = read.meant(cell, known)
            faults.append(
                Fault(cell, line, "no such column", f"did you mean {guess}?" if guess else "take the column out")
            )
    for needed in ("name", "words"):
        if needed not in head:
            faults.append(Fault(needed, line, "the column is missing", "begin with a row: name,words,level,hand"))
    return faults


def _learner_of_row(cells: Mapping[str, str]) -> dict[str, Any]:
    words = [cells.get("words", "")]
    words += [cells[key] for key in (f"words{n}" for n in range(2, MOST_LINES + 1)) if cells.get(key)]
    learner: dict[str, Any] = {"name": cells.get("name", ""), "words": words if len(words) > 1 else words[0]}
    return learner | {key: cells[key].casefold() for key in ("level", "hand") if cells.get(key)}


def _delimiter(text: str) -> str:
    first = next((line for line in text.splitlines() if line.strip()), "")
    return max(",;\t", key=first.count)


def _in_order(faults: Sequence[Fault]) -> tuple[Fault, ...]:
    return tuple(sorted(faults, key=lambda fault: fault.line or 0))


def _checked(raw: Mapping[str, Any]) -> tuple[_ListDocument | None, list[FaultAt]]:
    """The document, None where a key of it is wrong, and all that is wrong."""
    found: list[FaultAt] = []
    document: _ListDocument | None = None
    try:
        document = _ListDocument.model_validate(raw)
    except ValidationError as problem:
        found += single_faults(problem.errors(include_url=False), _FORMAT)
    learners = raw.get("learner")
    names: dict[str, int] = {}
    for n, table in enumerate(learners if isinstance(learners, list) else ()):
        name = table.get("name") if isinstance(table, dict) else None
        if not isinstance(name, str) or not name.strip():
            continue
        first = names.setdefault(" ".join(name.casefold().split()), n)
        if first != n:
            found.append((("learner", n, "name"), f"{read.shown(name)} is on the list already", "add a letter to one"))
    return document, found


def _list_of(document: _ListDocument, keys: Sequence[str], lines: Sequence[int | None]) -> ClassList:
    learners = tuple(
        Learner(table.name.strip(), table.words, table.level, table.hand, key, line)
        for table, key, line in zip(document.learner, keys, lines, strict=True)
    )
    return ClassList(learners, MappingProxyType(dict(document.tools)))


def _words() -> PlainValidator:
    def one(value: Any) -> str:
        if isinstance(value, str) and not value.strip():
            raise read.wrong("it is blank", "write the words that this learner carves")
        if not isinstance(value, str):
            raise read.wrong(f"{read.shown(value)} is no text", "write the words in quotes")
        read.refuse_unseen(value, "write the words on one line, with nothing but what can be seen")
        if len(value) > MOST_CHARACTERS:
            raise read.wrong(f"it has {len(value)} characters", f"keep to {MOST_CHARACTERS}")
        return value.strip()

    def check(value: Any) -> tuple[str, ...]:
        if isinstance(value, list):
            if not 0 < len(value) <= MOST_LINES:
                raise read.wrong(f"it has {len(value)} lines", f"write from 1 to {MOST_LINES}")
            return tuple(one(member) for member in value)
        return (one(value),)

    return PlainValidator(check)


MOST_CHARACTERS: Final = 200
"""Characters of a learner's line. Our choice: no blank for a class has room for more."""


class _Learner(read.StrictTable):
    name: Annotated[str, read.text("the learner's name", 100)]
    words: Annotated[tuple[str, ...], _words()]
    level: Annotated[Skill, read.choice(*LEVELS)] = "first board"
    hand: Annotated[Hand, read.choice(*get_args(Hand))] = "right"


class _ListDocument(read.StrictTable):
    format: Annotated[int, read.version(FORMAT)]
    tools: dict[str, Annotated[int, read.whole_number(0, MOST_OF_A_TOOL)]] = Field(default_factory=dict)
    learner: list[_Learner] = Field(min_length=1, max_length=MOST_LEARNERS)


_FORMAT: Final = Format(
    tables={(): _ListDocument, ("learner",): _Learner},
    repeated=("learner",),
    when_missing={
        ("format",): f"write format = {FORMAT} as the first line",
        ("learner",): "write a table [[learner]] with name and words for each",
        ("learner", "name"): 'write name = "…"',
        ("learner", "words"): 'write words = "…", what this learner carves',
    },
)
