"""Every cut of every letter: what is stabbed, what is pared, with which tool of the roll and which way.

First a letter is parted as a carver parts it, whatever the tools: a stop cut along every stroke, its ends, its walls
whole, brackets and facets, the points, the floor of a flat bottom; where a stroke is deep its middle is relieved first.
Then the cuts of the whole board that are of one shape are laid together, and the tools are chosen for all of them at
once.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Final

import numpy as np

from stopcut.bench.choose import Held, Outfit, options
from stopcut.bench.families import families
from stopcut.bench.floor import floor_cuts
from stopcut.bench.grain import same_way, sliced, with_grain
from stopcut.bench.letter import AtBench, LetterAtBench, in_hand
from stopcut.bench.minutes import harder
from stopcut.bench.paths import evenly
from stopcut.bench.plan import Cut, CutLine, LetterKey, Stroke, Trace
from stopcut.bench.rules import in_order
from stopcut.bench.settings import PUBLISHED_BENCH, BenchSettings
from stopcut.bench.stops import Stab, stabs
from stopcut.bench.strokes import Overrule, strokes_of
from stopcut.bench.techniques import acute_caution
from stopcut.bench.toolset import Item, ToolSet, chosen_tools, next_tool
from stopcut.bench.trace import pared, stabbed
from stopcut.bench.turns import Turn, turns_of
from stopcut.bench.wall_sides import WallPart, wall_parts
from stopcut.bench.walls import Walls, walls_of
from stopcut.groove.surface import Groove
from stopcut.job.job import Grain, StrokeKind
from stopcut.shape.placed import Placed
from stopcut.shop.rates import PUBLISHED_RATES, Rates
from stopcut.shop.roll import published_roll
from stopcut.shop.tools import Roll, Tool

__all__ = ["Worked", "cuts_for", "forget", "keys_of", "strokes_for", "worked"]

KEPT: Final = 256
"""How many letters' cuts are kept in memory. Our choice, because a board has some tens of different letters."""
RELIEF_STEP_MM: Final = 2.0
"""A relief cut's line is told this often. [mm] Our choice."""


def keys_of(grooves: Sequence[Groove]) -> tuple[LetterKey, ...]:
    """Which letter each groove is; ornaments have line 0 and count from 1."""
    seen: Counter[int] = Counter()
    out = []
    for groove in grooves:
        placed = groove.placed
        seen[0] += placed.index <= 0
        out.append((placed.line, placed.index) if placed.index > 0 else (0, seen[0]))
    return tuple(out)


@dataclass(frozen=True, eq=False, slots=True)
class Worked:
    """All cuts of all letters, the strokes they belong to, and where the way to slice changes; letter by letter.

    saves is the one tool more that would save most time, and how many
    seconds at pace 1; None where none would.
    """

    cuts: tuple[Cut, ...] = ()
    strokes: tuple[Stroke, ...] = ()
    turns: tuple[Turn, ...] = ()
    saves: tuple[Tool, float] | None = None


def strokes_for(grooves: Sequence[Groove], overrule: Overrule | None = None) -> tuple[Stroke, ...]:
    """The strokes of all letters, in the grooves' order."""
    return tuple(
        stroke
        for groove, key in zip(grooves, keys_of(grooves), strict=True)
        for stroke in strokes_of(groove, key, overrule)
    )


def cuts_for(
    grooves: Sequence[Groove],
    roll: Roll | None = None,
    grain: Grain = "width",
    settings: BenchSettings = PUBLISHED_BENCH,
    overrule: Overrule | None = None,
) -> tuple[Cut, ...]:
    """All cuts of all letters, letter by letter, each letter's in the order as it is taught: see worked."""
    return worked(grooves, roll, grain, settings, overrule).cuts


def worked(
    grooves: Sequence[Groove],
    roll: Roll | None = None,
    grain: Grain = "width",
    settings: BenchSettings = PUBLISHED_BENCH,
    overrule: Overrule | None = None,
    *,
    rates: Rates = PUBLISHED_RATES,
    hardness_lbf: float | None = None,
    only: Iterable[str] | None = None,
    progress: Callable[[str, float], None] = lambda doing, done: None,
) -> Worked:
    """All cuts and strokes of all letters, letter by letter, each letter's cuts in the order as it is taught.

    roll is the published one if none is given; grain is the side of the board along which its fibres run; overrule
    names strokes otherwise than they are read. The tools are chosen by the rates and the wood's side hardness at 12 %
    moisture (None where it is not known: as for the wood of the rates); only are the names of tools that the carver has
    fixed upon. progress is told how much is done, 0 to 1; what it raises ends the work.
    """
    hardness = rates.hardness_lbf if hardness_lbf is None else hardness_lbf
    shop = Outfit(roll if roll is not None else published_roll(), settings, rates, hardness)
    relief = settings.relief_passes * settings.pass_mm / harder(hardness, rates)
    bench = AtBench(grain, settings, round(relief, 6))
    keys = keys_of(grooves)
    shaped = []
    for number, (groove, key) in enumerate(zip(grooves, keys, strict=True)):
        progress("Cuts", number / len(grooves))
        names = tuple((stroke[2], kind) for stroke, kind in sorted((overrule or {}).items()) if stroke[:2] == key)
        shaped.append(_kept(_LetterAsked.of(groove, bench, names)))
    progress("Tools", 0.0)
    tooled, saves = _tooled(shaped, shop, only)
    cuts: list[Cut] = []
    strokes: list[Stroke] = []
    turns: list[Turn] = []
    for groove, key, shape in zip(grooves, keys, shaped, strict=True):
        cuts += _moved(tooled[id(shape)], groove.placed, key)
        x, y = groove.placed.x_mm, groove.placed.y_mm
        strokes += [
            replace(one, line=key[0], index=key[1], points=one.points + np.array([x, y])) for one in shape.strokes
        ]
        turns += [_turn_moved(turn, (x, y), key) for turn in shape.turns]
    return Worked(tuple(cuts), tuple(strokes), tuple(turns), saves)


@dataclass(frozen=True, eq=False, slots=True)
class _Shaped:
    """A letter's cuts without tools, where its own origin is the board's, as letter 0 of line 0."""

    cuts: tuple[Cut, ...] = ()
    strokes: tuple[Stroke, ...] = ()
    turns: tuple[Turn, ...] = ()
    wall_deg: float = 60.0


@dataclass(frozen=True, slots=True)
class _LetterAsked:
    """All that a letter's cuts depend on but for where it stands; the groove, at the origin, follows from the rest."""

    digest: str
    is_letter: bool
    char: str
    scale: float
    turn_deg: float
    wall_deg: float
    flat_bottom_mm: float | None
    bench: AtBench
    names: tuple[tuple[int, StrokeKind], ...]
    groove: Groove = field(compare=False)

    @classmethod
    def of(cls, groove: Groove, bench: AtBench, names: tuple[tuple[int, StrokeKind], ...]) -> _LetterAsked:
        placed = groove.placed
        return cls(
            placed.outline.digest,
            placed.index > 0,
            placed.char,
            placed.scale,
            placed.turn_deg,
            groove.wall_deg,
            groove.flat_bottom_mm,
            bench,
            names,
            groove,
        )


def forget() -> None:
    """Forget the letters that were planned before: for who measures how long one takes."""
    _kept.cache_clear()


@lru_cache(maxsize=KEPT)
def _kept(asked: _LetterAsked) -> _Shaped:
    """A letter's cuts where its own origin is the board's."""
    overrule = {(0, 0, number): kind for number, kind in asked.names}
    return _shaped(_at_origin(asked.groove), asked.bench, overrule)


def _at_origin(groove: Groove) -> Groove:
    """The groove moved so that its outline's own origin is the board's."""
    placed = groove.placed
    by = np.array([placed.x_mm, placed.y_mm])
    return replace(
        groove,
        placed=replace(placed, x_mm=0.0, y_mm=0.0),
        nodes_mm=groove.nodes_mm - by,
        lines=tuple(replace(line, points=line.points - by) for line in groove.lines),
        pits=tuple(replace(pit, x_mm=pit.x_mm - placed.x_mm, y_mm=pit.y_mm - placed.y_mm) for pit in groove.pits),
    )


def _shaped(groove: Groove, bench: AtBench, overrule: Overrule) -> _Shaped:
    """Everything that a letter is cut in, whatever the tools."""
    if not groove.roof.faces:
        return _Shaped()
    key = (0, 0)
    strokes = strokes_of(groove, key, overrule)
    main = tuple(stroke for stroke in strokes if stroke.kind != "serif")
    letter = LetterAtBench(groove, key, {stroke.number: stroke for stroke in strokes}, main, bench)
    walls = walls_of(groove, strokes)
    found = [cut for stab in stabs(groove, strokes, bench.settings) for cut in _stabbed(stab, letter)]
    found += [_pared(part, walls, letter) for part in wall_parts(walls, strokes, bench.grain)]
    found += floor_cuts(walls, letter)
    cuts = in_order(found, bench.grain, bench.settings, letter.strokes)
    return _Shaped(tuple(cuts), strokes, turns_of(cuts, walls), groove.wall_deg)


def _stabbed(stab: Stab, letter: LetterAtBench) -> Iterator[Cut]:
    """A stop cut or an end's cuts, and the relief of a deep stroke's middle."""
    settings, grain = letter.bench.settings, letter.bench.grain
    straight = settings.stab_tolerance_mm / 2
    lines = [CutLine(line) for line in stab.lines]
    traces = [stabbed(line, stab.half_width_mm, straight) for line in stab.lines]
    cut = letter.cut(stab.kind, stab.stroke, None, lines, traces)
    by_hand = settings.soft_wood and all(with_grain(line.points, grain) for line in lines)
    if stab.kind == "stop" and cut.depth_mm > letter.bench.relief_mm:
        yield _relieved(cut, stab, letter)
    yield replace(cut, by_hand=by_hand)


def _relieved(cut: Cut, stab: Stab, letter: LetterAtBench) -> Cut:
    """The middle of a deep stroke, taken out before it is stopped: as deep as all passes but the last."""
    line, _ = evenly(cut.points, RELIEF_STEP_MM)
    deep = line[:, 2] > letter.bench.relief_mm
    first, last = int(deep.argmax()), len(deep) - int(deep[::-1].argmax())
    line = line[max(0, min(first, last - 2)) : last].copy()
    share = letter.bench.relief_mm / letter.bench.settings.relief_passes
    line[:, 2] -= share
    found = letter.cut("relief", stab.stroke, None, [CutLine(line)], [stabbed(line, stab.half_width_mm, 1.0)])
    return replace(found, across_mm=((stab.half_width_mm, 0.0),))


def _pared(part: WallPart, walls: Walls, letter: LetterAtBench) -> Cut:
    """A part of the walls as a cut, each line of it sliced one way."""
    settings, grain = letter.bench.settings, letter.bench.grain
    lines = [line for row in part.rows for line in _lines_of(row, walls, grain, tip=part.part == "tip")]
    traces = [pared(walls, row) for row in part.rows]
    kind = {"wall": "wall", "facet": "wall", "bracket": "serif", "tip": "corner"}[part.part]
    cut = letter.cut(kind, part.stroke, part.side, lines, traces)  # type: ignore[arg-type]
    faces = [face for row in part.rows for face in row]
    cautions = [caution for row in part.rows for caution in acute_caution(walls, row, settings.acute_deg)]
    return replace(
        cut,
        by_hand=settings.soft_wood and all(with_grain(line.points, grain) for line in lines),
        wall_area_mm2=float(walls.area_mm2[faces].sum()),
        cautions=tuple(dict.fromkeys(cautions)),
    )


def _lines_of(row: Sequence[int], walls: Walls, grain: Grain, *, tip: bool) -> Iterator[CutLine]:
    """Faces in a row as lines, each sliced one way; a tip is cleaned from both sides."""
    faces = list(row)
    ways = same_way(sliced(walls.direction[faces], grain))
    if tip:
        yield CutLine(walls.path(faces), ways[0][2] if len(ways) == 1 else None, tuple(faces))
        return
    for first, last, way in ways:
        own = tuple(faces[first:last])
        yield CutLine(walls.path(own), way, own)


def _tooled(
    shaped: Sequence[_Shaped], shop: Outfit, only: Iterable[str] | None
) -> tuple[dict[int, tuple[Cut, ...]], tuple[Tool, float] | None]:
    """Each different letter's cuts with their tools, by its id; and the tool that would save most."""
    different = {id(one): one for one in shaped}
    times = Counter(id(one) for one in shaped)
    every = [(number, cut) for number, one in different.items() for cut in one.cuts]
    family = families([cut for _, cut in every])
    first: dict[int, Cut] = {}
    stands: dict[int, Counter[tuple[int, object]]] = {}
    for (number, cut), equal in zip(every, family, strict=True):
        first.setdefault(equal, cut)
        stands.setdefault(equal, Counter())[number, cut.place] += times[number]
    items = [Item(options(first[equal], shop), stands[equal]) for equal in sorted(first)]
    fixed = None
    if only is not None:
        names = {name.casefold() for name in only}
        fixed = [n for n, tool in enumerate(shop.roll.tools) if tool.name.casefold() in names]
    chosen = chosen_tools(items, shop, times, fixed)
    done: dict[int, list[Cut]] = {number: [] for number in different}
    for (number, cut), equal in zip(every, family, strict=True):
        done[number].append(
            _held(replace(cut, equals=equal), first[equal], items[equal - 1], chosen, shop, different[number].wall_deg)
        )
    found = next_tool(items, chosen, shop)
    return (
        {number: tuple(cuts) for number, cuts in done.items()},
        None if found is None else (shop.roll.tools[found[0]], found[1]),
    )


def _held(cut: Cut, first: Cut, item: Item, chosen: ToolSet, shop: Outfit, wall_deg: float) -> Cut:
    n = chosen.by_item[cut.equals - 1]
    if n is None:
        return in_hand(cut, first, None, 0.0, wall_deg, shop)
    held: Held = item.options.held(n, shop.roll.tools[n])
    return in_hand(cut, first, held, float(item.options.seconds[n]), wall_deg, shop)


def _moved(cuts: Sequence[Cut], placed: Placed, key: LetterKey) -> list[Cut]:
    """A letter's kept cuts where it stands, under its own name."""
    by = np.array([placed.x_mm, placed.y_mm, 0.0])
    line, letter = key
    return [
        replace(
            cut,
            id=_named(cut.id, key),
            line=line,
            letter=letter,
            lines=tuple(replace(one, points=one.points + by) for one in cut.lines),
            traces=tuple(_trace_moved(trace, by) for trace in cut.traces),
            after=tuple(_named(other, key) for other in cut.after),
        )
        for cut in cuts
    ]


def _trace_moved(trace: Trace, by: np.ndarray) -> Trace:
    return replace(trace, places=trace.places + by)


def _turn_moved(turn: Turn, by: tuple[float, float], key: LetterKey) -> Turn:
    """A kept spot where its letter stands."""
    one, other = (_named(cut, key) for cut in turn.cuts)
    x, y = turn.x_mm + by[0], turn.y_mm + by[1]
    return replace(turn, line=key[0], letter=key[1], x_mm=x, y_mm=y, cuts=(one, other))


def _named(kept: str, key: LetterKey) -> str:
    """A kept cut's id in the letter that it stands in now."""
    return f"{key[0]}.{key[1]}.{kept.rpartition('.')[2]}"
