"""What the catalogue gives of the register."""

import datetime as dt

import pytest

from archgen.records import model
from tests.builders import paper_catalogue

OLD = model.InkBatch(batch="GW2-2231", name="grey wash 2")
NEW = model.InkBatch(batch="BK-1042", name="dense black", recalled=dt.date(2026, 5, 2))
TWICE = model.InkBatch(batch="gw2 2231")
WORDS = model.InkBatch(batch="the new one, 2026")


@pytest.fixture
def catalogue(tmp_path):
    return paper_catalogue(tmp_path, inks={one.batch: one for one in (OLD, NEW, TWICE, WORDS)})


@pytest.mark.parametrize(
    ("written", "bottles"),
    [
        ("GW2-2231", [OLD]),
        ("gw2 2231", [TWICE]),
        ("Lot GW02-2231", [OLD, TWICE]),
        ("GW2-2231, BK-1042", [OLD, NEW, TWICE]),
        ("the new one, 2026", [WORDS]),
        ("unknown", []),
        ("ZZ-1", []),
        (None, []),
        ("", []),
    ],
)
def test_the_bottles_of_a_field_are_found_exactly_written_ones_first(catalogue, written, bottles):
    assert list(catalogue.bottles(written)) == bottles


def test_of_several_bottles_the_one_under_recall_is_given(catalogue):
    assert catalogue.bottle("GW2-2231, BK-1042") == NEW
    assert catalogue.bottle("GW2-2231") == OLD
    assert catalogue.bottle("ZZ-1") is None
