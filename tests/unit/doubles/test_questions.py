"""Which pairs are a question to the artist."""

import datetime as dt

import msgspec
import pytest

from archgen.doubles.questions import PairKind, PairKinds
from archgen.records import model
from archgen.twins.model import Pair, Relation
from tests.builders import make_piece, make_record, paper_facts

OWL, MOTH = "pieces/owl", "pieces/moth"
DAY = dt.datetime(2026, 3, 14, 12, tzinfo=dt.UTC)


def pair(a, b, relation=Relation.EDITED, score=0.95):
    return Pair(a, b, relation, False, 0, (1, 0, 0, 0, 1, 0), score)


def standing(one, photos=(), taken=()):
    pieces = [make_piece(name, make_record(photo=photos if name == "owl" else ())) for name in ("owl", "moth")]
    moments = dict(zip((one.a, one.b), taken, strict=False))
    facts = {path: msgspec.structs.replace(paper_facts(path), taken=moments.get(path)) for path in (one.a, one.b)}
    return PairKinds(pieces, facts).of(one)


def photo(name, **fields):
    return model.Photo(file=f"photos/{name}.jpg", **fields)


PHOTOS = pair(f"{OWL}/photos/a.jpg", f"{OWL}/photos/b.jpg")
FRESH, HEALED = model.Stage.FRESH, model.Stage.HEALED


def test_photos_that_nothing_parts_are_a_question():
    assert standing(PHOTOS) is PairKind.DOUBLE


def test_photos_of_two_stages_are_none():
    assert standing(PHOTOS, (photo("a", stage=FRESH), photo("b", stage=HEALED))) is PairKind.OTHER_TIME


def test_photos_of_two_days_are_none_even_of_two_pieces():
    apart = pair(f"{OWL}/photos/a.jpg", f"{MOTH}/photos/b.jpg")
    assert standing(apart, taken=(DAY, DAY + dt.timedelta(days=1))) is PairKind.OTHER_TIME
    assert standing(apart, taken=(DAY, DAY + dt.timedelta(hours=1))) is PairKind.DOUBLE


def test_a_recorded_day_counts_where_the_camera_has_none():
    days = (photo("a", taken=DAY.date()), photo("b", taken=DAY.date() + dt.timedelta(days=40)))
    assert standing(PHOTOS, days) is PairKind.OTHER_TIME
    assert standing(PHOTOS, days, taken=(DAY, DAY)) is PairKind.DOUBLE


def test_one_file_under_two_stages_is_a_question():
    same = pair(PHOTOS.a, PHOTOS.b, Relation.IDENTICAL)
    assert standing(same, (photo("a", stage=FRESH), photo("b", stage=HEALED))) is PairKind.DOUBLE


@pytest.mark.parametrize(
    ("a", "b", "score", "expected"),
    [
        (f"{OWL}/stencils/a.png", f"{OWL}/stencils/b.png", 1.0, PairKind.VERSIONS),
        (f"{MOTH}/stencils/a.png", f"{OWL}/stencils/b.png", 1.0, PairKind.DOUBLE),
        (f"{OWL}/references/a.jpg", f"{OWL}/stencils/b.png", 1.0, PairKind.DRAWN_AFTER),
        (f"{OWL}/photos/a.jpg", f"{OWL}/references/b.jpg", 1.0, PairKind.DRAWN_AFTER),
        (f"{MOTH}/photos/a.jpg", f"{OWL}/references/b.jpg", 0.7, PairKind.DRAWN_AFTER),
        (f"{MOTH}/photos/a.jpg", f"{OWL}/references/b.jpg", 1.0, PairKind.DOUBLE),
        (f"{MOTH}/references/a.jpg", f"{OWL}/references/b.jpg", 0.7, PairKind.DOUBLE),
    ],
)
def test_the_folders_say_what_belongs_together_on_purpose(a, b, score, expected):
    assert standing(pair(a, b, score=score)) is expected


@pytest.mark.parametrize("made_from", [0, 1, None])
def test_a_reference_recorded_as_made_from_another_is_no_question(made_from):
    files = ("references/a.jpg", "references/b.jpg")
    sources = [(files[1 - number],) if number == made_from else () for number in (0, 1)]
    references = tuple(
        model.Reference(file=file, made_from=source) for file, source in zip(files, sources, strict=True)
    )
    one = pair(*(f"{OWL}/{file}" for file in files))
    facts = {path: paper_facts(path) for path in (one.a, one.b)}
    kind = PairKinds([make_piece("owl", make_record(reference=references))], facts).of(one)
    assert kind is (PairKind.DOUBLE if made_from is None else PairKind.DRAWN_AFTER)
