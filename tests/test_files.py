"""Files are written whole or not at all."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from stopcut import files
from stopcut.errors import BadFile
from stopcut.files import write_together


def contents(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def test_all_the_files_are_there_and_nothing_else(tmp_path: Path) -> None:
    paths = write_together(tmp_path / "sheets", {"pattern.pdf": b"one", "board.svg": b"two"})
    assert contents(tmp_path / "sheets") == {"pattern.pdf": b"one", "board.svg": b"two"}
    assert [path.name for path in paths] == ["pattern.pdf", "board.svg"]


def test_old_files_are_replaced_and_strangers_left_alone(tmp_path: Path) -> None:
    write_together(tmp_path, {"pattern.pdf": b"old"})
    (tmp_path / "notes.txt").write_bytes(b"mine")
    write_together(tmp_path, {"pattern.pdf": b"new"})
    assert contents(tmp_path) == {"pattern.pdf": b"new", "notes.txt": b"mine"}


def test_a_disk_that_fills_up_midway_leaves_every_old_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write_together(tmp_path, {"pattern.pdf": b"old", "board.svg": b"old"})
    calls = []

    def full(handle: int) -> None:
        calls.append(handle)
        if len(calls) == 2:
            raise OSError(28, "No space left on device")

    monkeypatch.setattr(files.os, "fsync", full)
    with pytest.raises(BadFile, match="the disk is full"):
        write_together(tmp_path, {"pattern.pdf": b"new", "board.svg": b"new"})
    assert contents(tmp_path) == {"pattern.pdf": b"old", "board.svg": b"old"}


def test_an_interrupt_midway_leaves_every_old_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write_together(tmp_path, {"pattern.pdf": b"old"})

    def interrupted(handle: int) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(files.os, "fsync", interrupted)
    with pytest.raises(KeyboardInterrupt):
        write_together(tmp_path, {"pattern.pdf": b"new"})
    assert contents(tmp_path) == {"pattern.pdf": b"old"}


def test_a_file_where_the_folder_should_be_is_named(tmp_path: Path) -> None:
    (tmp_path / "sheets").write_bytes(b"")
    with pytest.raises(BadFile, match="sheets"):
        write_together(tmp_path / "sheets", {"pattern.pdf": b"new"})


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such permissions")
def test_files_may_be_read_as_any_other_that_the_carver_makes(tmp_path: Path) -> None:
    (tmp_path / "plain").write_bytes(b"")
    write_together(tmp_path, {"pattern.pdf": b"one"})
    assert (tmp_path / "pattern.pdf").stat().st_mode == (tmp_path / "plain").stat().st_mode


def test_writing_leaves_alone_what_other_threads_write_by(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def changed(_mask: int) -> int:  # a process has one umask: while it is changed, others' files would be for all
        raise AssertionError("the umask was changed")

    monkeypatch.setattr(os, "umask", changed)
    write_together(tmp_path, {"pattern.pdf": b"one"})
    assert contents(tmp_path) == {"pattern.pdf": b"one"}


def test_a_file_in_the_folders_place_is_told_as_that(tmp_path: Path) -> None:
    (tmp_path / "out").write_text("mine")
    with pytest.raises(BadFile, match="is a file"):
        write_together(tmp_path / "out", {"pattern.pdf": b"new"})
    assert (tmp_path / "out").read_text() == "mine"


def test_a_folder_made_for_nothing_is_taken_away_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(_handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(BadFile, match="the disk is full"):
        write_together(tmp_path / "new", {"pattern.pdf": b"new"})
    assert not (tmp_path / "new").exists()
