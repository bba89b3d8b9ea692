import datetime
from pathlib import Path

import pytest

from stopcut.errors import BadFile
from stopcut.groove.groove import groove
from stopcut.groove.ornament import ornaments, place_ornament
from stopcut.job.job import Board, Job, Ornament
from stopcut.shape.outline import polygon

LEAF = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 80 40">'
    '<path fill-rule="evenodd" '
    'd="M0 20 C20 -10 60 -10 80 20 C60 50 20 50 0 20Z M30 20a10 10 0 1 1 20 0a10 10 0 1 1 -20 0"/></svg>'
)


def _job(folder: Path, *ornaments: Ornament) -> Job:
    board = Board(900, 260, 28, 40, "lime", "width")
    return Job("job.toml", "Marrow Lane", "mm", datetime.date(2027, 3, 4), board, (), ornaments, base_folder=folder)


def test_a_drawing_stands_with_its_centre_where_asked_and_as_wide_as_asked():
    placed = place_ornament(
        Ornament(1, "leaf.svg", 100, 50, 60, 0, "groove"), polygon([(5, 5), (25, 5), (25, 15), (5, 15)])
    )
    box = placed.bounds_mm
    assert (box.left, box.right, box.bottom, box.top) == pytest.approx((70, 130, 35, 65))
    assert (placed.line, placed.index, placed.char) == (0, 0, "leaf")


def test_it_is_turned_anticlockwise_about_its_centre():
    turned = place_ornament(
        Ornament(1, "leaf.svg", 100, 50, 60, 90, "groove"), polygon([(0, 0), (20, 0), (20, 10), (0, 10)])
    )
    box = turned.bounds_mm
    assert (box.width, box.height) == pytest.approx((30, 60))
    assert box.centre == pytest.approx((100, 50))


def test_one_drawing_in_two_places_has_one_outline():
    drawing = polygon([(0, 0), (20, 0), (20, 10), (0, 10)])
    a, b = (place_ornament(Ornament(i, "leaf.svg", 100 * i, 50, 30 * i, 10 * i, "groove"), drawing) for i in (1, 2))
    assert a.outline.digest == b.outline.digest


def test_the_jobs_ornaments_are_read_beside_the_job_and_carve_like_letters(tmp_path):
    (tmp_path / "leaf.svg").write_text(LEAF, encoding="utf-8")
    job = _job(
        tmp_path, Ornament(1, "leaf.svg", 450, 130, 120, 0, "groove"), Ornament(2, "leaf.svg", 100, 100, 50, 0, "none")
    )
    carved, drawn = ornaments(job)
    assert carved.carved
    assert not drawn.carved
    assert [contour.area > 0 for contour in carved.placed.outline.contours].count(False) == 1
    cut = groove(carved.placed, 60)
    assert cut.max_depth_mm > 5
    assert cut.plan_area_mm2 == pytest.approx(carved.placed.on_board.area, rel=1e-3)


def test_an_ornament_that_is_not_there_is_told_of_by_its_path(tmp_path):
    with pytest.raises(BadFile, match=r"marrow\.svg"):
        ornaments(_job(tmp_path, Ornament(1, "marrow.svg", 1, 1, 1, 0, "groove")))


def test_ink_off_the_drawings_page_is_said_and_a_page_that_holds_it_all_says_nothing(tmp_path):
    inside = LEAF.replace("-10", "0").replace("50 20 50", "40 20 40")
    (tmp_path / "leaf.svg").write_text(inside.replace("0 0 80 40", "0 0 40 40"), encoding="utf-8")
    (tmp_path / "whole.svg").write_text(inside, encoding="utf-8")
    cut, whole = ornaments(
        _job(
            tmp_path,
            Ornament(1, "leaf.svg", 450, 130, 120, 0, "groove"),
            Ornament(2, "whole.svg", 100, 100, 50, 0, "groove"),
        )
    )
    assert [finding.says for finding in cut.findings] == [
        "50% of what is drawn in leaf lies off its page and is left out."
    ]
    assert whole.findings == ()
