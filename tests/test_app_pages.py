"""Addresses beside the pages: pictures and faces by name, and nothing by a path."""

from __future__ import annotations

import json

import patient
import pytest
from workshop import soon

from stopcut.job.new import demo_job_text
from stopcut.store import open_store


@pytest.fixture(scope="module")
def job(workshop):
    with open_store(f"sqlite:///{workshop.home / 'workshop.db'}") as store:
        return store.new(demo_job_text(), "w").id


def test_a_face_is_had_by_its_familys_name(workshop):
    answer = patient.get(f"{workshop.url}/face", params={"family": "Cinzel", "weight": 500})
    assert answer.status_code == 200
    assert answer.content[:4] in (b"\0\1\0\0", b"OTTO", b"wOF2")


@pytest.mark.parametrize(
    "family", ["/etc/passwd", "../own.ttf", "own.ttf", "own.ttc#1", "..\\own.otf", "No Such Face", ""]
)
def test_no_face_is_had_by_a_path(workshop, family):
    (workshop.home / "own.ttf").write_bytes(b"secret")
    (workshop.home / "own.ttc").write_bytes(b"secret")
    answer = patient.get(f"{workshop.url}/face", params={"family": family})
    assert answer.status_code == 404
    assert b"secret" not in answer.content


def test_a_jobs_file_is_its_text_to_the_letter(workshop, job):
    assert patient.get(f"{workshop.url}/job/{job}/job.toml").text == demo_job_text()


def test_a_jobs_picture_shows_the_revision_asked_for(workshop, job):
    answer = patient.get(f"{workshop.url}/job/{job}/picture/1.png")
    assert answer.content.startswith(b"\x89PNG")
    assert patient.get(f"{workshop.url}/job/{job}/picture/99.png").status_code == 404


@pytest.mark.parametrize(
    "address", ["/job/no/job.toml", "/job/no/tile/x.png", "/job/no/wood/x.png", "/job/no/sheets/1/job.toml"]
)
def test_what_is_not_there_is_said_so(workshop, address):
    answer = patient.get(workshop.url + address)
    assert answer.status_code in (404, 409)
    assert "here is no" in answer.text


def test_a_sheet_of_no_kind_is_not_there(workshop, job):
    assert patient.get(f"{workshop.url}/job/{job}/sheets/1/passwd").status_code == 404


@pytest.mark.browser
def test_what_is_done_before_the_page_is_connected_comes_in_the_order_in_which_it_was_done(page, workshop):
    words = "TRAVAIL AND AVIARY"
    sent: list[str] = []
    held: list[tuple] = []
    hold = True

    def between(here) -> None:
        there = here.connect_to_server()
        there.on_message(lambda said: held.append((here, said)) if hold else here.send(said))
        here.on_message(lambda said: (sent.append(said), there.send(said)))

    page.route_web_socket("**/socket.io/**", between)
    page.goto(workshop.url)
    page.get_by_label("Words of a new job").press_sequentially(words, delay=13)
    page.get_by_role("button", name="New job").click()
    soon(lambda: held, "the page's socket does not open", page)
    page.wait_for_timeout(100)
    assert not [said for said in sent if said.startswith("42")]
    hold = False
    for here, said in held:
        here.send(said)
    page.wait_for_url("**/job/*/brief")
    events = [json.loads(said[2:])[1] for said in sent if said.startswith('42["event"')]
    heard: dict[str, list[str]] = {}  # by who hears it
    for event in events:
        if event["args"] and event["args"][0].startswith('"T'):
            heard.setdefault(event["listener_id"], []).append(json.loads(event["args"][0]))
    assert heard
    assert all(written == [words[: n + 1] for n in range(len(words))] for written in heard.values())
    assert words in patient.get(page.url.rsplit("/", 1)[0] + "/job.toml").text
