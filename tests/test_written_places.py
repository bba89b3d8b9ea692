"""Where things stand in a TOML text, judged by the standard library's own reader."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from typing import Any

from hypothesis import given, settings
from toml_texts import toml_texts

from stopcut.written.places import Path, dotted, find_places

TEXT = '''\
# a gate board
format = 1
title = """Marrow
[lane] = 3 """   # two lines
board.width = 900
"quo ted"."a\\"b" = 1

# about the letters
# more
[lettering]
face = 'Cinzel'   # comment

[[line]]
words = "A # [x]"
shifts = [ { pair = "RO", nth = 1 },   # c ]
   { pair = "Al", by = "}" },
]
[line.arc]
radius = 3

# second
[[line]]   # t
words = "B"
arc = { radius = 5, bend = "up" }
made = 1979-05-27 07:32:00   # dd'''


def held(data: Any, path: Path = ()) -> Iterator[tuple[Path, Any]]:
    """Every path of the data below its top."""
    members = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    for key, value in members:
        yield (*path, key), value
        yield from held(value, (*path, key))


def same(one: Any, other: Any) -> bool:
    return repr(one) == repr(other)  # nan is nan here


def test_each_key_has_the_line_it_is_written_on() -> None:
    places = find_places(TEXT)
    lines = {dotted(path): places.line_of(path) for path in places.spots}
    assert lines["format"] == 2
    assert lines["title"] == 3
    assert lines["board"] == lines["board.width"] == 5
    assert lines["lettering"] == 10
    assert lines["lettering.face"] == 11
    assert lines["line[1]"] == 13
    assert lines["line[1].shifts[1].nth"] == 15
    assert lines["line[1].shifts[2].by"] == 16
    assert lines["line[1].arc.radius"] == 19
    assert lines["line[2]"] == 22
    assert lines["line[2].arc.bend"] == 24


def test_a_missing_key_has_the_line_of_its_table() -> None:
    places = find_places(TEXT)
    assert places.line_of(("line", 1, "shifts", 0, "by")) == 22
    assert places.line_of(("lettering", "weight")) == 10
    assert places.line_of(("groove", "wall")) is None


def test_a_key_that_is_not_bare_is_shown_in_quotes() -> None:
    assert dotted(("line", 0, "cap height")) == 'line[1]."cap height"'
    assert dotted(("", "a")) == '"".a'


def test_comments_directly_above_a_header_belong_to_its_table() -> None:
    places = find_places(TEXT)
    assert TEXT[places.blocks[1].start :].startswith("\n# about the letters\n# more\n[lettering]")
    assert TEXT[places.blocks[-1].start :].startswith("\n# second\n[[line]]")


@settings(max_examples=120)
@given(toml_texts())
def test_what_is_written_at_each_place_is_what_toml_reads_there(text: str) -> None:
    data = tomllib.loads(text)
    places = find_places(text)
    for path, value in held(data):
        assert path in places.spots
        spot = places.values.get(path)
        if spot is not None:
            assert same(tomllib.loads(f"v = {text[spot.value_start : spot.value_end]}")["v"], value)
        elif not isinstance(value, dict | list):
            raise AssertionError(f"{dotted(path)} has a value and no place")
    assert set(places.spots) == {path for path, _ in held(data)}


@settings(max_examples=60)
@given(toml_texts())
def test_the_blocks_make_up_the_text_and_each_entry_lies_in_its_block(text: str) -> None:
    places = find_places(text)
    assert "".join(text[block.start : block.end] for block in places.blocks) == text
    for block in places.blocks:
        assert block.start <= block.header <= block.body <= block.end
        for entry in block.entries:
            assert block.body <= entry.start <= entry.spot.key_start < entry.spot.value_end <= entry.end <= block.end


@settings(max_examples=60)
@given(toml_texts())
def test_the_line_of_a_key_is_the_one_that_its_name_begins_on(text: str) -> None:
    places = find_places(text)
    lines = text.split("\n")
    for path, spot in places.values.items():
        line = places.line_of(path)
        assert line is not None
        start = sum(len(above) + 1 for above in lines[: line - 1])
        assert start <= spot.key_start < start + len(lines[line - 1]) + 1
