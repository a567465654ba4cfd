"""Papers by name and by their sides, the same for settings and for the command line."""

import pytest

from archgen.config import read_config
from archgen.papers import PAPERS, parse_paper
from archgen.printing.page import make_sheet


@pytest.mark.parametrize("text", ["a4", " A4 ", "210 x 297 mm", "297 × 210 mm", "210x297mm", "21 x 29,7 cm"])
def test_a_paper_has_a_name_or_two_sides_and_stands_upright(text):
    paper = parse_paper(text)
    assert (paper.width_mm, paper.height_mm) == (210, 297)


@pytest.mark.parametrize("text", ["A9", "", "210 x 297", "210 mm", "10 x 20 mm", "210 x 2100 mm", "foolscap"])
def test_an_unknown_paper_is_refused_with_what_is_allowed(text):
    with pytest.raises(ValueError, match=r"A4|between 50 mm"):
        parse_paper(text)


@pytest.mark.parametrize("text", [*PAPERS, "8.5 x 11 in", "1200 x 900 mm"])
def test_what_the_settings_take_can_be_printed_on(tmp_path, text):
    (tmp_path / "archive.toml").write_text(f'[printer]\npaper = "{text}"\n')
    printer = read_config(tmp_path).printer
    assert make_sheet(printer).paper == parse_paper(text)
