"""What a carver is told before the first cut."""

from __future__ import annotations

import pytest

from stopcut.bench.cautions import dust_caution


@pytest.mark.parametrize("name", ["oak", "northern red oak", "White Oak", "rosewoods", "Douglas-fir, coast", "yew"])
def test_a_wood_on_a_list_is_named_with_what_its_dust_may_do(name: str) -> None:
    said = dust_caution(name)
    assert name in said
    assert "stop if you react" in said


@pytest.mark.parametrize("name", ["lime", "poplar", "soaked lime"])
def test_a_wood_on_no_list_is_not_called_safe(name: str) -> None:
    assert "no word that it is safe" in dust_caution(name)


def test_the_table_s_name_for_a_wood_counts_as_well_as_the_job_s() -> None:
    assert dust_caution("walnut", "black walnut").startswith("Dust of walnut")
    assert "No list" in dust_caution("walnut")
