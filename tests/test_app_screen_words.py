"""What the screens say is said in a carver's words: no keys of the job's file, no words of programs or of the trade of
making them. Every sentence of a finding and every text of a page is read off the source, so that none is forgotten."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

import stopcut
from stopcut.app.wording import KEYS, hours, on_screen
from stopcut.job import document
from stopcut.written.readers import StrictTable

SOURCE = Path(stopcut.__file__).parent

NOT_SAID = re.compile(
    r"\b(?:model|revision|XML|reckon\w*)\b"  # words that the pages do without
    r"|\[\[?[a-z]+\]\]?"  # [lettering], [[line]], line[2]
    r"|\b[a-z]+\[\d*\]"
    r"|\b[a-z]+_[a-z_]+\b"  # flat_bottom
    r"|\b(?:job|shop)\.toml\b|\bstopcut (?:plan|faces|measure|sheets|mend|new)\b"
)
"""What no screen says."""

PROSE = re.compile(r"[A-Za-z’]+[,;:.]? (?:[a-z0-9{%“]|.*[.?!]$)")
"""What is a sentence, or a part of one: two words at least."""

CODE = re.compile(r"=>|[{}]\n|</?\w|\bvar\(|^\(|::|\w=\S|^[.#]\w|/\*|grid-template|;\s*$|\[href\]|^`")
"""What is written for the browser or for the server, not for a reader."""


def texts_of(node: ast.AST) -> Iterator[str]:
    """The texts in an expression, those of an f-string in one with {} for what is put in."""
    if isinstance(node, ast.JoinedStr):
        yield "".join(one.value if isinstance(one, ast.Constant) else "{}" for one in node.values)
    elif isinstance(node, ast.Constant):
        if isinstance(node.value, str):
            yield node.value
    elif isinstance(node, ast.FormattedValue):
        return
    else:
        for child in ast.iter_child_nodes(node):
            yield from texts_of(child)


def without_docstrings(tree: ast.AST) -> Iterator[ast.stmt]:
    """All statements that are no bare text, innermost bodies apart."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            continue
        if isinstance(node, ast.stmt) and not isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef):
            yield node


def page_texts() -> Iterator[tuple[str, str]]:
    """Every text of the pages' own modules that reads as a sentence, with its module."""
    for path in sorted((SOURCE / "app").rglob("*.py")):
        for statement in without_docstrings(ast.parse(path.read_text())):
            for text in texts_of(statement):
                if PROSE.search(text) and not CODE.search(text):
                    yield path.name, text


def script_texts() -> Iterator[tuple[str, str]]:
    """Every text in quotes of the pages' scripts that reads as a sentence."""
    quoted = re.compile(r"\"((?:[^\"\\\n]|\\.)*)\"|`((?:[^`\\]|\\.)*)`")
    for path in sorted((SOURCE / "app").rglob("*.js")):
        code = re.sub(r"(?s:/\*.*?\*/)|(?m:(?:^|\s)//.*$)", "", path.read_text())
        for found in quoted.finditer(code):
            for text in re.split(r"<[^>]*>|\n", re.sub(r"\$\{[^}]*\}", "{}", found[1] or found[2] or "")):
                if PROSE.search(text) and not CODE.search(text):
                    yield path.name, text


def finding_texts() -> Iterator[tuple[str, str]]:
    """What a screen says of every finding: its sentences, and its remedy in a screen's words where it has such."""
    for path in sorted(SOURCE.rglob("*.py")):
        tree = ast.parse(path.read_text())
        functions = [one for one in ast.walk(tree) if isinstance(one, ast.FunctionDef)]
        for function in functions:
            for call in ast.walk(function):
                if isinstance(call, ast.Call) and getattr(call.func, "id", "") in ("Finding", "Case"):
                    for text in told_by(call, function, functions):
                        yield path.name, text


def told_by(call: ast.Call, function: ast.FunctionDef, functions: list[ast.FunctionDef]) -> Iterator[str]:
    """The texts of a Finding's or a Case's sentences, names followed to where they are set."""
    at = 2 if call.func.id == "Finding" else 4  # where says stands; the remedy stands after it
    named = {one.arg: one.value for one in call.keywords}
    sentences = [*call.args[at : at + 1], named.get("across")]
    screen = named.get("screen") or (call.args[5] if call.func.id == "Finding" and len(call.args) > 5 else None)
    sentences.append(screen or (call.args[at + 1] if len(call.args) > at + 1 else None))
    for sentence in sentences:
        if sentence is not None:
            yield from followed(sentence, function, functions)


def followed(node: ast.AST, function: ast.FunctionDef, functions: list[ast.FunctionDef]) -> Iterator[str]:
    """The texts of an expression, and of whatever the names in it are set to within the function."""
    yield from texts_of(node)
    names = {one.id for one in ast.walk(node) if isinstance(one, ast.Name)}
    for statement in ast.walk(function):
        if not isinstance(statement, ast.Assign):
            continue
        target = statement.targets[0]
        if isinstance(target, ast.Name) and target.id in names:
            yield from texts_of(statement.value)
        if isinstance(target, ast.Tuple) and isinstance(statement.value, ast.Call):
            called = getattr(statement.value.func, "id", "")
            places = [place for place, one in enumerate(target.elts) if isinstance(one, ast.Name) and one.id in names]
            yield from returned(called, places, functions)


def returned(called: str, places: list[int], functions: list[ast.FunctionDef]) -> Iterator[str]:
    """The texts at these places of what a function of the same module returns."""
    for function in functions:
        if function.name == called:
            for one in ast.walk(function):
                if isinstance(one, ast.Return) and isinstance(one.value, ast.Tuple):
                    for place in places:
                        yield from texts_of(one.value.elts[place])


def fault_texts() -> Iterator[tuple[str, str]]:
    """What is said of a wrong job, as the pages say it."""
    for path in [*(SOURCE / "job").glob("*.py"), SOURCE / "work.py", *(SOURCE / "lettering").glob("*.py")]:
        if path.name == "new.py":  # the notes in a job file that a command writes
            continue
        for statement in without_docstrings(ast.parse(path.read_text())):
            for text in texts_of(statement):
                if PROSE.search(text) and not text.startswith("as the spacing model"):  # said in docs/job.md alone
                    yield path.name, on_screen(text)


def said_wrongly(texts: Iterator[tuple[str, str]]) -> list[tuple[str, str]]:
    return sorted({(where, text) for where, text in texts if NOT_SAID.search(text)})


def test_no_page_says_a_key_of_the_file_or_a_word_of_programs():
    assert said_wrongly(page_texts()) == []


def test_no_script_of_a_page_says_one():
    assert said_wrongly(script_texts()) == []


def test_no_finding_says_one_on_a_screen():
    assert said_wrongly(finding_texts()) == []


def test_no_fault_of_a_job_says_one_on_a_screen():
    assert said_wrongly(fault_texts()) == []


def test_every_key_of_the_file_that_is_no_plain_word_is_known():
    tables = [one for one in vars(document).values() if isinstance(one, type) and issubclass(one, StrictTable)]
    assert sorted({key for table in tables for key in table.model_fields if "_" in key}) == sorted(KEYS)


def test_minutes_are_said_as_hours_and_minutes_by_one_function():
    by_itself = re.compile(r"\{\} (?:min|minutes)\b")
    assert {where for where, text in page_texts() if by_itself.search(text)} == set()
    assert (hours(45), hours(210)) == ("45 min", "3 h 30")


@pytest.mark.parametrize(
    ("texts", "least"), [(page_texts, 300), (script_texts, 20), (finding_texts, 80), (fault_texts, 80)]
)
def test_what_is_read_off_the_source_is_the_most_of_it(texts, least):
    assert len(set(texts())) > least


@pytest.mark.parametrize(
    "wrong", ["the model’s gap", "Set flat_bottom here", "see line[2].words", "in [lettering] too"]
)
def test_what_is_not_to_be_said_would_be_found(wrong):
    assert NOT_SAID.search(wrong)
