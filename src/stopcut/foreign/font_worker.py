"""The process that opens one font: `python -m stopcut.foreign.font_worker PATH MEMBER`.

It answers requests (`about` and `line`; `members` and `lack` of other files) with plain numbers in the font's own
units. What they mean for carving is lettering's to say. A worker that many files share is told with each request which.
"""

from __future__ import annotations

import struct
import sys
from typing import Any

import uharfbuzz as hb

from stopcut.foreign.font_check import GlyphCheck
from stopcut.foreign.font_draw import clean, draw
from stopcut.foreign.font_file import FontFile, open_font
from stopcut.foreign.inside import BadInput, serve
from stopcut.foreign.tidy import Contours

MOST_CHARACTERS = 20_000
"""Characters in one line. Our choice: far beyond any board."""
MOST_GLYPHS_A_CHARACTER = 64
"""Glyphs that a character may become (a hostile font can grow a line without end). Our choice: honest ones make six."""
MOST_MEMBERS = 64
"""Faces looked at in one collection. Our choice: the largest collections of the systems hold about a dozen."""
MOST_INSTANCES = 256
"""Named styles of one variable font. Our choice: the largest honest ones name some seventy."""
MOST_SCRIPTS = 64
"""Scripts, and languages in a script, looked at for features. Our choice: OpenType registers some 180, fonts use 20."""
DEFAULT_LANGUAGE = 0xFFFF
"""HarfBuzz's index of a script's default language system (HB_OT_LAYOUT_DEFAULT_LANGUAGE_INDEX)."""


class Worker:
    """One opened font, and the shapes drawn so far."""

    def __init__(self, path: str, member: int) -> None:
        self._path, self._member = path, member
        self._file: FontFile | None = None
        self._font: hb.Font | None = None
        self._drawn: dict[tuple[Any, ...], Contours] = {}
        self._check: GlyphCheck | None = None
        self._other: Worker | None = None

    def handle(self, request: dict[str, Any]) -> Any:
        """Answer one request; with a file named in it, of that one."""
        if "file" in request:
            path, member = request.pop("file")
            if self._other is None or (self._other._path, self._other._member) != (path, member):
                self._other = Worker(path, member)
            return self._other.handle(request)
        if request["do"] == "lack":
            return [_lacking(path, member, request["text"]) for path, member in request["faces"]]
        if request["do"] == "members":
            return [_members(path) for path in request["paths"]]
        file = self._opened()
        if request["do"] == "about":
            return _about(file)
        if request["do"] == "line":
            return self._line(file, request)
        raise BadInput(f"nothing is known of '{request['do']}'")

    def _opened(self) -> FontFile:
        if self._file is None:
            self._file = open_font(self._path, self._member)
            self._font = hb.Font(self._file.face)
        return self._file

    def _line(self, file: FontFile, request: dict[str, Any]) -> dict[str, Any]:
        """Shape the runs of a text, in the order given, and draw its letters.

        runs: [start, end, right to left]; starts: where grapheme clusters start; features: {tag: value};
        axes: {tag: value}. The answer's letters are in visual order: [start, end, shape, advance, lacking], lacking
        the place of a character that the face has no glyph for, else -1.
        """
        text: str = request["text"]
        if len(text) > MOST_CHARACTERS:
            raise BadInput(f"a line has at most {MOST_CHARACTERS} characters")
        assert self._font is not None
        axes = {str(tag): float(value) for tag, value in request["axes"].items()}
        self._font.set_variations(axes)
        starts = sorted({0, *request["starts"]})
        shapes: list[Contours] = []
        numbers: dict[tuple[Any, ...], int] = {}
        letters: list[list[float]] = []
        runs = [part for start, end, rtl in request["runs"] for part in _by_script(text, start, end, rtl, starts)]
        for start, end, rtl, script in runs:
            glyphs = self._shaped(text, start, end, rtl, script, request["features"])
            for first, last, group in _groups(glyphs, starts, end):
                lacking = next((cluster for glyph, cluster, *_ in group if glyph == 0), -1)
                key = (tuple(sorted(axes.items())), _relative(group))
                if key not in numbers:
                    numbers[key] = len(shapes)
                    shapes.append([] if lacking >= 0 else self._shape(file, key))
                letters.append([first, last, numbers[key], sum(g[2] for g in group), lacking])
        return {"shapes": shapes, "letters": letters}

    def _shaped(
        self, text: str, start: int, end: int, rtl: bool, script: str | None, features: dict[str, int]
    ) -> list[tuple[int, int, float, float, float]]:
        """(glyph, cluster, advance, dx, dy) of a run in visual order."""
        buffer = hb.Buffer()
        buffer.add_codepoints([ord(c) for c in text], start, end - start)
        buffer.cluster_level = hb.BufferClusterLevel.MONOTONE_GRAPHEMES
        buffer.direction = "rtl" if rtl else "ltr"
        buffer.language = "und"  # else the machine's own, and a board would change with the machine
        if script:
            buffer.script = script
        buffer.guess_segment_properties()
        hb.shape(self._font, buffer, features)
        infos, positions = buffer.glyph_infos, buffer.glyph_positions
        if len(infos) > MOST_GLYPHS_A_CHARACTER * (end - start):
            raise BadInput("its rules make a line of too many glyphs")
        return [
            (info.codepoint, info.cluster, place.x_advance, place.x_offset, place.y_offset)
            for info, place in zip(infos, positions, strict=True)
        ]

    def _shape(self, file: FontFile, key: tuple[Any, ...]) -> Contours:
        if key not in self._drawn:
            parts = list(dict.fromkeys(glyph for glyph, _, _ in key[1]))
            try:
                for glyph in parts:
                    self._checks(file).check(glyph)
                self._drawn[key] = clean(draw(self._font, key[1]), file.face.upem)
            except BadInput as problem:
                name = " + ".join(self._name(glyph) for glyph in parts)
                raise BadInput(f"its glyph {name} is broken: {problem}") from problem
        return self._drawn[key]

    def _checks(self, file: FontFile) -> GlyphCheck:
        if self._check is None:
            self._check = GlyphCheck(file.face, self._font)
        return self._check

    def _name(self, glyph: int) -> str:
        name = self._font.get_glyph_name(glyph) if self._font is not None else None
        return f"'{name}'" if name else f"number {glyph}"


def _by_script(
    text: str, start: int, end: int, rtl: bool, starts: list[int]
) -> list[tuple[int, int, bool, str | None]]:
    """A run cut where the script changes, from left to right, but never within a grapheme cluster.

    What belongs to no script goes with what is before it.
    """
    parts: list[tuple[int, int, bool, str | None]] = []
    whole = set(starts)
    for place in range(start, end):
        script = _script(text[place]) if place in whole else None
        if parts and (script is None or parts[-1][3] in (None, script)):
            first, _, _, known = parts[-1]
            parts[-1] = (first, place + 1, rtl, known or script)
        else:
            parts.append((place, place + 1, rtl, script))
    return parts[::-1] if rtl else parts


def _script(char: str) -> str | None:
    """ISO 15924 tag of a character's script as HarfBuzz knows it; None for what is common to all."""
    if char not in _scripts:
        buffer = hb.Buffer()
        buffer.add_codepoints([ord(char)])
        buffer.guess_segment_properties()
        _scripts[char] = str(buffer.script) if buffer.script else None
    return _scripts[char]


_scripts: dict[str, str | None] = {}


def _groups(
    glyphs: list[tuple[int, int, float, float, float]], starts: list[int], end: int
) -> list[tuple[int, int, list[tuple[int, int, float, float, float]]]]:
    """Glyphs by letter: (first character, one past the last, its glyphs), in visual order.

    A letter is the smallest run of characters that neither a grapheme cluster nor HarfBuzz's clusters cut.
    """
    marks = sorted({cluster for _, cluster, *_ in glyphs} & set(starts))
    groups: list[tuple[int, int, list[tuple[int, int, float, float, float]]]] = []
    for glyph in glyphs:
        first = max((m for m in marks if m <= glyph[1]), default=glyph[1])
        if groups and groups[-1][0] == first:
            groups[-1][2].append(glyph)
        else:
            last = min((m for m in marks if m > first), default=end)
            groups.append((first, last, [glyph]))
    return groups


def _relative(group: list[tuple[int, int, float, float, float]]) -> tuple[tuple[int, float, float], ...]:
    """The group's glyphs with their places from the letter's own pen."""
    out, pen = [], 0.0
    for glyph, _, advance, dx, dy in group:
        out.append((glyph, pen + dx, dy))
        pen += advance
    return tuple(out)


def _about(file: FontFile) -> dict[str, Any]:
    """What the font says of itself."""
    face = file.face
    names = {}
    for entry in face.list_names():
        if entry.name_id in _NAMES and (entry.language in ("en", None, "") or _NAMES[entry.name_id] not in names):
            names[_NAMES[entry.name_id]] = (face.get_name(entry.name_id, entry.language) or "")[:2000]
    os2 = bytes(face.reference_table("OS/2").data or b"")
    hhea = bytes(face.reference_table("hhea").data or b"")
    post = bytes(face.reference_table("post").data or b"")
    return {
        "names": names,
        "upem": face.upem,
        "glyphs": face.glyph_count,
        "members": file.members,
        "damaged": list(file.damaged),
        "features": _features(face),
        "axes": [[a.tag, a.min_value, a.default_value, a.max_value] for a in face.axis_infos],
        "instances": _instances(face),
        "weight": _short(os2, 4, ">H"),
        "width_class": _short(os2, 6, ">H"),
        "cap_height": _short(os2, 88, ">h") if _short(os2, 0, ">H") >= 2 else 0,
        "x_height": _short(os2, 86, ">h") if _short(os2, 0, ">H") >= 2 else 0,
        "italic": bool(_short(os2, 62, ">H") & 0x1),
        "ascender": _short(hhea, 4, ">h"),
        "descender": _short(hhea, 6, ">h"),
        "italic_deg": struct.unpack(">l", post[4:8])[0] / 65536 if len(post) >= 8 else 0.0,
    }


def _instances(face: hb.Face) -> list[list[Any]]:
    """[style's name, {axis: value}] of each style that a variable font names."""
    tags = [axis.tag for axis in face.axis_infos]
    return [
        [(face.get_name(one.subfamily_name_id) or "")[:200], dict(zip(tags, one.design_coords, strict=False))]
        for one in face.named_instances[:MOST_INSTANCES]
    ]


def _features(face: hb.Face) -> list[str]:
    """All feature tags that the font has rules for, in whatever script."""
    tags: set[str] = set()
    for table in ("GSUB", "GPOS"):
        for script, _ in enumerate(face.get_table_script_tags(table)[:MOST_SCRIPTS]):
            languages = len(face.get_script_language_tags(table, script)[:MOST_SCRIPTS])
            for language in (*range(languages), DEFAULT_LANGUAGE):
                tags.update(face.get_language_feature_tags(table, script, language))
    return sorted(tags)


_NAMES = {1: "family", 2: "style", 13: "licence", 14: "licence_url", 16: "typographic_family", 17: "typographic_style"}


def _short(table: bytes, at: int, form: str) -> int:
    return int(struct.unpack(form, table[at : at + 2])[0]) if len(table) >= at + 2 else 0


def _members(path: str) -> list[dict[str, Any]]:
    """What each face of a font file says of itself; none where it cannot be opened."""
    found: list[dict[str, Any]] = []
    try:
        first = open_font(path, 0)
        found.append(_about(first))
        found += [_about(open_font(path, member)) for member in range(1, min(first.members, MOST_MEMBERS))]
    except Exception:
        return found
    return found


def _lacking(path: str, member: int, text: str) -> str:
    """The characters of text that a face has no glyph for; a face that cannot be opened has none."""
    try:
        font = hb.Font(hb.Face(hb.Blob.from_file_path(path), member))
        return "".join(c for c in dict.fromkeys(text) if not font.get_nominal_glyph(ord(c)))
    except Exception:
        return text


def main() -> None:
    """Serve the font named on the command line."""
    serve(Worker(sys.argv[1], int(sys.argv[2])).handle)


if __name__ == "__main__":
    main()
