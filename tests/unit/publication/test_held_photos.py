"""Photos that are held because of another picture, and references said to be unused that were drawn from after all."""

import dataclasses
import datetime as dt

import msgspec
import pytest

from archgen.catalogue import Settled, Twins
from archgen.publication.decision import decide_publication
from archgen.publication.reference_rights import rights_of
from archgen.publication.unused import used_after_all
from archgen.records import model
from archgen.twins.model import Pair, Relation
from tests.builders import TODAY, make_piece, make_record, paper_catalogue

PORTFOLIO = {"scope": ("portfolio",)}
GRANTED = model.Release(status=model.ReleaseStatus.GRANTED, **PORTFOLIO)
OWL, MOTH = "2026-03-14-barn-owl", "2026-01-01-moth"
FRESH = model.Photo(file="photos/fresh.jpg", stage=model.Stage.FRESH)
HEALED = model.Photo(file="photos/healed.jpg", stage=model.Stage.HEALED)
PROGRESS = model.Photo(file="photos/lining.jpg", stage=model.Stage.IN_PROGRESS)
OWN = model.Reference(file="references/a.jpg", license="own-work", likeness=model.Likeness.NONE)
FRESH_PATH = f"pieces/{OWL}/photos/fresh.jpg"


def pair(a, b, relation=Relation.EDITED, score=0.8):
    a, b = sorted((a, b))
    return Pair(a, b, relation, False, 0, (1, 0, 0, 0, 1, 0), score)


def settled(same, *images, keep=None):
    return Settled(model.Decision(images=images), same, (keep or images[0]) if same else None)


def owl(*photos, **changes):
    return make_piece(OWL, make_record(photo=photos or (FRESH, HEALED), reference=(OWN,), **changes))


def moth(release=GRANTED, photo=FRESH, **changes):
    return make_piece(MOTH, make_record(title="Moth", photo=(photo,), reference=(OWN,), release=release, **changes))


def kept(tmp_path, *pieces, equal=(), **twins):
    """Give the photos of the first piece that stay in; equal are paths of one file."""
    catalogue = paper_catalogue(tmp_path, *pieces, twins=Twins(**twins))
    facts = {
        path: msgspec.structs.replace(one, digest="one file") if path in equal else one
        for path, one in catalogue.facts.items()
    }
    publication = decide_publication(pieces[0], dataclasses.replace(catalogue, facts=facts))
    return [left.file for left in publication.left_out], " ".join(left.reason for left in publication.left_out)


REFUSALS = (
    model.Release(status=model.ReleaseStatus.WITHDRAWN),
    model.Release(status=model.ReleaseStatus.REFUSED),
    model.Release(status=model.ReleaseStatus.GRANTED, **PORTFOLIO, withdrawn=TODAY),
    model.Release(status=model.ReleaseStatus.GRANTED, **PORTFOLIO, expires=TODAY - dt.timedelta(days=1)),
)
MOTH_PATH = f"pieces/{MOTH}/photos/fresh.jpg"


@pytest.mark.parametrize("release", REFUSALS)
@pytest.mark.parametrize(
    "how",
    [
        {"equal": (FRESH_PATH, MOTH_PATH)},
        {"pairs": (pair(FRESH_PATH, MOTH_PATH),)},
        {"pairs": (pair(FRESH_PATH, MOTH_PATH, Relation.CROPPED, 0.55),)},
        {"settled": (settled(True, FRESH_PATH, MOTH_PATH),)},
    ],
    ids=["equal", "alike", "a part", "decided"],
)
def test_a_photo_that_is_one_of_a_piece_nobody_allowed_is_held_and_both_pieces_are_named(tmp_path, release, how):
    held, reason = kept(tmp_path, owl(), moth(release), **how)
    assert held == ["photos/fresh.jpg"]
    assert all(name in reason for name in ("Barn owl", OWL, "Moth", MOTH))


@pytest.mark.parametrize("release", [GRANTED, model.Release()])
def test_a_photo_that_is_one_of_another_piece_is_not_held_for_that_alone(tmp_path, release):
    assert kept(tmp_path, owl(), moth(release), equal=(FRESH_PATH, MOTH_PATH))[0] == []


def test_a_photo_of_a_piece_whose_record_cannot_be_read_is_held(tmp_path):
    broken = model.Piece(id=MOTH, record=None, photos=(MOTH_PATH,))
    assert kept(tmp_path, owl(), broken, equal=(FRESH_PATH, MOTH_PATH))[0] == ["photos/fresh.jpg"]


@pytest.mark.parametrize("relation", [Relation.VERSION])
def test_a_drawing_with_other_lines_is_no_copy(tmp_path, relation):
    twins = {"pairs": (pair(FRESH_PATH, MOTH_PATH, relation),)}
    assert kept(tmp_path, owl(), moth(REFUSALS[0]), **twins)[0] == []


@pytest.mark.parametrize("where", [OWL, MOTH])
@pytest.mark.parametrize("how", ["equal", "pairs", "settled"])
def test_a_photo_that_is_a_reference_is_held(tmp_path, where, how):
    other = f"pieces/{where}/references/a.jpg"
    given = {
        "equal": (FRESH_PATH, other),
        "pairs": (pair(FRESH_PATH, other),),
        "settled": (settled(True, other, FRESH_PATH),),
    }
    held, reason = kept(tmp_path, owl(), moth(), **{how: given[how]})
    assert held == ["photos/fresh.jpg"]
    assert "a.jpg" in reason


@pytest.mark.parametrize(
    ("reference", "held"),
    [
        (OWN, []),
        (msgspec.structs.replace(OWN, license="CC-BY-NC-4.0"), ["photos/fresh.jpg"]),
        (msgspec.structs.replace(OWN, likeness=model.Likeness.UNKNOWN), ["photos/fresh.jpg"]),
    ],
)
def test_a_picture_kept_as_the_photo_is_shown_when_its_right_as_a_reference_allows_it(tmp_path, reference, held):
    other = f"pieces/{MOTH}/references/a.jpg"
    mine = moth()
    mine = msgspec.structs.replace(mine, record=msgspec.structs.replace(mine.record, reference=(reference,)))
    decision = (settled(True, other, FRESH_PATH, keep=FRESH_PATH),)
    assert kept(tmp_path, owl(), mine, settled=decision, equal=(FRESH_PATH, other))[0] == held


def test_what_is_not_described_among_the_references_is_one(tmp_path):
    film = f"pieces/{OWL}/references/film.jpg"
    piece = msgspec.structs.replace(owl(), references=(film,))
    assert "photos/fresh.jpg" in kept(tmp_path, piece, equal=(FRESH_PATH, film))[0]


@pytest.mark.parametrize("how", ["equal", "pairs"])
def test_a_photo_that_is_work_in_progress_nobody_shows_is_held(tmp_path, how):
    lining = f"pieces/{OWL}/photos/lining.jpg"
    given = {"equal": (FRESH_PATH, lining), "pairs": (pair(FRESH_PATH, lining, Relation.BURST),)}
    assert kept(tmp_path, owl(FRESH, HEALED, PROGRESS), **{how: given[how]})[0] == [
        "photos/fresh.jpg",
        "photos/lining.jpg",
    ]
    public = msgspec.structs.replace(PROGRESS, publish=True)
    assert kept(tmp_path, owl(FRESH, HEALED, public), **{how: given[how]})[0] == []


def test_a_photo_that_is_another_fresh_one_the_artist_keeps_back_is_not_held(tmp_path):
    back = model.Photo(file="photos/blurred.jpg", stage=model.Stage.FRESH, publish=False)
    equal = (FRESH_PATH, f"pieces/{OWL}/photos/blurred.jpg")
    assert kept(tmp_path, owl(FRESH, HEALED, back), equal=equal)[0] == ["photos/blurred.jpg"]


def test_deciding_that_two_pictures_differ_frees_a_photo(tmp_path):
    twins = {"settled": (settled(False, FRESH_PATH, MOTH_PATH),)}
    # What the comparison finds and the artist decided to be different is no pair any more.
    assert kept(tmp_path, owl(), moth(REFUSALS[0]), **twins)[0] == []


def test_deciding_that_equal_files_differ_frees_nothing(tmp_path):
    twins = {"settled": (settled(False, FRESH_PATH, MOTH_PATH),)}
    held, _ = kept(tmp_path, owl(), moth(REFUSALS[0]), equal=(FRESH_PATH, MOTH_PATH), **twins)
    assert held == ["photos/fresh.jpg"]


def test_the_latest_decision_counts(tmp_path):
    later, earlier = settled(False, FRESH_PATH, MOTH_PATH), settled(True, FRESH_PATH, MOTH_PATH)
    assert kept(tmp_path, owl(), moth(REFUSALS[0]), settled=(later, earlier))[0] == []
    assert kept(tmp_path, owl(), moth(REFUSALS[0]), settled=(earlier, later))[0] == ["photos/fresh.jpg"]


def test_what_is_the_same_as_the_same_is_held(tmp_path):
    healed = f"pieces/{OWL}/photos/healed.jpg"
    twins = {"settled": (settled(True, FRESH_PATH, healed),), "pairs": (pair(healed, MOTH_PATH),)}
    assert kept(tmp_path, owl(), moth(REFUSALS[0]), **twins)[0] == ["photos/fresh.jpg", "photos/healed.jpg"]


def test_a_piece_none_of_whose_photos_may_be_shown_is_forbidden(tmp_path):
    mine = owl(FRESH)
    catalogue = paper_catalogue(tmp_path, mine, moth(REFUSALS[0]), twins=Twins(pairs=(pair(FRESH_PATH, MOTH_PATH),)))
    publication = decide_publication(mine, catalogue)
    assert (publication.shown, publication.is_forbidden) == (False, True)


def test_a_piece_whose_photos_are_only_missing_is_not_forbidden(tmp_path):
    mine = owl(FRESH)
    publication = decide_publication(mine, dataclasses.replace(paper_catalogue(tmp_path, mine), facts={}))
    assert (publication.shown, publication.is_forbidden) == (False, False)


# ---------------------------------------------------------------- used after all

LOOKED_AT = model.Reference(file="references/film.jpg", license="InC", used=False)
FILM = f"pieces/{OWL}/references/film.jpg"


def looked_at(tmp_path, *, stencil=(), pairs=(), parts=()):
    record = make_record(photo=(FRESH,), reference=(OWN, LOOKED_AT), stencil=stencil)
    piece = make_piece(OWL, record)
    catalogue = paper_catalogue(tmp_path, piece, twins=Twins(pairs=tuple(pairs), parts=tuple(parts)))
    counts = [right.counts for right in rights_of(piece, catalogue)]
    found = used_after_all(piece, record, catalogue)
    return [(one.number, one.under, one.is_recorded) for one in found], counts


STENCIL = model.Stencil(file="stencils/1.png")
DRAWN = f"pieces/{OWL}/stencils/1.png"


def test_what_was_only_looked_at_does_not_count(tmp_path):
    assert looked_at(tmp_path, stencil=(STENCIL,)) == ([], [True, False])


@pytest.mark.parametrize("other", [DRAWN, f"pieces/{OWL}/references/a.jpg"])
@pytest.mark.parametrize("relation", [Relation.VERSION, Relation.CROPPED])
def test_what_lies_under_a_stencil_or_in_what_was_drawn_from_counts_after_all(tmp_path, other, relation):
    found = [(1, other.removeprefix(f"pieces/{OWL}/"), False)]
    pairs = (pair(FILM, other, relation, 0.6),)
    assert looked_at(tmp_path, stencil=(STENCIL,), pairs=pairs) == (found, [True, True])


def test_what_was_seen_in_a_part_of_a_stencil_counts_after_all(tmp_path):
    assert looked_at(tmp_path, stencil=(STENCIL,), parts=((DRAWN, FILM),)) == (
        [(1, "stencils/1.png", False)],
        [True, True],
    )
    other = f"pieces/{OWL}/references/a.jpg"
    assert looked_at(tmp_path, stencil=(STENCIL,), parts=((DRAWN, other), (FILM, other))) == ([], [True, False])


def test_what_a_stencil_names_counts_after_all(tmp_path):
    named = msgspec.structs.replace(STENCIL, from_=("references/film.jpg",))
    assert looked_at(tmp_path, stencil=(named,)) == ([(1, "stencils/1.png", True)], [True, True])


@pytest.mark.parametrize("other", [f"pieces/{MOTH}/stencils/1.png", FRESH_PATH])
def test_a_stencil_of_another_piece_and_a_photo_say_nothing_of_what_was_drawn_from(tmp_path, other):
    assert looked_at(tmp_path, stencil=(STENCIL,), pairs=(pair(FILM, other),)) == ([], [True, False])
