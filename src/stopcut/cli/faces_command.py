"""`stopcut faces`: the faces at hand with their licences; drawn as specimens; compared for carving a job's words."""

from __future__ import annotations

import logging
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from stopcut.cli.console import Teller
from stopcut.cli.plain import faces_in_words
from stopcut.cli.status import FINE
from stopcut.errors import CarverError
from stopcut.files import write_together
from stopcut.lettering.faces import Face, list_faces

if TYPE_CHECKING:
    from stopcut.options.faces_compared import Compared
    from stopcut.shop.rates import Skill
    from stopcut.units import Units

__all__ = ["compared_in_words", "faces"]

FAULT_OF_OURS = "could not be worked out, by a fault of stopcut's own"


@click.command()
@click.option(
    "--specimen",
    type=click.Path(path_type=Path),
    metavar="PNG",
    help="Draw a specimen of each face too; several pages are numbered.",
)
@click.option("--words", default="MARROW LANE 1931", show_default=True, help="The words of the specimen.")
@click.option(
    "--for",
    "job",
    type=click.Path(path_type=Path),
    metavar="JOB",
    help="What this job's words come to in each face that comes with stopcut (--all: in every face).",
)
@click.option(
    "--skill",
    type=click.Choice(["first board", "practised", "daily"]),
    default="practised",
    show_default=True,
    help="Whose hand it is, for the hours of --for.",
)
@click.option("--all", "everything", is_flag=True, help="The machine's own faces too.")
@click.option("--quiet", "-q", is_flag=True, help="Say nothing but findings and faults.")
def faces(specimen: Path | None, words: str, job: Path | None, skill: Skill, everything: bool, quiet: bool) -> int:
    """List the faces at hand with their licences.

    With --for JOB: how many hours the job's very words take at their very size in each face, its thinnest stroke, its
    riskiest letter, and how many tools it wants; the quickest first.
    """
    teller = Teller(quiet)
    with teller.working():
        teller.progress("Looking for faces", 0.0)
        found = list_faces(system=everything)
    if job is None:
        teller.say(faces_in_words(found))
    else:
        _compare(job, [face for face in found if everything or face.origin == "packaged"], skill, teller)
    if specimen is not None:
        from stopcut.sheets.specimen import specimen_pages

        with teller.working():
            teller.progress("Specimen", 0.0)
            pages = specimen_pages([face.family for face in found], words)
        names = [specimen.name] if len(pages) == 1 else [_numbered(specimen, n) for n in range(1, len(pages) + 1)]
        write_together(specimen.parent, dict(zip(names, pages, strict=True)))
        teller.say("Specimen: " + ", ".join(str(specimen.with_name(name)) for name in names))
    return FINE


def _numbered(path: Path, number: int) -> str:
    """The file's name with a page's number."""
    return f"{path.stem}-{number}{path.suffix}"


def _compare(path: Path, found: Sequence[Face], skill: Skill, teller: Teller) -> None:
    from stopcut.bench.believable import counted, judged
    from stopcut.bench.minutes import believed
    from stopcut.job.read import read_job
    from stopcut.options.faces_compared import CarvedBy, compared
    from stopcut.shop.rates import read_times
    from stopcut.shop.roll import read_roll
    from stopcut.shop.shop_file import read_shop
    from stopcut.work import Work

    work = Work(read_job(path), read_shop(), teller.progress)
    times = read_times()
    timed = judged(believed(skill, times.rates), times.logged, times.rates)
    at_bench = CarvedBy(read_roll(), skill, rates=times.rates, logged=counted(timed))
    made: list[Compared] = []
    cannot: dict[str, str] = {}
    with teller.working():
        _ = work.setting  # a job that is wrong is said before anything is compared
        for number, face in enumerate(found, 1):

            def told(doing: str, done: float, number: int = number) -> None:
                teller.progress(f"{number} of {len(found)}, {doing}", done)

            try:
                made.append(compared(work, face.family, at_bench, told))
            except CarverError as problem:
                cannot[face.family] = str(problem)
            except Exception:  # a fault of ours in one face: the others are told all the same
                logging.getLogger("stopcut").exception("a face could not be compared")
                cannot[face.family] = FAULT_OF_OURS
    teller.say(compared_in_words(made, cannot, work.job.units))


def compared_in_words(made: Sequence[Compared], cannot: dict[str, str], units: Units) -> str:
    """A table of faces, the quickest first; below it those that cannot be carved so, with the reason."""
    from stopcut.units import format_length

    rows = [("face", "about", "thinnest", "riskiest", "tools", "")]
    for one in sorted(made, key=lambda one: one.minutes.likely):
        thinnest = "none even" if one.thinnest_mm is None else format_length(one.thinnest_mm, units, finest=64)
        risk = "none" if one.riskiest is None else f"{one.riskiest.char} ({one.riskiest.line}, {one.riskiest.index})"
        notes = [] if one.fits else ["does not fit at this size"]
        notes += [f"{one.without} cuts have no tool"] if one.without else []
        rows.append((one.family, _hours(one.minutes.likely), thinnest, risk, str(one.tools), "; ".join(notes)))
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]
    said = ["  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip() for row in rows]
    said += [f"{family}: {why}" for family, why in cannot.items()]
    return "\n".join(said)


def _hours(minutes: float) -> str:
    whole, rest = divmod(round(minutes), 60)
    return f"{whole} h {rest:02}" if whole else f"{rest} min"
