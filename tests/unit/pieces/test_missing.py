"""What a record leaves out, asked once for pages and rules alike."""

import datetime as dt

import pytest

from archgen.pieces.missing import Gap, Missing
from archgen.pieces.survey import survey
from archgen.records import model
from tests.builders import TODAY, make_piece, make_record, paper_catalogue

FRESH = model.Photo(file="photos/f.jpg", stage=model.Stage.FRESH, alt="x", cover=True)
HEALED = model.Photo(file="photos/h.jpg", stage=model.Stage.HEALED, alt="x")
PLACE = model.Placement(region="forearm-outer", girth=model.Length(268))
FULL = {
    "photo": (FRESH, HEALED),
    "placement": PLACE,
    "ink": (model.Ink(batch="X-1"),),
    "sitting": (model.Sitting(date=dt.date(2026, 3, 14), hours=model.Hours(2)),),
}


def gaps(tmp_path, missing=(), **changes):
    piece = make_piece(record=make_record(**{**FULL, **changes}), missing=missing)
    return survey(paper_catalogue(tmp_path, piece)).overviews[piece.id].gaps


def whats(tmp_path, **changes):
    return [gap.what for gap in gaps(tmp_path, **changes)]


def test_a_full_record_lacks_nothing(tmp_path):
    assert gaps(tmp_path) == ()


def stencil(number, **changes):
    return model.Stencil(file=f"stencils/{number}.png", **{"width": model.Length(60), **changes})


@pytest.mark.parametrize(
    ("changes", "missing"),
    [
        ({"finished": None, "sitting": ()}, [Gap(Missing.DATE), Gap(Missing.SITTINGS), Gap(Missing.HOURS)]),
        ({"sitting": (model.Sitting(date=TODAY),)}, [Gap(Missing.HOURS)]),
        ({"size": model.Size()}, [Gap(Missing.SIZE, "size")]),
        ({"size": model.Size(width=model.Length(60))}, []),
        ({"size": model.Size(height=model.Length(60))}, []),
        (
            {"placement": model.Placement()},
            [Gap(Missing.PLACEMENT, "placement"), Gap(Missing.GIRTH, "placement")],
        ),
        ({"placement": model.Placement(region="forearm-outer")}, [Gap(Missing.GIRTH, "placement")]),
        ({"client": None}, [Gap(Missing.CLIENT)]),
        ({"needle": ()}, [Gap(Missing.NEEDLES)]),
        ({"ink": ()}, [Gap(Missing.INKS)]),
        (
            {"ink": (model.Ink(batch="X"), model.Ink(name="black"), model.Ink(use="all"))},
            [Gap(Missing.INK_BATCH, "ink.1", "black"), Gap(Missing.INK_BATCH, "ink.2")],
        ),
        ({"photo": ()}, [Gap(Missing.PHOTO), Gap(Missing.FRESH_PHOTO), Gap(Missing.HEALED_PHOTO)]),
        ({"photo": (FRESH,)}, [Gap(Missing.HEALED_PHOTO)]),
        ({"photo": (HEALED,)}, [Gap(Missing.FRESH_PHOTO)]),
        (
            {"photo": (model.Photo(file="photos/a.jpg"), model.Photo(file="photos/b.jpg"))},
            [
                Gap(Missing.COVER, "photo.0"),
                Gap(Missing.FRESH_PHOTO),
                Gap(Missing.HEALED_PHOTO),
                Gap(Missing.PHOTO_STAGE, "photo.0", "photos/a.jpg"),
                Gap(Missing.PHOTO_STAGE, "photo.1", "photos/b.jpg"),
            ],
        ),
        ({"stencil": ()}, [Gap(Missing.STENCIL)]),
        ({"stencil": (stencil(1, width=None),)}, [Gap(Missing.STENCIL_WIDTH, "stencil.0", "stencils/1.png")]),
        ({"stencil": (stencil(1), stencil(2))}, [Gap(Missing.APPLIED_STENCIL, "stencil.0")]),
        (
            {"stencil": (stencil(1, applied=True), stencil(2, applied=True))},
            [Gap(Missing.APPLIED_STENCIL, "stencil.0")],
        ),
        ({"reference": ()}, [Gap(Missing.REFERENCES)]),
        ({"styles": ()}, [Gap(Missing.STYLES)]),
    ],
)
def test_what_is_not_there_is_missing_and_nothing_else(tmp_path, changes, missing):
    assert list(gaps(tmp_path, **changes)) == missing


@pytest.mark.parametrize(
    ("publish", "changes", "asked"),
    [
        (True, {"alt": None}, True),
        (False, {"alt": None}, False),
        (True, {"alt": None, "publish": False}, False),
        (True, {"alt": "words"}, False),
    ],
)
def test_words_are_missing_from_a_photo_that_is_to_be_shown(tmp_path, publish, changes, asked):
    photo = model.Photo(file="photos/f.jpg", stage=model.Stage.FRESH, **changes)
    found = [gap for gap in gaps(tmp_path, publish=publish, photo=(photo, HEALED)) if gap.what is Missing.PHOTO_ALT]
    assert found == ([Gap(Missing.PHOTO_ALT, "photo.0", "photos/f.jpg")] if asked else [])


@pytest.mark.parametrize(("age", "missing"), [(27, False), (28, True), (900, True)])
def test_a_photo_of_the_healed_work_is_missing_only_once_it_can_be_taken(tmp_path, age, missing):
    found = whats(tmp_path, photo=(FRESH,), finished=TODAY - dt.timedelta(days=age))
    assert (Missing.HEALED_PHOTO in found) is missing


def test_nothing_is_said_of_a_broken_record(tmp_path):
    overview = survey(paper_catalogue(tmp_path, model.Piece(id="broken", record=None))).overviews["broken"]
    assert overview.gaps == ()
    assert not overview.lacks(Missing.CLIENT)


@pytest.mark.parametrize(
    ("changes", "key"),
    [
        ({"placement": model.Placement(girth=model.Length(268))}, "placement.region"),
        ({"size": model.Size()}, "size.width"),
        ({"client": None}, "client"),
        ({"finished": None, "sitting": (model.Sitting(hours=model.Hours(2)),)}, "sitting.0.date"),
        ({"sitting": (model.Sitting(date=dt.date(2026, 3, 14)),)}, "sitting.0.hours"),
        ({"needle": ()}, "needle"),
        ({"stencil": (stencil(1, width=None),)}, "stencil.0.width"),
    ],
)
def test_what_is_there_and_not_understood_is_not_missing_too(tmp_path, changes, key):
    record = make_record(**{**FULL, **changes})

    def lacking(*as_written):
        piece = make_piece(record=record, as_written=as_written)
        return {gap.what for gap in survey(paper_catalogue(tmp_path, piece)).overviews[piece.id].gaps}

    elsewhere = model.AsWritten(key="price.charged", text='"ask"')
    assert len(lacking(elsewhere) - lacking(model.AsWritten(key=key, text='"what"'))) == 1


def test_a_file_that_is_nowhere_has_a_question_of_its_own(tmp_path):
    stencils = {"stencil": (stencil(1), stencil(2, width=None))}
    assert whats(tmp_path, **stencils) == [Missing.APPLIED_STENCIL, Missing.STENCIL_WIDTH]
    assert whats(tmp_path, missing=("stencils/2.png",), **stencils) == []
    photos = {"photo": (FRESH, HEALED, model.Photo(file="photos/x.jpg"))}
    assert whats(tmp_path, **photos) == [Missing.PHOTO_STAGE]
    assert whats(tmp_path, missing=("photos/x.jpg",), **photos) == []
