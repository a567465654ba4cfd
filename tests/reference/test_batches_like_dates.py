"""Batches that are dates: two days are never one batch, and one day is one batch in both formats of ISO 8601.

The forms are those of ISO 8601-1:2019, 5.2.2 to 5.2.4 (calendar, ordinal and week dates, basic and extended format), as
Python's datetime writes them; the clauses are quoted from memory.
"""

import datetime as dt
import itertools

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from archgen.records.vocabulary.batch_numbers import difference, is_same_batch

FORMS = {"calendar": ("%Y-%m-%d", "%Y%m%d"), "ordinal": ("%Y-%j", "%Y%j"), "week": ("%G-W%V-%u", "%GW%V%u")}
DAYS = st.dates(dt.date(1990, 1, 4), dt.date(2060, 12, 28))
SYSTEMS = st.sampled_from(sorted(FORMS))
FRAMES = st.sampled_from(("{}", "L{}", "BK-{}", "{}-A", "{}B", "Lot {}"))


@given(DAYS, SYSTEMS, FRAMES)
def test_the_extended_and_the_basic_format_are_one_batch(day, system, frame):
    extended, basic = (frame.format(day.strftime(form)) for form in FORMS[system])
    assert is_same_batch(extended, basic)


@given(DAYS, DAYS, SYSTEMS, FRAMES)
def test_two_days_are_two_batches_in_every_format(one, other, system, frame):
    assume(one != other)
    for a, b in itertools.product(FORMS[system], repeat=2):
        assert not is_same_batch(frame.format(one.strftime(a)), frame.format(other.strftime(b)))


@given(DAYS, st.sampled_from("-/. "))
def test_days_without_their_zeros_are_the_same_and_never_another_day(day, between):
    bare = between.join(map(str, (day.year, day.month, day.day)))
    assert is_same_batch(bare, day.isoformat())
    for other in same_digits(day):
        assert not is_same_batch(bare, other.isoformat())
        assert difference(bare, between.join(map(str, (other.year, other.month, other.day)))) is not None


def same_digits(day):
    """The other days of the year that are written with the same digits when zeros and hyphens are left out."""
    digits = f"{day.month}{day.day}"
    for cut in range(1, len(digits)):
        month, monthday = int(digits[:cut]), int(digits[cut:])
        if digits[cut] == "0" or (month, monthday) == (day.month, day.day):
            continue
        try:
            yield dt.date(day.year, month, monthday)
        except ValueError:
            continue


def test_there_are_days_with_the_same_digits():
    assert list(same_digits(dt.date(2024, 11, 1))) == [dt.date(2024, 1, 11)]


@pytest.mark.parametrize("year", [24, 2024])
def test_month_and_year_are_never_another_month(year):
    months = [f"{month}/{year}" for month in range(1, 13)]
    for one, other in itertools.combinations(months, 2):
        assert not is_same_batch(one, other)
