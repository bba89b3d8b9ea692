"""A class: who learns in it, the board of each, and the tools that all of them need."""

from __future__ import annotations

from dataclasses import dataclass

from stopcut.shop.rates import Skill
from stopcut.shop.tools import Hand, Tool
from stopcut.work import Work

__all__ = ["Class", "Learner", "Member", "ToolNeed"]


@dataclass(frozen=True, slots=True)
class Learner:
    """One of the class: a name, the words for the job's first lines, how practised, and with which hand.

    key and line say where the list names the learner, for what may be wrong later on.
    """

    name: str
    words: tuple[str, ...]
    level: Skill = "first board"
    hand: Hand = "right"
    key: str = ""
    line: int | None = None


@dataclass(frozen=True, slots=True)
class Member:
    """A learner's board: the text of its job, and the job worked out."""

    learner: Learner
    text: str
    work: Work

    @property
    def name(self) -> str:
        """The learner's name."""
        return self.learner.name

    @property
    def words(self) -> str:
        """What the learner carves, lines parted by a stroke."""
        return " / ".join(self.learner.words)

    @property
    def level(self) -> Skill:
        """How practised the learner is."""
        return self.learner.level

    @property
    def hand(self) -> Hand:
        """The hand that holds the tool."""
        return self.learner.hand


@dataclass(frozen=True, slots=True)
class Class:
    """All members in the list's order.

    cap_height_mm is the one common to all, None where the job sets its heights or each has its own. It is that of the
    learner named longest; without whose words all others could be cut at without_longest_mm (None for a class of one).
    """

    members: tuple[Member, ...]
    cap_height_mm: float | None = None
    longest: str = ""
    without_longest_mm: float | None = None


@dataclass(frozen=True, slots=True)
class ToolNeed:
    """A tool: how many learners use it, how many at one time at most if all begin together at their likely pace, how
    many there are (None where nobody counted), and whether a left-handed learner wants one ground for that hand."""

    tool: Tool
    learners: int
    at_once: int
    there_are: int | None
    left: bool = False

    @property
    def name(self) -> str:
        """The tool's name."""
        return self.tool.name

    @property
    def short(self) -> int:
        """How many are lacking."""
        return 0 if self.there_are is None else max(0, self.at_once - self.there_are)
