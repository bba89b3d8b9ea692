"""Jobs, and what is kept beside them, are the same after a restart, in a file and in a PostgreSQL database alike."""

from __future__ import annotations

import datetime

import pytest

from stopcut.job.edits import AddTable, At, Refused, SetKey, digest
from stopcut.job.new import demo_job_text
from stopcut.store import Store, open_store
from stopcut.store.values import BenchChoice, LearnerEntry, LoggedMinutes, NoSuchJob, Tick, Yes

pytest_plugins = ["stores"]

DEMO = demo_job_text()
NOON = datetime.datetime(2027, 3, 4, 12, 0, tzinfo=datetime.UTC)


def set_width(value: float) -> SetKey:
    return SetKey(At("board"), "width", value)


def test_a_job_is_there_after_a_restart(store_url: str) -> None:
    with open_store(store_url) as store:
        entry = store.new(DEMO, "tablet")
    with open_store(store_url) as store:
        assert store.job(entry.id) == entry
        assert store.jobs() == (entry,)
        assert entry.title == "Marrow Lane gate board"
        assert entry.text == DEMO
        assert entry.changed_at.tzinfo == datetime.UTC
        assert store.notices == ()


def test_the_job_changed_last_comes_first(store: Store) -> None:
    first, second = store.new(DEMO, "tablet"), store.new(DEMO, "tablet")
    assert [entry.id for entry in store.jobs()] == [second.id, first.id]
    store.edit(first.id, set_width(700), "tablet")
    assert [entry.id for entry in store.jobs()] == [first.id, second.id]


def test_a_lists_title_is_the_texts_own(store: Store) -> None:
    job_id = store.new(DEMO, "tablet").id
    store.edit(job_id, SetKey(At(), "title", "Plot 7"), "tablet")
    assert [(entry.title, entry.number) for entry in store.jobs()] == [("Plot 7", 2)]
    store.undo(job_id, "tablet")
    assert store.jobs()[0].title == "Marrow Lane gate board"


def test_a_copy_has_its_own_title_and_goes_its_own_way(store: Store) -> None:
    job_id = store.new(DEMO, "tablet").id
    store.edit(job_id, set_width(700), "tablet")
    copy = store.duplicate(job_id, "tablet")
    named = store.duplicate(job_id, "tablet", title="Plot 7")
    assert (copy.title, named.title) == ("Marrow Lane gate board, copy", "Plot 7")
    store.edit(copy.id, set_width(600), "tablet")
    assert "width = 700" in store.job(job_id).text
    assert store.head(named.id, "tablet").number == 1


def test_an_archived_job_is_out_of_the_list_and_comes_back(store: Store) -> None:
    job_id = store.new(DEMO, "tablet").id
    store.archive(job_id, True)
    assert store.jobs() == ()
    assert [entry.archived for entry in store.jobs(archived=True)] == [True]
    store.archive(job_id, False)
    assert [entry.id for entry in store.jobs()] == [job_id]


def test_every_revision_can_be_read_again(store: Store) -> None:
    job_id = store.new(DEMO, "tablet").id
    for value in (700, 800):
        store.edit(job_id, set_width(value), "tablet", "drag")
    latest, former = store.revisions(job_id, newest=2)
    assert (latest.number, latest.kind, latest.window, latest.gesture) == (3, "edit", "tablet", "drag")
    assert latest.edits == (set_width(800),)
    assert former.number == 2
    assert store.text_at(job_id, 1) == DEMO
    assert "width = 700" in store.text_at(job_id, 2)


def test_a_wrong_job_may_be_kept_to_be_mended_but_no_text_that_cannot_be_read(store: Store) -> None:
    assert store.new('title = "Plot 7"\n', "tablet").title == "Plot 7"
    with pytest.raises(Refused):
        store.new("width = = 5", "tablet")


def test_what_is_not_there_is_said_so(store: Store) -> None:
    job_id = store.new(DEMO, "tablet").id
    for asked in (
        lambda: store.job("none"),
        lambda: store.head("none", "tablet"),
        lambda: store.edit("none", set_width(700), "tablet"),
        lambda: store.undo("none", "tablet"),
        lambda: store.revisions("none"),
        lambda: store.text_at(job_id, 2),
        lambda: store.message("none"),
        lambda: store.say_yes(job_id, 2, "the society", NOON),
        lambda: store.tick("none", [Tick("a", "1", True, 1)]),
        lambda: store.class_list("none"),
        lambda: store.new(DEMO, "tablet", class_list="none"),
    ):
        with pytest.raises(NoSuchJob):
            asked()


@pytest.mark.parametrize("text", ["a\x00b", "half a \ud83d pair"])
def test_what_no_database_keeps_to_the_letter_is_refused_by_both(store: Store, text: str) -> None:
    job_id = store.new(DEMO, "tablet").id
    for asked in (
        lambda: store.set_message(job_id, text),
        lambda: store.edit(job_id, set_width(700), text),
        lambda: store.edit(job_id, set_width(700), "tablet", text),
        lambda: store.edit(job_id, AddTable.line(1, text), "tablet"),
        lambda: store.new_class(text, DEMO),
    ):
        with pytest.raises(Refused):
            asked()
    assert store.head(job_id, "tablet").number == 1


def test_the_clients_message_is_kept_word_for_word(store_url: str) -> None:
    words = "“Marrow Lane”,\r\n  est. 1921 \t– naïve 😀\n\n"
    with open_store(store_url) as store:
        job_id = store.new(DEMO, "tablet").id
        assert store.message(job_id) == ""
        store.set_message(job_id, "first")
        store.set_message(job_id, words)
    with open_store(store_url) as store:
        assert store.message(job_id) == words


def test_a_yes_is_stale_while_the_text_is_another(store: Store) -> None:
    job_id = store.new(DEMO, "tablet").id
    assert store.yes(job_id) is None
    store.edit(job_id, set_width(700), "tablet")
    at = NOON.astimezone(datetime.timezone(datetime.timedelta(hours=2)))
    store.say_yes(job_id, 2, "the society's secretary", at)
    said = Yes(2, digest(store.job(job_id).text), "the society's secretary", NOON, False)
    assert store.yes(job_id) == said
    store.edit(job_id, set_width(800), "bench")
    changed = store.yes(job_id)
    assert changed is not None
    assert changed.stale
    store.undo(job_id, "bench")
    assert store.yes(job_id) == said


def test_a_yes_to_an_earlier_revision_is_stale_at_once(store: Store) -> None:
    job_id = store.new(DEMO, "tablet").id
    store.edit(job_id, set_width(700), "tablet")
    store.say_yes(job_id, 1, "the society", NOON)
    said = store.yes(job_id)
    assert said is not None
    assert said.stale


def test_minutes_logged_twice_count_once(store: Store) -> None:
    first, second = store.new(DEMO, "tablet").id, store.new(DEMO, "tablet").id
    later = NOON + datetime.timedelta(minutes=20)
    store.log_minutes(first, LoggedMinutes("b", 1, 2, 9.5, 12.25, later))
    for _ in range(2):
        store.log_minutes(first, LoggedMinutes("a", 1, 1, 8.0, 10.0, NOON))
    store.log_minutes(second, LoggedMinutes("a", 2, 1, 3.0, 2.0, NOON))
    assert [logged.id for logged in store.logged_minutes(first)] == ["a", "b"]
    assert store.logged_minutes(second) == (LoggedMinutes("a", 2, 1, 3.0, 2.0, NOON, second),)
    assert len(store.logged_minutes()) == 3


def test_minutes_timed_wrongly_are_taken_out(store: Store) -> None:
    job = store.new(DEMO, "tablet")
    for id, taken in (("a", 30.0), ("b", 300.0)):
        store.log_minutes(job.id, LoggedMinutes(id, 1, 1, 25.0, taken, NOON))
    store.forget_minutes(job.id, "b")
    store.forget_minutes(job.id, "b")
    assert [one.id for one in store.logged_minutes(job.id)] == ["a"]


@pytest.mark.parametrize("minutes", [0.0, -1.0, float("nan"), float("inf")])
def test_minutes_that_are_none_are_refused(store: Store, minutes: float) -> None:
    job_id = store.new(DEMO, "tablet").id
    with pytest.raises(Refused):
        store.log_minutes(job_id, LoggedMinutes("a", 1, 1, 1.0, minutes, NOON))
    with pytest.raises(Refused):
        store.log_minutes(job_id, LoggedMinutes("a", 1, 1, 1.0, 1.0, NOON.replace(tzinfo=None)))


def test_ticks_that_come_late_or_twice_do_not_undo_later_ones(store: Store) -> None:
    job_id = store.new(DEMO, "tablet").id
    now_ms = 1_800_000_000_000
    store.tick(job_id, [Tick("a", "1:1:stop", True, now_ms)])
    store.tick(job_id, [Tick("b", "1:1:wall", True, now_ms + 5)])
    store.tick(job_id, [Tick("c", "1:1:wall", False, now_ms + 9)])
    assert store.ticked(job_id) == {"1:1:stop"}
    store.tick(job_id, [Tick("d", "1:1:wall", True, now_ms + 7)])  # had waited for the network
    store.tick(job_id, [Tick("e", "1:1:stop", False, now_ms - 1)])
    store.tick(job_id, [Tick("b", "1:1:wall", True, now_ms + 20)])  # sent again: it is the tick already known
    assert store.ticked(job_id) == {"1:1:stop"}


def test_a_timed_letter_is_done_while_each_of_its_steps_is_ticked(store: Store) -> None:
    job_id = store.new(DEMO, "tablet").id
    store.log_minutes(job_id, LoggedMinutes("new", 1, 3, 14.0, 15.0, NOON, steps=("stop", "pare")))
    store.log_minutes(job_id, LoggedMinutes("old", 1, 4, 36.0, 15.0, NOON))  # as an earlier version timed it

    def done() -> set[str]:
        return {one.id for one in store.logged_minutes() if one.done}

    store.tick(job_id, [Tick("a", "stop", True, 1)])
    assert done() == set()
    store.tick(job_id, [Tick("b", "pare", True, 2)])
    assert done() == {"new"}
    store.tick(job_id, [Tick("c", "pare", False, 3)])
    assert done() == set()


def test_what_a_carver_says_of_a_timed_letter_is_kept(store: Store) -> None:
    job_id = store.new(DEMO, "tablet").id
    store.log_minutes(job_id, LoggedMinutes("a", 1, 3, 14.0, 1.0, NOON, steps=("stop",)))
    assert [one.counts for one in store.logged_minutes(job_id)] == ["judged"]
    store.count_minutes(job_id, "a", "no")
    store.count_minutes(job_id, "taken out meanwhile", "yes")
    assert [one.counts for one in store.logged_minutes(job_id)] == ["no"]


def test_ticks_are_kept_together_or_not_at_all(store: Store) -> None:
    job_id = store.new(DEMO, "tablet").id
    with pytest.raises(Refused):
        store.tick(job_id, [Tick("a", "stop", True, 1), Tick("b", "pa\x00re", True, 2)])
    assert store.ticked(job_id) == frozenset()
    store.tick(job_id, [Tick("a", "stop", True, 1), Tick("a", "stop", False, 2)])  # one id is one tick
    assert store.ticked(job_id) == {"stop"}


def test_how_a_job_is_worked_at_the_bench_is_kept_job_by_job(store: Store) -> None:
    first, second = store.new(DEMO, "tablet").id, store.new(DEMO, "tablet").id
    assert store.bench_choice(first) == BenchChoice()
    chosen = BenchChoice("easy", "tools", "daily", ("chisel 20", "fishtail 5"))
    store.set_bench_choice(first, BenchChoice("reading"))
    store.set_bench_choice(first, chosen)
    assert store.bench_choice(first) == chosen
    assert store.bench_choice(second) == BenchChoice()


def test_a_class_has_its_board_and_its_learners_in_order(store_url: str) -> None:
    with open_store(store_url) as store:
        began = store.new_class("Tuesday evenings", DEMO, "tablet")
        ann = store.add_learner(began.id, LearnerEntry("", "Ann", "ANN", "first board", "left"))
        bea = store.add_learner(began.id, LearnerEntry("", "Bea", "BEATRICE"))
        store.add_learner(began.id, ann)
        store.change_learner(began.id, LearnerEntry(ann.id, "Ann", "ANNE", "practised", "left"))
    with open_store(store_url) as store:
        (kept,) = store.class_lists()
        assert kept == store.class_list(began.id)
        assert (kept.title, kept.job_id) == ("Tuesday evenings", began.job_id)
        assert kept.learners == (LearnerEntry(ann.id, "Ann", "ANNE", "practised", "left"), bea)
        assert store.job(kept.job_id).class_list == kept.id
        own = store.new(DEMO, "tablet", class_list=kept.id)
        assert store.class_list(kept.id).job_id == began.job_id
        assert own.class_list == kept.id
        store.remove_learner(kept.id, ann.id)
        store.rename_class(kept.id, "Wednesdays")
        assert store.class_list(kept.id).learners == (bea,)
        assert store.class_list(kept.id).title == "Wednesdays"


def test_a_learner_taken_out_is_not_changed_and_a_hand_is_right_or_left(store: Store) -> None:
    class_id = store.new_class("Tuesdays", DEMO).id
    ann = store.add_learner(class_id, LearnerEntry("", "Ann", "ANN"))
    store.remove_learner(class_id, ann.id)
    with pytest.raises(NoSuchJob):
        store.change_learner(class_id, ann)
    with pytest.raises(Refused):
        store.add_learner(class_id, LearnerEntry("", "Bea", "BEA", "", "both"))  # type: ignore[arg-type]


def test_edits_of_one_movement_are_all_made_or_none_and_taken_back_together(store: Store) -> None:
    job = store.new(DEMO, "tablet")
    head = store.edits(job.id, [set_width(700), SetKey(At("board"), "height", 200)], "tablet", "drag-1")
    assert "width = 700" in head.text
    assert "height = 200" in head.text
    with pytest.raises(Refused):
        store.edits(job.id, [set_width(600), SetKey(At("board"), "height", "28 stone")], "tablet", "drag-2")
    assert store.head(job.id, "tablet").text == head.text
    assert store.undo(job.id, "tablet").text == DEMO
