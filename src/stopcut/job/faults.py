"""What is wrong with a job document, all of it at once: each fault with its key, its line and what would do."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Final

from pydantic import ValidationError

from stopcut.errors import Fault
from stopcut.job import document as written
from stopcut.job.job import DEFAULTS, Job
from stopcut.job.word_readers import plain_letter, plain_pair
from stopcut.units import Units, format_length, parse_length
from stopcut.written.model_faults import FaultAt, Format, as_faults, single_faults
from stopcut.written.places import Path, dotted, find_places
from stopcut.written.readers import shown

__all__ = ["JOB_FORMAT", "all_faults", "fault_of", "fault_of_line"]

JOB_FORMAT: Final = Format(
    tables={
        (): written.Document,
        ("board",): written.BoardTable,
        ("lettering",): written.LetteringTable,
        ("groove",): written.GrooveTable,
        ("line",): written.LineTable,
        ("line", "shifts"): written.ShiftTable,
        ("line", "strokes"): written.StrokeTable,
        ("line", "widen"): written.WidenTable,
        ("line", "arc"): written.ArcTable,
        ("ornament",): written.OrnamentTable,
        ("border",): written.BorderTable,
        ("columns",): written.ColumnsTable,
        ("avoid",): written.AvoidTable,
        ("match",): written.MatchTable,
        ("match", "gaps"): written.GapTable,
    },
    repeated=("line", "ornament", "avoid"),
    when_missing={
        ("format",): "write format = 1 as the first line",
        ("title",): 'say what the board is for: title = "Marrow Lane gate board"',
        ("board",): "write a table [board] with width, height and thickness",
        ("line",): 'write a table [[line]] with words = "…" for each line of words',
        ("line", "words"): 'write words = "…", or take this [[line]] out',
    },
)


def all_faults(raw: Mapping[str, Any], problem: ValidationError | None, text: str) -> tuple[Fault, ...]:
    """Every fault of a document: those of single keys that pydantic found, and those of keys that do not go together.

    raw is the document as tomllib gives it, text the same as written. In the order of the file.
    """
    found: list[FaultAt] = []
    if problem is not None:
        found += single_faults(problem.errors(include_url=False), JOB_FORMAT)
    found += _together_faults(raw)
    return as_faults(found, find_places(text)) if found else ()


def fault_of(job: Job, path: Path, found: str, remedy: str) -> Fault:
    """A fault that a deeper room found at a place of the job's text: the line of its key, else of what holds it."""
    places = find_places(job.text)
    return Fault(dotted(path), places.line_of(path), _clause(found), _clause(remedy))


def fault_of_line(job: Job, number: int, key: str, found: str, remedy: str) -> Fault:
    """A fault that a deeper room found in a line's setting, at the key that sets it.

    That is the line's own key, else the one of [lettering] or [groove] that it inherits, else the line itself.
    """
    places = find_places(job.text)
    for path in (("line", number - 1, key), ("lettering", key), ("groove", key)):
        if path in places.spots:
            return Fault(dotted(path), places.line_of(path), _clause(found), _clause(remedy))
    return fault_of(job, ("line", number - 1), found, remedy)


def _clause(sentence: str) -> str:
    """A sentence as a part of another."""
    return sentence.removesuffix(".")


def _together_faults(raw: Mapping[str, Any]) -> Iterator[FaultAt]:
    """What is wrong between keys that are each right, as far as they can be read."""
    units: Units = "in" if raw.get("units") == "in" else "mm"
    board = raw.get("board")
    lettering = raw.get("lettering")
    yield from _both_weight_and_stem(("lettering",), lettering)
    yield from _planed_away(raw, units)
    yield from _too_many_letters(raw)
    if isinstance(board, dict):
        yield from _no_board_left(board, raw.get("border"), units)
        yield from _no_room_for_columns(board, raw.get("columns"), units)
        yield from _all_faced_off(board, raw.get("groove"), units)
        for name in ("ornament", "avoid"):
            for place, table in _members(raw, name):
                yield from _off_the_board((name, place), table, board, units)
    for place, line in _members(raw, "line"):
        yield from _both_weight_and_stem(("line", place), line)
        yield from _height_out_of_range(("line", place), line, lettering, units)
        yield from _same_shift_twice(("line", place, "shifts"), line)
        yield from _same_letter_twice(("line", place), line)
        yield from _column_on_an_arc(("line", place), line)
    for place, table in _members(raw, "avoid"):
        yield from _avoid_without_extent(("avoid", place), table)
    match = raw.get("match")
    if isinstance(match, dict) and not any(match.get(key) for key in ("cap_height", "stem", "gaps")):
        yield ("match",), "nothing to match is given", "give cap_height, stem or gaps as measured, or take [match] out"


def _no_room_for_columns(board: Mapping[str, Any], columns: Any, units: Units) -> Iterator[FaultAt]:
    number = columns.get("number") if isinstance(columns, dict) else None
    between = _mm(columns, "between", units) if isinstance(columns, dict) else None
    width = _mm(board, "width", units)
    if between is None or width is None or not isinstance(number, int) or number < 2:
        return
    if (number - 1) * between >= width:
        found = f"{number} columns so far apart leave no width for words on {format_length(width, units)}"
        yield ("columns", "between"), found, "set them nearer, or have fewer columns"


def _column_on_an_arc(path: Path, line: Mapping[str, Any]) -> Iterator[FaultAt]:
    words = line.get("words")
    tab = isinstance(words, str) and "\t" in words
    if "arc" in line and (line.get("in_columns") is True or tab):
        why = "a line with a tab stands straight" if tab else "a line in the columns stands straight"
        yield (*path, "arc"), why, "take its arc out" + (", or its tab" if tab else ", or in_columns")
    if tab and line.get("align") is not None:
        found = "a line with a tab reaches from edge to edge of its column"
        yield (*path, "align"), found, "take align out; [columns] says where what follows the tab stands"


def _members(raw: Mapping[str, Any], name: str) -> Iterator[tuple[int, Mapping[str, Any]]]:
    tables = raw.get(name)
    for place, table in enumerate(tables if isinstance(tables, list) else ()):
        if isinstance(table, dict):
            yield place, table


def _mm(table: Mapping[str, Any], key: str, units: Units) -> float | None:
    try:
        return parse_length(table[key], units)
    except (KeyError, ValueError):
        return None


def _too_many_letters(raw: Mapping[str, Any]) -> Iterator[FaultAt]:
    words = [line.get("words") for _, line in _members(raw, "line")]
    letters = sum(len("".join(one.split())) for one in words if isinstance(one, str))
    if letters > written.MOST_LETTERS:
        found = f"the lines have {letters:,} letters in all, and {written.MOST_LETTERS:,} are the most"
        yield ("line",), found, "make two jobs of it"


def _both_weight_and_stem(path: Path, table: Any) -> Iterator[FaultAt]:
    if isinstance(table, dict) and "weight" in table and "stem" in table:
        later = list(table)[max(list(table).index("weight"), list(table).index("stem"))]
        yield (*path, later), "weight and stem are both set here", "keep one: either says how bold the letters are"


def _no_board_left(board: Mapping[str, Any], border: Any, units: Units) -> Iterator[FaultAt]:
    width, height, margin = (_mm(board, key, units) for key in ("width", "height", "margin"))
    if width is None or height is None or min(width, height) < written.SMALLEST_BOARD_MM:
        return  # that is a fault of its own
    side = format_length(min(width, height), units)
    if margin is not None and 2 * margin >= min(width, height):
        found = f"margins of {format_length(margin, units)} leave nothing of {side}"
        yield ("board", "margin"), found, f"stay under {format_length(min(width, height) / 2, units)}"
    if isinstance(border, dict):
        inset, stroke = _mm(border, "inset", units), _mm(border, "stroke", units)
        if inset is not None and stroke is not None and 2 * (inset + stroke) >= min(width, height):
            yield ("border", "inset"), f"the border leaves nothing of {side}", "bring it nearer to the edge"


def _all_faced_off(board: Mapping[str, Any], groove: Any, units: Units) -> Iterator[FaultAt]:
    thickness = _mm(board, "thickness", units)
    face_off = _mm(groove, "face_off", units) if isinstance(groove, dict) else None
    if thickness is not None and face_off is not None and 0 < thickness <= face_off:
        found = f"taking {format_length(face_off, units)} off the face leaves no board"
        yield ("groove", "face_off"), found, f"stay under {format_length(thickness, units)}"


def _off_the_board(path: Path, table: Mapping[str, Any], board: Mapping[str, Any], units: Units) -> Iterator[FaultAt]:
    for key, side in (("x", "width"), ("y", "height")):
        at, extent = _mm(table, key, units), _mm(board, side, units)
        if at is not None and extent is not None and at > extent > 0:
            found = f"its centre, {format_length(at, units)}, is off the board"
            yield (*path, key), found, f"the board's {side} is {format_length(extent, units)}"


def _height_out_of_range(path: Path, line: Mapping[str, Any], lettering: Any, units: Units) -> Iterator[FaultAt]:
    """A cap height that is right alone and absurd once the line's size is applied."""
    size = line.get("size", DEFAULTS["line.size"].value)
    inherited = lettering if isinstance(lettering, dict) else {}
    cap_height = _mm(line if "cap_height" in line else inherited, "cap_height", units)
    if cap_height is None or isinstance(size, bool) or not isinstance(size, int | float) or size == 1:
        return
    smallest, tallest = written.SMALLEST_LETTER_MM, written.TALLEST_LETTER_MM
    if smallest <= cap_height <= tallest and 0 < size <= 20 and not smallest <= cap_height * size <= tallest:
        found = f"letters {format_length(cap_height * size, units)} high would come of it"
        remedy = f"stay from {format_length(smallest, units, finest=64)} to {format_length(tallest, units)}"
        yield (*path, "size"), found, remedy


def _same_shift_twice(path: Path, line: Mapping[str, Any]) -> Iterator[FaultAt]:
    seen = set()
    shifts = line.get("shifts")
    for place, shift in enumerate(shifts if isinstance(shifts, list) else ()):
        pair = plain_pair(shift)
        if pair is None:
            continue
        if pair in seen:
            yield (*path, place), f"{shown(pair.letters)}, nth {pair.nth}, is shifted twice", "keep one of them"
        seen.add(pair)


def _same_letter_twice(path: Path, line: Mapping[str, Any]) -> Iterator[FaultAt]:
    """Two names for one stroke, and one letter widened twice."""
    for key, done in (("strokes", "is named"), ("widen", "is widened")):
        seen = set()
        tables = line.get(key)
        for place, table in enumerate(tables if isinstance(tables, list) else ()):
            letter = plain_letter(table)
            if letter is None:
                continue
            called = f"{shown(letter.letters)}, nth {letter.nth}"
            stroke = table.get("stroke") if key == "strokes" else None
            if (letter, stroke) in seen:
                of = f"stroke {stroke} of " if key == "strokes" else ""
                yield (*path, key, place), f"{of}{called}, {done} twice", "keep one of them"
            seen.add((letter, stroke))


def _planed_away(raw: Mapping[str, Any], units: Units) -> Iterator[FaultAt]:
    """A flat bottom that lay no deeper than what was planed off."""
    groove = raw.get("groove")
    planed = _mm(groove, "planed", units) if isinstance(groove, dict) else None
    if planed is None or not isinstance(groove, dict):
        return
    for path, table in ((("groove",), groove), *((("line", n), line) for n, line in _members(raw, "line"))):
        flat = _mm(table, "flat_bottom", units)
        if flat is not None and planed >= flat > 0:
            found = f"planing {format_length(planed, units)} off leaves nothing of it"
            yield (*path, "flat_bottom"), found, "plane less off, or carve the letters anew"


def _avoid_without_extent(path: Path, table: Mapping[str, Any]) -> Iterator[FaultAt]:
    sides = [key for key in ("width", "height") if key in table]
    if "radius" in table and sides:
        yield (*path, sides[0]), "it has a radius and sides", "keep the radius, or width and height"
    elif "radius" not in table and len(sides) < 2:
        yield path, "how large it is is not said", "give a radius, or width and height"
