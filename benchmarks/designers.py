"""What type designers do: the gaps of packaged families, as HarfBuzz sets them with kerning alone, and their letters.

Families come in three lists. The model's numbers were fitted on the tuned ones. The kept-aside ones were drawn by lot
(Python's random.Random(1509), seven seriffed, seven without) before anything was fitted; how often their scores were
looked at is written in LOOKS. Families whose capitals are not kerned, or whose figures all have one width, are no
reference for capitals or figures: their designers left those pairs alone.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import uharfbuzz as hb
from numpy.typing import NDArray
from wordfreq import top_n_list, word_frequency

from stopcut.errors import CarverError
from stopcut.lettering.faces import find_face
from stopcut.lettering.letters import FaceFacts, Letter
from stopcut.lettering.line_letters import LineRequest, letter_line

Array = NDArray[np.float64]

CAPITALS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
SMALL = CAPITALS.lower()
FIGURES = "0123456789"

SERIFFED = """Cinzel|Marcellus|EB Garamond|Cormorant|Spectral|Crimson Pro|Libre Baskerville|Vollkorn|Source Serif 4|
Lora|Playfair Display|Literata|Instrument Serif|Bodoni Moda|Merriweather|PT Serif|IBM Plex Serif|Frank Ruhl Libre|
Fraunces|Andada Pro|Zilla Slab|Sanchez|Antic Slab|Slabo 27px|Amiri""".replace("\n", "").split("|")
SANS = """Josefin Sans|Alegreya Sans|Montserrat|Jost|Inter|Source Sans 3|Fira Sans|Lato|Raleway|Work Sans|Cabin|
Libre Franklin|DM Sans|Figtree|Albert Sans|Archivo|Barlow|Be Vietnam Pro|Encode Sans|Hanken Grotesk|IBM Plex Sans|
Instrument Sans|Manrope|Overpass|Plus Jakarta Sans|Rubik|Schibsted Grotesk|Red Hat Text""".replace("\n", "").split("|")
KEPT_ASIDE = """Albert Sans|Andada Pro|Archivo|Bodoni Moda|Cormorant|Fraunces|IBM Plex Serif|Lato|Manrope|Montserrat|
Overpass|Plus Jakarta Sans|Vollkorn|Zilla Slab""".replace("\n", "").split("|")
UNKERNED = ("Cardo",)
"""Families of the tool's own whose capitals are not kerned."""
THINLY_KERNED = ("Marcellus", "Figtree", "Slabo 27px", "Amiri")
"""Fewer than 70 of 676 pairs of capitals kerned; among the tuned families."""

LOOKS = (
    "after the capitals were fitted",
    "after small letters, figures and punctuation were fitted",
    "when this table was first printed (tuck, which had been given a depth it looks no further than, went back to the "
    "plain mean after that: on the tuned families the two were alike)",
    "when it was printed again",
    "when it was printed once more, tuck then closing up hollows at one height too (chosen on the tuned families)",
    "when a tuck that closed up by depths cut at a fifth of cap height, less half the least one, was tried (better on "
    "the tuned families, worse on these, so given up)",
    "when the table was printed with tuck counted in steps that 0 to 4 can set (no score chosen by it)",
    "when it was last printed, after uneven sides took the place of deepest notches and tuck was that of a cut depth "
    "less three tenths of the least one (both chosen on the tuned families)",
    "when it was reckoned what a number of its own for every pair would bring (nothing chosen by it)",
)
"""Each time that scores of the kept-aside families were looked at."""


@dataclass(frozen=True)
class Family:
    """One family's letters by character, and its designer's gaps between ink extents by pair. [1/1000 cap height]"""

    name: str
    face: FaceFacts
    letters: dict[str, Letter]
    gaps: dict[str, float]
    figures_of_one_width: bool

    @property
    def unit(self) -> float:
        """Thousandths of cap height in an em."""
        return 1000 / self.face.cap_height

    def table(self, firsts: str, seconds: str) -> Array:
        """The designer's gaps, (firsts, seconds)."""
        return np.array([[self.gaps[a + b] for b in seconds] for a in firsts])


def families() -> list[Family]:
    """Every family of the lists that is installed, tuned first; says which are not."""
    out = []
    for name in sorted(SERIFFED + SANS, key=lambda name: name in KEPT_ASIDE):
        try:
            out.append(_family(name))
        except CarverError as problem:
            print(f"{name} is left out: {problem}")
    return out


def use_in_english() -> Array:
    """How often each pair of capitals would stand in English words, (26, 26), summing to 1 (the wordfreq package)."""
    often: defaultdict[str, float] = defaultdict(float)
    for word in top_n_list("en", 20_000):
        for pair in re.findall("(?=([A-Z]{2}))", word.upper()):
            often[pair] += word_frequency(word, "en")
    table = np.array([[often[a + b] for b in CAPITALS] for a in CAPITALS])
    scaled: Array = table / table.sum()
    return scaled


def _family(name: str) -> Family:
    letters: dict[str, Letter] = {}
    for chars, features in ((CAPITALS + SMALL, ()), (FIGURES, ("lnum", "pnum"))):
        lettered = letter_line(LineRequest(chars, name, weight=400, features=features))
        letters |= {letter.char: letter for letter in lettered.letters}
    face = lettered.face
    font = _font(name, face.weight)
    gaps: dict[str, float] = {}
    for firsts, seconds, asked in (
        (CAPITALS + SMALL, CAPITALS + SMALL, {}),
        (FIGURES, FIGURES, {"lnum": True, "pnum": True}),
    ):
        for first in firsts:
            for second, advance in zip(seconds, _advances(font, first, seconds, asked), strict=True):
                ink = letters[second].outline.bounds.left - letters[first].outline.bounds.right
                gaps[first + second] = (advance + ink) * 1000 / face.cap_height
    widths = [_advances(font, char, "H", {"lnum": True, "pnum": True, "kern": False})[0] for char in FIGURES]
    return Family(name, face, letters, gaps, max(widths) - min(widths) < 0.003)


def _font(name: str, weight: float) -> hb.Font:
    font = hb.Font(hb.Face(hb.Blob.from_file_path(str(find_face(name, weight).path))))
    font.set_variations({"wght": weight})
    return font


def _advances(font: hb.Font, first: str, seconds: str, features: dict[str, bool]) -> Sequence[float]:
    """From the pen of the first letter to that of the second, in em, for each second letter."""
    off = dict.fromkeys(("liga", "clig", "calt", "rlig", "ccmp", "locl", "dlig", "rclt", "cpsp"), False)
    out = []
    for second in seconds:
        buffer = hb.Buffer()
        buffer.add_str(first + second)
        buffer.guess_segment_properties()
        hb.shape(font, buffer, {**off, "kern": True, **features})
        one, other = buffer.glyph_positions
        out.append((one.x_advance + other.x_offset - one.x_offset) / font.face.upem)
    return out
