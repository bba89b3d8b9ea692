"""A class's boards and its pack, worked out from the store's list: what is wrong is told of the learner whom it is of.

A learner with faults does not keep the others' boards back. All of it runs in a thread; progress may raise to stop it.
"""

from __future__ import annotations

import csv
import datetime
import hashlib
import io
import zipfile
from collections import OrderedDict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from threading import Lock

from stopcut.app.open_jobs import job_of
from stopcut.errors import Fault, WrongJob
from stopcut.options.class_list import class_of, needs, tools_there
from stopcut.options.class_plans import class_plans
from stopcut.options.learners import LEVELS, ClassList, parse_learners
from stopcut.sheets.class_pack import class_pack_pdf
from stopcut.shop.roll import read_roll
from stopcut.shop.shop_file import read_shop
from stopcut.store.values import LearnerEntry
from stopcut.teaching.in_class import Class, Member, ToolNeed
from stopcut.work import Progress
from stopcut.written.literals import literal

__all__ = ["Boards", "Pack", "ServedBoards", "boards_of", "learners_pasted", "pack_of", "text_digest"]

LINES_EACH = 5
"""Lines of a learner's table as it is written here."""
MOST_BOARDS, MOST_PACKS = 400, 6
"""Boards and packs that are kept to be asked for. Our choice: a few classes' worth."""


@dataclass(frozen=True)
class Boards:
    """What came of a class: the boards, each learner's by id, and what is wrong, by id ("" of the job itself)."""

    made: Class | None = None
    members: Mapping[str, Member] = field(default_factory=dict)
    faults: Mapping[str, tuple[str, ...]] = field(default_factory=dict)


@dataclass(frozen=True)
class Pack:
    """A class on paper, the same with every learner's job file (ZIP), and the tools that are needed at once."""

    pdf: bytes
    files: bytes
    tools: tuple[ToolNeed, ...]


class ServedBoards:
    """Boards and packs that pages ask for by address; safe to ask from any thread."""

    def __init__(self) -> None:
        self._boards: OrderedDict[str, str] = OrderedDict()
        self._packs: OrderedDict[str, Pack] = OrderedDict()
        self._lock = Lock()

    def keep_boards(self, boards: Boards) -> None:
        """Have the boards' pictures at hand."""
        with self._lock:
            for member in boards.members.values():
                self._boards[text_digest(member.text)] = member.text
            while len(self._boards) > MOST_BOARDS:
                self._boards.popitem(last=False)

    def keep_pack(self, pack: Pack) -> str:
        """Have a pack at hand, by the name that is answered."""
        name = hashlib.sha256(pack.files).hexdigest()[:16]
        with self._lock:
            self._packs[name] = pack
            while len(self._packs) > MOST_PACKS:
                self._packs.popitem(last=False)
        return name

    def text(self, digest: str) -> str | None:
        """A board's job, None where it is not at hand any more."""
        with self._lock:
            return self._boards.get(digest)

    def pack(self, name: str) -> Pack | None:
        """A pack, None where it is not at hand any more."""
        with self._lock:
            return self._packs.get(name)


def boards_of(
    text: str, learners: Sequence[LearnerEntry], progress: Progress | None = None, *, own_sizes: bool = False
) -> Boards:
    """The boards of all learners without faults, after the job of this text."""
    faults: dict[str, list[str]] = {}
    try:
        job = job_of(text)
    except WrongJob as wrong:
        return Boards(faults={"": tuple(str(fault) for fault in wrong.faults)})
    left = list(learners)
    while left:
        try:
            listed = _listed(left)
            made = class_of(job, listed, read_shop(), progress, own_sizes=own_sizes)
        except WrongJob as wrong:
            of = _by_learner(wrong.faults, left)
            for learner, said in of.items():
                faults.setdefault(learner, []).extend(said)
            if "" in of or not of:
                break
            left = [learner for learner in left if learner.id not in of]
            continue
        members = dict(zip((learner.id for learner in left), made.members, strict=True))
        return Boards(made, members, {key: tuple(said) for key, said in faults.items()})
    return Boards(faults={key: tuple(said) for key, said in faults.items()})


def pack_of(title: str, boards: Boards, progress: Progress, paper: str | None = None) -> Pack:
    """The pack of a class whose boards are made. Raises CarverError."""
    made = boards.made
    if made is None or not made.members:
        raise ValueError("No learner has a board yet.")
    roll = read_roll()
    plans = class_plans(made.members, roll, progress=progress, only=tools_there(roll, {}))
    needed = needs(made.members, plans, roll, {})
    progress("The pages", 1.0)
    pdf = class_pack_pdf(title, made, plans, needed, paper, issued=datetime.date.today())
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("class.pdf", pdf)
        for number, member in enumerate(made.members, 1):
            plain = "-".join("".join(c if c.isalnum() else " " for c in member.name.casefold()).split())
            archive.writestr(f"{number:02}-{plain[:40] or 'learner'}.toml", member.text)
    return Pack(pdf, held.getvalue(), needed)


_LEFT, _RIGHT = ("l", "left"), ("r", "right")


def learners_pasted(text: str) -> tuple[LearnerEntry, ...]:
    """The learners of pasted lines: name, words, level, hand, parted by commas, semicolons or tabs; words may be left
    out where the name is what is carved. A first line of such headings is passed over.

    Raises ValueError, which names every level and hand that is none: what a slip of a key meant is not guessed.
    """
    first = next((line for line in text.splitlines() if line.strip()), "")
    rows = csv.reader(io.StringIO(text), delimiter=max("\t;,", key=first.count), skipinitialspace=True)
    cells = [[cell.strip() for cell in row] for row in rows if any(cell.strip() for cell in row)]
    if cells and cells[0][0].casefold() == "name":
        cells = cells[1:]
    rows_of_four = [(row + [""] * 4)[:4] for row in cells]
    slips = [slip for row in rows_of_four for slip in _slips(*row)]
    if slips:
        raise ValueError(" ".join(slips))
    return tuple(_pasted(*row) for row in rows_of_four)


def text_digest(text: str) -> str:
    """A short name of a board by its job."""
    return hashlib.sha256(text.encode()).hexdigest()[:24]


def _pasted(name: str, said: str, level: str, hand: str) -> LearnerEntry:
    return LearnerEntry(
        id="",
        name=name,
        words=said or name,
        level=level.casefold() or LEVELS[0],
        hand="left" if hand.casefold() in _LEFT else "right",
    )


def _slips(name: str, said: str, level: str, hand: str) -> Iterator[str]:
    """What of a row is neither left out nor understood."""
    if level and level.casefold() not in LEVELS:
        yield f"“{level}”, for {name or said}, is no level: write {', '.join(LEVELS[:-1])} or {LEVELS[-1]}."
    if hand and hand.casefold() not in (*_LEFT, *_RIGHT):
        yield f"“{hand}”, for {name or said}, is no hand: write left or right."


def _listed(learners: Sequence[LearnerEntry]) -> ClassList:
    """The list as the command line reads it, five lines a learner. Raises WrongJob."""
    lines = ["format = 1"]
    for one in learners:
        said = [part.strip() for part in one.words.split("/")]
        lines += [
            "[[learner]]",
            f"name = {literal(one.name)}",
            f"words = {literal(said if len(said) > 1 else said[0])}",
            f"level = {literal(one.level or LEVELS[0])}",
            f"hand = {literal(one.hand)}",
        ]
    return parse_learners("\n".join(lines) + "\n")


def _by_learner(faults: Sequence[Fault], learners: Sequence[LearnerEntry]) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for fault in faults:
        number = -1 if fault.line is None else (fault.line - 2) // LINES_EACH
        key = learners[number].id if 0 <= number < len(learners) else ""
        found.setdefault(key, []).append(f"{fault.found}; {fault.remedy}.")
    return found
