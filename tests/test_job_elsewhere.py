"""A job's file in another folder finds its fonts and drawings where they are."""

from pathlib import Path

import pytest
from click.testing import CliRunner

from stopcut.cli.main import commands
from stopcut.job.elsewhere import text_for
from stopcut.job.read import path_of, read_job

LEAF = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 10 10"><path d="M0 0L10 0L5 10Z"/></svg>'


@pytest.fixture
def job(tmp_path, job_text):
    """A job that names a font file and a drawing by paths from its folder, with a comment beside one."""
    from stopcut.lettering.faces import find_face

    there = tmp_path / "boards" / "plot"
    (there / "fonts").mkdir(parents=True)
    (there / "fonts" / "own.ttf").write_bytes(find_face("Cinzel").path.read_bytes())
    (there / "leaf.svg").write_text(LEAF)
    text = job_text.replace('face = "Cinzel"', 'face = "fonts/own.ttf"  # bought in March').replace(
        "weight = 500\n", ""
    )
    text += 'face = "EB Garamond"\n\n[[line]]\nwords = "Lane"\nface = "./fonts/own.ttf"\ncap_height = 10\n'
    text += '\n[[ornament]]\nfile = "leaf.svg"\nx = 30\ny = 30\nwidth = 10\n'
    (there / "job.toml").write_text(text)
    return there / "job.toml"


def files_of(path: Path) -> list[Path]:
    """The files that a job names, in the order in which it names them."""
    text = path.read_text()
    found = [line.split('"')[1] for line in text.splitlines() if line.startswith(("face", "file"))]
    read = read_job(path)  # which says what is not there
    return [path_of(read, one).resolve() for one in found if "." in one]


@pytest.mark.parametrize("folder", ["..", "../..", "../other/deep", "fonts"])
def test_in_any_folder_the_same_files_are_named(job, folder):
    there = job.parent / folder
    there.mkdir(parents=True, exist_ok=True)
    (there / "moved.toml").write_text(text_for(job.read_text(), job.parent, there))
    assert files_of(there / "moved.toml") == files_of(job)
    assert "# bought in March" in (there / "moved.toml").read_text()
    assert 'face = "EB Garamond"' in (there / "moved.toml").read_text()


def test_in_its_own_folder_and_with_whole_paths_nothing_changes(job, tmp_path):
    text = job.read_text()
    assert text_for(text, job.parent, job.parent) == text
    whole = text.replace("fonts/own.ttf", (job.parent / "fonts" / "own.ttf").as_posix()).replace("./", "")
    whole = whole.replace('"leaf.svg"', f'"{(job.parent / "leaf.svg").as_posix()}"')
    assert text_for(whole, job.parent, tmp_path) == whole


def test_a_job_whose_lines_say_everything_and_a_member_of_a_collection_are_named_too(tmp_path):
    text = 'format = 1\n[[line]]\nwords = "PLOT"\nface = "own.ttc#1"\ncap_height = 30\n'
    text = text.replace("[[line]]", '[board]\nwidth = 300\nheight = 100\nthickness = 20\nwood = "lime"\n[[line]]')
    moved = text_for('title = "Plot"\n' + text, tmp_path / "boards", tmp_path)
    assert 'face = "boards/own.ttc#1"' in moved


def test_a_member_of_a_collection_beside_the_job_is_there(job):
    job.write_text(job.read_text().replace("fonts/own.ttf", "fonts/own.ttf#0"))
    assert read_job(job)


@pytest.mark.parametrize("command", ["mend", "testpiece", "class"])
def test_jobs_that_the_commands_write_elsewhere_can_be_read_there(command, job, tmp_path):
    (tmp_path / "learners.csv").write_text("name,words\nHazel,HAZEL\n")
    (tmp_path / "out").mkdir()
    ends = {
        "mend": ["--plane", "1 mm", "--out", str(tmp_path / "out" / "one.toml")],
        "testpiece": ["--out", str(tmp_path / "out" / "one.toml")],
        "class": ["--learners", str(tmp_path / "learners.csv"), "--no-cards", "--out", str(tmp_path / "out")],
    }
    done = CliRunner().invoke(commands, [command, str(job), *ends[command]], catch_exceptions=False)
    (made,) = (tmp_path / "out").glob("*.toml")
    assert files_of(made), done.output
