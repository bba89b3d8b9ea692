"""What is drawn of a board one of whose lines has a character that its face lacks."""

from __future__ import annotations

import pytest

from stopcut.app.lines_left import Rest, rest_of
from stopcut.errors import WrongJob
from stopcut.job.new import new_job_text
from stopcut.job.read import parse_job
from stopcut.lettering.faces import characters_lacking
from stopcut.shop.shop_file import Shop
from stopcut.work import Work


def rest(*lines: str) -> Rest | None:
    """What is left of a board of these lines."""
    text = new_job_text(words=list(lines), name="job.toml")
    job = parse_job(text)
    with pytest.raises(WrongJob) as wrong:
        _ = Work(job, Shop()).setting
    return rest_of(job, Shop(), wrong.value)


def test_lines_that_can_be_set_keep_their_numbers_and_words():
    left = rest("PLOT", "LANE Ж", "MARROW")
    assert left is not None
    assert left.work is not None
    assert [(line.number, line.words) for line in left.work.setting.lines] == [(1, "PLOT"), (3, "MARROW")]


def test_every_line_that_lacks_something_is_told_with_what_it_lacks():
    left = rest("PLOT Я", "LANE", "Ж")
    assert left is not None
    assert [(one.line, one.says) for one in left.lacking] == [
        (1, "Cinzel has no Я: this line is not drawn."),
        (3, "Cinzel has no Ж: this line is not drawn."),
    ]


def test_a_face_that_is_offered_has_every_character_of_the_line():
    left = rest("PLOT", "Жé")
    assert left is not None
    faces = left.lacking[0].faces
    assert faces
    assert not any(characters_lacking(faces, "Жé").values())


def test_a_board_of_no_other_line_has_nothing_to_draw():
    left = rest("Ж")
    assert left is not None
    assert left.work is None
    assert [one.line for one in left.lacking] == [1]


def test_another_fault_is_left_to_be_told_as_it_is():
    assert rest_of(parse_job(new_job_text(words=["PLOT"], name="job.toml")), Shop(), WrongJob(())) is None
