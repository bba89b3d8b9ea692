"""At the bench: one cut at a time, ticks that wait while the network is away, minutes that correct the estimate."""

from __future__ import annotations

import datetime
import json
import re

import pytest
from job_pages import go_to, new_job
from playwright.sync_api import expect
from workshop import fetched

from stopcut.app.at_bench.steps import bench_steps, mark_of, ways_of
from stopcut.app.bench_section import hours, noted_words, way_words
from stopcut.app.mending_ledge import mending_rows
from stopcut.job.read import parse_job
from stopcut.options.mended import planing, widening
from stopcut.store.values import LoggedMinutes
from stopcut.work import Work


def sent(page, url, text):
    """The status that a page at the bench is answered with."""
    script = """async ([url, body]) =>
        (await fetch(url, {method: "POST", headers: {"Content-Type": "application/json"}, body})).status"""
    return page.evaluate(script, [url, text])


@pytest.fixture(scope="module")
def plan_of():
    made = {}

    def planned(text):
        if text not in made:
            work = Work(parse_job(text))
            made[text] = work, work.plan()
        return made[text]

    return planned


def test_the_page_is_told_every_cut_of_the_plan_in_working_order(plan_of, job_text):
    work, plan = plan_of(job_text)
    steps = bench_steps(work, plan)
    assert [one["mark"] for one in steps["cuts"]] == [mark_of(cut) for cut in plan.cuts]
    assert {one["letter"] for one in steps["cuts"]} == set(steps["letters"])
    assert steps["minutes"]["likely"] == round(plan.minutes.likely)


def test_no_two_cuts_of_a_board_have_one_mark(plan_of, job_text):
    _, plan = plan_of(job_text)
    assert len({mark_of(cut) for cut in plan.cuts}) == len(plan.cuts)


def test_a_tick_stays_with_its_cut_unless_the_job_changes_that_cut(plan_of, job_text):
    _, plan = plan_of(job_text)
    _, same = plan_of(job_text.replace('title = "Plot 7"', 'title = "Plot seven"'))
    _, deeper = plan_of(job_text.replace("cap_height = 40", "cap_height = 41"))
    marks = {mark_of(cut) for cut in plan.cuts}
    assert {mark_of(cut) for cut in same.cuts} == marks
    assert not {mark_of(cut) for cut in deeper.cuts} & marks


@pytest.mark.browser
def test_a_cut_ticked_is_done_for_every_window_and_the_next_one_comes(page, workshop):
    address = new_job(page, workshop, "I")
    go_to(page, "Bench")
    done = page.get_by_role("button", name="Done", exact=True)
    with page.expect_response("**/bench/ticks"):
        done.click()
    expect(page.get_by_text(re.compile(r"^Cut 2 of \d+ · 1 done"))).to_be_visible()
    other = page.context.browser.new_context().new_page()
    other.goto(f"{address}/bench")
    expect(other.get_by_text(re.compile(r"^Cut 2 of \d+ · 1 done"))).to_be_visible()
    other.context.close()


@pytest.mark.browser
def test_ticks_wait_while_the_network_is_away_and_catch_up_after(page, workshop):
    address = new_job(page, workshop, "I")
    go_to(page, "Bench")
    done = page.get_by_role("button", name="Done", exact=True)
    expect(done).to_be_visible()
    page.route("**/bench/ticks", lambda route: route.abort("internetdisconnected"))
    for number in (1, 2, 3):
        done.click()
        expect(page.get_by_text(re.compile(rf"· {number} done"))).to_be_visible()
    expect(page.get_by_text("3 not sent yet", exact=False)).to_be_visible()
    page.unroute("**/bench/ticks")
    expect(page.get_by_text("not sent yet", exact=False)).to_have_count(0)
    other = page.context.browser.new_context().new_page()
    other.goto(f"{address}/bench")
    expect(other.get_by_text(re.compile(r"^Cut 4 of \d+ · 3 done"))).to_be_visible()
    other.context.close()
    page.said_wrong.clear()


@pytest.mark.browser
def test_a_letter_timed_twice_as_long_as_reckoned_lengthens_the_estimate(page, workshop):
    new_job(page, workshop, "I")
    go_to(page, "Bench")
    expect(page.get_by_role("button", name="Time this letter")).to_be_visible()
    address = page.url.rsplit("/", 1)[0]
    asked = f"{address}/bench/1/cuts.json"
    before = json.loads(fetched(page, asked))
    letter, facts = next(iter(before["letters"].items()))
    timed = [
        {"what": "minutes", "id": f"{n:024x}", "letter": letter, "reckoned": facts["reckoned"],
         "taken": 2 * facts["reckoned"], "at_ms": 1_790_000_000_000}
        for n in range(6)
    ]  # fmt: skip
    assert sent(page, f"{address}/bench/minutes", json.dumps(timed)) == 204
    assert sent(page, f"{address}/bench/minutes", json.dumps(timed)) == 204  # sent again: the same six
    after = json.loads(fetched(page, asked))
    assert 1.5 < after["minutes"]["likely"] / before["minutes"]["likely"] < 2.0


@pytest.mark.browser
def test_what_no_page_at_the_bench_sends_is_turned_away(page, workshop):
    new_job(page, workshop, "I")
    address = page.url.rsplit("/", 1)[0]
    wrong = [
        "[]]",
        '[{"what": "tick"}]',
        '[{"what": "tick", "id": "../../x", "mark": "1", "done": true, "at_ms": 1}]',
        "{}",
    ]
    for text in wrong:
        assert sent(page, f"{address}/bench/ticks", text) == 422
    page.said_wrong.clear()


def test_every_order_is_reckoned_as_the_plan_of_that_order_is(plan_of, job_text):
    work, plan = plan_of(job_text)
    ways = ways_of(work, plan)
    for way in ("middle", "stroke", "reading"):
        own = work.plan(way)
        assert ways[way]["pick_ups"] == own.pick_ups[way]
        assert ways[way]["likely"] == round(own.minutes.likely)


def test_a_spot_where_slicing_turns_is_marked_and_said_at_both_its_cuts(plan_of, job_text):
    work, plan = plan_of(job_text)
    steps = bench_steps(work, plan)
    assert plan.turns, "no wall of this board turns against the fibres"
    assert sum(len(letter["turns"]) for letter in steps["letters"].values()) == len(plan.turns)
    said = {cut.id for cut, step in zip(plan.cuts, steps["cuts"], strict=True) if step["turns"]}
    assert said == {cut_id for turn in plan.turns for cut_id in turn.cuts}


def test_minutes_are_said_as_hours_and_an_order_by_its_pick_ups():
    assert way_words({"pick_ups": 42, "likely": 205}) == "42 pick-ups, about 3 h 25"
    assert hours(59) == "59 min"


def test_timed_letters_are_listed_the_newest_first():
    now = datetime.datetime(2027, 3, 4, 12, tzinfo=datetime.UTC)
    noted = [LoggedMinutes(f"{n}", 1, n, 10, 10 + n, now + datetime.timedelta(hours=n)) for n in (1, 3, 2)]
    said = noted_words(noted, {"1:3": {"name": "R, letter 3 of line 1"}})
    assert [one.split(",")[0] for one in said] == ["R", "letter 2 of line 1: 12 min", "letter 1 of line 1: 11 min"]


def test_mending_says_what_the_command_line_says(plan_of, job_text):
    work, _ = plan_of(job_text)
    wider = mending_rows(widening(work, 1, 2, 0.5), "mm")
    assert wider["Every stroke wider by"] == "0.5 mm"
    # walls of 60°: a stroke 0.5 mm wider is 0.25·tan 60° deeper
    assert wider["Deepest then"].endswith("(0.4 mm more)")
    flatter = mending_rows(planing(work, 1.0), "mm")
    assert flatter["Board left"] == "21 mm"
    assert flatter["Every stroke narrower by"] == "1.2 mm"  # 2/tan 60°


@pytest.mark.browser
def test_a_slip_is_reckoned_first_and_mended_when_the_carver_says_so(page, workshop):
    address = new_job(page, workshop, "I")
    go_to(page, "Bench")
    expect(page.get_by_role("button", name="Done", exact=True)).to_be_visible()
    field = page.get_by_role("textbox", name="Or widen this letter by")
    field.fill("0.5 mm")
    field.press("Enter")
    mend = page.get_by_role("button", name="Widen I so")
    expect(mend).to_be_visible()
    assert not re.search("(?m)^widen", fetched(page, f"{address}/job.toml"))
    mend.click()
    expect(mend).to_be_hidden()
    assert re.search('(?m)^widen = .*"I".*0.5', fetched(page, f"{address}/job.toml"))
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_role("button", name="Redo")).to_be_enabled()
    assert not re.search("(?m)^widen", fetched(page, f"{address}/job.toml"))


@pytest.mark.browser
def test_all_three_orders_are_weighed_beside_their_choice(page, workshop):
    new_job(page, workshop, "I")
    go_to(page, "Bench")
    for order in ("middle letter first", "stroke by stroke across the line", "as it is read"):
        expect(page.locator(".ways-figures")).to_contain_text(order)
    expect(page.locator(".ways-figures dd")).to_have_count(3)
    expect(page.get_by_role("img", name="You are at I, letter 1 of line 1")).to_be_visible()
