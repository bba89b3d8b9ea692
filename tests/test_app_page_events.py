"""What a page tells, taken from a browser that is not to be trusted."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stopcut.app.page_events import HandedOn, LetterInHand, Pushed, Typed, told

KINDS = [Typed, HandedOn, Pushed, LetterInHand]
ANYTHING = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(
        st.sampled_from(["value", "before", "put", "gesture", "done", "key", "else"]), inner, max_size=4),
)  # fmt: skip


@pytest.mark.parametrize(
    ("sent", "value"),
    [
        ({"value": "MARROW", "before": "MARRO"}, Typed("MARROW", "MARRO")),
        ({"value": "MARROW", "before": None}, Typed("MARROW")),
        ({"value": "500", "put": "450 mm"}, HandedOn("500", "450 mm")),
        ({"value": "500"}, HandedOn("500")),
        ({"value": 3, "gesture": "slide-a1", "done": True}, Pushed(3.0, "slide-a1", True)),
        ({"key": "1:3"}, LetterInHand("1:3")),
    ],
)
def test_what_a_page_sends_is_a_value(sent, value):
    assert told(type(value), sent) == value


@pytest.mark.parametrize(
    ("kind", "sent"),
    [
        (Typed, {"value": 7}),
        (Typed, {"value": "A", "before": ["A"]}),
        (HandedOn, {"put": "A"}),
        (HandedOn, ["A", "B"]),
        (Pushed, {"value": float("inf"), "gesture": "a"}),
        (Pushed, {"value": 1, "gesture": "a" * 65}),
        (Pushed, {"value": 1, "gesture": "a", "done": "yes"}),
        (LetterInHand, {"key": "1:3\n"}),
        (LetterInHand, {"key": 13}),
    ],
)
def test_what_no_page_sends_is_none(kind, sent):
    assert told(kind, sent) is None


@given(st.sampled_from(KINDS), ANYTHING)
def test_whatever_is_sent_it_is_a_value_of_that_kind_or_none(kind, sent):
    assert isinstance(told(kind, sent), kind | None)
