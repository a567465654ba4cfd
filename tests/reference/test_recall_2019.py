"""The pattern of a published recall, worked through: a maker, products, some by lot and some in all lots.

In May 2019 the US Food and Drug Administration warned of microbial contamination in tattoo inks. Its alert named a
maker and a product each, with single lots for some products and "all lots" for another. Maker, products and lots here
are invented, the pattern is the alert's.
"""

import datetime as dt

from archgen.records import model
from archgen.tracing.recall import trace, trace_product
from tests.builders import make_piece, make_record, paper_catalogue

LOTS = {
    "12024090": model.InkBatch(
        batch="12024090", name="Outlining", maker="Sample Ink Works", closed=dt.date(2019, 3, 1)
    ),
    "12026090": model.InkBatch(
        batch="12026090", name="Outlining", maker="Sample Ink Works", opened=dt.date(2019, 2, 1)
    ),
    "1001 0001": model.InkBatch(batch="1001 0001", name="Blue", maker="Sample Ink Works", opened=dt.date(2018, 9, 9)),
    "77": model.InkBatch(batch="77", name="Outlining", maker="Another Maker"),
}


def worn(name, client, month, *inks):
    record = make_record(client=client, finished=dt.date(2019, month, 1), ink=inks)
    return make_piece(name, record)


PIECES = (
    worn("wren", "C-1", 1, model.Ink(batch="12024090")),
    worn("oak", "C-2", 2, model.Ink(batch="012-024-090"), model.Ink(batch="77")),
    worn("crane", "C-3", 3, model.Ink(batch="12026090")),
    worn("slip", "C-4", 4, model.Ink(batch="12024900")),
    worn("wave", "C-1", 5, model.Ink(batch="10010001")),
    worn("kelp", "C-5", 6, model.Ink(name="Blue", maker="Sample Ink Works")),
    worn("moss", None, 7, model.Ink(name="Outlining")),
    worn("stone", "C-6", 8),
)


def test_a_recalled_lot_is_answered(tmp_path):
    found = trace(paper_catalogue(tmp_path, *PIECES, inks=LOTS), "12024090")
    # Hyphens elsewhere than on the label, with a zero in front, are the same number.
    assert [(use.client, use.piece.id, use.day.month) for use in found.matches] == [
        ("C-2", "oak", 2),
        ("C-1", "wren", 1),
    ]
    assert [near.lot for near in found.near] == ["12024900"]
    assert found.open == ()
    assert [gap.piece.id for gap in found.unrecorded] == ["kelp", "moss", "stone"]


def test_all_lots_of_a_product_are_answered(tmp_path):
    found = trace_product(paper_catalogue(tmp_path, *PIECES, inks=LOTS), "Sample Ink Works Blue")
    assert [(use.client, use.piece.id) for use in found.matches] == [("C-5", "kelp"), ("C-1", "wave")]
    assert [bottle.batch for bottle in found.open] == ["1001 0001"]


def test_another_makers_product_of_the_same_name_is_left_alone(tmp_path):
    found = trace_product(paper_catalogue(tmp_path, *PIECES, inks=LOTS), "Another Maker Outlining")
    assert [use.piece.id for use in found.matches] == ["oak"]
