"""`stopcut class`: one job for a class, a board for each learner, and all of it in one pack to print."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from stopcut.cli.console import Teller
from stopcut.errors import WrongJob
from stopcut.files import write_together
from stopcut.job.elsewhere import text_for
from stopcut.job.read import read_job
from stopcut.shop.shop_file import read_shop
from stopcut.units import format_length

if TYPE_CHECKING:
    from collections.abc import Sequence

    from stopcut.bench.order import Way
    from stopcut.bench.planned import Plan
    from stopcut.teaching.in_class import Class, ToolNeed

__all__ = ["class_command"]


@click.command(name="class")
@click.argument("job", type=click.Path(path_type=Path))
@click.option(
    "--learners",
    "listed",
    required=True,
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="The class list (TOML or CSV): name, words, level and hand of each learner.",
)
@click.option("--out", "folder", required=True, type=click.Path(path_type=Path), help="The folder to write into.")
@click.option(
    "--order",
    type=click.Choice(["middle", "easy", "stroke", "reading"]),
    default="middle",
    show_default=True,
    help="From the middle letter outwards, by stroke across the line, or as read.",
)
@click.option("--tools", "roll", type=click.Path(path_type=Path), metavar="ROLL", help="A tool roll of yours (TOML).")
@click.option("--own-sizes", is_flag=True, help="Each learner's letters as large as fit, not all alike.")
@click.option("--no-cards", is_flag=True, help="The list and the patterns alone, without bench sheets.")
@click.option("--paper", metavar="SIZE", help="Paper to print on: A4, A3, Letter, Tabloid …")
@click.option("--quiet", "-q", is_flag=True, help="Say nothing but faults.")
def class_command(
    job: Path,
    listed: Path,
    folder: Path,
    order: Way,
    roll: Path | None,
    own_sizes: bool,
    no_cards: bool,
    paper: str | None,
    quiet: bool,
) -> int:
    """Make a board for each learner of a class from one job: the learner's words in place of the job's first lines.

    Into the folder go class.pdf (the list with hours, the tools needed at once, every pattern and bench card) and each
    learner's job file. Letters that the job fits to the board are as high for all as the longest words allow.
    """
    from stopcut.options.class_list import class_of, needs, tools_there, unknown_tools
    from stopcut.options.class_plans import class_plans
    from stopcut.options.learners import read_learners
    from stopcut.sheets.class_pack import class_pack_pdf
    from stopcut.shop.roll import parse_roll, read_roll
    from stopcut.written.toml import text_of

    teller = Teller(quiet)
    asked = read_job(job)
    tools = read_roll() if roll is None else parse_roll(text_of(roll, what="tool roll"))
    names = read_learners(listed)
    unknown = unknown_tools(names, tools, listed.name)
    if unknown:
        raise WrongJob(unknown)
    with teller.working():
        made = class_of(asked, names, read_shop(), teller.progress, own_sizes=own_sizes)
        plans = class_plans(made.members, tools, order, teller.progress, only=tools_there(tools, names.tools))
        needed = needs(made.members, plans, tools, names.tools)
        teller.progress("Pack", 0.0)
        day = datetime.date.today()
        pack = class_pack_pdf(asked.title, made, plans, needed, paper, issued=day, cards=not no_cards)
    files = {"class.pdf": pack}
    for number, member in enumerate(made.members, 1):
        files[_file_name(number, member.name)] = text_for(member.text, job.parent, folder).encode()
    write_together(folder, files)
    teller.say(_in_words(made, plans, needed))
    teller.say(f"Class pack: {folder / 'class.pdf'}, and {len(made.members)} job files beside it")
    return 0


def _file_name(number: int, name: str) -> str:
    """A file for a learner's job, whatever is in the name: "03-hazel.toml"."""
    plain = "-".join("".join(c if c.isalnum() else " " for c in name.casefold()).split())
    return f"{number:02}-{plain[:40] or 'learner'}.toml"


def _in_words(made: Class, plans: Sequence[Plan], needed: Sequence[ToolNeed]) -> str:
    from stopcut.sheets.step_words import in_hours

    units = made.members[0].work.job.units
    said = []
    for number, (member, plan) in enumerate(zip(made.members, plans, strict=True), 1):
        hours = in_hours(plan.minutes.likely)
        said.append(f"  {number}  {member.name}: {member.words}, {member.level}, {member.hand} hand, {hours}")
    if made.cap_height_mm is not None:
        said.append(f"Letters {format_length(made.cap_height_mm, units)} high for all, by the words of {made.longest}")
    short = [f"{need.short} of {need.name}" for need in needed if need.short]
    said += [f"Short of tools if all begin together: {', '.join(short)}"] if short else []
    return "\n".join(said)
