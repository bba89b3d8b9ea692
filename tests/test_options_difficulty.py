"""Strokes and letters from easy to hard."""

from __future__ import annotations

import itertools
from functools import lru_cache

import pytest
import shapely

from stopcut.bench.planned import Plan
from stopcut.job.new import demo_job_text
from stopcut.job.read import parse_job
from stopcut.options.difficulty import POINTS, WHY_POINTS, letters_of, strokes_of
from stopcut.options.practice_job import ALPHABET, practice_text
from stopcut.work import Work

FACES = ("Cinzel", "EB Garamond", "Alegreya Sans")
STRAIGHT, ROUND = "EFHILTXZ", "BCDGOPQRS"


@lru_cache
def practised(letters: str, face: str = "Cinzel") -> tuple[Work, Plan]:
    whole = Work(parse_job(demo_job_text().replace('face = "Cinzel"', f'face = "{face}"')))
    work = Work(parse_job(practice_text(whole, letters)))
    return work, work.plan("reading")


@pytest.mark.parametrize("face", FACES)
def test_every_cut_of_a_letter_is_practised_with_one_of_its_strokes(face: str) -> None:
    work, plan = practised(ALPHABET, face)
    strokes = strokes_of(work, plan)
    ids = [cut.id for stroke in strokes for cut in stroke.cuts]
    assert sorted(ids) == sorted(cut.id for cut in plan.cuts)
    place = {cut.id: n for n, cut in enumerate(plan.cuts)}
    for stroke in strokes:
        order = [place[cut.id] for cut in stroke.cuts]
        assert order == sorted(order)


@pytest.mark.parametrize("face", FACES)
def test_the_strokes_edges_together_are_the_letter_s_outline(face: str) -> None:
    work, plan = practised("ERS", face)
    strokes = strokes_of(work, plan)
    for groove in work.grooves:
        own = [stroke for stroke in strokes if stroke.key == (1, groove.placed.index)]
        edges = sum(shapely.LineString(line).length for stroke in own for line in stroke.edge)
        flat, first, whole = groove.roof.flat, 0, 0.0
        for ring in flat.rings:
            whole += shapely.LinearRing(groove.nodes_mm[first : first + len(ring)]).length
            first += len(ring)
        assert edges == pytest.approx(whole, rel=0.02)


@pytest.mark.parametrize("face", FACES)
def test_strokes_come_from_easy_to_hard_and_the_first_is_straight(face: str) -> None:
    strokes = strokes_of(*practised(ALPHABET, face))
    points = [round(stroke.points, 2) for stroke in strokes]
    assert points == sorted(points)
    assert strokes[0].kind in ("stem", "bar", "diagonal")
    assert strokes[0].reasons[:1] == ("straight",)
    assert strokes[-1].kind in ("bowl", "serif")


@pytest.mark.parametrize("face", FACES)
def test_letters_of_straight_strokes_come_before_round_ones_as_teachers_have_them(face: str) -> None:
    # Common practice: straight letters first, then diagonals, then those with bowls.
    order = [letter.char for letter in letters_of(*practised(ALPHABET, face))]
    assert order[0] in "IHL"
    mean = {group: sum(order.index(char) for char in group) / len(group) for group in (STRAIGHT, ROUND)}
    assert mean[ROUND] - mean[STRAIGHT] > 8
    assert order.index("O") > order.index("L")
    assert order.index("S") > order.index("T")


def test_of_straight_strokes_alike_in_all_else_the_longer_is_easier() -> None:
    compared = 0
    for face in FACES:
        strokes = [stroke for stroke in strokes_of(*practised(ALPHABET, face)) if "straight" in stroke.reasons]
        for one, other in itertools.permutations(strokes, 2):
            if one.reasons == other.reasons and one.length_mm > 1.5 * other.length_mm > 20:
                compared += 1
                assert one.points < other.points
    assert compared > 0


def test_spots_where_slicing_turns_go_with_the_stroke_whose_two_cuts_meet_there() -> None:
    work, plan = practised("OS")
    strokes = strokes_of(work, plan)
    assert any(stroke.turns for stroke in strokes)
    for stroke in strokes:
        ids = {cut.id for cut in stroke.cuts}
        wanted = {(turn.x_mm, turn.y_mm) for turn in plan.turns if set(turn.cuts) <= ids}
        assert set(stroke.turns) == wanted


def test_each_point_has_its_reason() -> None:
    assert set(POINTS) == set(WHY_POINTS)
