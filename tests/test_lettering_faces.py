"""Finding faces: by name, by path, by weight; the carver's own, packaged ones, the machine's."""

from __future__ import annotations

import shutil
from importlib.metadata import EntryPoint
from pathlib import Path

import fontpkg
import pytest
from making_fonts import collection, instance, instance_bytes, packaged, saved

from stopcut.errors import BadFace
from stopcut.lettering import faces, installed
from stopcut.lettering import packaged as packaged_module
from stopcut.lettering.faces import characters_lacking, find_face, find_family, list_faces, packaged_with


@pytest.fixture
def own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder of the carver's own faces."""
    monkeypatch.setenv("STOPCUT_HOME", str(tmp_path / "home"))
    folder = tmp_path / "home" / "faces"
    folder.mkdir(parents=True)
    return folder


@pytest.fixture
def no_system(monkeypatch: pytest.MonkeyPatch) -> None:
    def never() -> None:
        raise AssertionError("the machine's fonts were gone through")

    monkeypatch.setattr(faces, "system_faces", never)


@pytest.mark.parametrize("name", ["EB Garamond", "eb garamond", "EBGaramond", "eb-garamond", "  EB  Garamond "])
def test_a_name_is_found_whatever_its_case_and_spaces(name: str, no_system: None) -> None:
    face = find_face(name)
    assert face.family == "EB Garamond"
    assert face.path == packaged("eb-garamond")
    assert (face.origin, face.licence, face.weight) == ("packaged", "OFL-1.1", 400)


def test_a_name_may_ask_for_the_italic(monkeypatch: pytest.MonkeyPatch) -> None:
    assert find_face("cormorant italic").path == packaged("cormorant", italic=True)
    monkeypatch.setattr(faces, "system_faces", dict)
    with pytest.raises(BadFace, match="no face 'Cinzel Italic'"):
        find_face("Cinzel Italic")


def test_a_static_family_gives_its_file_of_the_nearest_weight_the_lighter_of_two(no_system: None) -> None:
    by_weight = {file.weight: file.path for file in fontpkg.family("spectral").files if file.style == "normal"}
    for wanted, taken in ((200, 200), (240, 200), (250, 200), (251, 300), (799, 800), (1000, 800)):
        face = find_face("Spectral", wanted)
        assert (face.weight, face.path) == (taken, by_weight[taken])
        assert bool(face.nearest) == (wanted != taken)
        if face.nearest:
            assert f"{wanted}" in face.nearest
            assert f"{taken}" in face.nearest


def test_a_variable_family_gives_any_weight_within_its_range_and_the_nearest_end_beyond(no_system: None) -> None:
    for wanted, taken in ((400, 400), (512.5, 512.5), (900, 900), (100, 400), (950, 900)):
        face = find_face("Cinzel", wanted)
        assert face.weight == taken
        assert bool(face.nearest) == (wanted != taken)


def test_an_unknown_name_says_which_are_near() -> None:
    with pytest.raises(BadFace, match="did you mean Cinzel"):
        find_face("Cinzle")
    with pytest.raises(BadFace, match=r"did you mean .*Libre Baskerville"):
        find_face("Baskerville Libre")
    with pytest.raises(BadFace, match="`stopcut faces` lists"):
        find_face("qqqqqq")


def test_a_path_is_taken_from_the_jobs_own_folder(tmp_path: Path, no_system: None) -> None:
    (tmp_path / "fonts").mkdir()
    shutil.copy(packaged("marcellus"), tmp_path / "fonts" / "gate.ttf")
    for text in ("fonts/gate.ttf", str(tmp_path / "fonts" / "gate.ttf"), "fonts/../fonts/gate.ttf"):
        face = find_face(text, 600, tmp_path)
        assert face.path.samefile(tmp_path / "fonts" / "gate.ttf")
        assert (face.origin, face.member, face.wanted) == ("file", 0, 600)


def test_a_path_may_name_a_collections_member(tmp_path: Path) -> None:
    (tmp_path / "two.ttc").write_bytes(collection(instance(packaged("cinzel"), 500), instance(packaged("jost"), 500)))
    assert find_face("two.ttc#1", base_folder=tmp_path).member == 1
    assert find_face("two.ttc", base_folder=tmp_path).member == 0


@pytest.mark.parametrize("text", ["none.ttf", "fonts/none.otf", "./", "a\0b.ttf", "x" * 300 + ".ttf"])
def test_a_path_with_no_file_is_said_to_have_none(text: str, tmp_path: Path) -> None:
    with pytest.raises(BadFace, match=r"there is no such file|it is a folder"):
        find_face(text, base_folder=tmp_path)


def test_the_carvers_own_faces_are_found_by_their_names_and_go_first(own: Path, no_system: None) -> None:
    (own / "some.ttf").write_bytes(instance_bytes(packaged("cinzel"), 500))
    (own / "deeper").mkdir()
    (own / "deeper" / "whatever.ttf").write_bytes(renamed("Marrow Lane", 700))
    (own / "broken.ttf").write_bytes(b"no font")
    (own / "notes.txt").write_text("not looked at")
    assert find_face("Cinzel").path == own / "some.ttf"
    face = find_face("marrow lane", 400)
    assert face.path == own / "deeper" / "whatever.ttf"
    assert (face.origin, face.weight) == ("own", 700)
    assert "no such weight" in face.nearest
    assert [face.family for face in list_faces(system=False)][:2] == ["Cinzel", "Marrow Lane"]


def renamed(family: str, weight: int) -> bytes:
    font = instance(packaged("cinzel"), 500)
    for record in font["name"].names:
        if record.nameID in (1, 16):
            record.string = family
    font["OS/2"].usWeightClass = weight
    return saved(font)


def test_the_packaged_families_are_listed_with_licence_weights_and_whether_any_weight_will_do(no_system: None) -> None:
    listed = {face.family: face for face in list_faces(system=False) if face.origin == "packaged"}
    assert set(listed) == {family.name for family in fontpkg.families().values()}
    assert all(face.licence for face in listed.values())
    assert listed["Cinzel"].variable
    assert listed["Cinzel"].weight_range == (400, 900)
    assert not listed["Spectral"].variable
    assert listed["Spectral"].weights == (200, 300, 400, 500, 600, 700, 800)
    assert listed["Spectral"].styles == ("upright", "italic")
    assert listed["Marcellus"].styles == ("upright",)
    assert find_family("marcellus") == listed["Marcellus"]


def test_about_ten_families_that_suit_carving_come_with_the_tool() -> None:
    known = {face.family for face in list_faces(system=False)}
    assert known >= {
        "Cinzel", "Marcellus", "Cormorant", "EB Garamond", "Cardo", "Spectral", "Libre Baskerville", "Zilla Slab",
        "Josefin Sans", "Jost", "Alegreya Sans",
    }  # fmt: skip


def test_families_that_have_a_character_are_named_at_most_three_and_not_the_one_that_lacks_it() -> None:
    having = packaged_with("A")
    assert len(having) == 3
    assert list(having) == sorted(having)
    assert having[0] not in packaged_with("A", unlike=having[0])
    assert {"Cardo", "Frank Ruhl Libre"} <= set(packaged_with("ש", most=30))
    assert packaged_with("\U0001f344") == ()


def test_fontconfigs_weights_are_opentypes() -> None:
    """Pairs of fontconfig's fcweight.c."""
    for fc, css in ((0, 100), (50, 300), (80, 400), (100, 500), (180, 600), (200, 700), (205, 800), (210, 900)):
        assert installed._css(fc) == css
    assert 700 < installed._css(202) < 800


def test_what_fontconfig_lists_becomes_faces_and_named_instances_do_not() -> None:
    line = ["Marrow,Marrow Thin", "[75 100]", "0", "[50 200]", "True", "0", "/fonts/m.ttf"]
    first, second = installed._from_fontconfig(line)
    assert (first.family, second.family) == ("Marrow", "Marrow Thin")
    assert (first.weight_range, first.italic, first.width, first.member) == ((300, 700), False, 75, 0)
    assert installed._from_fontconfig([*line[:5], str(3 << 16), line[6]]) == []
    (member,) = installed._from_fontconfig(["Lane", "100", "100", "180", "False", "2", "/fonts/l.ttc"])
    assert (member.member, member.italic, member.weight, member.weight_range) == (2, True, 600, None)


def test_without_fontconfig_the_machines_folders_are_gone_through(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "a.ttf").write_bytes(renamed("Marrow Gate", 300))
    (tmp_path / "b.ttc").write_bytes(collection(instance(packaged("jost"), 500), instance(packaged("marcellus"), None)))
    monkeypatch.setattr(installed, "_system_folders", lambda: [tmp_path, tmp_path / "none"])
    monkeypatch.setattr(installed.shutil, "which", lambda name: None)
    monkeypatch.setattr(installed, "_system", None)
    found = installed.system_faces()
    assert {(face.family, face.member) for several in found.values() for face in several} >= {
        ("Marrow Gate", 0), ("Jost", 0), ("Marcellus", 1),
    }  # fmt: skip
    assert found["marrowgate"][0].weight == 300
    monkeypatch.setattr(installed, "_system", None)


def test_of_several_widths_the_normal_one_answers_to_the_familys_name(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for width, name in ((3, "narrow"), (5, "normal")):
        font = instance(packaged("cinzel"), 500)
        font["OS/2"].usWidthClass = width
        for record in font["name"].names:
            if record.nameID in (1, 16):
                record.string = "Marrow Row"
        (tmp_path / f"{name}.ttf").write_bytes(saved(font))
    monkeypatch.setattr(installed, "_system_folders", lambda: [tmp_path])
    monkeypatch.setattr(installed.shutil, "which", lambda name: None)
    monkeypatch.setattr(installed, "_system", None)
    assert find_face("Marrow Row").path == tmp_path / "normal.ttf"
    monkeypatch.setattr(installed, "_system", None)


@pytest.mark.parametrize(
    ("text", "short"),
    [
        ("This Font Software is licensed under the SIL Open Font License, Version 1.1.", "OFL-1.1"),
        ("https://openfontlicense.org", "OFL-1.1"),
        ("Licensed under the Apache License, Version 2.0", "Apache-2.0"),
        ("Ask the allotment society", "Ask the allotment society"),
        ("", ""),
    ],
)
def test_a_licence_is_named_shortly(text: str, short: str) -> None:
    assert installed.short_licence(text) == short
    assert len(installed.short_licence("no end of words " * 50)) <= installed.LICENCE_LENGTH


def test_a_broken_font_package_costs_the_others_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    whole = packaged_module.entry_points(group=packaged_module.GROUP)
    broken = [EntryPoint("gone", "fontpkg_gone_away", packaged_module.GROUP), EntryPoint("no", "json", "x"), *whole]
    monkeypatch.setattr(packaged_module, "entry_points", lambda group: broken)
    packaged_module.packaged_faces.cache_clear()
    try:
        assert len(packaged_module.packaged_faces()) == len(whole)
    finally:
        packaged_module.packaged_faces.cache_clear()


def test_each_family_says_which_characters_of_the_words_it_lacks():
    # Cinzel's own description (Google Fonts) lists Latin subsets alone, EB Garamond's Cyrillic as well
    lacking = characters_lacking(("Cinzel", "EB Garamond"), "ПLOT Ш 7 Ш")
    assert lacking == {"Cinzel": "ПШ", "EB Garamond": ""}
