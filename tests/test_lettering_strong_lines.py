import pytest

from stopcut.lettering.letters import FaceFacts, Letter, Lettered
from stopcut.lettering.strong_lines import strengthen_line
from stopcut.shape.outline import Outline, polygon
from stopcut.shape.packed import pack_outline, unpack_outline
from stopcut.shape.regions import region_of

# 30 mm high at 40 mm an em; the bar is 1 mm thick.
H = polygon(
    [
        (0, 0),
        (5, 0),
        (5, 14.5),
        (25, 14.5),
        (25, 0),
        (30, 0),
        (30, 30),
        (25, 30),
        (25, 15.5),
        (5, 15.5),
        (5, 30),
        (0, 30),
    ]
).scaled(1 / 40)
I = polygon([(0, 0), (5, 0), (5, 30), (0, 30)]).scaled(1 / 40)  # noqa: E741 (the letter)
O = polygon([(0, 0), (9, 0), (9, 9), (0, 9)], [(1, 1), (1, 8), (8, 8), (8, 1)]).scaled(1 / 40)  # noqa: E741


def _lettered(*shapes: tuple[str, Outline], order: tuple[int, ...] | None = None) -> Lettered:
    face = FaceFacts("Marrow", "Regular", 400, 0.75, None, None, 0.8, -0.2, 0.125)
    letters = tuple(Letter(char, outline, 1.0, 0) for char, outline in shapes)
    return Lettered("".join(char for char, _ in shapes), face, letters, order or tuple(range(len(shapes))))


def test_thin_bars_get_the_asked_width_at_size_and_other_letters_are_left_alone():
    done = strengthen_line(_lettered(("H", H), ("I", I)), 2.5, 40, 1)
    bar = region_of(done.lettered.letters[0].outline.scaled(40), 0.01).intersection(region_of(_strip(), 0.01))
    assert bar.area / 10 == pytest.approx(2.5, abs=0.02)
    assert done.lettered.letters[1].outline == I
    assert done.widened_max_mm == pytest.approx(1.5, abs=0.02)
    (told,) = done.findings
    assert (told.code, told.says.startswith("1 letter of line 1:"), "1.5 mm" in told.says) == (
        "strengthened",
        True,
        True,
    )


def _strip() -> Outline:
    return polygon([(10, -1), (20, -1), (20, 31), (10, 31)])


def test_the_same_letter_twice_as_large_needs_nothing():
    assert strengthen_line(_lettered(("H", H)), 2.5, 120, 1).lettered.letters[0].outline == H


def test_what_counters_do_not_allow_is_one_finding_a_line_with_letters_in_reading_order():
    done = strengthen_line(_lettered(("o", O), ("H", H), ("o", O), order=(2, 1, 0)), 4, 40, 3)
    _, finding = done.findings
    assert finding.code == "still-thin"
    assert (finding.where.line, finding.where.index) == (3, 1)
    assert "not 4 mm" in finding.says
    assert finding.says.endswith("Likewise o (3).")


def test_what_was_kept_is_what_was_made():
    first = strengthen_line(_lettered(("H", H)), 2.2, 40, 1)
    again = strengthen_line(_lettered(("H", H)), 2.2, 40, 1)
    assert first == again
    assert unpack_outline(pack_outline(first.lettered.letters[0].outline)) == first.lettered.letters[0].outline
