"""How a job is to be worked at the bench: which letter first, how within a letter, with which tools, by whose hand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeVar, get_args
from urllib.parse import urlencode

from stopcut.bench.order import Way, Within
from stopcut.shop.rates import Skill
from stopcut.store.values import BenchChoice

__all__ = ["PlanAsked"]

T = TypeVar("T", bound=str)


@dataclass(frozen=True, slots=True)
class PlanAsked:
    """What a plan is asked for; only are the names of the tools that are fixed upon, None where the plan chooses."""

    order: Way = "middle"
    within: Within = "strokes"
    skill: Skill = "practised"
    only: tuple[str, ...] | None = None

    @classmethod
    def of(cls, kept: BenchChoice) -> PlanAsked:
        """From what the store keeps; a word that this version does not know is as if it were not there."""
        return cls(
            _known(get_args(Way), kept.order, "middle"),
            _known(get_args(Within), kept.within, "strokes"),
            _known(get_args(Skill), kept.skill, "practised"),
            kept.only,
        )

    @property
    def kept(self) -> BenchChoice:
        """As the store keeps it."""
        return BenchChoice(self.order, self.within, self.skill, self.only)

    @property
    def query(self) -> str:
        """As an address has it. No tool fixed upon is told from none named by an empty name."""
        said = [("order", self.order), ("within", self.within), ("skill", self.skill)]
        return urlencode([*said, *(("only", name) for name in (() if self.only is None else (*self.only, "")))])

    @staticmethod
    def tools_of(only: Sequence[str]) -> tuple[str, ...] | None:
        """The tools of an address: None where it names none at all."""
        return tuple(name for name in only if name) if only else None


def _known(words: tuple[T, ...], said: str, otherwise: T) -> T:
    return next((word for word in words if word == said), otherwise)
