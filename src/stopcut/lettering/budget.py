"""How much a job may ask for: what is more is a fault at once, not a machine that stands still.

The limits are for the whole board, measured so that what stays within them is worked out in a minute and a gigabyte.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from typing import Final

from stopcut.errors import CarverError
from stopcut.lettering.letters import Lettered
from stopcut.shape.outline import Outline
from stopcut.units import Units, format_length

__all__ = ["TooMuch", "check_points", "check_thinnest"]

MOST_POINTS: Final = 400_000
"""Pieces of all letters' outlines. Our choice: 5,000 letters of the densest text faces; 2 ms each for the findings."""
MOST_SAMPLES: Final = 1_000_000
"""Places along the edges of a line's different letters at which a stroke's width is asked. Our choice: 14 μs and half
a kilobyte each."""
WIDEST_SHARE: Final = 0.5
"""The thinnest stroke's greatest share of the cap height. Our choice: the bars of an E are one block by then."""


class TooMuch(CarverError):
    """What was asked is beyond what is worked out. found says what, remedy what would do."""

    def __init__(self, found: str, remedy: str) -> None:
        super().__init__(f"{found}; {remedy}")
        self.found, self.remedy = found, remedy


def check_points(lines: Sequence[Lettered]) -> None:
    """Raise TooMuch where all letters together have more pieces than are worked out."""
    points = sum(len(contour.segments) for line in lines for one in line.letters for contour in one.outline.contours)
    if points > MOST_POINTS:
        raise TooMuch(
            f"the letters' outlines have {points:,} pieces in all, and {MOST_POINTS:,} are the most",
            "take a plainer face, or make two jobs of it",
        )


def check_thinnest(lettered: Lettered, thinnest_mm: float, mm_per_em: float, samples: int, units: Units) -> None:
    """Raise TooMuch where strokes cannot be so wide, or are too fine to be looked for along such large letters.

    mm_per_em is the size the line is carved at, samples how many places are asked along a length of thinnest_mm.
    """
    cap = mm_per_em * lettered.face.cap_height
    if thinnest_mm > WIDEST_SHARE * cap:
        most = format_length(WIDEST_SHARE * cap, units)
        raise TooMuch(
            f"strokes of {format_length(thinnest_mm, units)} do not fit into letters {format_length(cap, units)} high",
            f"stay under {most}",
        )
    shapes = {letter.outline.digest: letter.outline for letter in lettered.letters}
    edge = mm_per_em * sum(_reach(outline) for outline in shapes.values())
    if edge * samples > MOST_SAMPLES * thinnest_mm:
        least = format_length(edge * samples / MOST_SAMPLES, units)
        raise TooMuch(
            f"strokes of {format_length(thinnest_mm, units)} are too fine to look for in letters "
            f"{format_length(cap, units)} high",
            f"ask for {least} or more, or leave it out",
        )


def _reach(outline: Outline) -> float:
    """How long the outline's edges are at most: the way through their control points, in its own unit."""
    return sum(math.dist(a, b) for segment in outline.segments for a, b in itertools.pairwise(segment))
