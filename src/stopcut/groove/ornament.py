"""Ornaments: drawings placed on the board, to be carved like letters or only drawn on the pattern."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from stopcut.errors import BadFile, Finding, Severity, Where
from stopcut.foreign.svg import read_drawing
from stopcut.job.job import Job, Ornament
from stopcut.shape.outline import Outline
from stopcut.shape.placed import Placed

__all__ = ["BadOrnament", "PlacedOrnament", "ornaments", "place_ornament"]

MOST_PIECES = 60_000
"""Pieces of all ornaments' outlines. Our choice: as many as one drawing may have."""
WORTH_SAYING = 0.005
"""Share of the ink off the page that is worth a finding. Our choice: strokes on the page's edge lose less."""


@dataclass(frozen=True)
class PlacedOrnament:
    """An ornament where it stands. What is not carved (a ribbon for relief) is on the pattern only.

    off_page is the share of the drawing's ink that lies off its own page and was left out, 0 to 1.
    """

    ornament: Ornament
    placed: Placed
    off_page: float = 0.0

    @property
    def carved(self) -> bool:
        """Whether it becomes a groove."""
        return self.ornament.carve == "groove"

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What is worth saying of the drawing itself."""
        if self.off_page < WORTH_SAYING:
            return ()
        return (
            Finding(
                "off-page",
                Severity.LOOK,
                f"{self.off_page:.0%} of what is drawn in {self.placed.char} lies off its page and is left out.",
                "Make the page as large as the drawing in your drawing program, if it should be carved.",
                Where(x_mm=self.placed.x_mm, y_mm=self.placed.y_mm),
            ),
        )


class BadOrnament(BadFile):
    """A drawing that cannot be used, with the ornament's number, from 1, and what would do."""

    def __init__(self, number: int, why: str, remedy: str) -> None:
        super().__init__(why)
        self.number, self.remedy = number, remedy


def ornaments(job: Job) -> tuple[PlacedOrnament, ...]:
    """The job's ornaments where they stand. Raises BadOrnament for a drawing that cannot be used, or is too much."""
    folder = job.base_folder or Path()
    placed, pieces = [], 0
    for ornament in job.ornaments:
        try:
            drawing = read_drawing(folder / ornament.file)
        except BadFile as problem:
            raise BadOrnament(ornament.number, str(problem), "give an SVG file of plain closed shapes") from problem
        pieces += sum(len(contour.segments) for contour in drawing.outline.contours)
        if pieces > MOST_PIECES:
            why = f"with this one the ornaments have {pieces:,} pieces in all, and {MOST_PIECES:,} are the most"
            raise BadOrnament(ornament.number, why, "give a plainer drawing, or fewer")
        placed.append(PlacedOrnament(ornament, place_ornament(ornament, drawing.outline), drawing.off_page))
    return tuple(placed)


def place_ornament(ornament: Ornament, drawing: Outline) -> Placed:
    """A drawing (in any unit) as wide as the ornament asks, turned about its centre, its centre where it is asked.

    The width is the ink's before turning. Two ornaments of one drawing share its outline, whatever their places.
    """
    box = drawing.bounds
    x, y = box.centre
    return Placed(
        outline=drawing.moved(-x, -y),
        scale=ornament.width_mm / box.width,
        x_mm=ornament.x_mm,
        y_mm=ornament.y_mm,
        turn_deg=ornament.turn_deg,
        char=Path(ornament.file).stem,
    )
