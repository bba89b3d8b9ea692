"""What was worked out once is kept, within bounds, and a broken cache is never worse than none."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stopcut.job.new import demo_job_text
from stopcut.job.read import parse_job
from stopcut.keep import Keep, forget_all, keep, pack_arrays, pack_json, unpack_arrays, unpack_json
from stopcut.setting import spacing
from stopcut.work import Work


@dataclass(frozen=True)
class Narrow:
    words: str
    size_mm: float


class Bench:
    """A maker that counts how often it was asked."""

    def __init__(self, value: object) -> None:
        self.value, self.times = value, 0

    def __call__(self) -> object:
        self.times += 1
        return self.value


def ask(cache: Keep, key: object, make: Callable[[], object], **more: object) -> object:
    options: dict[str, object] = {"pack": pack_json, "unpack": unpack_json} | more
    return cache.remembered("trial", key, make, **options)  # type: ignore[arg-type]


def kept_files(folder: Path) -> list[Path]:
    return sorted(folder.glob("*/*.kept"))


def test_the_same_key_is_worked_out_once_and_another_key_anew(tmp_path: Path) -> None:
    cache, make = Keep(tmp_path), Bench([1, 2])
    assert ask(cache, ("A", 1.0), make) == [1, 2]
    assert ask(cache, ("A", 1.0), make) == [1, 2]
    assert make.times == 1
    ask(cache, ("A", 1.5), make)
    assert make.times == 2


def test_a_second_run_finds_on_disk_what_the_first_worked_out(tmp_path: Path) -> None:
    ask(Keep(tmp_path), ("A",), Bench({"depth": 3.25, "word": "Marrow – ß"}))
    make = Bench("never asked")
    assert ask(Keep(tmp_path), ("A",), make) == {"depth": 3.25, "word": "Marrow – ß"}
    assert make.times == 0


def test_another_process_finds_it_too(tmp_path: Path) -> None:
    ask(Keep(tmp_path), ("A", 0.5, None, True), Bench([7]))
    code = (
        "import sys, pathlib; from stopcut.keep import Keep, pack_json, unpack_json\n"
        "def make(): raise SystemExit('worked out again')\n"
        "print(Keep(pathlib.Path(sys.argv[1])).remembered('trial', ('A', 0.5, None, True), make,"
        " pack=pack_json, unpack=unpack_json))"
    )
    out = subprocess.run([sys.executable, "-c", code, str(tmp_path)], capture_output=True, text=True, check=True)
    assert out.stdout.strip() == "[7]"


def test_many_processes_may_write_one_entry_at_once(tmp_path: Path) -> None:
    code = (
        "import sys, pathlib; from stopcut.keep import Keep, pack_json, unpack_json\n"
        "for n in range(40):\n"
        "    cache = Keep(pathlib.Path(sys.argv[1]), most_disk_bytes=9000)\n"
        "    got = cache.remembered('trial', n % 7, lambda: [n % 7] * 200, pack=pack_json, unpack=unpack_json)\n"
        "    assert got == [n % 7] * 200, got\n"
    )
    command = [sys.executable, "-c", code, str(tmp_path)]
    runs = [subprocess.Popen(command, stderr=subprocess.PIPE, text=True) for _ in range(4)]
    assert [(run.communicate()[1], run.returncode) for run in runs] == [("", 0)] * 4


def test_a_raised_version_or_another_kind_is_another_entry(tmp_path: Path) -> None:
    cache, make = Keep(tmp_path), Bench(1)
    ask(cache, "A", make)
    ask(cache, "A", make, version=2)
    cache.remembered("other", "A", make)
    assert make.times == 3


def test_what_raises_is_passed_on_and_not_kept(tmp_path: Path) -> None:
    cache = Keep(tmp_path)

    def fail() -> object:
        raise ValueError("no such letter")

    with pytest.raises(ValueError, match="no such letter"):
        ask(cache, "A", fail)
    assert ask(cache, "A", Bench(5)) == 5


@pytest.mark.parametrize(
    "harm",
    [lambda b: b[: len(b) // 2], lambda b: b"", lambda b: b[:-1] + bytes([b[-1] ^ 1]), lambda b: os.urandom(len(b))],
    ids=["cut short", "empty", "one bit off", "noise"],
)
def test_a_harmed_file_is_a_miss_and_is_mended(tmp_path: Path, harm: Callable[[bytes], bytes]) -> None:
    ask(Keep(tmp_path), "A", Bench([1, 2, 3]))
    (path,) = kept_files(tmp_path)
    path.write_bytes(harm(path.read_bytes()))
    make = Bench([1, 2, 3])
    assert ask(Keep(tmp_path), "A", make) == [1, 2, 3]
    assert make.times == 1
    again = Bench("never asked")
    assert ask(Keep(tmp_path), "A", again) == [1, 2, 3]
    assert again.times == 0


def test_an_entry_under_anothers_name_is_a_miss(tmp_path: Path) -> None:
    ask(Keep(tmp_path), "A", Bench("for A"))
    (a,) = kept_files(tmp_path)
    ask(Keep(tmp_path), "B", Bench("for B"))
    (b,) = set(kept_files(tmp_path)) - {a}
    b.write_bytes(a.read_bytes())
    assert ask(Keep(tmp_path), "B", Bench("for B")) == "for B"


def test_what_cannot_be_unpacked_is_worked_out(tmp_path: Path) -> None:
    ask(Keep(tmp_path), "A", Bench("plain words"))
    make = Bench({"x": np.arange(3.0)})
    got = ask(Keep(tmp_path), "A", make, pack=pack_arrays, unpack=unpack_arrays)
    assert make.times == 1
    assert got == make.value


def test_a_folder_that_cannot_be_made_leaves_the_memory(tmp_path: Path) -> None:
    blocked = tmp_path / "a file"
    blocked.write_text("not a folder")
    cache, make = Keep(blocked / "cache"), Bench(1)
    ask(cache, "A", make)
    ask(cache, "A", make)
    assert make.times == 1
    assert blocked.read_text() == "not a folder"


def test_memory_keeps_what_was_used_last_within_entries_and_bytes() -> None:
    cache, make = Keep(most_entries=3), Bench(0)
    for key in ("A", "B", "C", "A", "D"):
        ask(cache, key, make)
    assert (len(cache), make.times) == (3, 4)
    ask(cache, "A", make)
    assert make.times == 4
    ask(cache, "B", make)
    assert make.times == 5

    small, heavy = Keep(most_bytes=1000), Bench("x" * 300)
    for key in range(10):
        ask(small, key, heavy)
    assert len(small) == 3
    ask(small, "too heavy", Bench("x" * 2000))
    assert len(small) == 3


def test_the_folder_stays_within_its_bound_and_loses_its_oldest(tmp_path: Path) -> None:
    now = 1_000_000_000
    for n in range(30):
        before = set(kept_files(tmp_path))
        ask(Keep(tmp_path, most_disk_bytes=10_000), n, Bench("x" * 900))
        for path in set(kept_files(tmp_path)) - before:
            os.utime(path, (now + n, now + n))
        assert sum(path.stat().st_size for path in kept_files(tmp_path)) <= 10_000
    newest, oldest = Bench("x" * 900), Bench("x" * 900)
    ask(Keep(tmp_path), 29, newest)
    ask(Keep(tmp_path), 0, oldest)
    assert (newest.times, oldest.times) == (0, 1)


def test_clearing_takes_dead_halves_and_leaves_other_peoples_files(tmp_path: Path) -> None:
    ask(Keep(tmp_path), "first", Bench(1))
    folder = kept_files(tmp_path)[0].parent
    theirs, dead = folder / "notes.txt", folder / ".dead.part"
    theirs.write_text("mine")
    dead.write_text("half")
    os.utime(theirs, (0, 0))
    os.utime(dead, (0, 0))
    for n in range(8):
        ask(Keep(tmp_path, most_disk_bytes=2000), n, Bench("x" * 450))
    assert theirs.exists()
    assert not dead.exists()


def test_no_half_file_is_left_after_writing(tmp_path: Path) -> None:
    ask(Keep(tmp_path), "A", Bench(1))
    assert [path.suffix for path in tmp_path.rglob("*") if path.is_file()] == [".kept"]


def test_the_shared_cache_lives_in_the_carvers_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("STOPCUT_HOME", str(tmp_path / "one"))
    ask(keep(), "A", Bench(1))
    assert keep() is keep()
    assert len(kept_files(tmp_path / "one" / "cache")) == 1
    monkeypatch.setenv("STOPCUT_HOME", str(tmp_path / "two"))
    make = Bench(2)
    assert ask(keep(), "A", make) == 2


def test_frozen_values_may_be_keys_and_open_ones_may_not() -> None:
    cache, make = Keep(), Bench(1)
    ask(cache, Narrow("A", 1.0), make)
    ask(cache, Narrow("A", 1.0), make)
    assert make.times == 1
    with pytest.raises(TypeError, match="list"):
        ask(cache, ["A"], make)
    with pytest.raises(TypeError, match="dict"):
        ask(cache, ("A", {}), make)


PLAIN = st.one_of(st.none(), st.booleans(), st.integers(), st.floats(allow_nan=False), st.text(), st.binary())
KEYS = st.recursive(PLAIN, lambda inner: st.lists(inner, max_size=4).map(tuple), max_leaves=8)


@given(KEYS, KEYS)
def test_two_keys_share_an_entry_only_if_they_are_the_same(one: object, other: object) -> None:
    cache = Keep()
    cache.remembered("trial", one, lambda: "one")
    shared = cache.remembered("trial", other, lambda: "other") == "one"
    assert shared == (repr(one) == repr(other))


@given(
    st.lists(st.floats(allow_nan=False), max_size=12),
    st.lists(st.integers(-(2**31), 2**31 - 1), min_size=1, max_size=12),
)
def test_arrays_come_back_to_the_last_bit(numbers: list[float], whole: list[int]) -> None:
    arrays = {"nodes": np.array(numbers).reshape(-1, 1), "loops": np.array(whole, dtype=np.int32), "none": np.empty(0)}
    back = unpack_arrays(pack_arrays(arrays))
    assert list(back) == list(arrays)
    for name, array in arrays.items():
        assert back[name].dtype == array.dtype
        assert back[name].shape == array.shape
        assert back[name].tobytes() == array.tobytes()
        assert not back[name].flags.writeable


def test_arrays_of_objects_are_neither_kept_nor_read() -> None:
    with pytest.raises(TypeError, match="object"):
        pack_arrays({"x": np.array([{}], dtype=object)})
    with pytest.raises(ValueError, match="plain numbers"):
        unpack_arrays(b'[["x", "|O", [1]]]\n' + b"\0" * 8)
    with pytest.raises(ValueError, match="disagree"):
        unpack_arrays(pack_arrays({"x": np.arange(3.0)}) + b"more")


REMEMBERS = type(lru_cache(len))
"""What remembers by functools; a table's columns answer to any name."""


def test_one_call_empties_every_memory_of_the_process() -> None:
    Work(parse_job(demo_job_text())).plan()
    remembering = [
        value
        for name, module in list(sys.modules.items())
        if name.startswith("stopcut.")
        for value in vars(module).values()
        if isinstance(value, REMEMBERS)
    ]
    assert sum(one.cache_info().currsize for one in remembering) > 100
    assert len(keep()) > 0
    assert spacing._kept_sides
    forget_all()
    assert [one.__name__ for one in remembering if one.cache_info().currsize] == []
    assert len(keep()) == 0
    assert not spacing._kept_sides


def test_what_may_grow_without_end_has_a_bound() -> None:
    """Without one are only what is asked with nothing, or of the few faces that sheets are printed with."""
    fixed = {"published_roll", "woods", "_shaper", "_font", "_forms"}
    found = {
        value.__name__
        for name, module in list(sys.modules.items())
        if name.startswith("stopcut.")
        for value in vars(module).values()
        if isinstance(value, REMEMBERS) and value.cache_info().maxsize is None
    }
    assert found <= fixed
