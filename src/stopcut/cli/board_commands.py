"""The commands of a board: each reads its job, asks the rooms, and says what came of it.

What draws, plans or mends is only loaded by the command that asks for it: measuring waits for none of it.
"""

from __future__ import annotations

import datetime
import json
import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import click

from stopcut.cli.console import Teller
from stopcut.cli.plain import board_in_words, mending_in_words, plan_in_words, strokes_in_words
from stopcut.cli.status import FINE, STOP, WRONG
from stopcut.errors import BadFile, WrongJob
from stopcut.files import write_together
from stopcut.job.job import Job
from stopcut.job.read import parse_job, read_job
from stopcut.sheets.measured import faults_measured, measured, must_stop
from stopcut.shop.shop_file import read_shop
from stopcut.units import parse_length
from stopcut.work import Work

if TYPE_CHECKING:
    from stopcut.bench.order import Way, Within
    from stopcut.options.mended import Planing, Widening
    from stopcut.shop.rates import Skill

    Mending = Planing | Widening

__all__ = ["demo", "measure", "mend", "new", "plan", "sheets", "testpiece"]

_order = click.option(
    "--order",
    type=click.Choice(["middle", "easy", "stroke", "reading"]),
    default="middle",
    show_default=True,
    help="From the middle letter outwards, the same after an easy letter, by stroke across the line, or as read.",
)
_skill = click.option(
    "--skill",
    type=click.Choice(["first board", "practised", "daily"]),
    default="practised",
    show_default=True,
    help="Whose hand it is, for the minutes.",
)
_job = click.argument("job", type=click.Path(path_type=Path))
_quiet = click.option("--quiet", "-q", is_flag=True, help="Say nothing but findings and faults.")
_paper = click.option(
    "--paper", metavar="SIZE", help="Paper to print on: A4, A3, Letter, Tabloid … (by the job's units)."
)


@click.command()
@click.argument("folder", type=click.Path(path_type=Path), default=Path("demo"))
@_quiet
def demo(folder: Path, quiet: bool) -> int:
    """Draw the demo board, the gate board of the Marrow Lane Allotment Society, into FOLDER."""
    from stopcut.job.new import demo_job_text

    return _sheets(parse_job(demo_job_text(), "job.toml", base_folder=folder), folder, None, False, quiet)


@click.command()
@_job
@click.option("--words", multiple=True, metavar="TEXT", help="A line of words; may be given again for more lines.")
@click.option("--inches", is_flag=True, help="Measure in inches.")
@_quiet
def new(job: Path, words: tuple[str, ...], inches: bool, quiet: bool) -> int:
    """Write a job file to fill in, its settings explained. An existing file is left alone.

    Raised lettering and relief are out of stopcut's scope: it knows grooves alone.
    """
    from stopcut.job.new import new_job_text

    path = job if job.suffix else job.with_suffix(".toml")
    if path.exists():
        raise BadFile(f"{path} is there already and was left as it is; choose another name.")
    text = new_job_text(words=words or ("MARROW LANE",), units="in" if inches else "mm", name=path.name)
    write_together(path.parent, {path.name: text.encode()})
    Teller(quiet).say(f"{path} is ready to fill in. Then: stopcut measure {path}")
    return FINE


@click.command()
@_job
@click.option("--json", "as_json", is_flag=True, help="Print every figure as JSON (its layout is in the README).")
@_quiet
def measure(job: Path, as_json: bool, quiet: bool) -> int:
    """Say what a job comes to: every letter's place, gaps and depths, and what will not carve."""
    teller = Teller(quiet, results=not as_json)
    try:
        work = Work(read_job(job), read_shop(), teller.progress)
        with teller.working():
            figures = measured(work)
    except WrongJob as problem:
        if not as_json:
            raise
        _print_json(faults_measured(problem.faults))
        return WRONG
    if as_json:
        _print_json(figures)
    else:
        teller.say(board_in_words(work))
        teller.causes(work)
    return STOP if must_stop(work.findings) else FINE


@click.command()
@_job
@click.option("--out", "folder", required=True, type=click.Path(path_type=Path), help="The folder to write into.")
@_paper
@click.option("--whole", is_flag=True, help="Also the whole board on one large sheet, for a print shop.")
@_quiet
def sheets(job: Path, folder: Path, paper: str | None, whole: bool, quiet: bool) -> int:
    """Draw a job: full-size pattern (PDF), board (SVG), the board as carved (PNG), and the job file beside them."""
    return _sheets(read_job(job), folder, paper, whole, quiet)


@click.command()
@_job
@_order
@click.option("--tools", "roll", type=click.Path(path_type=Path), metavar="ROLL", help="A tool roll of yours (TOML).")
@_skill
@click.option(
    "--with",
    "only",
    metavar="TOOLS",
    help='Only these tools of the roll, by name: "chisel 20, fishtail 5"; others where none fits.',
)
@click.option(
    "--within",
    type=click.Choice(["strokes", "tools"]),
    default="strokes",
    show_default=True,
    help="In a letter: each stroke whole, as it is taught, or by the kind of cut, with fewer tools picked up.",
)
@click.option("--strokes", is_flag=True, help="List every letter's strokes by number, to call one otherwise.")
@click.option("--json", "as_json", is_flag=True, help="Print the plan as JSON (its layout is in the README).")
@click.option("--out", "target", type=click.Path(path_type=Path), metavar="PDF", help="Draw the bench sheets.")
@_quiet
def plan(
    job: Path,
    order: Way,
    roll: Path | None,
    skill: Skill,
    only: str | None,
    within: Within,
    strokes: bool,
    as_json: bool,
    target: Path | None,
    quiet: bool,
) -> int:
    """Plan the cutting of a board: every stroke whole, step by step, with the fewest tools that do it well.

    Four orders: from the middle letter outwards, the same after an easy letter, by stroke across the line, or as it is
    read. Your own tools and rates
    are read from tools.toml and rates.toml in STOPCUT_HOME.
    """
    from stopcut.bench.believable import counted, far_off_findings, judged
    from stopcut.bench.minutes import believed
    from stopcut.sheets.plan_figures import plan_figures
    from stopcut.shop.rates import read_times
    from stopcut.shop.roll import parse_roll, read_roll
    from stopcut.written.toml import text_of

    teller = Teller(quiet, results=not as_json)
    work = Work(read_job(job), read_shop(), teller.progress)
    tools = read_roll() if roll is None else parse_roll(text_of(roll, what="tool roll"))
    with teller.working():
        times = read_times()
        chosen = None if only is None else [name.strip() for name in only.split(",") if name.strip()]
        timed = judged(believed(skill, times.rates), times.logged, times.rates)
        made = work.plan(order, tools, skill, within=within, only=chosen, rates=times.rates, logged=counted(timed))
        made = replace(made, findings=(*made.findings, *far_off_findings(timed)))
        if target is not None:
            from stopcut.sheets.bench_sheets import bench_sheets_pdf

            drawn = bench_sheets_pdf(work, made, issued=datetime.date.today())
            write_together(target.parent, {target.name: drawn})
    if as_json:
        _print_json(plan_figures(made))
    else:
        teller.say(plan_in_words(work, made))
        if strokes:
            teller.say(strokes_in_words(made, work.job.units))
        teller.findings(made.findings)
        if target is not None:
            teller.say(f"Bench sheets: {target}")
    return STOP if must_stop(work.findings) else FINE


_A_LITTLE: Final = {"mm": ("0.5 mm", "1 mm"), "in": ("1/64 in", "1/32 in")}
"""Examples of how much wider and how much off, in the job's units."""


@click.command()
@_job
@click.option("--line", type=click.IntRange(1), default=1, show_default=True, help="The line of the letter to widen.")
@click.option("--letter", type=click.IntRange(1), help="Which letter of it, spaces not counted.")
@click.option("--widen", metavar="LENGTH", help='How much wider every stroke of the letter gets: "0.5 mm", "1/64 in".')
@click.option("--every", is_flag=True, help="Widen every such letter of that size: a bolder one beside its twin shows.")
@click.option("--plane", metavar="LENGTH", help='How much is planed off the whole face: "1 mm", "1/32 in".')
@click.option("--out", "target", type=click.Path(path_type=Path), metavar="JOB", help="Write the changed job here.")
@_quiet
def mend(
    job: Path,
    line: int,
    letter: int | None,
    widen: str | None,
    every: bool,
    plane: str | None,
    target: Path | None,
    quiet: bool,
) -> int:
    """Say what mending a slip comes to, and write the job as it then is.

    Give --letter and --widen, or --plane. Nothing is written without --out, and never over a file that is there.
    """
    from stopcut.job.elsewhere import text_for
    from stopcut.options.mended import GLUE, planing, widening

    teller = Teller(quiet)
    if widen is None and plane is None:
        teller.say(GLUE)
        wider, off = _A_LITTLE[read_job(job).units]
        teller.say(f'Else: --letter 3 --widen "{wider}" cuts the slip away, --plane "{off}" takes the face down to it.')
        return FINE
    if widen is not None and (plane is not None or letter is None):
        raise click.UsageError("Widen one letter (--letter 3 --widen LENGTH) or plane the face (--plane LENGTH).")
    if target is not None and target.exists():
        raise BadFile(f"{target} is there already and is left as it is; choose another name with --out.")
    work = Work(read_job(job), read_shop(), teller.progress)
    with teller.working():
        if widen is not None:
            made: Mending = widening(work, line, letter or 0, _mended_by("--widen", widen, work.job), with_twins=every)
        else:
            made = planing(work, _mended_by("--plane", plane or "", work.job))
    teller.say(mending_in_words(work, made))
    teller.findings(made.new_findings)
    if target is not None:
        text = text_for(made.job, job.parent, target.parent)
        write_together(target.parent, {target.name: text.encode()})
        teller.say(f"{target} is the job as it is then.")
    return STOP if must_stop(made.new_findings) else FINE


def _mended_by(option: str, length: str, job: Job) -> float:
    """A length of the command line, in the job's units where it says none. [mm]"""
    try:
        mm = parse_length(length, job.units)
    except ValueError as problem:
        raise click.UsageError(f"{option}: {problem}.") from None
    if mm <= 0:
        raise click.UsageError(f"{option} wants a length of more than nothing.")
    return mm


@click.command()
@_job
@click.option("--out", "target", type=click.Path(path_type=Path), metavar="JOB", help="Where to write it.")
@_quiet
def testpiece(job: Path, target: Path | None, quiet: bool) -> int:
    """Make a small job of the two or three riskiest letters, at size, to try on an offcut of the same wood."""
    from stopcut.job.elsewhere import text_for
    from stopcut.options.testpiece import piece_of

    teller = Teller(quiet)
    work = Work(read_job(job), read_shop(), teller.progress)
    path = target or job.with_name(f"{job.stem}-testpiece.toml")
    if path.exists():
        raise BadFile(f"{path} is there already and is left as it is; choose another name with --out.")
    with teller.working():
        text = text_for(piece_of(work), job.parent, path.parent)
    write_together(path.parent, {path.name: text.encode()})
    teller.say(f"{path} is ready. Then: stopcut sheets {path} --out {path.with_suffix('')}")
    return FINE


def _sheets(job: Job, folder: Path, paper: str | None, whole: bool, quiet: bool) -> int:
    from stopcut.sheets.write import write_sheets  # what draws is only loaded to draw: measuring waits for none of it

    teller = Teller(quiet)
    work = Work(job, read_shop(), teller.progress)
    with teller.working():
        paths = write_sheets(work, folder, paper=paper, issued=datetime.date.today(), whole=whole)
    teller.say(board_in_words(work))
    for path in paths:
        teller.say(f"  {path}")
    teller.causes(work)
    return STOP if must_stop(work.findings) else FINE


def _print_json(value: dict[str, Any]) -> None:
    plain = (sys.stdout.encoding or "").lower().replace("-", "") != "utf8"
    sys.stdout.write(json.dumps(value, ensure_ascii=plain, indent=2) + "\n")
