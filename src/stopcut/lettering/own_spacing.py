"""A face's own spacing: where its designer's advance widths and kerning put the letters of a line.

It is there to compare with. Spacing by eye never reads it, as a face is spaced for print at reading size, not for
letters cut as large as a hand.
"""

from __future__ import annotations

import json

from stopcut.foreign.fonts import OpenFont
from stopcut.keep import keep
from stopcut.lettering.facts import file_stamp, usable_weight
from stopcut.lettering.line_letters import LineRequest, chosen_face, is_blank, shaped_line

__all__ = ["own_pens"]

VERSION = 1
"""Raised when the same line of the same file would come out otherwise."""


def own_pens(request: LineRequest) -> tuple[float, ...]:
    """Where the face itself sets the pen for each of letter_line(request).letters, from the line's beginning. [em]

    In the same order, from left to right; a letter's outline has its x = 0 at its pen. The advance widths of spaces and
    kerning across them are in it. Raises BadFace where the face cannot be found or read.
    """
    file, weight, _ = chosen_face(request)
    return keep().remembered(
        "own_spacing",
        (request.words, str(file.path), file.member, file_stamp(file.path), weight, request.features),
        lambda: _pens(OpenFont(file.path, file.member), request.words, weight, request.features),
        version=VERSION,
        pack=lambda pens: json.dumps(pens).encode(),
        unpack=lambda packed: tuple(json.loads(packed)),
    )


def _pens(font: OpenFont, words: str, wanted: float | None, tags: tuple[str, ...]) -> tuple[float, ...]:
    weight, _ = usable_weight(font.about(), wanted)
    pens, pen = [], 0.0
    for letter in shaped_line(font, words, weight, tags):
        if not is_blank(words[letter.start : letter.end]):
            pens.append(pen)
        pen += letter.advance
    return tuple(pens)
