"""In the worker: from a font file's bytes to a HarfBuzz face, whatever the container.

TrueType and CFF fonts, members of collections, WOFF and WOFF2. HarfBuzz takes a damaged table for an empty one, so
what a usable font must have is looked for here, and said plainly where it is missing.
"""

from __future__ import annotations

import array
import io
import struct
import sys
from dataclasses import dataclass

import uharfbuzz as hb

from stopcut.foreign.inside import BadInput

__all__ = ["FontFile", "open_font"]

MOST_BYTES = 256 * 2**20
"""Largest font file read. Our choice: the largest collections of Chinese faces are about half of it."""
MOST_TABLES = 256
"""Tables in one font. Our choice: the OpenType specification knows about 60."""
REQUIRED = ("head", "hhea", "hmtx", "maxp", "cmap")
"""Tables without which no line can be set (OpenType specification, "Required tables"; name and post we can spare)."""
OUTLINES = (("glyf", "loca"), ("CFF ",), ("CFF2",))
CHECKED = ("glyf", "loca", "CFF ", "CFF2", "gvar", "cmap", "hmtx")
"""Tables whose checksums are compared: those that a letter's shape and choice come from."""
_CHECKSUM_BYTES = 24 * 2**20


@dataclass(frozen=True)
class FontFile:
    """A face ready to be asked. damaged names the tables whose bytes no longer match the file's own checksums."""

    face: hb.Face
    members: int
    damaged: tuple[str, ...]


def open_font(path: str, member: int) -> FontFile:
    """The member (from 0) of the font file at path. Raises BadInput for what is no usable font."""
    try:
        with open(path, "rb") as stream:  # noqa: PTH123 (pathlib is an import the more)
            data = stream.read(MOST_BYTES + 1)
    except OSError as problem:
        raise BadInput(f"it cannot be read ({problem.strerror})") from problem
    if len(data) > MOST_BYTES:
        raise BadInput(f"it is larger than {MOST_BYTES // 2**20} MB")
    if not data:
        raise BadInput("it is empty")
    if data[:4] in (b"wOFF", b"wOF2"):
        data = _unpacked(data)
    start, members = _start(data, member)
    damaged = _check_tables(data, start)
    face = hb.Face(hb.Blob(data), member)
    if face.glyph_count == 0 or not face.unicodes:
        raise BadInput("it has no characters that could be read")
    return FontFile(face, members, damaged)


def _unpacked(data: bytes) -> bytes:
    """A WOFF or WOFF2 as a plain font. fontTools is imported here alone, since it doubles the worker's start."""
    from fontTools.ttLib import TTFont

    try:
        font = TTFont(io.BytesIO(data), recalcBBoxes=False, recalcTimestamp=False, lazy=True)
        font.flavor = None
        plain = io.BytesIO()
        font.save(plain, reorderTables=None)
    except ImportError as problem:
        raise BadInput("it is a WOFF2, and the package brotli that opens those is not installed") from problem
    except MemoryError:
        raise
    except Exception as problem:
        raise BadInput(f"it is a broken WOFF ({type(problem).__name__}: {str(problem)[:80]})") from problem
    return plain.getvalue()


def _start(data: bytes, member: int) -> tuple[int, int]:
    """Where the member's table directory starts, and how many members there are."""
    if data[:4] != b"ttcf":
        if member != 0:
            raise BadInput(f"it holds one face, so it has no member #{member}")
        return 0, 1
    count = struct.unpack(">L", data[8:12])[0] if len(data) >= 12 else 0
    if not 0 < count <= (len(data) - 12) // 4:
        raise BadInput("it is a collection that has been cut short")
    if not 0 <= member < count:
        raise BadInput(f"it holds {count} faces, #0 to #{count - 1}; there is no #{member}")
    return int(struct.unpack(">L", data[12 + 4 * member : 16 + 4 * member])[0]), int(count)


def _check_tables(data: bytes, start: int) -> tuple[str, ...]:
    """Raises BadInput where tables are missing or cut short; returns those that do not match their checksums."""
    head = data[start : start + 12]
    if len(head) < 12 or head[:4] not in (b"\0\1\0\0", b"OTTO", b"true"):
        raise BadInput("it is no font (TTF, OTF, TTC, WOFF or WOFF2)")
    count = struct.unpack(">H", head[4:6])[0]
    if count > MOST_TABLES or start + 12 + 16 * count > len(data):
        raise BadInput("its list of tables has been cut short")
    found: dict[str, tuple[int, int, int]] = {}
    for i in range(count):
        at = start + 12 + 16 * i
        tag, checksum, offset, length = struct.unpack(">4sLLL", data[at : at + 16])
        name = tag.decode("latin-1")
        if offset + length > len(data):
            raise BadInput(f"it has been cut short: its table '{name.strip()}' runs past the end")
        found[name] = (checksum, offset, length)
    for name in REQUIRED:
        if not found.get(name, (0, 0, 0))[2]:
            raise BadInput(f"it lacks the table '{name}' that every font must have")
    if not any(all(found.get(name, (0, 0, 0))[2] for name in kind) for kind in OUTLINES):
        raise BadInput("it has no outlines (glyf, CFF or CFF2): letters of dots or colours cannot be carved")
    upem = struct.unpack(">H", data[found["head"][1] + 18 : found["head"][1] + 20].rjust(2, b"\0"))[0]
    if not 16 <= upem <= 16384:  # OpenType specification, head.unitsPerEm
        raise BadInput(f"it says that {upem} units make an em, which cannot be")
    return tuple(name.strip() for name in CHECKED if name in found and not _sums_up(data, *found[name]))


def _sums_up(data: bytes, checksum: int, offset: int, length: int) -> bool:
    """Whether a table's 32-bit words add up to its checksum (OpenType specification, "Calculating checksums")."""
    if length > _CHECKSUM_BYTES:
        return True
    body = data[offset : offset + length]
    words = array.array("I", body + b"\0" * (-length % 4))
    if words.itemsize != 4:
        return True
    if sys.byteorder == "little":
        words.byteswap()
    return sum(words) & 0xFFFFFFFF == checksum
