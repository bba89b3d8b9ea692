"""The walls' cuts: each stretch of wall in pieces of one bend and one way to slice, tips cleaned out with a point."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from stopcut.bench.bends import Bend, bends
from stopcut.bench.choose import Choice, Purpose
from stopcut.bench.grain import same_way, sliced, with_grain
from stopcut.bench.joined import Link, Run, joined
from stopcut.bench.letter import Letter, held, mean, piece_of
from stopcut.bench.paths import Array
from stopcut.bench.plan import Cut, Side, Slice, Stroke
from stopcut.bench.techniques import acute_caution, cleaning, paring
from stopcut.bench.walls import Label, Stretch, Walls, stretches
from stopcut.shop.tools import Tool

__all__ = ["WallRow", "WallRows", "tip_tool", "wall_cuts", "wall_rows"]

TIP_MM: Final = 1.5
"""Stretches of outline between corners that are no longer than this are cleaned out with a point. [mm] Our choice: no
edge is so narrow."""
TIP_BEND: Final = 0.5
"""And so is what bends more than this: the round tips of serifs, the fillets at joints. [1/mm] Our choice: no gouge is
so quick that it would be picked for them."""
LONGEST_TIP_MM: Final = 5.0
"""But nothing longer than this. [mm] Our choice."""
TIP_POINT_MM: Final = 1.0
"""How much of an edge is its point. [mm] Our choice."""


@dataclass(frozen=True, slots=True)
class _Tip:
    """Faces in a row that are cleaned out with a point."""

    faces: tuple[int, ...]
    label: Label


@dataclass(frozen=True, slots=True)
class WallRow:
    """Pieces of one stretch that follow one another without a tip between: what each is, and the faces it takes."""

    stretch: Stretch
    links: tuple[Link, ...]
    faces: tuple[tuple[int, ...], ...]


@dataclass(frozen=True, slots=True)
class WallRows:
    """All that a letter's walls are pared in, whatever the tools: rows of pieces, and tips."""

    rows: tuple[WallRow, ...]
    tips: tuple[_Tip, ...]


def wall_rows(walls: Walls, letter: Letter) -> WallRows:
    """A letter's walls in pieces of one bend and one way to slice; every face is in exactly one piece or tip."""
    rows: list[WallRow] = []
    tips: list[_Tip] = []
    for stretch in stretches(walls):
        length = float(walls.length_mm[list(stretch.faces)].sum())
        if not (stretch.smooth_start and stretch.smooth_end) and length <= TIP_MM:
            tips.append(_Tip(stretch.faces, stretch.label))
        else:
            rows += _rows_of(stretch, walls, letter, tips)
    return WallRows(tuple(rows), tuple(_together(tips, walls)))


def wall_cuts(found: WallRows, walls: Walls, letter: Letter) -> list[Cut]:
    """All cuts of a letter's walls; every face is in exactly one."""
    cuts = []
    for row in found.rows:
        for run in joined(row.links, letter.bench.roll, letter.bench.settings, letter.favour):
            own = [face for faces in row.faces[run.first : run.last] for face in faces]
            cuts.append(_wall_cut(row.stretch, walls, letter, own, run))
    return cuts + [_cleaned(tip, walls, letter) for tip in found.tips]


def tip_tool(letter: Letter) -> Tool | None:
    """What tips are cleaned with: the narrowest straight edge, one with a point before others."""
    tools = [tool for tool in letter.bench.roll.tools if tool.straight and tool.kind != "parting"]
    return min(tools, key=lambda tool: (tool.kind not in ("skew", "fishtail"), tool.width_mm, tool.name), default=None)


def _together(tips: list[_Tip], walls: Walls) -> list[_Tip]:
    """Tips that touch are one, as long as that is not too long."""
    todo = {tip.faces[0]: tip for tip in tips}
    for first in sorted(todo):
        while first in todo:
            tip = todo[first]
            after = todo.get(int(walls.following[tip.faces[-1]]))
            both = tip.faces + (after.faces if after is not None else ())
            if after is None or after is tip or float(walls.length_mm[list(both)].sum()) > LONGEST_TIP_MM:
                break
            del todo[after.faces[0]]
            todo[first] = _Tip(both, tip.label)
    return list(todo.values())


def _rows_of(stretch: Stretch, walls: Walls, letter: Letter, tips: list[_Tip]) -> Iterator[WallRow]:
    """The rows of pieces in one stretch of wall; tips in it are added to tips."""
    settings, grain = letter.bench.settings, letter.bench.grain
    faces = list(stretch.faces)
    products = sliced(walls.direction[faces], grain)
    if walls.whole(faces):
        start = _change(products)
        faces, products = faces[start:] + faces[:start], np.roll(products, -start)
    length = walls.length_mm[faces]
    parts: list[_Part] = []
    for bend, tip in _tips_told(bends(walls.bend[faces], length, settings.tolerance_mm), length):
        runs = same_way(products[bend.first : bend.last]) if not tip else [(0, bend.last - bend.first, None)]
        for first, last, way in runs:
            part = Bend(bend.first + first, bend.first + last, bend.least, bend.most)
            parts.append(_Part(part, way, float(length[part.first : part.last].sum())))
    purpose: Purpose = "straight" if settings.serifs == "straight" and _is_serif(stretch) else "wall"
    for chain in _chains(parts, (not stretch.smooth_start, not stretch.smooth_end)):
        if chain[0].way is None:
            tips += [_Tip(tuple(faces[part.bend.first : part.bend.last]), stretch.label) for part in chain]
            continue
        yield WallRow(
            stretch,
            tuple(Link(piece_of(part.bend, length, purpose), part.way or "either") for part in chain),
            tuple(tuple(faces[part.bend.first : part.bend.last]) for part in chain),
        )


@dataclass(frozen=True, slots=True)
class _Part:
    """A piece of a stretch: its steps and bend, how to slice it (None for a tip), and how long it is. [mm]"""

    bend: Bend
    way: Slice | None
    length_mm: float


def _chains(parts: list[_Part], corners: tuple[bool, bool]) -> list[list[_Part]]:
    """Parts in a row that are pared, or tips; short ones beside a tip or a corner are part of the tip.

    corners says whether the stretch begins and ends at one.
    """
    tip = [corners[0], *(part.way is None for part in parts), corners[1]]
    out: list[list[_Part]] = []
    for n, part in enumerate(parts, 1):
        if part.length_mm <= TIP_MM and len(parts) > 1 and (tip[n - 1] or tip[n + 1]):
            part = replace(part, way=None)
        if out and (out[-1][0].way is None) == (part.way is None):
            out[-1].append(part)
        else:
            out.append([part])
    return out


def _tips_told(found: list[Bend], length: Array) -> Iterator[tuple[Bend, bool]]:
    """The pieces of a stretch, tight ones in a row as one; whether each is a tip."""
    row: list[Bend] = []
    for bend in found:
        if min(abs(bend.least), abs(bend.most)) < TIP_BEND or bend.least * bend.most < 0:
            yield from _row(row, length)
            row = []
            yield bend, False
        else:
            row.append(bend)
    yield from _row(row, length)


def _row(row: list[Bend], length: Array) -> Iterator[tuple[Bend, bool]]:
    if row and float(length[row[0].first : row[-1].last].sum()) <= LONGEST_TIP_MM:
        yield Bend(row[0].first, row[-1].last, row[0].least, row[0].most), True
    else:
        yield from ((bend, False) for bend in row)


def _wall_cut(stretch: Stretch, walls: Walls, letter: Letter, faces: list[int], run: Run) -> Cut:
    settings, grain = letter.bench.settings, letter.bench.grain
    points = walls.path(faces)
    label = stretch.label
    end = label.region == "end" and not _is_serif(stretch)
    side = None if end else _side(points, letter.strokes.get(label.stroke))
    cut = letter.cut("serif" if _is_serif(stretch) else "wall", label.stroke, side, points)
    by_hand = settings.soft_wood and with_grain(points, grain)
    cut = replace(
        cut,
        slice=run.way,
        by_hand=by_hand,
        bend=mean(walls.bend[faces], walls.length_mm[faces], 0, len(faces)),
        wall_area_mm2=float(walls.area_mm2[faces].sum()),
        faces=tuple(faces),
        cautions=acute_caution(walls, faces, settings.acute_deg),
    )
    return held(cut, run.choice, paring(cut, run.choice, end=end), run.piece, letter.groove.wall_deg)


def _is_serif(stretch: Stretch) -> bool:
    """Whether it is a serif's; half a serif, a bracket out to its only tip, looks like an end but for its bow."""
    smooth = stretch.smooth_start or stretch.smooth_end
    return stretch.label.region == "serif" or (stretch.label.region == "end" and smooth)


def _cleaned(tip: _Tip, walls: Walls, letter: Letter) -> Cut:
    """A short stretch, cleaned out with the point of a straight edge."""
    faces = list(tip.faces)
    cut = letter.cut("corner", tip.label.stroke, None, walls.path(faces))
    tool = tip_tool(letter)
    ways = same_way(sliced(walls.direction[faces], letter.bench.grain))
    cut = replace(
        cut,
        slice=ways[0][2] if len(ways) == 1 else None,  # from both sides towards the tip
        wall_area_mm2=float(walls.area_mm2[faces].sum()),
        faces=tip.faces,
        cautions=acute_caution(walls, faces, letter.bench.settings.acute_deg),
    )
    edge = min(TIP_POINT_MM, float(walls.length_mm[faces].sum()))
    choice = None if tool is None else Choice(tool, edge, "point", 1)
    return held(cut, choice, cleaning(), wall_deg=letter.groove.wall_deg)


def _change(products: Array) -> int:
    """The first step at which the slicing direction changes, 0 where it never does: a wall all round begins there."""
    runs = same_way(products)
    return runs[1][0] if len(runs) > 1 else 0


def _side(points: Array, stroke: Stroke | None) -> Side | None:
    """On which side of its stroke a wall lies, looking along the stroke; the groove is on the wall's left."""
    if stroke is None or len(stroke.points) < 2:
        return None
    middle = points[len(points) // 2, :2]
    steps = np.diff(stroke.points, axis=0)
    near = int(np.hypot(*(stroke.points[:-1] + steps / 2 - middle).T).argmin())
    chord = points[-1, :2] - points[0, :2]
    return "right" if float(chord @ steps[near]) >= 0 else "left"
