"""One case of each kind, made from a seed: what it came to, and what it was made of if something is wrong.

A case is fine where the tool did what it promises, refused where it said in plain words why not, and wrong otherwise.
"""

from __future__ import annotations

import contextlib
import io
import random
import re
import tempfile
import time
import traceback
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import fontpkg
from fontTools.ttLib import TTFont
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import seed as seeded
from tests.any_jobs import MARK, jobs

from seek.kills import KILLS, REQUESTS, edits_under_kills, requests_at_the_door
from seek.strangers import DRAWINGS, FONT_FILES, FONTS, fetched
from stopcut.cli.main import commands
from stopcut.errors import BadFile, CarverError
from stopcut.foreign.svg import read_svg
from stopcut.groove.figures import plan_area
from stopcut.groove.roof import TOLERANCE_EM, RoofError, roof_of
from stopcut.job.edits import At, SetKey
from stopcut.job.new import demo_job_text
from stopcut.lettering.line_letters import LineRequest, letter_line
from stopcut.store import open_store

__all__ = ["KINDS", "Outcome"]

SLOWEST_S = 60.0
"""Processor time of one command. [s] As promised."""
INK_OFF = 0.02
"""Share of its area that a drawing may be off from the renderer's. As promised."""
CHARACTERS = 12
"""Characters of a stranger's font in one case. Our choice: every font has its turn within an hour."""
AREA_OFF, AREA_OFF_EM2 = 2e-3, 1e-5
"""Share of its area, and area [em²], that a letter's walls may cover more or less than its curves enclose. Our choice:
twice what the flattening, a thousandth of an em, leaves of thin letters."""
LIBRARY_WORDS = re.compile(r"Traceback|Error\b|Exception|NoneType|codec|out of range\(|expected [0-9]")
LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789&"


@dataclass(frozen=True)
class Outcome:
    """came is "fine", "refused" or "wrong"; says what was found, content what the case was made of."""

    came: str
    says: str = ""
    content: bytes = b""


def drawing(rng: random.Random, folder: Path) -> Outcome:
    """A stranger's drawing, its area against a general renderer's."""
    from seek.ink import rendered_ink

    path = rng.choice(fetched(folder / "drawings", DRAWINGS, (".svg",)))
    name = "/".join(path.parts[-4:])
    try:
        area = read_svg(path).area
    except BadFile as problem:
        return _refused(str(problem), name)
    ink = rendered_ink(path).area
    off = area / ink - 1 if ink else float("inf")
    return Outcome("fine") if abs(off) <= INK_OFF else Outcome("wrong", f"{name}: area {off:+.1%}", path.read_bytes())


def strangers_letters(rng: random.Random, folder: Path) -> Outcome:
    """A few characters of a stranger's font, each cut: the walls cover just what its curves enclose."""
    families: dict[str, list[Path]] = {}
    for file in fetched(folder / "fonts", FONTS, FONT_FILES):
        families.setdefault(file.relative_to(folder / "fonts").parts[0], []).append(file)
    path = rng.choice(families[rng.choice(sorted(families))])
    with TTFont(path, lazy=True) as font:
        has = sorted(font.getBestCmap())
    refused = ""
    for char in map(chr, rng.sample(has, min(CHARACTERS, len(has)))):
        name = f"U+{ord(char):04X} of {path.name}"
        try:
            letters = letter_line(LineRequest(char, str(path))).letters
            for one in letters:
                off = plan_area(roof_of(one.outline, TOLERANCE_EM)) - one.outline.area
                if abs(off) > AREA_OFF_EM2 + AREA_OFF * one.outline.area:
                    return Outcome("wrong", f"{name}: {off:+.2g} em² of the area", path.read_bytes())
        except CarverError as problem:
            if LIBRARY_WORDS.search(str(problem)):
                return Outcome("wrong", f"{name}: {problem}", path.read_bytes())
            refused = f"{name}: {problem}"
        except RoofError as problem:
            return Outcome("wrong", f"{name}: {problem.reason}", path.read_bytes())
    return Outcome("refused", refused) if refused else Outcome("fine", f"{min(CHARACTERS, len(has))} characters")


def spoilt_drawing(rng: random.Random, folder: Path) -> Outcome:
    """A drawing of ours with some of its bytes changed."""
    content = _spoilt(rng, MARK.encode())
    path = folder / "spoilt.svg"
    path.write_bytes(content)
    try:
        read_svg(path)
    except BadFile as problem:
        return _refused(str(problem), "a spoilt drawing", content)
    return Outcome("fine")


def spoilt_font(rng: random.Random, folder: Path) -> Outcome:
    """A packaged font with some of its bytes changed, asked for a line."""
    family = fontpkg.family(rng.choice(["Cinzel", "Cormorant", "Jost", "Zilla Slab"]))
    content = _spoilt(rng, family.files[0].path.read_bytes())
    path = folder / f"spoilt-{rng.random()}.ttf"
    path.write_bytes(content)
    try:
        letter_line(LineRequest("MARROW 17", str(path)))
    except CarverError as problem:
        return _refused(str(problem), "a spoilt font", content)
    finally:
        path.unlink()
    return Outcome("fine")


def spoilt_store(rng: random.Random, folder: Path) -> Outcome:
    """A store with some of its bytes changed: opened, read through, edited."""
    whole = folder / "whole.db"
    if not whole.exists():
        with open_store(str(whole)) as store:
            for _ in range(3):
                job_id = store.new(demo_job_text(), "tablet").id
                for value in range(15):
                    store.edit(job_id, SetKey(At("board"), "width", 700 + value), "tablet")
    content = _spoilt(rng, whole.read_bytes())
    with tempfile.TemporaryDirectory(dir=folder) as own:
        path = Path(own) / "workshop.db"
        path.write_bytes(content)
        try:
            with open_store(str(path)) as store:
                for job in store.jobs():
                    for revision in store.revisions(job.id):
                        with contextlib.suppress(CarverError):
                            store.text_at(job.id, revision.number)
                    store.edit(job.id, SetKey(At("board"), "width", 900), "tablet")
                    store.undo(job.id, "tablet")
        except CarverError as problem:
            return _refused(str(problem), "a spoilt store", content)
    return Outcome("fine")


def letter(rng: random.Random, folder: Path) -> Outcome:
    """A letter of a packaged family: its roof steady when the tolerance is halved twice."""
    families = sorted(fontpkg.families())
    name = rng.choice(families)
    char = rng.choice(LETTERS)
    try:
        lettered = letter_line(LineRequest(char, fontpkg.family(name).name, weight=rng.choice([300, 400, 700, 900])))
    except CarverError as problem:
        return _refused(str(problem), name)
    outline = lettered.letters[0].outline
    try:
        depth, finer = (float(roof_of(outline, TOLERANCE_EM / k).heights.max()) for k in (1, 4))
    except RoofError as problem:
        return Outcome("wrong", f"{char} of {name}: {problem.reason}")
    moved = abs(depth / finer - 1)
    return Outcome("fine") if moved < 5e-3 else Outcome("wrong", f"{char} of {name}: depth moves by {moved:.2%}")


def job(rng: random.Random, folder: Path) -> Outcome:
    """Any job in range through the commands, each within a minute of the processor's time."""
    (folder / "mark.svg").write_text(MARK, encoding="utf-8")
    text = _any_job(rng.randrange(2**32))
    path = folder / "job.toml"
    path.write_text(text, encoding="utf-8")
    came = "fine"
    for arguments in (
        ["measure", str(path)],
        ["plan", str(path), "--json"],
        ["sheets", str(path), "--out", str(folder / "sheets")],
        ["mend", str(path), "--plane", "1 mm"],
    ):
        started = time.process_time()
        with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()):
            try:
                commands.main(arguments, prog_name="stopcut", standalone_mode=False)
            except CarverError as problem:
                if LIBRARY_WORDS.search(str(problem)):
                    return Outcome("wrong", f"{arguments[0]}: {problem}", text.encode())
                came = "refused"
            except Exception:
                return Outcome("wrong", f"{arguments[0]}: {traceback.format_exc(limit=-2)}", text.encode())
        took = time.process_time() - started
        if took > SLOWEST_S:
            return Outcome("wrong", f"{arguments[0]} took {took:.0f} s", text.encode())
    return Outcome(came)


def requests(rng: random.Random, folder: Path) -> Outcome:
    """Odd requests at the app's door."""
    return _found(requests_at_the_door(rng, folder), f"{REQUESTS} requests")


def edits(rng: random.Random, folder: Path) -> Outcome:
    """Edits in two windows, the app killed under them."""
    return _found(edits_under_kills(rng, folder), f"{KILLS} kills")


def _found(wrong: str, asked: str) -> Outcome:
    return Outcome("wrong", wrong, wrong.encode()) if wrong else Outcome("fine", asked)


def _any_job(number: int) -> str:
    """The job of a number: the same one every time."""
    found: list[str] = []

    @seeded(number)
    @settings(
        max_examples=3, database=None, deadline=None, phases=[Phase.generate], suppress_health_check=list(HealthCheck)
    )
    @given(jobs())
    def draw(text: str) -> None:
        found.append(text)

    draw()
    return found[-1]  # the first that a strategy gives are its simplest


def _spoilt(rng: random.Random, content: bytes) -> bytes:
    """Some bytes changed, doubled or left out."""
    out = bytearray(content)
    for _ in range(rng.choice([1, 1, 2, 5, 20])):
        at, length = rng.randrange(len(out)), rng.choice([1, 1, 1, 4, 64])
        how = rng.random()
        if how < 0.7:
            out[at : at + length] = rng.randbytes(min(length, len(out) - at))
        elif how < 0.85:
            out[at:at] = out[at : at + length]
        elif len(out) > length + 1:
            del out[at : at + length]
    return bytes(out)


def _refused(says: str, name: str, content: bytes = b"") -> Outcome:
    """A refusal, which is wrong where it is in a library's words."""
    if LIBRARY_WORDS.search(says):
        return Outcome("wrong", f"{name}: {says}", content)
    return Outcome("refused", says)


KINDS: dict[str, Callable[[random.Random, Path], Outcome]] = {
    "strangers' drawings": drawing,
    "strangers' letters": strangers_letters,
    "spoilt drawings": spoilt_drawing,
    "spoilt fonts": spoilt_font,
    "spoilt stores": spoilt_store,
    "letters": letter,
    "jobs": job,
    "requests": requests,
    "edits under kills": edits,
}
