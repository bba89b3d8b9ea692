"""The bench sheets, read back by somebody else's PDF reader."""

from __future__ import annotations

import ctypes
import io
import re
from dataclasses import replace

import numpy as np
import pypdfium2
import pypdfium2.raw as pdfium
import pytest
from bench_pages import made, pages
from sheet_boards import ISSUED

from stopcut.bench.planned import planned
from stopcut.sheets.bench_cover import spans
from stopcut.sheets.bench_sheets import bench_sheets_pdf
from stopcut.sheets.letter_cards import Bench, cards_of
from stopcut.sheets.step_words import depth_said


def card_texts(pdf: bytes) -> list[str]:
    return [text for text in pages(pdf) if re.search(r": letters? \d[\d and,]* of IRIS", text)]


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


def test_a_letter_that_stands_twice_has_one_card_of_one_page() -> None:
    cards = card_texts(made()[2])
    assert len(cards) == 3
    assert sum("I: letters 1 and 3 of IRIS" in text for text in cards) == 1


def test_a_card_lists_every_step_in_working_order_with_tool_and_depth() -> None:
    work, plan, pdf = made()
    for card, text in zip(cards_of([Bench(work, plan)]), card_texts(pdf), strict=True):
        at = 0
        for step in card.steps:
            row = f"{step.number} {step.step.says}"
            assert row in text[at:], (row, text)
            at = text.index(row, at)
            assert step.step.tool is not None
            assert step.step.tool.name in text[at:]
            assert any(depth_said(step, "mm", short=short) in text[at:] for short in (True, False))


def test_every_step_s_number_stands_on_its_letter_s_picture() -> None:
    work, plan, pdf = made()
    document = pypdfium2.PdfDocument(io.BytesIO(pdf))
    for card, text in zip(cards_of([Bench(work, plan)]), card_texts(pdf), strict=True):
        page = document[pages(pdf).index(text)]
        assert {step.number for step in card.steps} <= _ringed(page)


def _ringed(page: pypdfium2.PdfPage) -> set[int]:
    """The numbers that stand in a ring: the words in the middle of each filled circle."""
    words, found = page.get_textpage(), set()
    for thing in page.get_objects(filter=[pdfium.FPDF_PAGEOBJ_PATH]):
        left, bottom, right, top = thing.get_bounds()
        width = (right - left) * 25.4 / 72
        if abs(width - 7.9) < 0.1 and abs(right - left - top + bottom) < 0.1:
            said = words.get_text_bounded(left, bottom, right, top).split()
            found |= {int(one) for one in said if one.isdigit()}
    return found


def test_steps_have_a_box_for_each_place_where_the_letter_stands() -> None:
    work, plan, pdf = made()
    document = pypdfium2.PdfDocument(io.BytesIO(pdf))
    for card, text in zip(cards_of([Bench(work, plan)]), card_texts(pdf), strict=True):
        page = document[pages(pdf).index(text)]
        sizes = [thing.get_bounds() for thing in page.get_objects(filter=[pdfium.FPDF_PAGEOBJ_PATH])]
        # 4.6 mm from side to side, and its line of 0.35 mm twice, as this reader bounds what is drawn with a pen
        boxes = [
            one
            for one in sizes
            if abs((one[2] - one[0]) * 25.4 / 72 - 5.3) < 0.05 and abs(one[3] - one[1] - one[2] + one[0]) < 0.1
        ]
        assert len(boxes) == len(card.places) * len(card.steps)


def test_where_the_way_of_slicing_turns_a_diamond_stands_on_the_picture() -> None:
    work, plan, pdf = made()
    cards = cards_of([Bench(work, plan)])
    assert any(card.turns for card in cards)
    document = pypdfium2.PdfDocument(io.BytesIO(pdf))
    for card, text in zip(cards, card_texts(pdf), strict=True):
        shown = sum(_is_diamond(thing) for thing in document[pages(pdf).index(text)].get_objects())
        assert shown == len(card.turns) + bool(card.turns)  # and the legend's


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
    begun = [int(re.findall(r": letters? (\d)", text)[0]) for text in card_texts(pdf)]
    first = {1: 1, 3: 1, 2: 2, 4: 4}  # the two I share the card of the first
    assert begun == list(dict.fromkeys(first[letter] for _, letter in plan.letters))


def test_stroke_by_stroke_the_rounds_say_which_steps_each_tool_does() -> None:
    _, plan, pdf = made("stroke")
    text = " ".join(pages(pdf)[:2])
    assert "Rounds" in text
    first = plan.cuts[0]
    assert first.tool is not None
    assert re.search(rf"Rounds.*{first.tool.name} – {first.char} \({first.letter}\): step 1", text)
    assert "Rounds" not in " ".join(pages(made()[2])[:2])


def test_a_card_s_steps_are_in_16_points_and_its_ink_is_black() -> None:
    document = pypdfium2.PdfDocument(io.BytesIO(made()[2]))
    card = next(
        page for page in document if "1 Stop the stem" in " ".join(page.get_textpage().get_text_range().split())
    )
    words = card.get_textpage()
    text = words.get_text_range()
    begin = text.index("Stop the stem")
    # A character's loose box is as high as its type's size.
    heights = [words.get_charbox(n, loose=True) for n in range(begin, begin + 13) if not text[n].isspace()]
    assert min(top - bottom for _, bottom, _, top in heights) == pytest.approx(16, abs=1e-3)
    picture = card.render(scale=1).to_numpy()
    assert int(np.ptp(picture, axis=2).max()) == 0


def test_a_card_ends_with_what_its_marks_mean_and_says_no_scale_beside_not_to_scale() -> None:
    for text in card_texts(made()[2]):
        assert "stab upright" in text
        assert "slice as arrows point" in text
        assert "times its size" not in text


def test_tools_stand_in_fractions_of_an_inch_beside_mm_on_a_job_in_inches() -> None:
    _, plan, pdf = made(units='units = "in"')
    found = pages(pdf)
    assert "lengths in inches" in found[0]
    assert re.search(r"20 mm \(25/32 in\) wide", found[0])
    assert "chisel 20 (25/32 in)" in " ".join(card_texts(pdf))
    assert re.search(r"Stop the stem .*?\d/\d+ in", " ".join(card_texts(pdf)))
    assert plan.tools


def test_the_same_plan_and_day_give_the_same_bytes() -> None:
    work, plan, pdf = made()
    assert bench_sheets_pdf(work, plan, issued=ISSUED) == pdf


def test_a_step_without_a_tool_is_said_to_have_none() -> None:
    work, plan, _ = made()
    lacking = replace(plan, steps=(replace(plan.steps[0], tool=None), *plan.steps[1:]))
    text = " ".join(pages(bench_sheets_pdf(work, lacking, issued=ISSUED)))
    assert "nothing in the roll fits" in re.sub(r"\s+", " ", text)


def test_a_board_with_nothing_to_carve_has_a_first_page_that_says_so() -> None:
    work, _, _ = made()
    found = pages(bench_sheets_pdf(work, planned(()), issued=ISSUED))
    assert len(found) == 1
    assert "Nothing on this board is carved" in found[0]


def test_numbers_in_a_row_are_told_as_the_first_and_the_last() -> None:
    assert spans([2, 3, 4, 9, 11, 12]) == "2–4, 9, 11–12"
