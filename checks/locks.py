"""Locks that add to one another: each holds what those before it lack, with versions and hashes, and nothing else.

    python -m checks.locks whole LOCK ...            all that these locks hold, as one
    python -m checks.locks beyond WHOLE LOCK ...     what WHOLE holds beyond these locks

`make lock` has pip-compile work on whole ones, so that versions agree, and keeps what is beyond. Exit status 1, and the
names, where a version does not agree.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Iterable
from pathlib import Path

__all__ = ["beyond", "pins", "whole"]


def pins(text: str) -> dict[str, str]:
    """A lock's packages by name, each with its lines. Comments and options are left out."""
    lines = "\n".join(line for line in text.splitlines() if not line.startswith(("#", "--")))
    return {block.partition("==")[0]: block.strip() for block in re.split(r"\n(?=\S)", lines) if "==" in block}


def whole(locks: Iterable[str]) -> str:
    """Several locks as one, by name; what an earlier one says goes before what a later one does."""
    found: dict[str, str] = {}
    for text in locks:
        found = pins(text) | found
    return _written(found)


def beyond(text: str, locks: Iterable[str]) -> str:
    """What a lock holds beyond others. Raises ValueError where they pin a package otherwise."""
    known, all_pins = pins(whole(locks)), pins(text)
    odd = sorted(name for name in known.keys() & all_pins.keys() if _version(known[name]) != _version(all_pins[name]))
    if odd:
        raise ValueError(f"these locks do not agree on {', '.join(odd)}")
    return _written({name: block for name, block in all_pins.items() if name not in known})


def _version(block: str) -> str:
    return block.split()[0]


def _written(found: dict[str, str]) -> str:
    return "".join(f"{found[name]}\n" for name in sorted(found))


if __name__ == "__main__":
    asked, *paths = sys.argv[1:]
    texts = [Path(path).read_text(encoding="utf-8") for path in paths]
    try:
        print(whole(texts) if asked == "whole" else beyond(texts[0], texts[1:]), end="")
    except ValueError as problem:
        sys.exit(str(problem))
