"""Woods: the published figures, and which wood a name means.

Coefficients follow from total shrinkage by the Wood Handbook's equations 13-2 and 13-3 at 10 % moisture, the middle of
the range that table 13-5 is for: C = S / (3000 - 20 S), or S / (2200 - 12 S) where fibres are saturated at 22 %.
"""

from __future__ import annotations

import pytest

from stopcut.errors import Severity
from stopcut.shop.woods import TEXTURES, Wood, wood_called, woods

BY_NAME = {wood.name: wood for wood in woods()}

# Woods whose two tables are of different data, so that neither follows from the other.
OF_DIFFERENT_DATA = {"white oak", "northern red oak", "mahogany, true", "teak"}
SATURATED_AT_22_PCT = {"western redcedar", "redwood, old-growth", "redwood, young-growth"}
TANGENTIAL_ONLY = {"Spanish-cedar"}


def coefficient(shrinkage_pct: float, saturation_pct: float) -> float:
    return 1 / (100 * saturation_pct / shrinkage_pct - saturation_pct + 10)


@pytest.mark.parametrize("name", sorted(BY_NAME.keys() - OF_DIFFERENT_DATA - {"European lime"}))
def test_movement_follows_from_shrinkage_as_the_handbook_has_it(name: str) -> None:
    wood = BY_NAME[name]
    saturation = 22 if name in SATURATED_AT_22_PCT else 30
    assert wood.tangential_shrinkage_pct is not None
    assert wood.radial_shrinkage_pct is not None
    tangential = coefficient(wood.tangential_shrinkage_pct, saturation)
    assert wood.tangential_per_pct == pytest.approx(tangential, abs=1.1e-5)
    if name not in TANGENTIAL_ONLY:
        radial = coefficient(wood.radial_shrinkage_pct, saturation)
        assert wood.radial_per_pct == pytest.approx(radial, abs=1.1e-5)


def test_basswood_moves_as_table_13_5_says() -> None:
    # Wood Handbook (FPL-GTR-190), table 13-5: American basswood, radial and tangential.
    assert (BY_NAME["basswood"].radial_per_pct, BY_NAME["basswood"].tangential_per_pct) == (0.00230, 0.00330)


@pytest.mark.parametrize("wood", woods(), ids=[wood.name for wood in woods()])
def test_every_figure_says_where_it_is_from(wood: Wood) -> None:
    assert wood.texture in TEXTURES
    assert wood.ease in range(1, 6)
    for figure, source in [
        (wood.gravity, wood.gravity_from),
        (wood.hardness_lbf, wood.hardness_from),
        (wood.radial_per_pct, wood.movement_from),
        (wood.tangential_per_pct, wood.movement_from),
        (wood.radial_shrinkage_pct, wood.shrinkage_from),
        (wood.tangential_shrinkage_pct, wood.shrinkage_from),
        (wood.decay or None, wood.decay_from),
    ]:
        assert (figure is None) == (source == "")


def test_wood_moves_more_along_the_rings_than_across_them() -> None:
    for wood in woods():
        assert (wood.radial_per_pct or 0) < (wood.tangential_per_pct or 1)


def test_no_two_woods_answer_to_one_name() -> None:
    for wood in woods():
        for name in (wood.name, *wood.also_called):
            answer = wood_called(name)
            assert answer.wood is not None
            assert answer.wood.name == wood.name


@pytest.mark.parametrize(
    ("called", "name"),
    [
        ("Basswood", "basswood"),
        ("TEAK", "teak"),
        ("mahogany", "mahogany, true"),
        ("True Mahogany", "mahogany, true"),
        ("western  red cedar", "western redcedar"),
        ("Douglas fir", "Douglas-fir, coast"),
        ("tulipwood", "yellow-poplar"),
        ("cherry", "black cherry"),
        ("white-oak", "white oak"),
    ],
)
def test_a_wood_is_known_by_its_trade_names_in_any_case(called: str, name: str) -> None:
    answer = wood_called(called)
    assert answer.wood == BY_NAME[name]
    assert answer.findings == ()


@pytest.mark.parametrize("called", ["lime", "LIME", "linden", "European lime"])
def test_lime_is_european_lime_with_basswoods_figures_and_says_so(called: str) -> None:
    answer = wood_called(called)
    assert answer.wood is not None
    assert (answer.wood.name, answer.wood.botanical) == ("European lime", "Tilia x europaea")
    assert answer.wood.hardness_lbf == BY_NAME["basswood"].hardness_lbf == 410
    assert answer.texture == "fine"
    (finding,) = answer.findings
    assert (finding.code, finding.severity) == ("lent-figures", Severity.NOTE)
    assert "basswood" in finding.says


def test_a_name_of_several_woods_is_asked_about_and_reckoned_with_meanwhile() -> None:
    answer = wood_called("Oak")
    assert answer.wood == BY_NAME["white oak"]
    assert answer.others == ("white oak", "northern red oak")
    (finding,) = answer.findings
    assert (finding.code, finding.severity) == ("which-wood", Severity.LOOK)
    assert '"white oak" or "northern red oak"' in finding.remedy


@pytest.mark.parametrize(
    ("called", "meant"), [("mahoganny", "mahogany, true"), ("baswood", "basswood"), ("oaks", "oak")]
)
def test_an_unknown_wood_is_to_be_looked_at_with_the_likeliest_beside_it(called: str, meant: str) -> None:
    answer = wood_called(called)
    assert (answer.wood, answer.texture) == (None, "medium")
    (finding,) = answer.findings
    assert (finding.code, finding.severity) == ("unknown-wood", Severity.LOOK)
    assert meant in answer.others
    assert f"Did you mean {answer.others[0]}" in finding.says


def test_a_wood_like_none_is_just_unknown() -> None:
    answer = wood_called("x" * 10_000)
    assert (answer.wood, answer.others) == (None, ())


def test_the_shops_own_woods_come_before_the_tables() -> None:
    own = Wood("lime", "medium", hardness_lbf=500)
    assert wood_called("Lime", [own]).wood is own
    assert wood_called("Lime", [own]).findings == ()


@pytest.mark.parametrize("name", ["oak", "European lime", "bog yew"])
def test_what_is_said_of_a_wood_on_the_screen_names_no_file(name):
    said = wood_called(name).findings
    assert said
    assert all(one.screen and ".toml" not in one.screen and "=" not in one.screen for one in said)
