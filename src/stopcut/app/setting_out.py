"""Setting out: letters pushed until the eye is content, and what holds for the whole line."""

from __future__ import annotations

from functools import partial

from nicegui import ui

from stopcut.app.board.board import Look
from stopcut.app.board.events import Moved, Nudged, ResetAsked
from stopcut.app.choices import ChoiceField, Toggle
from stopcut.app.chosen_line import ChosenLine
from stopcut.app.fields import column, word_button
from stopcut.app.gap_ledge import GapLedge
from stopcut.app.job_page import JobPage
from stopcut.app.letter_ledge import LetterLedge
from stopcut.app.line_ledge import LineLedge
from stopcut.app.measuring import Measuring
from stopcut.app.moving import gaps_moved, gaps_of_letter, shifts_after
from stopcut.app.open_jobs import Standing
from stopcut.job.edit_values import SetShift
from stopcut.setting.line import joined_writing
from stopcut.shop.shop_file import read_shop

__all__ = ["SettingOut"]


class SettingOut:
    """The section in which letters are moved by hand."""

    slug = "setting-out"
    title = "Setting out"

    def __init__(self, page: JobPage) -> None:
        self.page = page
        self.follows = False
        self._looks: set[Look] = {"carved"}
        self._steps = read_shop().screen
        self._line = ChosenLine(page)

    def build(self) -> None:
        """Fill the ledge and let letters be moved on the board."""
        page = self.page
        with column():
            self._gap = GapLedge(self._line, self._steps)
            ChoiceField("Moves", [("alone", "the letter alone"), ("follows", "and all after it")], "alone", self._moves)
            word_button("As worked out", self._reset_chosen)
            word_button("The whole line so", self._reset_line)
            self._gap.build_list()
        with column("The line"):
            self._line_ledge = LineLedge(self._line)
        with ui.element("div").classes("pair"):
            with column("Its letters"):
                self._letters = LetterLedge(self._line)
            with column("Look with"):
                self._build_looks()
                Measuring(page)
        board = page.board
        board.task("move")
        board.on_move(self._moved)
        board.on_nudge(self._nudged)
        board.on_reset(self._reset_asked)
        page.on_choose(self._chosen)

    def leave(self) -> None:
        """Nothing may be moved in other sections."""
        self.page.board.task("none")
        self.page.look("carved")
        self.page.beside("nothing")

    def show(self, standing: Standing) -> None:
        """Figures of the line and of the chosen letters as they stand."""
        work = self.page.work
        if work is None:
            return
        self._gap.show(work)
        self._line_ledge.show(work)
        self._letters.show(work)
        joined = any(joined_writing(line.words) for line in work.job.lines)
        self._beside_place.set_visibility(not joined)
        self._beside_joined.set_visibility(joined)

    def _chosen(self, keys: list[str]) -> None:
        self._line.follow(keys)
        self.show(self.page.standing)

    # How the board is looked at.

    def _build_looks(self) -> None:
        ChoiceField("The board", [("carved", "as carved"), ("outline", "outline")], "carved", self._as, quiet=True)
        Toggle("Squint", False, partial(self._look, "squint"))
        Toggle("Mirrored", False, partial(self._look, "mirror"))
        nothing, face, equal = ("nothing", "nothing"), ("face", "the face’s own"), ("equal", "equal gaps")
        with ui.element("div") as self._beside_place:
            ChoiceField("Beside it", [nothing, equal, face], "nothing", self.page.beside)
        with ui.element("div") as self._beside_joined:  # letters that join have no gaps to make equal
            ChoiceField("Beside it", [nothing, face], "nothing", self.page.beside)
        self._beside_joined.set_visibility(False)

    def _as(self, value: Look) -> None:
        self._looks = self._looks - {"carved", "outline"} | {value}
        self.page.look(*sorted(self._looks))

    def _look(self, look: Look, on: bool) -> None:
        self._looks = self._looks | {look} if on else self._looks - {look}
        self.page.look(*sorted(self._looks))

    # Letters moved by hand.

    def _moves(self, value: str) -> None:
        self.follows = value == "follows"
        self.page.board.follows(self.follows)

    async def _moved(self, event: Moved) -> None:
        await self._move(event.key, event.dx, event.gesture)

    async def _nudged(self, event: Nudged) -> None:
        step = self._steps.coarse_step_mm if event.coarse else self._steps.fine_step_mm
        await self._move(event.key, event.dir * step, event.gesture)

    async def _move(self, key: str, dx_mm: float, gesture: str) -> None:
        work = self.page.work
        if work is None:
            return
        moved = gaps_moved(work.setting, key, dx_mm, self.follows)
        if not moved:
            self.page.notice("That letter has no neighbour on that side: the space between words comes from the light.")
            self.page.board_again()
            return
        await self.page.edit_all(lambda job: shifts_after(job, moved), gesture)

    async def _reset_asked(self, event: ResetAsked) -> None:
        await self._reset([event.key])

    async def _reset(self, keys: list[str]) -> None:
        work = self.page.work
        if work is None:
            return
        gesture = f"reset-{self.page.standing.number}"
        gaps = {
            (gap.line, gap.pair, gap.nth) for key in keys for gap in gaps_of_letter(work.setting, key) if gap.shift_mm
        }
        if gaps:
            shifts = [SetShift(self._line.at(line), pair, nth, None) for line, pair, nth in sorted(gaps)]
            await self.page.edit_all(lambda _: shifts, gesture)

    async def _reset_chosen(self) -> None:
        await self._reset(self.page.chosen)

    async def _reset_line(self) -> None:
        line = self._line.set
        if line is not None:
            await self._reset([f"{line.number}:{letter.placed.index}" for letter in line.letters])
