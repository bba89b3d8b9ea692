"""Findings as they are told: the gravest first, and notes of one kind that would fill a page told once.

What says stop or look is never gathered: each has its own place on the board.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from stopcut.errors import Finding, Severity

__all__ = ["gathered"]

MOST_ALIKE = 6
"""Notes of one kind that are told one by one. Our choice: a board of six lines says all of each."""
MOST_NAMED = 12
"""Lines that are named after the first. Our choice: a line of print."""

_ORDER = tuple(Severity)


def gathered(said: Iterable[Finding]) -> tuple[Finding, ...]:
    """The findings, the gravest first and within that in their order; many notes of one kind are one, at the first.

    Notes that say the same word for word are told once, with their lines.
    """
    found = list(said)
    kinds: dict[str, list[Finding]] = {}
    for finding in found:
        if finding.severity is Severity.NOTE:
            kinds.setdefault(finding.code, []).append(finding)
    notes = {id(note): told for alike in kinds.values() for note, told in _told(alike)}
    kept = (notes.get(id(one)) if one.severity is Severity.NOTE else one for one in found)
    return tuple(sorted((one for one in kept if one is not None), key=lambda one: _ORDER.index(one.severity)))


def _told(alike: list[Finding]) -> Iterator[tuple[Finding, Finding]]:
    """Notes of one kind that are told, each with how."""
    same: dict[tuple[str, str], list[Finding]] = {}
    for note in alike:
        same.setdefault((note.says, note.remedy), []).append(note)
    groups = [alike] if len(same) > MOST_ALIKE else list(same.values())
    for first, *others in groups:
        lines = sorted({note.where.line for note in others if note.where.line} - {first.where.line})
        yield first, replace(first, says=f"{first.says} Likewise {_named(lines)}.") if lines else first


def _named(lines: list[int]) -> str:
    """Lines by their numbers, a few of them."""
    if len(lines) == 1:
        return f"line {lines[0]}"
    if len(lines) <= MOST_NAMED:
        return f"lines {', '.join(map(str, lines[:-1]))} and {lines[-1]}"
    return f"lines {', '.join(map(str, lines[:MOST_NAMED]))} and {len(lines) - MOST_NAMED} more"
