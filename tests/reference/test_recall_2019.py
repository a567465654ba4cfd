"""The pattern of a published recall, worked through: a maker, products, some by batch and some in all batches.

In May 2019 the US Food and Drug Administration warned of microbial contamination in tattoo inks. Its alert named a
maker and a product each, with single batches for some products and "all lots" for another. Maker, products and batches
here are invented, the pattern is the alert's.
"""

import datetime as dt

import msgspec

from archgen.records import model
from archgen.tracing.book import BatchBook
from archgen.tracing.recall import recalls, trace, trace_product
from tests.builders import make_piece, make_record, paper_catalogue

RECALLED = dt.date(2019, 5, 15)
BOTTLES = {
    "73814402": model.InkBatch(
        batch="73814402", name="Outlining", maker="Sample Ink Works", closed=dt.date(2019, 3, 1), recalled=RECALLED
    ),
    "73816402": model.InkBatch(
        batch="73816402", name="Outlining", maker="Sample Ink Works", opened=dt.date(2019, 2, 1)
    ),
    "5520 0008": model.InkBatch(batch="5520 0008", name="Blue", maker="Sample Ink Works", opened=dt.date(2018, 9, 9)),
    "77": model.InkBatch(batch="77", name="Outlining", maker="Another Maker"),
}


def worn(name, client, month, *inks):
    record = make_record(client=client, finished=None, sitting=(model.Sitting(date=dt.date(2019, month, 1)),), ink=inks)
    return make_piece(name, record)


PIECES = (
    worn("wren", "C-1", 1, model.Ink(batch="Lot 73814402")),
    worn("oak", "C-2", 2, model.Ink(batch="073-814-402"), model.Ink(batch="77")),
    worn("crane", "C-3", 3, model.Ink(batch="73816402")),
    worn("slip", "C-4", 4, model.Ink(batch="73814042")),
    worn("wave", "c1", 5, model.Ink(batch="55200008")),
    worn("kelp", "C-5", 6, model.Ink(name="Blue", maker="Sample Ink Works")),
    worn("moss", None, 7, model.Ink(name="Outlining")),
    worn("stone", "C-6", 8),
    worn("reed", "C-7", 9, model.Ink(batch="see label photo", name="Black", maker="Another Maker")),
)


def book(tmp_path, *told, bottles=BOTTLES):
    return BatchBook(paper_catalogue(tmp_path, *PIECES, inks=bottles, clients={}, told=told))


def test_a_recalled_batch_is_answered(tmp_path):
    found = trace(book(tmp_path), "73814402")
    # Hyphens elsewhere than on the label, with a zero in front, are the same number.
    assert [(use.client, use.piece.id, use.last_day.month) for use in found.matches] == [
        ("C-2", "oak", 2),
        ("C-1", "wren", 1),
    ]
    assert [near.batch for near in found.near] == ["73814042"]
    assert found.open == ()
    # The last bottle was used up on 1 March: what was worked from June on is said to be ruled out, and is still listed.
    assert found.unrecorded == ()
    assert [gap.piece.id for gap in found.ruled_out] == ["kelp", "moss", "stone", "reed"]


def test_without_the_day_of_its_end_a_batch_is_ruled_out_by_another_product_only(tmp_path):
    still_open = msgspec.structs.replace(BOTTLES["73814402"], closed=None)
    found = trace(book(tmp_path, bottles={**BOTTLES, "73814402": still_open}), "73814402")
    assert [gap.piece.id for gap in found.unrecorded] == ["moss", "stone", "reed"]
    assert [(gap.piece.id, gap.why) for gap in found.ruled_out] == [("kelp", "Blue: another product")]


def test_all_batches_of_a_product_are_answered(tmp_path):
    found = trace_product(book(tmp_path), "Sample Ink Works Blue")
    assert [(use.client, use.piece.id) for use in found.matches] == [("C-5", "kelp"), ("c1", "wave")]
    assert [entry.batch for entry in found.open] == ["5520 0008"]


def test_all_products_of_a_maker_are_answered_by_person(tmp_path):
    found = trace_product(book(tmp_path), "sample ink works")
    assert sorted(wearer.client for wearer in found.wearers) == ["C-1", "C-2", "C-3", "C-5"]


def test_another_makers_product_of_the_same_name_is_left_alone(tmp_path):
    found = trace_product(book(tmp_path), "Another Maker Outlining")
    assert [use.piece.id for use in found.matches] == ["oak"]


def test_the_recall_is_over_when_each_wearer_was_told(tmp_path):
    told = [model.Told(batch="73814402", client=client, date=dt.date(2019, 5, 20)) for client in ("C-1", "C-2")]
    (begun,) = recalls(book(tmp_path, told[0]))
    (done,) = recalls(book(tmp_path, *told))
    assert [wearer.client for wearer in begun.to_tell] == ["C-2"]
    assert done.to_tell == ()
