"""What the page's board is told: a worked-out job as the JSON that the board draws.

In two parts, since letters are known long before their grooves: `setting_view` needs the setting alone, `groove_view`
adds grooves, lines and findings. Everything is in mm, y up, from the board's lower left corner; outlines are sent once
a page, by their digest, in their own unit, with the matrix that brings each letter to its place.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from functools import lru_cache
from typing import Any

from stopcut.errors import Where
from stopcut.groove.surface import Groove
from stopcut.job.job import Job
from stopcut.job.pairs import Pair
from stopcut.setting.set_board import SetLetter, SetLine
from stopcut.shape.outline import Bounds, Outline
from stopcut.shape.placed import Placed
from stopcut.sheets.drawn import foot_of
from stopcut.units import Units, format_length
from stopcut.work import Work

__all__ = ["centre_lines", "groove_view", "key_of", "known_grooves", "path_data", "setting_view"]

FOOT_SHARE = 0.12
"""How far under the reference line a gap's two ticks stand, of the cap height. Our choice, clear of most descents."""

MOST_SPOTS = 1000
"""Places of one cause that are marked on the board. Our choice: more are a grey, not marks."""

_LETTERS = {2: "L", 3: "Q", 4: "C"}
"""SVG's command for a segment of so many points. (SVG 1.1, 8.3)"""


def key_of(line: int, index: int) -> str:
    """A letter's name between page and program: "1:3" is the third letter of the first line."""
    return f"{line}:{index}"


def setting_view(work: Work, known: Collection[str] = ()) -> dict[str, Any]:
    """The board, its lines and letters. known are the digests of outlines that the page has."""
    job = work.job
    placed = [*work.setting.placed]
    drawn = [one.placed for one in work.ornaments]
    return {
        "width": _mm(job.board.width_mm),
        "height": _mm(job.board.height_mm),
        "margin": _mm(job.board.margin_mm),
        "grain": job.board.grain,
        "labels": {
            "width": format_length(job.board.width_mm, job.units),
            "height": format_length(job.board.height_mm, job.units),
            "grain": "grain",
        },
        "lines": [_line(work, line) for line in work.setting.lines],
        "drawn": [
            {
                "path": one.placed.outline.digest,
                "matrix": _matrix(one.placed),
                "what": "ornament",
                "carved": one.carved,
                "name": one.placed.char,
            }
            for one in work.ornaments
        ],
        "avoid": _avoid(job),
        "paths": _paths([*placed, *drawn], known),
        "grooves": [],
        "grooves_state": "coming",
        "centre": [],
        "pins": [],
        "figures": {
            "units": job.units,
            "step_fine": work.shop.screen.fine_step_mm,
            "step_coarse": work.shop.screen.coarse_step_mm,
        },
    }


def groove_view(work: Work, tile_url: str, known: Collection[str] = (), *, lines: bool = True) -> dict[str, Any]:
    """What the grooves add: tiles for the lamp, centre and corner lines if wanted, pins, and the border's outline.

    tile_url holds {digest}, where a tile is to be had.
    """
    together = {
        (placed.line, placed.index): [key_of(one.line, one.index) for one in letters if one.line]
        for letters in work.joined
        for placed in letters
    }
    borders = [one for one in work.grooves if not one.placed.line and not _is_ornament(work, one.placed)]
    return {
        "grooves": [_groove(one, tile_url, together) for one in work.grooves if one.placed.outline],
        "grooves_state": "ready",
        "centre": centre_lines(work) if lines else [],
        "pins": [
            {
                "number": cause.number,
                "x": x,
                "y": y,
                "severity": str(cause.severity),
                "says": cause.says,
                "spots": [[_mm(x), _mm(y)] for x, y in cause.spots[:MOST_SPOTS]],
            }
            for cause in work.causes
            for x, y in [_spot(work, cause.where)]
            if x is not None and y is not None
        ],
        "borders": [{"path": one.placed.outline.digest, "matrix": _matrix(one.placed)} for one in borders],
        "paths": _paths([one.placed for one in borders], known),
    }


def centre_lines(work: Work) -> list[dict[str, Any]]:
    """Centre and corner lines in board mm. There are thousands of points: for a board that shows them."""
    return [line for groove in work.grooves for line in _lines(groove)]


def known_grooves(grooves: Iterable[dict[str, Any]], view: dict[str, Any]) -> list[dict[str, Any]]:
    """Grooves for the letters of a view whose own are not worked out yet, from those of the same shapes before."""
    known = {groove["tile"]: groove for groove in grooves}
    return [
        {**known[letter["path"]], "matrix": letter["matrix"], "keys": [letter["key"]]}
        for line in view["lines"]
        for letter in line["letters"]
        if letter["path"] in known
    ]


def _line(work: Work, line: SetLine) -> dict[str, Any]:
    asked = next(one for one in work.job.lines if one.number == line.number)
    arc = None
    letters = [letter.placed for letter in line.letters if letter.placed.outline]
    if asked.arc is not None and any(placed.turn_deg for placed in letters):
        (x, y), (ux, uy) = foot_of(letters[0])
        out = asked.arc.radius_mm if asked.arc.bend == "up" else -asked.arc.radius_mm
        arc = {
            "x": _mm(x - out * ux),
            "y": _mm(y - out * uy),
            "radius": _mm(asked.arc.radius_mm),
            "bend": asked.arc.bend,
        }
    return {
        "number": line.number,
        "words": line.words,
        "baseline": _mm(line.baseline_y_mm),
        "cap": _mm(line.cap_height_mm),
        "left": _mm(line.ink_left_mm),
        "right": _mm(line.ink_right_mm),
        "arc": arc,
        "letters": [_letter(line, at, work.job.units) for at in range(len(line.letters))],
    }


def _letter(line: SetLine, at: int, units: Units) -> dict[str, Any]:
    letter = line.letters[at]
    placed = letter.placed
    follower = line.letters[at + 1] if at + 1 < len(line.letters) else None
    gap = None
    if letter.pair is not None and follower is not None:
        gap = _gap(letter, follower, line, letter.pair, units)
    before = line.letters[at - 1] if at else None
    return {
        "key": key_of(placed.line, placed.index),
        "line": placed.line,
        "index": placed.index,
        "char": placed.called,
        "name": f"{placed.called}, letter {placed.index} of {line.words}",
        "path": placed.outline.digest,
        "matrix": _matrix(placed),
        "box": _box(placed),
        "word": letter.word,
        "moves": gap is not None or (before is not None and before.pair is not None),
        "gap": gap,
    }


def _gap(letter: SetLetter, follower: SetLetter, line: SetLine, pair: Pair, units: Units) -> dict[str, Any]:
    """A gap's figures, and where its two ticks stand under the letters that face each other across it."""
    here, there = letter.placed, follower.placed
    leftwards = there.x_mm < here.x_mm and not here.turn_deg
    box, other = here.outline.bounds, there.outline.bounds
    return {
        "pair": pair.letters,
        "nth": pair.nth,
        "model": _mm(letter.model_gap_mm or 0.0),
        "shift": _mm(letter.shift_mm),
        "gap": _mm(letter.gap_after_mm or 0.0),
        "text": format_length(letter.gap_after_mm or 0.0, units).removesuffix(" mm").removesuffix(" in"),
        "by_hand": letter.shift_mm != 0,
        "from": _under(here, box.left if leftwards else box.right, line.cap_height_mm),
        "to": _under(there, other.right if leftwards else other.left, line.cap_height_mm),
    }


def _under(placed: Placed, across: float, cap_height_mm: float) -> list[float]:
    x, y = placed.point_mm((across, -FOOT_SHARE * cap_height_mm / placed.scale))
    return [_mm(x), _mm(y)]


def _groove(groove: Groove, tile_url: str, together: dict[tuple[int, int], list[str]]) -> dict[str, Any]:
    """A groove for the lamp, with the letters it is the groove of: more than one where they touch."""
    placed = groove.placed
    own = [key_of(placed.line, placed.index)] if placed.line else []
    return {
        "tile": placed.outline.digest,
        "url": tile_url.format(digest=placed.outline.digest),
        "matrix": _matrix(placed),
        "wall": groove.wall_deg,
        "flat": groove.flat_bottom_mm,
        "keys": together.get((placed.line, placed.index), own),
    }


def _lines(groove: Groove) -> list[dict[str, Any]]:
    placed = groove.placed
    keys = [key_of(placed.line, placed.index)] if placed.line else []
    return [
        {
            "d": "M" + "L".join(f"{x:.3f} {y:.3f}" for x, y in line.points),
            "kind": line.kind,
            "run": bool(line.parallel) and line.kind == "centre",
            "keys": keys,
        }
        for line in groove.lines
    ]


def _spot(work: Work, where: Where) -> tuple[float | None, float | None]:
    """Where a cause's pin goes: its own place, else the middle of its letter, else the start of its line."""
    if where.x_mm is not None and where.y_mm is not None:
        return _mm(where.x_mm), _mm(where.y_mm)
    for line in work.setting.lines:
        if line.number != where.line:
            continue
        for letter in line.letters:
            if letter.placed.index == where.index:
                x, y = letter.placed.bounds_mm.centre
                return _mm(x), _mm(y)
        return _mm(line.ink_left_mm), _mm(line.baseline_y_mm + line.cap_height_mm)
    return None, None


def _avoid(job: Job) -> list[dict[str, Any]]:
    return [
        {"what": one.what, "x": one.x_mm, "y": one.y_mm, "radius": one.radius_mm}
        if one.radius_mm is not None
        else {"what": one.what, "x": one.x_mm, "y": one.y_mm, "width": one.width_mm, "height": one.height_mm}
        for one in job.avoid
    ]


def _is_ornament(work: Work, placed: Placed) -> bool:
    return any(one.placed.outline.digest == placed.outline.digest for one in work.ornaments)


def _paths(placed: Iterable[Placed], known: Collection[str]) -> dict[str, str]:
    wanted = {one.outline.digest: one.outline for one in placed}
    return {digest: path_data(outline) for digest, outline in wanted.items() if digest not in known}


@lru_cache(maxsize=2048)
def path_data(outline: Outline) -> str:
    """An outline as SVG path data in its own unit, y up."""
    places = _places(outline.bounds)

    def number(value: float) -> str:
        text = f"{value:.{places}f}".rstrip("0").rstrip(".")
        return "0" if text in ("-0", "") else text

    pieces = []
    for contour in outline.contours:
        x, y = contour.segments[0][0]
        pieces.append(f"M{number(x)} {number(y)}")
        for segment in contour.segments:
            points = " ".join(f"{number(x)} {number(y)}" for x, y in segment[1:])
            pieces.append(f"{_LETTERS[len(segment)]}{points}")
        pieces.append("Z")
    return "".join(pieces)


def _places(box: Bounds) -> int:
    """Digits that keep a shape to a ten-thousandth of its size."""
    size = max(box.width, box.height, 1e-9)
    places = 4
    while size < 1 and places < 9:
        size, places = size * 10, places + 1
    return places


def _matrix(placed: Placed) -> list[float]:
    return [round(part, 6) + 0.0 for part in placed.matrix]


def _box(placed: Placed) -> list[float]:
    box = placed.bounds_mm
    return [_mm(box.left), _mm(box.bottom), _mm(box.right), _mm(box.top)]


def _mm(value: float) -> float:
    """Rounded to a thousandth of a millimetre: a tenth of what any screen shows."""
    return round(float(value), 3) + 0.0
