"""The shop's own settings: STOPCUT_HOME/shop.toml, laid over the published ones.

```toml
format = 1
units = "mm"                               # bare numbers below are in this

[thresholds]
deepest_share = 0.4                        # of the board's thickness
thinnest_stroke = { fine = 0.8, coarse = "3 mm" }   # by the wood's texture; or one length for every wood
edge_clear = 8

[screen]
fine_step = "0.1 mm"                       # how far an arrow key moves a letter
coarse_step = "1 mm"                       # and with the shift key held

[[wood]]
name = "pear"
texture = "fine"                           # "fine", "medium", "medium-coarse", "coarse"
hardness = 1660                            # side hardness at 12 % moisture, pound-force
```
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import Annotated, Any, Final, cast

from pydantic import Field, PlainValidator, ValidationError, ValidationInfo

from stopcut.errors import Fault, WrongJob
from stopcut.home import home
from stopcut.shop.thresholds import PUBLISHED, ByTexture, Thresholds
from stopcut.shop.woods import TEXTURES, Texture, Wood, WoodAnswer, wood_called
from stopcut.written import readers as read
from stopcut.written.model_faults import Format, as_faults, single_faults
from stopcut.written.places import find_places
from stopcut.written.toml import text_of, toml_of

__all__ = ["SHOP_FILE", "Screen", "Shop", "parse_shop", "read_shop"]

SHOP_FILE: Final = "shop.toml"
FORMAT: Final = 1
MOST_MM: Final = 1_000.0  # our choice, because a threshold beyond it would silence or drown every board
FINEST_STEP_MM: Final = 0.01  # our choice, because no hand cuts to less
LONGEST_STEP_MM: Final = 100.0  # our choice, because a longer step throws a letter off most boards


@dataclass(frozen=True, slots=True)
class Screen:
    """How far one press of an arrow key moves a letter on the screen, fine and coarse. [mm]

    The published steps are our choice: a tenth is as little as a knife line shows, a millimetre the rule's division.
    """

    fine_step_mm: float = 0.1
    coarse_step_mm: float = 1.0


@dataclass(frozen=True, slots=True)
class Shop:
    """The carver's own settings: where findings begin, woods that the published table lacks, the screen's steps."""

    thresholds: Thresholds = PUBLISHED
    woods: tuple[Wood, ...] = ()
    screen: Screen = Screen()

    def wood_called(self, name: str) -> WoodAnswer:
        """Which wood a job means by name, the shop's own first."""
        return wood_called(name, self.woods)


def read_shop(folder: Path | None = None) -> Shop:
    """The settings of the shop at folder (STOPCUT_HOME if none is named); the published ones where it has no file.

    Raises WrongJob, its message and every fault naming shop.toml, where the file is wrong.
    """
    path = (home() if folder is None else folder) / SHOP_FILE
    if not path.exists():
        return Shop()
    return parse_shop(text_of(path, what="shop file"))


def parse_shop(text: str) -> Shop:
    """The settings that a text says. Raises WrongJob with every fault found."""
    try:
        raw = toml_of(text)
    except WrongJob as wrong:
        raise WrongJob(tuple(_of_shop(fault) for fault in wrong.faults)) from None
    try:
        document = _ShopDocument.model_validate(raw, context={"units": raw.get("units")})
    except ValidationError as problem:
        found = single_faults(problem.errors(include_url=False), _FORMAT)
        raise WrongJob(tuple(_of_shop(fault) for fault in as_faults(found, find_places(text)))) from None
    woods = tuple(_wood(table) for table in document.wood)
    return Shop(_thresholds(document.thresholds), woods, _screen(document.screen))


def _of_shop(fault: Fault) -> Fault:
    """A fault whose key says that it is not the job's."""
    return replace(fault, key=f"{SHOP_FILE} {fault.key}".strip())


def _by_texture() -> PlainValidator:
    """One length for every wood, or a table of lengths by texture. Gives a mapping by texture, in mm."""

    def one(value: Any, info: ValidationInfo) -> float:
        return read.bounded_length(value, read.units_of(info), 0, MOST_MM)

    def check(value: Any, info: ValidationInfo) -> dict[str, float]:
        if not isinstance(value, dict):
            return dict.fromkeys(TEXTURES, one(value, info))
        for key in value:
            if key not in TEXTURES:
                listed = ", ".join(TEXTURES)
                raise read.wrong(f"{read.shown(key)} is no texture", f"the textures are {listed}")
        return {key: one(member, info) for key, member in value.items()}

    return PlainValidator(check)


_lengths = Annotated[dict[str, float], _by_texture()]
_clear = Annotated[float | None, read.length(0, MOST_MM)]
_step = Annotated[float | None, read.length(FINEST_STEP_MM, LONGEST_STEP_MM)]
_coefficient = Annotated[float | None, read.number(0.0001, 0.02)]


class _Thresholds(read.StrictTable):
    deepest_share: Annotated[float | None, read.number(0.05, 1)] = None
    thinnest_stroke: _lengths = Field(default_factory=dict)
    finest_detail: _lengths = Field(default_factory=dict)
    least_wood: _lengths = Field(default_factory=dict)
    least_counter: _lengths = Field(default_factory=dict)
    short_grain: Annotated[float | None, read.number(0, 20)] = None
    sharpest_apex: Annotated[float | None, read.angle(0, 180, "stay from 0 to 180 degrees")] = None
    edge_clear: _clear = None
    avoid_clear: _clear = None


class _Screen(read.StrictTable):
    fine_step: _step = None
    coarse_step: _step = None


class _Wood(read.StrictTable):
    name: Annotated[str, read.text("the wood's name", 200)]
    texture: Annotated[str, read.choice(*TEXTURES)]
    gravity: Annotated[float | None, read.number(0.05, 1.5)] = None
    hardness: Annotated[float | None, read.number(1, 10_000)] = None
    radial: _coefficient = None
    tangential: _coefficient = None
    ease: Annotated[int | None, read.whole_number(1, 5)] = None
    note: Annotated[str | None, read.text("a note", 1_000)] = None


class _ShopDocument(read.StrictTable):
    format: Annotated[int, read.version(FORMAT)]
    units: Annotated[str | None, read.choice("mm", "in")] = None
    thresholds: _Thresholds = Field(default_factory=_Thresholds)
    screen: _Screen = Field(default_factory=_Screen)
    wood: list[_Wood] = Field(default_factory=list)


_FORMAT: Final = Format(
    tables={(): _ShopDocument, ("thresholds",): _Thresholds, ("screen",): _Screen, ("wood",): _Wood},
    repeated=("wood",),
    when_missing={("format",): f"write format = {FORMAT} as the first line"},
)


def _or_published(own: float | None, published: float) -> float:
    return published if own is None else own


def _screen(table: _Screen) -> Screen:
    published = Screen()
    return Screen(
        fine_step_mm=_or_published(table.fine_step, published.fine_step_mm),
        coarse_step_mm=_or_published(table.coarse_step, published.coarse_step_mm),
    )


def _thresholds(table: _Thresholds) -> Thresholds:
    def lengths(published: ByTexture, own: dict[str, float]) -> ByTexture:
        return replace(published, **{texture.replace("-", "_"): mm for texture, mm in own.items()})

    return Thresholds(
        deepest_share=_or_published(table.deepest_share, PUBLISHED.deepest_share),
        thinnest_stroke_mm=lengths(PUBLISHED.thinnest_stroke_mm, table.thinnest_stroke),
        finest_detail_mm=lengths(PUBLISHED.finest_detail_mm, table.finest_detail),
        least_wood_mm=lengths(PUBLISHED.least_wood_mm, table.least_wood),
        least_counter_mm=lengths(PUBLISHED.least_counter_mm, table.least_counter),
        short_grain=_or_published(table.short_grain, PUBLISHED.short_grain),
        sharpest_apex_deg=_or_published(table.sharpest_apex, PUBLISHED.sharpest_apex_deg),
        edge_clear_mm=_or_published(table.edge_clear, PUBLISHED.edge_clear_mm),
        avoid_clear_mm=_or_published(table.avoid_clear, PUBLISHED.avoid_clear_mm),
    )


def _wood(table: _Wood) -> Wood:
    return Wood(
        name=table.name,
        texture=cast(Texture, table.texture),
        gravity=table.gravity,
        gravity_from="shop" if table.gravity is not None else "",
        hardness_lbf=table.hardness,
        hardness_from="shop" if table.hardness is not None else "",
        radial_per_pct=table.radial,
        tangential_per_pct=table.tangential,
        movement_from="shop" if table.radial is not None or table.tangential is not None else "",
        ease=table.ease,
        note=table.note or "",
    )
