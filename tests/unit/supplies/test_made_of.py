"""What a piece was made of, as the studio recorded it."""

import datetime as dt

import msgspec
import pytest

from archgen.records import model
from archgen.supplies.made_of import ClaimAnswer, in_use, made_of
from archgen.wording.planning.stock import STUDIO_SAYS, made_of_words
from tests.builders import make_catalogue, make_piece

DAY = dt.date(2026, 3, 14)


def ask(tmp_path, *claims, supplies=(), claim="vegan", inks=None):
    """Ask of a piece with one ink for each tuple of claims."""
    bottles = [
        model.InkBatch(batch=f"B-{at}", name=f"ink {at}", claims=said, claim_source="label")
        for at, said in enumerate(claims)
    ]
    inks = tuple(model.Ink(batch=one.batch) for one in bottles) if inks is None else inks
    piece = make_piece("owl", model.PieceRecord(title="Owl", ink=inks, sitting=(model.Sitting(date=DAY),)))
    by_batch = {one.batch: one for one in bottles}
    return made_of(piece, make_catalogue(tmp_path, piece, inks=by_batch, supplies=tuple(supplies)), claim)


@pytest.mark.parametrize(
    ("claims", "answer"),
    [
        ([("vegan",)], ClaimAnswer.YES),
        ([("Vegan", "sterile"), ("vegan",)], ClaimAnswer.YES),
        ([("vegan",), ()], ClaimAnswer.UNKNOWN),
        ([("vegan",), ("cruelty-free",)], ClaimAnswer.UNKNOWN),
        ([("vegan-friendly",)], ClaimAnswer.UNKNOWN),
        ([("vegan",), ("not vegan",)], ClaimAnswer.NO),
        ([(), ("non-vegan",)], ClaimAnswer.NO),
        ([], ClaimAnswer.UNKNOWN),
    ],
)
def test_yes_needs_everything_and_no_one_thing(tmp_path, claims, answer):
    assert ask(tmp_path, *claims).answer is answer


def test_an_ink_that_no_bottle_is_known_of_cannot_be_said(tmp_path):
    found = ask(tmp_path, ("vegan",), inks=(model.Ink(batch="B-0"), model.Ink(name="brown")))
    assert found.answer is ClaimAnswer.UNKNOWN
    assert [(one.name, one.answer) for one in found.materials][1] == ("brown", ClaimAnswer.UNKNOWN)


@pytest.mark.parametrize(
    ("opened", "closed", "counts"),
    [
        (None, None, True),
        (DAY, DAY, True),
        (DAY + dt.timedelta(1), None, False),
        (None, DAY - dt.timedelta(1), False),
    ],
)
def test_a_supply_counts_when_it_was_open_on_the_day(tmp_path, opened, closed, counts):
    soap = model.Supply(name="green soap", opened=opened, closed=closed)
    found = ask(tmp_path, ("vegan",), supplies=[soap])
    assert ("green soap" in [one.name for one in found.materials]) is counts
    assert found.answer is (ClaimAnswer.UNKNOWN if counts else ClaimAnswer.YES)


def test_the_answer_is_the_studios_with_its_sources(tmp_path):
    assert made_of_words(ask(tmp_path, ("vegan",))) == (
        "Everything recorded of it is recorded as vegan.",
        "ink 0 (B-0): yes, by label.",
        STUDIO_SAYS,
    )
    assert made_of_words(ask(tmp_path, ("not vegan",), (), ("vegan",))) == (
        "No: ink 0 (B-0) is recorded as not vegan.",
        "It can't be said: nothing is recorded about ink 1 (B-1).",
        "ink 0 (B-0): no, by label.",
        "ink 2 (B-2): yes, by label.",
        STUDIO_SAYS,
    )
    assert "Nothing is recorded of what went into it" in made_of_words(ask(tmp_path))[0]


def test_a_record_that_cannot_be_read_says_nothing(tmp_path):
    piece = msgspec.structs.replace(make_piece("owl"), record=None)
    assert made_of(piece, make_catalogue(tmp_path), "vegan").materials == ()


@pytest.mark.parametrize(
    ("bottle", "ink", "name"),
    [
        (model.InkBatch(batch="B", name="red"), model.Ink(batch="B", name="my red"), "red"),
        (model.InkBatch(batch="B"), model.Ink(batch="B", name="my red"), "my red"),
        (model.InkBatch(batch="B"), model.Ink(batch="B"), "B"),
        (None, model.Ink(batch="C", name="brown"), "brown"),
        (None, model.Ink(batch="C"), "C"),
        (None, model.Ink(use="lines"), "an ink"),
    ],
)
def test_an_ink_is_called_by_the_best_name_there_is(tmp_path, bottle, ink, name):
    piece = make_piece("owl", model.PieceRecord(title="Owl", ink=(ink,)))
    inks = {bottle.batch: bottle} if bottle else {}
    (material,) = made_of(piece, make_catalogue(tmp_path, piece, inks=inks, supplies=()), "vegan").materials
    assert material.name == name


@pytest.mark.parametrize(
    ("claims", "opened", "answer"),
    [
        (("vegan",), DAY, ClaimAnswer.YES),
        ((), DAY, ClaimAnswer.UNKNOWN),
        (("not vegan",), DAY, ClaimAnswer.NO),
        (("not vegan",), None, ClaimAnswer.YES),
        (("not vegan",), DAY + dt.timedelta(1), ClaimAnswer.YES),
    ],
)
def test_in_use_is_what_is_open_on_the_day(tmp_path, claims, opened, answer):
    bottles = (
        model.InkBatch(batch="A", name="black", opened=DAY, claims=("vegan",)),
        model.InkBatch(batch="B", name="white", opened=opened, claims=claims),
        model.InkBatch(batch="C", name="old", opened=DAY, closed=DAY - dt.timedelta(1)),
    )
    soap = model.Supply(name="soap", claims=("vegan",), closed=DAY + dt.timedelta(1))
    film = model.Supply(name="film", closed=DAY - dt.timedelta(1))
    catalogue = make_catalogue(tmp_path, inks={one.batch: one for one in bottles}, supplies=(soap, film))
    assert in_use(catalogue, "vegan", DAY).answer is answer
