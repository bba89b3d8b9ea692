import pytest

from stopcut.errors import CarverError, Finding, Severity, Where
from stopcut.job.new import demo_job_text
from stopcut.job.read import parse_job
from stopcut.options.testpiece import piece_of, piece_text, riskiest
from stopcut.work import Work


@pytest.fixture(scope="module")
def work() -> Work:
    return Work(parse_job(demo_job_text()))


def _points(line: int, index: int, severity: Severity = Severity.LOOK) -> Finding:
    return Finding("thin-stroke", severity, "says", "remedy", Where(line, index))


def test_what_the_findings_point_at_comes_first(work):
    findings = (_points(1, 5, Severity.NOTE), _points(2, 4))
    chosen = riskiest(work.setting, work.grooves, findings)
    assert [(risk.line, risk.index, risk.char) for risk in chosen[:2]] == [(2, 4, "o"), (1, 5, "O")]
    assert len(chosen) == 3


def test_without_findings_thin_strokes_and_corners_decide_and_no_letter_comes_twice(work):
    chosen = riskiest(work.setting, work.grooves, ())
    assert len({(risk.line, risk.char) for risk in chosen}) == 3
    assert all(risk.line == 2 for risk in chosen)  # the smaller line has the thinner strokes
    assert [risk.risk for risk in chosen] == sorted((risk.risk for risk in chosen), reverse=True)


def test_the_piece_is_a_job_of_these_letters_at_their_size_and_cut(work):
    chosen = riskiest(work.setting, work.grooves, (_points(1, 1), _points(2, 6)))
    piece = Work(parse_job(piece_text(work.job, work.setting, chosen)))
    assert piece.job.title == "Marrow Lane gate board: test piece"
    for line in piece.setting.lines:
        whole = next(
            own for own in work.setting.lines if own.cap_height_mm == pytest.approx(line.cap_height_mm, abs=0.01)
        )
        assert all(char in whole.words for char in line.words)
        assert line.family == whole.family
    assert {line.wall_deg for line in piece.job.lines} == {60}
    assert {line.flat_bottom_mm for line in piece.job.lines} == {12}
    assert sum(len(line.letters) for line in piece.setting.lines) == 3
    assert piece.job.board.thickness_mm == work.job.board.thickness_mm
    assert piece.job.board.wood == "lime"


def test_the_letters_fit_the_piece_and_it_is_an_offcut(work):
    piece = Work(parse_job(piece_of(work)))
    assert not [finding for finding in piece.setting.findings if finding.severity == Severity.STOP]
    assert piece.job.board.width_mm < work.job.board.width_mm / 3
    assert piece.job.board.width_mm % 10 == 0


def test_what_is_about_the_whole_board_is_left_out(tmp_path):
    leaf = '<svg xmlns="http://www.w3.org/2000/svg"><circle cx="5" cy="5" r="4"/></svg>'
    (tmp_path / "leaf.svg").write_text(leaf, encoding="utf-8")
    text = demo_job_text().replace('align = "centre" ', 'align = "spread" ') + (
        '[border]\ninset = 12\nstroke = 4\n[[avoid]]\nwhat = "knot"\nx = 5\ny = 5\nradius = 2\n'
        '[[ornament]]\nfile = "leaf.svg"\nx = 5\ny = 5\nwidth = 4\n'
    )
    work = Work(parse_job(text, base_folder=tmp_path))
    piece = parse_job(piece_text(work.job, work.setting, riskiest(work.setting, work.grooves, ())))
    assert piece.border is None
    assert piece.avoid == piece.ornaments == ()
    assert piece.wanted_by is None
    assert {line.align for line in piece.lines} == {"centre"}
    assert all(line.shifts == () for line in piece.lines)


def test_a_job_that_fits_its_letters_to_the_board_is_tried_at_the_size_they_came_out():
    text = demo_job_text().replace("cap_height = 60", 'cap_height = "fit"').replace('units = "mm"', 'units = "mm"')
    work = Work(parse_job(text))
    piece = parse_job(piece_text(work.job, work.setting, riskiest(work.setting, work.grooves, (_points(1, 1),))))
    assert piece.lines[0].height_mm == pytest.approx(work.setting.lines[0].cap_height_mm, abs=0.01)


def test_no_letters_no_piece(work):
    with pytest.raises(CarverError, match="no letter"):
        piece_text(work.job, work.setting, ())


def test_the_carver_s_comments_stay_in_the_piece(work):
    text = piece_text(work.job, work.setting, riskiest(work.setting, work.grooves, (_points(2, 4),)))
    assert "# a family name, or the path of a font file" in text
    assert "# anything of [lettering] or [groove] may be set again for a line" in text


@pytest.mark.parametrize("margin", [3, 140])
def test_lines_written_as_one_list_and_any_margin_give_the_same_piece(work, margin):
    lines = '[{ words = "MARROW LANE" }, { words = "PLOT", shifts = [{ pair = "PL", by = "1 mm" }] }]'
    board = f"board = {{ width = 900, height = 300, thickness = 28, margin = {margin} }}"
    groove = 'lettering = { face = "Cinzel", cap_height = 60 }'
    own = Work(parse_job(f'format = 1\ntitle = "Plots"\n{board}\n{groove}\nline = {lines}\n'))
    piece = parse_job(piece_text(own.job, own.setting, riskiest(own.setting, own.grooves, (_points(2, 1),), most=1)))
    assert [(line.words, line.cap_height_mm, line.shifts) for line in piece.lines] == [("P", 60, ())]
    assert piece.board.margin_mm == 15
    assert piece.board.width_mm < 200
