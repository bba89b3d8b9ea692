"""What a job says of single letters, strokes' names and widenings: read, faulted, and kept with its letter."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stopcut.errors import WrongJob
from stopcut.job.edits import At, Refused, SetKey, SetWords, apply
from stopcut.job.job import NamedStroke, WidenedLetter
from stopcut.job.pairs import Pair, letters_of, renumbered
from stopcut.job.read import parse_job

HEAD = """\
format = 1
title = "Gate board"
[board]
width = 900
height = 260
thickness = 28
"""


def job_text(words: str = "MARROW LANE", keys: str = "", head: str = HEAD) -> str:
    return f'{head}[[line]]\nwords = "{words}"\n{keys}\n'


NAMED = (
    'strokes = [{ letter = "R", nth = 2, stroke = 3, kind = "diagonal" }]  # its leg\n'
    'widen = [{ letter = "A", by = "0.5 mm" }]'
)


def test_a_strokes_name_and_a_widening_are_read_with_the_first_letter_where_none_is_said() -> None:
    (line,) = parse_job(job_text(keys=NAMED)).lines
    assert line.strokes == (NamedStroke("R", 2, 3, "diagonal"),)
    assert line.widen == (WidenedLetter("A", 1, 0.5),)


def test_a_line_without_them_has_none() -> None:
    (line,) = parse_job(job_text()).lines
    assert (line.strokes, line.widen) == ((), ())


def test_a_bare_widening_is_in_the_jobs_units() -> None:
    head = 'units = "in"\n' + HEAD.replace("900", "36").replace("260", "10").replace("28", "1")
    (line,) = parse_job(job_text(keys='widen = [{ letter = "A", by = 0.02 }]', head=head)).lines
    assert line.widen[0].by_mm == pytest.approx(0.508)


@pytest.mark.parametrize(
    ("keys", "key", "found"),
    [
        ('strokes = [{ letter = "R", stroke = 3, kind = "limb" }]', "line[1].strokes[1].kind", '"limb"'),
        ('strokes = [{ letter = "RO", stroke = 0, kind = "bowl" }]', "line[1].strokes[1].stroke", "0"),
        ('strokes = [{ letter = "R O", stroke = 1, kind = "bowl" }]', "line[1].strokes[1].letter", '"R O"'),
        ('strokes = [{ letter = 5, stroke = 1, kind = "bowl" }]', "line[1].strokes[1].letter", "5"),
        ('strokes = [{ letter = "R", kind = "bowl" }]', "line[1].strokes[1].stroke", "missing"),
        ('strokes = [{ letter = "R", nth = 0, stroke = 1, kind = "bowl" }]', "line[1].strokes[1].nth", "0"),
        ('strokes = [{ letter = "R", number = 1, kind = "bowl" }]', "line[1].strokes[1].number", "no such setting"),
        ('widen = [{ letter = "R", by = "-1 mm" }]', "line[1].widen[1].by", "-1"),
        ('widen = [{ letter = "R", by = "a bit" }]', "line[1].widen[1].by", '"a bit"'),
        ('widen = [{ letter = "R", by = 1 }, { letter = "R", nth = 1, by = 2 }]', "line[1].widen[2]", "widened twice"),
        (
            'strokes = [{ letter = "R", stroke = 1, kind = "bowl" }, { letter = "R", stroke = 1, kind = "arc" }]',
            "line[1].strokes[2]",
            "named twice",
        ),
    ],
)
def test_wrong_values_are_faults_at_their_keys(keys: str, key: str, found: str) -> None:
    with pytest.raises(WrongJob) as caught:
        parse_job(job_text(keys=keys))
    faults = {fault.key: fault for fault in caught.value.faults}
    assert key in faults, faults
    assert found in f"{faults[key].found} {faults[key].remedy}"
    assert faults[key].line == 9


def test_two_strokes_of_one_letter_may_both_be_named() -> None:
    keys = 'strokes = [{ letter = "R", stroke = 1, kind = "bowl" }, { letter = "R", stroke = 2, kind = "arc" }]'
    assert len(parse_job(job_text(keys=keys)).lines[0].strokes) == 2


def test_planing_off_more_than_a_flat_bottom_lies_deep_is_a_fault() -> None:
    groove = "[groove]\nflat_bottom = 3\nplaned = 3\n"
    with pytest.raises(WrongJob) as caught:
        parse_job(HEAD + groove + '[[line]]\nwords = "A"\n')
    assert [fault.key for fault in caught.value.faults] == ["groove.flat_bottom"]
    own = '[groove]\nplaned = 3\n[[line]]\nwords = "A"\nflat_bottom = 2\n'
    with pytest.raises(WrongJob) as caught:
        parse_job(HEAD + own)
    assert [fault.key for fault in caught.value.faults] == ["line[1].flat_bottom"]
    assert parse_job(HEAD + groove.replace("planed = 3", "planed = 1") + '[[line]]\nwords = "A"\n').planed_mm == 1


@pytest.mark.parametrize(
    ("words", "strokes_nth", "widen_nth"),
    [
        ("THE MARROW LANE", 2, 1),
        ("RARE MARROW LANE", 4, 2),
        ("MAROW LANE", 2, 1),
        ("MARROW", 2, 1),
        ("MARROWS LANE", 2, 1),
    ],
)
def test_new_words_keep_names_and_widenings_at_their_letters(words: str, strokes_nth: int, widen_nth: int) -> None:
    text = job_text(keys=NAMED)
    applied = apply(SetWords(At("line", 1, "MARROW LANE"), words), text)
    (line,) = parse_job(applied.text).lines
    if words == "MAROW LANE":  # of two Rs one is left: the name stays with it or waits beyond the last
        assert line.strokes[0].nth in (1, 2)
    else:
        assert line.strokes[0].nth == strokes_nth
    assert line.widen[0].nth == widen_nth
    assert "# its leg" in applied.text
    assert apply(applied.undo, applied.text).text == text


def test_the_name_of_a_stroke_whose_letter_is_gone_stays_and_comes_back_with_it() -> None:
    text = job_text("ROAD", 'strokes = [{ letter = "R", nth = 1, stroke = 3, kind = "bowl" }]')
    gone = apply(SetWords(At("line", 1, "ROAD"), "OAD"), text).text
    assert parse_job(gone).lines[0].strokes[0] == NamedStroke("R", 1, 3, "bowl")
    back = apply(SetWords(At("line", 1, "OAD"), "OAR"), gone).text
    assert parse_job(back).lines[0].strokes[0] == NamedStroke("R", 1, 3, "bowl")


def test_two_strokes_of_one_letter_move_together() -> None:
    keys = 'strokes = [{ letter = "R", stroke = 1, kind = "bowl" }, { letter = "R", stroke = 2, kind = "arc" }]'
    new = apply(SetWords(At("line", 1, "ROAD"), "RR ROAD"), job_text("ROAD", keys)).text
    assert [one.nth for one in parse_job(new).lines[0].strokes] == [3, 3]


@given(st.text("AB R", max_size=9), st.text("AB R", max_size=9), st.integers(1, 3))
def test_letters_and_runs_live_on_or_are_left_without_any(old: str, new: str, count: int) -> None:
    letters = letters_of(old)
    if len(letters) < count:
        return
    run = Pair("".join(letters[:count]), 1)
    (now,) = renumbered([run], old, new, count)
    assert now.letters == run.letters
    assert now.nth >= 1
    if old == new and " " not in old:
        assert now == run


def test_a_widening_is_set_and_taken_back_by_an_edit_like_any_key() -> None:
    text = job_text("ROAD")
    edit = SetKey(At("line", 1, "ROAD"), "widen", [{"letter": "R", "nth": 1, "by": "0.5 mm"}])
    applied = apply(edit, text)
    assert 'widen = [{ letter = "R", nth = 1, by = "0.5 mm" }]' in applied.text
    assert apply(applied.undo, applied.text).text == text
    with pytest.raises(Refused):
        apply(SetKey(At("line", 1, "ROAD"), "widen", [{"letter": "R", "by": "-1 mm"}]), text)
