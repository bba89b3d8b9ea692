"""From pydantic's errors to faults: each with the key, its line, what was found and what would do."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

from pydantic import BaseModel
from pydantic_core import ErrorDetails

from stopcut.errors import Fault
from stopcut.written.places import Path, Places, dotted
from stopcut.written.readers import WRONG, meant, shown

__all__ = ["FaultAt", "Format", "as_faults", "single_faults"]

MOST_FAULTS: Final = 100  # our choice: nobody mends more at one sitting, and a file that is no job has thousands
MOST_ERRORS: Final = 1_000  # our choice: enough to show the first faults of the file, and soon looked at
LONGEST_KEY: Final = 40  # our choice: what is longer is no slip of a finger

FaultAt = tuple[Path, str, str]
"""A fault before its place is known: the path of its key, what was found, what would do."""

Names = tuple[str, ...]
"""A path without the numbers of array members: which kind of table it is, not which one."""


@dataclass(frozen=True)
class Format:
    """A kind of document: its tables by name, which of them are [[repeated]], and what to say where one is missing."""

    tables: Mapping[Names, type[BaseModel]]
    repeated: tuple[str, ...] = ()
    when_missing: Mapping[Names, str] = field(default_factory=dict)


def as_faults(found: Iterable[FaultAt], places: Places) -> tuple[Fault, ...]:
    """Faults with their lines, in the order of the file, no more than a person can mend at once."""
    faults = [Fault(dotted(path), places.line_of(path), what, remedy) for path, what, remedy in found]
    faults.sort(key=lambda fault: fault.line or 0)
    if len(faults) > MOST_FAULTS:
        faults[MOST_FAULTS:] = [Fault("", None, "there are more faults", "mend those above first")]
    return tuple(faults)


def single_faults(errors: Sequence[ErrorDetails], form: Format) -> Iterator[FaultAt]:
    """The faults of single keys, in pydantic's order. A missing key whose misspelling is there counts once."""
    errors = errors[:MOST_ERRORS]
    guesses = {(*e["loc"][:-1], _guess(e["loc"], form)) for e in errors if e["type"] == "extra_forbidden"}
    for error in errors:
        if error["type"] != "missing" or tuple(error["loc"]) not in guesses:
            yield (tuple(error["loc"]), *_found_and_remedy(error, form))


def _found_and_remedy(error: ErrorDetails, form: Format) -> tuple[str, str]:
    path: Path = tuple(error["loc"])
    names = _names(path)
    match error["type"]:
        case "missing":
            return "it is missing", form.when_missing.get(names, f"write {path[-1]} = … there")
        case "extra_forbidden":
            return "no such setting", _remedy_when_unknown(path, form)
        case "too_short":
            return "there is none", form.when_missing.get(names, "write one")
        case "too_long":
            return "there are too many", f"keep to {error['ctx']['max_length']}"
        case "list_type" if len(names) == 1 and names[0] in form.repeated:
            return f"{shown(error['input'])} stands here", f"write [[{path[-1]}]], in double brackets"
        case "list_type":
            return f"{shown(error['input'])} is no list", f"write {path[-1]} = [{{ … }}]"
        case kind if kind == WRONG:
            return error["ctx"]["found"], error["ctx"]["remedy"]
        case _:
            return f"{shown(error['input'])} is no table", _remedy_when_no_table(names, form)


def _remedy_when_no_table(names: Names, form: Format) -> str:
    keys = ", ".join(form.tables[names].model_fields) if names in form.tables else "its settings"
    return f"write a table with {keys}" if len(names) > 1 else f"write a table {_header(names, form)} with {keys}"


def _remedy_when_unknown(path: Path, form: Format) -> str:
    guess = _guess(path, form)
    homes = [names for names, table in form.tables.items() if path[-1] in table.model_fields]
    if guess:
        return f"did you mean {guess}?"
    if (str(path[-1]),) in form.tables and str(path[-1]) in form.repeated:
        return f"write [[{path[-1]}]], in double brackets, with its own settings below it"
    if homes:
        return "it belongs in " + " or ".join(_header(names, form) for names in homes)
    return "take it out"


def _guess(path: Path, form: Format) -> str:
    """The key of the same table that was probably meant, or ""."""
    table, key = form.tables.get(_names(path[:-1])), str(path[-1])
    if table is None or len(key) > LONGEST_KEY:
        return ""
    elsewhere = any(key in other.model_fields for other in form.tables.values())
    return meant(key, tuple(table.model_fields), cutoff=0.85 if elsewhere else 0.65)


def _header(names: Names, form: Format) -> str:
    if not names:
        return "the top of the file, before the first table"
    return f"[[{names[0]}]]" if names[0] in form.repeated else f"[{names[0]}]"


def _names(path: Path) -> Names:
    return tuple(part for part in path if isinstance(part, str))
