"""What can be wrong, as values: faults of a job, findings of a board, and the errors that carry them.

A *fault* is a wrong job: it names the key, the line of the file, what was found and what would do, and nothing is
made until it is mended. A *finding* is a right job that will not carve well somewhere: it names the place, the reason
and the remedy, and everything is drawn all the same. Neither is ever a printed line: the commands, the sheets and the
JSON show the same values.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

__all__ = [
    "Across",
    "BadFace",
    "BadFile",
    "CarverError",
    "FaceLacksCharacter",
    "Fault",
    "Finding",
    "Severity",
    "Where",
    "WrongJob",
]


class Severity(StrEnum):
    """How much a finding matters: stop (do not carve this), look (judge it yourself), note (worth knowing)."""

    STOP = "stop"
    LOOK = "look"
    NOTE = "note"


@dataclass(frozen=True, slots=True)
class Where:
    """A place on the board. All fields may be absent.

    line and index count from 1 (index is the letter within its line, spaces not counted); x_mm and y_mm are from the
    board's lower left corner. [mm]
    """

    line: int | None = None
    index: int | None = None
    x_mm: float | None = None
    y_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Across:
    """What a finding shares with its like elsewhere on the board.

    says is its sentence with {where} for where it holds: "1 mm is the thinnest stroke {where}; oak wants 2.5 mm."; bad
    orders them, the larger the worse; letters are those concerned, by line and letter from 1, chars what they are;
    wants_mm is the length that would do, where one would, times how many times as large what is no letter would do;
    apart keeps like findings of two causes apart; gaps are those that would do if they were wider, where it is a matter
    of gaps: line, the numbers of the two letters, and by how much [mm], 0 where that is not known.
    """

    says: str
    bad: float
    letters: tuple[tuple[int, int], ...] = ()
    chars: tuple[str, ...] = ()
    wants_mm: float | None = None
    apart: str = ""
    times: float | None = None
    gaps: tuple[tuple[int, int, int, float], ...] = ()


@dataclass(frozen=True, slots=True)
class Finding:
    """Something that will not carve well, where it is, what it says to the carver and what would mend it.

    code is a short stable name in lower case with hyphens ("too-deep"); says and remedy are sentences. screen is the
    remedy for somebody who sees no job file, where that is another.
    """

    code: str
    severity: Severity
    says: str
    remedy: str
    where: Where = field(default_factory=Where)
    screen: str = ""
    across: Across | None = None

    @property
    def on_screen(self) -> str:
        """What it says and what would mend it, for somebody who sees no job file."""
        return f"{self.says} {self.screen or self.remedy}"


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong with a job document.

    key is the dotted key as the job writes it ("board.width", "line[2].words"; "" for the document as a whole), line
    the line of the file, from 1 (None where there is none), found what stands there, remedy what would do.
    """

    key: str
    line: int | None
    found: str
    remedy: str

    def __str__(self) -> str:
        where = ", ".join(part for part in (self.key, f"line {self.line}" if self.line else "") if part)
        return f"{where}: {self.found}; {self.remedy}" if where else f"{self.found}; {self.remedy}"


class CarverError(Exception):
    """A mistake or misfortune that a person can mend; the message is for the carver."""


class WrongJob(CarverError):
    """The job document is wrong. faults holds every fault found, in the order of the file."""

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        super().__init__("\n".join(str(fault) for fault in faults))
        self.faults = faults


class BadFile(CarverError):
    """A file that cannot be read or written, or is not what it says it is."""


class BadFace(BadFile):
    """A font that cannot be used: not found, no font, or broken."""


class FaceLacksCharacter(CarverError):
    """The face has no shape for a character of the words.

    char is the character, line and index the line and letter (from 1), family the face; others are installed families
    that have it.
    """

    def __init__(self, char: str, line: int, index: int, family: str, others: tuple[str, ...] = ()) -> None:
        have = f" {' and '.join(others)} {'have' if len(others) > 1 else 'has'} it." if others else ""
        super().__init__(f"{family} has no '{char}' (line {line}, letter {index}).{have}")
        self.char, self.line, self.index, self.family, self.others = char, line, index, family, others
