"""The weight whose upright stem has a wanted width: solved on a weight axis, else the nearest file of the family."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from pathlib import Path

from stopcut.foreign.fonts import Axis, OpenFont
from stopcut.keep import keep, pack_json, unpack_json
from stopcut.lettering.faces import FaceFile, family_files
from stopcut.lettering.facts import file_stamp, glyphs_of
from stopcut.lettering.heights import slant_of, upright_stem

__all__ = ["StemChoice", "weight_for_stem"]

VERSION = 2
TOLERANCE_EM = 1e-4
"""How near the stem comes to the one wanted. [em] 0.009 mm on 60 mm capitals; ±0.05 mm is asked for."""
MOST_STEPS = 40
"""Steps of the search. Our choice: halving alone narrows any axis to a millionth of its length in half of them."""
WEIGHT_DIGITS = 3
"""Decimals of a solved weight, so that the same question has the same answer to the last bit. Our choice."""


@dataclass(frozen=True, slots=True)
class StemChoice:
    """The file and weight to draw with. stem_em is the upright stem of I that they give, None where I has none.

    reached says whether that is the wanted width to the tolerance; else it is the nearest.
    """

    file: FaceFile
    weight: float | None
    stem_em: float | None
    reached: bool


def weight_for_stem(
    name_or_path: str, stem_em: float, base_folder: Path | None = None, tolerance_em: float = TOLERANCE_EM
) -> StemChoice:
    """The weight of a face at which the upright stem of its I is stem_em wide (in em, > 0).

    Raises BadFace where the face cannot be found or read.
    """
    choices = [_choice(file, stem_em, tolerance_em) for file in family_files(name_or_path, base_folder)]
    return min(choices, key=lambda choice: (_off(choice, stem_em), choice.weight or 0.0, str(choice.file.path)))


def _off(choice: StemChoice, stem_em: float) -> float:
    return float("inf") if choice.stem_em is None else abs(choice.stem_em - stem_em)


def _choice(file: FaceFile, stem_em: float, tolerance_em: float) -> StemChoice:
    weight, stem = keep().remembered(
        "weight_for_stem",
        (str(file.path), file.member, file_stamp(file.path), float(stem_em), float(tolerance_em)),
        lambda: _solved(OpenFont(file.path, file.member), stem_em, tolerance_em),
        version=VERSION,
        pack=pack_json,
        unpack=unpack_json,
    )
    reached = stem is not None and abs(stem - stem_em) <= tolerance_em
    return StemChoice(file, weight, stem, reached)


def _solved(font: OpenFont, stem_em: float, tolerance_em: float) -> list[float | None]:
    """[weight, stem], the weight None where the file cannot vary."""
    axis = font.about().axis("wght")
    if axis is None:
        return [None, _stem(font, font.about().weight)]
    return list(_search(partial(_stem, font), axis, stem_em, tolerance_em))


def _search(stem_of: partial[float | None], axis: Axis, wanted: float, tolerance: float) -> tuple[float, float | None]:
    """The weight between the axis's ends whose stem is the wanted one, or the end that comes nearest.

    A chord guess that is turned into a halving whenever it does not shorten the bracket enough: stems grow almost in
    straight lines between a font's masters, so two or three guesses mostly do.
    """
    low, high = axis.least, axis.most
    at_low, at_high = stem_of(low), stem_of(high)
    if at_low is None or at_high is None:
        return axis.default, stem_of(axis.default)
    if not min(at_low, at_high) < wanted < max(at_low, at_high):
        return (low, at_low) if abs(at_low - wanted) <= abs(at_high - wanted) else (high, at_high)
    weight, stem = low, at_low
    for step in range(MOST_STEPS):
        share = (wanted - at_low) / (at_high - at_low) if step % 3 < 2 else 0.5
        weight = round(low + (high - low) * share, WEIGHT_DIGITS)
        measured = stem_of(weight)
        if measured is None:
            break
        stem = measured
        if abs(stem - wanted) <= tolerance / 2 or weight in (low, high):
            break
        if (stem < wanted) == (at_low < wanted):
            low, at_low = weight, stem
        else:
            high, at_high = weight, stem
    return weight, stem


def _stem(font: OpenFont, weight: float) -> float | None:
    upright = glyphs_of(font, "I", weight).get("I")
    return None if upright is None else upright_stem(upright, slant_of(upright) or 0.0)
