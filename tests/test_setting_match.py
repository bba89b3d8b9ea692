from __future__ import annotations

import pytest
from setting_faces import plain, set_in

from stopcut.errors import Severity
from stopcut.setting.match import match_gaps, matched_findings, stem_em
from stopcut.setting.request import LineSetting, SettingRequest
from stopcut.setting.set_out import set_out


def gaps_at(family: str, words: str, openness: float) -> list[float]:
    request = SettingRequest(2000, 400, 10, (LineSetting(set_in(family, words), 60, openness=openness),), 0.0)
    return [letter.gap_after_mm for letter in set_out(request).lines[0].letters if letter.gap_after_mm is not None]


@pytest.mark.parametrize("openness", [0.6, 1.0, 1.7])
def test_gaps_measured_on_our_own_setting_give_its_openness_back_and_leave_nothing_over(openness: float) -> None:
    words = "RO AN LE"
    matched = match_gaps(set_in("Spectral", words), gaps_at("Spectral", words, openness), 60)
    assert matched.openness == pytest.approx(openness, abs=0.02)
    assert [one.pair for one in matched.left_over] == ["RO", "AN", "LE"]
    assert all(abs(one.left_mm) < 0.1 for one in matched.left_over)


def test_what_one_openness_cannot_match_is_left_over_and_sums_to_nothing() -> None:
    exact = gaps_at("Josefin Sans", "HE NI", 1.0)
    matched = match_gaps(set_in("Josefin Sans", "HE NI"), [exact[0] + 2, exact[1] - 2], 60)
    assert matched.openness == pytest.approx(1, abs=1e-6)
    assert [one.left_mm for one in matched.left_over] == pytest.approx([-2, 2])
    (finding,) = matched_findings(matched, stem_mm=6)
    assert finding.severity is Severity.LOOK
    assert "HE -2.0 mm" in finding.says
    assert "of 6 mm" in finding.says


def test_openness_stays_within_its_range() -> None:
    assert match_gaps(plain("HI"), [500.0], 60).openness == 4
    assert match_gaps(plain("HI"), [-50.0], 60).openness == 0


def test_a_gap_without_its_pair_is_refused() -> None:
    with pytest.raises(ValueError, match="each pair a gap"):
        match_gaps(plain("HI TO"), [3.0], 60)
    with pytest.raises(ValueError, match="two letters"):
        match_gaps(plain("HIT"), [3.0, 3.0], 60)


def test_a_stem_of_a_tenth_of_the_capitals_is_a_tenth_of_their_height_in_em() -> None:
    """Duerer: the broad stroke is a tenth of the letter's height."""
    assert stem_em(6, 60, 0.7) == pytest.approx(0.07)
