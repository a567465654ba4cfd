"""The stencil versions of a piece: their order, the one on the skin, what lies over what."""

import dataclasses

import msgspec
import pytest

from archgen.catalogue import Twins
from archgen.picture_facts.gauge_facts import PairFacts, PairJob
from archgen.pieces.survey import survey
from archgen.records import model
from archgen.twins.model import Pair, Relation
from tests.builders import make_piece, make_record, paper_catalogue, paper_facts

FLAT = (1.0, 0.0, 0.0, 0.0, 1.0, 0.0)


def stencil(version, parent=None, width=None, name=None, **changes):
    width = None if width is None else model.Length(width)
    file = f"stencils/{name or version}.png"
    return model.Stencil(file=file, version=version, parent=parent, width=width, **changes)


def overview(tmp_path, *stencils, found=(), **changes):
    piece = make_piece(record=make_record(stencil=stencils))
    piece = msgspec.structs.replace(piece, stencils=(*piece.stencils, *(f"{piece.folder}/{file}" for file in found)))
    return survey(paper_catalogue(tmp_path, piece, **changes)).overviews[piece.id]


def names(versions):
    return [one.stencil.file.rpartition("/")[2].removesuffix(".png") for one in versions]


def test_each_version_follows_the_one_it_was_made_from(tmp_path):
    made = overview(tmp_path, stencil(4, 2), stencil(3, 1), stencil(2, 1), stencil(1), stencil(5))
    assert names(made.versions) == ["1", "2", "4", "3", "5"]
    places = [(one.column, one.starts_row, one.leads_on) for one in made.versions]
    assert places == [
        (0, True, True),
        (1, False, True),
        (2, False, False),
        (1, True, False),
        (0, True, False),
    ]


def test_a_ring_or_a_parent_that_does_not_exist_hides_nothing(tmp_path):
    made = overview(tmp_path, stencil(1, 2), stencil(2, 1), stencil(3, 9))
    assert sorted(names(made.versions)) == ["1", "2", "3"]
    assert made.versions[0].stencil.version == 3  # what has no parent here is a first drawing
    assert (made.versions[0].column, made.versions[0].starts_row) == (0, True)


def test_drawings_without_a_number_come_last_by_name(tmp_path):
    made = overview(tmp_path, stencil(None, name="b"), stencil(None, name="a"), stencil(2))
    assert names(made.versions) == ["2", "a", "b"]


def test_a_drawing_of_the_folder_alone_is_there_and_said_to_be_so(tmp_path):
    made = overview(tmp_path, stencil(1), found=("stencils/x.png",))
    assert [(name, one.is_described) for name, one in zip(names(made.versions), made.versions, strict=True)] == [
        ("1", True),
        ("x", False),
    ]
    assert made.versions[1].path == "pieces/2026-03-14-barn-owl/stencils/x.png"


@pytest.mark.parametrize(
    ("stencils", "applied"),
    [
        ((stencil(1), stencil(2, applied=True)), 2),
        ((stencil(1),), 1),
        ((stencil(1), stencil(2)), None),
        ((stencil(1, applied=True), stencil(2, applied=True), stencil(3)), None),
        ((), None),
    ],
)
def test_one_version_went_on_the_skin_the_marked_or_the_only_one(tmp_path, stencils, applied):
    made = overview(tmp_path, *stencils)
    assert (made.applied.stencil.version if made.applied else None) == applied
    assert [one.stencil.version for one in made.versions if one.is_applied] == ([applied] if applied else [])


def test_the_height_of_the_marks_follows_from_their_width(tmp_path):
    wide, unknown = overview(tmp_path, stencil(1, width=62), stencil(2)).versions
    assert wide.height_mm == pytest.approx(62 * 600 / 400)  # the box of paper_facts
    assert unknown.height_mm is None
    (unread,) = overview(tmp_path, stencil(1, width=62), facts={}).versions
    assert (unread.facts, unread.height_mm) == (None, None)


@pytest.mark.parametrize("marks", [None, (300, 200, 300, 800)])
def test_what_has_no_marks_has_no_height(tmp_path, marks):
    path = "pieces/2026-03-14-barn-owl/stencils/1.png"
    facts = {path: msgspec.structs.replace(paper_facts(path), marks=marks)}
    (version,) = overview(tmp_path, stencil(1, width=62), facts=facts).versions
    assert version.height_mm is None


def laid(tmp_path, *stencils, **changes):
    """The overview with every version found to lie 2 mm right of and 3 mm above the one it was made from."""
    piece = make_piece(record=make_record(stencil=stencils))
    catalogue = paper_catalogue(tmp_path, piece)
    copies = {one.file: f"{one.file}.png" for one in stencils}
    facts = {}
    for path, known in catalogue.facts.items():
        copy = msgspec.structs.replace(known.screen[0], blob=copies.get(path.removeprefix(f"{piece.folder}/"), "x"))
        facts[path] = msgspec.structs.replace(known, print_copy=copy)
    jobs = changes["jobs"]
    overlays = {PairJob(*(f"stencils/{n}.png.png" for n in job[:2]), *job[2:]): PairFacts(2.0, -3.0) for job in jobs}
    surveyed = survey(dataclasses.replace(catalogue, facts=facts, overlays=overlays))
    return surveyed.overviews[piece.id]


def test_a_version_lies_over_the_one_it_was_made_from(tmp_path):
    made = laid(
        tmp_path, stencil(2, 1, width=50, mirrored=True), stencil(1, width=60), jobs=[(1, 2, 60.0, 50.0, False, True)]
    )
    (pair,) = made.overlays
    assert names([made.versions[pair.parent], made.versions[pair.child]]) == ["1", "2"]
    assert (pair.parent_mm, pair.child_mm, pair.is_to_scale) == (60.0, 50.0, True)
    assert (pair.facts.right_mm, pair.facts.down_mm) == (2.0, -3.0)


def test_without_a_width_both_are_laid_equally_wide(tmp_path):
    (pair,) = laid(tmp_path, stencil(1), stencil(2, 1, width=50), jobs=[(1, 2, 100.0, 100.0)]).overlays
    assert (pair.parent_mm, pair.child_mm, pair.is_to_scale) == (100.0, 100.0, False)


def test_what_was_not_compared_lies_over_nothing(tmp_path):
    assert laid(tmp_path, stencil(1, width=60), stencil(2, 1, width=50), jobs=[]).overlays == ()


def test_other_pieces_that_use_a_drawing_are_named_once(tmp_path):
    owl, moth, koi = (make_piece(name, make_record(title=name.title())) for name in ("owl", "moth", "koi"))
    pairs = (
        Pair(owl.stencils[0], moth.stencils[0], Relation.VERSION, False, 0, FLAT, 0.99),
        Pair(owl.stencils[0], moth.stencils[1], Relation.IDENTICAL, False, 0, FLAT, 0.99),
        Pair(koi.stencils[0], owl.stencils[0], Relation.IDENTICAL, True, 0, FLAT, 0.99),
        Pair(owl.stencils[0], owl.stencils[1], Relation.VERSION, False, 0, FLAT, 0.99),
        Pair(owl.stencils[1], moth.stencils[0], Relation.VERSION, False, 0, FLAT, 0.1),
        Pair(owl.references[0], moth.references[0], Relation.IDENTICAL, False, 0, FLAT, 1.0),
    )
    overviews = survey(paper_catalogue(tmp_path, owl, moth, koi, twins=Twins(pairs=pairs))).overviews
    first, second = overviews["owl"].versions
    assert [(use.piece_id, use.title, use.path) for use in first.elsewhere] == [
        ("koi", "Koi", koi.stencils[0]),
        ("moth", "Moth", moth.stencils[0]),
    ]
    assert [use.pair for use in first.elsewhere] == [pairs[2], pairs[0]]
    assert second.elsewhere == ()
    assert [use.piece_id for use in overviews["moth"].references[0].elsewhere] == ["owl"]
