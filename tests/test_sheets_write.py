import pytest
from sheet_boards import ISSUED, TEXT, words
from sheet_boards import small_board as flat_board

from stopcut.errors import BadFile
from stopcut.groove.groove import groove
from stopcut.sheets.paper import UnknownPaper
from stopcut.sheets.write import sheet_files, write_sheets


def small_board():
    """One stem, with its groove as the groove room works it, which the picture needs."""
    work = flat_board(lines=(words("I", 1, 40.0, 20.0, 120.0),))
    work.__dict__["grooves"] = tuple(groove(placed, 60.0, None) for placed in work.setting.placed)
    return work


def test_a_job_gives_pattern_board_picture_and_itself():
    files = sheet_files(small_board(), issued=ISSUED)
    assert list(files) == ["pattern.pdf", "board.svg", "carved.png", "job.toml"]
    assert files["pattern.pdf"].startswith(b"%PDF-")
    assert files["board.svg"].startswith(b"<?xml")
    assert files["carved.png"].startswith(b"\x89PNG")
    assert files["job.toml"] == TEXT.encode()


def test_a_print_shop_gets_the_whole_board_on_request():
    assert "pattern_whole.pdf" in sheet_files(small_board(), issued=ISSUED, whole=True)


def test_files_are_written_where_they_were_asked_for(tmp_path):
    paths = write_sheets(small_board(), tmp_path / "sheets", issued=ISSUED)
    assert sorted(p.name for p in (tmp_path / "sheets").iterdir()) == sorted(p.name for p in paths)
    assert len(paths) == 4


def test_wrong_paper_writes_nothing(tmp_path):
    with pytest.raises(UnknownPaper):
        write_sheets(small_board(), tmp_path / "sheets", paper="papyrus", issued=ISSUED)
    assert not (tmp_path / "sheets").exists()


def test_a_folder_that_is_a_file_is_a_bad_file(tmp_path):
    (tmp_path / "sheets").write_text("not a folder")
    with pytest.raises(BadFile):
        write_sheets(small_board(), tmp_path / "sheets", issued=ISSUED)
