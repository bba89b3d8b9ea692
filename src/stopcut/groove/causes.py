"""Causes: findings that say one thing of many lines, told once, with all the places that it holds of.

Screen, printed words and the pattern's cover tell causes; JSON has every finding as it was found. A board of 27 lines
whose strokes are too thin for oak is one entry, its worst figure first, one number on the board and in the list.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from stopcut.errors import Finding, Severity, Where

__all__ = ["Cause", "by_cause"]

MOST_LINES, MOST_CHARS = 3, 12
"""Lines named by their numbers, letters named. Our choice: more are counted, not read."""

PER_LINE = frozenset(
    {"strengthened", "still-thin", "height-from-figures", "cannot-spread", "spread-openness", "drawn-in"}
)
"""Findings of a line that every line may have, and that want no sentence of their own for many."""

_ORDER = tuple(Severity)


@dataclass(frozen=True, slots=True)
class Cause:
    """One cause, told once.

    number counts from 1 in the order told; says is the sentence with the worst figure, more the letters it is in;
    remedy is in a job file's words, screen in a page's; where is the worst place, letters (line and letter) and spots
    (x, y [mm]) are all of them; wants_mm is the length that would do; of names what is no letter ("the border"), times
    is how many times as wide that would do; gaps are those that are too narrow (as Across has them).
    """

    number: int
    code: str
    severity: Severity
    says: str
    more: str
    remedy: str
    screen: str
    where: Where
    lines: tuple[int, ...]
    letters: tuple[tuple[int, int], ...]
    spots: tuple[tuple[float, float], ...]
    wants_mm: float | None = None
    of: str = ""
    times: float | None = None
    gaps: tuple[tuple[int, int, int, float], ...] = ()

    @property
    def counts(self) -> bool:
        """Whether it is to be looked at before cutting, not only to be known."""
        return self.severity is not Severity.NOTE


def by_cause(findings: Iterable[Finding], lines: int) -> tuple[Cause, ...]:
    """The causes of these findings of a board of so many lines, the gravest first, within that in their order."""
    groups: dict[tuple[object, ...], list[Finding]] = {}
    for finding in findings:
        groups.setdefault(_key(finding), []).append(finding)
    ordered = sorted(groups.values(), key=lambda group: _ORDER.index(group[0].severity))
    return tuple(_cause(number, group, lines) for number, group in enumerate(ordered, 1))


def _key(finding: Finding) -> tuple[object, ...]:
    kind = (finding.code, finding.severity)
    if finding.across is not None:
        return (*kind, finding.across.apart)
    return (*kind,) if finding.code in PER_LINE else (*kind, finding.says, finding.remedy)


def _cause(number: int, group: Sequence[Finding], lines: int) -> Cause:
    worst = max(group, key=lambda one: one.across.bad if one.across else 0.0)
    across = worst.across
    where = sorted({one.where.line for one in group if one.where.line})
    letters = [letter for one in group for letter in _letters(one)]
    spots = [(one.where.x_mm, one.where.y_mm) for one in group]
    chars = list(dict.fromkeys(char for one in group if one.across for char in one.across.chars))
    says, more = worst.says, ""
    if len(where) > 1 and across is not None:
        says, more = across.says.format(where=_in_lines(where, lines)), _in_letters(chars)
    elif len(where) > 1:
        more = f"Likewise {_in_lines([line for line in where if line != worst.where.line], lines)}."
    return Cause(
        number=number,
        code=worst.code,
        severity=worst.severity,
        says=says,
        more=more,
        remedy=worst.remedy,
        screen=worst.screen or worst.remedy,
        where=worst.where,
        lines=tuple(where),
        letters=tuple(dict.fromkeys(letters)),
        spots=tuple((x, y) for x, y in spots if x is not None and y is not None),
        wants_mm=None if across is None else across.wants_mm,
        of="" if across is None or where else across.apart,
        times=None if across is None else across.times,
        gaps=tuple(gap for one in group if one.across for gap in one.across.gaps),
    )


def _letters(finding: Finding) -> tuple[tuple[int, int], ...]:
    if finding.across is not None and finding.across.letters:
        return finding.across.letters
    where = finding.where
    return ((where.line, where.index),) if where.line and where.index else ()


def _in_lines(where: Sequence[int], lines: int) -> str:
    if len(where) == 1:
        return f"in line {where[0]}"
    if len(where) > MOST_LINES:
        return f"in all {lines} lines" if len(where) == lines else f"in {len(where)} lines"
    return f"in lines {', '.join(map(str, where[:-1]))} and {where[-1]}"


def _in_letters(chars: Sequence[str]) -> str:
    if not chars:
        return ""
    more = f" and {len(chars) - MOST_CHARS} more" if len(chars) > MOST_CHARS else ""
    return f"In {', '.join(chars[:MOST_CHARS])}{more}."
