"""Edits change what they name and nothing else, can be undone to the letter, and never spoil a job."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest
import tomlkit
from hypothesis import given, settings
from hypothesis import strategies as st
from job_faults import spoilt_jobs
from toml_texts import toml_texts

from stopcut.job.edits import (
    AddTable,
    At,
    Edit,
    MoveTable,
    PutKeyBack,
    PutShiftBack,
    PutTextBack,
    Refused,
    RemoveTable,
    ReplaceText,
    SetKey,
    SetShift,
    SetWords,
    Written,
    apply,
    digest,
)
from stopcut.job.new import demo_job_text
from stopcut.job.pairs import letters_of, pairs_of
from stopcut.job.read import parse_job
from stopcut.written.literals import Value

DEMO = demo_job_text()
FIRST, SECOND = At("line", 1, "MARROW LANE"), At("line", 2, "Allotment Society")

# The same kind of job as people may write it otherwise.
OTHERS = """\
format = 1
title = 'Plot 7'   # the seventh
board = { width = 400, height = '120 mm', thickness = 22 }
lettering.weight = 500
  lettering.cap_height = "fit"

# first, the name
[[line]]
words = '''MARROW'''
shifts = [
    { pair = "RO", by = 0.4 },   # opened for the knot
    { pair = 'MA', nth = 1, by = "-1 %" },
]
[line.arc]   # bent
radius = "400 mm"

[groove]
wall = 55 # steep

# then the plot
[[line]]
words = "PLOT 7"
[[line.shifts]]
pair = "PL"
by = 1

[[ornament]]
file = "leaf.svg"
x = 20
y = 20
width = 10

[[avoid]]
what = "knot"
x = 1
y = 1
radius = 2"""

TEXTS = [
    DEMO,
    OTHERS,
    OTHERS + "\n",
    DEMO.replace("\n", "\r\n"),
    OTHERS.replace("\n", "\r\n"),
    DEMO + "\n\n# the end\n",
]


def lines_changed(old: str, new: str) -> tuple[list[str], list[str]]:
    """The lines taken out and put in, as lists without order."""
    before, after = old.splitlines(), new.splitlines()
    gone = [line for line in before if before.count(line) > after.count(line)]
    come = [line for line in after if after.count(line) > before.count(line)]
    return gone, come


EDITS: list[tuple[Edit, list[str], list[str]]] = [
    (
        SetKey(At("lettering"), "cap_height", "fit"),
        ['cap_height = 60               # or "fit"'],
        ['cap_height = "fit"               # or "fit"'],
    ),
    (SetKey(At("lettering"), "tuck", 1.1), [], ["tuck = 1.1"]),
    (SetKey(FIRST, "arc", {"radius": "400 mm", "bend": "up"}), [], ['arc = { radius = "400 mm", bend = "up" }']),
    (SetKey(FIRST, "features", ["smcp", "onum"]), [], ['features = ["smcp", "onum"]']),
    (SetKey(At(), "title", 'Gate "A"'), ['title = "Marrow Lane gate board"'], [r'title = "Gate \"A\""']),
    (
        SetKey(At("board"), "width", Written("9_00")),
        [DEMO.splitlines()[6]],
        [DEMO.splitlines()[6].replace("900", "9_00")],
    ),
    (
        SetKey(At("groove"), "flat_bottom", None),
        ["flat_bottom = 12              # optional: the groove goes no deeper than this"],
        [],
    ),
    (
        SetKey(At("lettering"), "stem", "9 mm"),
        ['weight = 500                  # or stem = "9 mm"; not both'],
        ['stem = "9 mm"                  # or stem = "9 mm"; not both'],
    ),
    (SetShift(FIRST, "RO", 1, "1.2 %"), [], ['shifts = [{ pair = "RO", nth = 1, by = "1.2 %" }]']),
    (SetWords(SECOND, "The Society"), ['words = "Allotment Society"'], ['words = "The Society"']),
    (SetKey(SECOND, "words", "The Society"), ['words = "Allotment Society"'], ['words = "The Society"']),
]


@pytest.mark.parametrize(("edit", "gone", "come"), EDITS)
def test_an_edit_changes_the_lines_it_names_and_keeps_their_comments(
    edit: Edit, gone: list[str], come: list[str]
) -> None:
    done = apply(edit, DEMO)
    assert lines_changed(DEMO, done.text) == (gone, come)
    assert apply(done.undo, done.text).text == DEMO
    assert not isinstance(done.undo, PutTextBack)


def test_the_jobs_values_are_what_was_set() -> None:
    text = apply(SetKey(At("board"), "margin", "1 in"), DEMO).text
    text = apply(SetKey(SECOND, "wall", 55), text).text
    text = apply(SetShift(SECOND, "Al", 1, "2 %"), text).text
    job = parse_job(text)
    assert (job.board.margin_mm, job.lines[0].wall_deg, job.lines[1].wall_deg) == (25.4, 60, 55)
    assert job.lines[1].shifts[0].by_share == pytest.approx(0.02)


# Lines.


def words(text: str) -> list[str]:
    return [line.words for line in parse_job(text).lines]


@pytest.mark.parametrize(
    ("edit", "after"),
    [
        (AddTable.line(1, "THE"), ["THE", "MARROW LANE", "Allotment Society"]),
        (AddTable.line(2, "THE"), ["MARROW LANE", "THE", "Allotment Society"]),
        (AddTable.line(3, "THE"), ["MARROW LANE", "Allotment Society", "THE"]),
        (AddTable.line(99, "THE"), ["MARROW LANE", "Allotment Society", "THE"]),
        (RemoveTable(FIRST), ["Allotment Society"]),
        (RemoveTable(SECOND), ["MARROW LANE"]),
        (MoveTable(SECOND, 1), ["Allotment Society", "MARROW LANE"]),
        (MoveTable(FIRST, 2), ["Allotment Society", "MARROW LANE"]),
        (MoveTable(FIRST, 9), ["Allotment Society", "MARROW LANE"]),
        (MoveTable(FIRST, 1), ["MARROW LANE", "Allotment Society"]),
    ],
)
def test_lines_come_go_and_change_places_with_all_that_is_theirs(edit: Edit, after: list[str]) -> None:
    done = apply(edit, DEMO)
    assert words(done.text) == after
    for line in parse_job(done.text).lines:
        assert bool(line.shifts) == (line.words == "Allotment Society")
    assert apply(done.undo, done.text).text == DEMO
    assert not isinstance(done.undo, PutTextBack)


def test_a_lines_comments_go_with_it() -> None:
    text = apply(MoveTable(At("line", 2, "PLOT 7"), 1), OTHERS).text
    assert text.index("# then the plot") < text.index("# first, the name")
    assert text.index('pair = "PL"') < text.index("# first, the name")
    assert "# opened for the knot" in text


def test_other_tables_come_and_go_as_well() -> None:
    bordered = apply(AddTable("border", 0, "\n[border]\ninset = 12\nstroke = 3\n"), DEMO)
    assert parse_job(bordered.text).border is not None
    assert apply(bordered.undo, bordered.text).text == DEMO
    assert isinstance(bordered.undo, RemoveTable)
    bare = apply(RemoveTable(At("avoid", 1, "knot")), OTHERS).text
    assert parse_job(bare).avoid == ()
    narrow = apply(SetKey(At("ornament", 1, "leaf.svg"), "width", 5), OTHERS).text
    assert parse_job(narrow).ornaments[0].width_mm == 5


def test_a_setting_of_a_table_that_is_not_there_yet_makes_the_table() -> None:
    text = apply(
        SetKey(At("groove"), "wall", 55), DEMO.replace(DEMO[DEMO.index("[groove]") : DEMO.index("[[line]]")], "")
    )
    assert parse_job(text.text).lines[1].wall_deg == 55


@pytest.mark.parametrize(
    ("at", "key", "value"),
    [
        (At("board"), "width", 450),
        (At("board"), "margin", 10),
        (At("lettering"), "cap_height", 50),
        (At("lettering"), "openness", 2),
        (At("line", 1, "MARROW"), "arc", {"radius": 300}),
        (At("line", 2, "PLOT 7"), "size", 0.5),
        (At("groove"), "flat_bottom", 8),
        (At(), "title", "Plot 8"),
    ],
)
def test_tables_are_edited_however_they_are_written(at: At, key: str, value: Value) -> None:
    done = apply(SetKey(at, key, value), OTHERS)
    data: Any = tomllib.loads(done.text)
    if at.table:
        data = data[at.table]
    if at.number:
        data = data[at.number - 1]
    assert data[key] == value
    assert apply(done.undo, done.text).text == OTHERS


# Finding the line again.


def test_an_edit_finds_its_line_by_its_words_when_lines_have_come_before_it() -> None:
    text = apply(AddTable.line(1, "THE"), DEMO).text
    done = apply(SetKey(SECOND, "size", 0.5), text)
    assert [line.size for line in parse_job(done.text).lines] == [1, 1, 0.5]
    assert apply(done.undo, done.text).text == text


def test_of_two_lines_with_the_same_words_the_number_decides() -> None:
    text = apply(AddTable.line(1, "Allotment Society"), DEMO).text
    done = apply(SetKey(At("line", 3, "Allotment Society"), "size", 0.5), text)
    assert [line.size for line in parse_job(done.text).lines] == [1, 1, 0.5]
    with pytest.raises(Refused, match='there are 2 of "Allotment Society"'):
        apply(SetKey(SECOND, "size", 0.5), text)


def test_an_edit_of_a_line_whose_words_are_gone_is_refused() -> None:
    text = apply(SetWords(SECOND, "Society"), DEMO).text
    with pytest.raises(Refused, match='no line "Allotment Society" any more'):
        apply(SetKey(SECOND, "size", 0.5), text)
    with pytest.raises(Refused, match="Only a line has words"):
        apply(SetWords(At("board"), "A"), DEMO)


def test_an_undo_still_applies_when_somebody_else_has_changed_something_else() -> None:
    mine = [
        SetKey(At("lettering"), "cap_height", 50),
        SetKey(At("groove"), "flat_bottom", None),
        SetShift(SECOND, "So", 1, "1 %"),
        SetShift(SECOND, "Al", 1, None),
        SetWords(SECOND, "The Allotment Society"),
        AddTable.line(1, "THE"),
        MoveTable(SECOND, 1),
    ]
    theirs = SetKey(At("board"), "margin", 30)
    for edit in mine:
        done = apply(edit, DEMO)
        both = apply(theirs, done.text).text
        assert apply(done.undo, both).text == apply(theirs, DEMO).text, edit


def test_the_undo_of_a_whole_text_is_refused_once_the_text_is_another() -> None:
    done = apply(ReplaceText(OTHERS), DEMO)
    assert apply(done.undo, done.text).text == DEMO
    later = apply(SetKey(At("groove"), "wall", 50), done.text).text
    with pytest.raises(Refused, match="changed since"):
        apply(done.undo, later)


# Shifts and words.


def shifts(text: str, number: int) -> dict[tuple[str, int], float | None]:
    return {(shift.pair, shift.nth): shift.by_mm for shift in parse_job(text).lines[number - 1].shifts}


def test_new_words_renumber_the_shifts_of_the_line_and_of_no_other() -> None:
    text = apply(SetWords(At("line", 1, "MARROW"), "ROSE MARROW"), OTHERS).text
    assert shifts(text, 1) == {("RO", 2): 0.4, ("MA", 1): None}
    assert shifts(text, 2) == {("PL", 1): 1}
    assert "# opened for the knot" in text


def test_a_shift_whose_pair_is_gone_stays_in_the_job_and_belongs_to_none() -> None:
    text = apply(SetShift(FIRST, "RO", 1, "1 mm"), DEMO).text
    done = apply(SetWords(FIRST, "MARR LANE RO"), text)
    assert shifts(done.text, 1) == {("RO", 1): 1}  # made anew: the same letters, the same shift
    done = apply(SetWords(FIRST, "MARR LANE"), text)
    ((pair, nth),) = shifts(done.text, 1)
    assert (pair, nth) not in [(pair.letters, pair.nth) for pair in pairs_of("MARR LANE")]
    assert apply(done.undo, done.text).text == text


def test_shifts_are_set_changed_and_taken_away_one_by_one() -> None:
    at = At("line", 1, "MARROW")
    text = apply(SetShift(at, "RO", 1, "2 mm"), OTHERS).text
    assert shifts(text, 1) == {("RO", 1): 2, ("MA", 1): None}
    text = apply(SetShift(at, "AR", 1, 3), text).text
    assert shifts(text, 1) == {("RO", 1): 2, ("MA", 1): None, ("AR", 1): 3}
    taken = apply(SetShift(at, "MA", 1, None), text)
    assert shifts(taken.text, 1) == {("RO", 1): 2, ("AR", 1): 3}
    assert isinstance(taken.undo, PutShiftBack)
    again = apply(taken.undo, taken.text)
    assert again.text == text
    assert apply(again.undo, again.text).text == taken.text
    for pair in ("RO", "MA", "AR"):
        text = apply(SetShift(at, pair, 1, None), text).text
    assert "shifts" not in tomllib.loads(text)["line"][0]
    assert apply(SetShift(at, "RO", 1, None), text).text == text


def test_a_shift_taken_away_comes_back_though_others_were_taken_since() -> None:
    text = apply(SetShift(SECOND, "So", 1, "1 mm"), DEMO).text
    taken = apply(SetShift(SECOND, "So", 1, None), text)
    bare = apply(SetShift(SECOND, "Al", 1, None), taken.text).text
    assert shifts(apply(taken.undo, bare).text, 2) == {("So", 1): 1}
    first = apply(SetShift(SECOND, "Al", 1, None), text)
    bare = apply(SetShift(SECOND, "So", 1, None), first.text).text
    assert shifts(apply(first.undo, bare).text, 2) == {("Al", 1): 0.4}


# What is refused.


@pytest.mark.parametrize(
    ("edit", "why"),
    [
        (SetKey(At("lettering"), "cap_height", -3), "lettering.cap_height, line 17: -3 is below zero"),
        (SetKey(At("lettering"), "cap_hieght", 60), "did you mean cap_height?"),
        (SetKey(At("board"), "margin", 130), "leave nothing"),
        (SetKey(At("board"), "width", None), "board.width"),
        (SetKey(At("border"), "inset", 5), "border.stroke"),
        (SetKey(At("board"), "wood", Written('"lime"\nmargin = 3')), "is not one value"),
        (SetKey(At("board"), "wood", Written("lime")), "is not one value"),
        (SetKey(At("board"), "wood", Written("'lime' # soft")), "is not one value"),
        (SetKey(FIRST, "words", " "), "the words are blank"),
        (SetKey(FIRST, "words", 12), "text in quotes"),
        (SetWords(FIRST, "A\nB"), "its own \\[\\[line\\]\\]"),
        (SetWords(FIRST, "A\ud800"), "cannot be written"),
        (ReplaceText(DEMO + "# \ud800"), "can't be kept"),
        (SetShift(FIRST, "RO", 1, "far"), "is no length"),
        (SetShift(FIRST, "R", 1, "1 mm"), "is no pair"),
        (SetShift(FIRST, "RO", 0, "1 mm"), "out of range"),
        (AddTable.line(1, ""), "the words are blank"),
        (AddTable("line", 1, "words = 'A'"), "not one table of the name line"),
        (AddTable("line", 1, "[[line]]\nwords = 'A'\n[[line]]\nwords = 'B'"), "not one table"),
        (AddTable("line", 1, "[[line]]\nwords = 'A'\n[board]"), "not one table"),
        (AddTable("line", 1, "[[line"), "can't be read"),
        (AddTable("border", 0, "border = { inset = 1, stroke = 1 }"), "not one table"),
        (AddTable("board", 0, "[board]\nwidth = 3"), "could not be read any more"),
        (RemoveTable(At()), "written as a table"),
        (MoveTable(At("board"), 1), "have an order"),
        (SetShift(FIRST, "R\ud800", 1, "1 mm"), "cannot be written"),
        (RemoveTable(At("border")), "no \\[border\\]"),
        (RemoveTable(At("board")), "board"),
        (ReplaceText("a = "), "could not be read any more"),
        (ReplaceText("a = 1"), "no such setting"),
        (ReplaceText("#" * 1_000_001), "beyond 1000 kB"),
        (PutKeyBack(At("border"), "", "inset = 3"), "no longer in the job"),
        (PutTextBack("", digest("another")), "changed since"),
    ],
)
def test_an_edit_that_would_spoil_a_right_job_is_refused_with_the_reason(edit: Edit, why: str) -> None:
    with pytest.raises(Refused, match=why):
        apply(edit, DEMO)


def test_the_last_line_is_not_taken_away() -> None:
    text = apply(RemoveTable(SECOND), DEMO).text
    with pytest.raises(Refused, match="line"):
        apply(RemoveTable(FIRST), text)


def test_a_wrong_job_may_be_mended_step_by_step_and_unmended() -> None:
    wrong = DEMO.replace("wall = 60", "wall = 90").replace("cap_height = 60", "cap_height = -3")
    step = apply(SetKey(At("groove"), "wall", 60), wrong)
    right = apply(SetKey(At("lettering"), "cap_height", 60), step.text)
    assert parse_job(right.text).lines[0].wall_deg == 60
    assert apply(right.undo, right.text).text == step.text
    assert apply(step.undo, step.text).text == wrong


def test_a_broken_text_may_only_be_replaced() -> None:
    with pytest.raises(Refused, match="mended by hand first"):
        apply(SetKey(At("groove"), "wall", 60), "a = ")
    done = apply(ReplaceText(DEMO), "a = ")
    assert apply(done.undo, done.text).text == "a = "


def test_lines_written_as_a_list_are_not_moved_about() -> None:
    text = "line = [{ words = 'A' }, { words = 'B' }]\n" + DEMO[: DEMO.index("[[line]]")]
    with pytest.raises(Refused, match="written as a table of its own"):
        apply(MoveTable(At("line", 2, "B"), 1), text)
    assert words(apply(SetWords(At("line", 2, "B"), "C"), text).text) == ["A", "C"]


# Any edits, one after another.

_texts = st.sampled_from(TEXTS)
_line_words = st.sampled_from(
    ["ROSE", "MARROW LANE", "Allotment Society", "A", "ROAD ROSE", "PLOT 7", "é12", "WAVE 'A' \"B\""]
)


@st.composite
def _line(draw: st.DrawFn, text: str) -> At:
    named = tomllib.loads(text)["line"]
    place = draw(st.integers(0, len(named) - 1))
    wrong_number = draw(st.integers(0, 4)) == 0
    return At("line", draw(st.integers(0, 9)) if wrong_number else place + 1, named[place]["words"])


@st.composite
def _edit(draw: st.DrawFn, text: str) -> Edit:
    line = draw(_line(text))
    pairs = [(pair.letters, pair.nth) for pair in pairs_of(line.saw)] or [("RO", 1)]
    pair, nth = draw(st.sampled_from([*pairs, ("RO", 1), ("RO", 2)]))
    table = draw(st.sampled_from([At(), At("board"), At("lettering"), At("groove"), line]))
    keys = {
        "": [("title", ["A", 'B "C"']), ("wanted_by", [None])],
        "board": [("margin", [3, "1/4 in", None]), ("wood", ["oak", None])],
        "groove": [("wall", [45, 60.5, None]), ("flat_bottom", [5, "none", None]), ("face_off", [0.5, None])],
    }
    lettering: list[tuple[str, list[Any]]] = [
        ("openness", [1.5, 2, None]),
        ("weight", [300, None]),
        ("stem", ["9 mm", None]),
        ("features", [["smcp"], [], None]),
        ("cap_height", ["fit", 30, None]),
    ]
    own: list[tuple[str, list[Any]]] = [("arc", [{"radius": 300}, None]), ("shifts", [[], None]), ("size", [0.5, None])]
    options = keys.get(table.table, [*lettering, *own] if table.table == "line" else lettering)
    key, values = draw(st.sampled_from(options))
    return draw(
        st.sampled_from(
            [
                SetKey(table, key, draw(st.sampled_from(values))),
                SetWords(line, draw(_line_words)),
                SetShift(line, pair, nth, draw(st.sampled_from(["1 mm", "-2 %", 0.5, None]))),
                AddTable.line(draw(st.integers(1, 5)), draw(_line_words)),
                RemoveTable(line),
                MoveTable(line, draw(st.integers(1, 5))),
            ]
        )
    )


@settings(max_examples=80)
@given(st.data())
def test_any_run_of_edits_is_undone_to_the_letter_and_keeps_the_job_right(data: st.DataObject) -> None:
    text = data.draw(_texts)
    history: list[tuple[str, Edit]] = []
    for _ in range(data.draw(st.integers(1, 5))):
        try:
            done = apply(data.draw(_edit(text)), text)
        except Refused:
            continue
        parse_job(done.text)
        history.append((text, done.undo))
        text = done.text
    for former, undo in reversed(history):
        undone = apply(undo, text)
        assert undone.text == former
        assert apply(undone.undo, undone.text).text == text  # done again
        text = undone.text


@settings(max_examples=80)
@given(st.data())
def test_a_setting_changes_the_data_as_tomlkit_would(data: st.DataObject) -> None:
    text = data.draw(_texts)
    edit = data.draw(_edit(text).filter(lambda edit: isinstance(edit, SetKey) and edit.key not in ("weight", "stem")))
    assert isinstance(edit, SetKey)
    try:
        new = apply(edit, text).text
    except Refused:
        return
    document: Any = tomlkit.parse(text).unwrap()
    table = document
    if edit.at.table == "line":
        named = [line["words"] for line in document["line"]]
        number = edit.at.number if 1 <= edit.at.number <= len(named) and named[edit.at.number - 1] == edit.at.saw else 0
        table = document["line"][number - 1 if number else named.index(edit.at.saw)]
    elif edit.at.table:
        table = document.setdefault(edit.at.table, {})
    if edit.value is None:
        table.pop(edit.key, None)
    else:
        table[edit.key] = edit.value
    assert tomllib.loads(new) == document


@settings(max_examples=100)
@given(st.data())
def test_the_comments_of_other_lines_are_never_lost(data: st.DataObject) -> None:
    text = data.draw(_texts)
    edit = data.draw(_edit(text).filter(lambda edit: isinstance(edit, SetKey | SetWords | AddTable | MoveTable)))
    try:
        new = apply(edit, text).text
    except Refused:
        return
    key = edit.key if isinstance(edit, SetKey) else ""
    for line in text.splitlines():
        if "#" in line and not line.startswith(key or "\0") and key not in ("arc", "shifts"):
            assert line.split("#", 1)[1] in new


@settings(max_examples=60)
@given(st.sampled_from(["MARROW LANE", "ROAD ROSE ROW", "AAAA"]), st.text("ROAD ", min_size=1, max_size=12))
def test_every_shift_survives_any_change_of_words_at_its_pair_or_at_none(old: str, new: str) -> None:
    text = apply(SetWords(FIRST, old), DEMO).text
    at = At("line", 1, old)
    for number, pair in enumerate(pairs_of(old)):
        text = apply(SetShift(at, pair.letters, pair.nth, float(number)), text).text
    if not letters_of(new):
        return
    done = apply(SetWords(at, new), text)
    assert sorted(by or 0 for by in shifts(done.text, 1).values()) == list(range(len(pairs_of(old))))
    assert apply(done.undo, done.text).text == text


@st.composite
def _blind(draw: st.DrawFn) -> Edit:
    """An edit made without a look at the text."""
    table = draw(
        st.sampled_from(["", "board", "lettering", "groove", "line", "ornament", "avoid", "border", "nothing"])
    )
    at = At(
        table, draw(st.integers(-1, 4)), draw(st.sampled_from(["", "MARROW LANE", "Allotment Society", "A", "knot"]))
    )
    key = draw(st.sampled_from(["", "words", "shifts", "arc", "stem", "weight", "width", "line", "a b", "file"]))
    value = draw(
        st.sampled_from([None, 5, "A", [], [5], {}, {"pair": "RO"}, Written("'x'"), Written("]"), Written("1\n")])
    )
    return draw(
        st.sampled_from(
            [
                SetKey(at, key, value),
                SetWords(at, draw(st.sampled_from(["A", "", Written("5"), Written("'x'")]))),
                SetShift(at, draw(st.sampled_from(["RO", "Al", ""])), draw(st.integers(-1, 2)), value),
                AddTable(
                    table, at.number, draw(st.sampled_from(["", "[[line]]\nwords='x'", f"[{table or 'a'}]\nx=1"]))
                ),
                RemoveTable(at),
                MoveTable(at, draw(st.integers(-1, 4))),
                PutKeyBack(at, key, draw(st.sampled_from(["", "x = 1", "]", "words = 'A'\n"]))),
                PutShiftBack(
                    at, draw(st.integers(0, 3)), draw(st.sampled_from(["", ", {}", "{ pair = 'RO' }, ", "]"]))
                ),
            ]
        )
    )


_odd = st.one_of(
    _texts,
    toml_texts(),
    spoilt_jobs(),
    st.sampled_from(
        ["line = 5", "line = [5]", "[[line]]\nwords = 5\nshifts = 5", "[[line]]\nwords = 'A'\nshifts = [5]"]
    ),
)


@settings(max_examples=200)
@given(_odd, _blind())
def test_any_edit_of_any_text_is_made_and_can_be_undone_or_is_refused(text: str, edit: Edit) -> None:
    try:
        done = apply(edit, text)
    except Refused:
        return
    tomllib.loads(done.text)
    assert apply(done.undo, done.text).text == text
