"""A job file becomes a job, its defaults and inheritance resolved, or every fault at once."""

from __future__ import annotations

import datetime
import os
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from job_faults import faults_of, spoilt_jobs

from stopcut.errors import WrongJob
from stopcut.job.faults import JOB_FORMAT
from stopcut.job.job import DEFAULTS, Arc, Avoid, Border, Match, Shift
from stopcut.job.new import demo_job_text
from stopcut.job.read import names_a_file, parse_job, path_of, read_job

BARE = """\
format = 1
title = "Plot 7"
[board]
width = 400
height = 120
thickness = 22
[[line]]
words = "PLOT 7"
"""


def test_the_demo_job_is_read_as_it_is_written() -> None:
    job = parse_job(demo_job_text(), "gate.toml")
    assert (job.name, job.title, job.units) == ("gate.toml", "Marrow Lane gate board", "mm")
    assert job.wanted_by == datetime.date(2027, 3, 4)
    board = job.board
    assert (board.width_mm, board.height_mm, board.thickness_mm, board.margin_mm) == (900, 260, 28, 40)
    assert (board.wood, board.grain) == ("lime", "width")
    first, second = job.lines
    assert [line.words for line in job.lines] == ["MARROW LANE", "Allotment Society"]
    assert (first.cap_height_mm, second.cap_height_mm) == (60, 34)
    assert (first.wall_deg, first.flat_bottom_mm, second.flat_bottom_mm) == (60, 12, 12)
    assert second.shifts == (Shift("Al", 1, by_mm=0.4),)
    assert job.text == demo_job_text()


def test_a_job_with_only_what_is_required_takes_the_defaults() -> None:
    job = parse_job(BARE)
    line = job.lines[0]
    assert (job.units, job.board.wood, job.board.grain) == ("mm", "lime", "width")
    assert job.board.margin_mm == 12  # a tenth of the shorter side
    assert (line.face, line.weight, line.stem_mm, line.cap_height_mm) == ("Cinzel", 400, None, None)
    assert (line.openness, line.tuck, line.align, line.size) == (1, 1, "centre", 1)
    assert (line.word_space, line.line_gap, line.line_gap_mm, line.drop_mm, line.arc) == (1, 1, None, 0, None)
    assert (line.wall_deg, line.flat_bottom_mm, line.thinnest_mm, line.features, line.shifts) == (
        60,
        None,
        None,
        (),
        (),
    )
    assert (job.ornaments, job.border, job.avoid, job.match, job.face_off_mm) == ((), None, (), None, 0)


def test_every_default_has_its_reason() -> None:
    assert all(default.because for default in DEFAULTS.values())


def with_lettering(lettering: str, line: str = "") -> str:
    return BARE.replace("[[line]]", f"[lettering]\n{lettering}\n[[line]]\n{line}")


def test_a_line_sets_again_what_the_lettering_sets_for_all() -> None:
    inherited = (
        'face = "Cardo"\ncap_height = "fit"\nopenness = 1.5\nalign = "left"\nword_space = 2\nfeatures = ["smcp"]'
    )
    line = parse_job(with_lettering(inherited)).lines[0]
    assert (line.face, line.cap_height_mm, line.openness, line.align) == ("Cardo", None, 1.5, "left")
    assert (line.word_space, line.features) == (2, ("smcp",))
    own = 'face = "Jost"\ncap_height = 30\nopenness = 0.5\nalign = "spread"\nword_space = 0.5\nfeatures = []'
    line = parse_job(with_lettering(inherited, own)).lines[0]
    assert (line.face, line.cap_height_mm, line.openness, line.align) == ("Jost", 30, 0.5, "spread")
    assert (line.word_space, line.features) == (0.5, ())


@pytest.mark.parametrize(
    ("lettering", "line", "weight", "stem_mm"),
    [
        ("weight = 700", "", 700, None),
        ('stem = "9 mm"', "", None, 9),
        ("weight = 700", "stem = 9", None, 9),
        ("stem = 9", "weight = 700", 700, None),
        ("stem = 9", "stem = 5", None, 5),
        ("weight = 700", "weight = 300", 300, None),
        ("", "stem = 5", None, 5),
        ("", "", 400, None),
    ],
)
def test_a_lines_own_stem_replaces_an_inherited_weight_and_the_other_way_round(
    lettering: str, line: str, weight: float | None, stem_mm: float | None
) -> None:
    found = parse_job(with_lettering(lettering, line)).lines[0]
    assert (found.weight, found.stem_mm) == (weight, stem_mm)


def test_a_line_may_take_an_inherited_flat_bottom_or_thinnest_stroke_away() -> None:
    text = with_lettering('thinnest = 2\n[groove]\nflat_bottom = 8\nwall = "55°"')
    line = parse_job(text).lines[0]
    assert (line.thinnest_mm, line.flat_bottom_mm, line.wall_deg) == (2, 8, 55)
    line = parse_job(text + 'thinnest = "none"\nflat_bottom = "none"\nwall = 45\n').lines[0]
    assert (line.thinnest_mm, line.flat_bottom_mm, line.wall_deg) == (None, None, 45)


def test_a_number_scales_the_light_between_lines_and_a_length_sets_it() -> None:
    scaled, set_ = parse_job(with_lettering("line_gap = 1.2")), parse_job(with_lettering('line_gap = "1 in"'))
    assert (scaled.lines[0].line_gap, scaled.lines[0].line_gap_mm) == (1.2, None)
    assert (set_.lines[0].line_gap, set_.lines[0].line_gap_mm) == (1, 25.4)


def test_bare_numbers_are_inches_in_a_job_in_inches() -> None:
    text = BARE.replace("[board]", 'units = "in"\n[board]').replace("400", "36").replace("120", "9 # high")
    job = parse_job(text.replace("22", '"7/8"') + 'cap_height = 2.25\nshifts = [{ pair = "PL", by = "1 mm" }]\n')
    assert (job.board.width_mm, job.board.height_mm, job.board.thickness_mm) == (914.4, 228.6, 22.225)
    assert job.lines[0].cap_height_mm == 57.15
    assert job.lines[0].shifts == (Shift("PL", 1, by_mm=1),)


def test_a_shift_in_percent_grows_with_the_letters() -> None:
    job = parse_job(BARE + 'shifts = [{ pair = "PL", by = "-1.5 %" }, { pair = "OT", nth = 1, by = 0.5 }]\n')
    by_share, by_length = job.lines[0].shifts
    assert (by_share.mm(40), by_share.mm(80)) == (pytest.approx(-0.6), pytest.approx(-1.2))
    assert (by_length.mm(40), by_length.mm(80)) == (0.5, 0.5)


def test_a_lines_size_is_a_share_of_its_cap_height() -> None:
    assert parse_job(with_lettering("cap_height = 50", "size = 0.6")).lines[0].height_mm == pytest.approx(30)
    assert parse_job(with_lettering('cap_height = "fit"', "size = 0.6")).lines[0].height_mm is None


def test_ornaments_borders_and_things_to_avoid_are_read() -> None:
    more = """\
arc = { radius = "400 mm" }
drop = -3
[[ornament]]
file = "marrow.svg"
x = 40
y = "6 cm"
width = 30
[border]
inset = 8
stroke = 2
lines = 2
[[avoid]]
what = "knot"
x = 10
y = 10
radius = 4
[[avoid]]
what = "hinge"
x = 390
y = 60
width = 15
height = 40
[match]
cap_height = 40
gaps = [{ pair = "RO", gap = "6 mm" }]
[groove]
face_off = "0.5 mm"
"""
    job = parse_job(BARE + more)
    assert job.lines[0].arc == Arc(400, "up")
    assert job.lines[0].drop_mm == -3
    ornament = job.ornaments[0]
    assert (ornament.number, ornament.file, ornament.x_mm, ornament.y_mm) == (1, "marrow.svg", 40, 60)
    assert (ornament.width_mm, ornament.turn_deg, ornament.carve) == (30, 0, "groove")
    assert job.border == Border(8, 2, 2, "square")
    assert job.avoid == (Avoid("knot", 10, 10, radius_mm=4), Avoid("hinge", 390, 60, width_mm=15, height_mm=40))
    assert job.match == Match(40, None, (("RO", 6),))
    assert job.face_off_mm == 0.5


# A job's file.


def written(folder: Path, content: bytes) -> Path:
    path = folder / "plot.toml"
    path.write_bytes(content)
    return path


def the_fault(path: Path) -> str:
    with pytest.raises(WrongJob) as wrong:
        read_job(path)
    assert len(wrong.value.faults) == 1
    return str(wrong.value)


def test_a_file_is_read_whatever_its_line_ends_and_its_mark(tmp_path: Path) -> None:
    job = read_job(written(tmp_path, b"\xef\xbb\xbf" + BARE.replace("\n", "\r\n").encode()))
    assert (job.title, job.name, job.base_folder) == ("Plot 7", "plot.toml", tmp_path)


def test_a_folder_is_no_job(tmp_path: Path) -> None:
    assert "is a folder; name the job file in it" in the_fault(tmp_path)


def test_a_file_that_is_not_there_is_said_to_be_so(tmp_path: Path) -> None:
    assert "no such file" in the_fault(tmp_path / "plot.toml")
    assert "no name may have" in the_fault(Path("plot\0.toml"))


def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    if not hasattr(os, "mkfifo"):
        pytest.skip("no pipes with names here")
    os.mkfifo(tmp_path / "plot.toml")
    assert "is no ordinary file" in the_fault(tmp_path / "plot.toml")


def test_a_file_in_another_encoding_names_the_first_line_that_shows_it(tmp_path: Path) -> None:
    fault = the_fault(written(tmp_path, BARE.replace("Plot 7", "Plot ½").encode("latin-1")))
    assert "line 2: the file is not written in UTF-8" in fault
    assert "UTF-8" in the_fault(written(tmp_path, BARE.encode("utf-16")))


def test_a_file_beyond_a_million_bytes_is_not_read(tmp_path: Path) -> None:
    assert "more than 1000 kB" in the_fault(written(tmp_path, b"#" * 1_000_001))


def test_faces_and_ornaments_that_are_files_must_be_there(tmp_path: Path) -> None:
    text = with_lettering('face = "faces/mine.ttf"') + '[[ornament]]\nfile = "leaf.svg"\nx = 1\ny = 1\nwidth = 9\n'
    path = written(tmp_path, text.encode())
    with pytest.raises(WrongJob) as wrong:
        read_job(path)
    assert [(fault.key, fault.line) for fault in wrong.value.faults] == [
        ("lettering.face", 8),
        ("ornament[1].file", 13),
    ]
    (tmp_path / "faces").mkdir()
    (tmp_path / "faces" / "mine.ttf").write_bytes(b"a font, for all that is known here")
    (tmp_path / "leaf.svg").write_bytes(b"<svg/>")
    job = read_job(path)
    assert path_of(job, job.lines[0].face) == tmp_path / "faces" / "mine.ttf"
    assert parse_job(text).lines[0].face == "faces/mine.ttf"  # a text alone opens nothing


@pytest.mark.parametrize("face", ["mine.ttf", "faces/mine", "C:\\faces\\mine.otf", "Mine.WOFF2", "../x.ttc"])
def test_a_path_is_told_from_a_family(face: str) -> None:
    assert names_a_file(face)
    assert not names_a_file("EB Garamond")


# Whatever is in the file, a person gets faults and never a traceback.


def _looked_at(text: str) -> None:
    for fault in faults_of(text):
        assert fault.found
        assert fault.remedy
        assert fault.line is None or 1 <= fault.line <= text.count("\n") + 1


@settings(max_examples=150)
@given(spoilt_jobs())
def test_a_spoilt_job_is_answered_with_faults(text: str) -> None:
    _looked_at(text)


@settings(max_examples=100)
@given(st.text(max_size=200))
def test_any_text_is_answered_with_faults(text: str) -> None:
    _looked_at(text)


_values = st.recursive(
    st.one_of(
        st.sampled_from(['"5 mm"', '"fit"', '""', '"RO"', '"x\\u0000"', "5", "-5", "0", "1e300", "nan", "inf", "true"]),
        st.sampled_from(["2027-03-04", "07:00:00", "9" * 300, '"' + "9" * 300 + ' mm"', '"5 %"', '"5/0 in"']),
    ),
    lambda inner: st.one_of(
        st.lists(inner, max_size=2).map(lambda values: "[" + ", ".join(values) + "]"),
        inner.map(lambda value: "{ pair = " + value + ", by = " + value + " }"),
    ),
    max_leaves=3,
)
_keys = st.sampled_from(sorted({key for table in JOB_FORMAT.tables.values() for key in table.model_fields}))
_header = st.sampled_from(
    ["[board]", "[lettering]", "[groove]", "[[line]]", "[[ornament]]", "[border]", "[[avoid]]", "[match]", "[line]", ""]
)


@settings(max_examples=150)
@given(st.lists(st.tuples(_header, st.dictionaries(_keys, _values, max_size=4)), max_size=6))
def test_any_values_under_any_keys_are_answered_with_faults(tables: list[tuple[str, dict[str, str]]]) -> None:
    _looked_at("\n".join("\n".join([head, *(f"{k} = {v}" for k, v in keys.items())]) for head, keys in tables))


@pytest.mark.parametrize(
    "text",
    [
        "[" * 5000,
        "a = " + "[" * 5000,
        "a = " + "{a = " * 5000,
        "a = " + "9" * 5000,
        "a." * 300_000 + "a = 1",
        '"a" . ' * 100_000 + "a = 1",
        "[" + "a." * 300_000 + "a]",
        "title = '" + "x" * 900_000 + "'",
        "\0",
        "\r",
        "﻿",
    ],
)
def test_hostile_toml_is_answered_with_faults(text: str) -> None:
    _looked_at(text)


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(content=st.binary(max_size=60))
def test_any_bytes_are_answered_with_faults(tmp_path: Path, content: bytes) -> None:
    with pytest.raises(WrongJob):
        read_job(written(tmp_path, content))


def test_a_file_of_ten_thousand_wrong_keys_is_answered_with_the_first_hundred() -> None:
    faults = faults_of("\n".join(f"key_{number} = 1" for number in range(10_000)))
    assert len(faults) == 101
    assert faults[-1].found == "there are more faults"
