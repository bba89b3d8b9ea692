"""How fast a carver works: STOPCUT_HOME/rates.toml, laid over the published rates.

```toml
format = 1

[rates]
stab_s = 5                    # seconds for one setting of a stop or end cut
mm2_per_min = 180             # wall pared in a minute
letter_spread = 0.2

[[logged]]                    # a letter that was timed, as many as there are
what = "R of the gate board"
reckoned = 14.2               # minutes that the plan reckoned for it at pace 1
taken = 19
sure = true                   # where it is far from what was reckoned, and yet took so long
```

A rate that is not there is the published one. Every rate is our choice until a carver's own times correct it: what
timed letters make of the minutes is told in stopcut.bench.minutes.
"""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass, replace
from pathlib import Path
from types import MappingProxyType
from typing import Annotated, Any, Final, Literal, NamedTuple, cast

from pydantic import BaseModel, Field, ValidationError, create_model

from stopcut.errors import Fault, WrongJob
from stopcut.home import home
from stopcut.written import readers as read
from stopcut.written.model_faults import Format, as_faults, single_faults
from stopcut.written.places import find_places
from stopcut.written.toml import text_of, toml_of

__all__ = [
    "PUBLISHED_RATES",
    "RANGES",
    "RATES_FILE",
    "WHY_RATES",
    "Logged",
    "Rates",
    "Skill",
    "Times",
    "parse_times",
    "read_times",
]

RATES_FILE: Final = "rates.toml"
FORMAT: Final = 1
MOST_LOGGED: Final = 10_000  # our choice: a lifetime's letters, or a slip

Skill = Literal["first board", "practised", "daily"]


@dataclass(frozen=True, slots=True)
class Rates:
    """What the minutes are reckoned with, for a practised carver in lime. WHY_RATES has each value's reason, RANGES its
    unit.

    stab_s is one setting of a stop or end cut, stab_s_per_mm what each mm of its depth adds; pare_s one setting of the
    edge on a wall or a floor, pare_s_per_mm what each mm that the wall goes down adds, and mm2_per_min and
    floor_mm2_per_min the wall's and the floor's area that is smoothed in a minute; relief_s_per_mm taking out a mm of a
    stroke's middle in one pass; tip_s cleaning a point, point_s_per_mm drawing the edge's corner along; pick_up_s
    laying a tool down and taking up another; letter_s seeing to the marks of a letter and clearing its chips. rest is
    the share added for stropping, looking and resting. hardness_lbf is the wood all this is for, and a wood twice as
    hard takes 2 ** hardness_power times as long to cut; unknown_lbf stands for a wood of unknown hardness. pace_... is
    how many times as long each skill takes, spread_... how far carvers of it differ (standard deviation of the
    logarithm), and letter_spread how far one carver's letters do.
    """

    stab_s: float = 2.0
    stab_s_per_mm: float = 0.3
    pare_s: float = 1.2
    pare_s_per_mm: float = 1.8
    mm2_per_min: float = 800.0
    floor_mm2_per_min: float = 400.0
    relief_s_per_mm: float = 0.3
    tip_s: float = 3.0
    point_s_per_mm: float = 1.0
    pick_up_s: float = 6.0
    letter_s: float = 20.0
    rest: float = 0.15
    hardness_lbf: float = 410.0
    hardness_power: float = 0.5
    unknown_lbf: float = 900.0
    pace_first_board: float = 2.5
    pace_practised: float = 1.0
    pace_daily: float = 0.6
    spread_first_board: float = 0.5
    spread_practised: float = 0.35
    spread_daily: float = 0.25
    letter_spread: float = 0.25


PUBLISHED_RATES: Final = Rates()


class Range(NamedTuple):
    """What a rate may be, from least to most, and its unit. Beyond is a slip of the pen: our choice."""

    least: float
    most: float
    unit: str


RANGES: Final = MappingProxyType(
    {
        "stab_s": Range(0.1, 600, "seconds"),
        "stab_s_per_mm": Range(0, 120, "seconds for each mm"),
        "pare_s": Range(0.1, 600, "seconds"),
        "pare_s_per_mm": Range(0, 120, "seconds for each mm"),
        "mm2_per_min": Range(1, 10_000, "mm² a minute"),
        "floor_mm2_per_min": Range(1, 10_000, "mm² a minute"),
        "relief_s_per_mm": Range(0, 120, "seconds for each mm"),
        "tip_s": Range(0.1, 600, "seconds"),
        "point_s_per_mm": Range(0, 120, "seconds for each mm"),
        "pick_up_s": Range(0, 600, "seconds"),
        "letter_s": Range(0, 7_200, "seconds"),
        "rest": Range(0, 3, "share"),
        "hardness_lbf": Range(50, 5_000, "pound-force"),
        "hardness_power": Range(0, 2, "power"),
        "unknown_lbf": Range(50, 5_000, "pound-force"),
        "pace_first_board": Range(0.1, 20, "times"),
        "pace_practised": Range(0.1, 20, "times"),
        "pace_daily": Range(0.1, 20, "times"),
        "spread_first_board": Range(0.01, 2, "of the logarithm"),
        "spread_practised": Range(0.01, 2, "of the logarithm"),
        "spread_daily": Range(0.01, 2, "of the logarithm"),
        "letter_spread": Range(0.01, 2, "of the logarithm"),
    }
)

WHY_RATES: Final = MappingProxyType(
    {
        "stab_s": "our choice: setting the edge on the line and a tap; with the others it meets the published pace of "
        "letter cutters (docs/bench.md); log your own",
        "stab_s_per_mm": "our choice: deeper wants more taps",
        "pare_s": "our choice: setting the edge on the line",
        "pare_s_per_mm": "our choice: slices to the bottom of the wall, one for about each mm of its depth",
        "mm2_per_min": "our choice: the last slices, that leave the wall smooth",
        "floor_mm2_per_min": "our choice: slower than a wall, for it is pared to be seen",
        "relief_s_per_mm": "our choice: a furrow a pass, driven with the mallet",
        "tip_s": "our choice: two nicks with a corner",
        "point_s_per_mm": "our choice: slowly, in several strokes",
        "pick_up_s": "our choice: laid down with its edge away from the hand, found, taken up",
        "letter_s": "our choice: seeing to the marks and clearing chips",
        "rest": "our choice; a break every five letters is common practice",
        "hardness_lbf": "side hardness of basswood, for lime: Wood Handbook (FPL-GTR-190), chapter 5",
        "hardness_power": "our choice: time grows with hardness, but less than in proportion",
        "unknown_lbf": "our choice: between lime and oak",
        "pace_first_board": "our choice",
        "pace_practised": "our choice: the rates are for such a carver",
        "pace_daily": "our choice",
        "spread_first_board": "our choice: two beginners of three take 0.6 to 1.6 times the likely time",
        "spread_practised": "our choice",
        "spread_daily": "our choice",
        "letter_spread": "our choice",
    }
)


@dataclass(frozen=True, slots=True)
class Logged:
    """A letter that was timed: the minutes that were reckoned for it at pace 1, and those it took; both > 0.

    what says which letter it was ("" where that is not known); sure is the carver's word that it took so long, however
    far that is from what was reckoned.
    """

    reckoned: float
    taken: float
    what: str = ""
    sure: bool = False


@dataclass(frozen=True, slots=True)
class Times:
    """A carver's own rates, and the letters that were timed."""

    rates: Rates = PUBLISHED_RATES
    logged: tuple[Logged, ...] = ()


def read_times(folder: Path | None = None) -> Times:
    """The rates of the shop at folder (STOPCUT_HOME if none is named); the published ones where it has no file.

    Raises WrongJob, its message and every fault naming rates.toml, where the file is wrong.
    """
    path = (home() if folder is None else folder) / RATES_FILE
    return parse_times(text_of(path, what="file of rates")) if path.exists() else Times()


def parse_times(text: str) -> Times:
    """The rates and the timed letters that a text says. Raises WrongJob with every fault found."""
    try:
        raw = toml_of(text)
    except WrongJob as wrong:
        raise WrongJob(tuple(_of_rates(fault) for fault in wrong.faults)) from None
    try:
        document = _RatesDocument.model_validate(raw)
    except ValidationError as problem:
        found = single_faults(problem.errors(include_url=False), _FORMAT)
        raise WrongJob(tuple(_of_rates(fault) for fault in as_faults(found, find_places(text)))) from None
    own = {name: value for name, value in cast(BaseModel, document.rates).model_dump().items() if value is not None}
    return Times(replace(PUBLISHED_RATES, **own), tuple(_as_logged(one) for one in document.logged))


def _as_logged(one: _Logged) -> Logged:
    return Logged(one.reckoned, one.taken, one.what or "", one.sure)


def _of_rates(fault: Fault) -> Fault:
    """A fault whose key says that it is not the job's."""
    return replace(fault, key=f"{RATES_FILE} {fault.key}".strip())


_fields: dict[str, Any] = {
    field.name: (Annotated[float | None, read.number(*RANGES[field.name][:2])], None)
    for field in dataclasses.fields(Rates)
}
_Rates: type[BaseModel] = create_model("_Rates", __base__=read.StrictTable, **_fields)

_minutes = read.number(0.01, 100_000)


class _Logged(read.StrictTable):
    what: Annotated[str | None, read.text("what was timed", 200)] = None
    reckoned: Annotated[float, _minutes]
    taken: Annotated[float, _minutes]
    sure: Annotated[bool, read.yes_or_no()] = False


class _RatesDocument(read.StrictTable):
    format: Annotated[int, read.version(FORMAT)]
    rates: _Rates = Field(default_factory=_Rates)  # type: ignore[valid-type]
    logged: list[_Logged] = Field(default_factory=list, max_length=MOST_LOGGED)


_FORMAT: Final = Format(
    tables={(): _RatesDocument, ("rates",): _Rates, ("logged",): _Logged},
    repeated=("logged",),
    when_missing={("format",): f"write format = {FORMAT} as the first line"},
)
