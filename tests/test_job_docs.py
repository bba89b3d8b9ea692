"""What the manual says of the job's format is what the format is."""

from __future__ import annotations

import dataclasses
import re
from pathlib import Path

import pytest

from stopcut.job.faults import JOB_FORMAT
from stopcut.job.job import DEFAULTS
from stopcut.job.read import parse_job
from stopcut.shop.shop_file import parse_shop
from stopcut.shop.thresholds import PUBLISHED, WHY, ByTexture
from stopcut.units import format_angle

MANUAL = (Path(__file__).parent.parent / "docs" / "job.md").read_text(encoding="utf-8")
ROWS = [[cell.strip() for cell in line.split("|")[1:-1]] for line in MANUAL.splitlines() if line.startswith("| ")]


@pytest.mark.parametrize("names", JOB_FORMAT.tables, ids=".".join)
def test_every_key_of_the_format_is_in_the_manual(names: tuple[str, ...]) -> None:
    for key in JOB_FORMAT.tables[names].model_fields:
        if (*names, key) not in JOB_FORMAT.tables:
            assert re.search(rf"`{key}`|\b{key} = ", MANUAL), key


@pytest.mark.parametrize("dotted", DEFAULTS)
def test_every_default_is_in_the_manual(dotted: str) -> None:
    key, value = dotted.rsplit(".", 1)[-1], DEFAULTS[dotted].value
    shown = f'`"{value}"`' if isinstance(value, str) else f"`{value}`"
    shares = {"board.margin": "a tenth of the shorter side", "columns.between": "a twentieth of the board's width"}
    shown = shares.get(dotted, shown)
    row = next(row for row in ROWS if key in re.findall(r"`(\w+)`", row[0] if key != "bend" else row[2]))
    assert shown in row[2]


def test_what_must_be_there_stands_in_bold() -> None:
    bold = set(re.findall(r"\*\*`(\w+)`\*\*", MANUAL))
    required = {
        key
        for names, table in JOB_FORMAT.tables.items()
        for key, field in table.model_fields.items()
        if field.is_required() and (*names, key) not in JOB_FORMAT.tables and len(names) < 2
    }
    assert bold == required


@pytest.mark.parametrize("field", dataclasses.fields(PUBLISHED), ids=lambda field: field.name)
def test_every_threshold_is_in_the_manual_with_its_reason(field: dataclasses.Field[object]) -> None:
    value = getattr(PUBLISHED, field.name)
    name = field.name.removesuffix("_mm").removesuffix("_deg")
    if isinstance(value, ByTexture):
        shown = ", ".join(f"{mm:g}" for mm in dataclasses.astuple(value)) + " mm"
    elif field.name.endswith("_deg"):
        shown = format_angle(value)
    else:
        shown = f"{value:g}" + (" mm" if field.name.endswith("_mm") else "")
    assert [f"`{name}`", shown, WHY[field.name]] in ROWS


def test_the_manuals_shop_file_is_right() -> None:
    *_, example = re.findall(r"```toml\n(.*?)```", MANUAL, re.DOTALL)
    assert parse_shop(example).thresholds.deepest_share == 0.4


def test_the_manuals_list_in_columns_is_right() -> None:
    example, *_ = re.findall(r"```toml\n(.*?)```", MANUAL, re.DOTALL)
    board = 'format = 1\ntitle = "Honours"\n[board]\nwidth = 400\nheight = 300\nthickness = 20\n'
    job = parse_job(board + example)
    assert job.columns.number == 2
    assert [line.in_columns for line in job.lines] == [False, True, True]
