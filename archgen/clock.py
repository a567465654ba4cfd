"""The day on which something is made, and how long what is made stays the same."""

import datetime as dt
import os
from typing import Any, SupportsIndex

from archgen.errors import UsageError
from archgen.languages.house import say


def build_day() -> dt.date:
    """Give today, or the day of SOURCE_DATE_EPOCH (reproducible-builds.org) when that is set.

    Raises:
        UsageError: SOURCE_DATE_EPOCH is set to something else than a number of seconds.
    """
    epoch = os.environ.get("SOURCE_DATE_EPOCH")
    if not epoch:
        return dt.datetime.now().astimezone().date()
    try:
        return dt.datetime.fromtimestamp(int(epoch), dt.UTC).date()
    except (ValueError, OverflowError, OSError) as error:
        raise UsageError(
            say("SOURCE_DATE_EPOCH is set, but isn't a number of seconds since 1970. Correct it, or leave it unset.")
        ) from error


class WatchedDay(dt.date):
    """A day that notes what is asked of it, and so knows on which days around it every answer is the same.

    Compared with another day, it may answer otherwise from that day or the one after it on. Asked for anything else,
    such as its year, it answers otherwise on every day.
    """

    _turns: set[int]
    _plain: dt.date

    def __new__(cls, year: SupportsIndex, month: SupportsIndex, day: SupportsIndex) -> "WatchedDay":
        """Make a day that was asked nothing yet."""
        watched = super().__new__(cls, year, month, day)
        watched._plain = dt.date(year, month, day)
        watched._turns = set()  # adding to a set is safe from several threads at once
        return watched

    @classmethod
    def of(cls, day: dt.date) -> "WatchedDay":
        """Give a day to be watched."""
        return cls(day.year, day.month, day.day)

    @property
    def same_days(self) -> tuple[dt.date, dt.date]:
        """Give the first and the last of the days around it on which everything asked so far is answered the same."""
        today = self._plain.toordinal()
        before = [turn for turn in self._turns if turn <= today]
        after = [turn for turn in self._turns if turn > today]
        last = min(after) - 1 if after else dt.date.max.toordinal()
        return dt.date.fromordinal(max(before, default=1)), dt.date.fromordinal(last)

    @property
    def printed(self) -> dt.date:
        """Give it for a line that is written anew on every day, whatever else stays the same."""
        return self._plain

    def _note(self, *turns: int) -> None:
        self._turns.update(turns)

    def _everything(self) -> dt.date:
        today = self._plain.toordinal()
        self._note(today, today + 1)
        return self._plain

    def __getattribute__(self, name: str) -> Any:
        """Answer what was not foreseen as on one day alone."""
        if name in _FORESEEN:
            return object.__getattribute__(self, name)
        return getattr(self._everything(), name)

    def __lt__(self, other: dt.date) -> bool:
        """Turn on the other day."""
        self._note(other.toordinal())
        return self._plain < other

    def __ge__(self, other: dt.date) -> bool:
        """Turn on the other day."""
        self._note(other.toordinal())
        return self._plain >= other

    def __le__(self, other: dt.date) -> bool:
        """Turn on the day after the other."""
        self._note(other.toordinal() + 1)
        return self._plain <= other

    def __gt__(self, other: dt.date) -> bool:
        """Turn on the day after the other."""
        self._note(other.toordinal() + 1)
        return self._plain > other

    def __eq__(self, other: object) -> bool:
        """Turn on the other day and on the day after it."""
        if isinstance(other, dt.date):
            self._note(other.toordinal(), other.toordinal() + 1)
        return self._plain == other

    def __ne__(self, other: object) -> bool:
        """Turn as the opposite does, which the days of the standard library don't ask."""
        return not self == other

    def __hash__(self) -> int:
        """Be another key on every day."""
        return hash(self._everything())

    def __add__(self, other: Any) -> Any:
        """Give another day on every day."""
        return self._everything() + other

    def __radd__(self, other: Any) -> Any:
        """Give another day on every day."""
        return other + self._everything()

    def __sub__(self, other: Any) -> Any:
        """Give something else on every day."""
        return self._everything() - other

    def __rsub__(self, other: Any) -> Any:
        """Give something else on every day."""
        return other - self._everything()

    def __format__(self, form: str) -> str:
        """Read otherwise on every day."""
        return format(self._everything(), form)

    def __str__(self) -> str:
        """Read otherwise on every day."""
        return str(self._everything())

    def __repr__(self) -> str:
        """Read otherwise on every day."""
        return repr(self._everything())


_FORESEEN = frozenset({"_turns", "_plain", "_note", "_everything", "same_days", "printed", "__class__"})


def printed(day: dt.date) -> dt.date:
    """Give a day for a line that is written anew on every day, whatever else stays the same."""
    return day.printed if isinstance(day, WatchedDay) else day
