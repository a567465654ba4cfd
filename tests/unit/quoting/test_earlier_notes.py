"""Notes of earlier pieces come back by place and by client."""

import datetime as dt

import pytest

from archgen.quoting.earlier_notes import MOST, earlier_notes, noted_before
from archgen.records import model
from tests.builders import make_piece

DAY = dt.date(2026, 1, 1)


def piece(number, region="calf", client=None, note="scales and bark", **more):
    day = DAY + dt.timedelta(days=number)
    sitting = (model.Sitting(date=day, note=note),)
    placement = model.Placement(region=region)
    return make_piece(
        f"p{number}", model.PieceRecord(title=f"P{number}", client=client, placement=placement, sitting=sitting, **more)
    )


def test_notes_on_the_place_come_latest_first():
    found = earlier_notes([piece(1), piece(3, note="quick"), piece(2, "wrist")], "calf")
    assert [(note.title, note.text, note.what) for note in found] == [
        ("P3", "quick", "sitting"),
        ("P1", "scales and bark", "sitting"),
    ]


def test_what_needed_care_comes_first_then_the_clients_own():
    pieces = [
        piece(1, note="skin slow to take, rested ten minutes"),
        piece(2, "wrist", "C-1", "blew out at the edge"),
        piece(3, "wrist", "C-1"),
        piece(4),
        piece(5, note="all fine"),
        piece(6, note=None, healing=(model.Healing(date=DAY, note="lines", touch_up=True),)),
    ]
    assert [note.piece for note in earlier_notes(pieces, "calf", "C-1")] == ["p2", "p1", "p6", "p3", "p4"]
    assert [note.is_warning for note in earlier_notes(pieces, "calf", "C-1")] == [True, True, True, False, False]


def test_a_pieces_own_notes_come_back_on_it():
    own = piece(1, note="skin slow")
    assert [note.piece for note in noted_before(own, [own, piece(2, "wrist")])] == ["p1"]


def test_the_clients_own_come_first_wherever_they_were():
    found = earlier_notes([piece(9), piece(1, "wrist", "C-0012"), piece(2, "wrist", "C-0013")], "calf", "c12")
    assert [(note.title, note.is_of_client) for note in found] == [("P1", True), ("P9", False)]


@pytest.mark.parametrize(
    ("held", "applied", "said"), [("bled", True, ["bled"]), (" Well", True, []), ("bled", False, []), (None, True, [])]
)
def test_how_the_stencil_held_is_said_unless_it_simply_held(held, applied, said):
    stencil = (model.Stencil(file="a.png", held=held, applied=applied),)
    assert [note.text for note in earlier_notes([piece(1, note=None, stencil=stencil)], "calf")] == said


def test_healing_is_noted_too_and_blank_notes_are_none():
    healing = (model.Healing(date=DAY, note="settled crooked"), model.Healing(date=DAY, note="  "))
    (note,) = earlier_notes([piece(1, note=" ", healing=healing)], "calf")
    assert (note.what, note.text, note.day) == ("healing", "settled crooked", DAY)


def test_no_more_than_a_strip():
    assert len(earlier_notes([piece(number) for number in range(20)], "calf")) == MOST
    assert earlier_notes([piece(1)], "calf")[0].piece == "p1"


def test_without_place_and_client_nothing_comes():
    assert earlier_notes([piece(1, None)], None) == ()
    assert earlier_notes([piece(1)], "wrist") == ()
