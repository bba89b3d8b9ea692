"""A class's pack, read back by somebody else's PDF reader."""

from __future__ import annotations

import io
import re
from functools import lru_cache

import pypdfium2
from sheet_boards import ISSUED

from stopcut.bench.planned import Plan
from stopcut.cli.main import main
from stopcut.job.read import parse_job, read_job
from stopcut.options.class_list import class_of, needs
from stopcut.options.class_plans import class_plans
from stopcut.options.learners import parse_learners
from stopcut.sheets.class_pack import class_pack_pdf
from stopcut.shop.roll import published_roll
from stopcut.teaching.in_class import Class
from stopcut.units import format_length

JOB = """\
format = 1
title = "Marrow Lane plot signs"
[board]
width = 160
height = 70
thickness = 22
margin = 10
[lettering]
face = "Cinzel"
[[line]]
words = "PLOT"
"""
LIST = "name,words,level,hand\nHazel,FIG,practised,left\nRowan,TILE,,\n"


@lru_cache
def made() -> tuple[Class, tuple[Plan, ...]]:
    group = class_of(parse_job(JOB), parse_learners(LIST, "class.csv"))
    return group, tuple(class_plans(group.members))


def pack(counted: dict[str, int] | None = None, cards: bool = True) -> bytes:
    group, plans = made()
    tools = needs(group.members, plans, published_roll(), counted or {})
    return class_pack_pdf("Marrow Lane plot signs", group, plans, tools, issued=ISSUED, cards=cards)


def texts(pdf: bytes) -> list[str]:
    return [" ".join(page.get_textpage().get_text_range().split()) for page in pypdfium2.PdfDocument(io.BytesIO(pdf))]


def test_the_first_page_lists_name_words_level_hand_and_hours() -> None:
    group, _ = made()
    first = texts(pack())[0]
    assert "2 blanks of lime, each 160 mm × 70 mm × 22 mm" in first
    assert re.search(r"1 Hazel FIG practised left \d+ (min|h)", first)
    assert re.search(r"2 Rowan TILE first board right \d+ (min|h)", first)
    assert group.cap_height_mm is not None
    assert f"All letters are {format_length(group.cap_height_mm, 'mm')} high" in first
    assert "Left-handed: Hazel" in first


def test_letters_whose_height_the_job_says_are_not_called_different_from_board_to_board() -> None:
    group = class_of(parse_job(JOB.replace("[[line]]", "cap_height = 20\n[[line]]")), parse_learners(LIST, "class.csv"))
    plans = tuple(member.work.plan("middle", None, member.level) for member in group.members)
    tools = needs(group.members, plans, published_roll(), {})
    first = texts(class_pack_pdf("Signs", group, plans, tools, issued=ISSUED, cards=False))[0]
    assert "Everybody’s letters are as high as the job says." in first


def test_tools_at_once_stand_against_those_there_are() -> None:
    _, plans = made()
    names = sorted({use.tool.name for plan in plans for use in plan.tools})
    first = texts(pack(dict.fromkeys(names, 2)))[0]
    assert all(re.search(rf"{re.escape(name)} [12] [12] 2", first) for name in names)
    assert "There are enough of every tool" in first
    assert "To borrow, or to wait for: " in texts(pack(dict.fromkeys(names, 0)))[0]
    assert "nobody has counted" in texts(pack())[0]


def test_every_learner_has_pattern_and_bench_pages() -> None:
    pages = texts(pack())
    for name, letters in (("Hazel", 3), ("Rowan", 4)):
        own = [text for text in pages if f"Marrow Lane plot signs: {name}" in text]
        assert any("Scale 1:1" in text for text in own)
        (listed,) = [text for text in pages if "To pin up" in text]
        words = {"Hazel": "FIG", "Rowan": "TILE"}[name]
        assert len(re.findall(rf"letter \d of {words} \d+ [\d a-z]+ sheet \d+", listed)) == letters
    assert len(texts(pack(cards=False))) < len(pages)
    assert not any("steps" in text for text in texts(pack(cards=False)))


def test_learners_share_a_card_for_a_letter_that_both_carve() -> None:
    cards = [text for text in texts(pack()) if re.search(r"[A-Z]: (a )?(Hazel|Rowan), letter", text)]
    assert len(cards) == len(set("FIG" + "TILE"))
    (shared,) = [text for text in cards if "I: a Hazel, letter 2 of FIG; b Rowan, letter 2 of TILE" in text]
    assert "a b what is done" in shared or " a b " in shared


def test_the_cautions_stand_on_the_list_s_first_page_and_every_pattern_s() -> None:
    pages = texts(pack())
    assert "both hands behind" in pages[0]
    assert sum("both hands behind" in text for text in pages) >= 3


def test_three_learners_and_sixteen_letters_are_at_most_twenty_pages() -> None:
    learners = "name,words\nHazel,HAZEL\nRowan,ROWAN\nMay,MARROW\n"
    group = class_of(parse_job(JOB), parse_learners(learners, "class.csv"))
    plans = class_plans(group.members)
    assert sum(len(plan.letters) for plan in plans) == 16
    tools = needs(group.members, plans, published_roll(), {})
    pdf = class_pack_pdf("Marrow Lane plot signs", group, plans, tools, issued=ISSUED)
    assert len(texts(pdf)) <= 20


def test_the_outline_leads_to_each_learner() -> None:
    document = pypdfium2.PdfDocument(io.BytesIO(pack(cards=False)))
    marks = [(mark.get_title(), mark.get_dest().get_index()) for mark in document.get_toc()]
    assert [title for title, _ in marks] == ["The class", "Hazel: FIG", "Rowan: TILE"]
    pages = texts(pack(cards=False))
    assert all(title.split(":")[0] in pages[page] for title, page in marks[1:])


def test_the_same_class_and_day_give_the_same_bytes() -> None:
    assert pack(cards=False) == pack(cards=False)


def test_the_command_writes_the_pack_and_each_learner_s_job(tmp_path, monkeypatch) -> None:
    monkeypatch.setenv("STOPCUT_HOME", str(tmp_path / "home"))
    (tmp_path / "plots.toml").write_text(JOB, encoding="utf-8")
    (tmp_path / "class.csv").write_text(LIST, encoding="utf-8")
    arguments = ["class", str(tmp_path / "plots.toml"), "--learners", str(tmp_path / "class.csv"), "--no-cards"]
    assert _status([*arguments, "--out", str(tmp_path / "out")]) == 0
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == ["01-hazel.toml", "02-rowan.toml", "class.pdf"]
    assert read_job(tmp_path / "out" / "02-rowan.toml").lines[0].words == "TILE"


def test_faults_of_the_list_leave_nothing_behind(tmp_path, monkeypatch, capsys) -> None:
    monkeypatch.setenv("STOPCUT_HOME", str(tmp_path / "home"))
    (tmp_path / "plots.toml").write_text(JOB, encoding="utf-8")
    (tmp_path / "class.csv").write_text("name,words\nHazel,\nRowan,ЖЖ\n", encoding="utf-8")
    arguments = ["class", str(tmp_path / "plots.toml"), "--learners", str(tmp_path / "class.csv")]
    assert _status([*arguments, "--out", str(tmp_path / "out")]) == 2
    assert "class.csv words, line 2: it is blank" in capsys.readouterr().err
    assert not (tmp_path / "out").exists()


def _status(arguments: list[str]) -> int:
    try:
        main(arguments)
    except SystemExit as left:
        return int(left.code or 0)
    return 0
