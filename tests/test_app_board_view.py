"""What the page's board is told is what `stopcut measure` says."""

import numpy as np
import pytest
from svgelements import Matrix, Path

from stopcut.app.board_view import groove_view, known_grooves, path_data, setting_view
from stopcut.app.moving import all_gaps
from stopcut.job.new import demo_job_text
from stopcut.job.read import parse_job
from stopcut.sheets.measured import measured
from stopcut.shop.shop_file import Screen, Shop
from stopcut.work import Work

ARC = """
format = 1
title = "Arc"
[board]
width = 600
height = 400
thickness = 25
[lettering]
cap_height = 40
[[line]]
words = "MARROW LANE"
arc = { radius = "400 mm", bend = "up" }
"""


@pytest.fixture(scope="module")
def work() -> Work:
    text = demo_job_text().replace(
        'words = "MARROW LANE"', 'words = "MARROW LANE"\nshifts = [{ pair = "RO", nth = 1, by = -0.4 }]'
    )
    return Work(parse_job(text))


def letters_of(view):
    return [letter for line in view["lines"] for letter in line["letters"]]


def test_boxes_and_gaps_on_the_page_are_the_figures_that_measure_prints(work):
    said = [letter for line in measured(work)["lines"] for letter in line["letters"]]
    shown = letters_of(setting_view(work))
    # Cinzel draws its small letters as capitals: the page calls them so, the figures as they are written.
    assert [one["char"] for one in shown] == [one["char"].upper() for one in said]
    for page, figure in zip(shown, said, strict=True):
        assert page["box"][0] == pytest.approx(figure["left_mm"], abs=1e-3)
        assert page["box"][2] == pytest.approx(figure["right_mm"], abs=1e-3)
        gap = page["gap"]["gap"] if page["gap"] else None
        assert gap == (None if figure["gap_after_mm"] is None else pytest.approx(figure["gap_after_mm"], abs=1e-3))


def test_a_shift_by_hand_stands_beside_the_gap_of_the_model(work):
    gap = next(one["gap"] for one in letters_of(setting_view(work)) if one["gap"] and one["gap"]["by_hand"])
    assert (gap["pair"], gap["nth"], gap["shift"]) == ("RO", 1, -0.4)
    assert gap["gap"] == pytest.approx(gap["model"] - 0.4, abs=1e-3)


def test_the_second_pair_of_the_same_letters_is_told_from_the_first(work):
    text = demo_job_text().replace('words = "MARROW LANE"', 'words = "ANNA ANNA"')
    gaps = [one["gap"] for one in letters_of(setting_view(Work(parse_job(text))))[:8] if one["gap"]]
    assert [(gap["pair"], gap["nth"]) for gap in gaps] == [
        ("AN", 1), ("NN", 1), ("NA", 1), ("AN", 2), ("NN", 2), ("NA", 2),
    ]  # fmt: skip


def test_path_data_read_by_another_library_covers_the_letters_own_box(work):
    view = setting_view(work)
    for letter in letters_of(view):
        shape = Path(view["paths"][letter["path"]]) * Matrix(*letter["matrix"])
        left, low, right, high = shape.bbox()
        assert np.allclose([left, low, right, high], letter["box"], atol=0.02)


def test_outlines_that_the_page_has_are_not_sent_again(work):
    sent = setting_view(work)["paths"]
    known = sorted(sent)[:3]
    assert set(setting_view(work, known)["paths"]) == set(sent) - set(known)


def test_ticks_of_a_gap_stand_as_far_apart_as_the_gap(work):
    for letter in letters_of(setting_view(work)):
        if letter["gap"]:
            (x0, y0), (x1, y1) = letter["gap"]["from"], letter["gap"]["to"]
            assert x1 - x0 == pytest.approx(letter["gap"]["gap"], abs=2e-3)
            assert y0 == y1


def test_letters_on_an_arc_stand_on_the_circle_that_the_page_draws():
    line = setting_view(Work(parse_job(ARC)))["lines"][0]
    arc = line["arc"]
    assert arc["radius"] == 400
    feet = [(one["matrix"][4], one["matrix"][5]) for one in line["letters"]]
    middle = len(feet) // 2
    for x, y in (feet[0], feet[middle], feet[-1]):
        # an origin lies beside the letter's foot, on the tangent there: at most half a letter off the circle's point
        assert np.hypot(x - arc["x"], y - arc["y"]) == pytest.approx(400, abs=1.5)


def test_every_groove_has_its_tile_wall_and_letter(work):
    view = groove_view(work, "/tile/{digest}.png")
    assert len(view["grooves"]) == len(work.grooves)
    assert view["grooves"][0]["url"] == f"/tile/{work.grooves[0].placed.outline.digest}.png"
    assert {one["wall"] for one in view["grooves"]} == {60.0}
    assert [key for one in view["grooves"] for key in one["keys"]] == [
        one["key"] for one in letters_of(setting_view(work))
    ]


def test_every_cause_with_a_place_has_one_pin_under_the_lists_number(work):
    pins = groove_view(work, "{digest}")["pins"]
    placed = [cause for cause in work.causes if cause.where.line is not None]
    assert [pin["number"] for pin in pins] == [cause.number for cause in placed]
    assert [len(pin["spots"]) for pin in pins] == [len(cause.spots) for cause in placed]


def test_path_data_of_curves_keeps_quadratics_and_cubics(work):
    data = path_data(work.setting.lines[0].letters[2].placed.outline)
    assert data.startswith("M")
    assert data.endswith("Z")
    assert "Q" in data or "C" in data


def test_the_board_is_told_the_jobs_units_and_the_carvers_own_steps():
    inches = demo_job_text().replace('units = "mm"', 'units = "in"')
    for name, size in (("width", 900), ("height", 260), ("thickness", 28), ("margin", 40), ("cap_height", 60)):
        inches = inches.replace(f"\n{name} = {size}", f'\n{name} = "{size} mm"')
    inches = inches.replace("flat_bottom = 12", 'flat_bottom = "12 mm"').replace(
        "cap_height = 34", 'cap_height = "34 mm"'
    )
    work = Work(parse_job(inches), Shop(screen=Screen(fine_step_mm=0.2, coarse_step_mm=2.0)))
    assert setting_view(work)["figures"] == {"units": "in", "step_fine": 0.2, "step_coarse": 2.0}


def test_letters_of_known_shapes_are_lit_before_their_own_grooves_are_worked_out(work):
    before = groove_view(work, "{digest}")["grooves"]
    text = work.job.text.replace('words = "MARROW LANE"', 'words = "MARRMO"')
    view = setting_view(Work(parse_job(text)))
    lit = known_grooves(before, view)
    first = view["lines"][0]["letters"]
    assert [groove["keys"][0] for groove in lit[:6]] == [letter["key"] for letter in first]
    assert [groove["matrix"] for groove in lit[:6]] == [letter["matrix"] for letter in first]


def test_letters_that_touch_are_one_groove_of_all_of_them():
    text = demo_job_text().replace(
        'words = "MARROW LANE"', 'words = "MARROW LANE"\nshifts = [{ pair = "NE", nth = 1, by = "-9 mm" }]'
    )
    work = Work(parse_job(text))
    keys = [one["keys"] for one in groove_view(work, "/tile/{digest}.png")["grooves"]]
    assert ["1:9", "1:10"] in keys
    assert sorted(key for one in keys for key in one) == sorted(one["key"] for one in letters_of(setting_view(work)))


SMALL = """
format = 1
title = "Small"
[board]
width = 600
height = 200
thickness = 25
[lettering]
face = "{face}"
cap_height = 40
[[line]]
words = "Path"
"""


@pytest.mark.parametrize(
    ("face", "features", "seen"),
    [
        ("Cinzel", "", "PATH"),  # whose small letters are small capitals
        ("Cardo", "", "Path"),
        ("Cardo", '["smcp"]', "PATH"),
        ("Cardo", '["liga"]', "Path"),
    ],
)
def test_letters_are_called_as_they_are_seen_and_named_in_the_file_as_they_are_written(face, features, seen):
    text = SMALL.format(face=face).replace('words = "Path"', 'words = "Path"\nshifts = [{ pair = "th", by = "-9 mm" }]')
    work = Work(parse_job(text + (f"features = {features}\n" if features else "")))
    assert "".join(letter["char"] for letter in letters_of(setting_view(work))) == seen
    gaps = all_gaps(work.setting)
    assert [gap.first_char for gap in gaps] == list(seen[:-1])
    assert [gap.pair for gap in gaps] == ["Pa", "at", "th"]
    assert gaps[-1].shift_mm == pytest.approx(-9)
    (touch,) = [one for one in work.causes if one.code == "touching"]
    assert touch.says.startswith(f"{seen[2]} (line 1, letter 3) and {seen[3]} (line 1, letter 4) touch")
    assert [letter["char"] for letter in measured(work)["lines"][0]["letters"]] == list("Path")
