"""Broken and hostile fonts: each is a BadFace that names the file, and the tool lives on."""

from __future__ import annotations

import os
import random
import struct
from collections.abc import Callable
from pathlib import Path

import pytest
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.ttLib import TTFont
from making_fonts import (
    LETTERS,
    branching,
    collection,
    cubic,
    instance,
    instance_bytes,
    looping,
    packaged,
    packed,
    raw_saved,
    saved,
)

from stopcut.errors import BadFace
from stopcut.foreign.child import Child, Gone
from stopcut.foreign.fonts import OpenFont, TextRun, members_of, read_together

CINZEL = packaged("cinzel")
GOOD = instance_bytes(CINZEL, 500)


def draw(path: Path, text: str = LETTERS) -> int:
    """How many letters of the text the font draws."""
    runs = [TextRun(0, len(text))]
    letters = OpenFont(path).line(text, runs, range(len(text)), features={}, axes={"wght": 500})
    return sum(bool(letter.outline) for letter in letters)


def written(folder: Path, content: bytes, name: str = "broken.ttf") -> Path:
    path = folder / name
    path.write_bytes(content)
    return path


def outcome(path: Path) -> str:
    """Letters, or a bad face that names the file; anything else that is raised fails the test."""
    try:
        draw(path)
    except BadFace as said:
        return "bad face" if path.name in str(said) else f"another file is blamed: {said}"
    return "letters"


def well() -> None:
    """The tool still reads a good font."""
    assert draw(CINZEL, "HIO") == 3


NO_FONTS: dict[str, bytes] = {
    "an empty file": b"",
    "a text file": b"The gate board wants its letters by March.\n" * 40,
    "zeros": bytes(4096),
    "a picture": b"\x89PNG\r\n\x1a\n" + bytes(2000),
    "the first bytes of a font": GOOD[:12],
    "a collection that holds none": b"ttcf\0\1\0\0\0\0\0\0" + bytes(40),
    "a collection of four thousand million": b"ttcf\0\1\0\0\xff\xff\xff\xff" + bytes(40),
    "a font of 65535 tables": b"\0\1\0\0\xff\xff" + bytes(64),
    "a WOFF that is only its name": b"wOFF" + bytes(80),
    "a WOFF2 that is only its name": b"wOF2" + bytes(80),
    "half a WOFF2": packed(instance(CINZEL, 500), "woff2")[:1500],
}


@pytest.mark.parametrize("what", NO_FONTS)
def test_what_is_no_font_is_said_to_be_none(what: str, tmp_path: Path) -> None:
    path = written(tmp_path, NO_FONTS[what])
    with pytest.raises(BadFace) as said:
        draw(path)
    assert "broken.ttf cannot be used as a face: it" in str(said.value)
    well()


def test_what_is_no_file_is_said_to_be_none(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.ttf") if hasattr(os, "mkfifo") else (tmp_path / "pipe.ttf").mkdir()
    for path, why in (
        (tmp_path, "it is a folder"),
        (tmp_path / "none.ttf", "there is no such file"),
        (tmp_path / "pipe.ttf", "it is"),
        (Path("a\0b.ttf"), "there is no such file"),
        (tmp_path / ("x" * 400), "there is no such file"),
    ):
        with pytest.raises(BadFace, match=why):
            draw(path)


@pytest.mark.parametrize("make", [lambda: GOOD, lambda: saved(cubic(instance(CINZEL, 500)))], ids=["glyf", "CFF"])
def test_a_font_cut_short_anywhere_is_a_bad_face(make: Callable[[], bytes], tmp_path: Path) -> None:
    whole = make()
    for keep in (4, 11, 100, len(whole) // 3, len(whole) // 2, len(whole) - 40):
        with pytest.raises(BadFace, match=r"broken\.ttf"):
            draw(written(tmp_path, whole[:keep]))
    well()


def test_bytes_changed_at_random_give_letters_or_a_bad_face_and_never_harm(tmp_path: Path) -> None:
    outcomes = set()
    fonts = (GOOD, saved(cubic(instance(CINZEL, 500))), packed(instance(CINZEL, 500), "woff2"))
    for seed in range(24):
        chance = random.Random(seed)
        content = bytearray(fonts[seed % 3])
        for _ in range(chance.choice((1, 8, 64, 512))):
            content[chance.randrange(len(content))] = chance.randrange(256)
        path = written(tmp_path, bytes(content), f"changed-{seed}.ttf")
        outcomes.add(outcome(path))
    assert outcomes <= {"letters", "bad face"}
    assert "bad face" in outcomes
    well()


def test_a_font_whose_bytes_changed_since_it_was_made_says_in_which_table(tmp_path: Path) -> None:
    start, length = table(GOOD, b"glyf")
    content = bytearray(GOOD)
    content[start + length - 9] ^= 0x01
    assert OpenFont(written(tmp_path, bytes(content))).about().damaged == ("glyf",)
    assert OpenFont(written(tmp_path, GOOD, "whole.ttf")).about().damaged == ()


def table(content: bytes, tag: bytes) -> tuple[int, int]:
    """Where a table lies in a font file."""
    for at in range(12, 12 + 16 * struct.unpack(">H", content[4:6])[0], 16):
        if content[at : at + 4] == tag:
            return struct.unpack(">LL", content[at + 8 : at + 16])
    raise KeyError(tag)


@pytest.mark.parametrize("through", [1, 2, 5])
def test_a_glyph_made_of_itself_is_named_and_the_fonts_other_letters_are_drawn(through: int, tmp_path: Path) -> None:
    path = written(tmp_path, raw_saved(looping(instance(CINZEL, 500), through=through)))
    with pytest.raises(BadFace, match=r"broken\.ttf .* glyph 'H' is broken: it is made of itself"):
        draw(path, "H")
    assert draw(path, "xz") == 2


def test_a_glyph_of_three_million_parts_is_refused(tmp_path: Path) -> None:
    path = written(tmp_path, raw_saved(branching(instance(CINZEL, 500))))
    with pytest.raises(BadFace, match="glyph 'H' is broken: it is made of too many parts"):
        draw(path, "H")
    assert draw(path, "x") == 1


def test_a_glyph_cut_short_inside_a_whole_font_is_named(tmp_path: Path) -> None:
    font = instance(CINZEL, 500)
    number = font.getGlyphID("H")
    offset = font["loca"][number]
    start, _ = table(GOOD, b"glyf")
    content = bytearray(GOOD)
    content[start + offset : start + offset + 2] = b"\x40\x00"  # 16384 contours in a hundred bytes
    path = written(tmp_path, bytes(content))
    with pytest.raises(BadFace, match="glyph 'H' is broken: it has been cut short"):
        draw(path, "H")
    assert draw(path, "IO") == 2


def test_a_charstring_that_breaks_off_is_named(tmp_path: Path) -> None:
    font = cubic(instance(CINZEL, 500))
    charstrings = font["CFF "].cff.topDictIndex[0].CharStrings
    charstrings["H"].setProgram([100, 100, "rmoveto", "callsubr", "callsubr", "endchar"])
    path = written(tmp_path, raw_saved(font), "broken.otf")
    with pytest.raises(BadFace, match=r"broken\.otf .*'H' is broken"):
        draw(path, "H")
    assert draw(path, "IO") == 2


def test_a_font_that_claims_more_glyphs_than_it_has_still_ends(tmp_path: Path) -> None:
    content = bytearray(GOOD)
    start, _ = table(GOOD, b"maxp")
    content[start + 4 : start + 6] = b"\xff\xff"
    path = written(tmp_path, bytes(content))
    assert outcome(path) in ("letters", "bad face")
    well()


def test_points_beyond_reason_are_refused(tmp_path: Path) -> None:
    font = instance(CINZEL, 500)
    pen = TTGlyphPen(None)
    pen.moveTo((0, 0))
    for i in range(21_000):
        pen.lineTo((i % 700, i % 650))
    pen.closePath()
    font["glyf"]["H"] = pen.glyph()
    with pytest.raises(BadFace, match="'H' is broken: it has more than"):
        draw(written(tmp_path, saved(font)), "H")


def test_a_letter_that_reaches_to_the_next_village_is_refused(tmp_path: Path) -> None:
    font = instance(CINZEL, 500)
    font["head"].unitsPerEm = 64
    pen = TTGlyphPen(None)
    pen.moveTo((0, 0))
    pen.lineTo((32000, 0))
    pen.lineTo((0, 32000))
    pen.closePath()
    font["glyf"]["H"] = pen.glyph()
    with pytest.raises(BadFace, match="'H' is broken: it reaches farther"):
        draw(written(tmp_path, saved(font)), "H")


@pytest.mark.parametrize("upem", [0, 1, 15, 65535])
def test_an_em_of_no_sense_is_refused(upem: int, tmp_path: Path) -> None:
    content = bytearray(GOOD)
    start, _ = table(GOOD, b"head")
    content[start + 18 : start + 20] = struct.pack(">H", upem)
    with pytest.raises(BadFace, match="units make an em"):
        draw(written(tmp_path, bytes(content)))


def test_a_font_of_coloured_pictures_is_refused(tmp_path: Path) -> None:
    with pytest.raises(BadFace, match="no outlines"):
        draw(written(tmp_path, _without_outlines(GOOD)))


def _without_outlines(content: bytes) -> bytes:
    """The font with its glyf table called something else."""
    return content.replace(b"glyf", b"CBDT", 1)


def test_rules_that_make_lines_without_end_are_stopped(tmp_path: Path) -> None:
    from fontTools.feaLib.builder import addOpenTypeFeaturesFromString

    font = instance(CINZEL, 500)
    rules = "\n".join(f"lookup L{i} {{ sub H by {'H ' * 16}; }} L{i};" for i in range(8))
    uses = "\n".join(f"lookup L{i};" for i in range(8))
    addOpenTypeFeaturesFromString(font, f"{rules}\nfeature ccmp {{\n{uses}\n}} ccmp;")
    path = written(tmp_path, saved(font))
    with pytest.raises(BadFace, match=r"broken\.ttf"):
        draw(path, "HHHH")
    assert draw(path, "IO") == 2


def test_a_woff2_that_swells_beyond_all_measure_is_refused(tmp_path: Path) -> None:
    import brotli

    font = instance(CINZEL, 500)
    font.flavor = "woff2"
    content = bytearray(packed(font, "woff2"))
    bomb = brotli.compress(bytes(600 * 2**20), quality=1)
    compressed = struct.unpack(">L", content[20:24])[0]
    head = content[: len(content) - compressed]
    head[20:24] = struct.pack(">L", len(bomb))
    head[8:12] = struct.pack(">L", len(head) + len(bomb))
    with pytest.raises(BadFace, match=r"broken\.ttf"):
        draw(written(tmp_path, bytes(head) + bomb))
    well()


def test_a_broken_member_leaves_the_collections_other_faces_alone(tmp_path: Path) -> None:
    content = bytearray(collection(instance(CINZEL, 500), instance(packaged("marcellus"), None)))
    first = struct.unpack(">L", content[12:16])[0]
    content[first : first + 4] = b"none"
    path = written(tmp_path, bytes(content), "two.ttc")
    with pytest.raises(BadFace, match=r"two\.ttc"):
        OpenFont(path, 0).about()
    assert OpenFont(path, 1).about().family == "Marcellus"


def test_a_font_replaced_while_the_tool_runs_is_read_anew(tmp_path: Path) -> None:
    path = written(tmp_path, GOOD, "board.ttf")
    before = draw(path, "H"), OpenFont(path).about().family
    path.unlink()
    written(tmp_path, instance_bytes(packaged("marcellus"), None), "board.ttf")
    assert before == (1, "Cinzel")
    assert OpenFont(path).about().family == "Marcellus"


def test_names_of_a_font_are_plain_lines_whatever_it_calls_itself(tmp_path: Path) -> None:
    font: TTFont = instance(CINZEL, 500)
    for record in font["name"].names:
        if record.nameID in (1, 16):
            record.string = "Gate\x1b[31m\nBoard\u202e" + "x" * 5000
    about = OpenFont(written(tmp_path, saved(font))).about()
    assert about.family.isprintable()
    assert about.family.startswith("Gate [31m Board")
    assert len(about.family) <= 2000


def test_a_font_that_brings_the_worker_down_costs_the_others_of_its_folder_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    ask = Child.ask

    def fragile(self: Child, request: dict[str, object], **more: float) -> object:
        if any("killer" in str(path) for path in request.get("paths", ())):
            raise Gone("reading it crashed")
        return ask(self, request, **more)

    monkeypatch.setattr(Child, "ask", fragile)
    paths = [written(tmp_path, GOOD, name) for name in ("a.ttf", "killer.ttf", "c.ttf")]
    paths.append(written(tmp_path, b"no font", "d.ttf"))
    assert [[about.family for about in members] for members in members_of(paths)] == [["Cinzel"], [], ["Cinzel"], []]


def test_a_font_that_brings_a_shared_reader_down_is_read_alone_and_the_others_go_on(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    ask = Child.ask

    def fragile(child: Child, request: dict[str, object], **named: float) -> object:
        if "killer" in str(request.get("file", "")):
            child.close()
            raise Gone("reading it crashed")
        return ask(child, request, **named)

    monkeypatch.setattr(Child, "ask", fragile)
    paths = [written(tmp_path, GOOD, name) for name in ("a.ttf", "killer.ttf", "c.ttf")]
    with read_together():
        together = [OpenFont(path).about().family for path in paths]
    assert together == [OpenFont(path).about().family for path in paths]
