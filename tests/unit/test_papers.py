"""Papers by name and by their sides, the same for settings and for the command line."""

import pytest

from archgen.config import read_config
from archgen.papers import PAPERS, parse_paper, sheet_paper
from archgen.printing.page import make_sheet


@pytest.mark.parametrize("text", ["a4", " A4 ", "210 x 297 mm", "297 × 210 mm", "210x297mm", "21 x 29,7 cm"])
def test_a_paper_has_a_name_or_two_sides_and_stands_upright(text):
    paper = parse_paper(text)
    assert (paper.width_mm, paper.height_mm) == (210, 297)


@pytest.mark.parametrize("text", ["8.5 x 11 in", "8 1/2 x 11 in", "11 x 8,5 in", '8 1/2" x 11"'])
def test_inches_are_read_as_they_are_written(text):
    paper = parse_paper(text)
    assert (paper.width_mm, paper.height_mm) == (215.9, 279.4)


@pytest.mark.parametrize("text", ["A9", "", "210 x 297", "210 mm", "10 x 20 mm", "210 x 2100 mm", "foolscap"])
def test_an_unknown_paper_is_refused_with_what_is_allowed(text):
    with pytest.raises(ValueError, match=r"A4|between 50 mm"):
        parse_paper(text)


@pytest.mark.parametrize("text", [*PAPERS, "8.5 x 11 in", "1200 x 900 mm"])
def test_what_the_settings_take_can_be_printed_on(tmp_path, text):
    (tmp_path / "archive.toml").write_text(f'[printer]\npaper = "{text}"\n')
    printer = read_config(tmp_path).printer
    assert make_sheet(printer).paper == parse_paper(text)


@pytest.mark.parametrize(
    "text", ["A4", "A3", "Letter", "Legal", "Tabloid", "8.5 x 11 in", "200 x 260 mm", "300 x 440 mm"]
)
def test_a_sheet_to_read_is_set_on_the_printers_own_paper(text):
    assert sheet_paper(text) == parse_paper(text)


@pytest.mark.parametrize(
    "text", ["A0", "A1", "A2", "A5", "A6", "199 x 260 mm", "200 x 259 mm", "301 x 440 mm", "300 x 441 mm"]
)
def test_on_paper_too_small_or_too_large_to_read_a_sheet_is_an_a4(text):
    assert sheet_paper(text).name == "A4"


@pytest.mark.parametrize("text", ["4 x 6 in", "5 x 7 in", "24 x 36 in", "101.6 x 152.4 mm"])
def test_where_paper_is_measured_in_inches_a_sheet_is_a_letter(text):
    assert sheet_paper(text).name == "Letter"
