"""What follows from a piece, as one value."""

import dataclasses
import datetime as dt

import msgspec
import pytest

from archgen.pieces.survey import survey
from archgen.publication.decision import decide_publication
from archgen.publication.public_catalogue import make_public_catalogue
from archgen.records import model
from archgen.rules.runner import run_rules
from tests.builders import make_piece, make_record, paper_catalogue

Length = model.Length


def overview(tmp_path, **record):
    piece = make_piece(record=make_record(**record))
    return survey(paper_catalogue(tmp_path, piece)).overviews[piece.id]


def test_sittings_and_touch_ups_are_counted_apart(tmp_path):
    day = dt.date(2026, 3, 14)
    touch_up = model.Sitting(date=day, kind=model.SittingKind.TOUCH_UP)
    assert overview(tmp_path, sitting=(model.Sitting(date=day), touch_up, touch_up)).visits == (1, 2)
    assert overview(tmp_path, sitting=()).visits == (0, 0)


@pytest.mark.parametrize(
    ("size", "longest"), [((62, 88), 88), ((90, None), 135), ((None, 12), 12), ((None, None), None)]
)
def test_the_longest_side_is_that_of_the_piece_on_skin(tmp_path, size, longest):
    # The applied stencil is half as high again as wide: a side the record leaves out follows from that.
    width, height = (None if side is None else Length(side) for side in size)
    assert overview(tmp_path, size=model.Size(width=width, height=height)).longest_mm == longest


def test_a_piece_wraps_by_its_size_on_skin_and_the_stencil_by_its_own(tmp_path):
    made = overview(tmp_path, size=model.Size(width=Length(134)))
    assert made.limb.girth_mm == 268
    assert made.wrap.angle_deg == pytest.approx(180)
    assert made.stencil_wrap.angle_deg == pytest.approx(360 * 57 / 268)


def test_without_a_size_the_piece_is_as_wide_as_its_stencil(tmp_path):
    assert overview(tmp_path, size=model.Size()).wrap.angle_deg == pytest.approx(360 * 57 / 268)
    assert overview(tmp_path, size=model.Size(), stencil=()).wrap is None


def test_an_average_stands_in_for_a_girth_that_was_not_measured(tmp_path):
    made = overview(tmp_path, placement=model.Placement(region="forearm-outer"))
    assert (made.limb.measured, made.wrap.girth_mm) == (False, made.limb.girth_mm)


@pytest.mark.parametrize("girth", [29, 2001])
def test_nothing_wraps_round_a_girth_no_body_has(tmp_path, girth):
    made = overview(tmp_path, placement=model.Placement(region="forearm-outer", girth=Length(girth)))
    assert made.limb.girth_mm == girth
    assert (made.wrap, made.stencil_wrap) == (None, None)


def test_where_there_is_no_limb_nothing_wraps(tmp_path):
    made = overview(tmp_path, placement=model.Placement())
    assert (made.limb, made.wrap, made.stencil_wrap) == (None, None, None)


def test_every_reference_has_the_answers_that_were_decided(tmp_path):
    piece = make_piece()
    found = f"{piece.folder}/references/found.jpg"
    piece = msgspec.structs.replace(piece, references=(*piece.references, found))
    catalogue = paper_catalogue(tmp_path, piece)
    made = survey(catalogue).overviews[piece.id]
    described, bare = made.references
    assert (described.rights, described.is_described) == (made.publication.references[0], True)
    assert described.facts is catalogue.facts[piece.references[0]]
    assert (bare.reference.file, bare.is_described) == ("references/found.jpg", False)
    assert bare.rights == dict(made.publication.undescribed)["references/found.jpg"]
    assert made.publication == decide_publication(piece, catalogue)


def test_a_link_is_a_reference_without_a_picture(tmp_path):
    link = model.Reference(source="https://example.org", license="own-work")
    (one,) = overview(tmp_path, reference=(link,)).references
    assert (one.reference, one.facts, one.elsewhere) == (link, None, ())


def test_neighbours_are_those_of_the_home_page(tmp_path):
    broken = model.Piece(id="broken", record=None)
    pieces = (make_piece("new", make_record(title="New")), broken, make_piece("old", make_record(title="Old")))
    overviews = survey(paper_catalogue(tmp_path, *pieces)).overviews
    around = {key: (one.newer and one.newer.piece_id, one.older and one.older.title) for key, one in overviews.items()}
    assert around == {"new": (None, "Old"), "broken": ("old", None), "old": ("new", "broken")}
    assert list(overviews) == ["new", "broken", "old"]


def test_a_broken_piece_has_an_overview_of_what_is_there(tmp_path):
    broken = model.Piece(id="broken", record=None, stencils=("pieces/broken/stencils/a.png",))
    made = survey(paper_catalogue(tmp_path, broken)).overviews["broken"]
    assert (made.id, made.title, made.record) == ("broken", "broken", None)
    assert [one.path for one in made.versions] == ["pieces/broken/stencils/a.png"]
    assert (made.applied, made.needles, made.inks, made.follow_up.due, made.publication.shown) == (
        None,
        (),
        (),
        (),
        False,
    )


def test_a_piece_is_the_same_value_however_often_it_is_worked_out(tmp_path):
    catalogue = paper_catalogue(tmp_path, make_piece("a"), make_piece("b"))
    first, second = (repr(survey(catalogue).overviews["a"]) for _ in range(2))
    assert first == second
    other = paper_catalogue(tmp_path, make_piece("a"), make_piece("b", make_record(client="C-9")))
    assert repr(survey(other).overviews["a"]) == first
    changed = paper_catalogue(tmp_path, make_piece("a", make_record(client="C-9")), make_piece("b"))
    assert repr(survey(changed).overviews["a"]) != first


def test_findings_may_be_replaced_and_the_overviews_stay(tmp_path):
    surveyed = survey(paper_catalogue(tmp_path))
    checked = dataclasses.replace(surveyed, findings=tuple(run_rules(surveyed)))
    assert checked.overviews is surveyed.overviews
    assert checked.findings


def test_what_was_decided_is_not_decided_again(tmp_path):
    shown, kept = make_piece("shown"), make_piece("kept", make_record(title="Kept", publish=False))
    surveyed = survey(paper_catalogue(tmp_path, shown, kept))
    assert {key: one.shown for key, one in surveyed.publications.items()} == {"shown": True, "kept": False}
    assert [piece.slug for piece in make_public_catalogue(surveyed, surveyed.publications).pieces] == ["barn-owl"]
    turned = {"shown": surveyed.publications["kept"], "kept": surveyed.publications["shown"]}
    assert [piece.slug for piece in make_public_catalogue(surveyed, turned).pieces] == ["kept"]
