"""A letter's walls parted as a carver parts them: a side of a stroke whole, a bracket, a facet, a tip.

The outline's edges are taken ring by ring:

1. A ring is parted at its corners. A tight turn round the groove is a tip, cleaned out with a point; a tight turn about
   the wood is a fillet where two strokes meet, and half of it goes with either wall.
2. Between these a side goes over from one stroke to the next where the strokes do, and from a bracket into the wall
   where the bracket's bend begins.
3. A sliver belongs to the neighbour that bends most like it: no carver counts it as a cut.
4. Where the way to slice turns for good, one cut ends and the next begins; a short stretch sliced the other way does
   not part a wall.
5. What a joint or a slight break parts is one side still: both halves of a stem's wall beside a bar are cut as one, and
   so is a wall that flares a little towards its end.

Every edge is in exactly one side. How long is short is our choice, from trials on A to Z of eight faces, and said
below.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Final, Literal

import numpy as np

from stopcut.arrays import Array
from stopcut.bench.grain import EITHER, sliced
from stopcut.bench.naming import side_of
from stopcut.bench.paths import along, evenly, nearest, turned_deg
from stopcut.bench.plan import Side, Stroke
from stopcut.bench.walls import Walls
from stopcut.job.job import Grain

__all__ = ["SLIVER_MM", "WallKind", "WallPart", "wall_parts"]

WallKind = Literal["wall", "bracket", "facet", "tip"]

TIGHT: Final = 0.4
"""What bends more is a tip or a fillet. [1/mm] Our choice: no gouge is so quick that it would be picked for them."""
TIP_DEG: Final = 40.0
FILLET_DEG: Final = 25.0
"""And it turns at least so far. [degrees] Our choice."""
LONGEST_TIP_MM: Final = 5.0
"""A tip is no longer than this. [mm] Our choice: a longer one is a wall."""
SLIVER_MM: Final = 2.5
SLIVER_SHARE: Final = 0.1
"""A stretch of wall shorter than the first, or than the second of its stroke, goes with a neighbour. [mm, share]"""
ACROSS_DEG: Final = 25.0
"""A sliver goes across a lesser break than this. [degrees] A greater one is a true corner, and a facet between two
corners stays a cut however short."""
DEEP_MM: Final = 2.5
"""What goes deeper than this is no tip but a joint, and goes with the wall beside it. [mm] Our choice: a point cleans
no deeper."""
NEAR_MM: Final = 0.05
"""A wall that goes down to within this of a dot's middle is the dot's. [mm] Our choice: rounding."""
BENDS: Final = 0.02
"""What bends less is straight where a wall and its serif are told apart. [1/mm] Our choice: 0.1 mm over a 6 mm edge."""
OF_BRACKET: Final = 0.3
"""A bracket begins where the wall bends this share of the bracket's greatest bend. Our choice."""
CONTRARY_MM: Final = 8.0
CONTRARY_SHARE: Final = 0.25
LONGEST_CONTRARY_MM: Final = 13.0
"""A stretch sliced the other way that is shorter than the first, or than the second of its wall and the third, does not
part it. [mm, share, mm] Our choice: the edge is turned round there, and goes on."""
HALF_TURN_DEG: Final = 14.0
HALF_ASIDE: Final = 0.5
"""Two walls beside a joint are halves of one side if they head the same way within the first and the second lies no
further beside the first than the second. [degrees, half-widths of the stroke] Our choice."""
FILLET_ENDS: Final = 0.1
"""A wall heads as it does where it first bends less than this. [1/mm] Our choice: beyond its fillet."""
BREAK_DEG: Final = 20.0
STRAIGHT_ON_DEG: Final = 1.5
"""Walls of one side that meet at a lesser break than the first are one side. At less than the second an edge of 20 mm
laid across stands off by no more than 0.13 mm; at more it is set anew. [degrees] Our choice."""
END_WIDTHS: Final = 3.0
"""What ends a stroke is no longer than this. [half-widths] Our choice."""
FACET_DEG: Final = 40.0
FACET_BOW: Final = 0.2
"""What ends a stroke at such an angle to it or more, and bows less than such a share of its width, is a facet; else it
is a bracket. [degrees, share] Our choice."""


@dataclass(frozen=True, slots=True)
class WallPart:
    """What one cut takes of a letter's walls: rows of faces, each in the order of its ring, and which part they are.

    stroke is the stroke's number (0 for none); side is the wall's (None for what has none).
    """

    rows: tuple[tuple[int, ...], ...]
    part: WallKind
    stroke: int
    side: Side | None = None


@dataclass(frozen=True, slots=True)
class _Run:
    """Faces in a row with one owner; at_serif says whether they belong to a serif or a stroke's end."""

    faces: tuple[int, ...]
    stroke: int
    at_serif: bool


@dataclass(frozen=True, slots=True)
class _Span:
    """Faces in a row between corners, tips and fillets; tip is True for a tip."""

    faces: tuple[int, ...]
    tip: bool = False


def wall_parts(walls: Walls, strokes: Sequence[Stroke], grain: Grain) -> tuple[WallPart, ...]:
    """Every face of a letter's walls in exactly one part; tips last, all of them as one part."""
    letter = _Letter(walls, {stroke.number: stroke for stroke in strokes}, _owners(walls, strokes), grain)
    parts: list[WallPart] = []
    tips: list[tuple[int, ...]] = []
    for ring in _rings(walls):
        for span in _without_slivers(_spans(letter, ring), letter):
            if span.tip:
                tips.append(span.faces)
            else:
                parts += _parts_of(letter, span)
    parts = [replace(part, rows=_unbroken(walls, part.rows)) for part in _halves_joined(letter, parts)]
    return (*parts, *([WallPart(tuple(tips), "tip", 0)] if tips else []))


@dataclass(frozen=True, eq=False, slots=True)
class _Letter:
    """A letter's walls, its strokes by number, and which main stroke each face belongs to (0 for none)."""

    walls: Walls
    strokes: dict[int, Stroke]
    owners: Sequence[int]
    grain: Grain

    def length(self, faces: Iterable[int]) -> float:
        """How long faces are on the outline. [mm]"""
        return float(self.walls.length_mm[list(faces)].sum())

    def depth(self, faces: Iterable[int]) -> float:
        """How deep the walls of faces go. [mm]"""
        return max(depth for face in faces for _, depth in self.walls.profiles[face])

    def bend(self, faces: Iterable[int]) -> float:
        """The mean bend of faces. [1/mm]"""
        own = list(faces)
        return float(np.average(self.walls.bend[own], weights=self.walls.length_mm[own]))

    def turn_deg(self, faces: Iterable[int]) -> float:
        """How far faces turn, round the groove positive. [degrees]"""
        own = list(faces)
        return float(np.degrees((self.walls.bend[own] * self.walls.length_mm[own]).sum()))

    def heading_deg(self, face: int) -> float:
        """The way a face's edge heads. [degrees]"""
        dx, dy = self.walls.direction[face].tolist()
        return float(np.degrees(np.arctan2(dy, dx)))

    def sliver_mm(self, stroke: int) -> float:
        """What is shorter is a sliver of this stroke. [mm]"""
        own = self.strokes.get(stroke)
        length = float(along(own.points)[-1]) if own is not None and len(own.points) > 1 else 0.0
        return max(SLIVER_MM, SLIVER_SHARE * length)


def _owners(walls: Walls, strokes: Sequence[Stroke]) -> list[int]:
    """The main stroke of each face: a serif's belong to the stroke that ends in it."""
    main = [stroke for stroke in strokes if stroke.kind != "serif"]
    ends_in = {}
    for stroke in strokes:
        if stroke.kind == "serif" and main:
            deepest = stroke.points[int(stroke.half_width_mm.argmax())][None]
            ends_in[stroke.number] = main[int(nearest([one.points for one in main], deepest)[0][0])].number
    dots = [(pit.x_mm, pit.y_mm) for pit in walls.groove.pits]
    owners = [ends_in.get(label.stroke, label.stroke) for label in walls.labels]
    for face, loop in enumerate(walls.groove.roof.faces if dots else ()):
        deepest = walls.groove.nodes_mm[loop[int(walls.groove.roof.heights[loop].argmax())]]
        if any(np.hypot(*(deepest - dot)) <= NEAR_MM for dot in dots):
            owners[face] = 0  # a dot belongs to no stroke, however near the letter's stem stands
    return owners


def _rings(walls: Walls) -> list[list[int]]:
    out: list[list[int]] = []
    seen: set[int] = set()
    for face in range(len(walls.following)):
        if face in seen:
            continue
        ring = [face]
        while (after := int(walls.following[ring[-1]])) != face:
            ring.append(after)
        seen.update(ring)
        out.append(ring)
    return out


def _spans(letter: _Letter, ring: list[int]) -> list[_Span]:
    """Rule 1: a ring between its corners, tips and fillets, round it in order."""
    walls = letter.walls
    starts = {n for n, face in enumerate(ring) if walls.corner[face]}
    tips: set[int] = set()  # the places where a tip begins
    for first, last, sign in _tight(walls, ring):
        faces = [ring[n % len(ring)] for n in range(first, last)]
        turn = letter.turn_deg(faces)
        if sign > 0 and turn >= TIP_DEG and letter.length(faces) <= LONGEST_TIP_MM:
            starts |= {first % len(ring), last % len(ring)}
            tips.add(first % len(ring))
        elif sign < 0 and turn <= -FILLET_DEG:
            starts.add((first + _middle(letter, faces)) % len(ring))
    places = sorted(starts)
    if not places:
        return [_Span(tuple(ring))]
    return [
        _Span(tuple(ring[start:end] if end > start else ring[start:] + ring[:end]), start in tips)
        for start, end in zip(places, [*places[1:], places[0]], strict=True)
    ]


def _tight(walls: Walls, ring: list[int]) -> list[tuple[int, int, int]]:
    """Rows of faces that bend tightly, and which way: (first, last, sign), last not included and perhaps beyond the
    ring's end."""
    count = len(ring)
    signs = [0 if abs(bend) < TIGHT else 1 if bend > 0 else -1 for bend in walls.bend[ring].tolist()]
    begins = [n for n in range(count) if signs[n] and (signs[n] != signs[n - 1] or walls.corner[ring[n]])]
    out = []
    for first in begins:
        last = first + 1
        while last < first + count and signs[last % count] == signs[first] and not walls.corner[ring[last % count]]:
            last += 1
        out.append((first, last, signs[first]))
    return out


def _middle(letter: _Letter, faces: list[int]) -> int:
    """The place within faces that lies halfway through their turn."""
    turn = np.abs(letter.walls.bend[faces] * letter.walls.length_mm[faces])
    passed = np.concatenate([[0.0], np.cumsum(turn)])
    return int(np.abs(passed - passed[-1] / 2).argmin())


def _without_slivers(spans: list[_Span], letter: _Letter) -> list[_Span]:
    """Short spans are tips, or go with a neighbour; tips that touch are one."""
    spans = [
        replace(span, tip=True)
        if not span.tip and letter.length(span.faces) <= SLIVER_MM and letter.depth(span.faces) <= DEEP_MM
        else span
        for span in spans
    ]
    while len(spans) > 1:
        place = next((n for n, span in enumerate(spans) if _goes(span, letter, len(spans))), None)
        if place is None:
            break
        before, after = spans[place - 1], spans[(place + 1) % len(spans)]
        here = spans[place]
        breaks = abs(letter.walls.turn[here.faces[0]]), abs(letter.walls.turn[after.faces[0]])
        backward = (before.tip, breaks[0]) < (after.tip, breaks[1])
        spans = _merged(spans, place - 1 if backward else place)
    n = 0
    while len(spans) > 1 and n < len(spans):
        one, other = spans[n - 1], spans[n]
        if one.tip and other.tip and letter.length(one.faces + other.faces) <= LONGEST_TIP_MM:
            spans = _merged(spans, n - 1)
            n = 0
        else:
            n += 1
    return spans


def _goes(span: _Span, letter: _Letter, count: int) -> bool:
    """Whether a span that is no tip, or too deep for one, goes with a neighbour."""
    if count < 2:
        return False
    if span.tip:
        return letter.depth(span.faces) > DEEP_MM and letter.length(span.faces) <= SLIVER_MM
    return letter.length(span.faces) <= SLIVER_MM


def _merged(spans: list[_Span], first: int) -> list[_Span]:
    """Spans with one (its place may be -1) and the next laid together, as what the longer one is."""
    first %= len(spans)
    second = (first + 1) % len(spans)
    one, other = spans[first], spans[second]
    whole = _Span(one.faces + other.faces, (one if len(one.faces) >= len(other.faces) else other).tip)
    if one.tip != other.tip:
        whole = replace(whole, tip=False)
    out = [span for n, span in enumerate(spans) if n not in (first, second)]
    out.insert(first if second else 0, whole)
    return out


def _parts_of(letter: _Letter, span: _Span) -> list[WallPart]:
    """Rules 2 to 4 for one span."""
    out = []
    for run in _runs(letter, list(span.faces)):
        part: WallKind = "wall"
        whole = len(run.faces) == len(span.faces)
        if whole and (run.at_serif or _is_short(letter, run)) and _is_facet(letter, run):
            part = "facet"
        elif run.at_serif:
            part = "bracket"
        rows = [run.faces] if part != "wall" else _by_slicing(letter, run.faces)
        for row in rows:
            side = side_of(letter.walls.path(row), letter.strokes.get(run.stroke)) if part != "facet" else None
            out.append(WallPart((row,), part, run.stroke, side))
    return out


def _is_short(letter: _Letter, run: _Run) -> bool:
    """Whether a run is no longer than what ends a stroke: the flat of an apex."""
    stroke = letter.strokes.get(run.stroke)
    return stroke is not None and letter.length(run.faces) <= END_WIDTHS * float(stroke.half_width_mm.max())


def _is_facet(letter: _Letter, run: _Run) -> bool:
    """Whether a run from corner to corner goes across its stroke's end."""
    stroke = letter.strokes.get(run.stroke)
    if stroke is None or len(stroke.points) < 2:
        return True
    line = letter.walls.path(run.faces)[:, :2]
    chord = line[-1] - line[0]
    span = max(float(np.hypot(*chord)), 1e-9)
    off = line - line[0]
    bow = float(np.abs(off[:, 0] * chord[1] - off[:, 1] * chord[0]).max()) / span**2
    points, _ = evenly(stroke.points, along(stroke.points)[-1] / 12)
    last = np.hypot(*(points[-1] - line.mean(axis=0))) < np.hypot(*(points[0] - line.mean(axis=0)))
    way = points[-1] - points[-4] if last else points[0] - points[3]
    across = abs(float(way @ chord)) / (max(float(np.hypot(*way)), 1e-9) * span)
    return bow <= FACET_BOW and across <= np.cos(np.radians(FACET_DEG))


def _runs(letter: _Letter, faces: list[int]) -> list[_Run]:
    """Rules 2 and 3: a span's faces by owner, slivers taken in, brackets from where their bend begins."""
    runs: list[_Run] = []
    for face in faces:
        owner, at_serif = letter.owners[face], letter.walls.labels[face].region != "wall"
        if runs and (runs[-1].stroke, runs[-1].at_serif) == (owner, at_serif):
            runs[-1] = replace(runs[-1], faces=(*runs[-1].faces, face))
        else:
            runs.append(_Run((face,), owner, at_serif))
    runs = _taken_in(letter, runs)
    for n in range(len(runs) - 1):
        if runs[n].at_serif != runs[n + 1].at_serif:
            runs[n], runs[n + 1] = _at_the_bend(letter, runs[n], runs[n + 1])
    runs = [run for run in runs if run.faces]
    return _taken_in(letter, runs)


def _taken_in(letter: _Letter, runs: list[_Run]) -> list[_Run]:
    """Slivers go to the neighbour that bends most like them; neighbours that are the same are one."""
    runs = list(runs)
    while len(runs) > 1:
        short = [(letter.length(run.faces), n) for n, run in enumerate(runs)]
        length, n = min(short)
        same = next((k for k in range(len(runs) - 1) if _alike(runs[k], runs[k + 1])), None)
        if same is not None:
            runs[same : same + 2] = [replace(runs[same], faces=runs[same].faces + runs[same + 1].faces)]
            continue
        between = next((k for k in range(1, len(runs) - 1) if _passed(letter, *runs[k - 1 : k + 2])), None)
        if between is not None:
            runs[between] = replace(runs[between - 1], faces=runs[between].faces)
            continue
        limit = SLIVER_MM if runs[n].at_serif else letter.sliver_mm(runs[n].stroke)
        if length >= limit:
            break
        beside = [k for k in (n - 1, n + 1) if 0 <= k < len(runs)]
        own = letter.bend(runs[n].faces)
        near = min(beside, key=lambda k: (abs(letter.bend(runs[k].faces) - own), k))
        low, high = min(n, near), max(n, near)
        runs[low : high + 1] = [replace(runs[near], faces=runs[low].faces + runs[high].faces)]
    return runs


def _passed(letter: _Letter, before: _Run, here: _Run, after: _Run) -> bool:
    """Whether a wall only passes where another stroke meets its own: it goes on beyond."""
    own = letter.length(here.faces)
    beside = letter.length(before.faces) + letter.length(after.faces)
    return _alike(before, after) and not here.at_serif and not before.at_serif and own < beside


def _alike(one: _Run, other: _Run) -> bool:
    return (one.stroke, one.at_serif) == (other.stroke, other.at_serif)


def _at_the_bend(letter: _Letter, one: _Run, other: _Run) -> tuple[_Run, _Run]:
    """A serif's run and a wall's beside it, parted where the bracket's bend begins."""
    serif, wall = (one, other) if one.at_serif else (other, one)
    bend = letter.walls.bend
    outward = list(serif.faces[::-1] if one.at_serif else serif.faces)  # from the border to the serif's tip
    inward = list(wall.faces if one.at_serif else wall.faces[::-1])
    most = _bracket_bend(letter, outward)
    if abs(most) < BENDS:
        moved, kept = outward, []
    else:
        sign = 1 if most > 0 else -1
        begins = max(OF_BRACKET * abs(most), BENDS)
        moved = []
        while len(moved) < len(outward) and sign * bend[outward[len(moved)]] < begins:
            moved.append(outward[len(moved)])
        kept = outward[len(moved) :]
        if not moved:
            room = letter.length(serif.faces)
            while inward and sign * bend[inward[0]] >= begins and room > 0:
                room -= float(letter.walls.length_mm[inward[0]])
                kept.insert(0, inward.pop(0))
    inward = moved[::-1] + inward
    if one.at_serif:
        return replace(serif, faces=tuple(kept[::-1])), replace(wall, faces=tuple(inward))
    return replace(wall, faces=tuple(inward[::-1])), replace(serif, faces=tuple(kept))


def _bracket_bend(letter: _Letter, faces: list[int]) -> float:
    """How a serif's run bends where it does most of its turning, the tight tip left out. [1/mm]"""
    own = np.array(faces, dtype=np.int64)
    own = own[np.abs(letter.walls.bend[own]) < TIGHT]
    bend, length = letter.walls.bend[own], letter.walls.length_mm[own]
    turn = np.abs(bend) * length
    sign = 1.0 if float((bend * length).sum()) > 0 else -1.0
    turn = np.where(bend * sign > 0, turn, 0.0)
    return float(np.average(bend, weights=turn)) if turn.sum() > 0 else 0.0


def _by_slicing(letter: _Letter, faces: tuple[int, ...]) -> list[tuple[int, ...]]:
    """Rule 4: a wall parted where the way to slice turns for good."""
    walls = letter.walls
    own = list(faces)
    whole = walls.whole(own)
    length = walls.length_mm[own]
    products = sliced(walls.direction[own], letter.grain)
    signs = np.where(np.abs(products) < EITHER, 0, np.sign(products)).astype(int)
    if whole:
        turns = [n for n in range(len(own)) if signs[n] and _sign_before(signs, n) == -signs[n]]
        if not turns:
            return [faces]
        own, length, signs = own[turns[0] :] + own[: turns[0]], np.roll(length, -turns[0]), np.roll(signs, -turns[0])
    runs: list[list[int]] = []  # first, last, sign
    for n, sign in enumerate(signs.tolist()):
        if runs and sign in (0, runs[-1][2]):
            runs[-1][1] = n + 1
        elif runs and runs[-1][2] == 0:
            runs[-1][1:] = [n + 1, sign]
        else:
            runs.append([n, n + 1, sign])
    least = max(CONTRARY_MM, min(CONTRARY_SHARE * float(length.sum()), LONGEST_CONTRARY_MM))
    while len(runs) > 1:
        lengths = [float(length[first:last].sum()) for first, last, _ in runs]
        n = int(np.argmin(lengths))
        if lengths[n] >= least:
            break
        beside = max((k for k in (n - 1, n + 1) if 0 <= k < len(runs)), key=lambda k: (lengths[k], -k))
        low, high = min(n, beside), max(n, beside)
        runs[low : high + 1] = [[runs[low][0], runs[high][1], runs[beside][2]]]
        runs = _same_signs(runs)
    return [tuple(own[first:last]) for first, last, _ in runs]


def _sign_before(signs: np.ndarray, n: int) -> int:
    """The last sign before a place, round the ring."""
    for back in range(1, len(signs)):
        if signs[n - back]:
            return int(signs[n - back])
    return 0


def _same_signs(runs: list[list[int]]) -> list[list[int]]:
    out: list[list[int]] = []
    for run in runs:
        if out and out[-1][2] == run[2]:
            out[-1][1] = run[1]
        else:
            out.append(run)
    return out


def _halves_joined(letter: _Letter, parts: list[WallPart]) -> list[WallPart]:
    """Rule 5: walls of one stroke and side that go on in the same way beyond a joint or a slight break are one."""
    out = list(parts)
    n = 0
    while n < len(out):
        k = next((k for k in range(n + 1, len(out)) if _go_on(letter, out[n], out[k])), None)
        if k is None:
            n += 1
            continue
        out[n] = replace(out[n], rows=_rows_joined(letter, out[n].rows + out[k].rows))
        del out[k]
    return out


def _rows_joined(letter: _Letter, rows: tuple[tuple[int, ...], ...]) -> tuple[tuple[int, ...], ...]:
    """Rows in the order of the ring, those between which the outline hardly breaks as one."""
    found = list(rows)
    n = 0
    while n < len(found):
        after = int(letter.walls.following[found[n][-1]])
        k = next((k for k, row in enumerate(found) if row[0] == after and k != n), None)
        if k is not None and abs(letter.walls.turn[after]) < STRAIGHT_ON_DEG:
            found[n] += found[k]
            del found[k]
            n = 0
        else:
            n += 1
    return tuple(found)


def _unbroken(walls: Walls, rows: Sequence[tuple[int, ...]]) -> tuple[tuple[int, ...], ...]:
    """Rows parted at the corners in them: what a neighbour has taken in beyond a corner is a line of its own."""
    out: list[tuple[int, ...]] = []
    for row in rows:
        starts = [n for n in range(1, len(row)) if walls.corner[row[n]] and abs(walls.turn[row[n]]) >= STRAIGHT_ON_DEG]
        out += [row[first:last] for first, last in pairwise([0, *starts, len(row)])]
    return tuple(out)


def _go_on(letter: _Letter, one: WallPart, other: WallPart) -> bool:
    if not one.part == other.part == "wall" or one.side is None:
        return False
    if (one.stroke, one.side) != (other.stroke, other.side) or one.stroke not in letter.strokes:
        return False
    wide = float(np.median(letter.strokes[one.stroke].half_width_mm))
    pairs = [(a, b) for a in one.rows for b in other.rows] + [(b, a) for a in one.rows for b in other.rows]
    for first, second in pairs:
        if int(letter.walls.following[first[-1]]) == second[0]:
            face = second[0]
            if letter.walls.corner[face] and abs(letter.walls.turn[face]) < BREAK_DEG:
                return True
        elif _beyond(letter, first, second, wide):
            return True
    return False


def _beyond(letter: _Letter, first: tuple[int, ...], second: tuple[int, ...], wide: float) -> bool:
    """Whether the second row of faces goes on where the first ended, the joint between them passed over."""
    walls = letter.walls
    leaves, enters = (
        letter.heading_deg(_straightest(letter, first[::-1])),
        letter.heading_deg(_straightest(letter, second)),
    )
    if abs(turned_deg(leaves, enters)) > HALF_TURN_DEG:
        return False
    last = first[-1]
    end: Array = walls.start[last] + walls.direction[last] * walls.length_mm[last]
    gap = walls.start[second[0]] - end
    heading = np.radians(leaves)
    onward = float(np.cos(heading) * gap[0] + np.sin(heading) * gap[1])
    aside = abs(float(np.cos(heading) * gap[1] - np.sin(heading) * gap[0]))
    return onward > -wide and aside <= HALF_ASIDE * wide + 0.05 * max(onward, 0.0)


def _straightest(letter: _Letter, faces: Sequence[int]) -> int:
    """The first straight face of a row, a fillet's passed over."""
    for face in faces:
        if abs(letter.walls.bend[face]) < FILLET_ENDS:
            return face
    return faces[0]
