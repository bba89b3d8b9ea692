"""Woods: what is known of the ones that carvers use for letters, and which wood a name in a job means.

Figures: USDA Forest Products Laboratory, Wood Handbook (FPL-GTR-190, 2010): specific gravity and side hardness at 12 %
moisture (chapter 5), shrinkage (chapter 4), change coefficients (table 13-5), decay resistance (chapter 14). Those of
a wood that were recalled rather than read are marked "memory" beside them. Texture, evenness and ease of carving (1 to
5, 5 the easiest) are common practice.
"""

from __future__ import annotations

import csv
import difflib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache
from importlib import resources
from typing import Final, Literal, cast

from stopcut.errors import Finding, Severity

__all__ = ["TEXTURES", "Texture", "Wood", "WoodAnswer", "plain_name", "wood_called", "woods"]

Texture = Literal["fine", "medium", "medium-coarse", "coarse"]
TEXTURES: Final[tuple[Texture, ...]] = ("fine", "medium", "medium-coarse", "coarse")
Source = Literal["handbook", "memory", "shop", ""]


@dataclass(frozen=True, slots=True)
class Wood:
    """One wood. What is not known is None, or "" for words.

    gravity is specific gravity and hardness_lbf side hardness, both at 12 % moisture; radial_per_pct and
    tangential_per_pct the change of width for each percent of moisture between 6 and 14 %; the shrinkages are from
    green to oven dry [% of the green size]. Each figure's …_from says where it was read. figures_of names the wood
    that lends its figures, where the wood itself has none.
    """

    name: str
    texture: Texture
    also_called: tuple[str, ...] = ()
    botanical: str = ""
    gravity: float | None = None
    gravity_from: Source = ""
    hardness_lbf: float | None = None
    hardness_from: Source = ""
    radial_per_pct: float | None = None
    tangential_per_pct: float | None = None
    movement_from: Source = ""
    radial_shrinkage_pct: float | None = None
    tangential_shrinkage_pct: float | None = None
    shrinkage_from: Source = ""
    pores: str = ""
    evenness: str = ""
    ease: int | None = None
    decay: str = ""
    decay_from: Source = ""
    figures_of: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class WoodAnswer:
    """Which wood a name means.

    wood is the one to reckon with, None where the table knows none; others are woods that the name may mean as well, or
    whose names are like it. findings say what a carver should look at: nothing where the name is plain.
    """

    name: str
    wood: Wood | None
    others: tuple[str, ...] = ()
    findings: tuple[Finding, ...] = ()

    @property
    def texture(self) -> Texture:
        """The wood's texture; medium where the wood is not known."""
        return self.wood.texture if self.wood is not None else UNKNOWN_TEXTURE


UNKNOWN_TEXTURE: Final[Texture] = "medium"  # our choice, because it is neither kind nor harsh

# Names that stand for several woods, with the one to reckon with first: the commonest in carving (common practice).
_SEVERAL: Final = {
    "oak": ("white oak", "northern red oak"),
    "european oak": ("white oak",),
    "english oak": ("white oak",),
    "maple": ("sugar maple",),
    "sycamore": ("American sycamore",),
    "pine": ("eastern white pine",),
    "cedar": ("western redcedar", "Spanish-cedar"),
    "redwood": ("redwood, young-growth", "redwood, old-growth"),
    "walnut": ("black walnut",),
    "ash": ("white ash",),
    "beech": ("American beech",),
    "birch": ("yellow birch",),
    "poplar": ("yellow-poplar", "quaking aspen"),
    "fir": ("Douglas-fir, coast",),
}


@cache
def woods() -> tuple[Wood, ...]:
    """The published table, woods that borrow figures already holding them."""
    text = resources.files("stopcut.shop").joinpath("woods.csv").read_text(encoding="utf-8")
    rows = [_wood(row) for row in csv.DictReader(text.splitlines())]
    by_name = {wood.name: wood for wood in rows}
    return tuple(_lent(wood, by_name[wood.figures_of]) if wood.figures_of else wood for wood in rows)


def wood_called(name: str, own: Sequence[Wood] = ()) -> WoodAnswer:
    """Which wood a job means by name, however it is written; own are the shop's, which come before the table's."""
    wanted = plain_name(name)
    for wood in (*own, *woods()):
        if wanted in (plain_name(called) for called in (wood.name, *wood.also_called)):
            return WoodAnswer(name, wood, (), _borrowed(wood))
    if wanted in _SEVERAL:
        return _one_of_several(name, _SEVERAL[wanted])
    return _unknown(name, wanted, own)


def _one_of_several(name: str, names: tuple[str, ...]) -> WoodAnswer:
    wood = next(wood for wood in woods() if wood.name == names[0])
    which = " or ".join(f'"{other}"' for other in names)
    finding = Finding(
        "which-wood",
        Severity.LOOK,
        f"{name} is the name of several woods; {wood.name} is taken here.",
        f"Write wood = {which}, or give your own wood's figures in shop.toml.",
        screen=f"Choose {' or '.join(names)} as the wood.",
    )
    return WoodAnswer(name, wood, names, (finding, *_borrowed(wood)))


def _unknown(name: str, wanted: str, own: Sequence[Wood]) -> WoodAnswer:
    known = {plain_name(called): wood.name for wood in (*own, *woods()) for called in (wood.name, *wood.also_called)}
    known |= {called: called for called in _SEVERAL}
    likely = difflib.get_close_matches(wanted[:60], known, n=3, cutoff=0.7)
    close = tuple(dict.fromkeys(known[name] for name in likely))
    meant = f" Did you mean {' or '.join(close)}?" if close else ""
    finding = Finding(
        "unknown-wood",
        Severity.LOOK,
        f"The table of woods does not know {name}: a {UNKNOWN_TEXTURE} texture is taken for it.{meant}",
        "Name a wood of the table, or give this one's texture and figures in shop.toml.",
        screen="Choose a wood of the table that is like it.",
    )
    return WoodAnswer(name, None, close, (finding,))


def _borrowed(wood: Wood) -> tuple[Finding, ...]:
    if not wood.figures_of:
        return ()
    says = f"{wood.name} has no published figures of its own: {wood.figures_of}'s are used."
    remedy = "Give your own wood's figures in shop.toml if you know them."
    screen = "Your own piece may be harder or softer: try it with a chisel."
    return (Finding("lent-figures", Severity.NOTE, says, remedy, screen=screen),)


def _lent(wood: Wood, lender: Wood) -> Wood:
    """A wood with the lender's numbers in place of those it has not; words stay its own."""
    return replace(
        wood,
        gravity=lender.gravity,
        gravity_from=lender.gravity_from,
        hardness_lbf=lender.hardness_lbf,
        hardness_from=lender.hardness_from,
        radial_per_pct=lender.radial_per_pct,
        tangential_per_pct=lender.tangential_per_pct,
        movement_from=lender.movement_from,
        radial_shrinkage_pct=lender.radial_shrinkage_pct,
        tangential_shrinkage_pct=lender.tangential_shrinkage_pct,
        shrinkage_from=lender.shrinkage_from,
        decay=lender.decay,
        decay_from=lender.decay_from,
    )


def _wood(row: dict[str, str]) -> Wood:
    def figure(column: str) -> float | None:
        return float(row[column]) if row[column] else None

    def source(column: str) -> Source:
        return cast(Source, row[column])

    return Wood(
        name=row["name"],
        texture=cast(Texture, row["texture"]),
        also_called=tuple(filter(None, row["also_called"].split("; "))),
        botanical=row["botanical"],
        gravity=figure("gravity"),
        gravity_from=source("gravity_from"),
        hardness_lbf=figure("hardness_lbf"),
        hardness_from=source("hardness_from"),
        radial_per_pct=figure("radial_per_pct"),
        tangential_per_pct=figure("tangential_per_pct"),
        movement_from=source("movement_from"),
        radial_shrinkage_pct=figure("radial_shrinkage_pct"),
        tangential_shrinkage_pct=figure("tangential_shrinkage_pct"),
        shrinkage_from=source("shrinkage_from"),
        pores=row["pores"],
        evenness=row["evenness"],
        ease=int(row["ease"]) if row["ease"] else None,
        decay=row["decay"],
        decay_from=source("decay_from"),
        figures_of=row["figures_of"],
        note=row["note"],
    )


def plain_name(name: str) -> str:
    """A name without what does not tell woods apart: case, hyphens, commas, runs of blanks."""
    return " ".join(name.casefold().replace("-", " ").replace(",", " ").split())
