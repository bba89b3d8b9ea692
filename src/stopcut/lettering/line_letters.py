"""From a line of words to its letters: one clean outline a grapheme cluster, in visual order.

The worker shapes and draws; here it is said what the letters are. Spaces part words and are no letters, nor is what
Unicode calls default ignorable. What was lettered once is kept, so that a job seen before starts no worker.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass, replace
from pathlib import Path

import regex

from stopcut.errors import BadFace, FaceLacksCharacter, Finding, Where
from stopcut.foreign.fonts import OpenFont, ShapedLetter, TextRun
from stopcut.keep import keep
from stopcut.lettering import face_notes
from stopcut.lettering.bidi import visual_runs
from stopcut.lettering.faces import DEFAULT_FACE, FaceFile, find_face, packaged_with
from stopcut.lettering.facts import draws_capitals, face_facts, file_stamp, glyphs_of, usable_weight
from stopcut.lettering.features import asked_features, features_of, only_figures
from stopcut.lettering.heights import upright_stem
from stopcut.lettering.letters import FaceFacts, Letter, Lettered
from stopcut.lettering.packed_letters import pack_lettered, unpack_lettered
from stopcut.lettering.stems import weight_for_stem
from stopcut.lettering.written_right import has_small_figures, is_unjoined

__all__ = ["LineRequest", "chosen_face", "graphemes", "is_blank", "letter_line", "only_figures", "shaped_line"]

VERSION = 12
"""Raised when the same line of the same file would come out otherwise: what was kept before is not found again."""

_GRAPHEME = regex.compile(r"\X")
_BLANK = regex.compile(r"[\s\p{Default_Ignorable_Code_Point}]+")
_EDGES = regex.compile(rf"^{_BLANK.pattern}|{_BLANK.pattern}$")


@dataclass(frozen=True, slots=True)
class LineRequest:
    """What letters depend on, and nothing else.

    face is a family's name or a font file's path (relative to base_folder); weight None is the default or, with
    stem_em, the weight whose upright stem has that width in em; features are OpenType tags ("smcp", "liga"; "salt=2"
    for an alternate, "-kern" to turn one off); line is the line's number on the board, from 1, for what is said.
    """

    words: str
    face: str = DEFAULT_FACE
    base_folder: Path | None = None
    weight: float | None = None
    stem_em: float | None = None
    features: tuple[str, ...] = ()
    line: int = 1


def letter_line(request: LineRequest) -> Lettered:
    """The line's letters, left to right as they stand, with what the face says of itself.

    Raises BadFace where the face cannot be found or read, FaceLacksCharacter where it has no shape for a character.
    """
    file, weight, said = chosen_face(request)
    lettered = keep().remembered(
        "lettered",
        (request.words, str(file.path), file.member, file_stamp(file.path), weight, request.features),
        lambda: _lettered(request.words, file, weight, request.features, request.line),
        version=VERSION,
        pack=pack_lettered,
        unpack=unpack_lettered,
    )
    where = Where(line=request.line)
    return replace(
        lettered,
        face=replace(lettered.face, licence=file.licence or lettered.face.licence),
        notes=tuple(replace(note, where=where) for note in (*said, *lettered.notes)),
    )


def graphemes(words: str) -> tuple[tuple[int, int], ...]:
    """Where each grapheme cluster of the text starts and ends (UAX #29, extended clusters)."""
    return tuple(match.span() for match in _GRAPHEME.finditer(words))


def chosen_face(request: LineRequest) -> tuple[FaceFile, float | None, tuple[Finding, ...]]:
    """The file and weight to draw with, and what is to be said of the choice."""
    if request.stem_em is None:
        file = find_face(request.face, request.weight, request.base_folder)
        return file, file.weight, face_notes.nearest_weight(file.nearest)
    choice = weight_for_stem(request.face, request.stem_em, request.base_folder)
    return choice.file, choice.weight, face_notes.nearest_stem(choice, request.stem_em)


def shaped_line(font: OpenFont, words: str, weight: float, tags: tuple[str, ...]) -> tuple[ShapedLetter, ...]:
    """The words as the font sets them, from left to right, spaces with them. Raises BadFace."""
    clusters = graphemes(words)
    return font.line(
        words,
        [TextRun(start, end, rtl) for start, end, rtl in visual_runs(words, whole=clusters)],
        [start for start, _ in clusters],
        features=features_of(tags, words),
        axes={"wght": weight} if font.about().axis("wght") else {},
    )


def is_blank(text: str) -> bool:
    """Spaces, and what Unicode calls default ignorable (joiners, direction marks, soft hyphens): no letters."""
    return _BLANK.fullmatch(text) is not None


def _lettered(words: str, file: FaceFile, wanted: float | None, tags: tuple[str, ...], line: int) -> Lettered:
    font = OpenFont(file.path, file.member)
    about = font.about()
    weight, said = usable_weight(about, wanted)
    facts = face_facts(file.path, file.member, weight)
    shaped = shaped_line(font, words, weight, tags)
    ink = tuple(letter for letter in shaped if not is_blank(words[letter.start : letter.end]))
    reading = sorted(ink, key=lambda letter: letter.start)
    for index, letter in enumerate(reading, start=1):
        _check(words, letter, file, facts, (line, index))
    places = {letter.start: place for place, letter in enumerate(reading)}
    letters = _letters(words, ink, facts.slant_deg)
    order = tuple(places[letter.start] for letter in ink)
    read = [letter for _, letter in sorted(zip(order, letters, strict=True), key=lambda pair: pair[0])]
    texts = [words[letter.start : letter.end] for letter in reading]
    unjoined = is_unjoined(read, texts, lambda chars: glyphs_of(font, chars, weight, features_of(tags, words)))
    small = has_small_figures(letters, facts.cap_height) and not {"onum", "smcp", "c2sc"} & set(asked_features(tags))
    return Lettered(
        words,
        facts,
        letters,
        order,
        (
            *(face_notes.unjoined(facts.family) if unjoined else ()),
            *face_notes.false_height(about.cap_height, facts.cap_height, facts.family),
            *(face_notes.old_style(about.features, facts.family) if small else ()),
            *face_notes.nearest_weight(said),
            *face_notes.damaged(about.damaged, facts.family),
            *face_notes.lacking_features(tags, about.features, facts.family),
        ),
        words.upper() != words and draws_capitals(file.path, file.member, weight, features_of(tags, words)),
    )


def _letters(words: str, ink: tuple[ShapedLetter, ...], slant_deg: float) -> tuple[Letter, ...]:
    word_starts = [match.start() for match in regex.finditer(r"\S+", words)]
    stems: dict[int, float | None] = {}
    letters = []
    for letter in ink:
        shape = id(letter.outline)  # the worker's answer names each shape once, so equal letters share their outline
        if shape not in stems:
            stems[shape] = upright_stem(letter.outline, slant_deg)
        char = _EDGES.sub("", words[letter.start : letter.end])
        word = bisect_right(word_starts, letter.start) - 1
        letters.append(Letter(char, letter.outline, letter.advance, max(word, 0), stems[shape]))
    return tuple(letters)


def _check(words: str, letter: ShapedLetter, file: FaceFile, facts: FaceFacts, where: tuple[int, int]) -> None:
    """Raises FaceLacksCharacter or BadFace for a letter that the face cannot draw; where is its line and index."""
    text = words[letter.start : letter.end]
    if letter.lacking is not None:
        char = next((words[a:b] for a, b in graphemes(words) if a <= letter.lacking < b), text)
        raise FaceLacksCharacter(char, *where, facts.family, packaged_with(char, unlike=facts.family))
    if not letter.outline:
        raise BadFace(f"{file.path} cannot be used as a face: it has no outline for '{text}'.")
