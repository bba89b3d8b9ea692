"""At the bench: one step at a time, ticks that wait while the network is away, minutes that correct the estimate."""

from __future__ import annotations

import json
import re
from urllib.parse import parse_qs

import pytest
from job_pages import go_to, new_job
from playwright.sync_api import expect
from workshop import fetched, soon

from stopcut.app.at_bench.asked import PlanAsked
from stopcut.app.at_bench.page_steps import bench_steps, mark_of, ways_of
from stopcut.app.bench_section import way_words
from stopcut.app.mending_ledge import mending_rows
from stopcut.app.wording import hours
from stopcut.job.read import parse_job
from stopcut.options.mended import planing, widening
from stopcut.store import open_store
from stopcut.store.values import BenchChoice, Tick
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


def marks(plan):
    by_id = {cut.id: cut for cut in plan.cuts}
    return [mark_of(step, [by_id[one] for one in step.cuts]) for step in plan.steps]


def test_the_page_is_told_every_step_of_the_plan_in_working_order(plan_of, job_text):
    work, plan = plan_of(job_text)
    told = bench_steps(work, plan)
    assert [one["mark"] for one in told["steps"]] == marks(plan)
    assert [one["says"] for one in told["steps"]] == [step.says for step in plan.steps]
    assert {one["letter"] for one in told["steps"]} == set(told["letters"])
    assert told["minutes"]["likely"] == round(plan.minutes.likely)
    lines = sum(len(cut.lines) for cut in plan.cuts)
    assert sum(len(one["lines"]) for one in told["steps"]) == lines
    assert all(len(one["slices"]) == len(one["lines"]) for one in told["steps"])


def test_no_two_steps_of_a_board_have_one_mark(plan_of, job_text):
    _, plan = plan_of(job_text)
    assert len(set(marks(plan))) == len(plan.steps)


def test_a_tick_stays_with_its_step_unless_the_job_changes_that_step(plan_of, job_text):
    _, plan = plan_of(job_text)
    _, same = plan_of(job_text.replace('title = "Plot 7"', 'title = "Plot seven"'))
    _, larger = plan_of(job_text.replace("cap_height = 40", "cap_height = 41"))
    assert set(marks(same)) == set(marks(plan))
    assert not set(marks(larger)) & set(marks(plan))


def test_what_is_done_stays_done_in_another_order_and_where_other_tools_leave_the_step_as_it_was(plan_of, job_text):
    work, plan = plan_of(job_text)
    assert set(marks(work.plan("reading"))) == set(marks(plan))
    held = {step.tool.name for step in plan.steps}
    fewer = work.plan(only=sorted(held)[:-1])
    gone = set(marks(plan)) - set(marks(fewer))
    left_out = sorted(held)[-1]
    assert set(marks(plan)) & set(marks(fewer))
    assert {mark for mark, step in zip(marks(plan), plan.steps, strict=True) if step.tool.name == left_out} <= gone


def test_a_step_says_its_passes_its_length_and_how_often_the_edge_is_set_down(plan_of, job_text):
    work, plan = plan_of(job_text)
    for step, told in zip(plan.steps, bench_steps(work, plan)["steps"], strict=True):
        figures = told["figures"]
        depth = next(value for label, value in figures.items() if label.startswith("Depth"))
        assert len(depth.split(", ")) == max(len(step.passes), 1)
        assert any(label.startswith("Length") for label in figures)
        assert ("Set the edge down" in figures) == (step.verb in ("stop", "roll"))
        assert all(re.search(r" mm|°|times|once|either way", value) for value in figures.values()), figures


def test_an_address_says_what_is_asked_and_the_store_keeps_it():
    asked = PlanAsked("easy", "tools", "daily", ("gouge 10, flat", "the old & bold one"))
    said = parse_qs(asked.query, keep_blank_values=True)
    assert (said["order"], said["within"], said["skill"]) == (["easy"], ["tools"], ["daily"])
    assert PlanAsked.tools_of(said["only"]) == asked.only
    assert PlanAsked.tools_of(parse_qs(PlanAsked(only=()).query, keep_blank_values=True)["only"]) == ()
    assert PlanAsked.tools_of(parse_qs(PlanAsked().query).get("only", [])) is None
    assert PlanAsked.of(asked.kept) == asked
    assert PlanAsked.of(BenchChoice("by the moon", "strokes", "asleep")) == PlanAsked()


def store_of(workshop):
    return open_store(f"sqlite:///{workshop.home / 'workshop.db'}")


def told_steps(page, address, query=""):
    return json.loads(fetched(page, f"{address}/bench/1/steps.json{query}"))


def done_press(page):
    return page.get_by_role("button", name="Done", exact=True)


def steps_done(page, count):
    expect(page.get_by_text(re.compile(rf"^{count} of \d+ steps done"))).to_be_visible()


@pytest.mark.browser
def test_a_step_ticked_is_done_for_every_window_and_the_next_one_comes(page, workshop):
    address = new_job(page, workshop, "I")
    go_to(page, "Bench")
    with page.expect_response("**/bench/ticks"):
        done_press(page).click()
    expect(page.get_by_text(re.compile(r"^Step 2 of \d+ · I, letter 1 of line 1"))).to_be_visible()
    other = page.context.browser.new_context().new_page()
    other.goto(f"{address}/bench")
    expect(other.get_by_text(re.compile(r"^Step 2 of \d+"))).to_be_visible()
    steps_done(other, 1)
    other.context.close()


@pytest.mark.browser
def test_the_whole_letter_is_one_press_and_can_be_taken_back(page, workshop):
    address = new_job(page, workshop, "IL")
    go_to(page, "Bench")
    done_press(page).click()
    own = page.get_by_role("list", name=re.compile("^Steps of")).get_by_role("listitem")
    count = own.count()
    first = page.get_by_text(re.compile(r"^Step \d+ of")).inner_text().split(" · ")[1]
    with page.expect_response("**/bench/ticks"):
        page.get_by_role("button", name="Whole letter").click()
    steps_done(page, count)
    expect(page.get_by_text(re.compile(r"^Step 1 of"))).not_to_contain_text(first)
    assert len(told_steps(page, address)["done"]) == count
    with page.expect_response("**/bench/ticks"):
        page.get_by_role("button", name="Take it back").click()
    steps_done(page, 1)
    expect(page.get_by_text(re.compile(r"^Step 2 of"))).to_contain_text(first)
    assert len(told_steps(page, address)["done"]) == 1


@pytest.mark.browser
@pytest.mark.parametrize(("width", "height"), [(1366, 768), (820, 1180), (390, 844)])
def test_the_presses_stay_where_they_are_from_step_to_step(page, workshop, width, height):
    page.set_viewport_size({"width": width, "height": height})
    new_job(page, workshop, "R")
    go_to(page, "Bench")
    steps_done(page, 0)
    said = page.get_by_text(re.compile(r"^Step 1 of \d+")).inner_text()
    count = int(re.findall(r"\d+", said)[1])
    places = set()
    for number in range(1, count + 1):
        expect(page.get_by_text(re.compile(rf"^Step {number} of"))).to_be_visible()
        box = done_press(page).bounding_box()
        places.add((round(box["x"]), round(box["y"])))
        done_press(page).click()
        steps_done(page, number)
    assert len(places) == 1, places
    assert height - 260 < places.pop()[1] < height - 60


@pytest.mark.browser
def test_ticks_of_single_cuts_by_an_older_version_are_passed_over(page, workshop):
    address = new_job(page, workshop, "I")
    with store_of(workshop) as store:
        store.tick(address.rpartition("/")[2], [Tick("ab" * 6, "1.1." + "0" * 18, True, 1)])
    go_to(page, "Bench")
    steps_done(page, 0)
    done_press(page).click()
    steps_done(page, 1)


@pytest.mark.browser
def test_ticks_wait_while_the_network_is_away_and_catch_up_after(page, workshop):
    address = new_job(page, workshop, "I")
    go_to(page, "Bench")
    expect(done_press(page)).to_be_visible()
    page.route("**/bench/ticks", lambda route: route.abort("internetdisconnected"))
    for number in (1, 2, 3):
        done_press(page).click()
        steps_done(page, number)
    expect(page.get_by_text("Network away. Kept here, 3 not sent.", exact=False)).to_be_visible()
    page.reload()  # what waits is on the tablet's disk
    steps_done(page, 3)
    page.unroute("**/bench/ticks")
    expect(page.get_by_text("All sent", exact=False)).to_be_visible()
    other = page.context.browser.new_context().new_page()
    other.goto(f"{address}/bench")
    expect(other.get_by_text(re.compile(r"^Step 4 of \d+"))).to_be_visible()
    other.context.close()
    page.said_wrong.clear()


@pytest.mark.browser
@pytest.mark.parametrize("status", [503, 500, 429, 409, 403])
def test_ticks_that_may_be_taken_later_are_kept(page, workshop, status):
    address = new_job(page, workshop, "I")
    go_to(page, "Bench")
    expect(done_press(page)).to_be_visible()
    page.route("**/bench/ticks", lambda route: route.fulfill(status=status, body="The store is full."))
    with page.expect_response("**/bench/ticks"):
        done_press(page).click()
    expect(page.get_by_text("1 not sent", exact=False)).to_be_visible()
    if status == 503:
        expect(page.get_by_text("The store is full. Kept here, 1 not sent.")).to_be_visible()
    page.unroute("**/bench/ticks")
    expect(page.get_by_text("All sent", exact=False)).to_be_visible()
    assert len(told_steps(page, address)["done"]) == 1
    page.said_wrong.clear()


@pytest.mark.browser
def test_a_tick_that_can_never_be_taken_is_said_and_the_others_are_sent(page, workshop):
    address = new_job(page, workshop, "I")
    go_to(page, "Bench")
    expect(done_press(page)).to_be_visible()
    page.route("**/bench/ticks", lambda route: route.abort("internetdisconnected"))
    for number in (1, 2, 3):
        done_press(page).click()
        steps_done(page, number)
    refused = told_steps(page, address)["steps"][1]["mark"]

    def refuse_one(route):
        if refused in route.request.post_data:
            route.fulfill(status=422, body="There is nothing at this address.")
        else:
            route.continue_()

    page.unroute("**/bench/ticks")
    page.route("**/bench/ticks", refuse_one)
    expect(page.get_by_text("One tick could not be kept", exact=False)).to_be_visible()
    with page.expect_response(lambda answer: "bench/ticks" in answer.url and answer.ok):
        page.evaluate("dispatchEvent(new Event('online'))")
        done_press(page).click()
    soon(lambda: len(told_steps(page, address)["done"]) == 3, "a tick was not kept", page)
    page.said_wrong.clear()


@pytest.mark.browser
def test_a_store_that_is_busy_says_so_and_a_job_that_is_gone_another_thing(page, workshop):
    address = new_job(page, workshop, "I")
    gone = address.rpartition("/")[0] + "/nosuchjob"
    tick = {"what": "tick", "id": "ab" * 6, "mark": "1.1." + "0" * 18, "done": True, "at_ms": 1}
    assert sent(page, f"{gone}/bench/ticks", json.dumps([tick])) == 404
    kept = workshop.home / "workshop.db"
    away = kept.rename(kept.with_suffix(".away"))
    assert sent(page, f"{address}/bench/ticks", json.dumps([tick])) == 503
    away.rename(kept)
    assert sent(page, f"{address}/bench/ticks", json.dumps([tick])) == 204
    page.said_wrong.clear()


def timed(letter, reckoned, taken, number, steps, **more):
    return {"what": "minutes", "id": f"{number:024x}", "letter": letter, "reckoned": reckoned, "taken": taken,
            "at_ms": 1_790_000_000_000 + number, "steps": steps, **more}  # fmt: skip


def ticks(steps, number):
    return [
        {
            "what": "tick",
            "id": f"{number:012x}{n:012x}",
            "mark": mark,
            "done": True,
            "at_ms": 1_790_000_000_000 + number,
        }
        for n, mark in enumerate(steps)
    ]


@pytest.mark.browser
def test_a_timed_letter_changes_the_plan_once_all_its_steps_are_ticked(page, workshop):
    new_job(page, workshop, "I")
    go_to(page, "Bench")
    expect(page.get_by_role("button", name="Time this letter")).to_be_visible()
    address = page.url.rsplit("/", 1)[0]
    before = told_steps(page, address)
    letter, facts = next(iter(before["letters"].items()))
    own = [step["mark"] for step in before["steps"]]
    slow = [timed(letter, facts["reckoned"], 2 * facts["reckoned"], n, own) for n in range(6)]
    for _ in range(2):  # sent again: the same six
        assert sent(page, f"{address}/bench/minutes", json.dumps(slow)) == 204
    assert sent(page, f"{address}/bench/ticks", json.dumps(ticks(own[:-1], 1))) == 204
    assert told_steps(page, address)["minutes"] == before["minutes"]
    assert sent(page, f"{address}/bench/ticks", json.dumps(ticks(own[-1:], 2))) == 204
    after = told_steps(page, address)
    assert 1.5 < after["minutes"]["likely"] / before["minutes"]["likely"] < 2.0
    with store_of(workshop) as store:
        for n in range(6):
            store.forget_minutes(address.rpartition("/")[2], f"{n:024x}")


@pytest.mark.browser
def test_a_letter_stopped_after_a_minute_is_not_counted_unless_the_carver_says_so(page, workshop):
    new_job(page, workshop, "I")
    go_to(page, "Bench")
    expect(done_press(page)).to_be_visible()
    address = page.url.rsplit("/", 1)[0]
    before = told_steps(page, address)
    own = [step["mark"] for step in before["steps"]]
    assert sent(page, f"{address}/bench/ticks", json.dumps(ticks(own, 3))) == 204
    slip = timed("1:1", 14.0, 1.0, 9, own)
    assert sent(page, f"{address}/bench/minutes", json.dumps([slip])) == 204
    assert told_steps(page, address)["minutes"] == before["minutes"]
    page.reload()
    listed = page.get_by_role("list", name="Letters timed")
    expect(listed).to_contain_text("That is one part in 14 of what was expected: not counted.")
    listed.get_by_role("button", name=re.compile("^Count it")).click()
    expect(listed).not_to_contain_text("not counted")
    assert told_steps(page, address)["minutes"]["likely"] < 0.7 * before["minutes"]["likely"]
    listed.get_by_role("button", name=re.compile("^Take out")).click()
    expect(listed).to_contain_text("None yet")
    assert told_steps(page, address)["minutes"] == before["minutes"]


@pytest.mark.browser
def test_the_clock_notes_a_letter_when_its_last_step_is_done_and_asks_about_a_slip(page, workshop):
    page.clock.install()
    new_job(page, workshop, "I")
    go_to(page, "Bench")
    page.get_by_role("button", name="Time this letter").click()
    page.clock.fast_forward(60_000)
    page.get_by_role("button", name="Stop the clock").click()
    expect(page.get_by_role("timer")).to_contain_text("noted once all its steps are done")
    page.get_by_role("button", name="Go on").click()
    page.get_by_role("button", name="Whole letter").click()
    alert = page.get_by_role("alert").filter(has_text="Count it?")
    expect(alert).to_contain_text(re.compile(r"I: 1 min. That is .* of what was worked out."))
    page.get_by_role("button", name="Leave it out").click()
    listed = page.get_by_role("list", name="Letters timed")
    expect(listed).to_contain_text("1 min")
    expect(listed).to_contain_text("Left out")
    page.get_by_role("button", name="Take the time back").click()
    expect(listed).to_contain_text("None yet")


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
    for way in ("middle", "easy", "stroke", "reading"):
        own = work.plan(way)
        assert ways[way]["pick_ups"] == own.pick_ups[way]
        assert ways[way]["likely"] == round(own.minutes.likely)


def test_a_spot_where_slicing_turns_is_marked_and_said_at_both_its_steps(plan_of, job_text):
    work, plan = plan_of(job_text)
    told = bench_steps(work, plan)
    assert plan.turns, "no wall of this board turns against the fibres"
    assert sum(len(letter["turns"]) for letter in told["letters"].values()) == len(plan.turns)
    said = {cut for step, one in zip(plan.steps, told["steps"], strict=True) if one["turns"] for cut in step.cuts}
    assert said >= {cut_id for turn in plan.turns for cut_id in turn.cuts}


def test_minutes_are_said_as_hours_and_an_order_by_its_pick_ups():
    assert way_words({"pick_ups": 42, "likely": 205}) == "42 pick-ups, about 3 h 25"
    assert hours(59) == "59 min"


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
def test_all_orders_are_weighed_beside_their_choice(page, workshop):
    new_job(page, workshop, "I")
    go_to(page, "Bench")
    for order in ("middle letter first", "an easy letter first", "stroke by stroke across the line", "as it is read"):
        expect(page.locator(".ways-figures")).to_contain_text(order)
    expect(page.locator(".ways-figures dd")).to_have_count(4)
    expect(page.get_by_role("img", name="You are at I, letter 1 of line 1")).to_be_visible()


@pytest.mark.browser
def test_the_carver_fixes_the_tools_and_the_choice_is_kept_with_the_job(page, workshop):
    address = new_job(page, workshop, "RI")
    go_to(page, "Bench")
    tools = page.get_by_role("list", name="Tools of the plan")
    page.get_by_role("button", name="Fix these tools").click()
    expect(page.get_by_role("button", name="Have the plan choose")).to_be_visible()
    names = [one.partition(":")[0] for one in tools.get_by_role("listitem").all_inner_texts()]
    page.get_by_label("Another from the roll").select_option("parting tool 6")
    expect(tools).to_contain_text("parting tool 6")
    page.get_by_role("radio", name="fewer tools picked up").check()
    page.get_by_role("radio", name="daily").check()
    wanted = BenchChoice("middle", "tools", "daily", (*names, "parting tool 6"))
    with store_of(workshop) as store:
        soon(lambda: store.bench_choice(address.rpartition("/")[2]) == wanted, "the choice is not kept", page)
    page.reload()
    expect(tools).to_contain_text("parting tool 6: nothing for it to do")
    expect(page.get_by_role("radio", name="daily")).to_be_checked()
    page.get_by_role("button", name="Have the plan choose").click()
    expect(page.get_by_role("button", name="Fix these tools")).to_be_visible()
    expect(tools).not_to_contain_text("parting tool 6")
