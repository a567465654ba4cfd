"""What the public may see of a piece: its days, its words, its addresses and whom it credits."""

import datetime as dt
from dataclasses import replace
from types import SimpleNamespace

import msgspec
import pytest

from archgen.config import ArchiveSettings, Config, PortfolioSettings
from archgen.picture_facts.facts import Derivative
from archgen.publication import public_catalogue
from archgen.publication.decision import decide_all
from archgen.publication.public_catalogue import (
    FreshOnHealed,
    PublicLaid,
    all_paths,
    former_addresses,
    make_public_catalogue,
    photo_copies,
    picture_copies,
    publish,
    slug,
    slugs_of,
    visible,
)
from archgen.publication.reference_rights import rights_of
from archgen.records import model
from tests.builders import make_piece, make_record, paper_catalogue


def shown(tmp_path, **changes):
    piece = make_piece(record=make_record(**changes))
    (public,) = make_public_catalogue(paper_catalogue(tmp_path, piece)).pieces
    return public


@pytest.mark.parametrize(("finished", "month"), [(dt.date(2025, 11, 2), (2025, 11)), (None, (None, None))])
def test_the_month_of_a_piece_is_public_and_no_day(tmp_path, finished, month):
    public = shown(tmp_path, finished=finished, sitting=())
    assert (public.year, public.month) == month
    assert not hasattr(public, "finished")


def test_a_piece_tells_its_measures_and_how_long_it_took(tmp_path):
    public = shown(tmp_path)
    assert (public.width_mm, public.height_mm, public.sittings, public.hours) == (57, 88, 1, 3.5)
    assert (public.region, public.side) == ("forearm-outer", model.Side.LEFT)
    assert (public.styles, public.subjects) == (("black-and-grey", "micro-portrait"), ("owl", "bird"))
    assert public.story == "A barn owl from a *field sketch*."


def test_a_photo_without_a_text_is_described_by_title_and_stage(tmp_path):
    photos = (
        model.Photo(file="photos/a.jpg", stage=model.Stage.FRESH, alt="An owl", taken=dt.date(2026, 3, 14)),
        model.Photo(file="photos/b.jpg", stage=model.Stage.HEALED, taken=dt.date(2026, 4, 14)),
    )
    found = shown(tmp_path, photo=photos).photos
    assert [(one.alt, one.days_after) for one in found] == [("Barn owl, healed", 31), ("An owl", 0)]


def test_copies_that_were_not_made_yet_have_the_sizes_of_those_for_the_screen():
    screen = (Derivative(400, 300, "a.webp"), Derivative(800, 600, "b.webp"))
    found = public_catalogue._copies_to_come(SimpleNamespace(digest="d1", screen=screen))
    assert found == (Derivative(400, 300, "d1.webp"), Derivative(800, 600, "d1.webp"))


# Names and addresses.


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("Barn Owl, asleep!", "barn-owl-asleep"),
        ("Éclair & Straße", "eclair-strasse"),
        ("Сова осенняя", "сова-осенняя"),
        ("__a_b__", "a-b"),
        ("…", ""),
        ("x" * 61, "x" * 60),
        ("x" * 59 + " yz", "x" * 59),  # no hyphen is left at the end
    ],
)
def test_a_title_becomes_words_of_an_address(text, words):
    assert slug(text) == words


def named(*titles):
    return slugs_of(make_piece(f"p{number}", make_record(title=title)) for number, title in enumerate(titles))


def test_the_oldest_piece_of_a_title_keeps_the_plain_address():
    assert named("Owl", "owl", "Moth", "OWL") == {"p0": "owl", "p1": "owl-2", "p2": "moth", "p3": "owl-3"}
    assert named("Owl 2", "Owl", "Owl") == {"p0": "owl-2", "p1": "owl", "p2": "owl-3"}
    assert named("?", "!") == {"p0": "piece", "p1": "piece-2"}
    assert list(slugs_of(make_piece(name) for name in ("b", "a"))) == ["a", "b"]


def test_every_page_and_picture_of_a_piece_has_an_address():
    copies = (Derivative(400, 300, "0aa.webp"), Derivative(800, 600, "0bb.jpg"))
    photos = (SimpleNamespace(copies=copies[:1]), SimpleNamespace(copies=copies))
    piece = SimpleNamespace(slug="owl", photos=photos, folders=(), laid=None)
    assert [path for _, path in photo_copies(piece, 1)] == ["img/owl-2-400.webp", "img/owl-2-800.jpg"]
    pictures = ("img/owl-1-400.webp", "img/owl-2-400.webp", "img/owl-2-800.jpg")
    assert all_paths(piece) == ("pieces/owl.html", *pictures)
    piece.folders = ("de/",)
    assert all_paths(piece) == ("pieces/owl.html", "de/pieces/owl.html", *pictures)


def test_copies_in_the_smaller_format_stand_apart_and_leave_with_the_piece():
    names = ((800, "0a.webp"), (400, "0b.webp"), (800, "0c.avif"), (400, "0d.avif"))
    photo = SimpleNamespace(copies=tuple(Derivative(width, width, name) for width, name in names))
    piece = SimpleNamespace(slug="owl", photos=(photo,), folders=(), laid=None)
    usual = ["img/owl-1-400.webp", "img/owl-1-800.webp"]
    smaller = ["img/owl-1-400.avif", "img/owl-1-800.avif"]
    assert [path for _, path in photo_copies(piece, 0)] == usual
    assert [path for _, path in photo_copies(piece, 0, avif=True)] == smaller
    assert {*usual, *smaller} <= set(all_paths(piece))


LAYER = Derivative(800, 1000, "layer.webp")


def laid_piece(tmp_path, **record):
    catalogue = paper_catalogue(tmp_path, make_piece("a", make_record(**record)))
    laid = FreshOnHealed("photos/owl-fresh.jpg", "photos/owl-healed.jpg", LAYER)
    (piece,) = publish(catalogue, decide_all(catalogue), {"a": laid}).catalogue.pieces
    return piece


def test_photos_laid_on_each_other_are_shown_by_their_numbers_with_a_picture_of_their_own(tmp_path):
    piece = laid_piece(tmp_path)
    assert [photo.stage.value for photo in piece.photos] == ["healed", "fresh"]
    assert piece.laid == PublicLaid(fresh=1, healed=0, layer=LAYER)
    assert (LAYER, "img/barn-owl-2-1-0.webp") in picture_copies(piece)
    assert "img/barn-owl-2-1-0.webp" in all_paths(piece)


@pytest.mark.parametrize("kept_in", [0, 1])
def test_a_photo_that_is_kept_in_is_not_shown_laid_on_another(tmp_path, kept_in):
    photos = list(make_record().photo)
    photos[kept_in] = msgspec.structs.replace(photos[kept_in], publish=False)
    piece = laid_piece(tmp_path, photo=tuple(photos))
    assert (len(piece.photos), piece.laid) == (1, None)
    assert LAYER not in dict(picture_copies(piece))


def test_a_piece_that_loses_a_photo_loses_what_was_laid_with_it_and_no_more(tmp_path):
    piece = laid_piece(tmp_path)
    assert piece.without_photos([0]).laid is None
    assert piece.without_photos([1]).laid is None
    three = replace(piece, photos=(*piece.photos, piece.photos[0]), laid=PublicLaid(fresh=2, healed=1, layer=LAYER))
    left = three.without_photos([1, 2])
    assert (left.photos, left.laid) == (three.photos[1:], PublicLaid(fresh=1, healed=0, layer=LAYER))


def test_a_piece_that_is_not_shown_would_have_the_addresses_it_had(tmp_path):
    pieces = [make_piece(name) for name in ("a", "b")]
    hidden = make_piece("c", make_record(publish=False))
    catalogue = paper_catalogue(tmp_path, *pieces, hidden)
    decisions = decide_all(catalogue)
    public = publish(catalogue, decisions)
    assert [piece.slug for piece in public.catalogue.pieces] == ["barn-owl", "barn-owl-2"]
    assert former_addresses(hidden, catalogue, decisions)[0] == "pieces/barn-owl-3.html"


def test_of_each_piece_the_studio_knows_what_it_was_made_of(tmp_path):
    catalogue = paper_catalogue(tmp_path, make_piece("a"))
    (origin,) = publish(catalogue, decide_all(catalogue)).origins
    paths = ("pieces/a/photos/owl-fresh.jpg", "pieces/a/photos/owl-healed.jpg")
    assert (origin.id, sorted(origin.photos)) == ("a", sorted(paths))
    assert origin.digests == tuple(catalogue.facts[path].digest for path in origin.photos)


@pytest.mark.parametrize(
    ("text", "seen"),
    [("a\r\nb", "a\nb"), ("a\x00b\x1b[31m", "ab[31m"), ("a\u202eb", "ab"), ("a\tb\nc é 猫", "a\tb\nc é 猫")],
)
def test_what_cannot_be_seen_is_left_out(text, seen):
    assert visible(text) == seen


def test_the_words_of_the_studio_are_visible_too(tmp_path):
    settings = PortfolioSettings(title="Harbour\u202e Lane", artist="Sample\x00 Artist", url="https://example.org")
    config = Config(root=tmp_path, archive=ArchiveSettings(language="de", units="in"), portfolio=settings)
    public = make_public_catalogue(paper_catalogue(tmp_path, config=config))
    assert (public.settings.title, public.settings.artist) == ("Harbour Lane", "Sample Artist")
    assert (public.settings.url, public.language, public.units) == ("https://example.org", "de", "in")


# Credits.


def credited(tmp_path, *references):
    piece = make_piece(record=make_record(reference=references))
    rights = rights_of(piece, paper_catalogue(tmp_path, piece))
    return public_catalogue._credits(piece.record, rights)


def test_a_licence_that_asks_for_it_is_credited_with_its_links(tmp_path):
    (credit,) = credited(
        tmp_path,
        model.Reference(file="references/a.jpg", creator="A. Sample", source="https://e.org/a", license="CC-BY-4.0"),
    )
    assert (credit.creator, credit.source_url, credit.licence) == ("A. Sample", "https://e.org/a", "CC BY 4.0")
    assert credit.licence_url == "https://creativecommons.org/licenses/by/4.0/"
    assert (credit.made_by_model, credit.is_ai) == (None, False)


def test_what_a_model_made_is_said_without_naming_anybody(tmp_path):
    (credit,) = credited(
        tmp_path,
        model.Reference(
            file="references/a.jpg",
            creator="A. Sample",
            source="https://e.org/a",
            license="own-work",
            digital_source="trainedAlgorithmicMedia",
            ai_system="Sample 2",
            ai_terms="https://e.org/terms",
        ),
    )
    assert (credit.creator, credit.source_url, credit.licence, credit.licence_url) == (None, None, None, None)
    assert (credit.made_by_model, credit.is_ai) == ("Sample 2", True)


def test_a_credit_stands_once_and_only_for_what_was_used(tmp_path):
    one = model.Reference(file="references/a.jpg", creator="A. Sample", license="CC-BY-4.0")
    again = model.Reference(file="references/b.jpg", creator="A. Sample", license="CC-BY-4.0")
    unused = model.Reference(file="references/c.jpg", creator="Another", license="CC-BY-4.0", used=False)
    assert [credit.creator for credit in credited(tmp_path, one, again, unused)] == ["A. Sample"]
    assert credited(tmp_path, model.Reference(file="references/a.jpg", creator="A", license="CC0-1.0")) == ()


@pytest.mark.parametrize(
    ("source", "linked"),
    [
        ("https://e.org/a?b=1", True),
        ("http://e.org", True),
        ("a book", False),
        ("javascript:alert(1)", False),
        ("https://e.org/a b", False),
        ('https://e.org/"onclick', False),
        (None, False),
    ],
)
def test_only_a_web_address_is_linked(source, linked):
    assert public_catalogue._web_address(source) == (source if linked else None)
