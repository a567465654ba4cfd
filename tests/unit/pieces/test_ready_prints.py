"""Which prints are kept ready, and on how many sheets."""

import dataclasses

import msgspec
import pytest

from archgen.config import PrinterSettings
from archgen.pieces.survey import survey
from archgen.records import model
from tests.builders import make_piece, make_record, paper_catalogue, paper_facts

INK_JET = PrinterSettings()
THERMAL = PrinterSettings(name="thermal", method="thermal", paper="Letter")


def stencil(version, width=60, **changes):
    width = None if width is None else model.Length(width)
    return model.Stencil(file=f"stencils/{version}.png", version=version, width=width, **changes)


def prints(tmp_path, *stencils, printers=(INK_JET, THERMAL), found=(), **changes):
    piece = make_piece("owl", make_record(stencil=stencils))
    piece = msgspec.structs.replace(piece, stencils=(*piece.stencils, *found))
    catalogue = paper_catalogue(tmp_path, piece, **changes)
    config = dataclasses.replace(catalogue.config, printers=printers)
    return survey(dataclasses.replace(catalogue, config=config)).overviews["owl"].prints


def test_the_applied_version_comes_first_and_for_every_printer(tmp_path):
    ready = prints(tmp_path, stencil(1), stencil(2, applied=True))
    assert [(one.name, one.is_applied, one.printer) for one in ready] == [
        ("owl-v2", True, INK_JET),
        ("owl-v2-thermal", True, THERMAL),
        ("owl-v1", False, INK_JET),
    ]


def test_the_method_says_which_way_round_it_is_printed(tmp_path):
    ready = prints(tmp_path, stencil(1))
    assert [(one.mirrored, one.sheets, one.paper) for one in ready] == [(True, 1, "A4"), (False, 1, "Letter")]


def test_a_large_stencil_takes_several_sheets(tmp_path):
    # 400 × 600 mm on the 191 × 259 mm of an A4, 12 mm shared: three across and three down.
    assert [one.sheets for one in prints(tmp_path, stencil(1, 400), printers=(INK_JET,))] == [9]


def test_what_cannot_be_printed_keeps_its_place_and_says_why(tmp_path):
    tight = PrinterSettings(margin_mm=100.0)
    (ready,) = prints(tmp_path, stencil(1), printers=(tight,))
    assert (ready.name, ready.sheets, bool(ready.problem)) == ("", 0, True)
    assert not any(one.problem for one in prints(tmp_path, stencil(1)))


@pytest.mark.parametrize("broken", [{"width": None}, {"facts": {}}])
def test_without_a_width_or_a_readable_file_nothing_is_ready(tmp_path, broken):
    facts = {"facts": broken["facts"]} if "facts" in broken else {}
    assert prints(tmp_path, stencil(1, broken.get("width", 60)), **facts) == ()


def test_marks_without_a_width_are_not_printed(tmp_path):
    path = "pieces/owl/stencils/1.png"
    facts = {path: msgspec.structs.replace(paper_facts(path), marks=(300, 200, 300, 800))}
    assert prints(tmp_path, stencil(1), facts=facts) == ()


def test_a_drawing_nobody_described_is_not_printed(tmp_path):
    ready = prints(tmp_path, stencil(1), printers=(INK_JET,), found=("pieces/owl/stencils/x.png",))
    assert [one.name for one in ready] == ["owl-v1"]


def test_a_drawing_without_a_number_is_called_by_its_file(tmp_path):
    named = model.Stencil(file="stencils/Owl Two.png", width=model.Length(60))
    assert [one.name for one in prints(tmp_path, named, printers=(INK_JET,))] == ["owl-owl two.png"]


def test_a_print_knows_the_file_it_is_made_from(tmp_path):
    path = "pieces/owl/stencils/1.png"
    facts = {path: msgspec.structs.replace(paper_facts(path), digest="abc")}
    assert {one.digest for one in prints(tmp_path, stencil(1), facts=facts)} == {"abc"}
