"""Findings in a carver's words: one for each cause and line, the worst letter first, the rest named after it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from stopcut.errors import Across, Finding, Severity, Where
from stopcut.shape.outline import Point
from stopcut.shape.placed import Placed
from stopcut.units import Units, format_length

__all__ = ["Case", "grouped", "is_less", "listed", "named"]

MOST_NAMED = 6
"""Letters named in one finding beside the worst. Our choice: more are counted, not read."""


@dataclass(frozen=True)
class Case:
    """One thing wrong at one place, before it is put together with its like.

    bad orders cases (the larger the worse); says is the worst one's sentence and remedy what would mend it; name is
    what it is called among the others, "" for its letter and number; cause keeps like cases of two causes apart.
    screen, across, wants_mm and times are the finding's: its remedy on a screen, its sentence for many, what would do.
    beside is the other letter where it is a matter of the gap between two, wider_mm by how much more of it would do.
    """

    code: str
    severity: Severity
    placed: Placed
    bad: float
    says: str
    remedy: str
    at: Point
    name: str = ""
    cause: str = ""
    screen: str = ""
    across: str = ""
    wants_mm: float | None = None
    times: float | None = None
    beside: Placed | None = None
    wider_mm: float = 0.0

    @property
    def gap(self) -> tuple[int, int, int, float] | None:
        """The gap of it, as Across has gaps; None where it is no gap between two letters of a line."""
        one, other = self.placed, self.beside
        if other is None or not one.index or not other.index or one.line != other.line:
            return None
        return one.line, one.index, other.index, self.wider_mm

    @property
    def called(self) -> str:
        """Its name among the others: "R (3)"."""
        return self.name or (f"{self.placed.called} ({self.placed.index})" if self.placed.index else named(self.placed))


def grouped(cases: Iterable[Case]) -> tuple[Finding, ...]:
    """One finding for each cause, severity and line, in the order they come; each letter counts once, at its worst."""
    groups: dict[tuple[str, Severity, int, str], list[Case]] = {}
    for case in cases:
        apart = case.cause or ("" if case.placed.line else case.placed.char)
        groups.setdefault((case.code, case.severity, case.placed.line, apart), []).append(case)
    return tuple(_finding(group) for group in groups.values())


def _finding(group: Sequence[Case]) -> Finding:
    worst = max(group, key=lambda case: case.bad)
    in_order = sorted(group, key=lambda case: case.placed.index)
    names = [name for name in dict.fromkeys(case.called for case in in_order) if name != worst.called]
    rest = f" Likewise {_others(names)}." if names else ""
    where = Where(worst.placed.line or None, worst.placed.index or None, *worst.at)
    placed = [case.placed for case in in_order if case.placed.index]
    across = None
    if worst.across:
        letters = tuple(dict.fromkeys((one.line, one.index) for one in placed))
        apart = worst.cause or ("" if worst.placed.line else named(worst.placed))
        chars = tuple(dict.fromkeys(one.called for one in placed))
        across = Across(worst.across, worst.bad, letters, chars, worst.wants_mm, apart, worst.times, _gaps(in_order))
    return Finding(worst.code, worst.severity, worst.says + rest, worst.remedy, where, worst.screen, across)


def _gaps(cases: Sequence[Case]) -> tuple[tuple[int, int, int, float], ...]:
    return tuple(gap for case in cases if (gap := case.gap) is not None)


def _others(names: Sequence[str]) -> str:
    if len(names) > MOST_NAMED:
        return f"{listed(names[:MOST_NAMED], last=', ')} and {len(names) - MOST_NAMED} more of the line"
    return listed(names)


def listed(names: Sequence[str], last: str = " and ") -> str:
    """Names in a row: "A, B and C"."""
    return names[0] if len(names) == 1 else ", ".join(names[:-1]) + last + names[-1]


def named(placed: Placed, *, begins: bool = False) -> str:
    """What a carver calls it: "R (line 1, letter 3)", "the leaders", "the ornament leaf"; begins as a sentence does."""
    if placed.index:
        return f"{placed.called} (line {placed.line}, letter {placed.index})"
    the = "The" if begins else "the"
    if placed.char == "leader":
        return f"{the} leaders"
    return f"{the} {placed.char}" if placed.char == "border" else f"{the} ornament {placed.char}"


def is_less(mm: float, least_mm: float, units: Units) -> bool:
    """Whether a length is less than another, and reads so: 0.98 mm is not worth a word where 1 mm is asked."""
    return mm < least_mm and format_length(mm, units) != format_length(least_mm, units)
