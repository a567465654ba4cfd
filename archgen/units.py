"""Lengths and working times as people write them; knows millimetres and hours, not pieces."""

import re
from datetime import date

from archgen.languages.house import house, say, to_say
from archgen.languages.language import MM_PER

MM_PER_INCH = MM_PER["in"]
# Nothing on a body, on paper or round a limb is longer; more is a slip in the unit.
LONGEST_MM = 3000.0
# Ten years: healing is long over.
MOST_DAYS = 3650
_DIGITS = 6
_UNITS = {
    **MM_PER,
    "m": 1000.0,
    "inch": MM_PER_INCH,
    "inches": MM_PER_INCH,
    '"': MM_PER_INCH,
    "″": MM_PER_INCH,
    "”": MM_PER_INCH,
}
_FRACTIONS = {"¼": "1/4", "½": "1/2", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_LENGTH = re.compile(
    r"""(?: (?P<whole>\d+)\s+(?P<num>\d+)/(?P<den>[1-9]\d*)   # 2 1/2
          | (?P<num2>\d+)/(?P<den2>[1-9]\d*)                   # 1/2
          | (?P<decimal>\d+(?:[.,]\d+)?|[.,]\d+)               # 62  6.2  6,2
        )\s*(?P<unit>mm|cm|m|inches|inch|in|"|″|”)\.?""",
    re.VERBOSE | re.IGNORECASE,
)
_HOURS = re.compile(
    r"(?P<h>\d+)\s*(?:h|hrs?|hours?)(?:\s*(?P<m>\d{1,2})\s*(?:m|min|mins|minutes?)?)?"
    r"|(?P<h2>\d+):(?P<m2>[0-5]\d)"
    r"|(?P<m3>\d+)\s*(?:min|mins|minutes?)"
    r"|(?P<decimal>\d+(?:[.,]\d+)?)\s*(?:h|hrs?|hours?)?",
    re.IGNORECASE,
)
# "3.30" can be half past three by the clock, or a little more than three and a quarter; "3.25" and "3.50" can't.
_CLOCK_OR_DECIMAL = re.compile(r"\d+[.,](?!00|25|50|75)[0-5]\d")
LENGTH_FORMS = to_say('"62 mm", "6.2 cm", "2 1/2 in" or \'2.5"\'')
HOURS_FORMS = to_say('3.5, "3h30", "3:30" or "3 h 30 min"')


def parse_length(text: str) -> float:
    """Read a length with its unit and give millimetres.

    Raises:
        ValueError: The text is not a length above zero with a unit; the message says what is allowed.
    """
    plain = text.strip()
    for character, fraction in _FRACTIONS.items():
        plain = plain.replace(character, f" {fraction}")
    match = _LENGTH.fullmatch(plain.strip())
    if match is None:
        raise ValueError(say("a length is a number with its unit, such as {examples}", examples=say(LENGTH_FORMS)))
    part = match.groupdict()
    if part["decimal"]:
        number = float(part["decimal"].replace(",", "."))
    else:
        number = float(part["whole"] or 0) + float(part["num"] or part["num2"]) / float(part["den"] or part["den2"])
    # 1 3/4 in are 44.45 mm, and not a little less as by the machine's own numbers.
    millimetres = round(number * _UNITS[part["unit"].lower()], _DIGITS)
    if millimetres <= 0:
        raise ValueError(say("a length must be more than zero"))
    if not millimetres <= LONGEST_MM:
        raise ValueError(say("a length is at most {most:g} m; check the unit", most=LONGEST_MM / 1000))
    return millimetres


def parse_hours(value: str | float) -> float:
    """Read a working time and give hours.

    Raises:
        ValueError: The value is not a time of at least zero and at most 24 hours.
    """
    hours = _hours_of_text(value) if isinstance(value, str) else value
    if not 0 <= hours <= 24:
        raise ValueError(say("the hours of one sitting lie between 0 and 24"))
    return float(hours)


def _hours_of_text(text: str) -> float:
    match = _HOURS.fullmatch(text.strip())
    if match is None:
        raise ValueError(say("a time is written as {examples}", examples=say(HOURS_FORMS)))
    if _CLOCK_OR_DECIMAL.fullmatch(text.strip()):
        raise ValueError(say("it can be hours and minutes or a decimal; write 3:30 or 3.3 without quotes"))
    part = match.groupdict()
    if part["decimal"]:
        return float(part["decimal"].replace(",", "."))
    minutes = float(part["m"] or part["m2"] or part["m3"] or 0)
    return float(part["h"] or part["h2"] or 0) + minutes / 60


def parse_days(text: str) -> int:
    """Read "28 days" or "6 weeks" and give days.

    Raises:
        ValueError: The text is neither.
    """
    match = re.fullmatch(r"(\d+)\s*(d|days?|w|weeks?)", text.strip(), re.IGNORECASE)
    if match is None:
        raise ValueError(say('a number of days is written as "28 days" or "6 weeks"'))
    days = float(match[1]) * (7 if match[2][0] in "wW" else 1)
    if days > MOST_DAYS:
        raise ValueError(say("a number of days is at most {most}", most=MOST_DAYS))
    return int(days)


def length_words(millimetres: float, units: str = "mm") -> str:
    """Write a length for people: millimetres to a tenth, inches to a hundredth, without zeros at the end."""
    return house().length(millimetres, units)


def size_words(width_mm: float | None, height_mm: float | None, units: str = "mm") -> str | None:
    """Write width × height with one unit, or the one side that is known; None when neither is recorded."""
    return house().size(width_mm, height_mm, units)


def hours_words(hours: float) -> str:
    """Write hours as "3 h 30 min"."""
    return house().hours(hours)


def date_words(day: date) -> str:
    """Write a date as "14 Mar 2026"."""
    return house().date(day)


def month_words(number: int) -> str:
    """Write "Mar 2026" for a month counted from the beginning of our years."""
    return house().short_month(number // 12, number % 12 + 1)


def add_days(day: date, days: int) -> date:
    """Give the date so many days later; beyond either end of the calendar, its last or first day."""
    return date.fromordinal(min(max(day.toordinal() + days, 1), date.max.toordinal()))


def days_between(first: date | None, later: date | None) -> int | None:
    """Count the days to a later day; None when it comes first, or when either is not known."""
    return (later - first).days if first and later and later >= first else None
