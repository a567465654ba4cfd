"""What is said of inks and needles at hand."""

import datetime as dt

import pytest

from archgen.wording.planning.stock import product_words, reorder_words
from tests.unit.supplies.test_stock import bottle, every_month, stock, two_used_up, used

__all__ = ["stock"]


@pytest.mark.parametrize(
    ("ends", "bottles", "said"),
    [
        (0, 1, "; no bottle is recorded to the end, so how long this one lasts can’t be said"),
        (0, 2, "; no bottle is recorded to the end, so how long these last can’t be said"),
        (1, 1, "; too few bottles are recorded to the end, so how long this one lasts can’t be said"),
        (2, 1, ""),
    ],
)
def test_where_nobody_knows_how_long_it_lasts_the_pace_is_said_and_why(stock, ends, bottles, said):
    inks, old = two_used_up()
    open_ones = [bottle(f"BK-{number}") for number in range(1, bottles + 1)]
    (ink,) = stock(*old[: 4 if ends < 2 else 12], *every_month("BK-1"), inks=[*inks[:ends], *open_ones])
    assert product_words(ink).pace == f"1.0 pieces a month{said}"


def test_how_many_pieces_there_are_until_its_date_is_said(stock):
    (ink,) = stock(*every_month("BK-1"), inks=[bottle(expiry=dt.date(2027, 5, 31))])
    (container,) = product_words(ink).containers
    assert container.facts.endswith("good until 31 May 2027, about 6 pieces until then")
    (ink,) = stock(*every_month("BK-1"), inks=[bottle(expiry=dt.date(2026, 5, 31))])
    assert product_words(ink).containers[0].facts.endswith("past its date (31 May 2026)")
    assert product_words(ink).pace == "1.0 pieces a month"


def test_what_is_past_its_date_is_reordered_where_no_other_is(stock):
    past = bottle(expiry=dt.date(2026, 1, 1))
    (ink,) = products = stock(*every_month("BK-1"), inks=[past])
    assert product_words(ink).need == "Past its date: set it aside, and reorder: no other is recorded"
    assert reorder_words(products) == "Reorder: dense black."
    (ink,) = products = stock(*every_month("BK-1"), inks=[past, bottle("BK-2")])
    assert product_words(ink).need == "Past its date: set it aside"
    assert reorder_words(products) == "Reorder: nothing, as far as your records say."


def test_what_is_used_up_is_listed_to_reorder(stock):
    closed = bottle(closed=dt.date(2026, 11, 2))
    other = used(90, dt.date(2026, 11, 3), "X")
    products = stock(*every_month("BK-1"), other, inks=[closed, bottle("X", "x")])
    assert product_words(products[0]).need == "Reorder"
    assert reorder_words(products) == "Reorder: dense black."
