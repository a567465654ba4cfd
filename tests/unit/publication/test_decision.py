"""The one place that decides what may be public."""

import dataclasses
import datetime as dt

import msgspec
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
        model.Release(status=model.ReleaseStatus.GRANTED, scope=("portfolio",), withdrawn=TODAY),
        model.Release(status=model.ReleaseStatus.GRANTED, scope=("portfolio",), withdrawn=TODAY + dt.timedelta(days=9)),
        model.Release(status=model.ReleaseStatus.GRANTED, scope=("portfolio",), date=TODAY + dt.timedelta(days=1)),
        model.Release(status=model.ReleaseStatus.GRANTED, scope=("online",)),
        model.Release(status=model.ReleaseStatus.GRANTED, scope=("print",)),
        model.Release(status=model.ReleaseStatus.GRANTED),
        model.Release(status=model.ReleaseStatus.GRANTED, scope=("portfolio",), expires=TODAY - dt.timedelta(days=1)),
    ],
)
def test_anything_but_a_granted_release_for_the_portfolio_keeps_a_piece_in(tmp_path, release):
    publication = decided(tmp_path, release=release)
    assert not publication.shown
    assert len(publication.reasons) == 1


@pytest.mark.parametrize("scope", ["portfolio", "Portfolio", "website", "Studio-Website", "home page"])
def test_the_portfolio_has_other_names_in_a_studio(tmp_path, scope):
    release = model.Release(status=model.ReleaseStatus.GRANTED, scope=("print", scope))
    assert decided(tmp_path, release=release).shown


@pytest.mark.parametrize("dates", [{"expires": TODAY}, {"date": TODAY}])
def test_a_release_counts_on_its_first_and_last_day(tmp_path, dates):
    release = model.Release(status=model.ReleaseStatus.GRANTED, scope=("portfolio",), **dates)
    assert decided(tmp_path, release=release).shown


@pytest.mark.parametrize(
    "release",
    [
        model.Release(withdrawn=TODAY),
        model.Release(expires=TODAY - dt.timedelta(days=1)),
        model.Release(date=TODAY + dt.timedelta(days=1)),
        model.Release(scope=("print",)),
    ],
)
def test_what_a_release_says_counts_where_none_has_to_be_asked_for(tmp_path, release):
    assert not decided(tmp_path, settings={"require_release": False}, release=release).shown


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


RESERVED = model.Reference(file="references/a.jpg", license="InC")
PAST, AHEAD = TODAY - dt.timedelta(days=1), TODAY + dt.timedelta(days=1)


@pytest.mark.parametrize(
    ("reference", "by_setting", "by_override"),
    [
        (UNRECORDED, True, True),
        (model.Reference(file="references/a.jpg", license="UND"), True, True),
        (model.Reference(file="references/a.jpg", permission="references/l.pdf"), True, True),
        (model.Reference(file="references/a.jpg", license="own-work", digital_source="composite"), True, True),
        (model.Reference(file="references/a.jpg", made_from=("references/none.jpg",)), True, True),
        (model.Reference(file="references/a.jpg", license="CC-BY-4.0"), True, True),  # credit is missing
        (RESERVED, False, True),
        (model.Reference(file="references/a.jpg", license="own-work", allows=()), False, True),
        (model.Reference(file="references/a.jpg", license="own-work", expires=PAST), False, True),
        (model.Reference(file="references/a.jpg", license="own-work", obtained=AHEAD), False, True),
        (model.Reference(file="references/a.jpg", license="CC-BY-99"), False, False),
        (model.Reference(file="references/a.jpg", made_from=("references/a.jpg",)), False, False),
    ],
)
def test_the_setting_lifts_what_is_open_and_a_decision_also_a_no_but_never_an_error(
    tmp_path, reference, by_setting, by_override
):
    override = model.RightsOverride(reason="no longer resembles it")
    assert not decided(tmp_path, reference=(reference,)).shown
    assert decided(tmp_path, settings={"require_rights": False}, reference=(reference,)).shown is by_setting
    assert decided(tmp_path, reference=(reference,), rights_override=override).shown is by_override


@pytest.mark.parametrize(("day", "shown"), [(None, True), (PAST, True), (TODAY, True), (AHEAD, False)])
def test_a_decision_counts_from_its_day(tmp_path, day, shown):
    override = model.RightsOverride(reason="no longer resembles it", date=day)
    assert decided(tmp_path, reference=(UNRECORDED,), rights_override=override).shown is shown


@pytest.mark.parametrize("likeness", [model.Likeness.MINOR, model.Likeness.UNKNOWN, model.Likeness.PUBLIC_FIGURE])
def test_only_an_answer_about_the_person_lifts_a_question_about_a_person(tmp_path, likeness):
    everything = {
        "settings": {"require_rights": False, "require_release": False},
        "rights_override": model.RightsOverride(reason="I want to"),
    }
    reference = model.Reference(file="references/a.jpg", license="CC0-1.0", likeness=likeness, allows=tuple(model.Use))
    agreed = msgspec.structs.replace(reference, likeness=model.Likeness.CONSENTED)
    assert not decided(tmp_path, reference=(reference,), **everything).shown
    assert decided(tmp_path, reference=(agreed,), **everything).shown


@pytest.mark.parametrize(
    "said",
    [
        {"subjects": ("portrait",)},
        {"subjects": ("old man",)},
        {"subjects": ("woman's face",)},
        {"styles": ("Portrait",)},
        {"subjects": ("ortrait",)},
        {"subjects": ("potrrait",)},
        {"title": "Portrait of a friend"},
    ],
)
def test_words_that_speak_of_a_person_ask_where_the_record_is_silent(tmp_path, said):
    override = model.RightsOverride(reason="I want to")
    nobody = msgspec.structs.replace(OWN, likeness=model.Likeness.NONE)
    assert not decided(tmp_path, reference=(OWN,), rights_override=override, **said).shown
    assert decided(tmp_path, reference=(nobody,), **said).shown


@pytest.mark.parametrize(
    "said",
    [
        {"styles": ("micro-portrait",)},
        {"subjects": ("manta ray", "surface", "feather", "moth")},
        {"title": "The old man's boat"},
    ],
)
def test_other_words_do_not_ask(tmp_path, said):
    assert decided(tmp_path, reference=(OWN,), **said).shown


def test_a_face_marked_in_a_reference_asks_where_the_record_is_silent(tmp_path):
    piece = make_piece(record=make_record(reference=(OWN,)))
    catalogue = paper_catalogue(tmp_path, piece)
    path = f"{piece.folder}/references/a.jpg"
    marked = msgspec.structs.replace(catalogue.facts[path], private=("camera serial number", "marked faces"))
    catalogue = dataclasses.replace(catalogue, facts={**catalogue.facts, path: marked})
    assert not decide_publication(piece, catalogue).shown


def test_a_client_shown_in_a_reference_has_to_agree_even_where_releases_need_not_be_asked_for(tmp_path):
    shown = msgspec.structs.replace(OWN, likeness=model.Likeness.CLIENT)
    settings = {"require_release": False}
    assert not decided(tmp_path, settings=settings, reference=(shown,), release=model.Release()).shown
    assert decided(tmp_path, settings=settings, reference=(shown,), release=GRANTED).shown


def test_the_persons_question_stands_on_a_line_of_its_own(tmp_path):
    reference = model.Reference(file="references/a.jpg", license="InC", likeness=model.Likeness.UNKNOWN)
    assert len(decided(tmp_path, reference=(reference,)).reasons) == 2


# ---------------------------------------------------------------- what is not described


@pytest.mark.parametrize("file", ["references/film.jpg", "references/sketch.psd", "references/scan.pdf"])
def test_a_file_among_the_references_that_is_not_described_keeps_a_piece_in(tmp_path, file):
    folder = make_piece().folder
    where = "references" if file.endswith("jpg") else "papers"
    found = {where: (*getattr(make_piece(), where), f"{folder}/{file}")}
    publication = decided(tmp_path, piece_changes=found)
    assert not publication.shown
    assert [name for name, _ in publication.undescribed] == [file]
    assert decided(tmp_path, piece_changes=found, settings={"require_rights": False}).shown
    override = model.RightsOverride(reason="no longer resembles it")
    assert decided(tmp_path, piece_changes=found, rights_override=override).shown


@pytest.mark.parametrize(("said", "shown"), [({"title": "A portrait"}, False), ({}, True)])
def test_a_person_may_be_shown_in_what_is_not_described(tmp_path, said, shown):
    found = {"references": (f"{make_piece().folder}/references/film.jpg",)}
    settings = {"require_rights": False}
    assert decided(tmp_path, piece_changes=found, settings=settings, reference=(), **said).shown is shown


def test_letters_and_notes_beside_the_references_are_no_references(tmp_path):
    folder = make_piece().folder
    letter = msgspec.structs.replace(OWN, permission="references/letter.jpg")
    release = msgspec.structs.replace(GRANTED, file="references/release.jpg")
    papers = {
        "references": tuple(f"{folder}/references/{name}.jpg" for name in ("a", "letter", "release")),
        "papers": (f"{folder}/references/where-from.txt", f"{folder}/references/NOTES.MD"),
    }
    assert decided(tmp_path, piece_changes=papers, reference=(letter,), release=release).shown


@pytest.mark.parametrize(
    "paper", ["references/a.jpg", "references/b.jpg", "photos/owl-fresh.jpg", "piece.toml", "story.md"]
)
def test_a_picture_or_a_text_of_the_piece_is_no_letter(tmp_path, paper):
    allowed = model.Reference(file="references/a.jpg", permission=paper, allows=tuple(model.Use))
    other = model.Reference(file="references/b.jpg", license="own-work")
    letter = msgspec.structs.replace(allowed, permission="references/letter.pdf")
    assert not decided(tmp_path, reference=(allowed, other)).shown
    assert decided(tmp_path, reference=(letter, other)).shown


def test_a_record_under_another_name_is_no_letter_either(tmp_path):
    changes = {"record_name": "Piece.toml"}
    for paper, is_letter in (("Piece.toml", False), ("references/letter.pdf", True)):
        letter = model.Reference(file="references/a.jpg", permission=paper, allows=tuple(model.Use))
        assert decided(tmp_path, piece_changes=changes, reference=(letter,)).shown is is_letter


def test_a_letter_with_which_something_is_wrong_gives_nothing(tmp_path):
    allowed = model.Reference(file="references/a.jpg", permission="references/letter.pdf", allows=tuple(model.Use))
    for code in ("record.missing-file", "rights.no-evidence"):
        assert not decided(tmp_path, reference=(allowed,), findings=(error("reference.0.permission", code),)).shown


def test_a_question_keeps_a_piece_in_until_the_answer_is_recorded(tmp_path):
    asked = model.Reference(file="references/a.jpg", license="CC-BY-SA-4.0", creator="A. Sample")
    settled = model.Reference(
        file="references/a.jpg", license="CC-BY-SA-4.0", creator="A. Sample", allows=(model.Use.SHOW_TATTOO,)
    )
    assert not decided(tmp_path, reference=(asked,)).shown
    assert decided(tmp_path, reference=(settled,)).shown


def error(key, code="record.unknown-word", file=None, severity=Severity.ERROR):
    place = Place(file or make_piece().toml)
    return Finding(code, severity, make_piece().id, place, "What is wrong.", "Correct it.", key)


@pytest.mark.parametrize(
    "finding",
    [
        error(""),
        error("release"),
        error("release.status"),
        error("release.expires"),
        error("release.file", "release.empty-paper"),
        error("reference"),
        error("reference.0"),
        error("reference.0.license"),
        error("reference.0.licence", "record.unknown-key"),
        error("reference.0.likeness"),
        error("reference.0.used"),
        error("relase", "record.unknown-key"),
        error("refrence", "record.unknown-key"),
        error("references", "record.unreadable", "pieces/2026-03-14-barn-owl/references"),
        error("references/x.jpg", "record.outside", "pieces/2026-03-14-barn-owl/references/x.jpg"),
    ],
    ids=lambda finding: f"{finding.code} {finding.key}",
)
def test_what_is_not_understood_of_a_release_or_a_right_keeps_a_piece_in_whatever_the_settings(tmp_path, finding):
    settings = {"require_rights": False, "require_release": False}
    override = model.RightsOverride(reason="I want to")
    assert decided(tmp_path, settings=settings, rights_override=override).shown
    held = decided(tmp_path, settings=settings, rights_override=override, findings=(finding,))
    assert not held.shown
    assert held.is_forbidden


@pytest.mark.parametrize(
    "finding",
    [
        error("size.height", "record.bad-length"),
        error("placement.side"),
        error("artst", "record.unknown-key", severity=Severity.WARNING),
        error("release.note"),
        error("photo", "record.wrong-type"),
        error("photo.0.alt", "record.wrong-type"),
        error("reference.0.file", "record.missing-file"),
        error("reference.0.note"),
        error("stencil.0.file", "record.missing-file"),
        error("photos/x.jpg", "record.outside", "pieces/2026-03-14-barn-owl/photos/x.jpg"),
        error("release.scope.0", severity=Severity.WARNING),
        error("reference.0.license", "rights.missing"),
    ],
    ids=lambda finding: f"{finding.code} {finding.key}",
)
def test_nothing_else_that_is_wrong_with_a_record_keeps_a_piece_in(tmp_path, finding):
    assert decided(tmp_path, findings=(finding,)).shown


def test_a_decision_that_is_not_understood_lifts_nothing(tmp_path):
    override = model.RightsOverride(reason="no longer resembles it")
    finding = error("rights_override.date")
    assert not decided(tmp_path, reference=(UNRECORDED,), rights_override=override, findings=(finding,)).shown


@pytest.mark.parametrize("order", [(None, False), (False, None), (True, False), (False, True)])
def test_a_photo_that_stands_twice_in_the_record_stays_in_when_one_entry_says_so(tmp_path, order):
    twice = tuple(model.Photo(file="photos/a.jpg", stage=model.Stage.HEALED, publish=wish) for wish in order)
    other = model.Photo(file="photos/b.jpg", stage=model.Stage.FRESH)
    assert [photo.file for photo in decided(tmp_path, photo=(*twice, other)).photos] == ["photos/b.jpg"]
    assert not decided(tmp_path, photo=twice).shown


@pytest.mark.parametrize("key", ["photo.0.publish", "photo.1.publish"])
def test_a_photo_that_stands_twice_stays_in_when_one_wish_is_not_understood(tmp_path, key):
    twice = (model.Photo(file="photos/a.jpg", stage=model.Stage.HEALED),) * 2
    assert decided(tmp_path, photo=twice).shown
    assert not decided(tmp_path, photo=twice, findings=(error(key),)).shown


def test_a_photo_whose_wish_is_not_understood_stays_in(tmp_path):
    publication = decided(tmp_path, findings=(error("photo.1.publish"),))
    assert [photo.file for photo in publication.photos] == ["photos/owl-fresh.jpg"]


def test_whether_to_publish_must_be_understood(tmp_path):
    publication = decided(tmp_path, publish=False, findings=(error("publish"),))
    assert not publication.shown
    assert publication.reasons != decided(tmp_path, publish=False).reasons


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


def test_the_cover_comes_first_then_healed_fresh_in_progress_and_without_a_stage(tmp_path):
    stages = {"a": None, "b": model.Stage.IN_PROGRESS, "c": model.Stage.FRESH, "d": model.Stage.HEALED, "e": None}
    photos = tuple(
        model.Photo(file=f"photos/{name}.jpg", stage=stage, publish=True, cover=name == "e")
        for name, stage in stages.items()
    )
    assert [photo.file[7] for photo in decided(tmp_path, photo=photos).photos] == ["e", "d", "c", "b", "a"]


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
        (({"cover": True}, {"cover": True}, {}), "bca", "ab"),  # named as a cover twice
        (({"cover": True}, {"publish": True}, {}), "cba", "ab"),
        (({}, {}, {}), "bc", "ab"),  # a is no frame of it
    ],
)
def test_one_photo_of_a_moment_is_shown(tmp_path, changes, moment, shown):
    photos, twins = frames(*changes, moment=moment)
    piece = make_piece(record=make_record(photo=photos))
    publication = decide_publication(piece, paper_catalogue(tmp_path, piece, twins=twins))
    assert sorted(photo.file[7] for photo in publication.photos) == list(shown)
    assert len(publication.left_out) == 3 - len(shown)
