"""Stencils kept ready to print: which, for which printers, and exactly as wide as recorded."""

from dataclasses import replace

import msgspec
import pytest
from PIL import Image, ImageDraw

from archgen.config import PrinterSettings
from archgen.outputs.reprints.stencil_reprint import StencilReprints, print_path
from archgen.pieces.survey import survey
from archgen.wording.ready_prints import ready_words, sheets_words
from tests.builders import make_catalogue, make_piece, make_record
from tests.printed_page import placed_images


@pytest.fixture
def catalogue(tmp_path):
    found = make_catalogue(tmp_path)
    for path in found.pieces[0].stencils:
        picture = Image.new("L", (800, 1000), 255)
        ImageDraw.Draw(picture).rectangle((200, 200, 599, 799), outline=0, width=20)
        (tmp_path / path).parent.mkdir(parents=True, exist_ok=True)
        picture.save(tmp_path / path)
    printers = (PrinterSettings(measured_x_mm=99.0), PrinterSettings(name="thermal", method="thermal", paper="Letter"))
    return replace(found, config=replace(found.config, printers=printers))


def prints_of(catalogue):
    (overview,) = survey(catalogue).overviews.values()
    return overview.prints


def artifacts(catalogue):
    return list(StencilReprints(survey(catalogue)).artifacts())


def test_the_buttons_name_paper_hand_and_width(catalogue):
    assert [(ready_words(one, "mm"), sheets_words(one)) for one in prints_of(catalogue)] == [
        ("Stencil for ink-jet transfer paper, mirrored, 57 mm wide", "1 sheet of A4"),
        ("Stencil for thermal paper, not mirrored, 57 mm wide", "1 sheet of Letter, printer thermal"),
        ("Stencil for ink-jet transfer paper, mirrored, 65 mm wide", "1 sheet of A4"),
    ]


def test_each_print_has_a_file_of_its_own(catalogue):
    paths = [artifact.path for artifact in artifacts(catalogue)]
    assert [print_path(one) for one in prints_of(catalogue)] == [f"reprints/{path}" for path in paths]
    assert paths == [
        "2026-03-14-barn-owl-v2.pdf",
        "2026-03-14-barn-owl-v2-thermal.pdf",
        "2026-03-14-barn-owl-v1.pdf",
    ]


def test_the_marks_are_as_wide_as_recorded_times_the_correction(catalogue):
    first, second, _ = (artifact.make() for artifact in artifacts(catalogue))
    assert placed_images(first)[0].width == pytest.approx(57 * 100 / 99, abs=0.001)
    assert placed_images(second)[0].width == pytest.approx(57, abs=0.001)


def test_a_print_is_made_again_only_when_something_of_it_changed(catalogue):
    keys = [artifact.key for artifact in artifacts(catalogue)]
    assert [artifact.key for artifact in artifacts(catalogue)] == keys
    wider = replace(catalogue.config, printers=(replace(catalogue.config.printer, dpi=300),))
    changed = replace(catalogue, config=wider)
    assert artifacts(changed)[0].key not in keys
    later = replace(catalogue, built_on=catalogue.built_on.replace(year=2030))
    assert [artifact.key for artifact in artifacts(later)] == keys


def test_without_a_width_nothing_is_ready(catalogue):
    record = make_record()
    bare = msgspec.structs.replace(record.stencil[0], width=None)
    piece = make_piece(record=make_record(stencil=(bare,)))
    assert prints_of(replace(catalogue, pieces=(piece,))) == ()


def test_what_cannot_be_printed_says_why(catalogue):
    tight = replace(catalogue.config, printers=(PrinterSettings(margin_mm=100.0),))
    first = prints_of(replace(catalogue, config=tight))[0]
    assert first.name == ""
    assert first.problem
    assert sheets_words(first) == first.problem
    assert artifacts(replace(catalogue, config=tight)) == []
