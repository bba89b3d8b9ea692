"""The board in a real Chromium: what is drawn stands where the figures say, and hands are told true."""

import contextlib
import itertools
import json
import math
import re
import socket
import subprocess
import sys
import urllib.request

import board_pages
import pytest
from board_pages import BoardPage, demo, picture, served_boards, view_of, with_shift, work_of
from hypothesis import given
from hypothesis import strategies as st
from workshop import soon

from stopcut.app.board.events import Chosen, LampMoved, Moved, Nudged, read_event
from stopcut.units import format_length

ARC = """
format = 1
title = "Arch"
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
TALL = """
format = 1
title = "Post"
[board]
width = 150
height = 900
thickness = 25
[lettering]
cap_height = 30
[[line]]
words = "PLOT"
"""
PINS = [
    {"number": 1, "x": 170.0, "y": 176.0, "severity": "stop", "says": "The tip of M is too thin."},
    {"number": 2, "x": 500.0, "y": 88.0, "severity": "look", "says": "A knot is near."},
    {"number": 3, "x": 820.0, "y": 150.0, "severity": "note", "says": "The grain runs out here."},
]
WIDE = {"width": 1280, "height": 860}


@pytest.fixture(scope="module")
def host():
    with served_boards() as address:
        yield address


@pytest.fixture(scope="module")
def wide(browser):
    """What most boards' windows share."""
    context = browser.new_context(viewport=WIDE)
    yield context
    context.close()


@pytest.fixture
def opened(browser, host, wide):
    """Opens boards; nothing that a page finds wrong goes unseen."""
    contexts, boards = [], []

    def open_board(work=None, *, lit=False, context=None, **told):
        if context is not None:
            contexts.append(browser.new_context(**({"viewport": WIDE} | context)))
        boards.append(BoardPage(contexts[-1] if context else wide, host, work or demo(), lamp=lit).open(**told))
        return boards[-1]

    yield open_board
    for board in boards:
        board.page.close()
    for context in contexts:
        context.close()
    for board in boards:
        assert not board.wrong, board.wrong


def drag(board, key, by_px, *, steps=5, drop=True):
    x, y = board.middle(key)
    board.page.mouse.move(x, y)
    board.page.mouse.down()
    board.page.mouse.move(x + by_px, y, steps=steps)
    board.settle()
    if drop:
        board.page.mouse.up()


def stands(board, key, x, within):
    """Wait until this letter's left end is seen there. [px]"""
    soon(lambda: board.box(key)["x"] == pytest.approx(x, abs=within), f"{key} does not come to {x:.1f}", board.page)


def edge(board):
    return board.page.evaluate("() => board.place.edge")


# Where everything stands


@pytest.mark.browser
@pytest.mark.parametrize("text", [None, ARC, TALL])
def test_the_board_is_true_in_proportion_and_never_taller_than_three_fifths_of_the_window(opened, text):
    work = demo() if text is None else work_of(text)
    board = opened(work)
    shown = edge(board)
    asked = work.job.board
    assert shown["width"] / shown["height"] == pytest.approx(asked.width_mm / asked.height_mm, rel=1e-6)
    assert shown["height"] <= 0.6 * WIDE["height"] + 1
    fills = shown["width"] > 0.95 * board.page.evaluate("() => board.root.clientWidth")
    assert fills or shown["height"] > 0.59 * WIDE["height"]


@pytest.mark.browser
def test_every_letter_stands_where_the_figures_say(opened):
    work = demo()
    board = opened(work)
    corner = board.page.evaluate(
        "() => { const { x, y } = board.frame.getBoundingClientRect();"
        " return [x + board.place.edge.left, y + board.place.edge.bottom]; }"
    )
    for line in view_of(work)["lines"]:
        for letter in (one for one in line["letters"] if one["char"].strip()):
            left, bottom, right, top = letter["box"]
            box = board.box(letter["key"])
            seen = [box["x"] - corner[0], corner[1] - box["y"] - box["height"], box["width"], box["height"]]
            wanted = [left, bottom, right - left, top - bottom]
            assert [part / board.scale() for part in seen] == pytest.approx(wanted, abs=0.35)


@pytest.mark.browser
def test_figures_keep_their_size_on_the_screen_however_close_one_looks(opened):
    board = opened()
    heights = "() => [...document.querySelectorAll('.gaps text')].map(one => one.getBoundingClientRect().height)"
    size = "() => parseFloat(getComputedStyle(document.querySelector('.gaps text')).fontSize)"
    before = board.page.evaluate(heights)
    assert board.page.evaluate(size) >= 14
    board.page.evaluate("() => { board.place.zoomAt(4, 500, 150); board.draw(); }")
    board.settle()
    after = board.page.evaluate(heights)
    assert after
    assert max(after) == pytest.approx(max(before), abs=0.5)


@pytest.mark.browser
def test_no_two_figures_of_gaps_cover_each_other(opened):
    board = opened(context={"viewport": {"width": 1000, "height": 700}})
    boxes = board.page.evaluate(
        "() => [...document.querySelectorAll('.gaps text')].map(one => one.getBoundingClientRect())"
        ".map(({ left, right, top, bottom }) => [left, top, right, bottom])"
    )
    assert len(boxes) > 3
    for one, other in itertools.combinations(boxes, 2):
        apart = one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] + 4 or other[3] <= one[1] + 4
        assert apart, (one, other)


@pytest.mark.browser
def test_a_gap_set_by_hand_is_red_and_the_others_are_not(opened):
    board = opened(with_shift("RO", -0.4))
    red = board.page.eval_on_selector_all(".gaps text.by-hand", "all => all.map(one => one.textContent)")
    gaps = [one["gap"] for line in view_of(board.work)["lines"] for one in line["letters"] if one["gap"]]
    assert sorted(red) == sorted(gap["text"] for gap in gaps if gap["by_hand"])


@pytest.mark.browser
def test_on_a_telephone_nothing_is_wider_than_the_window_and_labels_stand_apart(opened):
    board = opened(context={"viewport": {"width": 360, "height": 740}})
    assert board.page.evaluate("() => document.documentElement.scrollWidth") <= 360
    boxes = board.page.evaluate(
        "() => [...document.querySelectorAll('.marks text')].filter(one => getComputedStyle(one).display !== 'none')"
        ".map(one => one.getBoundingClientRect()).map(({ left, right }) => [left, right]).sort((a, b) => a[0] - b[0])"
    )
    assert boxes
    assert all(one[1] < other[0] for one, other in itertools.pairwise(boxes))


# Choosing


@pytest.mark.browser
def test_a_tap_chooses_a_letter_shift_adds_another_and_bare_wood_lets_go(opened):
    board = opened()
    board.page.mouse.click(*board.middle("1:3"))
    board.page.keyboard.down("Shift")
    board.page.mouse.click(*board.middle("1:5"))
    board.page.keyboard.up("Shift")
    shown = edge(board)
    frame = board.page.locator(".frame").bounding_box()
    board.page.mouse.click(frame["x"] + shown["left"] + 6, frame["y"] + shown["top"] + 6)
    assert [one["keys"] for one in board.told("choose")] == [["1:3"], ["1:5", "1:3"], []]


@pytest.mark.browser
def test_a_gaps_figure_chooses_the_two_letters_on_either_side(opened):
    board = opened()
    figure = board.page.locator(".gaps text").first
    box = figure.bounding_box()
    board.page.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    [chosen] = board.told("choose")
    first, second = (int(key.split(":")[1]) for key in chosen["keys"])
    assert first == second + 1


@pytest.mark.browser
def test_keys_go_through_the_letters_in_the_order_of_reading(opened):
    board = opened()
    keys = [one["key"] for line in view_of(board.work)["lines"] for one in line["letters"] if one["char"].strip()]
    board.page.locator(".letter-place").focus()
    for key in ["Home"] + ["ArrowDown"] * (len(keys) - 1):
        board.page.keyboard.press(key)
    assert [one["keys"][0] for one in board.told("choose")] == keys
    board.page.keyboard.press("ArrowUp")
    board.page.keyboard.press("End")
    assert [one["keys"][0] for one in board.told("choose")][-2:] == [keys[-2], keys[-1]]
    active = board.page.locator(".letter-place").get_attribute("aria-activedescendant")
    assert active.endswith(keys[-1])
    assert board.page.locator(f"[id='{active}']").get_attribute("aria-label").startswith("Y, letter")


@pytest.mark.browser
def test_the_board_is_one_stop_on_the_way_through_the_page(opened):
    board = opened()
    board.take(view={"pins": []})
    board.page.keyboard.press("Tab")
    assert board.page.evaluate("() => document.activeElement.getAttribute('role')") == "listbox"
    board.page.keyboard.press("Tab")
    assert not board.page.evaluate("() => board.root.contains(document.activeElement)")


@pytest.mark.browser
def test_the_letter_that_keys_move_has_a_ring_and_not_only_a_colour(opened):
    board = opened()
    ring = "() => document.querySelector('.ring').getAttribute('d')"
    assert not board.page.evaluate(ring)
    board.page.keyboard.press("Tab")
    board.settle()
    assert board.page.evaluate(ring)


# Moving


@pytest.mark.browser
def test_a_drag_is_told_once_at_its_end_in_the_boards_millimetres(opened):
    board = opened()
    drag(board, "1:5", 20, drop=False)
    assert not board.told("move")
    board.page.mouse.up()
    [told] = board.told("move")
    assert told["key"] == "1:5"
    assert told["dx"] == pytest.approx(20 / board.scale(), abs=0.06)


@pytest.mark.browser
def test_a_dragged_letter_stays_where_it_was_put_until_the_answer_comes(opened):
    board = opened()
    before = board.box("1:5")["x"]
    drag(board, "1:5", 20)
    stands(board, "1:5", before + 20, 0.2)
    board.take(view={"pins": []})  # another window's news, not the answer
    board.settle()
    assert board.box("1:5")["x"] == pytest.approx(before + 20, abs=0.2)


@pytest.mark.browser
def test_the_answer_to_a_move_takes_the_place_of_what_the_hand_held(opened):
    board = opened()
    drag(board, "1:5", -9)
    answer = with_shift("RO", board.told("move")[0]["dx"])
    board.take(view=view_of(answer))
    fresh = opened(answer)
    stands(board, "1:5", fresh.box("1:5")["x"], 0.05)
    assert board.page.evaluate("() => board.letters.order.every(({ dx }) => dx === 0)")


@pytest.mark.browser
def test_a_move_that_is_refused_goes_back(opened):
    board = opened()
    before = board.box("1:5")["x"]
    drag(board, "1:5", 20)
    board.take(anew=True)
    stands(board, "1:5", before, 0.05)


@pytest.mark.browser
def test_escape_gives_a_dragged_letter_back_and_nothing_is_told(opened):
    board = opened()
    before = board.box("1:5")["x"]
    drag(board, "1:5", 25, drop=False)
    board.page.keyboard.press("Escape")
    board.page.mouse.up()
    board.settle()
    assert board.box("1:5")["x"] == pytest.approx(before, abs=0.05)
    assert not board.told("move")


@pytest.mark.browser
def test_a_letter_follows_from_the_first_pixel(opened):
    board = opened()
    before = board.box("1:5")["x"]
    drag(board, "1:5", 2, steps=1, drop=False)
    board.settle()
    assert board.box("1:5")["x"] - before == pytest.approx(2, abs=0.5)
    board.page.mouse.up()


@pytest.mark.browser
def test_a_hand_that_shakes_while_it_taps_moves_nothing(opened):
    board = opened()
    drag(board, "1:5", 2, steps=1)
    assert not board.told("move")
    assert [one["keys"] for one in board.told("choose")] == [["1:5"]]


@pytest.mark.browser
@pytest.mark.parametrize("follows", [False, True])
def test_the_letters_after_a_dragged_one_go_with_it_only_when_they_follow(opened, follows):
    board = opened(follows=follows)
    before = {key: board.box(key)["x"] for key in ("1:4", "1:6", "2:1")}
    drag(board, "1:5", 20, drop=False)
    steps = {key: board.box(key)["x"] - before[key] for key in before}
    assert steps == pytest.approx({"1:4": 0, "1:6": 20 if follows else 0, "2:1": 0}, abs=0.2)
    board.page.mouse.up()


@pytest.mark.browser
def test_on_an_arc_a_dragged_letter_keeps_to_the_circle(opened):
    board = opened(work_of(ARC))
    line = view_of(board.work)["lines"][0]
    arc = line["arc"]
    height = "() => { const { matrix } = window; const item = board.letters.items.get('1:2');"
    height += " const m = board.letters.shownMatrix(item); return [m[4], m[5], Math.atan2(m[1], m[0])]; }"
    x0, y0, turn0 = board.page.evaluate(height)
    drag(board, "1:2", 40, drop=False)
    x1, y1, turn1 = board.page.evaluate(height)
    board.page.mouse.up()
    [told] = board.told("move")
    assert math.hypot(x1 - arc["x"], y1 - arc["y"]) == pytest.approx(math.hypot(x0 - arc["x"], y0 - arc["y"]), abs=1e-6)
    assert turn0 - turn1 == pytest.approx(told["dx"] / arc["radius"], abs=1e-3)


@pytest.mark.browser
def test_another_windows_edit_does_not_take_a_letter_from_under_the_finger(opened):
    board = opened()
    drag(board, "1:5", 20, drop=False)
    held = board.box("1:5")["x"]
    other = with_shift("AR", 3)  # the same letter stands elsewhere now
    board.take(view=view_of(other))
    stands(board, "1:5", held, 0.3)
    board.page.mouse.up()
    now = next(one["box"][0] for one in view_of(other)["lines"][0]["letters"] if one["key"] == "1:5")
    was = next(one["box"][0] for one in view_of(demo())["lines"][0]["letters"] if one["key"] == "1:5")
    assert now != pytest.approx(was, abs=0.5)
    assert board.told("move")[0]["dx"] == pytest.approx(20 / board.scale() - (now - was), abs=0.1)


@pytest.mark.browser
def test_figures_beside_a_dragged_letter_are_of_where_it_is_now(opened):
    board = opened()
    gaps = {one["key"]: one["gap"] for one in view_of(board.work)["lines"][0]["letters"]}
    drag(board, "1:5", 20, drop=False)
    dx = board.page.evaluate("() => board.moves.drag.dx")
    red = board.page.eval_on_selector_all(".gaps .by-hand", "all => all.map(one => one.textContent)")
    for gap in (gaps["1:4"]["gap"] + dx, gaps["1:5"]["gap"] - dx):
        assert format_length(gap).removesuffix(" mm") in red
    assert board.page.locator(".readout text").text_content() == f"{format_length(dx)} to the right"
    board.page.mouse.up()


@pytest.mark.browser
def test_arrow_keys_nudge_by_the_fine_step_and_with_shift_by_the_coarse(opened):
    board = opened(chosen=["1:5"])
    board.page.locator(".letter-place").focus()
    before = board.box("1:5")["x"]
    board.page.keyboard.press("ArrowRight")
    board.settle()
    assert board.box("1:5")["x"] - before == pytest.approx(0.1 * board.scale(), abs=0.05)
    board.take(anew=True)
    board.page.keyboard.press("Shift+ArrowLeft")
    told = [(one["key"], one["dir"], one["coarse"]) for one in board.told("nudge")]
    assert told == [("1:5", 1, False), ("1:5", -1, True)]
    assert board.page.locator(".says").text_content().startswith("R to O ")


def wait_for_answers(board):
    """Let the page wait for an answer for ever: it tells what waits after a second, which a busy machine may take."""
    board.page.evaluate(
        "() => { const soon = setTimeout;"
        " window.setTimeout = (done, ms, ...more) => ms < 1000 ? soon(done, ms, ...more) : 0; }"
    )


@pytest.mark.browser
def test_no_nudge_is_lost_when_keys_come_faster_than_answers(opened):
    board = opened(chosen=["1:5"])
    wait_for_answers(board)
    board.page.locator(".letter-place").focus()
    for _ in range(7):
        board.page.keyboard.press("ArrowRight")
    first = board.told("nudge")
    assert [one["dir"] for one in first] == [1]
    board.take(view=view_of(with_shift("RO", 0.1)))
    assert sum(one["dir"] for one in board.told("nudge")) in (1, 2, 7)
    board.page.keyboard.press("ArrowUp")  # going on tells what waits
    assert sum(one["dir"] for one in board.told("nudge") if one["key"] == "1:5") == 7


@pytest.mark.browser
def test_further_nudges_wait_until_nothing_of_the_last_one_is_under_way(opened):
    board = opened(chosen=["1:5"])
    wait_for_answers(board)
    board.page.locator(".letter-place").focus()
    for _ in range(4):
        board.page.keyboard.press("ArrowRight")
    half = view_of(with_shift("RO", 0.1))
    board.take(view={**half, "grooves_state": "coming"})
    assert [one["dir"] for one in board.told("nudge")] == [1]
    board.take(view={"grooves_state": "ready"})
    assert [one["dir"] for one in board.told("nudge")] == [1, 3]


@pytest.mark.browser
def test_a_key_held_down_is_one_gesture_and_the_next_press_another(opened):
    board = opened(chosen=["1:5"])
    board.page.locator(".letter-place").focus()
    board.page.keyboard.down("ArrowRight")
    board.take(anew=True)
    board.page.keyboard.down("ArrowRight")  # repeats
    board.take(anew=True)
    board.page.keyboard.up("ArrowRight")
    board.page.keyboard.press("ArrowRight")
    gestures = [one["gesture"] for one in board.told("nudge")]
    assert gestures[0] == gestures[1] != gestures[2]


@pytest.mark.browser
def test_backspace_asks_for_the_models_place_and_escape_lets_go(opened):
    board = opened(chosen=["1:5"])
    board.page.locator(".letter-place").focus()
    board.page.keyboard.press("Backspace")
    board.page.keyboard.press("Escape")
    assert [(one["name"], one.get("key"), one.get("keys")) for one in board.told()] == [
        ("reset", "1:5", None),
        ("choose", None, []),
    ]


@pytest.mark.browser
def test_letters_that_another_hand_moved_go_there_and_do_not_where_less_motion_is_asked(opened):
    for motion, between in (("no-preference", True), ("reduce", False)):
        board = opened(context={"viewport": WIDE, "reduced_motion": motion})
        far = view_of(with_shift("AR", 6))
        moving = board.page.evaluate(
            "view => { const at = () => board.letters.shownMatrix(board.letters.items.get('1:3'))[4];"
            " const clock = performance.now(); performance.now = () => clock; board.take({ view });"
            " const now = at(); performance.now = () => clock + 60; const midway = at();"
            " performance.now = () => clock + 1000;"
            " return [now, midway, at(), board.letters.items.get('1:3').data.matrix[4]]; }",
            far,
        )
        now, midway, settled, there = moving
        assert (abs(now - there) > 0.5) == between
        assert (abs(midway - there) > 0.05) == between
        assert abs(midway - there) <= abs(now - there)
        assert settled == pytest.approx(there, abs=1e-6)


# Looking closer


def zoom(board):
    return board.page.evaluate("() => board.place.zoom")


@pytest.mark.browser
def test_the_plain_wheel_scrolls_the_page_until_the_board_has_been_touched(opened):
    board = opened()
    board.page.mouse.move(*board.middle("1:5"))
    board.page.mouse.wheel(0, -300)
    board.settle()
    assert zoom(board) == 1
    board.page.keyboard.down("Control")
    board.page.mouse.wheel(0, -60)
    board.page.keyboard.up("Control")
    board.settle()
    assert zoom(board) > 1.2
    board.page.mouse.click(*board.middle("1:5"))
    before = zoom(board)
    board.page.mouse.wheel(0, -100)
    board.settle()
    assert zoom(board) > before


@pytest.mark.browser
def test_what_lies_under_the_pointer_stays_there_as_one_looks_closer(opened):
    board = opened()
    x, y = board.middle("1:5")
    board.page.mouse.click(x, y)
    board.page.mouse.wheel(0, -400)
    board.settle()
    assert zoom(board) > 1.3
    assert board.middle("1:5") == pytest.approx((x, y), abs=1.5)


@pytest.mark.browser
def test_keys_look_closer_and_the_nought_shows_the_whole_board(opened):
    board = opened()
    board.page.locator(".letter-place").focus()
    for _ in range(4):
        board.page.keyboard.press("+")
    board.settle()
    assert zoom(board) == pytest.approx(1.25**4)
    board.page.keyboard.press("-")
    assert zoom(board) == pytest.approx(1.25**3)
    board.page.keyboard.press("0")
    assert zoom(board) == 1
    for _ in range(60):
        board.page.keyboard.press("+")
    assert board.scale() <= 40.001


@pytest.mark.browser
def test_a_double_click_shows_the_whole_board_again(opened):
    board = opened()
    board.page.evaluate("() => { board.place.zoomAt(3, 400, 200); board.draw(); }")
    frame = board.page.locator(".frame").bounding_box()
    board.page.mouse.dblclick(frame["x"] + 300, frame["y"] + 20)
    board.settle()
    assert zoom(board) == 1


@pytest.mark.browser
def test_a_close_board_is_pushed_about_by_its_wood_but_not_out_of_the_frame(opened):
    board = opened(task="none")
    board.page.evaluate("() => { board.place.zoomAt(3, 400, 200); board.draw(); }")
    frame = board.page.locator(".frame").bounding_box()
    start = (frame["x"] + 400, frame["y"] + 14)
    before = edge(board)["left"]
    board.page.mouse.move(*start)
    board.page.mouse.down()
    board.page.mouse.move(start[0] - 60, start[1], steps=4)
    assert edge(board)["left"] == pytest.approx(before - 60, abs=1)
    board.page.mouse.move(start[0] + 5000, start[1], steps=4)
    board.page.mouse.up()
    assert edge(board)["left"] <= 2.001
    assert not board.told("move")


class Fingers:
    """Fingers on a touch screen, as the browser's own protocol has them."""

    def __init__(self, board):
        self.session = board.page.context.new_cdp_session(board.page)

    def put(self, kind, *points):
        touches = [{"x": x, "y": y, "id": at} for at, (x, y) in enumerate(points)]
        self.session.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": touches})


TOUCH = {"viewport": {"width": 820, "height": 1100}, "has_touch": True}


@pytest.mark.browser
def test_a_finger_drags_a_letter_along_its_line(opened):
    board = opened(context=TOUCH)
    fingers = Fingers(board)
    x, y = board.middle("1:5")
    fingers.put("touchStart", (x, y))
    for step in range(1, 7):
        fingers.put("touchMove", (x + 5 * step, y))
    fingers.put("touchEnd")
    [told] = board.told("move")
    assert told["dx"] == pytest.approx(30 / board.scale(), abs=0.06)


@pytest.mark.browser
def test_two_fingers_apart_look_closer_and_drag_no_letter(opened):
    board = opened(context=TOUCH)
    fingers = Fingers(board)
    x, y = board.middle("1:5")
    fingers.put("touchStart", (x, y))
    fingers.put("touchStart", (x, y), (x + 60, y))
    for step in range(1, 7):
        fingers.put("touchMove", (x - 5 * step, y), (x + 60 + 5 * step, y))
    fingers.put("touchEnd")
    board.settle()
    assert zoom(board) == pytest.approx(2, rel=0.1)
    assert not board.told("move")


@pytest.mark.browser
def test_a_finger_along_the_page_scrolls_it_past_the_board(opened):
    board = opened(context={"viewport": {"width": 820, "height": 500}, "has_touch": True})
    fingers = Fingers(board)
    x, y = board.middle("1:5")
    fingers.put("touchStart", (x, y))
    for step in range(1, 9):
        fingers.put("touchMove", (x, y - 12 * step))
    fingers.put("touchEnd")
    board.settle()
    assert board.page.evaluate("() => scrollY") > 20
    assert not board.told("move")


# Looks


@pytest.mark.browser
def test_in_the_mirror_the_first_letter_stands_on_the_right_and_figures_stay_readable(opened):
    board = opened(look=["mirror", "squint"])
    assert board.box("1:1")["x"] > board.box("1:10")["x"]
    board.take(look="mirror")
    board.settle()
    assert board.page.evaluate(
        "() => [...document.querySelectorAll('.gaps text')].every(one => one.getScreenCTM().a > 0)"
    )


@pytest.mark.browser
def test_in_the_mirror_the_right_arrow_still_moves_a_letter_to_the_right_of_the_screen(opened):
    board = opened(look="mirror", chosen=["1:5"])
    board.page.locator(".letter-place").focus()
    before = board.box("1:5")["x"]
    board.page.keyboard.press("Shift+ArrowRight")
    board.settle()
    assert board.box("1:5")["x"] > before
    assert [one["dir"] for one in board.told("nudge")] == [-1]


@pytest.mark.browser
def test_squinting_runs_the_strokes_together_and_hides_every_guide(opened):
    sharp, blurred = (opened(look=look) for look in ("carved", "squint"))
    clip = edge(sharp)
    frame = sharp.page.locator(".frame").bounding_box()
    box = [frame["x"] + clip["left"] + 60, frame["y"] + 60, frame["x"] + clip["right"] - 60, frame["y"] + 300]
    darkest = [picture(one.page).crop(tuple(map(int, box))).convert("L").getextrema()[0] for one in (sharp, blurred)]
    assert darkest[1] > darkest[0] + 20
    hidden = "() => [...document.querySelectorAll('.guides, .pins, .gaps')].map(one => getComputedStyle(one).display)"
    assert set(blurred.page.evaluate(hidden)) == {"none"}


@pytest.mark.browser
def test_without_a_lamp_letters_are_filled_so_that_the_board_can_be_read(opened):
    board = opened()
    x, y = board.middle("1:6")
    box = board.box("1:1")
    shot = picture(board.page).convert("L")
    stem = min(shot.getpixel((int(box["x"] + k), int(y))) for k in range(int(box["width"])))
    wood = shot.getpixel((int(box["x"] - 12), int(y)))
    assert wood - stem > 60
    assert board.page.locator("canvas").count() == 0
    assert x


@pytest.mark.browser
def test_under_the_lamp_the_canvas_shows_the_grooves_and_letters_are_not_filled(opened):
    board = opened(lit=True)
    if not board.page.evaluate("() => board.wood.lit"):
        pytest.skip("this Chromium has no WebGL2")
    board.page.wait_for_function("() => !document.querySelector('.letter.unlit')")
    board.page.evaluate("() => { board.frame.querySelector('svg').style.visibility = 'hidden'; }")
    board.settle()
    box, (_, y) = board.box("1:1"), board.middle("1:1")
    shot = picture(board.page).convert("L")
    row = [shot.getpixel((int(box["x"] + k), int(y))) for k in range(int(box["width"]))]
    assert max(row) - min(row) > 60


@pytest.mark.browser
def test_by_night_labels_and_marks_take_the_pages_inks(opened):
    board = opened(context={"viewport": WIDE, "color_scheme": "dark"})
    fill = "() => getComputedStyle(document.querySelector('.marks text')).fill"
    assert board.page.evaluate(fill) == "rgb(169, 179, 178)"


# Measuring and sections


@pytest.mark.browser
def test_two_taps_measure_in_the_boards_millimetres(opened):
    board = opened(task="measure")
    x, y = board.middle("1:3")
    board.page.mouse.click(x, y)
    board.page.mouse.click(x + 120, y + 50)
    [told] = board.told("measured")
    found = math.hypot(told["x1"] - told["x0"], told["y1"] - told["y0"])
    assert found == pytest.approx(130 / board.scale(), abs=0.01)
    board.settle()
    label = board.page.locator(".measure .label text").last
    assert label.text_content() == format_length(found)
    board.take(measured="4 1/8 in")
    board.settle()
    assert label.text_content() == "4 1/8 in"


@pytest.mark.browser
def test_keys_measure_too(opened):
    board = opened(task="measure")
    board.page.locator(".letter-place").focus()
    board.page.keyboard.press("Shift+ArrowRight")
    board.page.keyboard.press("Enter")
    for _ in range(30):
        board.page.keyboard.press("Shift+ArrowRight")
    board.page.keyboard.press("Enter")
    [told] = board.told("measured")
    assert told["x1"] - told["x0"] == pytest.approx(30)
    assert told["y1"] == told["y0"]
    assert board.page.locator(".says").text_content() == "30 mm"


@pytest.mark.browser
def test_a_section_follows_the_pointer_and_is_not_asked_for_at_every_pixel(opened):
    board = opened(task="section")
    x, y = board.middle("1:3")
    began = board.page.evaluate("() => performance.now()")
    board.page.mouse.move(x - 60, y)
    board.page.mouse.move(x + 60, y, steps=120)
    left, bottom, right, top = next(
        one["box"] for one in view_of(board.work)["lines"][0]["letters"] if one["key"] == "1:3"
    )
    last = pytest.approx((left + right) / 2 + 60 / board.scale(), abs=0.5)
    soon(lambda: (told := board.told("probe")) and told[-1]["x"] == last, "the section stops on the way", board.page)
    probes = board.told("probe")
    took = board.page.evaluate("() => performance.now()") - began
    assert len(probes) <= took / 60 + 2  # one in 60 ms, and where it begins and ends
    assert bottom < probes[-1]["y"] < top


# Pins


@pytest.mark.browser
def test_pins_differ_by_shape_and_say_what_they_are(opened):
    board = opened(view={**view_of(demo()), "pins": PINS})
    shapes = board.page.eval_on_selector_all(".pin .shape", "all => all.map(one => one.getAttribute('d'))")
    assert len(set(shapes)) == len(PINS)
    names = board.page.eval_on_selector_all(".pin", "all => all.map(one => one.getAttribute('aria-label'))")
    assert names[0] == "1. Stops the work: The tip of M is too thin."


@pytest.mark.browser
def test_a_pin_is_pressed_by_hand_and_by_keys(opened):
    board = opened(view={**view_of(demo()), "pins": PINS})
    box = board.page.locator(".pin[data-number='2'] .shape").bounding_box()
    board.page.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    board.page.locator(".pin[data-number='1']").focus()
    board.page.keyboard.press("ArrowRight")
    board.page.keyboard.press("ArrowRight")
    board.page.keyboard.press("Enter")
    assert [one["number"] for one in board.told("pin")] == [2, 3]
    assert not board.told("choose")


@pytest.mark.browser
@pytest.mark.parametrize("motion", ["no-preference", "reduce"])
def test_a_pin_that_is_asked_for_comes_into_view_and_pulses_unless_less_motion_is_asked(opened, motion):
    board = opened(view={**view_of(demo()), "pins": PINS}, context={"viewport": WIDE, "reduced_motion": motion})
    board.page.evaluate("() => { board.place.zoomAt(5, 60, 100); board.draw(); }")
    board.settle()
    pulses = board.page.evaluate(
        "() => { board.showPin(3);"
        " return document.querySelector(\".pin[data-number='3'] .pulse\").getAnimations().length; }"
    )
    board.settle()
    frame, pin = (board.page.locator(one).bounding_box() for one in (".frame", ".pin[data-number='3'] .shape"))
    assert frame["x"] <= pin["x"]
    assert pin["x"] + pin["width"] <= frame["x"] + frame["width"]
    assert pulses == (1 if motion == "no-preference" else 0)


# The lamp's handle

LAMP = {"azimuth": 135, "elevation": 29, "movable": True}


@pytest.mark.browser
def test_only_a_lamp_that_may_be_moved_has_a_handle(opened):
    board = opened(task="none")
    assert not board.page.locator(".lamp .handle").is_visible()
    board.take(lamp=LAMP)
    board.settle()
    assert board.page.locator(".lamp .handle").is_visible()


@pytest.mark.browser
def test_the_lamp_pushed_to_the_right_of_the_board_shines_from_there(opened):
    board = opened(task="none", lamp=LAMP)
    bulb = board.page.locator(".lamp .bulb").bounding_box()
    frame = board.page.locator(".frame").bounding_box()
    assert bulb["y"] < frame["y"] + edge(board)["top"]
    board.page.mouse.move(bulb["x"] + 9, bulb["y"] + 9)
    board.page.mouse.down()
    shown = edge(board)
    board.page.mouse.move(frame["x"] + shown["right"] + 10, frame["y"] + (shown["top"] + shown["bottom"]) / 2, steps=5)
    board.page.mouse.up()

    def east() -> bool:
        return any(min(one["azimuth"], 360 - one["azimuth"]) < 8 for one in board.told("lamp")[-1:])

    soon(east, "the lamp does not follow the hand", board.page)
    last = board.told("lamp")[-1]
    assert last["elevation"] == 29


@pytest.mark.browser
def test_the_lamp_is_turned_and_raised_by_keys(opened):
    board = opened(task="none", lamp=LAMP)
    handle = board.page.locator(".lamp .handle")
    handle.focus()
    board.page.keyboard.press("ArrowRight")
    board.page.keyboard.press("ArrowUp")
    turned = [{"name": "lamp", "azimuth": 130, "elevation": 31}]
    soon(lambda: board.told("lamp")[-1:] == turned, "the lamp does not follow the keys", board.page)
    assert handle.get_attribute("aria-valuetext") == "from the upper left, 31 degrees high"


# Many letters, still boards, and readers of the page


@pytest.mark.browser
def test_of_seven_hundred_letters_only_the_one_that_moved_is_drawn_anew(opened):
    board = opened(view={**view_of(demo()), **many()})
    assert board.page.locator(".letter").count() == 700
    changed = board.page.evaluate(
        "async moved => { const touched = new Set();"
        " const eye = new MutationObserver(all => all.forEach(one => touched.add(one.target)));"
        " eye.observe(board.letters.group, { subtree: true, childList: true, attributes: true });"
        " board.take({ view: { lines: moved } });"
        " for (let k = 0; k < 20; k++) await new Promise(requestAnimationFrame);"
        " eye.disconnect(); return touched.size; }",
        many(moved=7)["lines"],
    )
    assert changed == 1


def many(moved=None):
    """Seven hundred letters in twenty lines, made of one outline."""
    first = view_of(demo())["lines"][0]
    lines = []
    for number in range(1, 21):
        letters = []
        for index in range(1, 36):
            x = 20 + 24.0 * (index - 1) + (0.5 if (number, index) == (1, moved) else 0)
            y = 250 - 12.0 * number
            one = first["letters"][0]
            scale = 0.1
            a, b, c, d, _, _ = one["matrix"]
            letters.append(
                {
                    **one, "key": f"{number}:{index}", "line": number, "index": index, "gap": None,
                    "matrix": [a * scale, b * scale, c * scale, d * scale, x, y], "box": [x, y, x + 8, y + 6],
                }
            )  # fmt: skip
        lines.append({**first, "number": number, "baseline": 250 - 12.0 * number, "cap": 6.0, "letters": letters})
    return {"lines": lines, "grooves": [], "centre": [], "pins": []}


@pytest.mark.browser
def test_a_still_board_is_a_picture_with_a_name_and_tells_nothing(opened):
    board = opened(still=True, figures=False, label="Plot 7, as it is set now")
    board.page.mouse.click(*board.middle("1:3"))
    board.page.keyboard.press("Tab")
    assert not board.page.evaluate("() => board.root.contains(document.activeElement)")
    assert not board.told()
    assert board.page.get_by_role("img", name="Plot 7, as it is set now").count() == 1
    assert board.page.locator(".gaps text:visible").count() == 0


@pytest.mark.browser
def test_a_checker_of_access_finds_no_serious_fault(opened):
    axe = pytest.importorskip("axe_playwright_python.sync_playwright")
    board = opened(view={**view_of(demo()), "pins": PINS}, lamp=LAMP, chosen=["1:5"])
    found = axe.Axe().run(board.page).response["violations"]
    assert not [one["id"] + ": " + one["help"] for one in found if one["impact"] in ("serious", "critical")]


# As an element of a page


@pytest.fixture(scope="module")
def served():
    """The address of a page with the element on it."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = int(probe.getsockname()[1])
    process = subprocess.Popen([sys.executable, board_pages.__file__, str(port)])
    address = f"http://127.0.0.1:{port}"

    def answers() -> bool:
        with contextlib.suppress(OSError), urllib.request.urlopen(address + "/told", timeout=60):
            return True
        return False

    soon(answers, "the page is not served")
    yield address
    process.terminate()
    process.wait()


@pytest.fixture
def window(browser, served):
    context = browser.new_context(viewport=WIDE)
    page = context.new_page()
    wrong = []
    page.on("pageerror", lambda problem: wrong.append(str(problem)))
    page.on("console", lambda said: wrong.append(said.text) if said.type == "error" else None)
    page.goto(served)
    page.wait_for_selector("[data-key='1:5'] path")
    yield page
    context.close()
    assert not wrong, wrong


def told_by(served):
    with urllib.request.urlopen(served + "/told", timeout=60) as answer:
        return json.load(answer)


def place_of(window, key):
    box = window.locator(f"[data-key='{key}'] path").evaluate("one => one.getBoundingClientRect().toJSON()")
    return box["x"], box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


@pytest.mark.browser
def test_a_drag_on_the_page_reaches_the_program_and_its_answer_the_page(window, served):
    before, x, y = place_of(window, "1:5")
    window.mouse.move(x, y)
    window.mouse.down()
    window.mouse.move(x - 15, y, steps=5)
    window.mouse.up()
    soon(
        lambda: told_by(served)[-1:] and told_by(served)[-1].startswith("Moved(key='1:5', dx=-"),
        "nothing is told of it",
        window,
    )
    window.wait_for_function(
        "() => document.querySelector('.gaps text.by-hand') && !document.querySelector('.dragging')"
    )
    soon(lambda: place_of(window, "1:5")[0] == pytest.approx(before - 15, abs=0.6), "it is elsewhere", window)
    said = told_by(served)
    assert said[-2] == "Chosen(keys=('1:5',))"
    assert "an earlier handler" not in said


@pytest.mark.browser
def test_the_program_chooses_letters_and_sets_the_look(window):
    window.get_by_role("button", name="Third").click()
    window.wait_for_selector("[data-key='1:3'].chosen")
    window.get_by_role("button", name="Squint").click()
    window.wait_for_selector(".stopcut-board.squint.mirror")


@pytest.mark.browser
def test_the_same_view_once_more_takes_back_what_nobody_answered(window, served):
    window.get_by_role("button", name="Nothing").click()
    soon(lambda: told_by(served)[-1:] == ["nothing answers now"], "the button is not heard", window)
    before, x, y = place_of(window, "1:3")
    window.mouse.move(x, y)
    window.mouse.down()
    window.mouse.move(x + 15, y, steps=5)
    window.mouse.up()
    soon(lambda: place_of(window, "1:3")[0] == pytest.approx(before + 15, abs=0.6), "it does not follow", window)
    soon(lambda: told_by(served)[-1] == "unanswered", "the move is not heard", window)
    assert place_of(window, "1:3")[0] == pytest.approx(before + 15, abs=0.6)
    window.get_by_role("button", name="As it stands").click()
    soon(lambda: place_of(window, "1:3")[0] == pytest.approx(before, abs=0.1), "it does not go back", window)


# Lengths, as the page writes them


@pytest.mark.browser
def test_the_page_writes_lengths_as_the_rest_of_the_workshop_does(opened):
    board = opened()
    numbers = [k / 160 for k in range(-400, 4000, 7)] + [k * 25.4 / 64 for k in range(-70, 900, 3)] + [0.25, 0.75, 1.05]
    for units in ("mm", "in"):
        written = board.page.evaluate(
            "async ([numbers, units]) => { const { length } = await import('/board/page/lengths.js');"
            " return numbers.map(one => length(one, units)); }",
            [numbers, units],
        )
        assert written == [format_length(one, units) for one in numbers]


# What a browser may tell


def test_what_hands_do_is_read_into_values():
    assert read_event({"what": "choose", "keys": ["1:3"]}) == Chosen(("1:3",))
    assert read_event({"what": "move", "key": "1:3", "dx": 2, "gesture": "a-1"}) == Moved("1:3", 2.0, "a-1")
    told = {"what": "nudge", "key": "1:3", "dir": -4, "coarse": True, "gesture": "a"}
    assert read_event(told) == Nudged("1:3", -4, True, "a")
    assert read_event({"what": "lamp", "azimuth": 135, "elevation": 29.5}) == LampMoved(135.0, 29.5)


@pytest.mark.parametrize(
    "told",
    [
        None, [], {"what": "burn"}, {"what": ["pin"], "number": 1},
        {"what": "choose", "keys": "1:3"}, {"what": "choose", "keys": ["<b>"]},
        {"what": "choose", "keys": ["1:3"] * 5001}, {"what": "move", "key": "1:3", "dx": math.inf, "gesture": "a"},
        {"what": "move", "key": "1:3", "dx": "2", "gesture": "a"}, {"what": "move", "key": "1:3", "dx": 2},
        {"what": "nudge", "key": "1:3", "dir": 0.5, "gesture": "a"}, {"what": "pin", "number": True},
        {"what": "probe", "x": math.nan, "y": 0}, {"what": "lamp", "azimuth": 900, "elevation": 1},
    ],
)  # fmt: skip
def test_what_no_board_tells_is_refused(told):
    with pytest.raises(ValueError, match=re.compile(".+")):
        read_event(told)


@given(st.dictionaries(st.text(), st.one_of(st.floats(), st.text(), st.lists(st.text()), st.none())), st.text())
def test_nothing_a_browser_sends_does_more_than_be_refused(told, what):
    with pytest.raises(ValueError, match=re.compile(".+")):
        read_event({**told, "what": f"{what}!"})
