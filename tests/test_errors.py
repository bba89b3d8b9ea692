"""Faults and refusals read as a carver would say them."""

from stopcut.errors import FaceLacksCharacter, Fault, WrongJob


def test_a_fault_reads_key_line_found_remedy() -> None:
    fault = Fault("cap_hieght", 17, "no such setting", "did you mean cap_height?")
    assert str(fault) == "cap_hieght, line 17: no such setting; did you mean cap_height?"


def test_a_fault_of_the_whole_file_has_no_empty_place() -> None:
    assert (
        str(Fault("", None, "this is a folder", "name the job file in it"))
        == "this is a folder; name the job file in it"
    )


def test_a_wrong_job_tells_all_its_faults() -> None:
    problem = WrongJob((Fault("a", 1, "x", "y"), Fault("b", 2, "x", "y")))
    assert str(problem).splitlines() == ["a, line 1: x; y", "b, line 2: x; y"]


def test_a_lacking_character_names_line_letter_and_faces_that_have_it() -> None:
    problem = FaceLacksCharacter("ø", 2, 4, "Cinzel", ("EB Garamond", "Spectral"))
    assert str(problem) == "Cinzel has no 'ø' (line 2, letter 4). EB Garamond and Spectral have it."
    assert str(FaceLacksCharacter("ø", 2, 4, "Cinzel", ("Spectral",))).endswith("Spectral has it.")
    assert str(FaceLacksCharacter("ø", 2, 4, "Cinzel")).endswith("letter 4).")
