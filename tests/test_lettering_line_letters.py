"""Words as letters: clusters, ligatures, words, order, what a face lacks, and what is kept."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from making_fonts import instance, instance_bytes, packaged, saved

from stopcut.errors import BadFace, CarverError, FaceLacksCharacter, Severity
from stopcut.foreign import fonts
from stopcut.keep import keep
from stopcut.lettering.letters import Lettered
from stopcut.lettering.line_letters import LineRequest, graphemes, letter_line


def line(words: str, face: str = "Cinzel", **more: object) -> Lettered:
    return letter_line(LineRequest(words, face, **more))  # type: ignore[arg-type]


def chars(lettered: Lettered) -> list[str]:
    return [letter.char for letter in lettered.letters]


def in_reading_order(lettered: Lettered) -> list[str]:
    return [char for _, char in sorted(zip(lettered.order, chars(lettered), strict=True))]


def codes(lettered: Lettered) -> list[str]:
    return [note.code for note in lettered.notes]


def test_spaces_part_words_and_are_no_letters() -> None:
    lettered = line("  MARROW  LANE ")
    assert "".join(chars(lettered)) == "MARROWLANE"
    assert [letter.word for letter in lettered.letters] == [0] * 6 + [1] * 4
    assert lettered.order == tuple(range(10))


@pytest.mark.parametrize("space", [" ", "\u00a0", "\u2009", "\u3000"])
def test_every_kind_of_space_parts_words(space: str) -> None:
    lettered = line(f"PLOT{space}7")
    assert [letter.word for letter in lettered.letters] == [0, 0, 0, 0, 1]


def test_a_base_with_its_marks_is_one_letter_composed_or_not() -> None:
    composed, apart = line("CAFÉ"), line("CAFE\u0301")
    assert chars(composed) == ["C", "A", "F", "É"]
    assert chars(apart) == ["C", "A", "F", "E\u0301"]
    assert apart.letters[3].outline == composed.letters[3].outline


def test_marks_that_no_single_character_has_are_still_drawn_with_their_letter() -> None:
    marked, plain = line("x\u0323\u0302", "EB Garamond").letters[0], line("x", "EB Garamond").letters[0]
    assert marked.outline.bounds.top > plain.outline.bounds.top + 0.1
    assert marked.outline.bounds.bottom < plain.outline.bounds.bottom - 0.05
    assert len(marked.outline.contours) == 3


def test_ligatures_are_only_made_when_asked_for_and_are_one_letter() -> None:
    assert chars(line("ffi", "EB Garamond")) == ["f", "f", "i"]
    joined = line("office", "EB Garamond", features=("liga",))
    assert chars(joined) == ["o", "ffi", "c", "e"]
    assert joined.order == (0, 1, 2, 3)
    assert codes(joined) == []


def test_invisible_characters_are_no_letters_and_do_not_hide_their_neighbours() -> None:
    assert chars(line("OR\u00adCHARD\u200b\u2060")) == list("ORCHARD")
    assert [letter.word for letter in line("\u200eA \u200dB").letters] == [0, 1]


def test_one_letter_has_one_shape_however_often_it_stands_there() -> None:
    lettered = line("ROOT")
    assert lettered.letters[1].outline is lettered.letters[2].outline


def test_a_lacking_character_is_named_with_its_line_letter_and_families_that_have_it() -> None:
    with pytest.raises(FaceLacksCharacter) as said:
        line("LANE ЖK", "Cinzel", line=3)
    lack = said.value
    assert (lack.char, lack.line, lack.index, lack.family) == ("Ж", 3, 5, "Cinzel")
    assert 1 <= len(lack.others) <= 3
    for family in lack.others:
        assert chars(line("Ж", family)) == ["Ж"]


def test_a_lacking_mark_is_named_with_its_letter() -> None:
    with pytest.raises(FaceLacksCharacter) as said:
        line("AB\u0e47C")
    assert said.value.char == "B\u0e47"
    assert said.value.index == 2


def test_hebrew_stands_from_the_right_with_latin_and_figures_from_the_left() -> None:
    lettered = line("שלום 19 AB", "Frank Ruhl Libre")
    assert "".join(chars(lettered)) == "AB19םולש"
    assert in_reading_order(lettered) == list("שלום19AB")
    assert [letter.word for letter in lettered.letters] == [2, 2, 1, 1, 0, 0, 0, 0]


def test_points_stay_with_their_hebrew_letters() -> None:
    lettered = line("בְּרֵא", "Frank Ruhl Libre")
    assert chars(lettered) == ["א", "רֵ", "בְּ"]
    bare = line("ב", "Frank Ruhl Libre").letters[0].outline
    assert lettered.letters[2].outline.bounds.bottom < bare.bounds.bottom - 0.05
    assert len(lettered.letters[2].outline.contours) > len(bare.contours)


def test_brackets_in_a_right_to_left_line_open_towards_their_words() -> None:
    opening = line("(", "Frank Ruhl Libre").letters[0].outline
    lettered = line("א(ב)", "Frank Ruhl Libre")
    assert chars(lettered) == [")", "ב", "(", "א"]
    assert lettered.letters[0].outline.digest == opening.digest  # what stands left opens to the right


def test_two_scripts_in_one_line_are_each_shaped_as_their_own() -> None:
    assert chars(line("Aж Bя", "EB Garamond")) == ["A", "ж", "B", "я"]


def test_figures_alone_are_lining_unless_old_style_is_asked_for() -> None:
    tops = [letter.outline.bounds.top for letter in line("1931", "Cormorant").letters]
    assert max(tops) - min(tops) < 0.05
    old = [letter.outline.bounds.top for letter in line("1831", "Cormorant", features=("onum",)).letters]
    assert max(old) - min(old) > 0.1
    with_words = [letter.outline.bounds.top for letter in line("IN 1831", "Cormorant").letters[2:]]
    assert with_words == old


def test_small_capitals_are_drawn_when_asked_for() -> None:
    plain, small = line("Lane", "EB Garamond"), line("Lane", "EB Garamond", features=("smcp",))
    assert chars(small) == list("Lane")
    assert small.letters[0].outline == plain.letters[0].outline
    assert small.letters[2].outline.bounds.top == pytest.approx(small.letters[3].outline.bounds.top, abs=0.02)
    assert small.letters[2].outline.digest != plain.letters[2].outline.digest


def test_a_feature_that_the_face_lacks_is_a_note_and_one_that_is_none_is_refused() -> None:
    lettered = line("Lane", "Cinzel", features=("smcp", "kern", "-dlig"), line=2)
    (note,) = lettered.notes
    assert (note.code, note.severity, note.where.line) == ("face-lacks-feature", Severity.NOTE, 2)
    assert "small capitals (smcp)" in note.says
    with pytest.raises(BadFace, match="no OpenType feature"):
        line("Lane", features=("small caps",))


def test_a_weight_that_the_face_has_not_is_replaced_by_the_nearest_and_said_so() -> None:
    beyond, static = line("I", "Cinzel", weight=250, line=4), line("I", "Zilla Slab", weight=460)
    assert (beyond.face.weight, codes(beyond)) == (400, ["nearest-weight"])
    assert beyond.notes[0].where.line == 4
    assert (static.face.weight, codes(static)) == (500, ["nearest-weight"])
    assert "460" in static.notes[0].says
    assert codes(line("I", "Cinzel", weight=612.5)) == []
    assert line("I", "Cinzel", weight=612.5).face.weight == 612.5


def test_a_font_file_by_its_path_gives_the_nearest_weight_it_can(tmp_path: Path) -> None:
    shutil.copy(packaged("cinzel"), tmp_path / "own.ttf")
    (tmp_path / "one.ttf").write_bytes(instance_bytes(packaged("cinzel"), 500))
    variable = line("HI", "own.ttf", weight=1000, base_folder=tmp_path)
    assert (variable.face.weight, codes(variable)) == (900, ["nearest-weight"])
    static = line("HI", "one.ttf", weight=700, base_folder=tmp_path)
    assert codes(static) == ["nearest-weight"]
    assert static.face.stem == pytest.approx(line("HI", weight=500).face.stem, abs=1e-3)


def test_a_stem_asked_for_is_the_stem_drawn() -> None:
    lettered = line("HILT", "Cinzel", stem_em=0.1)
    assert [letter.stem for letter in lettered.letters] == pytest.approx([0.1] * 4, abs=5e-4)
    assert codes(lettered) == []
    assert codes(line("HILT", "Cinzel", stem_em=0.4)) == ["nearest-stem"]


def test_a_damaged_font_is_drawn_with_a_finding_to_look(tmp_path: Path) -> None:
    content = bytearray(instance_bytes(packaged("cinzel"), 500))
    directory = content.index(b"glyf")
    content[directory + 7] ^= 0x10  # the checksum, not the outlines
    (tmp_path / "worn.ttf").write_bytes(bytes(content))
    lettered = line("HI", "worn.ttf", base_folder=tmp_path)
    assert [(note.code, note.severity) for note in lettered.notes] == [("face-damaged", Severity.LOOK)]


def test_a_letter_of_nothing_is_a_bad_face_and_not_a_hole_in_the_line(tmp_path: Path) -> None:
    font = instance(packaged("cinzel"), 500)
    for table in font["cmap"].tables:
        table.cmap[ord("B")] = "space"
    (tmp_path / "holes.ttf").write_bytes(saved(font))
    assert chars(line("A H", "holes.ttf", base_folder=tmp_path)) == ["A", "H"]
    with pytest.raises(BadFace, match=r"holes\.ttf .*no outline for 'B'"):
        line("A B", "holes.ttf", base_folder=tmp_path)


@pytest.fixture
def no_worker(monkeypatch: pytest.MonkeyPatch) -> None:
    def never(*_: object) -> None:
        raise AssertionError("a worker was started")

    monkeypatch.setattr(fonts.OpenFont, "_ask", never)


def test_a_line_lettered_before_starts_no_worker(request: pytest.FixtureRequest) -> None:
    before = line("SEED SHED", "EB Garamond", weight=500, features=("liga",))
    keep().forget()
    request.getfixturevalue("no_worker")
    again = line("SEED SHED", "EB Garamond", weight=500, features=("liga",), line=2)
    assert again.letters == before.letters
    assert again.face == before.face
    with pytest.raises(AssertionError, match="worker"):
        line("SEED SHOP", "EB Garamond", weight=500)


def test_a_font_file_that_changed_is_lettered_anew(tmp_path: Path) -> None:
    path = tmp_path / "board.ttf"
    path.write_bytes(instance_bytes(packaged("cinzel"), 500))
    first = line("HI", str(path))
    path.write_bytes(instance_bytes(packaged("cinzel"), 800))
    second = line("HI", str(path))
    assert second.letters[1].outline.area > 1.3 * first.letters[1].outline.area


TEXTS = st.text(st.sampled_from("AÉe\u0301\u0323 ,17ffiלם\u05b0()Я&\u200d\u00ad"), min_size=1, max_size=12)


@settings(max_examples=40)
@given(TEXTS)
def test_letters_are_the_texts_clusters_each_once_whatever_the_order(words: str) -> None:
    try:
        lettered = line(words, "EB Garamond" if not any("\u0590" < c < "\u0600" for c in words) else "Frank Ruhl Libre")
    except CarverError:
        return
    assert sorted(lettered.order) == list(range(len(lettered.letters)))
    visible = [words[a:b].strip(" \u200d\u00ad") for a, b in graphemes(words)]
    assert in_reading_order(lettered) == [text for text in visible if text]
    spaced = len(words.split())
    assert all(0 <= letter.word < spaced for letter in lettered.letters)
    assert all(letter.outline.area > 0 for letter in lettered.letters)
