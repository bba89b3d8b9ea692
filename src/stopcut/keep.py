"""What was once worked out, kept: one bounded cache under content keys, in memory and, if wanted, on disk.

A stage of the work is a pure function of a narrow key. `Keep.remembered` gives what it gave before, or works it out:

    keep().remembered("roof", (outline.digest, tolerance), make, version=3, pack=pack_roof, unpack=unpack_roof)

`kind` names the stage, `key` is all it depends on, `version` is raised when the stage would now answer differently
(what older versions left is never found again and ages away). Without `pack` and `unpack` a value lives in memory
alone. For values that JSON can hold pass `pack=pack_json, unpack=unpack_json`; for arrays, `pack_arrays` and
`unpack_arrays` do the work.

Which memory for what: a stage of a glyph's or a line's work that takes more than a millisecond goes through
`remembered` (and to disk where another run would ask again); what a module asks itself over and over within one board
is remembered beside its function (lru_cache, with a bound wherever there may be more than a fixed few). `forget_all`
empties both.

Values are shared by all who ask: they must be immutable, or treated so. What `make` raises is passed on and nothing is
kept. The cache is a help, never a condition: a folder that cannot be read or written, a full disk, a file cut short
or tampered with are each a miss. Files are written beside and renamed, so processes may share a folder. Nothing read
from disk is ever run (no pickle).
"""

from __future__ import annotations

import contextlib
import dataclasses
import hashlib
import json
import os
import struct
import sys
import tempfile
import threading
import time
from collections import OrderedDict
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from stopcut.home import cache_folder

__all__ = ["Keep", "forget_all", "keep", "pack_arrays", "pack_json", "unpack_arrays", "unpack_json"]

T = TypeVar("T")

MOST_ENTRIES = 4096
"""Entries in memory. Our choice: every letter of a large board in several trial settings."""
MOST_BYTES = 32 * 2**20
"""Packed bytes in memory. Our choice: a glyph's roof is about 20 kB, so more than a thousand of them. Unpacked a value
takes two to four times as much (roofs 3.1, lettered lines 3.7, pencil lines 1.7: measured), so 120 MB are held."""
MOST_DISK_BYTES = 256 * 2**20
"""Bytes in the folder. Our choice: about ten thousand glyphs."""
AFTER_CLEARING = 0.75
"""What is left of a full folder once its oldest files have gone, so that clearing is rare. Our choice."""
LOOK_AGAIN_AFTER = 256
"""Files written before the folder is measured again, since other processes write there too. Our choice."""
STALE_S = 3600.0
"""A half-written file older than this was left by a process that died. [s] Our choice."""
FRESH_S = 86400.0
"""A file read is marked as used at most this often, to spare the disk. [s] Our choice."""

_MAGIC = b"stopcut-keep-1\n"
_SEAL = 16
_SUFFIX = ".kept"
_DTYPES = {"<f8", "<f4", "<i8", "<i4", "<i2", "|i1", "|u1", "<u2", "<u4", "|b1"}


class Keep:
    """A cache in memory and, where folder is given, on disk.

    most_entries and most_bytes bound what is in memory (least recently used goes first; a value without pack counts
    one entry and no bytes), most_disk_bytes what is in the folder (least recently used goes first, to the day).
    """

    def __init__(
        self,
        folder: Path | None = None,
        *,
        most_entries: int = MOST_ENTRIES,
        most_bytes: int = MOST_BYTES,
        most_disk_bytes: int = MOST_DISK_BYTES,
    ) -> None:
        self.folder = folder
        self._most_entries, self._most_bytes = most_entries, most_bytes
        self._held: OrderedDict[str, tuple[Any, int]] = OrderedDict()
        self._bytes = 0
        self._lock = threading.RLock()
        self._disk = _Disk(folder, most_disk_bytes) if folder is not None else None

    def remembered(
        self,
        kind: str,
        key: object,
        make: Callable[[], T],
        *,
        version: int = 1,
        pack: Callable[[T], bytes] | None = None,
        unpack: Callable[[bytes], T] | None = None,
    ) -> T:
        """The value of make() for this kind, version and key, worked out only where it is not known yet.

        key is built of str, bytes, int, float, bool, None, tuples and frozen dataclasses of these (TypeError
        otherwise). Give pack and unpack together to keep the value on disk; whatever unpack raises counts as a miss.
        """
        name = _name(kind, version, key)
        with self._lock:
            if name in self._held:
                self._held.move_to_end(name)
                value: T = self._held[name][0]
                return value
        if self._disk is not None and unpack is not None:
            packed = self._disk.read(name)
            if packed is not None:
                with contextlib.suppress(Exception):
                    value = unpack(packed)
                    self._hold(name, value, len(packed))
                    return value
        value = make()
        fresh = pack(value) if pack is not None else b""
        self._hold(name, value, len(fresh))
        if self._disk is not None and pack is not None:
            self._disk.write(name, fresh)
        return value

    def forget(self) -> None:
        """Empty the memory; the folder stays."""
        with self._lock:
            self._held.clear()
            self._bytes = 0

    def __len__(self) -> int:
        """Entries in memory."""
        return len(self._held)

    def _hold(self, name: str, value: object, weight: int) -> None:
        if weight > self._most_bytes:
            return
        with self._lock:
            if name in self._held:
                self._bytes -= self._held.pop(name)[1]
            self._held[name] = (value, weight)
            self._bytes += weight
            while len(self._held) > self._most_entries or self._bytes > self._most_bytes:
                self._bytes -= self._held.popitem(last=False)[1][1]


_keeps: dict[Path, Keep] = {}


def keep() -> Keep:
    """The cache that all stages share: in memory and in stopcut.home.cache_folder()."""
    folder = cache_folder()
    if folder not in _keeps:
        _keeps[folder] = Keep(folder)
    return _keeps[folder]


def forget_all() -> None:
    """Empty every memory of this process: the shared one, and what modules of the package remember beside it.

    A function that remembers is emptied by its own cache_clear; a module that remembers otherwise has a forget(). The
    folder stays.
    """
    for store in _keeps.values():
        store.forget()
    for name, module in list(sys.modules.items()):
        if name.startswith("stopcut.") and name != __name__:
            for value in list(vars(module).values()):
                clear = getattr(value, "cache_clear", None)
                if callable(clear):
                    clear()
            forget = vars(module).get("forget")
            if callable(forget):
                forget()


def pack_json(value: Any) -> bytes:
    """A JSON-able value (dicts, lists, str, numbers, None) as bytes; tuples come back as lists."""
    return json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":")).encode()


def unpack_json(packed: bytes) -> Any:
    """What pack_json packed. Raises ValueError for anything else."""
    return json.loads(packed)


def pack_arrays(arrays: Mapping[str, NDArray[Any]]) -> bytes:
    """Named arrays of plain numbers as bytes: a line of JSON with names, types and shapes, then the numbers."""
    head, bodies = [], []
    for name, array in arrays.items():
        plain = np.ascontiguousarray(array).astype(array.dtype.newbyteorder("<"), copy=False)
        if plain.dtype.str not in _DTYPES:
            raise TypeError(f"{name}: arrays of {array.dtype} are not kept")
        head.append([name, plain.dtype.str, list(array.shape)])
        bodies.append(plain.tobytes())
    return json.dumps(head).encode() + b"\n" + b"".join(bodies)


def unpack_arrays(packed: bytes) -> dict[str, NDArray[Any]]:
    """What pack_arrays packed, as arrays that cannot be written to. Raises ValueError for anything else."""
    line, _, body = packed.partition(b"\n")
    arrays: dict[str, NDArray[Any]] = {}
    at = 0
    for name, kind, shape in json.loads(line):
        if kind not in _DTYPES or not all(isinstance(n, int) and n >= 0 for n in shape):
            raise ValueError(f"{name}: not an array of plain numbers")
        count = int(np.prod(shape, dtype=np.int64))
        arrays[name] = np.frombuffer(body, dtype=np.dtype(kind), count=count, offset=at).reshape(shape)
        at += arrays[name].nbytes
    if at != len(body):
        raise ValueError("arrays and their description disagree")
    return arrays


class _Disk:
    """The folder side of a Keep. Every method is quiet: what does not work is a miss."""

    def __init__(self, folder: Path, most_bytes: int) -> None:
        self._folder, self._most_bytes = folder, most_bytes
        self._measured: int | None = None
        self._written = 0

    def read(self, name: str) -> bytes | None:
        path = self._path(name)
        try:
            whole = path.read_bytes()
            head = len(_MAGIC) + _SEAL
            payload = whole[head:]
            if whole[:head] != _MAGIC + _seal(name, payload):
                return None
            if time.time() - path.stat().st_mtime > FRESH_S:
                os.utime(path)
        except OSError:
            return None
        return payload

    def write(self, name: str, payload: bytes) -> None:
        if len(payload) > self._most_bytes // 4:
            return
        path = self._path(name)
        beside = ""
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            handle, beside = tempfile.mkstemp(prefix=".", suffix=".part", dir=path.parent)
            with os.fdopen(handle, "wb") as stream:
                stream.write(_MAGIC + _seal(name, payload) + payload)
            Path(beside).replace(path)
            self._count(len(payload) + len(_MAGIC) + _SEAL)
        except BaseException as problem:
            if beside:
                with contextlib.suppress(OSError):
                    Path(beside).unlink(missing_ok=True)
            if not isinstance(problem, OSError):
                raise

    def _path(self, name: str) -> Path:
        kind, _, digest = name.rpartition("-")
        return self._folder / kind / (digest + _SUFFIX)

    def _count(self, size: int) -> None:
        """Keep the folder within its bound: measured now and then, its oldest files taken when it is full."""
        self._written += 1
        if self._measured is None or self._written % LOOK_AGAIN_AFTER == 0:
            self._measured = sum(stat.st_size for _, stat in self._files())
        else:
            self._measured += size
        if self._measured > self._most_bytes:
            self._clear()

    def _clear(self) -> None:
        files = sorted(self._files(), key=lambda entry: entry[1].st_mtime)
        total = sum(stat.st_size for _, stat in files)
        for path, stat in files:
            stale = path.suffix != _SUFFIX and time.time() - stat.st_mtime > STALE_S
            if stale or (path.suffix == _SUFFIX and total > AFTER_CLEARING * self._most_bytes):
                with contextlib.suppress(OSError):
                    path.unlink(missing_ok=True)
                    total -= stat.st_size
        self._measured = total

    def _files(self) -> list[tuple[Path, os.stat_result]]:
        """Our own files alone: a folder that somebody also keeps other things in loses none of them."""
        found = []
        for pattern in ("*/*" + _SUFFIX, "*/.*.part"):
            for path in self._folder.glob(pattern):
                with contextlib.suppress(OSError):
                    found.append((path, path.stat()))
        return found


def _name(kind: str, version: int, key: object) -> str:
    """kind-digest: what a value is filed under."""
    if not kind.isidentifier():
        raise ValueError(f"a kind is a plain word, not {kind!r}")
    hasher = hashlib.blake2b(digest_size=20)
    _feed(hasher.update, (kind, version, key))
    return f"{kind}-{hasher.hexdigest()}"


def _feed(update: Callable[[bytes], object], part: object) -> None:
    """Every part goes in with its type and length, so that no two keys run into one."""
    if isinstance(part, tuple):
        update(b"(%d" % len(part))
        for inner in part:
            _feed(update, inner)
    elif dataclasses.is_dataclass(part) and not isinstance(part, type):
        _feed(update, (type(part).__qualname__, *(getattr(part, field.name) for field in dataclasses.fields(part))))
    elif isinstance(part, float):
        update(b"f" + struct.pack("<d", part))
    elif isinstance(part, (str, bytes)):
        raw = part.encode("utf-8", "surrogatepass") if isinstance(part, str) else part
        update(b"%s%d:" % (b"s" if isinstance(part, str) else b"b", len(raw)))
        update(raw)
    elif part is None or isinstance(part, (bool, int)):
        update(b"i%r;" % (part,))
    else:
        raise TypeError(f"{type(part).__name__} cannot be part of a key")


def _seal(name: str, payload: bytes) -> bytes:
    return hashlib.blake2b(payload, key=name.encode()[-64:], digest_size=_SEAL).digest()
