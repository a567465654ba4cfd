"""Pairs proved in child processes are those proved here."""

from dataclasses import replace
from itertools import combinations

import pytest
from PIL import ImageOps

from archgen.isolation.child import WorkFailedError
from archgen.twins import proving
from archgen.twins.description.prepared import Prepared
from archgen.twins.engine import find_pairs
from archgen.twins.model import Relation
from tests.unit.twins.pictures import drawing, items, photograph

DRAWING, PHOTOGRAPH = drawing(1), photograph(1)


@pytest.fixture(scope="module")
def pictures():
    many = items(
        a=DRAWING, b=ImageOps.mirror(DRAWING), c=drawing(2), d=DRAWING.rotate(90, expand=True), e=drawing(3),
        p=PHOTOGRAPH, q=ImageOps.flip(PHOTOGRAPH), r=photograph(2),
    )  # fmt: skip
    many[0], many[3] = replace(many[0], is_stencil=True), replace(many[3], is_stencil=True)
    # As they lie in the cache.
    return [replace(one, prepared=Prepared.from_bytes(one.prepared.to_bytes())) for one in many]


def in_children(monkeypatch):
    calls = []

    def counted(*given, **arguments):
        calls.append(len(arguments["pairs"]))
        return call(*given, **arguments)

    call = proving.call
    monkeypatch.setattr(proving, "FEW", 1)
    monkeypatch.setattr(proving, "PART", 3)
    monkeypatch.setattr(proving, "call", counted)
    return calls


def test_children_find_the_same_pairs_and_count_the_same(pictures, monkeypatch):
    ticks_here, ticks_apart = [], []
    here = find_pairs(pictures, progress=lambda *done: ticks_here.append(done))
    calls = in_children(monkeypatch)
    apart = find_pairs(pictures, progress=lambda *done: ticks_apart.append(done))
    assert apart == here
    assert {pair.relation for pair in here} >= {Relation.MIRRORED, Relation.TURNED}
    assert ticks_apart == ticks_here
    assert len(calls) > 1
    assert max(calls) == 3


@pytest.mark.parametrize("error", [WorkFailedError("takes too much memory"), proving.RaisedError("OSError", ())])
def test_what_a_child_cannot_do_is_done_here(pictures, monkeypatch, error):
    here = find_pairs(pictures)
    in_children(monkeypatch)

    def fails(*_given, **_arguments):
        raise error

    monkeypatch.setattr(proving, "call", fails)
    assert find_pairs(pictures) == here


def test_a_few_pairs_start_no_child(pictures, monkeypatch):
    monkeypatch.setattr(proving, "call", lambda *_, **__: pytest.fail("a child for a few pairs"))
    assert len(list(combinations(pictures, 2))) < proving.FEW
    assert find_pairs(pictures)
