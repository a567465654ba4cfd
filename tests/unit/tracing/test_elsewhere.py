"""On which days a batch was in the studio, and which pieces that rules out."""

import datetime as dt
from types import SimpleNamespace

import pytest

from archgen.records import model
from archgen.tracing.elsewhere import OpenDays, open_days
from tests.builders import make_piece, make_record

OPENED, CLOSED = dt.date(2026, 3, 1), dt.date(2026, 3, 20)
DAY = dt.timedelta(days=1)


def worked_on(*days):
    sittings = tuple(model.Sitting(date=day) for day in days)
    return make_piece(record=make_record(sitting=sittings, finished=None, healing=()), photos=())


@pytest.mark.parametrize(
    ("days", "why"),
    [
        ((OPENED - DAY,), "before the batch was opened (1 Mar 2026)"),
        ((OPENED - 9 * DAY, OPENED - DAY), "before"),
        ((OPENED,), None),
        ((OPENED - DAY, OPENED), None),
        ((CLOSED,), None),
        ((CLOSED, CLOSED + DAY), None),
        ((CLOSED + DAY,), "after the batch was used up (20 Mar 2026)"),
        ((), None),
    ],
)
def test_a_piece_is_ruled_out_by_days_outside_alone(days, why):
    said = OpenDays(OPENED, CLOSED).rules_out(worked_on(*days))
    assert (why in said) if why else said is None


@pytest.mark.parametrize("day", [OPENED - 900 * DAY, CLOSED + 900 * DAY])
def test_days_that_are_not_known_rule_nothing_out(day):
    assert OpenDays(None, None).rules_out(worked_on(day)) is None


def test_an_unreadable_record_is_not_ruled_out():
    assert OpenDays(OPENED, CLOSED).rules_out(model.Piece(id="a", record=None)) is None


def bottle(opened=None, closed=None):
    return SimpleNamespace(opened=opened, closed=closed)


def test_a_batch_is_open_from_the_first_bottle_to_the_end_of_the_last():
    bottles = [bottle(OPENED, OPENED + DAY), bottle(OPENED + DAY, CLOSED)]
    assert open_days(bottles, ()) == OpenDays(OPENED, CLOSED)


def test_one_bottle_without_its_day_leaves_that_end_open():
    assert open_days([bottle(OPENED, CLOSED), bottle(None, CLOSED)], ()) == OpenDays(None, CLOSED)
    assert open_days([bottle(OPENED, CLOSED), bottle(OPENED, None)], ()) == OpenDays(OPENED, None)
    assert open_days([], ()) == OpenDays(None, None)


@pytest.mark.parametrize(
    ("day", "holds"), [(OPENED - DAY, False), (OPENED, True), (CLOSED, True), (CLOSED + DAY, False)]
)
def test_a_use_outside_the_days_of_the_register_makes_them_unsure(day, holds):
    found = open_days([bottle(OPENED, CLOSED)], [SimpleNamespace(days=(day,))])
    assert found == (OpenDays(OPENED, CLOSED) if holds else OpenDays(None, None))
