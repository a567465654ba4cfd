"""From a record, or a picture with its width, to a print job."""

import datetime as dt

import msgspec
import pytest
from PIL import Image, ImageDraw

from archgen.config import Config, PrinterSettings
from archgen.errors import InputError, UsageError
from archgen.pieces.prints import (
    WantedPrint,
    check_paper,
    choose,
    image_job,
    piece_job,
    printer_named,
    read_for,
    stencil_job,
    version_words,
)
from archgen.printing.page import Rect
from archgen.records import model
from tests.builders import make_piece, make_record

DAY = dt.date(2026, 3, 14)
DRAWING = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 60"><rect x="5" y="5" width="20" height="50"/></svg>'


def stencil(number, width=60, **changes):
    width = None if width is None else model.Length(width)
    return model.Stencil(**{"file": f"stencils/{number}.png", "version": number, "width": width, **changes})


def piece_of(*stencils, **changes):
    return make_piece("owl", make_record(stencil=stencils), **changes)


def chosen(piece, *versions):
    return [one.file for one in choose(piece, versions)]


def test_the_version_on_the_skin_is_meant_unless_another_is_named():
    piece = piece_of(stencil(1), stencil(2, applied=True))
    assert chosen(piece) == ["stencils/2.png"]
    assert chosen(piece, "1") == ["stencils/1.png"]
    assert chosen(piece, "v2", "stencils/1.png", "1.png", "1") == ["stencils/2.png"] + ["stencils/1.png"] * 3
    assert chosen(piece_of(stencil(7))) == ["stencils/7.png"]


@pytest.mark.parametrize(
    ("piece", "versions", "said"),
    [
        (piece_of(stencil(1), stencil(2)), (), "no stencil says"),
        (piece_of(stencil(1, applied=True), stencil(2, None, applied=True)), (), "2 stencils say"),
        (piece_of(stencil(1), stencil(2)), (), "1 (60 mm wide), 2 (60 mm wide)"),
        (piece_of(stencil(1), stencil(None, None, file="stencils/x.png")), ("3",), "1 (60 mm wide), x.png (no width"),
        (piece_of(), (), "is empty"),
        (piece_of(stencils=("pieces/owl/stencils/x.png",)), (), 'file = "stencils/x.png"'),
        (model.Piece(id="owl", record=None), (), "is empty"),
    ],
)
def test_what_is_not_clear_is_asked_back_with_what_there_is(piece, versions, said):
    with pytest.raises(UsageError) as stopped:
        choose(piece, versions)
    assert said in str(stopped.value)


def test_a_version_whose_file_is_missing_is_not_meant():
    away = {"missing": ("stencils/2.png",)}
    assert chosen(piece_of(stencil(1), stencil(2, None), **away)) == ["stencils/1.png"]
    assert chosen(piece_of(stencil(1, None), stencil(2), **away)) == ["stencils/1.png"]
    assert chosen(piece_of(stencil(1), stencil(2, applied=True), **away)) == ["stencils/2.png"]
    with pytest.raises(UsageError) as stopped:
        choose(piece_of(stencil(1), stencil(2), stencil(3), **away))
    assert "1 (60 mm wide), 3 (60 mm wide)." in str(stopped.value)


def test_a_width_does_not_say_which_version_went_on_the_skin():
    with pytest.raises(UsageError, match="Which one went on the skin"):
        choose(piece_of(stencil(1, None), stencil(2)))


def test_a_version_is_called_by_its_number_else_by_its_file():
    assert version_words(stencil(2)) == "Version 2"
    assert version_words(stencil(None, file="stencils/x.png")) == "x.png"


def wanted(**changes):
    return WantedPrint(PrinterSettings(dpi=254), DAY, **changes)


@pytest.fixture
def archive(tmp_path):
    folder = tmp_path / "pieces" / "owl" / "stencils"
    folder.mkdir(parents=True)
    for number in (1, 2):
        picture = Image.new("L", (400, 600), 255)
        ImageDraw.Draw(picture).rectangle((50, 50, 249, 549), fill=0)
        picture.save(folder / f"{number}.png")
    (folder / "3.svg").write_text(DRAWING)
    return tmp_path


def test_a_job_says_what_the_record_says(archive):
    piece = piece_of(stencil(1, 62, mirrored=True))
    job = piece_job(archive, piece, wanted(paper="Letter", mirror=False, dated="x"))
    (made,) = job.stencils
    assert (job.title, job.day, job.paper, job.mirror, job.dated) == ("Barn owl", DAY, "Letter", False, "x")
    assert (made.width_mm, made.height_mm, made.stored_mirrored, made.label) == (62.0, None, True, "Version 1")
    assert made.marks.box == (50, 50, 250, 550)
    assert stencil_job(archive, piece, piece.record.stencil[0], wanted()).stencils[0].width_mm == 62.0


def test_what_is_asked_for_counts_before_the_record(archive):
    region = Rect(1, 2, 3, 4)
    asked = wanted(height_mm=80.0, percent=50.0, copies=None, region=region)
    (made,) = piece_job(archive, piece_of(stencil(1)), asked).stencils
    assert (made.width_mm, made.height_mm, made.percent, made.copies, made.region) == (None, 80.0, 50.0, None, region)


def test_several_versions_are_one_job(archive):
    job = piece_job(archive, piece_of(stencil(1), stencil(2)), wanted(versions=("2", "1")))
    assert [one.label for one in job.stencils] == ["Version 2", "Version 1"]


def test_without_a_width_nothing_is_printed_and_other_widths_are_named(archive):
    with pytest.raises(UsageError, match=r"A width is recorded for 2 \(60 mm wide\)"):
        piece_job(archive, piece_of(stencil(1, None, applied=True), stencil(2)), wanted())
    with pytest.raises(UsageError, match="--width 62mm") as stopped:
        piece_job(archive, piece_of(stencil(1, None)), wanted())
    assert "A width is recorded" not in str(stopped.value)


def test_a_missing_file_is_told_before_its_width_is_asked(archive):
    with pytest.raises(InputError, match="no such file"):
        piece_job(archive, piece_of(stencil(9, None)), wanted())


def test_a_picture_of_its_own_needs_a_size(archive):
    file = archive / "pieces/owl/stencils/1.png"
    with pytest.raises(UsageError, match="--height"):
        image_job(file, wanted())
    job = image_job(file, wanted(height_mm=50.0), stored_mirrored=True)
    assert (job.title, job.stencils[0].label, job.stencils[0].stored_mirrored) == ("1", "", True)
    assert image_job(file, wanted(width_mm=20.0)).stencils[0].width_mm == 20.0


@pytest.mark.parametrize(
    ("sides", "across"),
    [
        ((100.0, None), 2362),  # 600 dots to the inch
        ((None, 100.0), 945),  # its marks are 20 wide and 50 high
        ((100.0, 999.0), 2362),
        ((0.5, None), 816),  # never coarser, so that its edges lie where they are
    ],
)
def test_a_drawing_of_lines_is_drawn_as_fine_as_the_printer_prints(archive, sides, across):
    marks = read_for(archive / "pieces/owl/stencils/3.svg", 254, *sides)
    assert marks.box[2] - marks.box[0] == pytest.approx(across, rel=0.01)


def test_the_share_that_is_asked_for_counts_for_the_dots(archive):
    piece = piece_of(stencil(3, 50, file="stencils/3.svg"))
    box = piece_job(archive, piece, wanted(percent=200.0)).stencils[0].marks.box
    assert box[2] - box[0] == pytest.approx(2362, rel=0.01)


def test_a_file_that_is_not_there_is_said(tmp_path):
    with pytest.raises(InputError, match="no such file"):
        read_for(tmp_path / "x.png", 600, 60.0)


def test_a_printer_is_known_by_its_name(tmp_path):
    thermal = PrinterSettings(name="thermal")
    config = Config(tmp_path, printers=(PrinterSettings(), thermal))
    assert printer_named(config, None) is config.printers[0]
    assert printer_named(config, "thermal") is thermal
    with pytest.raises(UsageError, match="default, thermal"):
        printer_named(config, "termal")


def test_a_paper_is_known_by_its_name():
    assert (check_paper(None), check_paper("legal")) == (None, "Legal")
    with pytest.raises(UsageError, match="foolscap"):
        check_paper("foolscap")


def test_a_piece_of_the_folder_is_found_in_it(archive):
    moved = msgspec.structs.replace(piece_of(stencil(1)), id="elsewhere")
    with pytest.raises(InputError):
        piece_job(archive, moved, wanted())
