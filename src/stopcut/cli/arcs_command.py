"""`stopcut arcs`: the sheet of arcs to lay a gouge against."""

from __future__ import annotations

import datetime
from pathlib import Path

import click

from stopcut.cli.console import Teller
from stopcut.files import write_together

__all__ = ["arcs"]


@click.command(short_help="Arcs at full size to lay a gouge against.")
@click.option("--out", "target", required=True, type=click.Path(path_type=Path), metavar="PDF", help="What to write.")
@click.option("--inches", is_flag=True, help="Radii and widths in inches.")
@click.option("--paper", metavar="SIZE", help="Paper to print on: A4, A3, Letter, Tabloid …")
@click.option("--quiet", "-q", is_flag=True, help="Say nothing but faults.")
def arcs(target: Path, inches: bool, paper: str | None, quiet: bool) -> int:
    """Draw the arcs of usual gouges at full size, and a table of radii from the width and rise of a stab mark."""
    from stopcut.sheets.arcs import arcs_pdf

    drawn = arcs_pdf("in" if inches else "mm", paper, issued=datetime.date.today())
    write_together(target.parent, {target.name: drawn})
    Teller(quiet).say(f"Arcs: {target}\nPrint at actual size (100 %), and measure both bars.")
    return 0
