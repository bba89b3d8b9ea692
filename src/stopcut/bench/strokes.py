"""A letter's strokes, named as a carver names them: stem, bar, diagonal, leg, tail, bowl, arc, hairline, serif.

They are read off the centre lines:

1. A centre line shorter than STUB between joints belongs to the joint.
2. A line is parted where it bends sharply (SHARP_DEG), and where what is straight becomes a curve.
3. Parts that meet at a joint and go on in the same way are one stroke: the bar of a T, the arms of an X.
4. A straight stroke within UPRIGHT_DEG of upright is a stem, of level a bar, else a diagonal; a curve that turns
   BOWL_DEG or more is a bowl, else an arc. A straight part between two bends that go opposite ways is an arc too: the
   spine of an S.
5. A straight stroke much thinner than the letter's thickest is a hairline.
6. A sloping stroke that swings at its ends is one stroke; going down to the right it is the leg of an R or a K. What a
   Q has beside its bowl is its tail.
7. Two or more corner lines from one end of a stroke, spread wider than SERIF_SPREAD, are a serif.

How many degrees and half-widths is our choice, from trials on A to Z of three faces. Names can be wrong (a tail, a W
of crossing strokes), so every one may be overruled.
"""

from __future__ import annotations

import math
import unicodedata
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from stopcut.arrays import Array
from stopcut.bench.parts import Part, parts_of
from stopcut.bench.paths import along, closed, turned_deg
from stopcut.bench.plan import LetterKey, Stroke
from stopcut.groove.surface import Groove, GrooveLine
from stopcut.job.job import StrokeKind

__all__ = ["Overrule", "StrokeName", "strokes_of"]

StrokeName = tuple[int, int, int]
"""Line, letter and the stroke's number in its letter, all from 1."""
Overrule = Mapping[StrokeName, StrokeKind]
"""What the carver calls a stroke instead."""

STUB: Final = 1.6  # half-widths
UPRIGHT_DEG: Final = 12.0
BOWL_DEG: Final = 50.0
ON_DEG: Final = 18.0
ON_CURVE_DEG: Final = 29.0
"""Parts that turn less than this through a joint go on in the same way; the second where one of them is a curve."""
ON_ASIDE: Final = 1.0  # half-widths: how far to one side the other part may begin
ON_GAP: Final = 3.6  # half-widths: how far off
HAIRLINE: Final = 0.3  # of the thickest stroke's half-width
SERIF_SPREAD: Final = 1.5  # stroke widths between the outermost tips
ROOT: Final = 1.0  # half-widths: corner lines that begin so near to each other are one end's


@dataclass(frozen=True, slots=True)
class _Joint:
    """Two ends of parts that might be one stroke: which part, whether its last end; the lesser goes first."""

    cost: float
    one: tuple[int, bool]
    other: tuple[int, bool]


def strokes_of(groove: Groove, key: LetterKey, overrule: Overrule | None = None) -> tuple[Stroke, ...]:
    """The strokes of one groove, in the order that its lines come; serifs last.

    key is the letter's line and number; overrule renames strokes by line, letter and number.
    """
    lines = [line for line in groove.lines if line.kind == "centre" and len(line.points) > 1]
    parts = [
        replace(part, line=number)
        for number, line in enumerate(_without_stubs(lines))
        for part in _swung(parts_of(line.points, line.half_width_mm), groove.placed.turn_deg)
    ]
    parts = _without_scraps(_carried_on(_without_scraps(parts)))
    thickest = max((part.half_width for part in parts), default=0.0)
    kinds = [_kind(part, parts, groove.placed.turn_deg, thickest) for part in parts]
    char, turn = groove.placed.char, groove.placed.turn_deg
    kinds = [_called(kind, part, kinds, char, turn) for kind, part in zip(kinds, parts, strict=True)]
    shapes = [(kind, part.points, part.widths) for kind, part in zip(kinds, parts, strict=True)]
    shapes += [("serif", *serif) for serif in _serifs(groove, parts)]
    renamed = overrule or {}
    out = []
    for number, (kind, points, widths) in enumerate(shapes, 1):
        named = renamed.get((*key, number), kind)
        out.append(Stroke(key[0], key[1], number, groove.placed.char, named, points, widths))
    return tuple(out)


def _without_stubs(lines: list[GrooveLine]) -> list[GrooveLine]:
    """Rule 1. A line that is all there is stays, however short."""
    meeting = Counter(_place(line.points[end]) for line in lines for end in (0, -1))
    kept = []
    for line in lines:
        width = float(np.median(line.half_width_mm))
        joined = sum(meeting[_place(line.points[end])] > 1 for end in (0, -1))
        if not joined or along(line.points)[-1] >= STUB * width:
            kept.append(line)
    return kept or lines


def _swung(parts: list[Part], turn_deg: float) -> list[Part]:
    """Rule 6: one line's parts in a row, a sloping straight one with the slight curves that lead into and out of it."""
    out = list(parts)
    n = 0
    while n < len(out) - 1:
        one, other = out[n], out[n + 1]
        straight, curve = (one, other) if one.straight else (other, one)
        slant = _slant(straight, turn_deg)
        slopes = min(slant, 180.0 - slant) > UPRIGHT_DEG and abs(slant - 90.0) > UPRIGHT_DEG
        if straight.straight and not curve.straight and slopes and abs(curve.turned_deg) < BOWL_DEG:
            out[n : n + 2] = [replace(one.and_then(other), straight=True)]
            n = 0
        else:
            n += 1
    return out


def _slant(part: Part, turn_deg: float) -> float:
    """How a part slopes on the letter, 0 to 180: 90 is upright. [degrees]"""
    chord = part.points[-1] - part.points[0]
    return (math.degrees(math.atan2(float(chord[1]), float(chord[0]))) - turn_deg) % 180.0


def _without_scraps(parts: list[Part]) -> list[Part]:
    """Rule 1 for what is left over between parts: the bend at a joint is no stroke."""
    thickest = max((part.half_width for part in parts), default=0.0)

    def long_enough(part: Part) -> bool:
        return bool(along(part.points)[-1] >= max(STUB * part.half_width, thickest))

    kept = [part for part in parts if long_enough(part) or not any(part.split)]
    return kept or parts


def _place(point: Array) -> tuple[int, int]:
    """A point to 1 μm, to find lines that end in one node."""
    return round(float(point[0]) * 1000), round(float(point[1]) * 1000)


def _carried_on(parts: list[Part]) -> list[Part]:
    """Rule 3: parts joined through joints, the straightest way on first."""
    parts = list(parts)
    while True:
        joints = [
            _Joint(cost, (a, a_last), (b, b_last))
            for a in range(len(parts))
            for b in range(a + 1, len(parts))
            for a_last in (False, True)
            for b_last in (False, True)
            if (cost := _way_on(parts[a], a_last, parts[b], b_last)) is not None
        ]
        if not joints:
            return parts
        best = min(joints, key=lambda joint: (joint.cost, joint.one, joint.other))
        (a, a_last), (b, b_last) = best.one, best.other
        first = parts[a] if a_last else parts[a].turned()
        second = parts[b].turned() if b_last else parts[b]
        parts[a] = first.and_then(second)
        del parts[b]


def _way_on(a: Part, a_last: bool, b: Part, b_last: bool) -> float | None:
    """How far one part's end bends into the other's [degrees], or None where it does not go on in the same way."""
    if a.straight != b.straight or a.whole or b.whole or a.line == b.line:
        return None
    here, there = a.points[-1 if a_last else 0], b.points[-1 if b_last else 0]
    gap = there - here
    far, width = float(np.hypot(*gap)), max(a.half_width, b.half_width)
    if far > ON_GAP * width:
        return None
    out, into = a.leaving_deg(a_last), b.leaving_deg(b_last) + 180.0
    turn = abs(turned_deg(out, into))
    if turn > (ON_DEG if a.straight else ON_CURVE_DEG):
        return None
    heading = math.radians(out + turned_deg(out, into) / 2)
    aside = abs(math.cos(heading) * float(gap[1]) - math.sin(heading) * float(gap[0]))
    onward = math.cos(heading) * float(gap[0]) + math.sin(heading) * float(gap[1])
    return turn if aside <= ON_ASIDE * width and onward > -ON_ASIDE * width else None


def _kind(part: Part, parts: list[Part], turn_deg: float, thickest: float) -> StrokeKind:
    """Rules 4 and 5. turn_deg is how far the letter itself is turned on the board."""
    turned = part.turned_deg
    if not part.straight:
        return "bowl" if abs(turned) >= BOWL_DEG or closed(part.points) else "arc"
    if part.half_width < HAIRLINE * thickest:
        return "hairline"
    slant = _slant(part, turn_deg)
    if abs(slant - 90.0) <= UPRIGHT_DEG:
        return "stem"
    if min(slant, 180.0 - slant) <= UPRIGHT_DEG:
        return "bar"
    return "arc" if _is_spine(part, parts) else "diagonal"


WITH_LEG: Final = frozenset("RKk")
WITH_TAIL: Final = frozenset("Q")


def _called(kind: StrokeKind, part: Part, kinds: list[StrokeKind], char: str, turn_deg: float) -> StrokeKind:
    """Rule 6: a letter's leg or tail by its own name."""
    base = unicodedata.normalize("NFD", char)[:1]
    if base in WITH_LEG and kind in ("diagonal", "arc") and _slant(part, turn_deg) > 90.0 + UPRIGHT_DEG:
        return "leg"
    if base in WITH_TAIL and kind not in ("bowl", "serif") and "bowl" in kinds:
        return "tail"
    return kind


def _is_spine(part: Part, parts: list[Part]) -> bool:
    """Whether curves that bend opposite ways begin at a straight part's two ends."""
    bends = []
    for last in (False, True):
        here = part.points[-1 if last else 0]
        for other in parts:
            for other_last in (False, True):
                there = other.points[-1 if other_last else 0]
                if not other.straight and np.hypot(*(there - here)) < part.half_width:
                    bend = -other.turned_deg if other_last else other.turned_deg
                    bends.append((last, bend if last else -bend))
    return any(a != b and first * second < 0 for a, first in bends for b, second in bends)


def _serifs(groove: Groove, parts: list[Part]) -> list[tuple[Array, Array]]:
    """Rule 6: the path from tip to tip by way of the bottom, with its half-widths."""
    corners = [line for line in groove.lines if line.kind == "corner" and len(line.points) > 1]
    ends = [(part.points[end], part.half_width) for part in parts for end in (0, -1)]
    widest = max((part.half_width for part in parts), default=groove.max_depth_mm)
    fans: list[list[GrooveLine]] = []
    for line in corners:
        fan = next((fan for fan in fans if np.hypot(*(fan[0].points[0] - line.points[0])) <= ROOT * widest), None)
        if fan is None:
            fans.append([line])
        else:
            fan.append(line)
    out = []
    for fan in fans:
        pairs = [(np.hypot(*(a.points[-1] - b.points[-1])), n, a, b) for n, a in enumerate(fan) for b in fan[n + 1 :]]
        if not pairs:
            continue
        spread, _, one, other = max(pairs, key=lambda pair: (pair[0], -pair[1]))
        root = one.points[0]
        width = min(ends, key=lambda end: float(np.hypot(*(end[0] - root))))[1] if ends else widest
        if spread > SERIF_SPREAD * 2 * width:
            out.append(
                (
                    np.vstack([one.points[::-1], other.points]),
                    np.concatenate([one.half_width_mm[::-1], other.half_width_mm]),
                )
            )
    return out
