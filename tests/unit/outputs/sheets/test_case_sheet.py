import dataclasses
import datetime as dt

import msgspec
import pytest

from archgen.config import PrinterSettings
from archgen.outputs.sheets.case_sheet import CaseSheets
from archgen.outputs.sheets.view import case_sheet
from archgen.papers import parse_paper
from archgen.picture_facts.facts import Derivative, ImageFacts
from archgen.pieces.survey import survey
from archgen.records import model
from tests.builders import make_catalogue, make_piece, make_record


def quick_facts(path):
    """Facts of a picture that is never opened."""
    copies = tuple(Derivative(width, width * 5 // 4, f"{width}.jpg") for width in (1600, 800, 400, 200))
    return ImageFacts(
        path=path,
        digest="",
        file_format="PNG",
        width=800,
        height=1000,
        screen=copies,
        print_copy=copies[1],
    )


def quick_catalogue(tmp_path, *pieces, **changes):
    """A catalogue whose pictures are never drawn."""
    return make_catalogue(tmp_path, *pieces, facts_of=quick_facts, **changes)


def sheet_in(catalogue):
    surveyed = survey(catalogue)
    overview = next(iter(surveyed.overviews.values()))
    return case_sheet(overview, overview.record, surveyed)


def sheet_of(tmp_path, catalogue_changes=None, **record_changes):
    piece = make_piece(record=make_record(**record_changes))
    return sheet_in(quick_catalogue(tmp_path, piece, **(catalogue_changes or {})))


def fact(sheet, label):
    return next(cell.value for cell in sheet.facts if cell.label == label)


def keys(catalogue, tmp_path):
    return {artifact.path: artifact.key for artifact in CaseSheets(survey(catalogue), tmp_path / "blobs").artifacts()}


# ---------------------------------------------------------------- which files


def test_every_readable_piece_has_one_sheet_and_a_broken_one_has_none(tmp_path):
    broken = model.Piece(id="2026-05-01-broken", record=None)
    assert list(keys(quick_catalogue(tmp_path, make_piece(), broken), tmp_path)) == ["2026-03-14-barn-owl.pdf"]


def test_an_unrelated_piece_changes_no_other_sheet(tmp_path):
    owl, moth = make_piece(), make_piece("2026-04-01-moth", make_record(title="Moth"))
    alone = keys(quick_catalogue(tmp_path, owl), tmp_path)
    together = keys(quick_catalogue(tmp_path, owl, moth), tmp_path)
    assert alone["2026-03-14-barn-owl.pdf"] == together["2026-03-14-barn-owl.pdf"]


def test_what_shapes_a_sheet_changes_its_key(tmp_path):
    catalogue = quick_catalogue(tmp_path, make_piece())
    path = "pieces/2026-03-14-barn-owl/photos/owl-healed.jpg"
    other = msgspec.structs.replace(
        catalogue.facts[path],
        screen=tuple(msgspec.structs.replace(c, blob="x.jpg") for c in catalogue.facts[path].screen),
    )
    changed = [
        dataclasses.replace(
            catalogue, config=dataclasses.replace(catalogue.config, printers=(PrinterSettings(paper="Letter"),))
        ),
        dataclasses.replace(catalogue, inks={}),
        dataclasses.replace(catalogue, facts={**catalogue.facts, path: other}),
    ]
    assert len({str(keys(one, tmp_path)) for one in (catalogue, *changed)}) == 4


def test_another_day_alone_makes_no_other_sheet(tmp_path):
    catalogue = quick_catalogue(tmp_path, make_piece())
    tomorrow = dataclasses.replace(catalogue, built_on=catalogue.built_on + dt.timedelta(days=1))
    assert keys(tomorrow, tmp_path) == keys(catalogue, tmp_path)


# ---------------------------------------------------------------- what it says


def test_the_wrap_follows_from_width_and_girth(tmp_path):
    # 360 × 80 / 310 = 92.9: the limb taken as a cylinder.
    sheet = sheet_of(
        tmp_path, size=model.Size(width=model.Length(80)), placement=model.Placement(girth=model.Length(310))
    )
    assert fact(sheet, "Round the limb") == "wraps 93°; girth 310 mm, measured"


def test_more_than_half_round_the_limb_is_said(tmp_path):
    sheet = sheet_of(
        tmp_path, size=model.Size(width=model.Length(100)), placement=model.Placement(girth=model.Length(170))
    )
    assert "not all of it is seen from one side" in fact(sheet, "Round the limb")


def test_nothing_is_made_up_for_what_is_not_recorded(tmp_path):
    piece = make_piece(record=model.PieceRecord(title="Swallow"), notes=None)
    sheet = sheet_in(quick_catalogue(tmp_path, piece))
    assert [cell.label for cell in sheet.facts if cell.value] == ["Photo release", "Portfolio"]
    assert not any([sheet.photos, sheet.drawing, sheet.needles, sheet.inks, sheet.follow_up, sheet.notes])


def test_fresh_and_healed_stand_side_by_side(tmp_path):
    captions = [photo.caption for photo in sheet_of(tmp_path).photos]
    assert captions == [("Fresh", "14 Mar 2026, day 0"), ("Healed", "14 May 2026, day 61")]


def test_a_photo_alone_is_printed_from_a_larger_copy_than_one_of_two(tmp_path):
    healed = (model.Photo(file="photos/owl-healed.jpg", stage=model.Stage.HEALED),)
    piece = make_piece(record=make_record(photo=healed), photos=("pieces/2026-03-14-barn-owl/photos/owl-healed.jpg",))
    assert [photo.blob for photo in sheet_in(quick_catalogue(tmp_path, piece)).photos] == ["1600.jpg"]
    assert [photo.blob for photo in sheet_of(tmp_path).photos] == ["800.jpg", "800.jpg"]


def test_a_cover_of_another_stage_comes_first(tmp_path):
    photos = (
        model.Photo(file="photos/a.jpg", stage=model.Stage.FRESH),
        model.Photo(file="photos/b.jpg", stage=model.Stage.IN_PROGRESS, cover=True),
    )
    assert [photo.caption[0] for photo in sheet_of(tmp_path, photo=photos).photos] == ["In progress", "Fresh"]


def test_a_photo_nobody_described_is_better_than_none(tmp_path):
    piece = make_piece(record=model.PieceRecord(title="Swallow"), photos=("pieces/2026-03-14-barn-owl/photos/x.jpg",))
    assert len(sheet_in(quick_catalogue(tmp_path, piece)).photos) == 1


def test_an_unreadable_picture_is_left_out(tmp_path):
    sheet = sheet_of(tmp_path, catalogue_changes={"facts": {}})
    assert (sheet.photos, sheet.drawing, sheet.versions[0].picture) == ((), None, None)


@pytest.mark.parametrize(
    ("expiry", "warning"),
    [
        (dt.date(2026, 3, 13), "expired before it was used"),
        (dt.date(2026, 3, 14), "expired by now"),
        (dt.date(2026, 11, 25), ""),
    ],
)
def test_an_expired_ink_is_said_in_words(tmp_path, expiry, warning):
    ink = model.InkBatch(batch="GW2-2231", expiry=expiry)
    assert sheet_of(tmp_path, catalogue_changes={"inks": {"GW2-2231": ink}}).inks[0].warning == warning


def test_a_recalled_ink_is_said_in_words(tmp_path):
    ink = model.InkBatch(batch="GW2-2231", recalled=dt.date(2026, 5, 2))
    assert sheet_of(tmp_path, catalogue_changes={"inks": {"GW2-2231": ink}}).inks[0].warning == "recalled 2 May 2026"


def test_a_batch_that_is_not_registered_is_said(tmp_path):
    assert sheet_of(tmp_path, catalogue_changes={"inks": {}}).inks[0].warning == "batch not in the ink register"


def test_a_reference_without_a_right_is_said(tmp_path):
    row = sheet_of(tmp_path, reference=(model.Reference(file="references/a.jpg"),)).references[0]
    assert row.warning == "no right recorded"
    assert row.cells[2:] == ("Ask first", "No", "No")


def test_what_a_reference_was_made_from_and_that_one_was_only_looked_at_is_said(tmp_path):
    merged = model.Reference(file="references/m.jpg", made_from=("references/a.jpg",))
    source = model.Reference(file="references/a.jpg", license="InC")
    unused = model.Reference(file="references/u.jpg", used=False)
    rows = sheet_of(tmp_path, reference=(merged, source, unused)).references
    assert "made from a.jpg (in copyright)" in rows[0].cells[0]
    assert rows[0].cells[2:] == ("No", "No", "No")
    assert "looked at, not drawn from" in rows[2].cells[0]
    assert (rows[2].cells[2:], rows[2].warning) == (("–", "–", "–"), "")


def test_a_stencil_that_is_stored_mirrored_is_turned(tmp_path):
    stencil = model.Stencil(file="stencils/a.png", width=model.Length(50), mirrored=True)
    assert sheet_of(tmp_path, stencil=(stencil,)).drawing.turned


def test_the_paper_of_the_printer_decides(tmp_path):
    catalogue = quick_catalogue(tmp_path, make_piece())
    config = dataclasses.replace(catalogue.config, printers=(PrinterSettings(paper="Legal"),))
    assert sheet_of(tmp_path, catalogue_changes={"config": config}).paper == parse_paper("Legal")
