from stopcut.errors import Finding, Severity, Where
from stopcut.groove.gathered import gathered


def _note(line: int, says: str, code: str = "strengthened", severity: Severity = Severity.NOTE) -> Finding:
    return Finding(code, severity, says, "Nothing to mend.", Where(line=line))


def test_a_few_notes_of_one_kind_are_told_one_by_one() -> None:
    notes = [_note(line, f"Line {line} is stronger.") for line in range(1, 7)]
    assert gathered(notes) == tuple(notes)


def test_many_notes_of_one_kind_are_one_that_names_the_other_lines() -> None:
    (told,) = gathered(_note(line, f"Line {line} is stronger.") for line in range(1, 9))
    assert told.says == "Line 1 is stronger. Likewise lines 2, 3, 4, 5, 6, 7 and 8."
    assert told.where.line == 1


def test_a_thousand_notes_name_a_dozen_lines() -> None:
    (told,) = gathered(_note(line, f"Line {line} is stronger.") for line in range(1, 1001))
    assert told.says == "Line 1 is stronger. Likewise lines 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13 and 987 more."


def test_notes_that_say_the_same_word_for_word_are_told_once() -> None:
    found = gathered([_note(1, "Bold is taken."), _note(2, "Light is taken."), _note(3, "Bold is taken.")])
    assert [one.says for one in found] == ["Bold is taken. Likewise line 3.", "Light is taken."]


def test_what_says_stop_or_look_is_never_gathered_and_comes_first() -> None:
    looks = [_note(line, "Too deep.", "too-deep", Severity.LOOK) for line in range(1, 20)]
    stop = _note(9, "No groove.", "no-groove", Severity.STOP)
    assert gathered([_note(1, "Bold is taken."), *looks, stop]) == (stop, *looks, _note(1, "Bold is taken."))
