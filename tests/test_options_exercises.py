"""Exercises: whole strokes with both walls, from the job's own face at its size."""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
import pytest
import shapely

from stopcut.bench.planned import Plan
from stopcut.job.new import demo_job_text
from stopcut.job.read import parse_job
from stopcut.options.exercises import LETTERS, ROW, exercise_text, exercises_of
from stopcut.options.practice_job import practice_text
from stopcut.teaching.practised import Exercise
from stopcut.work import Work

FACES = ("Cinzel", "EB Garamond", "Alegreya Sans")


@lru_cache
def made(face: str) -> tuple[Work, Plan, dict[str, Exercise]]:
    whole = Work(parse_job(demo_job_text().replace('face = "Cinzel"', f'face = "{face}"')))
    work = Work(parse_job(exercise_text(whole)))
    plan = work.plan("reading")
    return work, plan, {exercise.title: exercise for exercise in exercises_of(work, plan)}


@pytest.mark.parametrize("face", FACES)
def test_straight_rows_come_first_then_curves_then_a_stem_then_a_letter(face: str) -> None:
    titles = list(made(face)[2])
    assert titles[:3] == ["Five uprights", "Five level strokes", "Five sloping strokes"]
    assert titles[3:5] == ["Open curves", "The S curve"]
    assert titles[5] == ("A stem with its ends" if face == "Alegreya Sans" else "Serifs on a stem")
    assert titles[6:] == ["A letter: R"]


@pytest.mark.parametrize("face", FACES)
def test_every_stroke_of_a_row_has_a_stop_cut_and_both_walls_and_no_serif(face: str) -> None:
    for title in ("Five uprights", "Five level strokes", "Five sloping strokes"):
        exercise = made(face)[2][title]
        (stroke,) = exercise.strokes
        assert exercise.copies == ROW
        assert {cut.kind for cut in stroke.cuts} == {"stop", "wall"}
        assert len({cut.side for cut in stroke.cuts if cut.kind == "wall"}) == 2


@pytest.mark.parametrize("face", FACES)
def test_rows_slope_as_they_are_called(face: str) -> None:
    for title, least, most in (
        ("Five uprights", 78, 90),
        ("Five level strokes", 0, 12),
        ("Five sloping strokes", 12, 78),
    ):
        (stroke,) = made(face)[2][title].strokes
        stop = next(cut for cut in stroke.cuts if cut.kind == "stop")
        x, y = np.abs(stop.points[-1, :2] - stop.points[0, :2])
        assert least <= math.degrees(math.atan2(y, x)) <= most


@pytest.mark.parametrize("face", FACES)
def test_a_stroke_alone_is_stopped_within_its_own_walls_and_no_deeper_than_they_are(face: str) -> None:
    for title in ("Five uprights", "Five level strokes", "Five sloping strokes"):
        (stroke,) = made(face)[2][title].strokes
        hull = shapely.MultiLineString([*stroke.edge, *stroke.joins]).convex_hull.buffer(0.2)
        walls = max(cut.depth_mm for cut in stroke.cuts if cut.kind == "wall")
        for cut in stroke.cuts:
            if cut.kind == "stop":
                assert all(hull.covers(shapely.LineString(line.points[:, :2])) for line in cut.lines)
                assert cut.depth_mm <= walls + 0.1
                assert all(deep <= cut.depth_mm + 1e-6 for deep in cut.passes)


@pytest.mark.parametrize("face", FACES)
def test_curves_are_open_and_bend(face: str) -> None:
    for stroke in made(face)[2]["Open curves"].strokes:
        line = max((cut.points[:, :2] for cut in stroke.cuts if cut.kind == "stop"), key=len)
        length = float(np.hypot(*np.diff(line, axis=0).T).sum())
        chord = float(np.hypot(*(line[-1] - line[0])))
        assert 0.1 * length < chord < 0.995 * length
        assert {"inside", "outside"} <= {cut.side for cut in stroke.cuts if cut.kind == "wall"}


def test_the_letter_is_whole_and_the_stem_has_its_serifs() -> None:
    _, plan, exercises = made("Cinzel")
    (stem,) = exercises["Serifs on a stem"].strokes
    assert sum(cut.kind == "serif" for cut in stem.cuts) == 4
    letter = exercises["A letter: R"]
    assert letter.letter
    key = letter.strokes[0].key
    assert [cut.id for cut in letter.strokes[0].cuts] == [cut.id for cut in plan.cuts if cut.key == key]


def test_letters_that_a_face_lacks_are_done_without(monkeypatch: pytest.MonkeyPatch) -> None:
    whole = Work(parse_job(demo_job_text()))
    monkeypatch.setattr("stopcut.options.exercises.LETTERS", "IЖO")
    assert exercise_text(whole) == practice_text(whole, "IO")
    monkeypatch.setattr("stopcut.options.exercises.LETTERS", "ЖЩ")
    assert exercise_text(whole) == practice_text(whole, "MARROW LANE")
    assert len(set(LETTERS)) == len(LETTERS)
