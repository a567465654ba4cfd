"""archgen reprint: every option once, every bad input once."""

import subprocess
import sys
from io import StringIO

import pikepdf
import pytest
from PIL import Image

from archgen.outputs.reprints import working_print
from archgen.outputs.reprints.registration import ReferencePlace, Registration
from archgen.printing.reference_pdf import PrintedLandmark
from archgen.records.find import find_piece
from tests import printed_page
from tests.cli.archive import add_piece, draw_f


def pages(path):
    with pikepdf.open(path) as pdf:
        return len(pdf.pages)


def test_the_applied_version_is_printed_at_its_recorded_width(terminal):
    ran = terminal.run("reprint", "owl")
    assert ran.code == 0
    assert "Barn owl, version 2: 50 × 75 mm, mirrored for ink-jet" in ran.out
    assert [path.name for path in terminal.written] == ["2026-03-14-barn-owl-v2-50mm.pdf"]
    assert str(terminal.written[0]) in ran.out


@pytest.mark.parametrize(
    ("typed", "piece_id"),
    [
        ("2026-03-14-barn-owl", "2026-03-14-barn-owl"),
        ("2026", "2026-03-14-barn-owl"),
        ("Barn Owl", "2026-03-14-barn-owl"),
        ("frohliche", "2025-09-02-fern"),
        ("RANKE", "2025-09-02-fern"),
    ],
)
def test_a_piece_is_meant_by_id_beginning_or_words(terminal, typed, piece_id):
    assert find_piece(terminal.root, typed) == piece_id


BROKEN = """titel = “Snowy owl”
client = C-9
just a line
[release
status = yes
[[sitting]]
date = 07/03/2026
[[stencil]]
file = "Snow.PNG"
width = 31
hours = [1, 2
"""


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("snowy", "owl"), "Snowy owl, snow.png: 31 × 46.5 mm"),
        (("the", "snowy", "owl"), "31 × 46.5 mm"),
        (("Snow", "&", "ice"), "31 × 46.5 mm"),
        (("snowy", "--width", "4cm"), "40 × 60 mm"),
    ],
)
def test_a_stencil_with_a_size_prints_from_a_record_full_of_mistakes(terminal, words, said):
    add_piece(terminal.root, "Snow & ice 🦉", BROKEN, "Snow.png")
    ran = terminal.run("reprint", *words, "--plan")
    assert ran.code == 0
    assert said in ran.out


def test_a_length_without_a_unit_is_in_that_of_the_archive(terminal):
    (terminal.root / "archive.toml").write_text('[archive]\nunits = "in"\n')
    record = 'title = "Heron"\n[[stencil]]\nfile = "stencils/h.png"\nwidth = 2\n'
    add_piece(terminal.root, "heron", record, "h.png")
    assert "50.8 × 76.2 mm" in terminal.run("reprint", "heron", "--plan").out


def test_a_title_may_be_typed_without_quotes(terminal):
    assert terminal.run("reprint", "barn", "owl", "--plan").code == 0


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--width", "5cm"), "50 × 75 mm"),
        (("--width", "2.5in"), "63.5 × 95.2 mm"),
        (("--height", "60 mm"), "40 × 60 mm"),
        (("--percent", "50"), "25 × 37.5 mm"),
        (("--width", "60mm", "--percent", "150"), "90 × 135 mm"),
        (("--printer", "thermal"), "not mirrored for thermal"),
        (("--paper", "letter"), "1 sheet of Letter"),
        (("--paper", "210 x 297 mm"), "1 sheet of 210 × 297 mm"),
        (("--no-mirror",), "usually mirrored"),
        (("--printer", "thermal", "--mirror"), "mirrored for thermal"),
        (("--region", "5", "5", "20", "20"), "of it 20.0 × 20.0 mm"),
        (("--copies", "3"), "3 stencils to cut apart"),
        (("--copies", "fit"), "stencils to cut apart"),
        (("--version", "1"), "version 1: 40 × 60 mm"),
        (("--version", "owl-1"), "version 1: 40 × 60 mm"),
        (("--version", "1", "--version", "2"), "2 stencils to cut apart"),
        (("--fit", "200mm"), "50 mm wraps 90° of a girth of 200 mm"),
        (("--width", "500mm"), "to be joined at the crosses"),
        (("--percent", "100"), "corrected by +0.6% across and +0.0% along"),
    ],
)
def test_a_dry_run_says_what_would_be_printed_and_writes_nothing(terminal, options, said):
    ran = terminal.run("reprint", "owl", "--plan", *options)
    assert ran.code == 0, ran.err
    assert said in ran.out
    assert terminal.written == []


def test_several_versions_share_a_sheet(terminal):
    terminal.run("reprint", "owl", "--version", "1", "--version", "2", "--out", "two.pdf")
    assert pages("two.pdf") == 1


def test_a_large_stencil_is_tiled(terminal):
    terminal.run("reprint", "owl", "--width", "500mm", "--out", "large.pdf")
    assert pages("large.pdf") > 4


def test_a_working_print_lies_beside(terminal):
    ran = terminal.run("reprint", "owl", "--reference", "--tones", "4")
    assert ran.code == 0, ran.err
    assert terminal.written[0].name.endswith("-reference.pdf")
    assert "bare skin" in ran.out


@pytest.mark.parametrize(("more", "to_scale"), [((), False), (("--yes",), True)])
def test_a_place_found_on_the_reference_is_shown_and_counts_after_a_yes(terminal, monkeypatch, more, to_scale):
    marks = (PrintedLandmark((100, 100), (100, 100)), PrintedLandmark((499, 699), (499, 699)))
    found = Registration(ReferencePlace.PROPOSED, marks, ((100.0, 100.0), (499.0, 120.0)))
    monkeypatch.setattr(working_print, "register", lambda *_: found)
    ran = terminal.run("reprint", "owl", "--reference", *more)
    assert ran.code == 0, ran.err
    assert "Look whether its lines lie right" in ran.out
    assert ("NOT TO SCALE" in ran.out) != to_scale
    assert ("checked by eye" in ran.out) == to_scale
    shown = next(path for path in terminal.written if path.name.endswith("-look-reference.png"))
    with Image.open(shown) as picture:
        assert picture.getpixel((round(100 * 1400 / 800), round(100 * 1400 / 800))) == (236, 54, 160)


def test_the_viewer_opens_what_was_written(terminal, monkeypatch):
    opened = []
    monkeypatch.setattr("click.launch", opened.append)
    terminal.run("reprint", "owl", "--out", "owl.pdf", "--open")
    assert opened == ["owl.pdf"]


@pytest.mark.parametrize("suffix", [".png", ".svg"])
def test_a_picture_outside_the_archive_needs_its_width_only(terminal, suffix):
    file = terminal.root.parent / f"swallow{suffix}"
    if suffix == ".png":
        draw_f(file)
    else:
        file.write_text('<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><path d="M2 2h4v2H2z"/></svg>')
    ran = terminal.run("reprint", "--image", file, "--height", "45mm", "--out", "swallow.pdf")
    assert ran.code == 0, ran.err
    assert "× 45 mm, mirrored" in ran.out


def test_a_picture_needs_no_archive(terminal, tmp_path, monkeypatch):
    elsewhere = tmp_path / "elsewhere"
    draw_f(elsewhere / "f.png")
    monkeypatch.chdir(elsewhere)
    assert terminal.run("reprint", "--image", "f.png", "--width", "40mm").code == 0


@pytest.mark.parametrize(
    ("code", "words", "said"),
    [
        (2, ("owk",), "2026-03-14-barn-owl"),
        (2, ("20",), "Type more of the name"),
        (2, (), "Name a piece"),
        (2, ("owl", "--image", "x.png"), "one of the two"),
        (2, ("moth",), "--version: 1 (no width recorded), 2 (30 mm wide)"),
        (2, ("moth", "--version", "1"), "A width is recorded for 2 (30 mm wide)"),
        (2, ("owl", "--version", "9"), "There is 1 (40 mm wide), 2 (50 mm wide)"),
        (2, ("bare",), "has no stencil"),
        (2, ("broken",), "has no stencil"),
        (4, ("without",), "piece.toml"),
        (2, ("owl", "--width", "0mm"), "more than zero"),
        (2, ("owl", "--width", "-5mm"), "a length is a number with its unit"),
        (2, ("owl", "--width", "90"), "a length is a number with its unit"),
        (2, ("owl", "--width", "2.1m"), "up to 2 m"),
        (2, ("owl", "--height", "2.1m"), "up to 2 m"),
        (2, ("owl", "--width", "50mm", "--height", "50mm"), "not both"),
        (2, ("owl", "--percent", "0"), "Nothing can be printed at 0 %"),
        (2, ("owl", "--paper", "A9"), "cannot be used"),
        (2, ("owl", "--printer", "thermos"), 'Nearest: "thermal"'),
        (2, ("owl", "--region", "45", "5", "20", "20"), "not inside the design"),
        (2, ("owl", "--region", "a", "5", "20", "20"), "left, top, width and height"),
        (2, ("owl", "--copies", "0"), "copies"),
        (2, ("owl", "--copies", "many"), "copies"),
        (2, ("owl", "--tones", "40", "--reference"), "tones"),
        (2, ("fern", "--reference"), "no reference picture"),
        (2, ("owl", "--fit", "1mm"), "girth"),
        (2, ("owl", "--at-least", "5mm"), "can't be asked for"),
        (2, ("owl", "fern", "--gang", "--version", "1"), "leave out --version"),
        (2, ("owl", "nobody", "--gang"), "nobody"),
        (2, ("owl", "--at-least", "0.3mm"), "too coarse to tell"),
        (2, ("--image", "f.png"), "How wide"),
        (4, ("--image", "nowhere.png", "--width", "40mm"), "no such file"),
        (4, ("--image", "text.png", "--width", "40mm"), "text.png"),
        (4, ("--image", "empty.png", "--width", "40mm"), "empty.png"),
        (4, ("--image", "black.png", "--width", "40mm"), "black.png"),
        (4, ("owl", "--out", "content/pieces/new.pdf"), "lies among your pieces"),
        (4, ("owl", "--out", "content"), "is a folder"),
        (4, ("owl", "--out", "f.png"), "something else"),
        (4, ("owl", "--archive", "nowhere"), "There is no folder"),
    ],
)
def test_what_cannot_be_printed_is_said_in_one_line_and_nothing_is_written(terminal, code, words, said):
    draw_f(terminal.root.parent / "f.png")
    (terminal.root.parent / "text.png").write_text("no picture")
    Image.new("L", (300, 300), 255).save(terminal.root.parent / "empty.png")
    Image.new("L", (300, 300), 0).save(terminal.root.parent / "black.png")
    before = terminal.written
    assert said in terminal.refused(code, "reprint", *words)
    assert terminal.written == before


def test_two_applied_versions_are_asked_about(terminal):
    twice = "".join(
        f'[[stencil]]\nfile = "stencils/{n}.png"\nversion = {n}\nwidth = "3{n} mm"\napplied = true\n' for n in (1, 2)
    )
    add_piece(terminal.root, "2022-02-02-koi", f'title = "Koi"\n{twice}', "1.png", "2.png")
    assert "2 stencils say applied = true" in terminal.refused(2, "reprint", "koi")
    assert "1 (31 mm wide), 2 (32 mm wide)" in terminal.refused(2, "reprint", "koi")


def test_margins_that_leave_no_room_are_a_matter_of_the_settings(terminal):
    (terminal.root / "archive.toml").write_text('[printer]\nmargin = "100 mm"\n')
    assert "leave no room" in terminal.refused(3, "reprint", "owl")


def test_a_full_disk_leaves_no_part_of_a_file(terminal, monkeypatch):
    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("pathlib.Path.replace", full)
    assert "no space left" in terminal.refused(4, "reprint", "owl", "--out", "owl.pdf")
    assert terminal.written == []


def test_only_the_piece_itself_is_read(terminal):
    (terminal.root / "clients.toml").write_text("not toml at all [")
    add_piece(terminal.root, "2020-01-01-worse", "\0")
    assert terminal.run("reprint", "owl", "--plan").code == 0


def test_thickened_lines_are_shown_beside_the_original_and_nothing_is_printed_without_a_yes(terminal):
    before = (terminal.root / "pieces/2026-03-14-barn-owl/stencils/owl-2.png").read_bytes()
    ran = terminal.run("reprint", "owl", "--at-least", "1.5mm")
    assert ran.code == 0, ran.err
    assert "1 line thinner than 1.5 mm would be drawn that wide" in ran.out
    assert "Nothing is printed yet: look at the picture, then add --yes." in ran.out
    assert [path.name for path in terminal.written] == ["2026-03-14-barn-owl-v2-50mm-lines-1.5mm-look.png"]
    assert (terminal.root / "pieces/2026-03-14-barn-owl/stencils/owl-2.png").read_bytes() == before


def test_thickened_lines_are_printed_with_a_yes_and_the_sheet_says_so(terminal):
    ran = terminal.run("reprint", "owl", "--at-least", "1.5mm", "--yes")
    assert "version 2: 50 × 75 mm, lines thickened to 1.5 mm, mirrored" in ran.out
    assert [path.name for path in terminal.written] == [
        "2026-03-14-barn-owl-v2-50mm-lines-1.5mm-look.png",
        "2026-03-14-barn-owl-v2-50mm-lines-1.5mm.pdf",
    ]


@pytest.mark.parametrize(("answer", "printed"), [("y\n", True), ("n\n", False)])
def test_somebody_at_the_terminal_is_asked_about_thickened_lines(terminal, monkeypatch, answer, printed):
    typed = StringIO(answer)
    typed.isatty = lambda: True
    monkeypatch.setattr(sys, "stdin", typed)
    assert "Print it so?" in terminal.run("reprint", "owl", "--at-least", "1.5mm").out
    assert any(path.suffix == ".pdf" for path in terminal.written) == printed


@pytest.mark.parametrize("suffix", ["jpg", "tif"])
def test_a_file_whose_dots_are_not_square_says_so_on_its_sheet(terminal, tmp_path, pdftotext, suffix):
    art = Image.new("L", (600, 400), 255)
    art.paste(0, (100, 100, 500, 300))
    art.save(tmp_path / f"fax.{suffix}", dpi=(200, 100))
    ran = terminal.run("reprint", "--image", str(tmp_path / f"fax.{suffix}"), "--width", "60mm", "--out", "fax.pdf")
    assert "fax: 60 × 60 mm, stretched as its file says, mirrored" in ran.out
    assert "Take care: The file says that its dots aren't square" in ran.out
    sheet = subprocess.run([pdftotext, "fax.pdf", "-"], check=True, capture_output=True, text=True).stdout
    assert "60 × 60 mm · stretched as its file says" in sheet


def test_specks_are_named_with_what_they_cost_and_left_out_when_asked(terminal, tmp_path):
    art = Image.new("1", (1600, 1200), 1)
    art.paste(0, (500, 300, 1500, 900))
    for place in ((100, 80), (1560, 40), (300, 1100)):
        art.paste(0, (*place, place[0] + 2, place[1] + 2))
    art.save(tmp_path / "dusty.png")
    asked = ("reprint", "--image", str(tmp_path / "dusty.png"), "--width", "58mm")
    found = terminal.run(*asked, "--plan").out
    assert "dusty: 58 × 42.1 mm, mirrored" in found
    assert (
        "Take care: 3 specks lie far from the drawing, the first 100 pixels from the left of the picture and 80 from "
        "the top. The width counts up to them, so the drawing prints 32% smaller than without them. With "
        "--without-specks the drawing itself is 58.0 mm wide instead of 39.7."
    ) in found
    ran = terminal.run(*asked, "--without-specks")
    assert "dusty: 58 × 34.8 mm, 3 specks left out, mirrored" in ran.out
    assert "Take care" not in ran.out
    (written,) = (path for path in terminal.written if path.suffix == ".pdf")
    assert written.name == "dusty-58mm-without-specks.pdf"
    assert printed_page.size_complaints(written.read_bytes(), 58 / 0.994, 34.8) == []
    taller = terminal.run("reprint", "--image", str(tmp_path / "dusty.png"), "--height", "40mm", "--plan").out
    assert "With --without-specks the drawing is printed alone." in taller


def test_a_stencil_without_thin_lines_prints_as_it_is_without_a_question(terminal):
    ran = terminal.run("reprint", "owl", "--at-least", "0.5mm")
    assert "No line is thinner than 0.5 mm: it prints as it is." in ran.out
    assert [path.name for path in terminal.written] == ["2026-03-14-barn-owl-v2-50mm.pdf"]


def test_a_plan_with_thickened_lines_writes_nothing(terminal):
    assert "would be drawn" in terminal.run("reprint", "owl", "--at-least", "1.5mm", "--plan").out
    assert terminal.written == []


def test_stencils_of_several_pieces_share_a_sheet_each_named_and_turned_as_it_needs(terminal):
    ran = terminal.run("reprint", "--gang", "owl", "fern", "--out", "gang.pdf")
    assert ran.code == 0, ran.err
    assert "Barn owl, version 2: 50 × 75 mm, mirrored for ink-jet" in ran.out
    assert "Fröhliche Ranke, a.png: 40 × 60 mm, mirrored for ink-jet" in ran.out
    assert "1 sheet of A4, 2 stencils to cut apart" in ran.out
    assert pages("gang.pdf") == 1
    with pikepdf.open("gang.pdf") as pdf:
        assert len([name for name in pdf.pages[0].Resources.XObject if name.startswith("/Stencil")]) == 2


def test_a_gang_is_named_after_its_pieces(terminal):
    terminal.run("reprint", "--gang", "owl", "fern")
    assert [path.name for path in terminal.written] == ["gang-2026-03-14-barn-owl-2025-09-02-fern.pdf"]
