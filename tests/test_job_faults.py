"""Every fault of a job is named at once: its key, its line, what was found, what would do."""

from __future__ import annotations

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from job_faults import faults_of

from stopcut.errors import WrongJob
from stopcut.job.faults import JOB_FORMAT, fault_of_line
from stopcut.job.new import demo_job_text
from stopcut.job.read import parse_job
from stopcut.work import Work
from stopcut.written.places import find_places

RIGHT = """\
format = 1
title = "Plot 7"
units = "mm"
wanted_by = 2027-03-04

[board]
width = 400
height = 120
thickness = 22
wood = "lime"
grain = "width"
margin = 20

[lettering]
face = "Cinzel"
weight = 500
cap_height = 40
openness = 1.0
align = "centre"

[groove]
wall = 60
flat_bottom = 12

[[line]]
words = "PLOT 7"
shifts = [{ pair = "PL", nth = 1, by = "0.4 mm" }]
"""


def changed(old: str, new: str) -> str:
    assert RIGHT.count(old) == 1
    return RIGHT.replace(old, new)


# (what is written, in place of what, key, line, part of what was found, part of what would do)
WRONG = [
    ("format = 2", "format = 1", "format", 1, "2 is no format", "get that version"),
    ('format = "1"', "format = 1", "format", 1, '"1" is no format', "format = 1"),
    ("format = true", "format = 1", "format", 1, "true is no format", "format = 1"),
    ("# format", "format = 1", "format", None, "missing", "format = 1 as the first line"),
    ("", 'title = "Plot 7"', "title", None, "missing", "title ="),
    ('title = " "', 'title = "Plot 7"', "title", 2, "blank", "what the board is for"),
    ("title = 7", 'title = "Plot 7"', "title", 2, "7 is no text", "in quotes"),
    ('units = "cm"', 'units = "mm"', "units", 3, '"cm" is none of', 'write "mm" or "in"'),
    ('units = "inches"', 'units = "mm"', "units", 3, '"inches" is none of', 'write "mm" or "in"'),
    ('wanted_by = "2027-03-04"', "wanted_by = 2027-03-04", "wanted_by", 4, "is no day", "without quotes"),
    ("wanted_by = 2027-03-04T07:00:00", "wanted_by = 2027-03-04", "wanted_by", 4, "is no day", "2027-03-04"),
    ("unitss = 1", 'units = "mm"', "unitss", 3, "no such setting", "did you mean units?"),
    ("[bord]", "[board]", "bord", 6, "no such setting", "did you mean board?"),
    ("", "width = 400\n", "board.width", 6, "missing", "width = … there"),
    ("wide = 400", "width = 400", "board.wide", 7, "no such setting", "did you mean width?"),
    ("widht = 400", "width = 400", "board.widht", 7, "no such setting", "did you mean width?"),
    ("width = 0", "width = 400", "board.width", 7, "0 is zero", "above zero"),
    ("width = -400", "width = 400", "board.width", 7, "-400 is below zero", "above zero"),
    ("width = nan", "width = 400", "board.width", 7, "nan is no length", "write a number"),
    ("width = inf", "width = 400", "board.width", 7, "inf is no length", "write a number"),
    ("width = 20001", "width = 400", "board.width", 7, "too much", "to 20 m"),
    ('width = "66 ft"', "width = 400", "board.width", 7, '"66 ft" (20116.8 mm) is too much', "to 20 m"),
    ("width = 3", "width = 400", "board.width", 7, "too little", "from 10 mm"),
    ('width = "400 mn"', "width = 400", "board.width", 7, '"400 mn" is no length', "2 1/4 in"),
    ('width = "4,5 cm"', "width = 400", "board.width", 7, "comma", "5.5 cm"),
    ("width = true", "width = 400", "board.width", 7, "true is no length", "write a number"),
    ("width = [400]", "width = 400", "board.width", 7, "is no length", "write a number"),
    ("thickness = 1001", "thickness = 22", "board.thickness", 9, "too much", "to 1 m"),
    ("wood = 5", 'wood = "lime"', "board.wood", 10, "5 is no text", "in quotes"),
    ('grain = "across"', 'grain = "width"', "board.grain", 11, '"across" is none of', '"width" or "height"'),
    ("margin = 60", "margin = 20", "board.margin", 12, "leave nothing of 120 mm", "under 60 mm"),
    ("margin = -1", "margin = 20", "board.margin", 12, "too little", "from 0 mm"),
    ("cap_hieght = 60", "cap_height = 40", "lettering.cap_hieght", 17, "no such setting", "did you mean cap_height?"),
    ("cap_height = 2.9", "cap_height = 40", "lettering.cap_height", 17, "too little", "from 3 mm to 2 m"),
    ("cap_height = 2001", "cap_height = 40", "lettering.cap_height", 17, "too much", "from 3 mm to 2 m"),
    ('cap_height = "fitt"', "cap_height = 40", "lettering.cap_height", 17, '"fitt" is no length', 'or "fit"'),
    ("stem = 9", "openness = 1.0", "lettering.stem", 18, "weight and stem are both set", "keep one"),
    ("weight = 0", "weight = 500", "lettering.weight", 16, "0 is out of range", "from 1 to 1000"),
    ('weight = "bold"', "weight = 500", "lettering.weight", 16, '"bold" is no number', "without quotes"),
    ("openness = 4.1", "openness = 1.0", "lettering.openness", 18, "4.1 is out of range", "from 0 to 4"),
    ("openness = nan", "openness = 1.0", "lettering.openness", 18, "nan is out of range", "from 0 to 4"),
    ('align = "center"', 'align = "centre"', "lettering.align", 19, '"center" is none of', 'did you mean "centre"?'),
    ("wall = 60", 'align = "centre"', "lettering.wall", 19, "no such setting", "[groove] or [[line]]"),
    ("words = 60", 'align = "centre"', "lettering.words", 19, "no such setting", "it belongs in [[line]]"),
    ("wall = 19.9", "wall = 60", "groove.wall", 22, "19.9° is out of range", "20 to 80"),
    ("wall = 81", "wall = 60", "groove.wall", 22, "81° is out of range", "from the board's face"),
    ('wall = "steep"', "wall = 60", "groove.wall", 22, '"steep" is no angle', "degrees"),
    ("face_off = 20.5", "flat_bottom = 12", "groove.face_off", 23, "too much", "to 20 mm"),
    ("flat_bottom = 0", "flat_bottom = 12", "groove.flat_bottom", 23, "0 is zero", "above zero"),
    ("[line]", "[[line]]", "line", 25, "a table stands here", "[[line]], in double brackets"),
    ('words = "  "', 'words = "PLOT 7"', "line[1].words", 26, "blank", "take this [[line]] out"),
    ("words = 12", 'words = "PLOT 7"', "line[1].words", 26, "12 is no text", '"12"'),
    ('words = "A\\nB"', 'words = "PLOT 7"', "line[1].words", 26, "(a line break)", "its own [[line]]"),
    ('words = "\\u202eAB"', 'words = "PLOT 7"', "line[1].words", 26, "(U+202E) stands at place 1", "can be seen"),
    ('words = "\\u200b"', 'words = "PLOT 7"', "line[1].words", 26, "(U+200B)", "can be seen"),
    ('word = "PLOT 7"', 'words = "PLOT 7"', "line[1].word", 26, "no such setting", "did you mean words?"),
    ('pair = "P"', 'pair = "PL"', "line[1].shifts[1].pair", 27, '"P" is no pair', "two letters"),
    ('pair = "PLO"', 'pair = "PL"', "line[1].shifts[1].pair", 27, '"PLO" is no pair', "two letters"),
    ("nth = 0", "nth = 1", "line[1].shifts[1].nth", 27, "0 is out of range", "whole number from 1"),
    ("nth = 1.0", "nth = 1", "line[1].shifts[1].nth", 27, "1.0 is no whole number", "whole number"),
    ('by = "201 %"', 'by = "0.4 mm"', "line[1].shifts[1].by", 27, "more than a gap can take", "within 200%"),
    ('by = "x %"', 'by = "0.4 mm"', "line[1].shifts[1].by", 27, "is no percentage", "1.2 %"),
    ('bye = "0.4 mm"', 'by = "0.4 mm"', "line[1].shifts[1].bye", 27, "no such setting", "did you mean by?"),
]


@pytest.mark.parametrize(("new", "old", "key", "line", "found", "remedy"), WRONG, ids=[row[0] for row in WRONG])
def test_a_fault_says_its_key_its_line_what_was_found_and_what_would_do(
    new: str, old: str, key: str, line: int | None, found: str, remedy: str
) -> None:
    faults = faults_of(changed(old, new))
    fault = next(fault for fault in faults if fault.key == key)
    assert fault.line == line
    assert found in fault.found
    assert remedy in fault.remedy
    assert len(faults) == 1


ADDED = [
    ("[[avoid]]\nwhat = 'knot'\nx = 1\ny = 1", "avoid[1]", "how large it is", "radius, or width and height"),
    ("[[avoid]]\nwhat = 'knot'\nx = 1\ny = 1\nwidth = 5", "avoid[1]", "how large it is", "radius, or width"),
    ("[[avoid]]\nwhat = 'knot'\nx = 1\ny = 1\nradius = 5\nwidth = 5", "avoid[1].width", "radius and sides", "keep"),
    ("[[avoid]]\nwhat = 'knot'\nx = 401\ny = 1\nradius = 5", "avoid[1].x", "401 mm, is off the board", "width is 400"),
    ("[[ornament]]\nfile = 'a.svg'\nx = 1\ny = 121\nwidth = 5", "ornament[1].y", "off the board", "height is 120 mm"),
    ("[nails]", "nails", "no such setting", "take it out"),
    ("[match]\ngaps = []", "match", "nothing to match", "cap_height, stem or gaps"),
    ("[border]\ninset = 50\nstroke = 10", "border.inset", "leaves nothing of 120 mm", "nearer to the edge"),
    ("[border]\ninset = 5\nstroke = 2\nlines = 3", "border.lines", "3 is out of range", "from 1 to 2"),
    ("[[line]]\nwords = 'A'\nweight = 5\nstem = 5", "line[2].stem", "both set here", "keep one"),
    ("[[line]]\nwords = 'A'\nsize = 0.05", "line[2].size", "letters 2 mm high", "from 3 mm"),
    ("[[line]]\nwords = 'A'\ncap_height = 400\nsize = 6", "line[2].size", "letters 2400 mm high", "to 2000 mm"),
    ("[[line]]\nwords = 'A'\narc = 5", "line[2].arc", "5 is no table", "radius, bend"),
    ("[[line]]\nwords = 'A'\narc = { radius = 5, bend = 'left' }", "line[2].arc.bend", "none of", '"up" or "down"'),
    ("[[line]]\nwords = 'A'\nfeatures = 'smcp'", "line[2].features", "is no list", "in brackets"),
    ("[[line]]\nwords = 'A'\nfeatures = ['smallcaps']", "line[2].features", "is no feature", "four letters"),
    ("[[line]]\nwords = 'A'\nshifts = 5", "line[2].shifts", "5 is no list", "shifts = [{ … }]"),
    ("[[line]]\nwords = 'A'\nshifts = [5]", "line[2].shifts[1]", "5 is no table", "pair, nth, by"),
    ("[[line]]\nwords = 'A'\nline_gap = 11", "line[2].line_gap", "out of range", "from 0 to 10"),
    ("[[line]]\nwords = 'A'\nface_off = 1", "line[2].face_off", "no such setting", "it belongs in [groove]"),
    (
        "[[line]]\nwords = 'RO RO'\nshifts = [{ pair = 'RO', by = 1 }, { pair = 'RO', nth = 1, by = 2 }]",
        "line[2].shifts[2]",
        "shifted twice",
        "keep one",
    ),
]


@pytest.mark.parametrize(("more", "key", "found", "remedy"), ADDED, ids=[row[0].replace("\n", " ") for row in ADDED])
def test_tables_and_lines_that_are_added_are_looked_at_as_well(more: str, key: str, found: str, remedy: str) -> None:
    faults = faults_of(RIGHT + "\n" + more + "\n")
    assert [fault.key for fault in faults] == [key]
    assert found in faults[0].found
    assert remedy in faults[0].remedy
    assert (faults[0].line or 0) > RIGHT.count("\n")


BROKEN = [
    ("title = Plot", 1, "no value here"),
    ('title = "Plot\n', 1, "may not stand here"),
    ('title = "Plot', 1, "a text is never closed"),
    ("title", 1, "no = after the key"),
    ('a = 1\ntitle = "a"\ntitle = "b"', 3, "given twice"),
    ("[board]\na = 1\n[board]", 3, "given twice"),
    ('title = "a" b', 1, "something follows the value"),
    ("a = [1, 2\nb = 3", 2, "a [ is never closed"),
    ("[board", 1, "this is no TOML"),
    ('title = "a\\qb"', 1, "backslash"),
    ("= 5", 1, "this is no setting"),
    ('title = """a\nb', 2, "a text is never closed"),
]


@pytest.mark.parametrize(("text", "line", "found"), BROKEN)
def test_broken_toml_names_its_line_in_plain_words(text: str, line: int, found: str) -> None:
    faults = faults_of(text)
    assert [fault.line for fault in faults] == [line]
    assert found in faults[0].found


def test_a_right_job_has_no_faults() -> None:
    assert faults_of(RIGHT) == ()


def test_no_lines_is_a_fault_however_it_comes_about() -> None:
    head = RIGHT[: RIGHT.index("[[line]]")]
    for text in (head, "line = []\n" + head):
        faults = faults_of(text)
        assert [fault.key for fault in faults] == ["line"]
        assert "[[line]]" in faults[0].remedy


def test_facing_off_leaves_some_board() -> None:
    (fault,) = faults_of(changed("thickness = 22", "thickness = 12").replace("flat_bottom = 12", "face_off = 12"))
    assert (fault.key, fault.line) == ("groove.face_off", 23)
    assert "leaves no board" in fault.found


def test_faults_of_every_kind_come_together_in_the_order_of_the_file() -> None:
    text = changed("width = 400", "widht = 400").replace("margin = 20", "margin = 90").replace("wall = 60", "wall = 5")
    text = text.replace('words = "PLOT 7"', 'words = ""').replace("weight = 500", "weight = 500\nstem = 5")
    faults = faults_of(text)
    assert [fault.key for fault in faults] == ["board.widht", "lettering.stem", "groove.wall", "line[1].words"]
    assert [fault.line for fault in faults] == [7, 17, 23, 27]
    text = text.replace("widht", "width")
    assert [fault.key for fault in faults_of(text)][:2] == ["board.margin", "lettering.stem"]


def test_a_fault_reads_as_the_carver_needs_it() -> None:
    (fault,) = faults_of(changed("cap_height = 40", "cap_hieght = 40"))
    assert str(fault) == "lettering.cap_hieght, line 17: no such setting; did you mean cap_height?"


def test_a_fault_of_a_deeper_room_is_laid_at_the_key_that_sets_it() -> None:
    job = parse_job(RIGHT + '[[line]]\nwords = "ALSO"\nface = "Cardo"\n')
    inherited = fault_of_line(job, 1, "face", "no such face", "stopcut faces lists them")
    assert (inherited.key, inherited.line) == ("lettering.face", 15)
    own = fault_of_line(job, 2, "face", "no such face", "stopcut faces lists them")
    assert (own.key, own.line) == ("line[2].face", 30)
    assert (fault_of_line(job, 2, "wall", "", "").key, fault_of_line(job, 2, "drop", "", "").key) == (
        "groove.wall",
        "line[2]",
    )


# Every key of the format, given what it cannot hold, is a fault with the line it stands on.

_KEYS = [
    (names, key)
    for names, table in JOB_FORMAT.tables.items()
    for key in table.model_fields
    if len(names) <= 1 and (*names, key) not in JOB_FORMAT.tables
]


@pytest.mark.parametrize(("names", "key"), _KEYS, ids=[".".join((*names, key)) for names, key in _KEYS])
def test_a_key_that_holds_what_it_cannot_is_named_with_its_line(names: tuple[str, ...], key: str) -> None:
    head = "".join(f"[[{name}]]\n" if name in JOB_FORMAT.repeated else f"[{name}]\n" for name in names)
    text = f"{head}# here\n'{key}' = {{ a = 1 }}\n"
    assert any(fault.line == text.count("\n") and fault.key.endswith(key) for fault in faults_of(text))


_junk = st.sampled_from(["-1", "nan", "true", '"x"', "[]", "{}", "0", '"5 furlongs"', "1e9", '" "', "07:00:00"])
_demo_keys = sorted(path for path in find_places(demo_job_text()).values if isinstance(path[-1], str))


@settings(max_examples=150)
@given(st.dictionaries(st.sampled_from(_demo_keys), _junk, min_size=1, max_size=5))
def test_a_fault_whose_key_is_in_the_file_has_that_keys_line(junk: dict[tuple[str | int, ...], str]) -> None:
    text = demo_job_text()
    for path, value in sorted(junk.items(), key=lambda item: -find_places(text).values[item[0]].value_start):
        spot = find_places(text).values[path]
        text = text[: spot.value_start] + value + text[spot.value_end :]
    lines = text.split("\n")
    for fault in faults_of(text):
        if re.fullmatch(r"[\w.\[\]]+", fault.key) and "missing" not in fault.found:
            name = re.sub(r"\[\d+\]$", "", fault.key).rsplit(".", 1)[-1]
            assert fault.line is not None
            assert name in lines[fault.line - 1]


B = "[board]\nwidth = 900\nheight = 260\nthickness = 28\n"
SAID = {
    "a path with backslashes": (
        'face = "C:\\Users\\x.ttf"',
        "line 9: a backslash stands before a letter it does not go",
    ),
    "a path with other backslashes": ('face = "C:\\fonts\\x.ttf"', "or write a path with forward slashes: C:/Fonts"),
    "a path whose backslashes go with their letters": (
        'face = "D:\\fonts\\new.ttf"',
        "forward slashes: C:/Fonts/gate.ttf",
    ),
    "a path that starts with such a one": ('face = "D:\\new\\face.ttf"', "a backslash made a control character"),
    "half a character by its number": (
        'face = "A\\ud800"',
        "line 9: a backslash and its number stand for half a character; write the character itself",
    ),
    "a number of 5,000 digits": (
        f"weight = {'9' * 5000}",
        "line 9: a number has thousands of digits; write",
    ),
    "a key of 900 kB": ("k" * 900_000 + " = 1", "lettering." + "k" * 59 + "…, line 9: no such setting"),
    "a nest": ("x = " + "[" * 3000 + "]" * 3000, "line 9: lists or tables are nested more than 30 deep"),
    "a nest after brackets in a text": (
        'y = "[[[["  # [[[\nx = ' + "[" * 40 + "]" * 40,
        "line 10: lists or tables",
    ),
}


@pytest.mark.parametrize("name", SAID)
def test_what_is_odd_is_said_in_plain_words_and_short(name):
    setting, says = SAID[name]
    with pytest.raises(WrongJob) as wrong:
        parse_job(f'format = 1\ntitle = "x"\n{B}\n[lettering]\n{setting}\n[[line]]\nwords = "A"\n')
    assert says in str(wrong.value)
    assert max(len(str(fault)) for fault in wrong.value.faults) < 300


@pytest.mark.parametrize(
    "words", ["\u200d\u200d", "\ufe0f", "\u034f", "\u2800", "\u3164", "\u0301", "\U000e0100", "\u00ad", " \u200c "]
)
def test_words_of_nothing_that_has_ink_are_blank(words):
    with pytest.raises(WrongJob, match=r"blank|control"):
        parse_job(f'format = 1\ntitle = "x"\n{B}\n[[line]]\nwords = "{words}"\n')


def test_half_a_character_is_called_that():
    with pytest.raises(WrongJob, match=r"half a character \(U\+D800\) stands at place 2; write it anew"):
        parse_job(f'format = 1\ntitle = "x"\n{B}\n[[line]]\nwords = "A\ud800"\n')


def test_a_fault_made_of_a_sentence_has_its_stops_once(tmp_path):
    ornament = '[[ornament]]\nfile = "leaf.svg"\nx = 9\ny = 9\nwidth = 9\n'
    job = parse_job(f'format = 1\ntitle = "x"\n{B}\n{ornament}[[line]]\nwords = "A"\n', base_folder=tmp_path)
    with pytest.raises(WrongJob) as wrong:
        _ = Work(job).ornaments
    assert ".;" not in str(wrong.value)
    assert str(wrong.value).endswith("there is no such file; give an SVG file of plain closed shapes")
