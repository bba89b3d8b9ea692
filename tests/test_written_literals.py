"""Values as TOML writes them, judged by the standard library's reader."""

from __future__ import annotations

import datetime
import tomllib
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stopcut.written.literals import key_literal, literal, value_of

_characters = st.characters(exclude_categories=["Cs"])
_values = st.recursive(
    st.one_of(
        st.text(_characters, max_size=20),
        st.integers(-(2**63), 2**63 - 1),
        st.floats(allow_nan=False),
        st.booleans(),
        st.dates(),
    ),
    lambda inner: st.one_of(
        st.lists(inner, max_size=3), st.dictionaries(st.text(_characters, max_size=5), inner, max_size=3)
    ),
    max_leaves=5,
)


@given(_values)
def test_a_value_is_read_back_as_it_was(value: Any) -> None:
    written = literal(value)
    assert value_of(written) == value
    assert "\n" not in written


@given(st.text(_characters, max_size=10))
def test_a_key_is_read_back_as_it_was(key: str) -> None:
    assert tomllib.loads(f"{key_literal(key)} = 1") == {key: 1}


def test_a_job_writes_values_as_people_do() -> None:
    assert literal({"pair": "RO", "nth": 1, "by": "0.4 mm"}) == '{ pair = "RO", nth = 1, by = "0.4 mm" }'
    assert literal(["smcp", "onum"]) == '["smcp", "onum"]'
    assert literal(datetime.date(2027, 3, 4)) == "2027-03-04"


@pytest.mark.parametrize("value", [None, object(), {"a": None}, [None], b"x", "a\ud800"])
def test_what_toml_cannot_hold_is_refused(value: object) -> None:
    with pytest.raises(ValueError, match="cannot be written in a job"):
        literal(value)
