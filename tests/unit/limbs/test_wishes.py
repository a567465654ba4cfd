"""What a client wants next is found in notes, with the place it names; nothing else is taken for a wish."""

import datetime as dt

import msgspec
import pytest

from archgen.limbs.wishes import wishes_of
from archgen.records import model
from tests.unit.limbs.on_a_limb import limb_piece, overviews


def found(tmp_path, notes, client=None):
    return wishes_of(overviews(tmp_path, limb_piece(1, "forearm-outer", notes=notes)), client)


@pytest.mark.parametrize(
    ("note", "text", "place"),
    [
        ("- sits still\n- wants a fish on the calf next (a koi)", "wants a fish on the calf next (a koi)", "calf"),
        ("Lovely. Would like another on her shin.", "Would like another on her shin.", "shin"),
        ("Wants to add buds below some day; leave the stem open.", "Wants to add buds below some day;", None),
        ("Next: a moth", "Next: a moth", None),
        ("First half of a pair, the other arm in spring.", "First half of a pair, the other arm in spring.", None),
        ("Sie möchte noch eine Eule auf der Wade.", "Sie möchte noch eine Eule auf der Wade.", None),
    ],
)  # fmt: skip
def test_a_wish_is_found(tmp_path, note, text, place):
    assert [(one.text, one.place) for one in found(tmp_path, note)] == [(text, place)]


@pytest.mark.parametrize(
    "note",
    [
        "He wants to keep that to himself.",
        "Runa wants to see it when it has healed.",
        "Only one of them still wants to be shown.",
        "Wants the photos taken down.",
        "Wants a photo of it healed.",
        "Touch-up offered for autumn.",
        "A second one came next.",
    ],
)
def test_other_sentences_are_no_wishes(tmp_path, note):
    assert found(tmp_path, note) == ()


def test_a_later_piece_on_the_place_is_named_for_it_may_be_the_one(tmp_path):
    owl = limb_piece(1, "forearm-outer", notes="wants a fish on the calf")
    koi = limb_piece(2, "calf")
    day = dt.date(2026, 1, 1)
    pieces = [
        msgspec.structs.replace(piece, record=msgspec.structs.replace(piece.record, finished=day + dt.timedelta(late)))
        for piece, late in ((owl, 0), (koi, 9))
    ]
    (wish,) = wishes_of(overviews(tmp_path, *pieces), None)
    assert (wish.noted, wish.day, wish.since) == ("Piece 1", day, "Piece 2")


def test_the_register_is_read_too(tmp_path):
    (wish,) = found(tmp_path, None, model.Client(code="C-1", notes="Plans: a snake round the arm"))
    assert (wish.noted, wish.text) == (None, "Plans: a snake round the arm")
