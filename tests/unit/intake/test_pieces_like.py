"""What a picture shows is said as sure only where no other piece holds nearly the same drawing."""

import pytest
from msgspec.structs import replace

from archgen.catalogue import Settled, Twins
from archgen.intake.comparing.pieces_like import PieceLike, with_much_alike
from archgen.twins.model import Pair, Relation
from tests.builders import make_catalogue, make_piece, paper_facts

OWL, KOI, FERN = "2026-03-14-owl", "2026-03-15-koi", "2026-03-16-fern"


def drawing(piece):
    return f"pieces/{piece}/stencils/1.png"


def photo(piece):
    return f"pieces/{piece}/photos/1.jpg"


@pytest.fixture
def archive(tmp_path):
    """Give an archive of three pieces whose pictures of these paths are pairs."""

    def made(*pairs, settled=()):
        pieces = [
            replace(make_piece(piece), stencils=(drawing(piece),), photos=(photo(piece),)) for piece in (OWL, KOI, FERN)
        ]
        found = [
            [Pair(*sorted(one), Relation.EDITED, mirrored=False, turned=0, transform=(1, 0, 0, 0, 1, 0), score=0.8)
             for one in ones]
            for ones in (pairs, settled)
        ]  # fmt: skip
        twins = Twins(pairs=tuple(found[0]), settled=(Settled(None, False, None, tuple(found[1])),))
        return make_catalogue(tmp_path, *pieces, facts_of=paper_facts, twins=twins)

    return made


def like(piece, path=drawing, **how):
    return PieceLike(piece, piece, path(piece), "Its lines lie on those of", **{"is_sure": True, **how})


def said(catalogue, *found):
    return [(one.piece, one.path, one.is_sure) for one in with_much_alike(found, catalogue)]


def test_nothing_alike_stays_sure(archive):
    assert said(archive(), like(OWL), like(KOI, is_sure=False)) == [
        (OWL, drawing(OWL), True),
        (KOI, drawing(KOI), False),
    ]
    own = archive((drawing(OWL), drawing(OWL).replace("1.png", "2.png")))
    assert said(own, like(OWL)) == [(OWL, drawing(OWL), True)]


def test_what_is_not_sure_brings_nobody_else(archive):
    catalogue = archive((drawing(KOI), drawing(OWL)))
    assert said(catalogue, like(OWL, is_sure=False)) == [(OWL, drawing(OWL), False)]


@pytest.mark.parametrize("is_settled", [False, True])
def test_of_two_much_alike_drawings_both_are_said_and_neither_is_sure(archive, is_settled):
    pairs = [(drawing(KOI), drawing(OWL))]
    catalogue = archive(settled=pairs) if is_settled else archive(*pairs)
    for path in (drawing, photo):
        first, second, *rest = with_much_alike([like(OWL, path), like(FERN, is_sure=False)], catalogue)
        assert (first.piece, first.is_sure, first.words) == (OWL, False, "It may be a copy of")
        assert (second.piece, second.path, second.is_sure) == (KOI, drawing(KOI), False)
        assert second.words == "Nearly the same drawing is also"
        assert [one.piece for one in rest] == [FERN]


def test_one_that_was_found_anyway_is_told_next_and_once(archive):
    catalogue = archive((drawing(KOI), drawing(OWL)))
    found = like(OWL), like(FERN, is_sure=False), like(KOI, photo, is_sure=False), like(KOI, is_sure=False)
    assert said(catalogue, *found) == [
        (OWL, drawing(OWL), False),
        (KOI, photo(KOI), False),
        (FERN, drawing(FERN), False),
    ]


def test_two_sure_ones_are_both_doubted_but_not_the_picture_itself(archive):
    catalogue = archive((drawing(KOI), drawing(OWL)))
    assert [sure for *_, sure in said(catalogue, like(OWL), like(KOI))] == [False, False]
    assert said(catalogue, like(OWL, is_exact=True)) == [(OWL, drawing(OWL), True)]
    assert [sure for *_, sure in said(catalogue, like(OWL), like(KOI, is_exact=True))] == [False, True]
    assert [sure for *_, sure in said(catalogue, like(KOI, is_exact=True), like(FERN), like(OWL))] == [
        True,
        True,
        False,
    ]


def test_photos_that_are_alike_are_no_drawings(archive):
    assert said(archive((photo(KOI), photo(OWL))), like(OWL, photo)) == [(OWL, photo(OWL), True)]
