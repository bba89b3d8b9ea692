"""The whole job worked out, stage by stage, on demand.

`Work` holds the job and what each stage made of it; a stage runs when somebody first asks for its result, and remembers
it. Stages themselves are pure functions of narrow keys in the rooms above; what this module knows is how a job's
settings become those keys, and in which order size, strengthening and spacing depend on each other. What only some
boards have (ornaments, a border, a mended face) is loaded for those.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import pairwise
from typing import TYPE_CHECKING

from stopcut.errors import BadFace, CarverError, FaceLacksCharacter, Finding, Severity, Where, WrongJob
from stopcut.groove.causes import Cause, by_cause
from stopcut.groove.findings import Carved, FindingsKey, board_findings
from stopcut.groove.gathered import gathered
from stopcut.groove.groove import groove
from stopcut.groove.roof import RoofError
from stopcut.groove.surface import Groove
from stopcut.groove.unite import United, unite
from stopcut.job.faults import fault_of, fault_of_line
from stopcut.job.job import DEFAULTS, Job, Line, Match, StrokeKind
from stopcut.lettering.budget import TooMuch, check_points
from stopcut.lettering.letters import Lettered
from stopcut.lettering.line_letters import LineRequest, letter_line, only_figures
from stopcut.lettering.named import TOLERANCE_MM, letter_named, no_such_letter, widened_letter
from stopcut.setting.columns import entries
from stopcut.setting.leaders import POINT
from stopcut.setting.line import joined_writing
from stopcut.setting.request import HeightFrom, LineSetting, ListPlace, SettingRequest
from stopcut.setting.set_board import SetBoard
from stopcut.setting.set_out import set_out
from stopcut.shape.outline import Outline
from stopcut.shape.placed import Placed
from stopcut.shop.shop_file import Shop
from stopcut.shop.woods import WoodAnswer
from stopcut.units import format_length

if TYPE_CHECKING:
    from stopcut.bench.order import Way, Within
    from stopcut.bench.planned import Plan
    from stopcut.groove.ornament import PlacedOrnament
    from stopcut.shop.rates import Logged, Rates, Skill
    from stopcut.shop.tools import Roll

__all__ = ["Cause", "Progress", "Work"]

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
    """A job worked out in a carver's shop. What is wrong with the job deeper down raises WrongJob with key and line."""

    job: Job
    shop: Shop = field(default_factory=Shop)
    progress: Progress = field(default=_silent, compare=False, repr=False)

    @cached_property
    def wood(self) -> WoodAnswer:
        """The wood of the table that the job's wood means."""
        return self.shop.wood_called(self.job.board.wood)

    @property
    def lettered(self) -> tuple[Lettered, ...]:
        """Each line's letters, in the weight and with the strokes that they will be carved with."""
        return tuple(line.lettered for line in self._settled[0])

    @cached_property
    def setting(self) -> SetBoard:
        """Where every letter stands."""
        return self._settled[1]

    @cached_property
    def before_strengthening(self) -> tuple[Placed, ...]:
        """The letters whose thin strokes were strengthened as they would be drawn on the board had they not been."""
        before = {one.line.number: (one.lettered, one.before) for one in self._settled[0] if one.before is not None}
        changed = []
        for placed in self.setting.placed:
            if placed.line not in before:
                continue
            after, plain = before[placed.line]
            place = after.order.index(placed.index - 1)
            if plain.letters[place].outline != after.letters[place].outline:
                was = replace(placed, outline=plain.letters[place].outline)
                changed.append(self._bolder(was, self._walls[placed.line][0]))
        return tuple(changed)

    @cached_property
    def ornaments(self) -> tuple[PlacedOrnament, ...]:
        """The drawings on the board, those that are carved and those that are only drawn."""
        if not self.job.ornaments:
            return ()
        from stopcut.groove.ornament import BadOrnament, ornaments

        try:
            return ornaments(self.job)
        except BadOrnament as problem:
            path = ("ornament", problem.number - 1, "file")
            raise WrongJob((fault_of(self.job, path, str(problem), problem.remedy),)) from problem

    @cached_property
    def grooves(self) -> tuple[Groove, ...]:
        """The finished grooves: of letters in reading order, then of ornaments and the border; what touches is one."""
        return self._cut[0]

    @cached_property
    def letter_grooves(self) -> dict[tuple[int, int], Groove]:
        """Every letter's own groove by line and letter, from 1; one that could not be worked out is left out."""
        known = {id(one.placed): one for one in self.grooves}
        own: dict[tuple[int, int], Groove] = {}
        for placed in self.setting.placed:
            wall = self._walls[placed.line]
            found = known.get(id(placed)) or self._groove(placed, wall, [])
            if found is not None:
                own[placed.line, placed.index] = found
        return own

    @cached_property
    def pattern(self) -> tuple[Groove, ...]:
        """The grooves as they are cut from the face as it is now: deeper and bolder by what will be taken off it."""
        off = self.job.face_off_mm
        if not off:
            return self.grooves
        bolder = [
            (self._bolder(placed, wall), (wall, None if flat is None else flat + off))
            for placed, (wall, flat) in self._carved
        ]
        return self._grooves(bolder, _unite(bolder), [])

    def _bolder(self, placed: Placed, wall_deg: float) -> Placed:
        """What is carved as it is drawn for what will be taken off the face."""
        from stopcut.groove.allowance import allowance_placed

        try:
            return allowance_placed(placed, self.job.face_off_mm, wall_deg)
        except CarverError as problem:
            who = f"'{placed.char}' (line {placed.line}, letter {placed.index})" if placed.line else f"'{placed.char}'"
            found = f"{who} cannot be drawn so much bolder"
            fault = fault_of(self.job, ("groove", "face_off"), found, "take less off the face, or carve it larger")
            raise WrongJob((fault,)) from problem

    def plan(
        self,
        order: Way = "middle",
        roll: Roll | None = None,
        skill: Skill = "practised",
        *,
        within: Within = "strokes",
        only: Sequence[str] | None = None,
        rates: Rates | None = None,
        logged: Iterable[Logged] = (),
    ) -> Plan:
        """Every cut with its tool, in working order, and the minutes it takes.

        roll and rates None are the published ones. only are the names of tools that the carver has fixed upon; None to
        have the fewest found that do the board well. logged are letters that this carver has timed, each with the
        minutes that a plan reckoned for it (Plan.reckoned): they correct the minutes and narrow their spread.
        """
        from stopcut.bench.planned import planned  # measuring and drawing wait for none of it
        from stopcut.bench.settings import PUBLISHED_BENCH, soft
        from stopcut.shop.rates import PUBLISHED_RATES

        self.progress("Cuts", 0.0)
        words = {
            (letter.placed.line, letter.placed.index): letter.word
            for line in self.setting.lines
            for letter in line.letters
        }
        hardness = self.wood.wood.hardness_lbf if self.wood.wood is not None else None
        return planned(
            self.pattern,
            roll,
            self.job.board.grain,
            replace(PUBLISHED_BENCH, soft_wood=soft(hardness)),
            order=order,
            within=within,
            only=only,
            words=words,
            overrule=self._stroke_names,
            hardness_lbf=hardness,
            skill=skill,
            rates=PUBLISHED_RATES if rates is None else rates,
            logged=logged,
            progress=self.progress,
        )

    @property
    def _stroke_names(self) -> dict[tuple[int, int, int], StrokeKind]:
        """What the job calls strokes, by line, letter and the stroke's number."""
        return {
            (line.number, number, one.stroke): one.kind
            for line, lettered in zip(self._lines, self.lettered, strict=True)
            for one in line.strokes
            if (number := letter_named(lettered, one.letter, one.nth)) is not None
        }

    @cached_property
    def findings(self) -> tuple[Finding, ...]:
        """All that is worth saying, the gravest first; within that in the order of the work."""
        return gathered(self._said)

    @cached_property
    def causes(self) -> tuple[Cause, ...]:
        """The same told once for each cause, whatever number of lines it is in."""
        return by_cause(self._said, len(self.job.lines))

    @property
    def matched(self) -> tuple[Finding, ...]:
        """What matching lettering that is already on the board came to, line by line; known once letters stand."""
        return tuple(finding for line in self._settled[0] for finding in line.findings if finding.code == "matched")

    @cached_property
    def _said(self) -> tuple[Finding, ...]:
        notes = [note for lettered in self.lettered for note in lettered.notes]
        strokes = [finding for line in self._settled[0] for finding in line.findings]
        return (
            *self.wood.findings,
            *notes,
            *strokes,
            *self._figures_notes(),
            *self._unnamed(),
            *(finding for ornament in self.ornaments for finding in ornament.findings),
            *self.setting.findings,
            *self._cut[1],
            *board_findings(self._findings_key),
        )

    @cached_property
    def _settled(self) -> tuple[tuple[_SizedLine, ...], SetBoard]:
        """Letters and their places, repeated until neither changes the other."""
        self.progress("Letters", 0.0)
        lines = self._lines
        heights = [line.height_mm for line in lines]
        gaps = self.job.match is not None and bool(self.job.match.gaps)
        needs_size = gaps or any(line.stem_mm or line.thinnest_mm or line.widen for line in lines)
        for _ in range(MOST_PASSES):
            sized = tuple(self._sized(line, height) for line, height in zip(lines, heights, strict=True))
            self._check_points(sized)
            self.progress("Setting out", 0.0)
            board = set_out(self._request(sized))
            reached = {line.number: line.cap_height_mm for line in board.lines}
            now = [reached.get(line.number, height) for line, height in zip(lines, heights, strict=True)]
            if not needs_size or _near(heights, now):
                break
            heights = now
        return sized, board

    def _check_points(self, sized: Sequence[_SizedLine]) -> None:
        try:
            check_points([one.lettered for one in sized])
        except TooMuch as much:
            raise WrongJob((fault_of(self.job, ("line",), much.found, much.remedy),)) from much

    @property
    def _lines(self) -> tuple[Line, ...]:
        """The lines as they are to be set: where lettering is to be matched, with its cap height and stem."""
        match = self.job.match
        if match is None:
            return self.job.lines
        lines = self.job.lines
        if match.cap_height_mm is not None:
            lines = tuple(replace(line, cap_height_mm=match.cap_height_mm) for line in lines)
        if match.stem_mm is not None:
            lines = tuple(replace(line, weight=None, stem_mm=match.stem_mm) for line in lines)
        return lines

    def _sized(self, line: Line, height_mm: float | None) -> _SizedLine:
        """One line's letters; a stem, thinnest strokes and gaps in mm need the size they are carved at."""
        request = LineRequest(
            words=line.words,
            face=line.face,
            base_folder=self.job.base_folder,
            weight=line.weight,
            features=line.features,
            line=line.number,
        )
        lettered = self._lettered(request)
        if height_mm is None:
            return _SizedLine(line, lettered)
        scale = height_mm / _setting(line, lettered).height_em
        if line.stem_mm:
            request = replace(request, stem_em=line.stem_mm / scale)
            lettered = self._lettered(request)
        findings: tuple[Finding, ...] = ()
        if self.job.match is not None and self.job.match.gaps:
            line, findings = self._matched(line, request, scale, self.job.match)
        if line.thinnest_mm:
            from stopcut.lettering.strong_lines import strengthen_line

            try:
                strong = strengthen_line(lettered, line.thinnest_mm, scale, line.number, self.job.units)
            except TooMuch as much:
                fault = fault_of_line(self.job, line.number, "thinnest", much.found, much.remedy)
                raise WrongJob((fault,)) from much
            before = self._widened(line, lettered, scale)
            return _SizedLine(line, self._widened(line, strong.lettered, scale), (*findings, *strong.findings), before)
        return _SizedLine(line, self._widened(line, lettered, scale), findings)

    def _widened(self, line: Line, lettered: Lettered, scale: float) -> Lettered:
        """The line with the letters wider that the job widens to mend them."""
        for one in line.widen:
            number = letter_named(lettered, one.letter, one.nth)
            if number is None:
                continue  # a finding, see _unnamed
            try:
                lettered = widened_letter(lettered, number, one.by_mm / scale, TOLERANCE_MM / scale)
            except CarverError as problem:
                fault = fault_of_line(self.job, line.number, "widen", str(problem), "widen it by less")
                raise WrongJob((fault,)) from problem
        return lettered

    def _unnamed(self) -> list[Finding]:
        """What the job says of letters that its lines no longer have."""
        said = []
        for line, lettered in zip(self._lines, self.lettered, strict=True):
            wanted = [(one.letter, one.nth, "the name of a stroke") for one in line.strokes]
            wanted += [(one.letter, one.nth, "the widening") for one in line.widen]
            said += [
                no_such_letter(char, nth, line.number, what)
                for char, nth, what in dict.fromkeys(wanted)
                if letter_named(lettered, char, nth) is None
            ]
        return said

    def _matched(
        self, line: Line, request: LineRequest, scale: float, match: Match
    ) -> tuple[Line, tuple[Finding, ...]]:
        """The line with the openness that the measured gaps ask for, and what is left over."""
        from stopcut.setting.match import match_gaps, matched_findings

        try:
            pairs = letter_line(replace(request, words=" ".join(pair for pair, _ in match.gaps)))
            found = match_gaps(pairs, [gap for _, gap in match.gaps], scale * pairs.face.cap_height, line.tuck)
        except (FaceLacksCharacter, ValueError) as problem:
            fault = fault_of(self.job, ("match", "gaps"), str(problem), "give pairs of two letters that the face has")
            raise WrongJob((fault,)) from problem
        return replace(line, openness=found.openness), matched_findings(found, match.stem_mm, line.number)

    def _lettered(self, request: LineRequest) -> Lettered:
        try:
            return letter_line(request)
        except FaceLacksCharacter as lack:
            *first, last = lack.others or ("",)
            faces = f"{', '.join(first)} and {last} have it" if first else f"{last} has it"
            have = f"{faces}: set face for this line" if last else "leave it out, or name a face that has it"
            found = f"{lack.family} has no '{lack.char}' (letter {lack.index})"
            raise WrongJob((fault_of_line(self.job, request.line, "words", found, have),)) from lack
        except BadFace as problem:
            remedy = "name one that `stopcut faces` lists, or the path of a font file"
            if request.face == DEFAULTS["lettering.face"].value:
                remedy = "install stopcut again: this face comes with it"
            raise WrongJob((fault_of_line(self.job, request.line, "face", str(problem), remedy),)) from problem

    @cached_property
    def _entries(self) -> tuple[ListPlace | None, ...]:
        """Each line's place in a list, None for a line that is in none."""
        lines, columns = self.job.lines, self.job.columns
        tabs = [len(line.words.split("\t")[0].split()) if "\t" in line.words else None for line in lines]
        listed = [line.in_columns for line in lines]
        return entries(listed, tabs, columns.number, stop=columns.after_tab == "stop")

    def _request(self, sized: Sequence[_SizedLine]) -> SettingRequest:
        board = self.job.board
        return SettingRequest(
            width_mm=board.width_mm,
            height_mm=board.height_mm,
            margin_mm=board.margin_mm,
            lines=tuple(
                replace(_setting(one.line, one.lettered), entry=entry, leader=self._leader(one, entry))
                for one, entry in zip(sized, self._entries, strict=True)
            ),
            least_wood_mm=self.shop.thresholds.least_wood_mm.of(self.wood.texture),
            units=self.job.units,
            between_mm=self.job.columns.between_mm,
        )

    def _leader(self, one: _SizedLine, entry: ListPlace | None) -> Outline | None:
        """What is carved between a line's name and its year. [em]"""
        asked = self.job.columns.leaders
        if asked == "none" or entry is None or entry.tab is None:
            return None
        if asked == "points":
            return POINT.scaled(one.lettered.face.cap_height)
        face = one.lettered.face
        request = LineRequest(".", one.line.face, self.job.base_folder, weight=face.weight, line=one.line.number)
        try:
            stop = letter_line(request).letters[0].outline
        except FaceLacksCharacter as lack:
            found, remedy = f"{lack.family} has no full stop", 'take "points", or name a face that has one'
            raise WrongJob((fault_of(self.job, ("columns", "leaders"), found, remedy),)) from lack
        return stop.mapped((1, 0, 0, 1, -stop.bounds.left, -stop.bounds.bottom)) if stop else None

    @cached_property
    def _walls(self) -> dict[int, _Wall]:
        return {line.number: (line.wall_deg, line.flat_bottom_mm) for line in self.job.lines}

    @cached_property
    def _carved(self) -> tuple[tuple[Placed, _Wall], ...]:
        """All that is carved, each with its wall and flat bottom: letters, then leaders, ornaments and the border."""
        job = self.job
        common: _Wall = (job.wall_deg, job.flat_bottom_mm)
        carved = [(placed, self._walls[placed.line]) for placed in self.setting.placed]
        carved += [(leader, self._walls[line.number]) for line in self.setting.lines for leader in line.leaders]
        carved += [(ornament.placed, common) for ornament in self.ornaments if ornament.carved]
        if job.border is not None:
            from stopcut.groove.border import place_border

            try:
                carved.append((place_border(job.border, job.board, job.units), common))
            except CarverError as problem:
                fault = fault_of(job, ("border",), str(problem), "make its inset or stroke smaller")
                raise WrongJob((fault,)) from problem
        return tuple(carved)

    @cached_property
    def _cut(self) -> tuple[tuple[Groove, ...], tuple[Finding, ...]]:
        failed: list[Finding] = []
        return self._grooves(self._carved, self._united, failed), tuple(failed)

    @cached_property
    def _united(self) -> tuple[United, ...]:
        return _unite(self._carved)

    def _grooves(
        self, carved: Sequence[tuple[Placed, _Wall]], united: Sequence[United], failed: list[Finding]
    ) -> tuple[Groove, ...]:
        grooves = []
        for number, one in enumerate(united):
            self.progress("Grooves", number / len(united))
            found = self._groove(one.placed, carved[one.parts[0]][1], failed)
            if found is not None:
                grooves.append(found)
        return tuple(grooves)

    def _groove(self, placed: Placed, wall: _Wall, failed: list[Finding]) -> Groove | None:
        """One groove; a shape that defeats the roof is a finding, and the rest of the board comes out."""
        planed = self.job.planed_mm
        try:
            if not planed:
                return groove(placed, *wall)
            from stopcut.groove.level import planed_placed

            left = planed_placed(placed, planed, wall[0])
            if left.outline:
                return groove(left, wall[0], None if wall[1] is None else wall[1] - planed)
            failed.append(
                Finding(
                    "planed-away",
                    Severity.LOOK,
                    f"Nothing is left of '{placed.char}' once {format_length(planed, self.job.units)} are planed off.",
                    "Cut it anew in the planed face, or plane less off.",
                    Where(placed.line or None, placed.index or None, placed.x_mm, placed.y_mm),
                )
            )
            return None
        except RoofError as problem:
            face = f" of {self.lettered[placed.line - 1].face.family}" if placed.line else ""
            failed.append(
                Finding(
                    "no-groove",
                    Severity.STOP,
                    f"The groove of '{placed.char}'{face} could not be worked out ({problem.reason}).",
                    "Another face, weight or size would do, or a redrawn path.",
                    Where(placed.line or None, placed.index or None, placed.x_mm, placed.y_mm),
                )
            )
            return None

    @property
    def joined(self) -> tuple[tuple[Placed, ...], ...]:
        """Letters that touch or overlap and are therefore carved as one."""
        return tuple(tuple(self._carved[part][0] for part in one.parts) for one in self._united if len(one.parts) > 1)

    @property
    def _findings_key(self) -> FindingsKey:
        return FindingsKey(
            carved=tuple(Carved.of(one) for one in self.pattern),
            joined=tuple(group for group in self.joined if not _joined_by_writing(group)),
            board=self.job.board,
            texture=self.wood.texture,
            thresholds=self.shop.thresholds,
            avoid=self.job.avoid,
            relief=tuple(ornament.placed for ornament in self.ornaments if not ornament.carved),
            units=self.job.units,
        )

    def _figures_notes(self) -> list[Finding]:
        return [
            Finding(
                "height-from-figures",
                Severity.NOTE,
                f"{line.words} is all figures: its height is that of the figures, not of capitals.",
                "Nothing to mend; set cap_height for this line if it should be another.",
                Where(line=line.number),
                "Nothing to mend; give this line a cap height of its own if it should be another.",
            )
            for line in self.job.lines
            if only_figures(line.words)
        ]


_Wall = tuple[float, float | None]
"""Wall angle from the face [degrees] and flat bottom [mm], None for a V throughout."""


@dataclass(frozen=True, slots=True)
class _SizedLine:
    """A line as it is set, its letters at size, what was to be said of that, and the letters before strengthening."""

    line: Line
    lettered: Lettered
    findings: tuple[Finding, ...] = ()
    before: Lettered | None = None


def _unite(carved: Sequence[tuple[Placed, _Wall]]) -> tuple[United, ...]:
    """What touches and is cut alike, as one."""
    return unite([placed for placed, _ in carved], [wall for _, wall in carved])


def _setting(line: Line, lettered: Lettered) -> LineSetting:
    return LineSetting(
        lettered=lettered,
        cap_height_mm=line.height_mm,
        size=line.size,
        openness=line.openness,
        tuck=line.tuck,
        align=line.align,
        shifts=line.shifts,
        line_gap=line.line_gap,
        line_gap_mm=line.line_gap_mm,
        drop_mm=line.drop_mm,
        word_space=line.word_space,
        arc=line.arc,
        height_from=_height_from(line),
        draw_in=line.draw_in,
    )


def _height_from(line: Line) -> HeightFrom:
    return "figures" if only_figures(line.words) else "caps"


def _joined_by_writing(letters: Sequence[Placed]) -> bool:
    """Whether letters that are carved as one are neighbours in a line whose writing joins them."""
    reading = sorted(letters, key=lambda one: (one.line, one.index))
    return all(
        one.line == other.line > 0 and other.index == one.index + 1 and joined_writing(one.char[:1] + other.char[:1])
        for one, other in pairwise(reading)
    )


def _near(before: Sequence[float | None], after: Sequence[float | None]) -> bool:
    return all(a is not None and b is not None and abs(a - b) < SETTLED_MM for a, b in zip(before, after, strict=True))
