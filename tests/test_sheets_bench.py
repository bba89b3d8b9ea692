"""The bench sheets, read back by somebody else's PDF reader."""

from __future__ import annotations

import ctypes
import io
import re
from dataclasses import replace
from functools import lru_cache

import numpy as np
import pypdfium2
import pypdfium2.raw as pdfium
import pytest
from sheet_boards import ISSUED

from stopcut.bench.order import Way
from stopcut.bench.planned import Plan, planned
from stopcut.job.read import parse_job
from stopcut.sheets.bench_cover import in_hours, spans
from stopcut.sheets.bench_sheets import bench_sheets_pdf
from stopcut.work import Work

JOB = """\
format = 1
title = "Marrow Lane"
{units}
[board]
width = "240 mm"
height = "90 mm"
thickness = "24 mm"
wood = "{wood}"
margin = "10 mm"

[lettering]
face = "Cinzel"
cap_height = "50 mm"

[[line]]
words = "IRS"
"""


@lru_cache
def made(order: Way = "middle", wood: str = "lime", units: str = "") -> tuple[Work, Plan, bytes]:
    work = Work(parse_job(JOB.format(wood=wood, units=units)))
    plan = planned(work.grooves, order=order)
    return work, plan, bench_sheets_pdf(work, plan, issued=ISSUED)


def pages(pdf: bytes) -> list[str]:
    document = pypdfium2.PdfDocument(io.BytesIO(pdf))
    return [" ".join(page.get_textpage().get_text_range().split()) for page in document]


def test_every_page_has_its_number_the_title_and_the_day() -> None:
    found = pages(made()[2])
    for number, text in enumerate(found, 1):
        assert f"sheet {number} of {len(found)}" in text
        assert "Marrow Lane" in text
        assert "issued 25 November 2026" in text


def test_the_first_page_names_every_tool_the_pick_ups_and_what_to_mind() -> None:
    _, plan, pdf = made()
    first = pages(pdf)[0]
    for use in plan.tools:
        assert f"{use.tool.name} {use.tool.width_mm:g} mm wide" in first
    assert f"picked up {plan.pick_ups['middle']} times" in first
    for caution in ("clamps", "both hands behind", "eye protection", "dust mask", "come before these"):
        assert caution in first


def test_a_wood_that_people_react_to_is_named() -> None:
    assert "Dust of iroko is listed" in pages(made(wood="iroko")[2])[0]
    assert "Dust of lime is listed" not in pages(made()[2])[0]


def test_a_card_s_rows_are_its_letter_s_cuts_in_working_order_each_once() -> None:
    _, plan, pdf = made()
    for key in plan.letters:
        cuts = [cut for cut in plan.cuts if cut.key == key]
        sides = [text for text in pages(pdf) if f"letter {key[1]} of IRS" in text and " × " in text]
        rows = [int(row) for text in sides for row in re.findall(r"(\d+) [a-z ]+ \d+\.\d \d+ ×", text)]
        assert rows == list(range(1, len(cuts) + 1))


def test_every_cut_s_number_stands_on_one_of_the_two_pictures() -> None:
    _, plan, pdf = made()
    for key in plan.letters:
        cuts = [cut for cut in plan.cuts if cut.key == key]
        shown = [text for text in pages(pdf) if f"letter {key[1]} of IRS" in text and "times its size" in text]
        assert len(shown) == 2
        numbers = [re.findall(r"\b\d+\b", re.split("surface|to slice", text)[1].split("drawn")[0]) for text in shown]
        assert sorted(int(one) for found in numbers for one in found) == list(range(1, len(cuts) + 1))
        assert len(numbers[0]) == sum(cut.kind in ("stop", "end") for cut in cuts)


def test_where_the_way_of_slicing_turns_a_diamond_stands_on_the_picture_of_what_is_pared() -> None:
    _, plan, pdf = made()
    assert plan.turns
    shown = {}
    for page, text in zip(pypdfium2.PdfDocument(io.BytesIO(pdf)), pages(pdf), strict=True):
        found = re.search(r"letter (\d) of IRS.* arrows show the way", text)
        if found:
            shown[int(found[1])] = sum(_is_diamond(thing) for thing in page.get_objects())
        else:
            assert not any(_is_diamond(thing) for thing in page.get_objects())
    for letter in (1, 2, 3):
        assert shown[letter] == sum(turn.letter == letter for turn in plan.turns)


def _is_diamond(thing: pypdfium2.PdfObject) -> bool:
    """Whether a path has a diamond's four corners, 4.4 mm from one to its opposite, and is filled."""
    if thing.type != pdfium.FPDF_PAGEOBJ_PATH or pdfium.FPDFPath_CountSegments(thing.raw) not in (4, 5):
        return False
    points = []
    for n in range(4):
        x, y = ctypes.c_float(), ctypes.c_float()
        pdfium.FPDFPathSegment_GetPoint(pdfium.FPDFPath_GetPathSegment(thing.raw, n), x, y)
        points.append((x.value, y.value))
    (top, right, bottom, left) = points
    upright = abs(top[0] - bottom[0]) < 1e-3 and abs(left[1] - right[1]) < 1e-3
    return upright and abs(top[1] - bottom[1] - 4.4) < 1e-2 and abs(right[0] - left[0] - 4.4) < 1e-2


def test_cards_come_in_the_order_that_letters_are_begun() -> None:
    _, plan, pdf = made()
    begun = [int(found[1]) for text in pages(pdf) if (found := re.search(r"letter (\d) of IRS", text))]
    assert list(dict.fromkeys(begun)) == [letter for _, letter in plan.letters] == [2, 3, 1]


def test_stroke_by_stroke_the_rounds_say_which_cuts_each_tool_does() -> None:
    _, plan, pdf = made("stroke")
    text = " ".join(pages(pdf)[:2])
    assert "Rounds" in text
    first = plan.cuts[0]
    assert first.tool is not None
    assert re.search(rf"Rounds.*{first.tool.name} – {first.char} \({first.letter}\): 1", text)
    assert "Rounds" not in " ".join(pages(made()[2])[:2])


def test_a_card_s_type_is_16_points_and_larger_and_its_ink_is_black() -> None:
    document = pypdfium2.PdfDocument(io.BytesIO(made()[2]))
    card = document[1]
    words = card.get_textpage()
    text = words.get_text_range()
    # A character's loose box is as high as its type's size.
    begin, end = text.index("Stab"), text.index("grain")
    heights = [words.get_charbox(n, loose=True) for n in range(begin, end) if not text[n].isspace()]
    assert min(top - bottom for _, bottom, _, top in heights) == pytest.approx(16)
    picture = card.render(scale=1).to_numpy()
    assert int(np.ptp(picture, axis=2).max()) == 0


def test_lengths_are_in_the_job_s_units() -> None:
    work, plan, pdf = made(units='units = "in"')
    assert "lengths in inches" in pages(pdf)[0]
    assert re.search(r"stop cut \d+/\d+", " ".join(pages(pdf)))
    assert work.job.units == "in"
    assert "mm wide" not in pages(pdf)[0]
    assert plan.tools


def test_the_same_plan_and_day_give_the_same_bytes() -> None:
    work, plan, pdf = made()
    assert bench_sheets_pdf(work, plan, issued=ISSUED) == pdf


def test_a_cut_without_a_tool_is_said_to_have_none() -> None:
    work, plan, _ = made()
    lacking = replace(plan, cuts=(replace(plan.cuts[0], tool=None), *plan.cuts[1:]))
    assert "nothing in the roll fits" in " ".join(pages(bench_sheets_pdf(work, lacking, issued=ISSUED)))


def test_where_the_face_will_be_planed_the_card_shows_the_bolder_letter_that_is_cut() -> None:
    text = JOB.format(wood="lime", units="")
    drawn = []
    for job in (text, f"{text}\n[groove]\nface_off = 2\n"):
        work = Work(parse_job(job))
        card = pages(bench_sheets_pdf(work, work.plan("reading"), issued=ISSUED))[-2]
        found = re.search(r"drawn (\d\.\d) times its size", " ".join(card.split()))
        assert found is not None
        drawn.append(float(found[1]))
    # Bolder by 1.2 mm each side: less enlarged to fill the same page.
    assert drawn[1] < drawn[0]


def test_a_board_with_nothing_to_carve_has_a_first_page_that_says_so() -> None:
    work, _, _ = made()
    found = pages(bench_sheets_pdf(work, planned(()), issued=ISSUED))
    assert len(found) == 1
    assert "Nothing on this board is carved" in found[0]


@pytest.mark.parametrize(
    ("minutes", "said"), [(12.4, "12 min"), (89.0, "89 min"), (127.0, "2 h"), (130.0, "2 h 15 min")]
)
def test_long_times_are_told_in_quarters_of_hours(minutes: float, said: str) -> None:
    assert in_hours(minutes) == said


def test_numbers_in_a_row_are_told_as_the_first_and_the_last() -> None:
    assert spans([2, 3, 4, 9, 11, 12]) == "2–4, 9, 11–12"
