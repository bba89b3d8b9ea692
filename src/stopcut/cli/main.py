"""The entry: which commands there are, and how one that goes wrong leaves.

A command's room is loaded when somebody asks for that command, so that what there is can be said at once.
"""

from __future__ import annotations

import contextlib
import gc
import io
import os
import sys
from collections.abc import Iterator, MutableMapping
from importlib import import_module
from typing import TYPE_CHECKING, Final

import click

from stopcut import __version__
from stopcut.cli.status import FINE, OTHER, WRONG
from stopcut.errors import BadFace, CarverError, FaceLacksCharacter, WrongJob
from stopcut.interrupted import INTERRUPTED, SAID, interrupted

if TYPE_CHECKING:
    from stopcut.errors import Fault

__all__ = ["commands", "main"]

COMMANDS: Final = {
    "app": ("shop_commands:app", "The workshop in the browser."),
    "arcs": ("practice_command:arcs", "Arcs at full size to lay a gouge against."),
    "class": ("class_command:class_command", "One job for a class: a board and its sheets for each learner."),
    "demo": ("board_commands:demo", "A board to look at first."),
    "faces": ("faces_command:faces", "The faces at hand, with their licences; compared for a job."),
    "measure": ("board_commands:measure", "What a job comes to, and what will not carve."),
    "mend": ("board_commands:mend", "A slip on a part-cut board: glue, widen the letter, or plane the face."),
    "new": ("board_commands:new", "A job file to fill in."),
    "plan": ("board_commands:plan", "Every cut: with which tool, which way, in which order, in how long."),
    "practice": ("practice_command:practice", "Strokes to practise, from easy to hard."),
    "sheets": ("board_commands:sheets", "The full-size pattern, the drawing and the picture of the carved board."),
    "testpiece": ("board_commands:testpiece", "A small job of the riskiest letters, for an offcut."),
}
"""Each command's module and name in it, and what it does in a few words."""

FIRST_STEPS = """\
stopcut sets out, measures and draws incised (V-cut) lettering for carving by hand.

  stopcut demo              a board to look at first: pattern, picture and job file, in the folder demo
  stopcut new gate.toml     a job file to fill in: words, board, face
  stopcut measure gate.toml       what it comes to, and what will not carve
  stopcut sheets gate.toml --out sheets    the full-size pattern and the picture of the carved board
  stopcut plan gate.toml    every cut: with which tool, which way, in which order, in how long
  stopcut mend gate.toml    what mending a slip comes to
  stopcut faces             the faces at hand (--for gate.toml: what its words come to in each)
  stopcut app               all of it in the browser

stopcut COMMAND --help says more of each."""


def main(arguments: list[str] | None = None) -> None:
    """Run a command and leave with its exit status. Whatever a person can mend is said, never thrown."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")  # a terminal without × or ³ shows ? and the work goes on
    sys.exit(_status(arguments))


def _fault(fault: Fault | str) -> None:
    if interrupted():  # it is what a library made of Ctrl-C
        return
    from stopcut.cli.console import Teller  # what colours a terminal is only loaded to speak

    Teller().fault(fault)


def _status(arguments: list[str] | None) -> int:
    try:
        status: int = commands.main(arguments, prog_name="stopcut", standalone_mode=False) or FINE
        sys.stdout.flush()
        return status
    except WrongJob as problem:
        for fault in problem.faults:
            _fault(fault)
        return WRONG
    except (FaceLacksCharacter, BadFace) as problem:
        _fault(str(problem))
        return WRONG
    except CarverError as problem:
        _fault(str(problem))
    except click.UsageError as problem:
        said = problem.format_message()
        _fault(f"{said} `{problem.ctx.command_path if problem.ctx else 'stopcut'} --help` says how it goes.")
    except click.ClickException as problem:
        _fault(problem.format_message())
    except (click.Abort, KeyboardInterrupt):
        _fault(SAID)
        return INTERRUPTED
    except OSError as problem:  # the place that is written to is gone or full: a closed pipe, a full disk
        with contextlib.suppress(OSError, ValueError):
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())  # what is left unsaid goes nowhere
        if not isinstance(problem, BrokenPipeError):
            with contextlib.suppress(OSError):
                _fault(f"This could not be said or written: {problem.strerror or problem}.")
    return OTHER


@contextlib.contextmanager
def _loading() -> Iterator[None]:
    """Modules are loaded without looking for garbage: there is none in what stays as long as the process."""
    os.environ.setdefault(
        "PYDANTIC_DISABLE_PLUGINS", "__all__"
    )  # nor for other packages' plug-ins, which we want none of
    looked = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        gc.freeze()
        if looked:
            gc.enable()


class _Loaded(MutableMapping[str, click.Command]):
    """The commands by name, each loaded when it is asked for."""

    def __init__(self) -> None:
        self._more: dict[str, click.Command] = {}

    def __getitem__(self, name: str) -> click.Command:
        if name not in self._more:
            module, _, attribute = COMMANDS[name][0].partition(":")
            with _loading():
                self._more[name] = getattr(import_module(f"stopcut.cli.{module}"), attribute)
        return self._more[name]

    def __setitem__(self, name: str, command: click.Command) -> None:
        self._more[name] = command

    def __delitem__(self, name: str) -> None:
        del self._more[name]

    def __iter__(self) -> Iterator[str]:
        return iter({**COMMANDS, **self._more})

    def __len__(self) -> int:
        return len({**COMMANDS, **self._more})

    def __contains__(self, name: object) -> bool:
        return name in COMMANDS or name in self._more


class _Group(click.Group):
    """All commands, whose list is said without loading them."""

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl([(name, says) for name, (_, says) in COMMANDS.items()])


@click.group(
    cls=_Group,
    commands=_Loaded(),
    invoke_without_command=True,
    context_settings={"help_option_names": ["-h", "--help"]},
)
@click.version_option(__version__, message="stopcut %(version)s")
@click.pass_context
def commands(context: click.Context) -> int:
    """From the words somebody asked for to a board you can carve: incised (V-cut) lettering in wood, by hand."""
    if context.invoked_subcommand is None:
        click.echo(FIRST_STEPS)
    return FINE
