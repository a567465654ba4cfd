"""Say when a picture was made where its camera does not: by the day in its name, or by its neighbours' numbers."""

import datetime as dt
import re

from archgen.languages.house import house, say_in
from archgen.units import date_words

# IMG_20261126_144510, PXL_20261126_144510123, IMG-20261126-WA0003, 2026-11-26 14.45.10, Screenshot_2026-11-26-14-45-10
_DAY = re.compile(r"(?<!\d)(20\d\d)[-_. ]?(0[1-9]|1[0-2])[-_. ]?(0[1-9]|[12]\d|3[01])(?!\d{5})")
_TIME = re.compile(r"^\D{0,5}([01]\d|2[0-3])[-_.:]?([0-5]\d)(?:[-_.:]?([0-5]\d))?(?:\d{3})?(?!\d)")
_NUMBER = re.compile(r"^(.*?)(\d{3,7})(?:\D.{0,12})?$")


def day_in_name(name: str) -> dt.date | None:
    """Give the day a file's name holds, as telephones and messengers write it."""
    match = _DAY.search(_stem(name))
    try:
        return dt.date(*(int(part) for part in match.groups())) if match else None
    except ValueError:
        return None


def moment_in_name(name: str) -> dt.datetime | None:
    """Give the day and time a file's name holds."""
    stem = _stem(name)
    match, day = _DAY.search(stem), day_in_name(name)
    if match is None or day is None:
        return None
    time = _TIME.match(stem[match.end() :])
    if time is None:
        return None
    hours, minutes, seconds = (int(part or 0) for part in time.groups())
    return dt.datetime.combine(day, dt.time(hours, minutes, seconds))


def number_in_name(name: str) -> tuple[str, int] | None:
    """Give what stands before a camera's running number, and the number; None where the name holds a day instead."""
    stem = _stem(name)
    match = None if _DAY.search(stem) else _NUMBER.match(stem)
    return (match[1].casefold(), int(match[2])) if match else None


def span_words(span: dt.timedelta) -> str:
    """Write how long something took, a minute at least: "3 h 26 min"."""
    return house().hours(max(round(span.total_seconds() / 60), 1) / 60)


def weekday_words(day: dt.date, *, with_year: bool = True) -> str:
    """Write a day as people say it: "Thu 26 Nov 2026"; in other languages than English always with its year."""
    weekday = say_in("weekday", _WEEKDAYS[day.weekday()])
    if with_year or not house().is_source:
        return f"{weekday} {date_words(day)}"
    return f"{weekday} {day.day} {_MONTHS[day.month - 1]}"


def near_day_words(day: dt.date, today: dt.date) -> str:
    """Write a day without its year where that is this year's: "Thu 26 Nov"."""
    return weekday_words(day, with_year=day.year != today.year)


_WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def _stem(name: str) -> str:
    last = name.rpartition("/")[2]
    return last.rpartition(".")[0] or last
