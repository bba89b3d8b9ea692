"""Texts in TOML of every shape a person may write, for tests of what walks and changes them."""

from __future__ import annotations

from hypothesis import strategies as st

# Strings with what a careless walk would trip over: quotes, brackets, signs of comments and of keys.
_tricky = st.sampled_from(
    ["", "RO", "[x]", "# no", "a = 1", "it's", 'say "so"', "}", "é", "\\", "[[line]]", ",", "'''"]
)


def _basic(text: str) -> str:
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


@st.composite
def _string(draw: st.DrawFn) -> str:
    text = draw(_tricky)
    style = draw(st.sampled_from(["basic", "literal", "long basic", "long literal"]))
    if style == "literal" and "'" not in text:
        return f"'{text}'"
    if style == "long basic":
        middle = draw(st.sampled_from(["", "\n", "\\\n  ", "\n[table]\nkey = 1\n"]))
        return '"""' + text.replace("\\", "\\\\").replace('"', '\\"') + middle + '"""'
    if style == "long literal" and "'" not in text:
        return "'''" + draw(st.sampled_from(["", "\n", "\n# no comment\n"])) + text + "'''"
    return _basic(text)


_scalar = st.one_of(
    _string(),
    st.integers(-99, 99).map(str),
    st.sampled_from(["0.5", "-1e3", "true", "false", "inf", "nan", "0xff", "1_000", "2027-03-04", "07:32:00"]),
    st.sampled_from(["1979-05-27 07:32:00", "1979-05-27T07:32:00Z"]),
)
_gap = st.sampled_from(["", " ", "\n", "  # a comment, with ] and }\n  "])
_bare = st.sampled_from(["a", "b", "c-d", "e_f", "9"])
_quoted = st.sampled_from(["'a b'", '"c.d"', '"é"', '"\\u0041"', "'#'", '"]"', "''"])
_key = st.one_of(_bare, _quoted)


@st.composite
def _array(draw: st.DrawFn, inner: st.SearchStrategy[str]) -> str:
    members = draw(st.lists(inner, max_size=3))
    pieces = [draw(_gap) + member + draw(_gap) for member in members]
    comma = "," if pieces and draw(st.booleans()) else ""
    return "[" + ",".join(pieces) + comma + draw(_gap) + "]"


@st.composite
def _inline(draw: st.DrawFn, inner: st.SearchStrategy[str]) -> str:
    keys = draw(st.lists(_key, max_size=3, unique_by=_name))
    blank = draw(st.sampled_from(["", " "]))
    return "{" + blank + ", ".join(f"{key}{blank}={blank}{draw(inner)}" for key in keys) + blank + "}"


def _name(key: str) -> str:
    plain = key[1:-1] if key[0] in "'\"" else key
    return "A" if plain == "\\u0041" else plain


_value = st.recursive(_scalar, lambda inner: st.one_of(_array(inner), _inline(inner)), max_leaves=6)


@st.composite
def _entries(draw: st.DrawFn) -> str:
    text = ""
    for key in draw(st.lists(_key, max_size=4, unique_by=_name)):
        lines = ""
        if draw(st.booleans()):
            lines += draw(st.sampled_from(["# note = 1\n", "\n", "   \n"]))
        dotted = "" if draw(st.integers(0, 3)) else " . " + draw(_key)
        indent = draw(st.sampled_from(["", "  ", "\t"]))
        lines += f"{indent}{key}{dotted} = {draw(_value)}" + draw(st.sampled_from(["", " # [x] = 2", "  "])) + "\n"
        text += lines
    return text


@st.composite
def toml_texts(draw: st.DrawFn) -> str:
    """A right TOML text, with tables, arrays of tables and tables in those."""
    text = draw(_entries())
    for table in draw(st.lists(st.sampled_from(["t1", "t2", '"t 3"']), max_size=3, unique=True)):
        text += draw(st.sampled_from(["", "\n", "\n# about it\n"])) + f"[ {table} ]" + draw(_gap).split("\n")[0] + "\n"
        text += draw(_entries())
        if draw(st.booleans()):
            text += f"[{table}.under]\n" + draw(_entries())
    for _ in range(draw(st.integers(0, 3))):
        text += draw(st.sampled_from(["", "\n", "\n# a line\n"])) + "[[lines]]\n" + draw(_entries())
        if draw(st.booleans()):
            text += "[lines.arc]\n" + draw(_entries())
        for _ in range(draw(st.integers(0, 2))):
            text += "[[lines.shifts]]\n" + draw(_entries())
    if draw(st.booleans()):
        text = text.removesuffix("\n")
    return text.replace("\n", "\r\n") if draw(st.booleans()) else text
