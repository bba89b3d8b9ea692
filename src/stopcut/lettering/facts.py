"""What a face is like, measured on its own letters: heights, stem, and the weight that can be drawn."""

from __future__ import annotations

import unicodedata
from pathlib import Path

from stopcut.errors import BadFace
from stopcut.foreign.fonts import About, OpenFont, Run
from stopcut.keep import keep
from stopcut.lettering.heights import flat_top, upright_stem
from stopcut.lettering.kept import pack_facts, unpack_facts
from stopcut.lettering.letters import FaceFacts
from stopcut.shape.outline import Outline

__all__ = ["face_facts", "file_stamp", "glyphs_of", "usable_weight"]

VERSION = 1
PROBES = "HIxz"
FIGURES = "71450"
"""Figures that tell the height of lining figures, the flat-topped first."""
CAP_HEIGHT = 0.7
"""The capitals' height of a face that says nothing of it and has no flat at all. [em] Common practice: 0.65 to 0.72."""
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
    runs = [Run(i, i + 1) for i in range(len(text))]
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


def _facts(font: OpenFont, weight: float) -> FaceFacts:
    about = font.about()
    drawn = glyphs_of(font, PROBES, weight)
    figures = glyphs_of(font, FIGURES, weight, {"lnum": 1})
    upright = drawn.get("I")
    return FaceFacts(
        family=about.family,
        style=about.style,
        weight=weight,
        cap_height=_cap_height(font, drawn, weight),
        x_height=_first_flat(drawn, "xz") or (about.x_height if about.x_height > 0 else None),
        figure_height=_first_flat(figures, FIGURES),
        ascender=about.ascender,
        descender=about.descender,
        stem=upright_stem(upright, -about.italic_deg) if upright else None,
        licence=about.licence,
        upright=upright,
    )


def _cap_height(font: OpenFont, drawn: dict[str, Outline], weight: float) -> float:
    """H's flat height, else what OS/2 states, else the tallest flat. [em]"""
    stated = font.about().cap_height
    if "H" in drawn and (flat := flat_top(drawn["H"])) is not None:
        return flat
    if stated > 0:
        return stated
    others = glyphs_of(font, "".join(c for c in LETTERS if unicodedata.category(c)[0] == "L"), weight)
    flats = [flat for outline in others.values() if (flat := flat_top(outline)) is not None]
    tops = [outline.bounds.top for outline in (*others.values(), *drawn.values())]
    return max(flats, default=max(tops, default=CAP_HEIGHT))


def _first_flat(outlines: dict[str, Outline], chars: str) -> float | None:
    for char in chars:
        if char in outlines and (flat := flat_top(outlines[char])) is not None:
            return flat
    return next((outlines[char].bounds.top for char in chars if char in outlines), None)
