"""Cells of a table: days, sizes, hours, amounts."""

import datetime as dt

import pytest

from archgen.intake.table.cells import (
    is_day_first,
    read_day,
    read_hours,
    read_length,
    read_money,
    read_release,
    read_size,
)

THIRD = dt.date(2026, 4, 3)


@pytest.mark.parametrize(
    ("cell", "day_first", "day"),
    [
        (dt.datetime.fromisoformat("2026-04-03 14:30"), None, THIRD),
        (THIRD, None, THIRD),
        ("2026-04-03", None, THIRD),
        ("03.04.2026", None, THIRD),
        ("3.4.26", None, THIRD),
        ("3/4/2026", True, THIRD),
        ("4/3/2026", False, THIRD),
        ("31/12/2026", None, dt.date(2026, 12, 31)),
        ("12/31/2026", None, dt.date(2026, 12, 31)),
        ("2026-04-03 00:00", None, THIRD),
        # Days of a spreadsheet as numbers: 45735 is 2025-03-19 (day 0 is 1899-12-30).
        (45735, None, dt.date(2025, 3, 19)),
        ("45735", None, dt.date(2025, 3, 19)),
        (45735.5, None, dt.date(2025, 3, 19)),
        # Words and anything else stay as typed; the record's own reading knows them.
        ("14 March 2026", None, "14 March 2026"),
        ("summer", None, "summer"),
        (2019, None, "2019"),
    ],
)
def test_days(cell, day_first, day):
    assert read_day(cell, day_first) == (day, None)


def test_a_day_that_can_be_two_is_asked_with_both():
    day, text = read_day("07/03/2026", None)
    assert day == "07/03/2026"
    assert "7 Mar 2026" in text
    assert "3 Jul 2026" in text


@pytest.mark.parametrize("typed", ["31/02/2026", "2026-13-01", "00.00.2026"])
def test_a_day_that_is_not_in_the_calendar_is_asked(typed):
    day, text = read_day(typed, day_first=True)
    assert (day, "calendar" in text) == (typed, True)


@pytest.mark.parametrize(
    ("column", "day_first"),
    [
        (["3/4/2026", "25/4/2026"], True),
        (["3/4/2026", "4/25/2026"], False),
        (["3/4/2026", "5/6/2026"], None),
        (["25/4/2026", "4/25/2026"], None),
        ([dt.date(2026, 4, 25), 7, None, ""], None),
    ],
)
def test_a_column_shows_the_order_of_its_dates(column, day_first):
    assert is_day_first(column) is day_first


@pytest.mark.parametrize(
    ("text", "unit", "size"),
    [
        ("62 x 88 mm", None, ("62 mm", "88 mm")),
        ("6,2x8,8cm", None, ("6,2 cm", "8,8 cm")),
        ("6 × 9", "cm", ("6 cm", "9 cm")),
        ("2 in x 3 in", None, ("2 in", "3 in")),
        ('2" x 3"', None, ("2 in", "3 in")),
        ("62 x 88", None, None),
        ("8 cm", None, None),
        ("big", "mm", None),
    ],
)
def test_sizes(text, unit, size):
    assert read_size(text, unit) == (dict(zip(("width", "height"), size, strict=True)) if size else None)


def test_a_length_takes_the_unit_of_its_heading_only_when_it_has_none():
    assert [read_length(text, "cm") for text in ("6,5", "65 mm", "about 6")] == ["6,5 cm", "65 mm", "about 6"]


@pytest.mark.parametrize(
    ("cell", "hours"),
    [(3.5, 3.5), (3, 3), ("3,5", 3.5), (dt.time(2, 30), "2:30"), ("3h30", "3h30"), ("two", "two"), (True, "yes")],
)
def test_hours(cell, hours):
    assert read_hours(cell) == hours


@pytest.mark.parametrize(
    ("cell", "amount"),
    [
        (420, 420), ("420", 420), ("420 €", 420), ("EUR 420,50", 420.5), ("1.200,50 €", 1200.5), ("$1,200.50", 1200.5),
        ("1'200.50", 1200.5), ("1 200,50", 1200.5), ("1.200", None), ("1,200", None), ("ask", None), ("200-300", None),
        (True, None),
    ],
)  # fmt: skip
def test_amounts(cell, amount):
    assert read_money(cell) == amount


@pytest.mark.parametrize(
    ("text", "status"), [("Yes", "granted"), ("ja", "granted"), ("NO", "refused"), ("maybe", None), ("only back", None)]
)
def test_a_release_is_a_plain_yes_or_no(text, status):
    assert read_release(text) == status
