"""The campaign's own parts: the same case for the same number, and what is wrong told from what is refused."""

from __future__ import annotations

import random
import re
from pathlib import Path

import fontpkg
import pytest
from seek import __main__ as campaign
from seek import cases, door, kills
from seek.cases import Outcome, _any_job, _spoilt, edits, requests, spoilt_drawing, spoilt_store, strangers_letters

from stopcut.errors import WrongJob
from stopcut.groove.figures import plan_area
from stopcut.job.edits import At, SetKey
from stopcut.job.new import demo_job_text
from stopcut.job.read import parse_job
from stopcut.store import open_store


def test_a_number_is_the_same_job_every_time_another_is_another_and_all_are_in_range() -> None:
    assert _any_job(7) == _any_job(7) != _any_job(8)
    for number in range(12):
        said = ""
        try:
            parse_job(_any_job(number))
        except WrongJob as wrong:  # what is in range each for itself may not go together
            said = str(wrong)
        assert not re.search("out of range|too much|too little|no such setting", said)


def test_spoilt_bytes_differ_from_the_sound_ones_and_are_the_same_every_time() -> None:
    sound = bytes(range(256)) * 8
    spoilt = [_spoilt(random.Random(3), sound) for _ in range(2)]
    assert spoilt[0] == spoilt[1] != sound


@pytest.mark.parametrize("case", [spoilt_drawing, spoilt_store])
def test_a_spoilt_file_is_read_or_refused(case: object, tmp_path: Path) -> None:
    for number in range(8):
        assert case(random.Random(number), tmp_path).came in ("fine", "refused")  # type: ignore[operator]


def test_a_strangers_letters_are_cut_and_walls_that_do_not_cover_them_are_noticed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    place = tmp_path / "fonts" / "a package" / "cut.ttf"
    place.parent.mkdir(parents=True)
    place.write_bytes(fontpkg.family("Marcellus").files[0].path.read_bytes())
    monkeypatch.setattr(cases, "fetched", lambda *_: [place])
    assert strangers_letters(random.Random(2), tmp_path) == Outcome("fine", "12 characters")
    monkeypatch.setattr(cases, "plan_area", lambda roof: 1.01 * plan_area(roof))
    assert strangers_letters(random.Random(2), tmp_path).came == "wrong"


def test_a_run_goes_on_where_the_last_one_ended_and_keeps_what_is_wrong(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    clock = iter(range(1000))
    monkeypatch.setattr(campaign.time, "monotonic", lambda: float(next(clock)))
    made: list[float] = []

    def case(rng: random.Random, _folder: Path) -> Outcome:
        made.append(rng.random())
        if len(made) == 3:
            raise RuntimeError("nobody expected this")
        return Outcome("wrong", "too deep", b"leaf") if len(made) == 2 else Outcome("fine")

    monkeypatch.setattr(campaign, "KINDS", {"jobs": case})
    log = tmp_path / "log.jsonl"
    for until in (8.0, 16.0):
        campaign._run(["jobs"], 1, tmp_path, log, until)
    assert len(set(made)) == len(made) > 3  # no number twice
    assert (tmp_path / "found" / "jobs-1-1").read_bytes() == b"leaf"
    assert "nobody expected this" in capsys.readouterr().out
    assert campaign._report(log).splitlines()[-1] == f"| jobs | {len(made)} | {len(made) - 2} | 0 | 2 |"


@pytest.fixture
def job_of_three(tmp_path: Path) -> str:
    """A job with three revisions in a store in tmp_path."""
    with open_store(f"sqlite:///{tmp_path / 'workshop.db'}") as store:
        job = store.new(demo_job_text(), "w").id
        for title in ("Plots", "Plots 1 to 9"):
            store.edit(job, SetKey(At(), "title", title), "w")
    return job


def test_what_was_shown_and_is_not_in_the_store_is_noticed(tmp_path: Path, job_of_three: str) -> None:
    assert kills._lost(tmp_path, job_of_three, {1, 3}) == ""
    assert "not in the store: [4] of 3" in kills._lost(tmp_path, job_of_three, {3, 4})


def test_a_request_is_the_same_for_its_number_and_lies_where_it_is_made_to() -> None:
    made = [door.odd_request(random.Random(number), 8123, "7") for number in range(400)]
    assert made == [door.odd_request(random.Random(number), 8123, "7") for number in range(400)]
    assert len({one.sent for one in made}) > 300
    assert {one.lies for one in made} == {True, False}
    plain = b"GET / HTTP/1.1\r\nHost: 127.0.0.1:8123\r\nConnection: close\r\n\r\n"
    assert door.Request(plain, False) in made


@pytest.mark.parametrize(
    ("lies", "status", "answer", "wrong"),
    [
        (True, 200, b"", "let in"),
        (True, 101, b"", "let in"),
        (True, 404, door.SECRET.encode(), "let in"),
        (True, 403, b"Another page asked for this", ""),
        (True, 0, b"", ""),
        (False, 200, door.SECRET.encode(), ""),
        (False, 500, b"", "500"),
        (False, 404, b"Traceback (most recent call last)", "library"),
    ],
)
def test_an_answer_is_wrong_if_a_lie_is_let_in_or_the_app_fell_over(
    lies: bool, status: int, answer: bytes, wrong: str
) -> None:
    found = door.what_is_wrong(door.Request(b"", lies), door.Told(status, answer))
    assert wrong in found if wrong else not found


def test_an_app_is_asked_oddly_and_killed_under_edits_without_harm(tmp_path: Path) -> None:
    for case in (requests, edits):
        home = tmp_path / case.__name__
        home.mkdir()
        assert case(random.Random(5), home).came == "fine"
