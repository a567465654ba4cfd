"""A watched day knows on which days around it whatever was asked of it has the same answer."""

import copy
import datetime as dt
import operator

import pytest
from hypothesis import given
from hypothesis import strategies as st

from archgen.clock import WatchedDay, printed

TODAY = dt.date(2026, 11, 30)
ONE = dt.timedelta(1)
COMPARISONS = (operator.lt, operator.le, operator.gt, operator.ge, operator.eq, operator.ne)
DAYS = st.integers(-9, 9).map(lambda number: TODAY + number * ONE)


@given(st.lists(st.tuples(st.sampled_from(COMPARISONS), DAYS, st.booleans()), min_size=1, max_size=4))
def test_every_comparison_has_the_same_answer_from_the_first_day_to_the_last_and_another_beyond(asked):
    def answers(today):
        return [ask(other, today) if is_turned else ask(today, other) for ask, other, is_turned in asked]

    watched = WatchedDay.of(TODAY)
    assert answers(watched) == answers(TODAY)
    first, last = watched.same_days
    near = [TODAY + number * ONE for number in range(-12, 13)]
    same = [day for day in near if answers(day) == answers(TODAY)]
    inside = [day for day in near if first <= day <= last]
    assert set(inside) <= set(same)
    if not {operator.eq, operator.ne} & {ask for ask, _, _ in asked}:
        beyond = [day for day in near if first - day == ONE or day - last == ONE]
        assert not set(beyond) & set(same)


@pytest.mark.parametrize(
    "ask",
    [
        lambda day: day.year, lambda day: day.isoformat(), lambda day: day.toordinal(), str, repr, hash,
        lambda day: f"{day:%d %b}", lambda day: day + ONE, lambda day: ONE + day, lambda day: day - ONE,
        lambda day: day - dt.date(2026, 1, 1), lambda day: dt.date(2027, 1, 1) - day, copy.copy,
        lambda day: day.replace(day=1), lambda day: {TODAY: 1}[day],
    ],
)  # fmt: skip
def test_what_is_read_off_the_day_holds_on_that_day_alone(ask):
    watched = WatchedDay.of(TODAY)
    assert ask(watched) == ask(TODAY)
    assert watched.same_days == (TODAY, TODAY)


def test_a_day_nobody_asked_says_the_same_for_ever_and_is_printed_without_being_asked():
    watched = WatchedDay.of(TODAY)
    assert isinstance(watched, dt.date)
    assert printed(watched) is watched.printed
    assert (printed(watched), type(printed(watched)), printed(TODAY)) == (TODAY, dt.date, TODAY)
    assert watched.same_days == (dt.date.min, dt.date.max)
