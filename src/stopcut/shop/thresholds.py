"""Thresholds: from where on a stroke, a depth or a piece of wood is worth a word to the carver.

These are things that carvers may want to argue with, so they are shop settings; each has its reason beside it.
"""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from stopcut.shop.woods import Texture

__all__ = ["PUBLISHED", "WHY", "ByTexture", "Thresholds"]


@dataclass(frozen=True, slots=True)
class ByTexture:
    """A length for each texture of wood. [mm]"""

    fine: float
    medium: float
    medium_coarse: float
    coarse: float

    def of(self, texture: Texture) -> float:
        """The length for one texture. [mm]"""
        return {
            "fine": self.fine,
            "medium": self.medium,
            "medium-coarse": self.medium_coarse,
            "coarse": self.coarse,
        }[texture]


@dataclass(frozen=True, slots=True)
class Thresholds:
    """Where findings begin. WHY has the reason of each.

    deepest_share is of the board's thickness; short_grain the length of fibre between two grooves over their depth;
    sharpest_apex_deg the angle of the wood inside an apex, seen from above.
    """

    deepest_share: float
    thinnest_stroke_mm: ByTexture
    finest_detail_mm: ByTexture
    least_wood_mm: ByTexture
    least_counter_mm: ByTexture
    short_grain: float
    sharpest_apex_deg: float
    edge_clear_mm: float
    avoid_clear_mm: float


PUBLISHED: Final = Thresholds(
    deepest_share=0.5,
    thinnest_stroke_mm=ByTexture(1.0, 1.5, 2.0, 2.5),
    finest_detail_mm=ByTexture(0.4, 0.6, 0.8, 1.0),
    least_wood_mm=ByTexture(1.0, 1.3, 1.6, 2.0),
    least_counter_mm=ByTexture(1.5, 2.0, 2.5, 3.0),
    short_grain=1.0,
    sharpest_apex_deg=40.0,
    edge_clear_mm=5.0,
    avoid_clear_mm=3.0,
)

WHY: Final = MappingProxyType(
    {
        "deepest_share": "common practice: grooves stop near half of the board's thickness",
        "thinnest_stroke_mm": "common practice that open-grained woods want bolder strokes; the figures are our choice",
        "finest_detail_mm": "our choice, because detail below the width of the pores and earlywood crumbles",
        "least_wood_mm": "our choice, because a ridge thinner than the wood's texture breaks under the chisel",
        "least_counter_mm": "our choice, because an island of wood that small lifts with the wedge of the chisel",
        "short_grain": "our choice, because fibre shorter than the groove is deep has nothing to hold it",
        "sharpest_apex_deg": "common practice that wedging breaks the inside of an acute apex; the angle is our choice",
        "edge_clear_mm": "our choice, because a wall cut towards a near edge breaks out",
        "avoid_clear_mm": "our choice, because the fibres run askew round a knot or a fixing for a little way",
    }
)
