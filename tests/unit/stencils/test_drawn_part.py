import numpy as np
import pytest
from PIL import Image

from archgen.picture_facts.facts import Role
from archgen.stencils import drawn_part
from tests.unit.images.pictures import blob, codes, line_art, read_one


@pytest.fixture
def folder(tmp_path):
    made = tmp_path / "in"
    made.mkdir()
    return made


def scanned(drawing: Image.Image, paper: int = 232, ink: int = 40) -> Image.Image:
    tones = np.asarray(drawing, float) / 255 * (paper - ink) + ink
    return Image.fromarray((tones + np.random.default_rng(5).normal(0, 3, tones.shape)).clip(0, 255).astype(np.uint8))


def test_the_printed_copy_is_the_drawing_cut_out_at_full_size(folder):
    drawing = line_art(5000, 4000, (1000, 700, 4400, 3300))
    drawing.save(folder / "s.png")
    facts = read_one(folder, "s.png", Role.STENCIL).facts
    assert facts.marks == (1000, 700, 4400, 3300)
    with Image.open(blob(folder, facts.print_copy.blob)) as printed:
        assert printed.mode == "L"
        assert printed.tobytes() == drawing.crop(facts.marks).tobytes()
    assert (facts.screen[0].width, facts.screen[0].height) == (2500, 2000)


def test_grainy_paper_is_not_taken_for_marks(folder):
    scanned(line_art(900, 700, (100, 120, 801, 601))).save(folder / "s.png")
    facts = read_one(folder, "s.png", Role.STENCIL).facts
    assert np.abs(np.array(facts.marks) - (100, 120, 801, 601)).max() <= 1
    with Image.open(blob(folder, facts.print_copy.blob)) as printed:
        levels = np.asarray(printed)
    assert np.median(levels) == 255
    assert levels.min() == 0


def test_the_edges_of_a_large_scan_are_found_to_the_pixel():
    gray = scanned(line_art(4500, 3100, (611, 407, 3805, 2603)))
    assert np.abs(np.array(drawn_part.marks_box(gray)) - (611, 407, 3805, 2603)).max() <= 1


def test_black_on_white_is_printed_as_drawn():
    drawing = line_art()
    assert drawn_part.on_white(drawing) is drawing


@pytest.mark.parametrize("tone", [255, 240, 0])
def test_a_sheet_of_one_tone_is_told(folder, tone):
    Image.new("L", (200, 100), tone).save(folder / "s.png")
    result = read_one(folder, "s.png", Role.STENCIL)
    assert codes(result) == ["image.blank-stencil"]
    assert result.facts.marks is None
    assert (result.facts.print_copy.width, result.facts.print_copy.height) == (200, 100)


def test_an_svg_is_drawn(folder):
    (folder / "s.svg").write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 50"><rect x="10" y="5" width="80" height="40"/></svg>'
    )
    facts = read_one(folder, "s.svg", Role.STENCIL).facts
    assert (facts.file_format, facts.width, facts.height) == ("SVG", 3000, 1500)
    assert facts.marks == (300, 150, 2700, 1350)


def test_a_pdf_is_drawn(folder):
    line_art(600, 400, (60, 40, 540, 360)).save(folder / "s.pdf")
    facts = read_one(folder, "s.pdf", Role.STENCIL).facts
    assert (facts.file_format, facts.width, facts.height) == ("PDF", 3000, 2000)
    assert np.abs(np.array(facts.marks) - (300, 200, 2700, 1800)).max() <= 5


@pytest.mark.parametrize(("name", "content"), [("s.svg", b"<svg"), ("s.pdf", b"%PDF-1.7 nothing"), ("s.svg", b"")])
def test_a_broken_vector_file_is_one_finding(folder, name, content):
    (folder / name).write_bytes(content)
    result = read_one(folder, name, Role.STENCIL)
    assert result.facts is None
    assert codes(result)[0].startswith("image.")
    assert len(result.findings) == 1
