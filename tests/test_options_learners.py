"""Class lists as people write them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stopcut.errors import WrongJob
from stopcut.options.learners import MOST_LEARNERS, parse_learners, read_learners
from stopcut.teaching.in_class import Learner

TOML = """\
format = 1
[tools]
"chisel 12" = 4

[[learner]]
name = "Hazel"
words = "MEDLAR"
level = "practised"
hand = "left"

[[learner]]
name = "Rowan"
words = ["QUINCE", "Plot 4"]
"""
CSV = "name,words,words2,level,hand\nHazel,MEDLAR,,practised,left\nRowan,QUINCE,Plot 4,,\n"


def plain(learner: Learner) -> tuple[object, ...]:
    return learner.name, learner.words, learner.level, learner.hand


def faults(text: str, name: str = "class.toml") -> list[tuple[str, int | None, str]]:
    with pytest.raises(WrongJob) as wrong:
        parse_learners(text, name)
    return [(fault.key, fault.line, fault.found) for fault in wrong.value.faults]


def test_a_list_in_toml_and_one_in_csv_say_the_same() -> None:
    of_toml, of_csv = parse_learners(TOML), parse_learners(CSV, "class.csv")
    wanted = [("Hazel", ("MEDLAR",), "practised", "left"), ("Rowan", ("QUINCE", "Plot 4"), "first board", "right")]
    assert [plain(one) for one in of_toml.learners] == wanted
    assert [plain(one) for one in of_csv.learners] == wanted
    assert of_toml.tools == {"chisel 12": 4}
    assert not of_csv.tools
    assert [one.line for one in of_toml.learners] == [5, 11]
    assert [one.line for one in of_csv.learners] == [2, 3]


@pytest.mark.parametrize("parted", [";", "\t"])
def test_semicolons_and_tabs_part_cells_too(parted: str) -> None:
    text = f"Name{parted}Words\r\nHazel{parted}A, B\r\n\r\n Rowan {parted} QUINCE \r\n"
    assert [plain(one)[:2] for one in parse_learners(text, "CLASS.CSV").learners] == [
        ("Hazel", ("A, B",)),
        ("Rowan", ("QUINCE",)),
    ]


def test_a_cell_in_quotes_keeps_its_comma() -> None:
    (one,) = parse_learners('name,words\nHazel,"PEAR, PLUM"\n', "class.csv").learners
    assert one.words == ("PEAR, PLUM",)


def test_all_that_is_wrong_is_said_at_once_with_its_line() -> None:
    text = (
        'format = 1\n[[learner]]\nname = "Hazel"\nwords = " "\n[[learner]]\nname = "hazel "\nwords = "PEAR"\n'
        'hand = "lefft"\n[[learner]]\nwords = "PLUM"\nlevel = "expert"\n[[learner]]\nname = "Rowan"\nword = "FIG"\n'
    )
    found = faults(text)
    assert [(key, line) for key, line, _ in found] == [
        ("class.toml learner[1].words", 4),
        ("class.toml learner[2].name", 6),
        ("class.toml learner[2].hand", 8),
        ("class.toml learner[3].name", 9),
        ("class.toml learner[3].level", 11),
        ("class.toml learner[4].word", 14),
    ]
    assert "on the list already" in found[1][2]


def test_faults_of_a_csv_name_the_column_and_the_row() -> None:
    text = "name,words,level,hand\nHazel,,practised,right\nHazel,PEAR,expert,right\n,PLUM,,\n"
    found = faults(text, "class.csv")
    assert [(key, line) for key, line, _ in found] == [
        ("class.csv words", 2),
        ("class.csv level", 3),
        ("class.csv name", 3),
        ("class.csv name", 4),
    ]


def test_a_column_that_no_list_has_is_guessed_at() -> None:
    with pytest.raises(WrongJob, match="did you mean level"):
        parse_learners("name,words,lvel\nHazel,PEAR,daily\n", "class.csv")


def test_missing_columns_and_cells_too_many_are_said() -> None:
    assert [found for _, _, found in faults("learner\nHazel\n", "c.csv")] == [
        "no such column",
        "the column is missing",
        "the column is missing",
    ]
    assert "3 cells stand under 2 names" in faults("name,words\nHazel,PEAR,PLUM\n", "c.csv")[0][2]


@pytest.mark.parametrize(("text", "name"), [("", "c.csv"), ("\n \n", "c.csv"), ("format = 1\n", "c.toml")])
def test_an_empty_list_is_a_fault(text: str, name: str) -> None:
    assert faults(text, name)


def test_a_class_beyond_any_room_is_declined() -> None:
    rows = "".join(f"Learner {n},PEAR\n" for n in range(MOST_LEARNERS + 1))
    assert "too many" in faults("name,words\n" + rows, "c.csv")[0][2]
    assert len(parse_learners("name,words\n" + rows[: rows.rindex("Learner")], "c.csv").learners) == MOST_LEARNERS


def test_a_list_is_read_by_its_file_s_ending(tmp_path) -> None:
    (tmp_path / "class.csv").write_bytes(b"\xef\xbb\xbf" + CSV.encode())
    (tmp_path / "class.toml").write_text(TOML, encoding="utf-8")
    csv, toml = read_learners(tmp_path / "class.csv"), read_learners(tmp_path / "class.toml")
    assert [plain(one) for one in csv.learners] == [plain(one) for one in toml.learners]
    with pytest.raises(WrongJob, match="class list"):
        read_learners(tmp_path)


@given(st.text(max_size=200))
def test_any_text_is_a_list_or_has_faults(text: str) -> None:
    for name in ("c.csv", "c.toml"):
        found: tuple[object, ...]
        try:
            found = parse_learners(text, name).learners
        except WrongJob as wrong:
            found = wrong.faults
        assert found
