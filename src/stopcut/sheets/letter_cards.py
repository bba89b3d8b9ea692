"""Which cards a board wants: one for each distinct letter, with every place where it stands.

Two letters share a card where they are cut alike: the same outline, size, wall, flat bottom and side of the grain, and
the same steps. The boards of a class share their cards likewise.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from stopcut.bench.cuts import keys_of
from stopcut.bench.plan import Cut, LetterKey
from stopcut.bench.planned import Plan
from stopcut.bench.steps import Step
from stopcut.groove.surface import Groove
from stopcut.shape.outline import Point
from stopcut.work import Work

__all__ = ["Bench", "Card", "CardStep", "StandsAt", "cards_of"]


@dataclass(frozen=True, eq=False, slots=True)
class Bench:
    """A board and its plan; whose it is, where several are cut from one pack ("" where it is the only one)."""

    work: Work
    plan: Plan
    whose: str = ""


@dataclass(frozen=True, slots=True)
class StandsAt:
    """A place where a letter stands: whose board, the letter's key, the words of its line, in which place it is carved
    (from 1), and how long it likely takes. [minutes]"""

    whose: str
    key: LetterKey
    words: str
    nth: int
    minutes: float


@dataclass(frozen=True, eq=False, slots=True)
class CardStep:
    """A step as a card lists it: its number there and its cuts."""

    number: int
    step: Step
    cuts: tuple[Cut, ...]


@dataclass(frozen=True, eq=False, slots=True)
class Card:
    """A distinct letter: its groove and steps at the first of its places, where the way of slicing turns there, and all
    its places, those that are carved sooner first."""

    groove: Groove
    char: str
    steps: tuple[CardStep, ...]
    turns: tuple[Point, ...]
    places: tuple[StandsAt, ...]

    @property
    def cuts(self) -> tuple[Cut, ...]:
        """Every cut in working order."""
        return tuple(cut for step in self.steps for cut in step.cuts)


def cards_of(benches: Sequence[Bench]) -> tuple[Card, ...]:
    """The cards of one board or of several, in the order in which their letters are first carved."""
    found: dict[object, list[tuple[Bench, LetterKey]]] = {}
    for bench in benches:
        grooves = _grooves(bench)
        for key in bench.plan.letters:
            found.setdefault(_alike(bench, grooves[key], key), []).append((bench, key))
    return tuple(_card(places) for places in found.values())


def _grooves(bench: Bench) -> dict[LetterKey, Groove]:
    """Letters as they are cut from the face as it is now, which is what is planned."""
    return dict(zip(keys_of(bench.work.pattern), bench.work.pattern, strict=True))


def _alike(bench: Bench, groove: Groove, key: LetterKey) -> tuple[object, ...]:
    """Equal for letters that are cut alike. Which tool of a phase comes first may differ by what is in the hand: the
    card has one order for all, except where the work goes stroke by stroke and its rounds name steps."""
    placed = groove.placed
    steps = [
        (step.verb, step.tool.name if step.tool else "", step.says) for step in bench.plan.steps if step.key == key
    ]
    return (
        placed.outline,
        round(placed.scale, 6),
        round(placed.turn_deg, 6),
        groove.wall_deg,
        groove.flat_bottom_mm,
        bench.work.job.board.grain,
        bench.work.job.units,
        tuple(steps if bench.plan.order == "stroke" else sorted(steps)),
    )


def _card(places: Sequence[tuple[Bench, LetterKey]]) -> Card:
    bench, key = places[0]
    plan = bench.plan
    cuts = {cut.id: cut for cut in plan.cuts}
    steps = [
        CardStep(number, step, tuple(cuts[one] for one in step.cuts))
        for number, step in enumerate((step for step in plan.steps if step.key == key), 1)
    ]
    groove = _grooves(bench)[key]
    turns = tuple((turn.x_mm, turn.y_mm) for turn in plan.turns if turn.key == key)
    return Card(groove, groove.placed.char, tuple(steps), turns, tuple(_standing(*place) for place in places))


def _standing(bench: Bench, key: LetterKey) -> StandsAt:
    line = key[0]
    words = bench.work.job.lines[line - 1].words if line else ""
    nth = bench.plan.letters.index(key) + 1
    return StandsAt(bench.whose, key, words, nth, bench.plan.letter_minutes[key])
