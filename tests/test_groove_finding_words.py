import pytest

from stopcut.errors import Severity
from stopcut.groove.finding_words import Case, grouped, is_less, listed, named
from stopcut.shape.outline import polygon
from stopcut.shape.placed import Placed

SHAPE = polygon([(0, 0), (1, 0), (0, 1)])


def _placed(index: int, line: int = 1, char: str = "R") -> Placed:
    return Placed(SHAPE, 1, 0, 0, line=line if index else 0, index=index, char=char)


def _case(index: int, bad: float, line: int = 1, code: str = "too-deep", char: str = "R", cause: str = "") -> Case:
    says = f"{bad:g} is how bad it is."
    return Case(code, Severity.LOOK, _placed(index, line, char), bad, says, "Mend it.", (index, line), cause=cause)


def test_the_worst_letter_of_a_line_speaks_and_the_others_are_named_in_order():
    (finding,) = grouped([_case(3, 1), _case(1, 2), _case(2, 5), _case(4, 3)])
    assert finding.says == "5 is how bad it is. Likewise R (1), R (3) and R (4)."
    assert (finding.where.index, finding.where.x_mm) == (2, 2)


def test_lines_causes_and_codes_are_kept_apart():
    cases = [_case(1, 1), _case(1, 1, line=2), _case(1, 1, code="thin-wood"), _case(1, 1, cause="the knot")]
    assert len(grouped(cases)) == 4


def test_a_letter_counts_once_at_its_worst():
    (finding,) = grouped([_case(1, 1), _case(1, 4), _case(1, 2)])
    assert finding.says == "4 is how bad it is."


def test_many_letters_are_counted_not_read():
    (finding,) = grouped([_case(i, i) for i in range(1, 12)])
    assert finding.says.endswith("R (5), R (6) and 4 more of the line.")


def test_two_ornaments_are_two_findings():
    assert len(grouped([_case(0, 1, char="leaf"), _case(0, 1, char="rose")])) == 2


@pytest.mark.parametrize(
    ("placed", "begins", "words"),
    [
        (_placed(3), True, "R (line 1, letter 3)"),
        (_placed(0, char="border"), False, "the border"),
        (_placed(0, char="border"), True, "The border"),
        (_placed(0, char="leaf"), True, "The ornament leaf"),
    ],
)
def test_everything_has_a_name_that_a_carver_would_use(placed, begins, words):
    assert named(placed, begins=begins) == words


def test_names_stand_in_a_row():
    assert [listed(list("ABC"[:n])) for n in (1, 2, 3)] == ["A", "A and B", "A, B and C"]


def test_what_reads_alike_is_not_less():
    assert is_less(0.9, 1, "mm")
    assert not is_less(0.98, 1, "mm")
    assert not is_less(1.1, 1, "mm")
    assert not is_less(25.2, 25.4, "in")
