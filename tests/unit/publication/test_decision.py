"""The one place that decides what may be public."""

import dataclasses
import datetime as dt

import pytest

from archgen.catalogue import Twins
from archgen.config import Config, PortfolioSettings
from archgen.findings import Finding, Place, Severity
from archgen.publication.decision import decide_publication
from archgen.publication.public_catalogue import make_public_catalogue, slug
from archgen.records import model
from tests.builders import TODAY, make_piece, make_record, paper_catalogue

GRANTED = model.Release(status=model.ReleaseStatus.GRANTED, scope=("portfolio",))
UNRECORDED = model.Reference(file="references/a.jpg")
OWN = model.Reference(file="references/a.jpg", license="own-work")


def decided(tmp_path, *, piece_changes=None, settings=None, findings=(), **record_changes):
    piece = make_piece(record=make_record(**record_changes), **(piece_changes or {}))
    changes = {"findings": findings}
    if settings:
        changes["config"] = Config(root=tmp_path, portfolio=PortfolioSettings(**settings))
    catalogue = paper_catalogue(tmp_path, piece, **changes)
    return decide_publication(piece, catalogue)


def test_a_complete_piece_is_shown_without_reasons(tmp_path):
    publication = decided(tmp_path)
    assert publication.shown
    assert publication.reasons == ()


def test_a_piece_that_does_not_ask_for_it_stays_in(tmp_path):
    assert not decided(tmp_path, publish=False).shown


def test_a_broken_piece_is_never_shown(tmp_path):
    broken = model.Piece(id="broken", record=None)
    assert not decide_publication(broken, paper_catalogue(tmp_path, broken)).shown


@pytest.mark.parametrize(
    "release",
    [
        model.Release(),
        model.Release(status=model.ReleaseStatus.REFUSED),
        model.Release(status=model.ReleaseStatus.WITHDRAWN, scope=("portfolio",)),
        model.Release(status=model.ReleaseStatus.GRANTED, scope=("print",)),
        model.Release(status=model.ReleaseStatus.GRANTED),
        model.Release(status=model.ReleaseStatus.GRANTED, scope=("portfolio",), expires=TODAY - dt.timedelta(days=1)),
    ],
)
def test_anything_but_a_granted_release_for_the_portfolio_keeps_a_piece_in(tmp_path, release):
    publication = decided(tmp_path, release=release)
    assert not publication.shown
    assert len(publication.reasons) == 1


def test_a_release_counts_on_its_last_day(tmp_path):
    last_day = model.Release(status=model.ReleaseStatus.GRANTED, scope=("portfolio",), expires=TODAY)
    assert decided(tmp_path, release=last_day).shown


def test_releases_need_not_be_asked_for_where_the_studio_says_so(tmp_path):
    assert decided(tmp_path, settings={"require_release": False}, release=model.Release()).shown


@pytest.mark.parametrize("status", [model.ReleaseStatus.REFUSED, model.ReleaseStatus.WITHDRAWN])
def test_what_a_client_refused_stays_in_whatever_the_settings(tmp_path, status):
    release = model.Release(status=status, scope=("portfolio",))
    assert not decided(tmp_path, settings={"require_release": False}, release=release).shown


def test_an_unrecorded_right_keeps_a_piece_in(tmp_path):
    assert not decided(tmp_path, reference=(OWN, UNRECORDED)).shown


def test_an_override_lifts_an_unrecorded_right(tmp_path):
    override = model.RightsOverride(reason="no longer resembles it")
    assert decided(tmp_path, reference=(UNRECORDED,), rights_override=override).shown


def test_rights_need_not_be_recorded_where_the_studio_says_so(tmp_path):
    assert decided(tmp_path, settings={"require_rights": False}, reference=(UNRECORDED,)).shown


def test_nothing_lifts_the_picture_of_a_minor(tmp_path):
    minor = model.Reference(file="references/a.jpg", license="own-work", likeness=model.Likeness.MINOR)
    override = model.RightsOverride(reason="I want to")
    assert not decided(tmp_path, settings={"require_rights": False}, reference=(minor,), rights_override=override).shown


def test_a_question_keeps_a_piece_in_until_the_answer_is_recorded(tmp_path):
    asked = model.Reference(file="references/a.jpg", license="CC-BY-SA-4.0", creator="A. Sample")
    settled = model.Reference(
        file="references/a.jpg", license="CC-BY-SA-4.0", creator="A. Sample", allows=(model.Use.SHOW_TATTOO,)
    )
    assert not decided(tmp_path, reference=(asked,)).shown
    assert decided(tmp_path, reference=(settled,)).shown


def test_an_error_in_the_record_keeps_a_piece_in(tmp_path):
    finding = Finding("record.missing-file", Severity.ERROR, "2026-03-14-barn-owl", Place("x"), "Missing.", "Mend it.")
    assert not decided(tmp_path, findings=(finding,)).shown


def test_an_error_of_one_picture_keeps_only_that_picture_in(tmp_path):
    piece = make_piece()
    catalogue = paper_catalogue(tmp_path, piece)
    facts = {path: facts for path, facts in catalogue.facts.items() if not path.endswith("owl-fresh.jpg")}
    finding = Finding("image.unreadable", Severity.ERROR, piece.id, Place("x"), "Broken.", "Mend it.")
    publication = decide_publication(piece, dataclasses.replace(catalogue, facts=facts, findings=(finding,)))
    assert [photo.file for photo in publication.photos] == ["photos/owl-healed.jpg"]
    assert [left.file for left in publication.left_out] == ["photos/owl-fresh.jpg"]


def test_photos_in_progress_stay_in_unless_asked_for(tmp_path):
    healed = model.Photo(file="photos/b.jpg", stage=model.Stage.HEALED)
    lining = model.Photo(file="photos/a.jpg", stage=model.Stage.IN_PROGRESS)
    wanted = model.Photo(file="photos/c.jpg", stage=model.Stage.IN_PROGRESS, publish=True)
    unwanted = model.Photo(file="photos/d.jpg", stage=model.Stage.HEALED, publish=False)
    publication = decided(tmp_path, photo=(lining, healed, wanted, unwanted))
    assert [photo.file for photo in publication.photos] == ["photos/b.jpg", "photos/c.jpg"]


def test_a_piece_without_a_photo_to_show_stays_in(tmp_path):
    lining = model.Photo(file="photos/a.jpg", stage=model.Stage.IN_PROGRESS)
    assert not decided(tmp_path, photo=(lining,)).shown


def test_the_cover_comes_first_then_healed_before_fresh(tmp_path):
    photos = tuple(
        model.Photo(file=f"photos/{name}.jpg", stage=stage, cover=name == "c")
        for name, stage in (("a", model.Stage.FRESH), ("b", model.Stage.HEALED), ("c", model.Stage.FRESH))
    )
    assert [photo.file[7] for photo in decided(tmp_path, photo=photos).photos] == ["c", "b", "a"]


def test_credits_are_kept_for_licences_that_ask_for_them(tmp_path):
    (piece,) = make_public_catalogue(paper_catalogue(tmp_path)).pieces
    assert [(credit.creator, credit.licence) for credit in piece.credits] == [("A. Sample", "CC BY 4.0")]


def test_own_work_asks_for_no_credit(tmp_path):
    (piece,) = make_public_catalogue(paper_catalogue(tmp_path, make_piece(record=make_record(reference=(OWN,))))).pieces
    assert piece.credits == ()


def test_two_pieces_of_one_title_get_two_addresses_and_the_older_keeps_the_plain_one(tmp_path):
    pieces = (make_piece("2026-03-14-owl"), make_piece("2024-01-01-owl"))
    slugs = [piece.slug for piece in make_public_catalogue(paper_catalogue(tmp_path, *pieces)).pieces]
    assert slugs == ["barn-owl-2", "barn-owl"]


@pytest.mark.parametrize(
    ("title", "expected"), [("Fougère, été", "fougere-ete"), ("夜の蛾", "夜の蛾"), ("../<b>", "b"), ("!!", "")]
)
def test_addresses_are_made_of_letters_and_hyphens(title, expected):
    assert slug(title) == expected


def test_a_title_without_letters_still_gets_an_address(tmp_path):
    piece = make_piece(record=make_record(title="!!"))
    assert make_public_catalogue(paper_catalogue(tmp_path, piece)).pieces[0].slug == "piece"


def frames(*changes, moment=("a", "b", "c")):
    photos = tuple(
        model.Photo(file=f"photos/{name}.jpg", stage=model.Stage.FRESH, **one)
        for name, one in zip("abc", changes, strict=False)
    )
    folder = make_piece().folder
    return photos, Twins(moments=(tuple(f"{folder}/photos/{name}.jpg" for name in moment),))


@pytest.mark.parametrize(
    ("changes", "moment", "shown"),
    [
        (({}, {}, {}), "bca", "b"),  # the sharpest of three
        (({"cover": True}, {}, {}), "bca", "a"),
        (({}, {}, {"publish": True}), "bca", "c"),
        (({}, {"publish": True}, {"publish": True}), "abc", "bc"),  # asked for by name
        (({}, {"publish": False}, {}), "bca", "c"),
        (({}, {}, {}), "bc", "ab"),  # a is no frame of it
    ],
)
def test_one_photo_of_a_moment_is_shown(tmp_path, changes, moment, shown):
    photos, twins = frames(*changes, moment=moment)
    piece = make_piece(record=make_record(photo=photos))
    publication = decide_publication(piece, paper_catalogue(tmp_path, piece, twins=twins))
    assert sorted(photo.file[7] for photo in publication.photos) == list(shown)
    assert len(publication.left_out) == 3 - len(shown)
