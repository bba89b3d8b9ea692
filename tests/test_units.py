"""Lengths and angles as carvers write them. The inch is 25.4 mm exactly (ISO 80000-3, NIST SP 811)."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stopcut.units import format_angle, format_length, format_volume, parse_angle, parse_length, parse_share

# Usual chisel widths in inches and what they are in mm (conversion by the inch of 25.4 mm).
WIDTHS_IN = {
    "1/8": 3.175,
    "3/16": 4.7625,
    "1/4": 6.35,
    "3/8": 9.525,
    "1/2": 12.7,
    "5/8": 15.875,
    "3/4": 19.05,
    "1": 25.4,
}

WRITTEN = [
    ("55 mm", 55),
    ("55mm", 55),
    ("5.5 cm", 55),
    ("0.5 m", 500),
    (".5 m", 500),
    ("1 m 20 cm", 1200),
    ("2 1/4 in", 57.15),
    ("2-1/4 in", 57.15),
    ('2 1/4"', 57.15),
    ("2¼ in", 57.15),
    ("½″", 12.7),
    ("7/8 inch", 22.225),
    ("3 INCHES", 76.2),
    ("1 ft 3 in", 381),
    ("1 foot", 304.8),
    ("1' 3 1/2\"", 393.7),
    ("1'3\"", 381),
    ("4 feet", 1219.2),
    ("-1 1/2 in", -38.1),
    ("−2 mm", -2),
    ("+2 mm", 2),
    ("  12  ", 12),
]

NO_LENGTH = [
    "",
    " ",
    "mm",
    "five mm",
    "5 furlongs",
    "5.5.5 mm",
    "1 2 mm",
    "1/0 in",
    "1/2/3 in",
    "3 in 1 ft",
    "1 ft 3",
    "1 in 2 in",
    "1e5 mm",
    "0x10 mm",
    "٣ mm",
    "5 mm mm",
    "nan",
    "inf mm",
    "--5 mm",
    "9" * 400 + " mm",
]


@pytest.mark.parametrize(("text", "mm"), WRITTEN)
def test_a_length_is_read_as_a_carver_writes_it(text: str, mm: float) -> None:
    assert parse_length(text) == pytest.approx(mm, abs=1e-12)


@pytest.mark.parametrize(("inches", "mm"), WIDTHS_IN.items())
def test_chisel_widths_in_inches_are_exact_in_mm(inches: str, mm: float) -> None:
    assert parse_length(f"{inches} in") == mm
    assert parse_length(inches, "in") == mm


@pytest.mark.parametrize("text", NO_LENGTH)
def test_what_is_no_length_is_refused_by_its_own_words(text: str) -> None:
    with pytest.raises(ValueError, match="is no length"):
        parse_length(text)


def test_a_comma_in_a_number_is_never_guessed_at() -> None:
    with pytest.raises(ValueError, match="write it with a point"):
        parse_length("5,5 cm")


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf, 10**400, True, False, None, [5], {"mm": 5}, b"5 mm"])
def test_only_finite_numbers_and_words_are_lengths(value: object) -> None:
    with pytest.raises(ValueError, match="is no length"):
        parse_length(value)


def test_a_number_too_large_once_it_is_in_mm_is_no_length() -> None:
    with pytest.raises(ValueError, match="is no length"):
        parse_length(1.7e308, "in")


def test_a_bare_number_is_in_the_units_of_the_job() -> None:
    assert parse_length(2.25, "in") == 57.15
    assert parse_length(2.25, "mm") == 2.25
    assert parse_length("7 mm", "in") == 7


@pytest.mark.parametrize(
    ("mm", "text"),
    [(55, "55 mm"), (8.66, "8.7 mm"), (0, "0 mm"), (-0.01, "0 mm"), (-3.25, "-3.2 mm"), (1234.5, "1234.5 mm")],
)
def test_mm_are_shown_to_a_tenth(mm: float, text: str) -> None:
    assert format_length(mm) == text


@pytest.mark.parametrize(
    ("mm", "text"),
    [
        (57.15, "2 1/4 in"),
        (22.225, "7/8 in"),
        (25.4, "1 in"),
        (0, "0 in"),
        (0.2, "0 in"),
        (-0.2, "0 in"),
        (-38.1, "-1 1/2 in"),
        (25.3, "1 in"),
        (381, "15 in"),
    ],
)
def test_inches_are_shown_as_fractions_in_lowest_terms(mm: float, text: str) -> None:
    assert format_length(mm, "in") == text


def test_a_fine_rule_shows_sixty_fourths() -> None:
    assert format_length(25.4 / 64, "in", finest=64) == "1/64 in"
    assert format_length(25.4 / 64 * 3, "in", finest=32) in ("1/16 in", "1/32 in")


@given(st.floats(-30_000, 30_000))
def test_what_is_shown_in_mm_reads_back_to_a_twentieth(mm: float) -> None:
    assert parse_length(format_length(mm)) == pytest.approx(mm, abs=0.05 + 1e-9)


@given(st.floats(-30_000, 30_000), st.sampled_from([8, 16, 32, 64]))
def test_what_is_shown_in_inches_reads_back_to_half_a_step(mm: float, finest: int) -> None:
    assert parse_length(format_length(mm, "in", finest=finest)) == pytest.approx(mm, abs=25.4 / finest / 2 + 1e-9)


@given(st.integers(-20_000, 20_000))
def test_a_fraction_of_an_inch_is_shown_and_read_exactly(steps: int) -> None:
    mm = float(Fraction(steps, 64) * Fraction(254, 10))
    assert parse_length(format_length(mm, "in", finest=64)) == mm


@given(st.integers(0, 40), st.integers(0, 11), st.integers(0, 31))
def test_feet_inches_and_fractions_add_up(feet: int, inches: int, steps: int) -> None:
    text = f"{feet} ft {inches} {steps}/32 in"
    assert parse_length(text) == float((12 * feet + inches + Fraction(steps, 32)) * Fraction(254, 10))


@given(st.text(max_size=30))
def test_no_text_does_worse_than_be_no_length(text: str) -> None:
    for read in (parse_length, parse_angle, parse_share):
        try:
            value = read(text)
        except ValueError:
            continue
        assert math.isfinite(value)


@pytest.mark.parametrize(
    ("text", "degrees"), [("60", 60), ("60°", 60), ("57.5 deg", 57.5), ("-5 degrees", -5), (60, 60)]
)
def test_an_angle_is_read_with_or_without_its_sign(text: object, degrees: float) -> None:
    assert parse_angle(text) == degrees


@pytest.mark.parametrize("value", ["", "x60", "60 rad", "1/2", True, None, math.nan])
def test_what_is_no_angle_is_refused(value: object) -> None:
    with pytest.raises(ValueError, match="is no angle"):
        parse_angle(value)


def test_an_angle_is_shown_to_a_tenth() -> None:
    assert [format_angle(degrees) for degrees in (60, 57.25, -0.01)] == ["60°", "57.2°", "0°"]


@pytest.mark.parametrize(
    ("text", "share"), [("1.2 %", 0.012), ("-3%", -0.03), ("−3 %", -0.03), ("+.5 %", 0.005), ("100 %", 1)]
)
def test_a_percentage_is_a_share_of_one(text: str, share: float) -> None:
    assert parse_share(text) == pytest.approx(share, abs=1e-15)


@pytest.mark.parametrize("text", ["", "%", "1.2", "1.2 mm", "1,2 %", "one %"])
def test_what_is_no_percentage_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="is no percentage"):
        parse_share(text)


def test_volumes_are_in_cubic_centimetres_or_cubic_inches() -> None:
    # A cubic inch is 16.387064 cm³ exactly, the inch being 25.4 mm (NIST SP 811, B.8).
    assert format_volume(16387.064) == "16.4 cm³"
    assert format_volume(16387.064, "in") == "1.0 in³"
    assert format_volume(0.0, "in") == "0.0 in³"
