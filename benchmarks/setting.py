"""The setting's time beside HarfBuzz's own shaping of the same line, in the same run.

A line of 40 letters set again after an edit (every word's letters seen before, as when somebody types), and one of 700
letters cold: nothing measured before. Least of several rounds, since machines are noisy; and twice 350 beside 700 to
show that time grows with the letters alone (what each new glyph costs is paid once). Last a list of 300 names, at a
given height and fitted to its board, after a name in it was changed.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import replace

import uharfbuzz as hb

from stopcut.keep import forget_all
from stopcut.lettering.faces import find_face
from stopcut.lettering.letters import Lettered
from stopcut.lettering.line_letters import LineRequest, letter_line
from stopcut.setting.columns import entries
from stopcut.setting.request import LineSetting, SettingRequest
from stopcut.setting.set_out import set_out
from stopcut.shape.outline import Outline

FACE = "Cinzel"
ROUNDS = 15
FORTY = "THE GATE OF MARROW LANE SOCIETY OPENED AT SUNSET"
EDITS = ("THE", "THAT", "NO", "MY", "EACH", "ONE", "TREE", "LATE")
WORDS = "ASPARAGUS BEETROOT CABBAGE DILL ENDIVE FENNEL GARLIC HORSERADISH KALE LEEK MARROW NETTLE ONION PARSNIP QUINCE "


def main() -> None:
    edited = [_lettered(FORTY.replace("THE", first, 1)) for first in EDITS]
    letters = len(edited[0].letters)
    for lettered in edited:
        _set(lettered)
    again = min(_seconds(_set, _lettered(FORTY.replace("THE", first, 1))) for first in EDITS for _ in range(3))
    print(f"{'':34}{'setting ms':>12}{'HarfBuzz ms':>13}")
    print(f"{f'{letters} letters, after an edit':34}{1000 * again:12.2f}{1000 * _shaping(FORTY):13.3f}")
    for count in (175, 350, 700):
        words = _words(count)
        lettered = _lettered(words)
        cold = min(_cold(lettered) for _ in range(ROUNDS))
        print(f"{f'{len(lettered.letters)} letters, cold':34}{1000 * cold:12.2f}{1000 * _shaping(words):13.3f}")
    given, fitted = (min(_listed(height, first) for first in EDITS[:3]) for height in (8.0, None))
    print(f"{'300 names at a given height':34}{1000 * given:12.0f}")
    print(f"{'300 names fitted':34}{1000 * fitted:12.0f}, {fitted / given:.1f} times that")


def _listed(height: float | None, first: str) -> float:
    """Seconds for a list of 300 names in six columns, a board of which all but the first name was set before."""
    plants = WORDS.split()
    names = [f"{plants[n % len(plants)]} {plants[n // len(plants) % len(plants)]} {1700 + n}" for n in range(1, 300)]
    places = entries([True] * 300, [2] * 300, 6, stop=False)
    boards = [
        tuple(
            LineSetting(_lettered(name), height, align="left", entry=place)
            for name, place in zip([f"{one} NETTLE 1700", *names], places, strict=True)
        )
        for one in ("QUINCE", first)
    ]
    before, after = (SettingRequest(2400, 1500, 60, lines, between_mm=60) for lines in boards)
    set_out(before)
    start = time.perf_counter()
    set_out(after)
    return time.perf_counter() - start


def _words(count: int) -> str:
    """Words with this many letters, spaces not counted."""
    out, left = [], count
    while left > 0:
        for word in WORDS.split():
            out.append(word[:left])
            left -= len(out[-1])
            if left <= 0:
                break
    return " ".join(out)


def _lettered(words: str) -> Lettered:
    return letter_line(LineRequest(words, FACE))


def _set(lettered: Lettered) -> None:
    set_out(SettingRequest(60_000, 300, 40, (LineSetting(lettered, 40),)))


def _cold(lettered: Lettered) -> float:
    """Seconds with nothing measured before: the outlines are new ones, one a glyph as lettering gives them."""
    new = {letter.char: Outline(letter.outline.contours) for letter in lettered.letters}
    lettered = replace(lettered, letters=tuple(replace(one, outline=new[one.char]) for one in lettered.letters))
    forget_all()
    return _seconds(_set, lettered)


def _seconds(work: Callable[[Lettered], None], lettered: Lettered) -> float:
    start = time.perf_counter()
    work(lettered)
    return time.perf_counter() - start


def _shaping(words: str) -> float:
    """HarfBuzz shaping the same line, font at hand, least of several rounds. [s]"""
    font = hb.Font(hb.Face(hb.Blob.from_file_path(str(find_face(FACE).path))))
    took = []
    for _ in range(ROUNDS):
        start = time.perf_counter()
        buffer = hb.Buffer()
        buffer.add_str(words)
        buffer.guess_segment_properties()
        hb.shape(font, buffer, {"kern": True, "liga": False, "clig": False})
        took.append(time.perf_counter() - start)
    return min(took)


if __name__ == "__main__":
    main()
