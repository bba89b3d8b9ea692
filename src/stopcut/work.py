"""The whole job worked out, stage by stage, on demand.

`Work` holds the job and what each stage made of it; a stage runs when somebody first asks for its result, and remembers
it. Stages themselves are pure functions of narrow keys in the rooms above; what this module knows is how a job's
settings become those keys, and in which order size, strengthening and spacing depend on each other.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import cached_property

from stopcut.errors import BadFace, FaceLacksCharacter, Finding, Severity, Where, WrongJob
from stopcut.groove.groove import groove
from stopcut.groove.surface import Groove
from stopcut.job.faults import fault_of_line
from stopcut.job.job import Job, Line
from stopcut.lettering.letter import LineRequest, letter_line, only_figures
from stopcut.lettering.letters import Lettered
from stopcut.setting.request import Arc, HeightFrom, LineSetting, SettingRequest, Shift
from stopcut.setting.set_board import SetBoard
from stopcut.setting.set_out import set_out

__all__ = ["Progress", "Work"]

Progress = Callable[[str, float], None]
"""Told as the work goes on: what is being done, and how much of it is done (0 to 1)."""

SETTLED_MM = 0.01
"""A cap height that moves less than this between two passes has settled. [mm] Our choice: a tenth of a pencil line."""
MOST_PASSES = 4
"""Passes of fitting, since a stem or a thin stroke in mm changes the shapes that are fitted. Our choice."""


def _silent(_doing: str, _done: float) -> None:
    """No progress shown."""


@dataclass(frozen=True)
class Work:
    """A job worked out. Attributes are worked on first use; what is wrong raises WrongJob with key and line."""

    job: Job
    progress: Progress = field(default=_silent, compare=False, repr=False)

    @cached_property
    def lettered(self) -> tuple[Lettered, ...]:
        """Each line's letters, in the weight and with the strokes that they will be carved with."""
        return self._settled[0]

    @cached_property
    def setting(self) -> SetBoard:
        """Where every letter stands."""
        return self._settled[1]

    @cached_property
    def grooves(self) -> tuple[Groove, ...]:
        """The groove of every letter in reading order."""
        placed = self.setting.placed
        walls = {line.number: (line.wall_deg, line.flat_bottom_mm) for line in self.job.lines}
        grooves = []
        for number, letter in enumerate(placed):
            self.progress("Grooves", number / len(placed))
            grooves.append(groove(letter, *walls[letter.line]))
        return tuple(grooves)

    @cached_property
    def findings(self) -> tuple[Finding, ...]:
        """All that is worth saying: how the faces were used, what does not fit, what will not carve."""
        notes = [note for lettered in self.lettered for note in lettered.notes]
        return (*notes, *self._figures_notes(), *self.setting.findings)

    @cached_property
    def _settled(self) -> tuple[tuple[Lettered, ...], SetBoard]:
        """Letters and their places, repeated until neither changes the other."""
        self.progress("Letters", 0.0)
        lettered = tuple(self._lettered(line, None) for line in self.job.lines)
        heights = [line.height_mm for line in self.job.lines]
        needs_size = any(line.stem_mm or line.thinnest_mm for line in self.job.lines)
        board = None
        for _ in range(MOST_PASSES):
            if needs_size and None not in heights:
                lettered = tuple(
                    self._lettered(line, height) for line, height in zip(self.job.lines, heights, strict=True)
                )
            self.progress("Setting out", 0.0)
            board = set_out(self._request(lettered))
            reached = [line.cap_height_mm for line in board.lines]
            if not needs_size or _near(heights, reached):
                break
            heights = list(reached)
        assert board is not None
        return lettered, board

    def _lettered(self, line: Line, height_mm: float | None) -> Lettered:
        """One line's letters; stem and thinnest strokes need the size they are carved at."""
        request = LineRequest(
            words=line.words,
            face=line.face,
            base_folder=self.job.base_folder,
            weight=line.weight,
            features=line.features,
            line=line.number,
        )
        try:
            plain = letter_line(request)
            if height_mm is None:
                return plain
            scale = height_mm / _height_em(line, plain)
            return letter_line(replace(request, stem_em=line.stem_mm / scale)) if line.stem_mm else plain
        except FaceLacksCharacter as lack:
            have = f"{' or '.join(lack.others)} has it: set face for this line" if lack.others else "leave it out"
            found = f"{lack.family} has no '{lack.char}' (letter {lack.index})"
            raise WrongJob((fault_of_line(self.job, line.number, "words", found, have),)) from lack
        except BadFace as problem:
            remedy = "name one that `stopcut faces` lists, or the path of a font file"
            raise WrongJob((fault_of_line(self.job, line.number, "face", str(problem), remedy),)) from problem

    def _request(self, lettered: tuple[Lettered, ...]) -> SettingRequest:
        board = self.job.board
        return SettingRequest(
            width_mm=board.width_mm,
            height_mm=board.height_mm,
            margin_mm=board.margin_mm,
            lines=tuple(_setting(line, letters) for line, letters in zip(self.job.lines, lettered, strict=True)),
        )

    def _figures_notes(self) -> list[Finding]:
        return [
            Finding(
                "height-from-figures",
                Severity.NOTE,
                f"{line.words} is all figures: its height is that of the figures, not of capitals.",
                "Nothing to mend; set cap_height for this line if it should be another.",
                Where(line=line.number),
            )
            for line in self.job.lines
            if only_figures(line.words)
        ]


def _setting(line: Line, lettered: Lettered) -> LineSetting:
    return LineSetting(
        lettered=lettered,
        cap_height_mm=line.height_mm,
        size=line.size,
        openness=line.openness,
        tuck=line.tuck,
        align=line.align,
        shifts=tuple(
            Shift(shift.pair, shift.nth, shift.by_mm, None if shift.by_share is None else 100 * shift.by_share)
            for shift in line.shifts
        ),
        line_gap=line.line_gap,
        line_gap_mm=line.line_gap_mm,
        drop_mm=line.drop_mm,
        word_space=line.word_space,
        arc=None if line.arc is None else Arc(line.arc.radius_mm, line.arc.bend),
        height_from=_height_from(line),
    )


def _height_from(line: Line) -> HeightFrom:
    return "figures" if only_figures(line.words) else "caps"


def _height_em(line: Line, lettered: Lettered) -> float:
    """The height in em that the line's cap height speaks of."""
    return _setting(line, lettered).height_em


def _near(before: list[float | None], after: list[float]) -> bool:
    return all(a is not None and abs(a - b) < SETTLED_MM for a, b in zip(before, after, strict=True))
