"""Lengths, times and days as people write them."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from archgen.units import (
    add_days,
    date_words,
    days_between,
    hours_words,
    length_words,
    parse_days,
    parse_hours,
    parse_length,
    size_words,
)


@pytest.mark.parametrize(
    ("text", "millimetres"),
    [
        ("62 mm", 62),
        ("62mm", 62),
        ("6.2 cm", 62),
        ("6,2 cm", 62),
        ("2 1/2 in", 63.5),
        ('2.5"', 63.5),
        ("2½ in", 63.5),
        ("½ in", 12.7),
        ("3/4 inch", 19.05),
        ("1 INCH", 25.4),
        (".5 cm", 5),
        ("0.06 m", 60),
        ("2 inches", 50.8),
        ("2.5″", 63.5),
        ("2.5”", 63.5),
        # An inch rule is divided down to eighths here; each is 25.4 / 8 mm.
        *((f"{name} in", eighths * 3.175) for eighths, name in enumerate("⅛¼⅜½⅝¾⅞", start=1)),
        # No limb, back or paper is longer than three metres.
        ("3000 mm", 3000),
    ],
)
def test_every_written_form_of_a_length_is_read(text, millimetres):
    # An inch is 25.4 mm exactly (international yard and pound agreement, 1959).
    assert parse_length(text) == pytest.approx(millimetres, abs=1e-9)


def test_eighths_of_an_inch_are_read_to_the_number_that_is_written_so():
    assert [parse_length("1 3/4 in"), parse_length("8.1 in")] == [44.45, 205.74]


@pytest.mark.parametrize(
    "text",
    ["", "62", "mm", "62 px", "-3 mm", "0 mm", "1/0 in", "6.2.1 cm", "about 6 cm", "1e3 mm", "nan mm"],
)
def test_what_is_no_length_is_refused(text):
    with pytest.raises(ValueError, match="length"):
        parse_length(text)


@pytest.mark.parametrize("text", ["62 m", "3001 mm", "9" * 400 + " mm", "9" * 400 + "/7 in"])
def test_a_length_beyond_any_body_or_paper_is_refused(text):
    with pytest.raises(ValueError, match="length"):
        parse_length(text)


@pytest.mark.parametrize(
    ("value", "hours"),
    [
        (3.5, 3.5),
        (3, 3),
        ("3h30", 3.5),
        ("3:30", 3.5),
        ("3 h 30 min", 3.5),
        ("3,5", 3.5),
        ("45 min", 0.75),
        ("2 hours", 2),
        ("1.5 h", 1.5),
        ("24:00", 24),
        ("0:05", 1 / 12),
    ],
)
def test_every_written_form_of_a_time_is_read(value, hours):
    assert parse_hours(value) == pytest.approx(hours)


@pytest.mark.parametrize(
    "value",
    ["", "three", "9" * 400 + "h", "3:75", "25", "24 h 1 min", 24.5, -1, float("nan"), float("inf"), 10**400],
)
def test_what_is_no_time_of_one_sitting_is_refused(value):
    with pytest.raises(ValueError, match=r"hours|time"):
        parse_hours(value)


@pytest.mark.parametrize(
    ("text", "days"), [("28 days", 28), ("1 day", 1), ("6 weeks", 42), ("2w", 14), ("3650 days", 3650)]
)
def test_days_are_read(text, days):
    assert parse_days(text) == days


@pytest.mark.parametrize("text", ["", "4", "3651 days", "522 weeks", "9" * 400 + " weeks"])
def test_what_is_no_number_of_days_is_refused(text):
    with pytest.raises(ValueError, match="days"):
        parse_days(text)


@pytest.mark.parametrize(
    ("day", "days", "later"),
    [
        (date(2024, 2, 28), 2, date(2024, 3, 1)),
        (date(2026, 1, 1), -1, date(2025, 12, 31)),
        (date.max, 42, date.max),
        (date.min, -1, date.min),
    ],
)
def test_days_are_added_up_to_the_ends_of_the_calendar(day, days, later):
    assert add_days(day, days) == later


def test_a_day_is_written_with_its_english_month():
    written = [date_words(date(2026, month, 3)) for month in range(1, 13)]
    assert written[0] == "3 Jan 2026"
    # The short names of the months that calendar.month_abbr has in the C locale.
    assert " ".join(words.split()[1] for words in written) == "Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec"


def test_days_are_counted_forwards_only():
    first, later = date(2024, 2, 28), date(2024, 3, 1)
    assert (days_between(first, later), days_between(first, first)) == (2, 0)
    assert days_between(later, first) is days_between(None, later) is days_between(first, None) is None


@given(st.integers(1, 20_000))
def test_a_length_written_in_millimetres_reads_back(tenths):
    assert parse_length(length_words(tenths / 10)) == pytest.approx(tenths / 10)


def test_a_size_names_its_unit_once():
    assert size_words(57, 88.5) == "57 × 88.5 mm"
    assert size_words(63.5, None, "in") == "2.5 in wide"
    assert size_words(None, 88) == "88 mm high"
    assert size_words(None, None) is None


@pytest.mark.parametrize(("hours", "words"), [(3.5, "3 h 30 min"), (4, "4 h"), (0.75, "45 min"), (0, "0 min")])
def test_hours_are_said_in_hours_and_minutes(hours, words):
    assert hours_words(hours) == words
