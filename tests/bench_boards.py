"""Letters at the bench for the tests: grooves and cuts of the alphabet in faces of different kinds."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from groove_shapes import letter
from numpy.typing import NDArray

from stopcut.bench.cuts import cuts_for, worked
from stopcut.bench.plan import Cut, CutLine
from stopcut.groove.groove import groove
from stopcut.groove.surface import Groove
from stopcut.shape.outline import Outline
from stopcut.shape.placed import Placed

FACES = ("cinzel", "eb_garamond", "alegreya_sans")
ALPHABET = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
EM_MM = 64.0
"""Caps of some 42 mm."""
BASSWOOD = 410.0
"""Side hardness of basswood: Wood Handbook (FPL-GTR-190), chapter 5. [lbf]"""


def carved(outline: Outline, *, char: str = "", line: int = 1, index: int = 1, wall_deg: float = 60.0) -> Groove:
    """The groove of an outline in mm that stands where it is."""
    return groove(Placed(outline, 1.0, 0.0, 0.0, line=line, index=index, char=char), wall_deg)


@lru_cache
def carved_letters(family: str, chars: str = ALPHABET, em_mm: float = EM_MM) -> tuple[Groove, ...]:
    """Letters of a face in a row."""
    return tuple(
        groove(Placed(letter(family, char), em_mm, 10.0 + 60.0 * n, 10.0, 0.0, 1, n + 1, char), 60.0)
        for n, char in enumerate(chars)
    )


def of_height(family: str, chars: str = ALPHABET, cap_mm: float = 60.0) -> tuple[Groove, ...]:
    """The same with capitals that high."""
    return carved_letters(family, chars, cap_mm / letter(family, "H").bounds.height)


@lru_cache
def alphabet_cuts(family: str) -> tuple[Cut, ...]:
    """All cuts of A to Z with the published roll, grain along the board's width."""
    return cuts_for(carved_letters(family))


@lru_cache
def tall_cuts(family: str, chars: str = ALPHABET) -> tuple[Cut, ...]:
    """The same of capitals 60 mm high, in basswood."""
    return worked(of_height(family, chars), hardness_lbf=BASSWOOD).cuts


def edge_laid(cut: Cut, line: CutLine, start_mm: float) -> NDArray[np.float64]:
    """The used part of a tool's edge as points, laid on one of the cut's lines from a distance along it.

    The edge's middle touches the line there, square to the chord between the places where its ends come; a gouge bends
    with the line.
    """
    assert cut.tool is not None
    along = along_of(line.points)
    edge = min(cut.edge_mm, along[-1])

    def at(where: float) -> NDArray[np.float64]:
        return np.array([np.interp(where, along, line.points[:, k]) for k in (0, 1)])

    middle = at(start_mm + edge / 2)
    chord = at(start_mm + edge) - at(start_mm)
    chord /= np.hypot(*chord)
    normal = np.array([-chord[1], chord[0]])
    aside = (at(start_mm) + at(start_mm + edge)) / 2 - middle
    x = np.linspace(-edge / 2, edge / 2, 21)
    r = cut.tool.radius_mm
    rise = np.zeros_like(x) if np.isinf(r) else r - np.sqrt(np.maximum(r**2 - x**2, 0.0))
    laid: NDArray[np.float64] = middle + x[:, None] * chord + (rise * np.sign(aside @ normal))[:, None] * normal
    return laid


def settings_of(cut: Cut, line: CutLine) -> list[float]:
    """Where settings of the edge begin along one of the cut's lines, evenly, its least part used all along. [mm]"""
    room = float(along_of(line.points)[-1]) - cut.edge_mm
    if room <= 0:
        return [0.0]
    count = int(np.ceil(room / cut.edge_mm)) + 1
    return [room * n / (count - 1) for n in range(count)]


def along_of(points: NDArray[np.float64]) -> NDArray[np.float64]:
    step = np.diff(points[:, :2], axis=0)
    out: NDArray[np.float64] = np.concatenate([[0.0], np.cumsum(np.hypot(step[:, 0], step[:, 1]))])
    return out
