"""The command that needs no job and no other: the workshop in the browser."""

from __future__ import annotations

import click

from stopcut.cli.console import Teller

__all__ = ["app"]


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
