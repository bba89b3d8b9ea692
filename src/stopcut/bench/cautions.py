"""What a carver is told before the first cut: habits of a safe bench, and what is known of the wood's dust.

The table of woods is a woodturners' magazine's list of June 1990, as public copies have it, and names from a written
answer in Parliament of 2 August 1978 (timbers implicated with effects on health). Reactions vary by person; a wood that
is not named here is not thereby safe. Local rules come first.
"""

from __future__ import annotations

from typing import Final

from stopcut.shop.woods import plain_name

__all__ = ["BENCH_RULES", "LOCAL_RULES", "dust_caution"]

BENCH_RULES: Final = (
    "Hold the board with clamps, stops or a vice, never with a hand.",
    "Keep both hands behind the cutting edge at all times.",
    "Wear eye protection when a mallet sends chips flying.",
    "Lay tools down with their edges away from you; most cuts come from picking tools up.",
    "Keep edges sharp: they need less force.",
    "Wear a dust mask when sanding.",
)
"""Carvers' published rules; sharp edges: common practice."""

LOCAL_RULES: Final = "Rules of your country, workshop or school come before these."

REACTIONS: Final = {
    "western redcedar": "breathing",
    "iroko": "eyes, skin and breathing",
    "rosewood": "eyes, skin and breathing",
    "cocobolo": "eyes, skin and breathing",
    "mansonia": "eyes and skin",
    "olivewood": "eyes, skin and breathing",
    "obeche": "eyes, skin and breathing",
    "satinwood": "eyes, skin and breathing",
    "spalted maple": "breathing",
    "beech": "eyes, skin and breathing",
    "birch": "breathing",
    "oak": "eyes and skin",
    "black walnut": "eyes and skin",
    "redwood": "eyes, skin and breathing",
    "teak": "eyes, skin and breathing",
    "yew": "eyes and skin",
    "ebony": "eyes and skin",
    "boxwood": "eyes and skin",
    "mahogany": "skin and breathing",
    "elm": "eyes and skin",
    "padauk": "eyes, skin and breathing",
    "spruce": "breathing",
}
"""Woods whose dust is listed as a sensitizer or an irritant, and what it may act on."""

NAMED: Final = ("larch", "chestnut", "pine", "douglas fir", "guarea", "makore", "afrormosia", "agba")
"""Woods that the list of 1978 names besides, without saying how."""


def dust_caution(*names: str) -> str:
    """What is known of the dust of a wood, by any of its names ("oak", "northern red oak")."""
    called = [plain_name(name) for name in names if name]
    said = names[0] if names else "this wood"
    for wood, acts_on in REACTIONS.items():
        if any(_has(name, wood) for name in called):
            return f"Dust of {said} is listed as one that may act on {acts_on}: keep it off, and stop if you react."
    if any(_has(name, wood) for name in called for wood in NAMED):
        return f"Dust of {said} is on a list of woods that may harm health: keep it off, and stop if you react."
    return f"No list we have names the dust of {said}; that is no word that it is safe for you."


def _has(name: str, wood: str) -> bool:
    """Whether a wood's words stand in a name, one after another; the plural will do."""
    return f" {wood} " in f" {name} " or f" {wood}s " in f" {name} "
