"""Edits go to JSON and come back the same, and what is no edit is refused."""

from __future__ import annotations

import datetime
import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stopcut.job.edit_json import edit_json, edit_of, edits_json, edits_of
from stopcut.job.edits import (
    AddTable,
    At,
    Edit,
    MoveTable,
    PutKeyBack,
    PutShiftBack,
    PutTextBack,
    Refused,
    RemoveTable,
    ReplaceText,
    SetKey,
    SetShift,
    SetWords,
    Written,
)
from stopcut.job.pairs import Pair

texts = st.text(st.characters(exclude_categories=()), max_size=20)  # half surrogate pairs too: JSON can hold them
numbers = st.integers(-9, 99)
ats = st.builds(At, texts, numbers, texts)
moments = st.datetimes().map(lambda moment: moment.replace(fold=0))  # a job's file knows no second hour of that name
scalars = st.one_of(
    texts, st.integers(), st.booleans(), st.floats(allow_nan=False), st.dates(), moments, st.just("date")
)
values = st.recursive(
    scalars,
    lambda inner: st.one_of(
        st.lists(inner, max_size=3),
        st.dictionaries(st.one_of(texts, st.sampled_from(["toml", "date", "table"])), inner, max_size=3),
    ),
    max_leaves=8,
)
written = st.builds(Written, texts)
pairs = st.builds(Pair, texts, numbers)
edits = st.one_of(
    st.builds(SetKey, ats, texts, st.one_of(st.none(), values, written)),
    st.builds(SetWords, ats, st.one_of(texts, written), st.lists(st.tuples(pairs, pairs), max_size=3).map(tuple)),
    st.builds(SetShift, ats, texts, numbers, st.one_of(st.none(), values, written)),
    st.builds(AddTable, texts, numbers, texts),
    st.builds(RemoveTable, ats),
    st.builds(MoveTable, ats, numbers),
    st.builds(ReplaceText, texts),
    st.builds(PutKeyBack, ats, texts, texts),
    st.builds(PutShiftBack, ats, numbers, texts),
    st.builds(PutTextBack, texts, texts),
)


def told(value: object) -> str:
    """A value with its kinds: True is not 1 here, nor 1.0 1."""
    return repr(value)


@given(edits)
def test_an_edit_comes_back_as_it_was(edit: Edit) -> None:
    back = edit_of(edit_json(edit))
    assert back == edit
    assert told(back) == told(edit)


@given(st.lists(edits, max_size=4).map(tuple))
def test_edits_come_back_in_their_order(several: tuple[Edit, ...]) -> None:
    assert edits_of(edits_json(several)) == several


def test_json_of_an_edit_is_plain_ascii_and_names_its_kind() -> None:
    text = edit_json(SetKey(At("line", 2, "Café"), "wanted", datetime.date(2027, 3, 4)))
    assert text.isascii()
    assert json.loads(text) == {
        "edit": "set-key",
        "at": ["line", 2, "Café"],
        "key": "wanted",
        "value": {"date": "2027-03-04"},
    }


def test_a_tuple_of_values_is_a_list_as_in_the_document() -> None:
    edit = edit_of(edit_json(SetKey(At(), "features", ("smcp", "onum"))))  # type: ignore[arg-type]
    assert edit == SetKey(At(), "features", ["smcp", "onum"])


GOOD = {"edit": "set-key", "at": ["board", 0, ""], "key": "width", "value": 900}


@pytest.mark.parametrize(
    "wrong",
    [
        "",
        "null",
        "[]",
        "{",
        '"set-key"',
        "[" * 100_000,
        json.dumps(GOOD | {"value": 0}).replace("0}", "NaN}"),
        json.dumps(GOOD | {"edit": "burn"}),
        json.dumps(GOOD | {"edit": ["set-key"]}),
        json.dumps(GOOD | {"more": 1}),
        json.dumps({key: GOOD[key] for key in ("edit", "at", "key")}),
        json.dumps(GOOD | {"key": 5}),
        json.dumps(GOOD | {"at": ["board", 0]}),
        json.dumps(GOOD | {"at": ["board", True, ""]}),
        json.dumps(GOOD | {"at": ["board", 1.0, ""]}),
        json.dumps(GOOD | {"at": "board"}),
        json.dumps(GOOD | {"value": {"python": "1"}}),
        json.dumps(GOOD | {"value": {"toml": "1", "date": "2027-03-04"}}),
        json.dumps(GOOD | {"value": {}}),
        json.dumps(GOOD | {"value": {"date": "2027-02-30"}}),
        json.dumps(GOOD | {"value": {"date": 5}}),
        json.dumps(GOOD | {"value": {"float": "1.5"}}),
        json.dumps(GOOD | {"value": {"table": []}}),
        json.dumps(GOOD | {"value": [None]}),
        json.dumps(GOOD | {"value": [{"toml": "1"}]}),
        json.dumps({"edit": "set-words", "at": ["line", 1, ""], "words": 5, "renumber": []}),
        json.dumps({"edit": "set-words", "at": ["line", 1, ""], "words": "A", "renumber": [["RO", 1]]}),
        json.dumps({"edit": "move-table", "at": ["line", 1, ""], "to": "2"}),
        json.dumps({"edit": "replace-text", "text": None}),
    ],
)
def test_what_is_no_edit_is_refused(wrong: str) -> None:
    with pytest.raises(Refused):
        edit_of(wrong)


@pytest.mark.parametrize("value", [object(), b"bytes", {1: 2}, {"a": {3}}])
def test_a_value_that_no_job_holds_is_refused_before_it_is_kept(value: object) -> None:
    with pytest.raises(Refused):
        edit_json(SetKey(At(), "title", value))  # type: ignore[arg-type]
