import math
from dataclasses import replace

import numpy as np
import pytest
from sheet_boards import board, groove, ring, small_board, words

from stopcut.groove.surface import Pit
from stopcut.job.job import Avoid
from stopcut.job.read import parse_job
from stopcut.setting.set_board import SetLetter, SetLine
from stopcut.shape.placed import Placed
from stopcut.sheets.drawn import PENS, all_placed, foot_of, grain_arrow, layers
from stopcut.work import Work


def by_name(work):
    return {layer.name: layer for layer in layers(work)}


def length(stroke):
    points = np.array([run[0][0] for run in stroke.runs] + [segment[-1] for run in stroke.runs for segment in run])
    return float(np.hypot(*np.diff(points, axis=0).T).sum())


def test_every_line_has_the_weight_and_dash_that_the_sheets_promise():
    fine, dotted, dashed = (6.0, 1.0, 1.0, 1.0), (0.6, 0.8), (2.0, 1.0)
    promised = {
        "outline": (0.15, ()),
        "parallel-run": (0.25, ()),
        "centre-line": (0.15, dashed),
        "corner-line": (0.15, dashed),
        "reference-line": (0.10, fine),
        "margin": (0.10, fine),
        "board-edge": (0.35, ()),
        "arris": (0.10, dotted),
        "grain": (0.10, dotted),
    }
    drawn = {layer.name: (layer.pen.weight_mm, layer.pen.dash_mm) for layer in layers(board())}
    assert {name: drawn[name] for name in promised} == promised


def test_every_letter_has_one_outline_with_its_holes():
    outlines = by_name(board())["outline"].strokes
    assert [(s.line, s.index, s.char) for s in outlines[:3]] == [(1, 1, "I"), (1, 2, "O"), (1, 3, "I")]
    assert [len(s.runs) for s in outlines[:3]] == [1, 2, 1]


def test_outlines_stay_curves():
    kinds = {len(segment) for stroke in by_name(board())["outline"].strokes for run in stroke.runs for segment in run}
    assert kinds == {2, 3, 4}


def test_parallel_runs_and_what_lies_beyond_them_make_up_the_centre_lines():
    work = board()
    drawn = by_name(work)
    whole = sum(length(stroke) for name in ("parallel-run", "centre-line") for stroke in drawn[name].strokes)
    lines = [line for g in work.grooves for line in g.lines if line.kind == "centre"]
    expected = sum(float(np.hypot(*np.diff(line.points, axis=0).T).sum()) for line in lines)
    assert whole == pytest.approx(expected, abs=1e-6)
    assert sum(length(s) for s in drawn["parallel-run"].strokes) == pytest.approx(
        sum(g.stop_cut_mm for g in work.grooves), abs=1e-6
    )


def test_a_centre_line_without_parallel_walls_is_drawn_beyond_from_end_to_end():
    work = small_board()
    line = replace(work.grooves[0].lines[0], parallel=())
    work.__dict__["grooves"] = (replace(work.grooves[0], lines=(line,)),)
    drawn = by_name(work)
    assert drawn["parallel-run"].strokes == ()
    (stroke,) = drawn["centre-line"].strokes
    assert length(stroke) == pytest.approx(float(np.hypot(*(line.points[1] - line.points[0]))))


def test_the_reference_line_runs_from_edge_to_edge_at_the_feet_of_the_letters():
    work = board()
    first, second = by_name(work)["reference-line"].strokes
    assert first.runs == ((((0, 140.0), (900.0, 140.0)),),)
    assert second.runs[0][0][0] == (0, 60.0)


@pytest.mark.parametrize("bend", ["up", "down"])
def test_the_reference_line_of_an_arc_passes_under_the_feet_of_its_letters(bend):
    radius, way = 300.0, 1 if bend == "up" else -1
    centre = (450.0, 150.0 - way * radius)
    letters = []
    for index, angle in enumerate((-20, 0, 20), 1):
        a = math.radians(angle)
        foot = (centre[0] + radius * math.sin(a), centre[1] + way * radius * math.cos(a))
        turn = math.radians(-way * angle)
        x, y = (
            foot[0] - 30 * math.cos(turn),
            foot[1] - 30 * math.sin(turn),
        )  # the ring's middle is 0.5 em from its origin
        placed = Placed(ring(), 60.0, x, y, turn_deg=-way * angle, line=1, index=index, char="O")
        letters.append(SetLetter(placed, 0, 0, 0))
    line = SetLine(1, "OOO", "Rings", 60.0, 1.0, 150.0, 0, 0, 60.0, tuple(letters))
    work = board(lines=(line,))
    asked = parse_job(
        'format = 1\ntitle = "Arc"\n[board]\nwidth = 900\nheight = 260\nthickness = 28\n'
        f'[[line]]\nwords = "OOO"\narc = {{ radius = {radius}, bend = "{bend}" }}\n',
        "job.toml",
    ).lines[0]
    object.__setattr__(work, "job", replace(work.job, lines=(asked,)))
    (stroke,) = by_name(work)["reference-line"].strokes
    ends = np.array([stroke.runs[0][0][0]] + [segment[-1] for segment in stroke.runs[0]])
    assert np.hypot(*(ends - centre).T) == pytest.approx(radius, abs=1e-9)
    assert ends[:, 0].min() < foot_of(letters[0].placed)[0][0]
    assert ends[:, 0].max() > foot_of(letters[-1].placed)[0][0]
    assert way * (ends[:, 1].mean() - centre[1]) > 0


def test_centre_marks_stand_in_the_middle_of_each_side_and_cross_the_edge():
    marks = by_name(board())["centre-mark"].strokes
    middles = {stroke.bounds.centre for stroke in marks}
    assert middles == {(450, 0), (450, 260), (0, 130), (900, 130)}


def test_a_margin_that_leaves_no_board_is_not_drawn():
    assert by_name(board(margin_mm=0.0))["margin"].strokes == ()
    assert by_name(board(margin_mm=130.0))["margin"].strokes == ()
    assert by_name(board(margin_mm=40.0))["margin"].strokes[0].bounds.left == 40


@pytest.mark.parametrize(("grain", "level"), [("width", True), ("height", False)])
def test_the_grain_arrow_lies_along_the_fibres(grain, level):
    shaft, *_ = grain_arrow(board(grain=grain))
    assert (shaft.bounds.height < 1e-9) is level
    assert max(shaft.bounds.width, shaft.bounds.height) == 30


def test_what_is_to_be_kept_clear_of_is_drawn_where_it_is():
    knot = Avoid("knot", 200, 100, radius_mm=12)
    fixing = Avoid("fixing", 800, 50, width_mm=30, height_mm=20)
    round_one, box = by_name(board(avoid=[knot, fixing]))["avoid"].strokes
    points = np.array([segment[0] for segment in round_one.runs[0]])
    assert np.hypot(*(points - [200, 100]).T) == pytest.approx(12)
    assert (box.bounds.left, box.bounds.top) == (785, 60)


def test_ornaments_are_drawn_after_the_letters():
    work = small_board()
    ornament = Placed(ring(), 10.0, 5.0, 5.0, char="ring")
    work.__dict__["grooves"] = (*work.grooves, groove(ornament))
    outlines = by_name(work)["outline"].strokes
    assert [s.char for s in outlines] == ["I", "O", "ring"]


def test_a_dot_is_marked_where_it_is_deepest():
    work = small_board()
    work.__dict__["grooves"] = (replace(work.grooves[1], lines=(), pits=(Pit(80.0, 40.0, 5.0),)),)
    (cross,) = by_name(work)["pit"].strokes
    assert cross.bounds.centre == (80, 40)
    assert (cross.line, cross.index, cross.char) == (1, 2, "O")


def test_a_letter_stands_under_the_middle_of_its_ink():
    placed = words("O", 1, 60.0, 140.0, 900.0).letters[0].placed
    assert foot_of(placed) == ((pytest.approx(450), pytest.approx(140)), (0, 1))
    turned = replace(placed, turn_deg=90.0)
    _, up = foot_of(turned)
    assert up == pytest.approx((-1, 0))


def test_every_layer_is_drawn_even_when_it_is_empty():
    assert [layer.name for layer in layers(board(lines=()))] == list(PENS)


def test_a_drawing_for_relief_is_drawn_apart_and_never_among_what_is_cut(job_text, tmp_path) -> None:
    (tmp_path / "leaf.svg").write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 10 10"><path d="M0 0H10V10H0Z"/></svg>'
    )
    more = '[[ornament]]\nfile = "leaf.svg"\nx = 350\ny = 60\nwidth = 20\ncarve = "none"\n\n[[line]]'
    work = Work(parse_job(job_text.replace("[[line]]", more), base_folder=tmp_path))
    drawn = {layer.name: layer.strokes for layer in layers(work)}
    (leaf,) = drawn["relief"]
    assert leaf.bounds.left == pytest.approx(340)
    assert len(drawn["outline"]) == len(work.setting.placed)


def test_outlines_are_bolder_by_what_will_come_off_the_face(job_text) -> None:
    plain = Work(parse_job(job_text))
    off = Work(parse_job(job_text.replace("[[line]]", '[groove]\nface_off = "1 mm"\n\n[[line]]')))
    for bold, fine in zip(all_placed(off), all_placed(plain), strict=True):
        # 1 mm off a wall of 60° takes 1 / tan 60° from each edge: trigonometry.
        assert bold.bounds_mm.bottom == pytest.approx(fine.bounds_mm.bottom - 1 / math.tan(math.radians(60)), abs=0.02)
