"""Any job that keeps to its format's ranges: a strategy over the whole document, as TOML text."""

from __future__ import annotations

import itertools
from typing import Any, get_args

from hypothesis import strategies as st

from stopcut.job import document
from stopcut.job.job import StrokeKind

__all__ = ["MARK", "jobs"]

FACES = ["Cinzel", "Cormorant", "EB Garamond", "Spectral", "Libre Baskerville", "Zilla Slab", "Jost", "Josefin Sans"]
WORDS = [
    "MARROW LANE",
    "Allotment Society",
    "Plot 7",
    "1897–2027",
    "Quince & Medlar",
    "A",
    "il",
    "…",
    "W.",
    "AVA",
    "èg",
]
MARK = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 40"><path d="M0 20C0 0 40 0 40 20S0 40 0 20z'
    'M15 20v5h10v-5z"/></svg>'
)


def _length(low: float, high: float) -> st.SearchStrategy[float]:
    """Lengths in range, as often near its ends as far from them."""
    near = [low, high, min(high, low * 2 + 1), high / 3, high / 30, high / 300]
    return st.one_of(
        st.sampled_from([round(v, 3) for v in near if low <= v <= high]),
        st.floats(low, high, allow_nan=False).map(lambda v: round(max(low, min(high, v)), 3)),
    )


def _some(**values: st.SearchStrategy[Any]) -> st.SearchStrategy[dict[str, Any]]:
    return st.fixed_dictionaries({}, optional=values)


_inherited = {
    "face": st.sampled_from(FACES),
    "weight": st.integers(1, 1000),
    "cap_height": st.one_of(st.just("fit"), _length(document.SMALLEST_LETTER_MM, document.TALLEST_LETTER_MM)),
    "openness": st.floats(0, document.MOST_OPENNESS),
    "tuck": st.floats(0, 4),
    "align": st.sampled_from(["left", "centre", "right", "spread"]),
    "word_space": st.floats(0.1, 10),
    "line_gap": st.one_of(st.floats(0, 10), st.just("20 mm")),
    "thinnest": st.one_of(st.just("none"), _length(document.THINNEST_STROKE_MM, 100)),
    "features": st.sampled_from([["smcp"], ["onum", "liga"], ["-kern"]]),
}
_wall = st.integers(20, 80)
_flat = st.one_of(st.just("none"), _length(document.THINNEST_STROKE_MM, 100))


@st.composite
def _lines(draw: st.DrawFn) -> dict[str, Any]:
    words = draw(st.sampled_from(WORDS))
    line = {"words": words, **draw(_some(**_inherited))}
    line |= draw(
        _some(
            size=st.floats(0.05, 20),
            drop=_length(0, 500),
            arc=st.fixed_dictionaries({"radius": _length(5, 20_000), "bend": st.sampled_from(["up", "down"])}),
            wall=_wall,
            flat_bottom=_flat,
        )
    )
    letters = [c for c in words if not c.isspace()]
    if draw(st.integers(0, 3)) == 0:
        by = draw(_length(document.LEAST_WIDENED_MM, document.MOST_WIDENED_MM))
        line["widen"] = [{"letter": draw(st.sampled_from(letters)), "nth": 1, "by": by}]
    if draw(st.integers(0, 3)) == 0:
        kind = draw(st.sampled_from(sorted(get_args(StrokeKind))))
        line["strokes"] = [{"letter": draw(st.sampled_from(letters)), "stroke": draw(st.integers(1, 9)), "kind": kind}]
    pairs = [a + b for a, b in itertools.pairwise(words) if not (a + b).count(" ")]
    if pairs and draw(st.integers(0, 3)) == 0:
        line["shifts"] = [{"pair": draw(st.sampled_from(pairs)), "nth": 1, "by": draw(st.floats(-40, 40))}]
    return line


@st.composite
def jobs(draw: st.DrawFn) -> str:
    """The text of a job. An ornament's drawing is mark.svg (MARK) beside it."""
    width, height = (draw(_length(document.SMALLEST_BOARD_MM, document.LONGEST_BOARD_MM)) for _ in range(2))
    least = min(width, height)
    board = {"width": width, "height": height, "thickness": draw(_length(1, document.THICKEST_BOARD_MM))}
    board |= draw(
        _some(
            wood=st.sampled_from(["oak", "lime", "slate"]),
            grain=st.sampled_from(["width", "height"]),
            margin=_length(0, round(least / 2.5, 3)),
        )
    )
    tables: dict[str, Any] = {
        "board": board,
        "lettering": draw(_some(**_inherited)),
        "groove": draw(_some(wall=_wall, flat_bottom=_flat, face_off=_length(0, 20), planed=_length(0, 20))),
    }
    if draw(st.integers(0, 3)) == 0:
        tables["border"] = {
            "inset": draw(_length(0, least / 4)),
            "stroke": draw(_length(document.THINNEST_STROKE_MM, max(0.2, least / 8))),
            **draw(_some(lines=st.integers(1, 2), corners=st.sampled_from(["square", "cut", "hollow"]))),
        }
    if draw(st.integers(0, 5)) == 0:
        stem = _length(document.THINNEST_STROKE_MM, 200)
        tables["match"] = draw(_some(cap_height=_length(document.SMALLEST_LETTER_MM, 500), stem=stem)) or {"stem": 9}
    lists = {"line": draw(st.lists(_lines(), min_size=1, max_size=4))}
    place = {"x": _length(0, width), "y": _length(0, height)}
    if draw(st.integers(0, 3)) == 0:
        mark = {"file": st.just("mark.svg"), "width": _length(0.1, width), **place}
        more = {"turn": st.integers(-360, 360), "carve": st.sampled_from(["groove", "none"])}
        lists["ornament"] = draw(st.lists(st.fixed_dictionaries(mark, optional=more), max_size=3))
    if draw(st.integers(0, 3)) == 0:
        knot = {"what": st.just("knot"), "radius": _length(0.1, width), **place}
        lists["avoid"] = draw(st.lists(st.fixed_dictionaries(knot), max_size=3))
    return _written(draw(st.sampled_from(["mm", "in"])), tables, lists)


def _written(units: str, tables: dict[str, Any], lists: dict[str, list[dict[str, Any]]]) -> str:
    said = ["format = 1", 'title = "Marrow Lane"', f'units = "{units}"']
    for name, table in tables.items():
        said += [f"[{name}]", *(f"{key} = {_value(value, key)}" for key, value in table.items())]
    for name, several in lists.items():
        for table in several:
            said += [f"[[{name}]]", *(f"{key} = {_value(value, key)}" for key, value in table.items())]
    return "\n".join(said) + "\n"


BARE = {"openness", "tuck", "word_space", "line_gap", "weight", "size", "wall", "turn", "nth", "stroke", "lines"}
"""Keys whose numbers are no lengths, or may be a scale."""


def _value(value: Any, key: str) -> str:
    if isinstance(value, str):
        return f'"{value}"'
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{k} = {_value(v, k)}" for k, v in value.items()) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(_value(v, key) for v in value) + "]"
    if key in BARE and not (key == "stroke" and isinstance(value, float)):
        return repr(value)
    return f'"{value:.3f} mm"'
