"""The commands that need no job: the faces at hand, and the workshop in the browser."""

from __future__ import annotations

from pathlib import Path

import click

from stopcut.cli.console import Teller
from stopcut.cli.plain import faces_in_words
from stopcut.cli.status import FINE
from stopcut.files import write_together
from stopcut.lettering.faces import list_faces

__all__ = ["app", "faces"]

_quiet = click.option("--quiet", "-q", is_flag=True, help="Say nothing but findings and faults.")


@click.command()
@click.option("--specimen", type=click.Path(path_type=Path), metavar="PNG", help="Draw a specimen of each face too.")
@click.option("--words", default="MARROW LANE 1931", show_default=True, help="The words of the specimen.")
@click.option("--all", "everything", is_flag=True, help="The machine's own faces too.")
@_quiet
def faces(specimen: Path | None, words: str, everything: bool, quiet: bool) -> int:
    """List the faces at hand with their licences."""
    teller = Teller(quiet)
    found = list_faces(system=everything)
    teller.say(faces_in_words(found))
    if specimen is not None:
        from stopcut.sheets.specimen import specimen_png

        write_together(specimen.parent, {specimen.name: specimen_png([face.family for face in found], words)})
        teller.say(f"Specimen: {specimen}")
    return FINE


@click.command()
@click.option("--port", type=click.IntRange(1, 65535), metavar="N", help="Serve at this port and no other.")
@click.option("--no-browser", is_flag=True, help="Only say the address; open no browser.")
@click.option("--share", is_flag=True, help="Share it with this network too, for a tablet, behind a key.")
def app(port: int | None, no_browser: bool, share: bool) -> int:
    """Open the workshop in the browser: set out by eye, see the carved board at once, print.

    It serves this machine alone, and needs no other. Ctrl-C ends it; nothing that it showed as saved is lost.
    """
    from stopcut.app.serve import serve  # the server's libraries are only loaded to serve

    serve(port=port, share=share, browser=not no_browser, say=Teller().say)
    return 0
