"""What a face is like, measured on its own letters: heights, stem, and the weight that can be drawn."""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping
from pathlib import Path

from stopcut.errors import BadFace
from stopcut.foreign.fonts import About, OpenFont, TextRun
from stopcut.keep import keep, pack_json, unpack_json
from stopcut.lettering.heights import flat_top, slant_of, upright_stem
from stopcut.lettering.installed import short_licence
from stopcut.lettering.letters import FaceFacts
from stopcut.lettering.packed_letters import pack_facts, unpack_facts
from stopcut.shape.outline import Outline

__all__ = ["draws_capitals", "face_facts", "file_stamp", "glyphs_of", "is_false_height", "usable_weight"]

VERSION = 8
NO_ASCENDER = 1.1
"""An h no higher than so many times the x is a capital's shape. Our choice: ascenders of the faces at hand rise from
1.3 times the x, and small capitals are within 2 % of one height."""
PROBES = "HIxz"
FIGURES = "1457"
"""Figures that tell the height of lining figures: those that may have a flat top."""
LEAST_SLANT_DEG = 1.0
"""A face whose I leans less than this stands upright. [degrees] Our choice: drawn italics lean by 4 to 20."""
CAP_HEIGHT = 0.7
"""The capitals' height of a face that says nothing of it and has no flat at all. [em] Common practice: 0.65 to 0.72."""
FALSE = 0.25
"""A stated cap height this share off the letters' own is false. Our choice: the swashes of a script's H reach 0.2."""
LETTERS = "LEFTZDBPRNKMUAOCSGQ" + "אבגדהוזחטיכלמנסעפצקרשת" + "ابتثجحخدذرزسشصضطظعغفقكلمنهوي"
"""Letters whose tallest flat stands in for H's where a face has no H and states no height."""


def file_stamp(path: Path) -> str:
    """What tells a font file from what it was before: its size and time of change. Raises BadFace if it is gone."""
    try:
        stat = path.stat()
    except (OSError, ValueError) as problem:
        raise BadFace(f"{path} cannot be used as a face: there is no such file.") from problem
    return f"{stat.st_size} {stat.st_mtime_ns}"


def usable_weight(about: About, wanted: float | None) -> tuple[float, str]:
    """The weight that is drawn for the one wanted, and a sentence where it is another.

    On a weight axis the nearest within its range, else the font's own.
    """
    axis = about.axis("wght")
    own = about.weight or 400.0
    if axis is None:
        said = (
            ""
            if wanted is None or wanted == own
            else f"{about.family} is drawn in weight {own:g} alone, not {wanted:g}."
        )
        return own, said
    if wanted is None:
        return min(max(400.0, axis.least), axis.most), ""
    taken = min(max(wanted, axis.least), axis.most)
    if taken == wanted:
        return taken, ""
    return (
        taken,
        f"{about.family} goes from {axis.least:g} to {axis.most:g}: {taken:g} was taken instead of {wanted:g}.",
    )


def glyphs_of(font: OpenFont, text: str, weight: float, features: dict[str, int] | None = None) -> dict[str, Outline]:
    """The outlines of single characters, each shaped alone; characters that the face lacks are left out."""
    axes = {"wght": weight} if font.about().axis("wght") else {}
    runs = [TextRun(i, i + 1) for i in range(len(text))]
    letters = font.line(text, runs, range(len(text)), features=features or {}, axes=axes)
    return {text[letter.start]: letter.outline for letter in letters if letter.lacking is None and letter.outline}


def face_facts(path: Path, member: int, weight: float) -> FaceFacts:
    """The facts of a face at a weight. Raises BadFace."""
    return keep().remembered(
        "face_facts",
        (str(path), member, file_stamp(path), weight),
        lambda: _facts(OpenFont(path, member), weight),
        version=VERSION,
        pack=pack_facts,
        unpack=unpack_facts,
    )


def draws_capitals(path: Path, member: int, weight: float, features: Mapping[str, int]) -> bool:
    """Whether a face, with these features, draws small letters as capitals: its h is no higher than its x."""

    def drawn() -> bool:
        shapes = glyphs_of(OpenFont(path, member), "hx", weight, dict(features))
        if len(shapes) < 2:
            return False
        return bool(shapes["h"].bounds.top <= NO_ASCENDER * shapes["x"].bounds.top)

    key = (str(path), member, file_stamp(path), weight, tuple(sorted(features.items())))
    found: bool = keep().remembered("draws_capitals", key, drawn, version=VERSION, pack=pack_json, unpack=unpack_json)
    return found


def _facts(font: OpenFont, weight: float) -> FaceFacts:
    about = font.about()
    drawn = glyphs_of(font, PROBES, weight)
    figures = glyphs_of(font, FIGURES, weight, {"lnum": 1})
    straight = drawn.get("I")
    slant = _slant(straight, -about.italic_deg)
    return FaceFacts(
        family=about.family,
        style=about.style_at(weight),
        weight=weight,
        cap_height=_cap_height(font, drawn, weight),
        x_height=_x_height(drawn, about),
        figure_height=min(_tops(figures), default=None),
        ascender=about.ascender,
        descender=about.descender,
        stem=upright_stem(straight, slant) if straight else None,
        licence=short_licence(about.licence),
        upright=drawn.get("H"),
        slant_deg=slant,
    )


def _slant(straight: Outline | None, stated_deg: float) -> float:
    """The lean of the I as drawn (what fonts state of it is often wrong), else the one stated. [degrees]"""
    drawn = slant_of(straight) if straight else None
    slant = stated_deg if drawn is None else drawn
    return slant if abs(slant) >= LEAST_SLANT_DEG else 0.0


def _x_height(drawn: dict[str, Outline], about: About) -> float | None:
    """The flat height of x, else of z, else what OS/2 states, else the top of x. [em]"""
    flats = _tops({char: outline for char, outline in drawn.items() if char in "xz"}, flat_only=True)
    if flats:
        return flats[0]
    if about.x_height > 0:
        return about.x_height
    return drawn["x"].bounds.top if "x" in drawn else None


def _cap_height(font: OpenFont, drawn: dict[str, Outline], weight: float) -> float:
    """H's flat height, else what OS/2 states if H stands about as high, else the tallest flat, else H's top. [em]"""
    stated = font.about().cap_height
    if "H" in drawn and (flat := flat_top(drawn["H"])) is not None:
        return flat
    if stated > 0 and ("H" not in drawn or not is_false_height(stated, drawn["H"].bounds.top)):
        return stated
    others = glyphs_of(font, "".join(c for c in LETTERS if unicodedata.category(c)[0] == "L"), weight)
    return max(_tops(others or drawn), default=CAP_HEIGHT)


def is_false_height(stated: float, measured: float) -> bool:
    """Whether a cap height that a font states is not that of its letters. Both in em."""
    return not 1 - FALSE <= stated / measured <= 1 + FALSE if measured > 0 else False


def _tops(outlines: dict[str, Outline], *, flat_only: bool = False) -> list[float]:
    """The letters' flat tops, or where none has one (and that will do) their highest points. [em]"""
    flats = [flat for outline in outlines.values() if (flat := flat_top(outline)) is not None]
    return flats if flats or flat_only else [outline.bounds.top for outline in outlines.values()]
