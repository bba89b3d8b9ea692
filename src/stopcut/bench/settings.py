"""How this carver likes to cut, with a published answer for each question."""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType
from typing import Final, Literal

__all__ = ["PUBLISHED_BENCH", "WHY_BENCH", "BenchSettings", "soft"]


@dataclass(frozen=True, slots=True)
class BenchSettings:
    """Where a plan may differ from bench to bench. WHY_BENCH has the reason of each published value.

    tolerance_mm is how far the ends of an edge may lie off a wall's line, stab_tolerance_mm off a stop cut's; short_mm
    how much less deep than the groove a stop cut goes, but no more than short_share of the depth; overlap the share of
    an edge that is set in the last cut's mark. pass_mm is how deep one pass goes in basswood, pass_widths how many
    widths of the edge at most; struck_widths how many widths of the edge it is struck down in all; relief_passes how
    many passes a stroke may take without its middle being relieved first. end_cuts come before or after the main walls;
    serifs are straight or hollow. soft_wood says whether hand pressure will do along the grain. acute_deg is the angle
    of the wood inside an apex below which it is cut with care.

    A tool on the board costs tool_on_board_s, in a letter tool_in_letter_s, for one phase of a stroke tool_in_phase_s;
    where only its corner follows a line it costs drawn_s_per_mm a mm, and for every setting that leaves a facet on a
    curve facet_s: in these seconds a poorer fit is held against the clock when the tools are chosen; they are no part
    of the minutes.
    """

    tolerance_mm: float = 0.15
    stab_tolerance_mm: float = 0.3
    short_mm: float = 0.3
    short_share: float = 0.2
    overlap: float = 0.2
    pass_mm: float = 6.0
    pass_widths: float = 1.5
    struck_widths: float = 2.0
    relief_passes: int = 2
    end_cuts: Literal["before", "after"] = "before"
    serifs: Literal["straight", "hollow"] = "hollow"
    soft_wood: bool = True
    acute_deg: float = 60.0
    tool_on_board_s: float = 200.0
    tool_in_letter_s: float = 25.0
    tool_in_phase_s: float = 15.0
    drawn_s_per_mm: float = 8.0
    facet_s: float = 1.0


PUBLISHED_BENCH: Final = BenchSettings()

WHY_BENCH: Final = MappingProxyType(
    {
        "tolerance_mm": "our choice: half the width of a sharp pencil's line",
        "stab_tolerance_mm": "our choice: twice a wall's, for the walls are pared down to it and it ends under them",
        "short_mm": "common practice that a stop cut ends a little short of the bottom; the figure is our choice",
        "short_share": "our choice, so that a shallow groove is stopped too",
        "overlap": "common practice that each setting begins in the last one's mark; the share is our choice",
        "pass_mm": "common practice that deep walls are taken in passes; the depth of one is our choice",
        "pass_widths": "our choice: a wide edge is driven deeper at a blow than a narrow one can be worked loose from",
        "struck_widths": "our choice: an edge driven deeper than twice its width jams, and is bent or broken when it "
        "is worked loose",
        "relief_passes": "common practice that the middle of a deep stroke is taken out before it is stopped, so that "
        "the stop cut has somewhere to push the wood; from how deep is our choice",
        "end_cuts": "our choice: both ways are common practice",
        "serifs": "our choice: straight or hollow are both common practice",
        "soft_wood": "our choice: lime, the default wood, is soft",
        "acute_deg": "common practice that the wedge of the tool lifts an acute inner point; the angle is our choice",
        "tool_on_board_s": "our choice: four to six tools serve a whole board (common practice), and so come out",
        "tool_in_letter_s": "our choice: four times what picking a tool up takes, for a letter of few tools is easier "
        "to keep in mind",
        "tool_in_phase_s": "our choice: twice what picking a tool up takes, so that one tool carries a stroke where it "
        "can",
        "drawn_s_per_mm": "our choice, from trials: a wall drawn with the corner of an edge is the least even",
        "facet_s": "our choice, from trials: a facet must be seen and smoothed out",
    }
)

SOFT_LBF: Final = 700.0
"""Side hardness at 12 % moisture below which hand pressure will do along the grain. [pound-force] Our choice: over lime
and the pines, under the mahoganies, walnut and oak (Wood Handbook, FPL-GTR-190, chapter 5)."""


def soft(hardness_lbf: float | None) -> bool:
    """Whether hand pressure will do along the grain of a wood this hard; not where that is not known. [pound-force]"""
    return hardness_lbf is not None and hardness_lbf < SOFT_LBF
