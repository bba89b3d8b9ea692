"""Faces that a carver brings: what they turn out to be, what they are kept as, and what they would change."""

from __future__ import annotations

from pathlib import Path

import pytest
from font_files import face
from hypothesis import given
from hypothesis import strategies as st
from making_fonts import looping, packaged, raw_saved, saved

from stopcut.errors import BadFace
from stopcut.lettering.faces import find_face
from stopcut.lettering.uploaded import FaceLook, faces_folder, in_the_way, look_at_face, plain_name


@pytest.fixture
def own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The carver's faces, none yet."""
    monkeypatch.setenv("STOPCUT_HOME", str(tmp_path / "home"))
    folder = tmp_path / "home" / "faces"
    folder.mkdir(parents=True)
    return folder


def looked_at(content: bytes, tmp_path: Path, called: str = "gate") -> FaceLook:
    path = tmp_path / "brought.ttf"
    path.write_bytes(content)
    return look_at_face(path, ".ttf", called)


def test_a_face_is_known_by_family_weight_and_licence(tmp_path: Path) -> None:
    look = looked_at(saved(face(n17="Bold", n2="Bold")), tmp_path)
    assert (look.family, look.weights, look.italic) == ("Plot Hand", (500.0, 500.0), False)
    assert look.licence == "OFL-1.1"
    assert "Open Font License" in look.licence_text
    assert look.file_name.startswith("plot-hand-")
    assert look.file_name.endswith(".ttf")


def test_a_variable_face_is_known_by_its_range(tmp_path: Path) -> None:
    look = looked_at(packaged("cinzel").read_bytes(), tmp_path)
    assert (look.family, look.weights, look.file_name) == ("Cinzel", (400.0, 900.0), "cinzel-variable.ttf")
    assert not look.cautions


def test_what_a_face_lacks_is_said_before_it_is_used(tmp_path: Path) -> None:
    cautions = looked_at(saved(face()), tmp_path).cautions  # the made font has few letters
    assert any(said.startswith("It lacks 0, 2,") and "H" not in said for said in cautions)
    silent = face()
    silent["name"].names = [record for record in silent["name"].names if record.nameID not in (13, 14)]
    assert any("licence" in said for said in looked_at(saved(silent), tmp_path).cautions)


def test_a_face_with_a_broken_letter_is_refused_by_that_letter(tmp_path: Path) -> None:
    with pytest.raises(BadFace, match="made of itself"):
        looked_at(raw_saved(looping(face())), tmp_path)


@pytest.mark.parametrize("family", ["../../gate", "a/b", "a\\b", "Gate.ttf", "gate.OTF#1", "x" * 65])
def test_a_family_that_no_job_could_name_is_refused(family: str, tmp_path: Path) -> None:
    with pytest.raises(BadFace, match="no job could name"):
        looked_at(saved(face(family)), tmp_path)


@pytest.mark.parametrize("family", ["Plot\u202eHand", "Plot\u200bHand", "Plot\nHand"])
def test_what_cannot_be_seen_of_a_family_is_no_part_of_its_name(family: str, tmp_path: Path) -> None:
    assert looked_at(saved(face(family)), tmp_path).family == "Plot Hand"


def test_a_face_that_says_no_family_goes_by_its_file(own: Path, tmp_path: Path) -> None:
    font = face()
    font["name"].names = []
    look = looked_at(saved(font), tmp_path, "Gate Board 2")
    assert look.family == "gate-board-2"
    (own / look.file_name).write_bytes(saved(font))
    assert find_face(look.family).path == own / look.file_name


@given(st.text(max_size=100))
def test_a_plain_name_is_a_file_name_in_any_file_system(text: str) -> None:
    name = plain_name(text)
    assert 0 < len(name.encode()) <= 250
    assert name == Path(name).name
    assert not set(name) & set('/\\:*?"<>|~.\0 ')
    assert name[0] not in "-_"
    assert plain_name(name.rstrip("-")) == name


@pytest.mark.parametrize("text", ["con", "NUL", "Com1", "lpt9"])
def test_no_plain_name_is_that_of_a_device(text: str) -> None:
    assert plain_name(text).casefold() != text.casefold()


def test_nothing_is_in_the_way_of_a_new_family(own: Path, tmp_path: Path) -> None:
    content = saved(face())
    assert in_the_way(looked_at(content, tmp_path), content) == ("", None)


def test_a_family_that_comes_with_stopcut_is_told_by_either_of_its_names(own: Path, tmp_path: Path) -> None:
    for family, old in (("Cinzel", "Cinzel"), ("EB-garamond", "Plot Hand"), ("Plot Hand", "eb garamond")):
        content = saved(face(n16=family, n1=old))
        said, standing = in_the_way(looked_at(content, tmp_path), content)
        assert "comes with" in said
        assert standing is None


def test_another_file_of_the_same_weight_is_told_and_the_same_file_is_known(own: Path, tmp_path: Path) -> None:
    content = saved(face())
    (own / "plot.ttf").write_bytes(content)
    assert faces_folder() == own
    assert in_the_way(looked_at(content, tmp_path), content) == ("", own / "plot.ttf")
    other = saved(face(n5="Version 2"))
    said, standing = in_the_way(looked_at(other, tmp_path), other)
    assert "plot.ttf" in said
    assert standing == own / "plot.ttf"
    bold = saved(face(weight=700))
    assert in_the_way(looked_at(bold, tmp_path), bold) == ("", None)
