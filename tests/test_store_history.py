"""Two windows on one job: each takes back its own, nobody loses an edit, and stored edits tell the whole story."""

from __future__ import annotations

import contextlib
import tomllib
from dataclasses import dataclass, field

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from stopcut.job.edits import (
    AddTable,
    At,
    Edit,
    MoveTable,
    Refused,
    RemoveTable,
    ReplaceText,
    SetKey,
    SetShift,
    SetWords,
    apply,
)
from stopcut.job.new import demo_job_text
from stopcut.job.read import parse_job
from stopcut.store import Store, open_store

pytest_plugins = ["stores"]

DEMO = demo_job_text()
FIRST, SECOND = At("line", 1, "MARROW LANE"), At("line", 2, "Allotment Society")
KEYS = {
    "width": (At("board"), "width"),
    "height": (At("board"), "height"),
    "tuck": (At("lettering"), "tuck"),  # not in the demo's text: taken back, it is gone again
    "wall": (At("groove"), "wall"),
}

together = settings(
    max_examples=20, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow]
)


def width(text: str) -> float:
    return float(tomllib.loads(text)["board"]["width"])


def set_width(value: float) -> Edit:
    return SetKey(At("board"), "width", value)


def replay(store: Store, job_id: str) -> None:
    """Every revision's edits give its text from the one before, and its undo gives that back."""
    text = store.text_at(job_id, 1)
    for revision in reversed(store.revisions(job_id, 10_000)[:-1]):
        new = text
        for edit in revision.edits:
            new = apply(edit, new).text
        assert new == store.text_at(job_id, revision.number)
        back = new
        for edit in revision.undo:
            back = apply(edit, back).text
        assert back == text
        text = new
    assert text == store.job(job_id).text


@dataclass
class Told:
    """What two windows should see, by a simple account: for each key who set it and to what, last on top."""

    stacks: dict[str, list[tuple[int, object]]] = field(default_factory=dict)
    steps: dict[str, list[int]] = field(default_factory=lambda: {"tablet": [], "bench": []})
    undone: dict[str, list[tuple[int, dict[str, tuple[list[object], list[object]]]]]] = field(
        default_factory=lambda: {"tablet": [], "bench": []}
    )
    gesture: dict[int, str] = field(default_factory=dict)

    def edited(self, window: str, key: str, value: object, gesture: str) -> None:
        own = self.steps[window]
        if not (gesture and own and self.gesture[own[-1]] == gesture):
            own.append(len(self.gesture))
            self.gesture[own[-1]] = gesture
        self.stacks[key].append((own[-1], value))
        self.undone[window].clear()

    def undo(self, window: str) -> bool:
        """Whether it may be taken back; and if so, take it back."""
        if not self.steps[window]:
            return False
        step = self.steps[window][-1]
        cut = {}
        for key, stack in self.stacks.items():
            count = sum(entry[0] == step for entry in stack)
            if any(entry[0] != step for entry in stack[len(stack) - count :]):
                return False
            if count:
                cut[key] = (stack[: len(stack) - count], stack[len(stack) - count :])
        for key, (left, _) in cut.items():
            self.stacks[key] = list(left)
        self.undone[window].append((self.steps[window].pop(), cut))  # type: ignore[arg-type]
        return True

    def redo(self, window: str) -> bool:
        if not self.undone[window]:
            return False
        step, cut = self.undone[window][-1]
        if any(self.stacks[key] != left for key, (left, _) in cut.items()):
            return False
        for key, (_, gone) in cut.items():
            self.stacks[key] += gone  # type: ignore[arg-type]
        self.undone[window].pop()
        self.steps[window].append(step)
        return True

    def values(self) -> dict[str, object]:
        return {key: stack[-1][1] for key, stack in self.stacks.items()}


def seen(text: str) -> dict[str, object]:
    data = tomllib.loads(text)
    return {key: data[at.table].get(name) for key, (at, name) in KEYS.items()}


windows = st.sampled_from(["tablet", "bench"])
doings = st.one_of(
    st.tuples(windows, st.sampled_from(sorted(KEYS)), st.sampled_from(["", "", "one", "two"])),
    st.tuples(windows, st.just("undo"), st.just("")),
    st.tuples(windows, st.just("redo"), st.just("")),
)


@together
@given(st.lists(doings, max_size=14))
@example([("tablet", "width", ""), ("bench", "height", ""), ("tablet", "undo", ""), ("tablet", "redo", "")])
@example([("tablet", "width", ""), ("bench", "width", ""), ("tablet", "undo", ""), ("bench", "undo", "")])
@example([("tablet", "width", "one"), ("bench", "height", ""), ("tablet", "width", "one"), ("tablet", "undo", "")])
@example(
    [
        ("bench", "height", "one"),
        ("bench", "tuck", "one"),
        ("bench", "undo", ""),
        ("tablet", "height", ""),
        ("bench", "redo", ""),
    ]
)
def test_each_window_takes_back_its_own_and_only_where_nobody_built_on_it(
    store: Store, done: list[tuple[str, str, str]]
) -> None:
    job_id = store.new(DEMO, "tablet").id
    told = Told({key: [(-1, value)] for key, value in seen(DEMO).items()})
    for count, (window, what, gesture) in enumerate(done):
        before = store.head(job_id, window)
        if what in KEYS:
            at, key = KEYS[what]
            value = {"tuck": 1.0, "wall": 40.0}.get(what, 300.0) + (count + 1) / 16  # never the same one twice
            head = store.edit(job_id, SetKey(at, key, value), window, gesture)
            told.edited(window, what, value, gesture)
        elif getattr(told, what)(window):
            head = getattr(store, what)(job_id, window)
        else:
            with pytest.raises(Refused):
                getattr(store, what)(job_id, window)
            assert store.head(job_id, window) == before
            continue
        assert seen(head.text) == told.values()
        assert (head.number, head.window) == (before.number + 1, window)
        assert (head.can_undo, head.can_redo) == (bool(told.steps[window]), bool(told.undone[window]))
        assert store.head(job_id, window) == head
    replay(store, job_id)


wordings = st.sampled_from(["MARROW LANE", "MARROWS", "LANE", "ROAD ROAD", "Allotment Society"])
lines = st.builds(At, st.just("line"), st.integers(1, 3), wordings)
any_edits: st.SearchStrategy[Edit] = st.one_of(
    st.builds(SetWords, lines, wordings),
    st.builds(SetShift, lines, st.sampled_from(["RO", "AR", "OW"]), st.just(1), st.sampled_from([0.4, "1 %", None])),
    st.builds(AddTable.line, st.integers(1, 4), wordings),
    st.builds(RemoveTable, lines),
    st.builds(MoveTable, lines, st.integers(1, 3)),
    st.builds(SetKey, st.one_of(lines, st.just(At("lettering"))), st.just("face"), st.sampled_from(["Cardo", None])),
    st.builds(ReplaceText, st.sampled_from([DEMO, DEMO.replace("900", "800"), DEMO + "# brought in again\n"])),
    st.builds(SetKey, st.just(At("board")), st.just("width"), st.sampled_from([700, 800])),
)
steps = st.tuples(windows, st.one_of(any_edits, st.sampled_from(["undo", "redo"])), st.sampled_from(["", "one"]))


@together
@given(st.lists(steps, max_size=12))
def test_whatever_two_windows_do_the_stored_edits_tell_it_and_the_job_stays_right(
    store: Store, done: list[tuple[str, Edit | str, str]]
) -> None:
    job_id = store.new(DEMO, "tablet").id
    for window, what, gesture in done:
        before = store.head(job_id, window)
        with contextlib.suppress(Refused):
            if not isinstance(what, str):
                head = store.edit(job_id, what, window, gesture)
                assert head.text == apply(what, before.text).text
                if head.number > before.number and not gesture:
                    assert store.undo(job_id, window).text == before.text
                    assert store.redo(job_id, window).text == head.text
            elif what == "undo":
                assert store.undo(job_id, window).number == before.number + 1
                assert before.can_undo
            else:
                assert store.redo(job_id, window).number == before.number + 1
                assert before.can_redo
        parse_job(store.head(job_id, window).text)
    replay(store, job_id)


def test_undo_and_redo_survive_a_restart(store_url: str) -> None:
    with open_store(store_url) as store:
        job_id = store.new(DEMO, "tablet").id
        store.edit(job_id, set_width(700), "tablet")
        store.edit(job_id, set_width(800), "tablet")
        store.undo(job_id, "tablet")
    with open_store(store_url) as store:
        assert store.head(job_id, "tablet").can_redo
        assert width(store.redo(job_id, "tablet").text) == 800
    with open_store(store_url) as store:
        assert width(store.undo(job_id, "tablet").text) == 700
        assert store.undo(job_id, "tablet").text == DEMO


def test_a_word_typed_is_undone_as_one_and_redone_as_one(store: Store) -> None:
    job_id = store.new(DEMO, "tablet").id
    at = SECOND
    for words in ("T", "Th", "The"):
        store.edit(job_id, SetWords(at, words), "tablet", "typing")
        at = At("line", 2, words)
    store.edit(job_id, SetWords(at, "The Plot"), "tablet", "another")
    assert 'words = "The"' in store.undo(job_id, "tablet").text
    head = store.undo(job_id, "tablet")
    assert head.text == DEMO
    assert (head.can_undo, head.can_redo) == (False, True)
    assert 'words = "The"' in store.redo(job_id, "tablet").text
    assert store.revisions(job_id, 1)[0].kind == "redo"


def test_a_word_typed_while_another_works_is_still_one_word(store: Store) -> None:
    job_id = store.new(DEMO, "tablet").id
    store.edit(job_id, SetWords(SECOND, "T"), "tablet", "typing")
    store.edit(job_id, set_width(700), "bench")
    store.edit(job_id, SetWords(At("line", 2, "T"), "To"), "tablet", "typing")
    head = store.undo(job_id, "tablet")
    assert head.text == apply(set_width(700), DEMO).text
    assert 'words = "To"' in store.redo(job_id, "tablet").text


def test_a_new_edit_leaves_nothing_to_redo_in_its_own_window_alone(store: Store) -> None:
    job_id = store.new(DEMO, "tablet").id
    store.edit(job_id, set_width(700), "tablet")
    store.undo(job_id, "tablet")
    assert store.edit(job_id, SetKey(At("board"), "height", 200), "bench").number == 4
    assert store.head(job_id, "tablet").can_redo
    assert not store.edit(job_id, SetKey(At("board"), "thickness", 20), "tablet").can_redo
    with pytest.raises(Refused, match="nothing"):
        store.redo(job_id, "tablet")


def test_shifts_of_one_line_by_two_windows_are_taken_back_each_by_its_own(store: Store) -> None:
    job_id = store.new(DEMO, "tablet").id
    store.edit(job_id, SetShift(FIRST, "RO", 1, 0.4), "tablet")
    store.edit(job_id, SetShift(FIRST, "AR", 1, 0.2), "bench")
    head = store.undo(job_id, "tablet")
    assert tomllib.loads(head.text)["line"][0]["shifts"] == [{"pair": "AR", "nth": 1, "by": 0.2}]
    head = store.redo(job_id, "tablet")
    assert {shift["pair"] for shift in tomllib.loads(head.text)["line"][0]["shifts"]} == {"RO", "AR"}


def test_what_another_has_changed_again_is_not_taken_back(store: Store) -> None:
    job_id = store.new(DEMO, "tablet").id
    store.edit(job_id, set_width(700), "tablet")
    head = store.edit(job_id, set_width(800), "bench")
    with pytest.raises(Refused, match=r"can't be taken back.*another window"):
        store.undo(job_id, "tablet")
    assert store.job(job_id).text == head.text
    store.undo(job_id, "bench")
    assert store.undo(job_id, "tablet").text == DEMO


def test_an_added_line_is_taken_back_when_another_put_one_above_it(store: Store) -> None:
    job_id = store.new(DEMO, "tablet").id
    store.edit(job_id, AddTable.line(3, "Plot 7"), "tablet")
    store.edit(job_id, AddTable.line(1, "WELCOME"), "bench")
    head = store.undo(job_id, "tablet")
    assert [line["words"] for line in tomllib.loads(head.text)["line"]] == [
        "WELCOME",
        "MARROW LANE",
        "Allotment Society",
    ]


def test_a_file_brought_in_again_is_anybodys_to_take_back_and_then_theirs_to_redo(store: Store) -> None:
    job_id = store.new(DEMO, "tablet").id
    other = DEMO.replace("900", "800")
    store.edit(job_id, ReplaceText(other), "command line")
    assert store.head(job_id, "tablet").can_undo
    head = store.undo(job_id, "tablet")
    assert head.text == DEMO
    assert head.can_redo
    assert not store.head(job_id, "command line").can_redo
    assert store.redo(job_id, "tablet").text == other


def test_a_file_brought_in_again_is_never_part_of_a_gesture(store: Store) -> None:
    job_id = store.new(DEMO, "tablet").id
    for edit in (set_width(700), ReplaceText(DEMO), set_width(800)):
        store.edit(job_id, edit, "tablet", "one")
    texts = [store.undo(job_id, "tablet").text for _ in range(3)]
    assert [width(text) for text in texts] == [900, 700, 900]


def test_a_file_taken_back_keeps_what_was_changed_since(store: Store) -> None:
    job_id = store.new(DEMO, "tablet").id
    store.edit(job_id, ReplaceText(DEMO.replace("MARROW LANE", "TURNIP LANE") + "# a note\n"), "tablet")
    store.edit(job_id, set_width(700), "bench")
    assert store.undo(job_id, "tablet").text == apply(set_width(700), DEMO).text
    replay(store, job_id)


def test_a_file_taken_back_after_very_many_edits_is_merged_line_by_line(store: Store) -> None:
    job_id = store.new(DEMO, "tablet").id
    store.edit(job_id, ReplaceText(DEMO + "# a note\n"), "tablet")
    for value in range(60):
        store.edit(job_id, set_width(700 + value), "bench")
    assert store.undo(job_id, "tablet").text == apply(set_width(759), DEMO).text
    replay(store, job_id)


def test_an_edit_that_changes_nothing_is_no_revision(store: Store) -> None:
    job_id = store.new(DEMO, "tablet").id
    head = store.edit(job_id, SetKey(At("board"), "width", 900), "tablet")
    assert (head.number, head.can_undo) == (1, False)


def test_an_edit_that_cannot_be_made_leaves_nothing_behind(store: Store) -> None:
    job_id = store.new(DEMO, "tablet").id
    before = store.head(job_id, "tablet")
    with pytest.raises(Refused):
        store.edit(job_id, SetWords(At("line", 1, "GONE"), "A"), "tablet")
    with pytest.raises(Refused):
        store.edit(job_id, set_width(-5), "tablet")
    assert store.head(job_id, "tablet") == before


def test_a_job_that_was_wrong_and_mended_can_be_taken_back(store: Store) -> None:
    wrong = DEMO.replace("width = 900", 'width = "wide"')
    job_id = store.new(wrong, "tablet").id
    store.edit(job_id, set_width(900), "tablet")
    store.edit(job_id, set_width(800), "tablet")
    store.undo(job_id, "tablet")
    assert store.undo(job_id, "tablet").text == wrong
