"""On whose skin a lot is."""

import datetime as dt

import pytest

from archgen.records import model
from archgen.tracing.recall import LotKind, trace, trace_product
from tests.builders import make_piece, make_record, paper_catalogue

DAY = dt.date(2026, 3, 14)
BOTTLE = model.InkBatch(batch="GW2-2231", name="grey wash 2", maker="Brackwater", opened=DAY)


def piece(name, *inks, needles=(), **changes):
    changes = {"ink": inks or (model.Ink(batch="OTHER-1"),), "needle": needles or (FULL,), **changes}
    return make_piece(name, make_record(**changes))


FULL = model.Needle(code="3RL", batch="N-1", sterilisation="S-1")


def catalogue(tmp_path, *pieces, bottles=(BOTTLE,)):
    return paper_catalogue(tmp_path, *pieces, inks={bottle.batch: bottle for bottle in bottles})


def ids(found):
    return [use.piece.id for use in found.matches]


def test_every_piece_with_the_lot_is_found_however_it_is_written(tmp_path):
    pieces = [piece(f"p{n}", model.Ink(batch=text)) for n, text in enumerate(("GW2-2231", "gw2 2231", "GW02-2231"))]
    found = trace(catalogue(tmp_path, *pieces, piece("other")), "gw22231")
    assert ids(found) == ["p0", "p1", "p2"]
    assert {use.name for use in found.matches} == {"grey wash 2"}


def test_the_latest_piece_comes_first_and_an_undated_one_last(tmp_path):
    days = {"old": dt.date(2024, 1, 1), "new": dt.date(2026, 1, 1), "undated": None}
    pieces = [piece(name, model.Ink(batch="GW2-2231"), finished=day, sitting=()) for name, day in days.items()]
    assert ids(trace(catalogue(tmp_path, *pieces), "GW2-2231")) == ["new", "old", "undated"]


def test_near_numbers_stand_apart(tmp_path):
    found = trace(catalogue(tmp_path, piece("slip", model.Ink(batch="GW2-2213"))), "GW2-2231")
    assert found.matches == ()
    assert [(near.lot, near.difference, [u.piece.id for u in near.uses]) for near in found.near] == [
        ("GW2-2213", "two signs changed round", ["slip"])
    ]


@pytest.mark.parametrize(("number", "kind"), [("n 88213", LotKind.NEEDLE), ("s7", LotKind.STERILISATION)])
def test_needles_and_sterilisation_lots_are_traced_too(tmp_path, number, kind):
    needle = model.Needle(code="1003RL", batch="N-88213", sterilisation="S-7")
    found = trace(catalogue(tmp_path, piece("a", needles=(needle,))), number)
    assert (found.kinds, ids(found)) == ((kind,), ["a"])


def test_a_kind_asked_for_leaves_the_others_out(tmp_path):
    both = piece("a", model.Ink(batch="77001"), needles=(model.Needle(code="3RL", batch="77001"),))
    found = trace(catalogue(tmp_path, both), "77001", LotKind.NEEDLE)
    assert [use.kind for use in found.matches] == [LotKind.NEEDLE]


def test_bottles_not_used_up_are_open(tmp_path):
    used_up = model.InkBatch(batch="gw2 2231", closed=DAY)
    found = trace(catalogue(tmp_path, piece("a"), bottles=(BOTTLE, used_up)), "GW2-2231")
    assert [bottle.batch for bottle in found.open] == ["GW2-2231"]
    assert found.kinds == (LotKind.INK,)


def test_pieces_that_cannot_be_answered_for_are_named_with_what_is_missing(tmp_path):
    pieces = (
        piece("used", model.Ink(batch="GW2-2231"), model.Ink(name="black")),
        piece("half", model.Ink(batch="BK-1"), model.Ink(name="black")),
        piece("none", ink=()),
        piece("whole", model.Ink(batch="BK-1")),
        model.Piece(id="broken", record=None),
    )
    found = trace(catalogue(tmp_path, *pieces), "GW2-2231")
    assert {gap.piece.id: gap.why for gap in found.unrecorded} == {
        "half": "no batch for black",
        "none": "no ink is recorded",
        "broken": "the record cannot be read",
    }


def test_needles_without_a_lot_matter_to_a_needle_recall_only(tmp_path):
    pieces = (piece("a", needles=(FULL,)), piece("b", needles=(model.Needle(code="7RL"),)))
    assert [gap.why for gap in trace(catalogue(tmp_path, *pieces), "N-1").unrecorded] == ["no lot for 7RL"]
    assert trace(catalogue(tmp_path, *pieces), "OTHER-1").unrecorded == ()


@pytest.mark.parametrize("asked", ["grey wash 2", "GREY WASH", "brackwater", "Brackwater grey"])
def test_all_lots_of_a_product_or_maker_are_found_by_words(tmp_path, asked):
    found = trace_product(catalogue(tmp_path, piece("a", model.Ink(batch="gw2 2231")), piece("b")), asked)
    assert ids(found) == ["a"]


def test_a_product_without_a_lot_counts_among_all_lots(tmp_path):
    found = trace_product(catalogue(tmp_path, piece("a", model.Ink(name="Grey wash 2"))), "grey wash 2")
    assert [(use.piece.id, use.lot) for use in found.matches] == [("a", None)]


def test_a_part_of_a_word_is_not_the_product(tmp_path):
    assert trace_product(catalogue(tmp_path, piece("a", model.Ink(batch="GW2-2231"))), "gre").matches == ()


def test_inks_nobody_named_cannot_be_answered_for_by_product(tmp_path):
    pieces = (
        piece("nameless", model.Ink(batch="ZZ-1")),
        piece("none", ink=()),
        piece("named", model.Ink(name="black")),
    )
    found = trace_product(catalogue(tmp_path, *pieces), "grey wash")
    assert {gap.piece.id for gap in found.unrecorded} == {"nameless", "none"}
