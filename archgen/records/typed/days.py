"""Dates as people write them: in any order, with names of months in seven languages; what can be two days is asked."""

import datetime as dt
import re
from collections.abc import Iterable

from archgen.plain_text import words_of
from archgen.records.typed.reading import Habits, LikelyAnswer, Reading
from archgen.units import date_words

# The months in English, German, French, Spanish, Italian, Portuguese and Swedish, without accents: from memory.
_MONTHS = (
    "january januar janvier enero gennaio janeiro januari jan janv ene gen",
    "february februar fevrier febrero febbraio fevereiro februari feb fev fevr",
    "march marz maerz mars marzo marco mar mrz",
    "april avril abril aprile apr avr abr",
    "may mai mayo maggio maio maj mag",
    "june juni juin junio giugno junho jun giu",
    "july juli juillet julio luglio julho jul juil lug",
    "august aout agosto augusti aug ago",
    "september septembre septiembre settembre setembro sep sept set",
    "october oktober octobre octubre ottobre outubro oct okt ott out",
    "november novembre noviembre novembro nov",
    "december dezember decembre diciembre dicembre dezembro dec dez dic",
)
_MONTH_OF = {word: number for number, words in enumerate(_MONTHS, 1) for word in words.split()}
_NUMBERS = re.compile(r"(\d{1,4})\s*[./\-\s]\s*(\d{1,2})\s*[./\-\s]\s*(\d{1,4})\.?")
_TIME_BEHIND = re.compile(r"[T,\s]+\d{1,2}:\d\d(:\d\d(\.\d+)?)?\s*(Z|[+-]\d\d:?\d\d)?$")
# Words that stand between the parts of a date: "7th of March", "7 de marzo", "am 7. März".
_BETWEEN = frozenset({"of", "de", "del", "di", "le", "den", "der", "am", "on", "the", "el", "il", "o", "em"})
_ORDINAL = re.compile(r"(\d{1,2})(st|nd|rd|th|er|e|re|º|ª|:e)?")
_ANY_DATE = re.compile(rb"(?<!\d)(\d{1,2})[./-](\d{1,2})[./-](?:\d{4}|\d\d)(?!\d)")
_FIRST_YEAR, _LAST_YEAR = 1950, 2100


def read_day(value: object, habits: Habits) -> Reading:
    """Read a date; one that can be two days is not used; both are its choices."""
    if isinstance(value, dt.datetime):
        return _sure(value.date())
    if isinstance(value, dt.date):
        return _sure(value)
    text = _TIME_BEHIND.sub("", str(value).strip())
    days = tuple(dict.fromkeys(_days_of(text, habits)))
    if len(days) == 1:
        return _sure(days[0])
    choices = tuple(LikelyAnswer(day, date_words(day)) for day in days)
    return Reading(choices=choices)


def _sure(day: dt.date) -> Reading:
    return Reading(day, date_words(day))


def _days_of(text: str, habits: Habits) -> Iterable[dt.date]:
    """Give every day a text can be."""
    if match := _NUMBERS.fullmatch(text):
        yield from _of_numbers(match[1], match[2], match[3], habits)
    elif re.fullmatch(r"(19|20)\d{6}", text):
        yield from _day(int(text[:4]), int(text[4:6]), int(text[6:]))
    else:
        yield from _of_words(text)


def _of_numbers(one: str, two: str, three: str, habits: Habits) -> Iterable[dt.date]:
    if len(one) == 4 and len(three) <= 2:
        found = [*_day(int(one), int(two), int(three))]
        yield from found or _day(int(one), int(three), int(two))
        return
    year = _year(three)
    if len(one) > 2 or year is None:
        return
    day_first, month_first = [*_day(year, int(two), int(one))], [*_day(year, int(one), int(two))]
    if day_first and month_first and habits.find_day_first() is False:
        day_first, month_first = month_first, day_first
    yield from (*day_first, *month_first)


def _of_words(text: str) -> Iterable[dt.date]:
    """Read "14 March 2026", "March 14, 2026", "7 de marzo de 2026"; a year must be there."""
    words = words_of(re.sub(r"(?<=\d)(st|nd|rd|th|er|:e|º|ª)\b", "", text)).split()
    words = [word for word in words if word not in _BETWEEN]
    months = [word for word in words if word in _MONTH_OF]
    numbers = [word for word in words if word.isdecimal()]
    if len(words) != 3 or len(months) != 1 or len(numbers) != 2:
        return
    day, year = numbers if len(numbers[0]) <= 2 else reversed(numbers)
    whole = _year(year) if len(year) == 4 or words[-1] == year else None
    if whole is not None and len(day) <= 2:
        yield from _day(whole, _MONTH_OF[months[0]], int(day))


def _year(text: str) -> int | None:
    if len(text) == 4 and _FIRST_YEAR <= int(text) <= _LAST_YEAR:
        return int(text)
    return 2000 + int(text) if len(text) == 2 else None


def _day(year: int, month: int, day: int) -> Iterable[dt.date]:
    try:
        yield dt.date(year, month, day)
    except ValueError:
        return


def is_day_first(texts: Iterable[bytes]) -> bool | None:
    """Say whether the dates in texts that can be read only one way have the day before the month; None: no majority."""
    first = second = 0
    for text in texts:
        for match in _ANY_DATE.finditer(text):
            first += int(match[1]) > 12 >= int(match[2])
            second += int(match[2]) > 12 >= int(match[1])
    return None if first == second else first > second
