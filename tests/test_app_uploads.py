"""What is brought to the app: how much of it is read, where, what of it is kept; and jobs that name files."""

from __future__ import annotations

import contextlib
import os
import signal
from collections.abc import AsyncIterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from drawings import LEAF
from font_files import face
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from loops import run
from making_fonts import collection, instance, packaged, packed, saved

from stopcut.app import uploads
from stopcut.app.uploads import (
    MOST_FACE_BYTES,
    MOST_ORNAMENT_BYTES,
    job_folder,
    keep_face,
    keep_ornament,
    ornaments_at_hand,
    outside_paths,
    take_face,
    take_ornament,
)
from stopcut.errors import BadFace, BadFile
from stopcut.foreign import fonts
from stopcut.job.job import Job
from stopcut.job.read import parse_job
from stopcut.lettering.faces import find_face, list_faces
from stopcut.work import Work


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("STOPCUT_HOME", str(tmp_path / "home"))
    return tmp_path / "home"


def kept(home: Path) -> list[str]:
    """Everything that is kept, by its path in the home."""
    return sorted(
        str(path.relative_to(home)) for path in home.rglob("*") if path.is_file() and "cache" not in path.parts
    )


class Brought:
    """A file on its way in that says how much of it was read."""

    def __init__(self, name: str, content: bytes, times: int = 1) -> None:
        self.name, self.content, self.times, self.read = name, content, times, 0

    async def iterate(self, *, chunk_size: int = 1024) -> AsyncIterator[bytes]:
        for _ in range(self.times):
            for start in range(0, len(self.content), chunk_size):
                piece = self.content[start : start + chunk_size]
                self.read += len(piece)
                yield piece


# --- faces -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("flavor", ["ttf", "woff", "woff2"])
def test_a_brought_face_is_named_by_its_family_in_jobs_and_lists(home: Path, flavor: str, job_text: str) -> None:
    font = face()
    content = saved(font) if flavor == "ttf" else packed(font, flavor)
    done = keep_face(content, r"C:\Fonts\Some Download (1).TTF")
    assert not done.in_the_way
    (name,) = kept(home)
    assert name.startswith("faces/plot-hand-")
    assert name.endswith(f".{flavor}")
    assert (home / name).read_bytes() == content
    assert find_face("plot hand").path == home / name
    assert "Plot Hand" in [one.family for one in list_faces(system=False)]
    text = job_text.replace("Cinzel", "Plot Hand").replace("PLOT 7", "HEROES 7").replace("weight = 500\n", "")
    job = parse_job(text, base_folder=job_folder())
    assert not outside_paths(job)
    assert len(Work(job).setting.placed) == 7


def test_the_same_face_again_is_kept_once(home: Path) -> None:
    content = saved(face())
    keep_face(content, "one.ttf")
    assert keep_face(content, "two.ttf").already
    assert len(kept(home)) == 1


def test_a_face_that_would_change_other_jobs_is_only_kept_when_the_carver_says_so(home: Path) -> None:
    content = saved(face("Cinzel"))
    told = keep_face(content, "cinzel.ttf")
    assert "comes with" in told.in_the_way
    assert not kept(home)
    assert find_face("Cinzel").origin == "packaged"
    assert not keep_face(content, "cinzel.ttf", instead=True).in_the_way
    assert find_face("Cinzel").origin == "own"


def test_another_version_takes_the_place_of_the_old_one_when_the_carver_says_so(home: Path) -> None:
    first, second = saved(face()), saved(face(n5="Version 2"))
    keep_face(first, "plot.ttf")
    (name,) = kept(home)
    assert "already" in keep_face(second, "plot.ttf").in_the_way
    assert (home / name).read_bytes() == first
    keep_face(second, "plot.ttf", instead=True)
    assert kept(home) == [name]
    assert (home / name).read_bytes() == second


def test_a_file_that_the_carver_filed_away_deeper_is_not_written_over(home: Path) -> None:
    (home / "faces" / "deeper").mkdir(parents=True)
    (home / "faces" / "deeper" / "plot.ttf").write_bytes(saved(face()))
    with pytest.raises(BadFile, match="away first"):
        keep_face(saved(face(n5="Version 2")), "plot.ttf", instead=True)


def test_two_styles_of_a_family_are_kept_side_by_side(home: Path) -> None:
    keep_face(saved(face(n2="Regular", n17="Regular")), "a.ttf")
    keep_face(saved(face(weight=700, n2="Regular", n17="Regular")), "b.ttf")  # whatever the second calls itself
    assert len(kept(home)) == 2
    assert {find_face("Plot Hand", weight).weight for weight in (500, 700)} == {500, 700}


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"", "it is empty"),
        (b"no font at all", "it is no font"),
        (LEAF, "it is no font"),
        (b"PK\3\4 fonts", "it is a zip; unpack it"),
        (b"%PDF-1.7", "it is a PDF"),
        (b"\x89PNG\r\n", "it is a picture"),
        (b"\0\1\0\0" + b"\xff" * 200, "list of tables"),
        (b"OTTO", "is no font"),
        (b"wOF2" + b"\0" * 100, "broken WOFF"),
        (b"\0\1\0\0" + b"\0" * MOST_FACE_BYTES, "larger than 20 MB"),
    ],
)
def test_what_is_no_face_is_refused_with_a_plain_reason_and_not_kept(home: Path, content: bytes, says: str) -> None:
    with pytest.raises(BadFile, match=says) as met:
        keep_face(content, "folder/gate\n.ttf")
    assert str(met.value).startswith("folder/gate .ttf was not kept: ")
    assert "/tmp" not in str(met.value).replace("folder/", "")
    assert not kept(home)


def test_a_collection_and_a_face_cut_short_are_refused(home: Path) -> None:
    both = collection(instance(packaged("cinzel"), 500), instance(packaged("jost"), 500))
    with pytest.raises(BadFile, match="collection of several"):
        keep_face(both, "both.ttc")
    with pytest.raises(BadFile, match="cut short"):
        keep_face(saved(face())[:-2000], "gate.ttf")
    assert not kept(home)


def test_a_face_that_kills_its_reader_is_refused_and_the_tool_goes_on(
    home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    class Dying:
        def of(self, *_: str, **__: str) -> object:
            child = fonts.Child("stopcut.foreign.font_worker", "", "0")
            child.ask({"do": "lack", "faces": [], "text": ""})
            assert child._process is not None
            os.kill(child._process.pid, signal.SIGSEGV)
            child._process.wait()
            running = child._process
            monkeypatch.setattr(child, "_running", lambda: running)
            return child

    monkeypatch.setattr(fonts, "_workers", Dying())
    with pytest.raises(BadFile, match=r"gate\.ttf was not kept: reading it crashed"):
        keep_face(saved(face()), "gate.ttf")
    assert not kept(home)


def test_no_more_of_a_face_is_read_than_may_be_kept() -> None:
    endless = Brought("gate.ttf", b"\0" * 2**20, times=1000)
    with pytest.raises(BadFile, match="larger than 20 MB"):
        run(take_face(endless))
    assert endless.read <= MOST_FACE_BYTES + uploads.CHUNK_BYTES
    endless = Brought("leaf.svg", b" " * 2**20, times=1000)
    with pytest.raises(BadFile, match="larger than 2 MB"):
        run(take_ornament(endless))
    assert endless.read <= MOST_ORNAMENT_BYTES + uploads.CHUNK_BYTES


def test_a_face_that_comes_in_pieces_is_kept_whole(home: Path) -> None:
    content = saved(face())
    look = run(take_face(Brought("gate.ttf", content))).look
    assert (home / "faces" / look.file_name).read_bytes() == content


# --- ornaments -------------------------------------------------------------------------------------------------------


def test_a_brought_drawing_is_kept_by_a_plain_name_and_carved(home: Path, job_text: str) -> None:
    done = run(take_ornament(Brought("..\\My Leaf (final).SVG", LEAF)))
    assert done.name == "my-leaf-final.svg"
    assert (done.width_mm, done.height_mm) == pytest.approx((20, 10), abs=0.6)
    assert kept(home) == ["ornaments/my-leaf-final.svg"]
    assert ornaments_at_hand() == ("my-leaf-final.svg",)
    text = job_text + f'\n[[ornament]]\nfile = "{done.name}"\nx = 60\ny = 60\nwidth = 30\n'
    job = parse_job(text, base_folder=job_folder())
    assert not outside_paths(job)
    assert len(Work(job).ornaments) == 1


def test_the_same_drawing_is_kept_once_and_another_of_its_name_beside_it(home: Path) -> None:
    assert keep_ornament(LEAF, "leaf.svg").name == "leaf.svg"
    assert keep_ornament(LEAF, "copy.svg") == uploads.KeptOrnament(
        "leaf.svg", *(pytest.approx(size, abs=0.6) for size in (20, 10)), already=True
    )
    other = LEAF.replace(b"20mm", b"40mm").replace(b"10mm", b"20mm")
    assert keep_ornament(other, "LEAF.svg").name == "leaf-2.svg"
    assert kept(home) == ["ornaments/leaf-2.svg", "ornaments/leaf.svg"]


def test_drawings_that_come_at_the_same_moment_are_all_kept(home: Path) -> None:
    drawings = [LEAF.replace(b"20mm", b"%dmm" % (20 + n)).replace(b"10mm", b"%dmm" % (10 + n)) for n in range(8)]
    with ThreadPoolExecutor(8) as threads:
        names = list(threads.map(lambda drawing: keep_ornament(drawing, "leaf.svg").name, drawings))
    assert len(set(names)) == 8
    assert sorted((home / "ornaments" / name).read_bytes() for name in names) == sorted(drawings)


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"", "it is empty"),
        (b"no drawing", "no SVG drawing"),
        (b"<html/>", "no SVG drawing"),
        (b"PK\3\4", "it is a zip"),
        (b"\x1f\x8b\x08", "it is compressed"),
        (LEAF.replace(b"<path", b"<script>x()</script><path"), "holds a script"),
        (LEAF.replace(b"<path", b'<path onload="x()"'), "holds a script"),
        (LEAF.replace(b"<path", b'<image href="http://marrow.example/x.png"/><path'), "holds a picture"),
        (b'<!DOCTYPE svg [<!ENTITY a SYSTEM "file:///etc/passwd">]>' + LEAF, "entities"),
        (b" " * MOST_ORNAMENT_BYTES + LEAF, "larger than 2 MB"),
        (saved(face()), "no SVG drawing"),
    ],
)
def test_what_is_no_drawing_is_refused_with_a_plain_reason_and_not_kept(home: Path, content: bytes, says: str) -> None:
    with pytest.raises(BadFile, match=says) as met:
        keep_ornament(content, "leaf.svg")
    assert str(met.value).startswith("leaf.svg was not kept: ")
    assert str(home.parent) not in str(met.value)
    assert not kept(home)


# --- jobs that name files --------------------------------------------------------------------------------------------


def job_with(job_text: str, *, face: str = "Cinzel", ornament: str | None = None) -> Job:
    def quoted(text: str) -> str:
        return '"' + "".join(c if c.isalnum() or c in " ./-" else f"\\U{ord(c):08X}" for c in text) + '"'

    text = job_text.replace('"Cinzel"', quoted(face))
    if ornament is not None:
        text += f"\n[[ornament]]\nfile = {quoted(ornament)}\nx = 60\ny = 60\nwidth = 30\n"
    return parse_job(text, base_folder=job_folder())


WAYS = [
    "../secret.svg",
    "/etc/passwd",
    "a/b.svg",
    "..",
    ".svg",
    "..svg",
    "C:\\secret.svg",
    "C:secret.svg",
    "\\\\host\\share\\leaf.svg",
    "//host/share/leaf.svg",
    "file:///etc/leaf.svg",
    "http://marrow.example/leaf.svg",
    "~/leaf.svg",
    "~carver.svg",
    "leaf.svg:stream",
    "leaf.svg.",
    "con.svg",
    "NUL.svg",
    "leaf.svg/",
    "./leaf.svg",
    "%2e%2e%2fleaf.svg",
    "leaf\u2044x.svg",
    "link.svg",
    "folder.svg",
    "pipe.svg",
]


@pytest.mark.parametrize("way", WAYS)
def test_an_ornament_that_is_not_plainly_at_hand_is_a_fault_with_a_remedy(home: Path, job_text: str, way: str) -> None:
    (home / "ornaments" / "folder.svg").mkdir(parents=True)
    (home / "secret.svg").write_bytes(LEAF)
    (home / "ornaments" / "link.svg").symlink_to(home / "secret.svg")
    (home / "ornaments" / "leaf.svg").write_bytes(LEAF)
    if hasattr(os, "mkfifo"):
        os.mkfifo(home / "ornaments" / "pipe.svg")
    (fault,) = outside_paths(job_with(job_text, ornament=way))
    assert fault.key == "ornament[1].file"
    assert fault.line == len(job_text.splitlines()) + 3
    assert "bring the drawing in here" in fault.remedy
    assert not outside_paths(job_with(job_text, ornament="leaf.svg"))


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=60)
@given(st.text(st.characters(exclude_categories=["Cs", "Cc"]), min_size=1, max_size=20), st.booleans())
@example("..\\leaf", True)
def test_a_name_of_which_nothing_is_said_is_that_of_a_file_at_hand(
    home: Path, job_text: str, name: str, ends: bool
) -> None:
    (home / "ornaments").mkdir(parents=True, exist_ok=True)
    (home / "ornaments" / "leaf.svg").write_bytes(LEAF)
    name = f"{name}.svg" if ends else name
    try:
        job = job_with(job_text, ornament=name)
    except Exception:  # no job at all
        return
    assert bool(outside_paths(job)) == (job.ornaments[0].file != "leaf.svg")


@pytest.mark.parametrize(
    "way",
    [
        "fonts/gate.ttf",
        "../gate.ttf",
        "/usr/share/fonts/gate.ttf",
        "gate.ttf",
        "gate.woff2",
        "gate.ttc#1",
        "GATE.OTF",
        " gate.ttf ",
        "C:gate.ttf",
        "\\\\host\\share\\gate.ttf",
        "http://marrow.example/gate.ttf",
        "~/gate",
        "./gate",
    ],
)
def test_a_face_that_is_a_path_is_a_fault_where_it_is_written(job_text: str, way: str) -> None:
    (fault,) = outside_paths(job_with(job_text, face=way))
    assert fault.key == "lettering.face"
    assert "bring the font in here" in fault.remedy
    own_line = job_text + f"face = '{way}'\n"
    (fault,) = outside_paths(parse_job(own_line, base_folder=job_folder()))
    assert (fault.key, fault.line) == ("line[1].face", len(own_line.splitlines()))


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=60)
@given(st.text("./\\#:~ abtwofAOTFW2", min_size=1, max_size=16))
def test_a_face_of_which_nothing_is_said_opens_no_path(tmp_path: Path, job_text: str, name: str) -> None:
    try:
        job = job_with(job_text, face=name)
    except Exception:  # no job at all
        return
    if outside_paths(job):
        return
    with contextlib.suppress(BadFace):  # a family that is not here
        assert find_face(job.lines[0].face, base_folder=tmp_path).origin != "file"


def test_every_fault_is_told_at_once_and_nothing_is_told_of_a_plain_job(job_text: str) -> None:
    assert outside_paths(job_with(job_text)) == ()
    faults = outside_paths(job_with(job_text, face="gate.ttf", ornament="leaf.svg"))
    assert [fault.key for fault in faults] == ["lettering.face", "ornament[1].file"]
