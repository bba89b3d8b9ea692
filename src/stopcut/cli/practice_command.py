"""What one practises with: `stopcut practice`, strokes from easy to hard or the letters of a face by difficulty, and
`stopcut arcs`, the sheet of arcs to lay a gouge against."""

from __future__ import annotations

import datetime
from pathlib import Path

import click

from stopcut.cli.console import Teller
from stopcut.errors import CarverError, Fault, WrongJob
from stopcut.files import write_together
from stopcut.job.read import parse_job, read_job
from stopcut.shop.shop_file import read_shop
from stopcut.work import Work

__all__ = ["arcs", "practice"]


@click.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--letters", metavar="LETTERS", help="Every stroke of these letters instead.")
@click.option("--alphabet", is_flag=True, help="A to Z of the job's face by difficulty, with the reasons.")
@click.option("--tools", "roll", type=click.Path(path_type=Path), metavar="ROLL", help="A tool roll of yours (TOML).")
@click.option("--paper", metavar="SIZE", help="Paper to print on: A4, A3, Letter, Tabloid …")
@click.option("--out", "target", required=True, type=click.Path(path_type=Path), metavar="PDF", help="What to write.")
@click.option("--quiet", "-q", is_flag=True, help="Say nothing but faults.")
def practice(
    job: Path, letters: str | None, alphabet: bool, roll: Path | None, paper: str | None, target: Path, quiet: bool
) -> int:
    """Draw exercises at full size: rows of uprights, level and sloping strokes and curves, serifs on a stem, a letter.

    With --letters every stroke of these letters instead, from easy to hard; with --alphabet A to Z of the face by
    difficulty. All are cut as those of the job's first line: its face, weight, size and walls.
    """
    from stopcut.options.difficulty import counting, letters_of, strokes_of
    from stopcut.options.exercises import exercise_text, exercises_of, stroke_exercises
    from stopcut.options.practice_job import ALPHABET, practice_text
    from stopcut.shop.roll import parse_roll, read_roll
    from stopcut.written.toml import text_of

    if alphabet and letters is not None:
        raise CarverError("Say which: --letters ER for their strokes, or --alphabet for A to Z by difficulty.")
    teller = Teller(quiet)
    whole = Work(read_job(job), read_shop(), teller.progress)
    tools = read_roll() if roll is None else parse_roll(text_of(roll, what="tool roll"))
    with teller.working():
        if letters is None and not alphabet:
            text = exercise_text(whole)
        else:
            text = practice_text(whole, ALPHABET if letters is None else letters)
        work = Work(parse_job(text, whole.job.name, base_folder=whole.job.base_folder), whole.shop, teller.progress)
        try:
            plan = work.plan("reading", tools)
        except WrongJob as wrong:  # its lines are those of a job that nobody has
            remedy = "name letters that the face has, or another face in the job"
            raise WrongJob(tuple(Fault("--letters", None, one.found, remedy) for one in wrong.faults)) from None
        day = datetime.date.today()
        if alphabet:
            from stopcut.sheets.alphabet import alphabet_pdf

            ranked = letters_of(work, plan)
            drawn = alphabet_pdf(work, ranked, counting(), paper, issued=day)
            said = f"From easy to hard: {' '.join(letter.char for letter in ranked)}"
        else:
            from stopcut.sheets.practice import practice_pdf

            strokes = strokes_of(work, plan)
            exercises = exercises_of(work, plan) if letters is None else stroke_exercises(strokes)
            drawn = practice_pdf(work, plan, exercises, paper, issued=day)
            said = "\n".join(f"  {n}  {exercise.title}: {exercise.says}" for n, exercise in enumerate(exercises, 1))
    write_together(target.parent, {target.name: drawn})
    teller.say(said)
    teller.say(f"Practice sheet: {target}")
    return 0


@click.command()
@click.option("--out", "target", required=True, type=click.Path(path_type=Path), metavar="PDF", help="What to write.")
@click.option("--inches", is_flag=True, help="Radii and widths in inches.")
@click.option("--paper", metavar="SIZE", help="Paper to print on: A4, A3, Letter, Tabloid …")
@click.option("--quiet", "-q", is_flag=True, help="Say nothing but faults.")
def arcs(target: Path, inches: bool, paper: str | None, quiet: bool) -> int:
    """Draw the arcs of usual gouges at full size, and a table of radii from the width and rise of a stab mark."""
    from stopcut.sheets.arcs import arcs_pdf

    teller = Teller(quiet)
    with teller.working():
        teller.progress("Arcs", 0.0)
        drawn = arcs_pdf("in" if inches else "mm", paper, issued=datetime.date.today())
    write_together(target.parent, {target.name: drawn})
    teller.say(f"Arcs: {target}\nPrint at actual size (100 %), and measure both bars.")
    return 0
