"""A line's letters with their thin strokes strengthened, at the size they will be carved, before they are spaced."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from stopcut.errors import Finding, Severity, Where
from stopcut.keep import keep, pack_json, unpack_json
from stopcut.lettering.budget import check_thinnest
from stopcut.lettering.letters import Lettered
from stopcut.lettering.strengthen import SAMPLES, StillThin, Strengthened, strengthen
from stopcut.shape.outline import Outline
from stopcut.shape.packed import outline_from_plain, plain_outline
from stopcut.units import Units, format_length

__all__ = ["StrongLine", "strengthen_line"]

VERSION = 5
"""Of what is kept; another one forgets it."""


@dataclass(frozen=True, slots=True)
class StrongLine:
    """The line with its strokes strengthened, the most any of them gained in width, and what could not be done. [mm]"""

    lettered: Lettered
    widened_max_mm: float
    findings: tuple[Finding, ...] = ()


def strengthen_line(
    lettered: Lettered, thinnest_mm: float, mm_per_em: float, line: int, units: Units = "mm"
) -> StrongLine:
    """Every letter of a line with no stroke thinner than thinnest_mm, as far as its counters allow.

    mm_per_em is the size that the line is carved at; line its number, from 1, for the finding. Each different letter
    is worked once and kept. Raises TooMuch where that is beyond what letters of this size can be.
    """
    check_thinnest(lettered, thinnest_mm, mm_per_em, SAMPLES, units)
    done = [_strengthened(letter.outline, thinnest_mm / mm_per_em) for letter in lettered.letters]
    letters = tuple(replace(letter, outline=one.outline) for letter, one in zip(lettered.letters, done, strict=True))
    short: list[tuple[float, int, str]] = []
    for place, (letter, one) in enumerate(zip(lettered.letters, done, strict=True)):
        if one.left:
            narrowest = min(spot.width for spot in one.left)
            short.append((narrowest * mm_per_em, lettered.order[place] + 1, letter.char))
    return StrongLine(
        replace(lettered, letters=letters),
        max((one.widened_max for one in done), default=0.0) * mm_per_em,
        (*_told(done, mm_per_em, line, units), *((_finding(short, thinnest_mm, line, units),) if short else ())),
    )


def _told(done: list[Strengthened], mm_per_em: float, line: int, units: Units) -> tuple[Finding, ...]:
    """How many letters of a line were strengthened, and by how much at most."""
    widened = [one.widened_max * mm_per_em for one in done if one.widened_max > 0]
    if not widened:
        return ()
    return (
        Finding(
            "strengthened",
            Severity.NOTE,
            f"{len(widened)} {'letter' if len(widened) == 1 else 'letters'} of line {line}: thin strokes strengthened, "
            f"by up to {format_length(max(widened), units)}; the pattern shows both.",
            "Nothing to mend; leave thinnest out to carve them as the face has them.",
            Where(line=line),
        ),
    )


def _finding(short: list[tuple[float, int, str]], thinnest_mm: float, line: int, units: Units) -> Finding:
    """One finding for a line: its worst letter, the others named after it."""
    width, index, char = min(short)
    others = [f"{other} ({number})" for _, number, other in sorted(short, key=lambda one: one[1]) if number != index]
    likewise = f" Likewise {', '.join(others)}." if others else ""
    return Finding(
        "still-thin",
        Severity.LOOK,
        f"{format_length(width, units)}, not {format_length(thinnest_mm, units)}, is how broad the thinnest stroke of "
        f"{char} (line {line}, letter {index}) gets without closing its counter.{likewise}",
        "Cut the line larger, take a bolder weight, or ask for less with thinnest.",
        Where(line=line, index=index),
    )


def _strengthened(outline: Outline, thinnest: float) -> Strengthened:
    return keep().remembered(
        "strengthened",
        (outline.digest, thinnest),
        lambda: strengthen(outline, thinnest),
        version=VERSION,
        pack=_pack,
        unpack=_unpack,
    )


def _pack(done: Strengthened) -> bytes:
    left = [[spot.x, spot.y, spot.width] for spot in done.left]
    return pack_json([plain_outline(done.outline), done.widened_max, left])


def _unpack(packed: bytes) -> Strengthened:
    plain: Any = unpack_json(packed)
    outline, widened, left = plain
    return Strengthened(outline_from_plain(outline), widened, tuple(StillThin(*spot) for spot in left))
