"""What is said of what comes after a piece."""

import datetime as dt

import pytest

from archgen.config import Limits
from archgen.pieces.followup import Due, DueKind, DueState, Look, TouchUp
from archgen.records import model
from archgen.wording.followup import due_mark, due_words, look_mark, touch_up_window_words, touch_up_words

DAY = dt.date(2026, 3, 14)
OPENS, CLOSES = dt.date(2026, 4, 25), dt.date(2026, 9, 10)


def touch_up(**changes):
    values = {"opens": OPENS, "closes": CLOSES, "state": DueState.OPEN, "wanted_since": None, "done_on": None}
    return TouchUp(**{**values, **changes})


@pytest.mark.parametrize(
    ("given", "words"),
    [
        (touch_up(), "A touch-up is possible until 10 Sep 2026 (day 180, studio default)."),
        (touch_up(state=DueState.LATER), "A touch-up is possible until 10 Sep 2026 (day 180, studio default)."),
        (touch_up(state=DueState.PAST), "A touch-up was possible until 10 Sep 2026 (day 180, studio default)."),
        (touch_up(wanted_since=DAY), "A touch-up is possible until 10 Sep 2026 (day 180, studio default)."),
        (touch_up(done_on=DAY), "The touch-up was done on 14 Mar 2026."),
        (touch_up(opens=None, closes=None, state=None, done_on=DAY), "The touch-up was done on 14 Mar 2026."),
        (touch_up(opens=None, closes=None, state=None), ""),
    ],
)
def test_what_was_done_is_not_called_possible(given, words):
    assert touch_up_words(given, Limits()) == words


@pytest.mark.parametrize(
    ("given", "words"),
    [
        (touch_up(), "Touch-up between 25 Apr 2026 and 10 Sep 2026 (day 42 to 180, default)."),
        (touch_up(done_on=DAY), "The touch-up was done on 14 Mar 2026."),
        (touch_up(opens=None, closes=None, state=None), ""),
    ],
)
def test_the_sheet_names_the_window_until_it_is_done(given, words):
    assert touch_up_window_words(given, Limits()) == words


def test_days_of_the_artists_own_are_not_called_default():
    assert "(day 200, your limit)" in touch_up_words(touch_up(), Limits(touch_up_until_days=200))
    assert "(day 30 to 180, your limits)" in touch_up_window_words(touch_up(), Limits(touch_up_from_days=30))


@pytest.mark.parametrize(
    ("kind", "since", "words"),
    [
        (DueKind.HEALED_PHOTO, None, "There is no photo of the healed piece."),
        (DueKind.TOUCH_UP, None, "Nobody has looked yet whether a touch-up is wanted."),
        (DueKind.TOUCH_UP, DAY, "A touch-up is wanted since 14 Mar 2026."),
        (DueKind.RELEASE, None, "The client has not been asked for a photo release."),
        (DueKind.RELEASE, DAY, "The photo release ends on 14 Mar 2026."),
        (DueKind.RELEASE, DAY - dt.timedelta(days=1), "The photo release ended on 13 Mar 2026."),
    ],
)
def test_what_is_due_is_said_in_a_sentence(kind, since, words):
    assert due_words(Due(kind, "a", None, DAY, None, DueState.OPEN, since=since), DAY) == words


@pytest.mark.parametrize(
    ("state", "wanted", "words", "asks"),
    [
        (DueState.CLOSING, False, "Closing", True),
        (DueState.OPEN, False, "Now", True),
        (DueState.SOON, True, "Soon", False),
        (DueState.LATER, True, "Later", False),
        (DueState.PAST, False, "Long past", False),
        (DueState.PAST, True, "Overdue", True),
    ],
)
def test_what_can_be_done_now_asks_for_it(state, wanted, words, asks):
    item = Due(DueKind.TOUCH_UP, "a", None, DAY, None, state, is_wanted=wanted)
    mark = due_mark(item)
    assert (mark.words, mark.asks, item.is_now) == (words, asks, asks)


@pytest.mark.parametrize(
    ("wanted", "answered", "words", "asks"),
    [
        (True, None, "Touch-up wanted", True),
        (True, DAY, "Touch-up wanted, done on 14 Mar 2026", False),
    ],
)
def test_a_wish_that_was_met_asks_for_nothing(wanted, answered, words, asks):
    mark = look_mark(Look(model.Healing(date=DAY, touch_up=wanted), 0, answered))
    assert (mark.words, mark.asks) == (words, asks)


def test_a_look_that_found_nothing_to_do_has_no_mark():
    assert look_mark(Look(model.Healing(date=DAY), 0, None)) is None
