"""Stages, releases, placements, severities: each is worded in one place."""

import datetime as dt

import msgspec
import pytest

from archgen.findings import Severity
from archgen.pieces.missing import Gap, Missing
from archgen.publication.decision import Publication, decide_publication
from archgen.records import model
from archgen.wording.missing import missing_words
from archgen.wording.pieces import (
    STAGE_WORDS,
    day_or_written,
    photo_alt,
    place_of,
    placement_words,
    portfolio_cell,
    portfolio_words,
    references_mark,
    release_mark,
    release_words,
    sources_words,
    time_or_written,
    version_number,
    visits_words,
)
from archgen.wording.questions import SEVERITY_WORDS
from tests.builders import make_piece, make_record, paper_catalogue

DAY = dt.date(2026, 3, 14)
Status = model.ReleaseStatus


def test_every_stage_and_severity_has_words():
    assert set(STAGE_WORDS) == {*model.Stage, None}
    assert set(SEVERITY_WORDS) == set(Severity)
    assert len({said.shape for said in SEVERITY_WORDS.values()}) == len(Severity)


@pytest.mark.parametrize(
    ("status", "expires", "words", "shape", "asks"),
    [
        (Status.GRANTED, None, "granted", "release-granted", False),
        (Status.GRANTED, DAY, "granted", "release-granted", False),
        (Status.GRANTED, DAY - dt.timedelta(days=1), "ended 13 Mar 2026", "release-notasked", True),
        (Status.NOT_ASKED, None, "not asked", "release-notasked", True),
        (Status.REFUSED, None, "refused", "release-refused", False),
        (Status.WITHDRAWN, None, "withdrawn; date not recorded", "release-withdrawn", False),
    ],
)
def test_a_release_is_worded_alike_everywhere(status, expires, words, shape, asks):
    release = model.Release(status=status, expires=expires)
    assert release_words(release, DAY) == words
    mark = release_mark(release, DAY)
    assert (mark.words, mark.shape, mark.asks) == (f"Release {words}", shape, asks)


@pytest.mark.parametrize(
    ("release", "written", "words", "shape"),
    [
        (model.Release(withdrawn=DAY), None, "withdrawn 14 Mar 2026", "release-withdrawn"),
        (model.Release(status=Status.GRANTED, withdrawn=DAY), None, "withdrawn 14 Mar 2026", "release-withdrawn"),
        (
            model.Release(status=Status.GRANTED, date=DAY + dt.timedelta(days=1)),
            None,
            "granted from 15 Mar 2026",
            "release-notasked",
        ),
        (model.Release(status=Status.GRANTED, date=DAY), None, "granted", "release-granted"),
        (model.Release(), '"perhaps"', 'not understood ("perhaps", as written)', "release-notasked"),
        (model.Release(withdrawn=DAY), '"perhaps"', 'not understood ("perhaps", as written)', "release-notasked"),
    ],
)
def test_days_of_a_release_and_what_is_not_understood_are_worded(release, written, words, shape):
    mark = release_mark(release, DAY, written)
    assert (mark.words, mark.shape) == (f"Release {words}", shape)


@pytest.mark.parametrize(
    ("shown", "is_there", "words"),
    [
        (True, True, "In the portfolio"),
        (True, None, "In the portfolio"),
        (True, False, "Allowed, but the portfolio wasn't renewed"),
        (False, True, "Still in the portfolio"),
        (False, False, "Kept out of the portfolio"),
    ],
)
def test_whether_a_piece_is_in_the_portfolio_is_what_its_folder_says(shown, is_there, words):
    publication = Publication(wanted=True, shown=shown, is_forbidden=not shown, reasons=())
    assert portfolio_words(publication, is_there=is_there) == words


def rights_of_piece(tmp_path, *references, found=()):
    piece = make_piece(record=make_record(reference=references))
    piece = msgspec.structs.replace(piece, references=tuple(f"{piece.folder}/{file}" for file in found))
    return decide_publication(piece, paper_catalogue(tmp_path, piece))


OWN = model.Reference(file="references/a.jpg", license="own-work")


@pytest.mark.parametrize(
    ("references", "found", "shape"),
    [
        ((), (), "rights-recorded"),
        ((OWN,), (), "rights-recorded"),
        ((model.Reference(license="InC", used=False),), (), "rights-recorded"),
        ((OWN, model.Reference(license="InC")), (), "rights-refused"),
        ((OWN, model.Reference(license="UND")), (), "rights-hold"),
        ((OWN, model.Reference()), (), "rights-missing"),
        ((OWN,), ("references/film.jpg",), "rights-missing"),
    ],
)
def test_the_references_a_piece_rests_on_have_one_mark(tmp_path, references, found, shape):
    assert references_mark(rights_of_piece(tmp_path, *references, found=found)).shape == shape


def test_what_a_picture_was_made_from_is_one_phrase(tmp_path):
    merged = model.Reference(file="references/m.jpg", made_from=("references/a.jpg", "references/b.jpg"))
    other = model.Reference(file="references/b.jpg", license="CC-BY-4.0", creator="A", made_from=("references/c.jpg",))
    publication = rights_of_piece(tmp_path, merged, OWN, other)
    words = sources_words(publication.references[0].sources)
    assert words == "a.jpg (own work) and b.jpg (CC BY 4.0, from c.jpg (not recorded))"


@pytest.mark.parametrize(
    ("side", "words"),
    [(model.Side.LEFT, "Outer forearm, left"), (model.Side.CENTRE, "Outer forearm"), (None, "Outer forearm")],
)
def test_the_middle_is_not_a_side(side, words):
    assert placement_words(model.Placement(region="forearm-outer", side=side)) == words


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"alt": "An owl"}, "An owl"),
        ({"stage": model.Stage.IN_PROGRESS}, "Owl, in progress"),
        ({"stage": model.Stage.HEALED, "alt": "An owl"}, "An owl"),
        ({}, "Owl"),
    ],
)
def test_a_photo_is_read_out_by_its_words_else_by_title_and_stage(changes, words):
    assert photo_alt("Owl", model.Photo(file="a.jpg", **changes)) == words


@pytest.mark.parametrize(
    ("visits", "words"),
    [
        ((1, 0), "1 sitting"),
        ((2, 0), "2 sittings"),
        ((2, 1), "2 sittings, 1 touch-up"),
        ((0, 2), "0 sittings, 2 touch-ups"),
    ],
)
def test_touch_ups_are_counted_apart(visits, words):
    assert visits_words(visits) == words


@pytest.mark.parametrize(
    ("wanted", "shown", "words", "cell"),
    [
        (True, True, "In the portfolio", "Shown"),
        (True, False, "Kept out of the portfolio", "Wanted, not shown"),
        (False, False, "Not meant for the portfolio", "Kept private"),
    ],
)
def test_whether_a_piece_is_shown_is_said_in_full_and_in_short(wanted, shown, words, cell):
    publication = Publication(wanted, shown, (), (), (), ())
    assert (portfolio_words(publication), portfolio_cell(publication)) == (words, cell)


def test_a_version_is_called_by_its_number():
    assert version_number(model.Stencil(file="a.png", version=0)) == "Version 0"
    assert version_number(model.Stencil(file="a.png")) == "No version recorded"


def test_what_is_missing_is_named_once_in_one_order():
    gaps = (Gap(Missing.STYLES), Gap(Missing.INK_BATCH, "ink.0"), Gap(Missing.INK_BATCH, "ink.1"), Gap(Missing.DATE))
    assert missing_words(gaps) == ("the day it was finished", "ink batches", "styles")


def test_what_is_missing_from_one_photo_is_told_by_a_finding():
    assert missing_words((Gap(Missing.PHOTO_ALT, "photo.0"), Gap(Missing.PHOTO), Gap(Missing.COVER))) == ()


@pytest.mark.parametrize(
    ("written", "words"),
    [
        ("inner calf", "Side of the calf, left, “inner calf”, as written"),
        ("side of calf", "Side of the calf, left"),
        (None, "Side of the calf, left"),
    ],
)
def test_what_the_list_of_places_cannot_hold_is_shown_as_written(written, words):
    placement = model.Placement(region="calf-side", side=model.Side.LEFT)
    piece = model.Piece(id="owl", record=make_record(placement=placement), place_as_written=written)
    assert place_of(piece) == words


@pytest.mark.parametrize(
    ("placement", "written", "words"),
    [
        (model.Placement(side=model.Side.LEFT), {"placement.region": '"wrist"'}, "“wrist”, as written, left"),
        (model.Placement(region="calf"), {"placement.side": '"up"'}, "Calf, “up”, as written"),
        (model.Placement(), {"placement.side": '"up"'}, "Side “up”, as written"),
        (model.Placement(side=model.Side.LEFT), {}, "Side left"),
        (model.Placement(), {}, None),
    ],
)
def test_what_is_not_understood_of_a_place_is_shown_as_written(placement, written, words):
    kept = tuple(model.AsWritten(key=key, text=text) for key, text in written.items())
    assert place_of(make_piece(record=make_record(placement=placement), as_written=kept)) == words


def test_a_day_or_a_time_that_is_not_understood_is_shown_as_written():
    assert day_or_written(DAY, None) == "14 Mar 2026"
    assert day_or_written(None, '"07/03/2026"') == "“07/03/2026”, as written"
    assert day_or_written(None, None) == "Date not recorded"
    assert time_or_written(3.5, None) == "3 h 30 min"
    assert time_or_written(None, '"long"') == "“long”, as written"
    assert time_or_written(None, None) is None
