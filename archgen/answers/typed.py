"""Read what is typed into a field of a record, by the key it is meant for; what is not understood is asked back."""

import datetime as dt
import re
from collections.abc import Callable, Mapping

from archgen.errors import UsageError
from archgen.languages.house import say
from archgen.units import parse_hours, parse_length
from archgen.writing.record_text import Value

DAYS = frozenset(
    ("date", "finished", "taken", "expires", "expiry", "obtained", "withdrawn", "opened", "closed", "recalled")
)
LENGTHS = frozenset(("width", "height", "girth"))
SWITCHES = frozenset(("publish", "cover", "touch_up", "mirrored", "applied", "used"))
WHOLE = frozenset(("version", "parent", "zones"))
AMOUNTS = frozenset(("charged", "deposit"))
LISTS = frozenset(("styles", "subjects", "scope", "allows", "made_from", "from"))
_YES, _NO = frozenset(("yes", "y", "true", "ja", "j")), frozenset(("no", "n", "false", "nein"))
_ISO = re.compile(r"(\d{4})-(\d{1,2})-(\d{1,2})")
_DOTTED = re.compile(r"(\d{1,2})\s*\.\s*(\d{1,2})\s*\.\s*(\d{4})")
_SLASHED = re.compile(r"(\d{1,2})\s*[/-]\s*(\d{1,2})\s*[/-]\s*(\d{4})")
_NAMED = re.compile(r"(?:\w{3,}\s+)?(\d{1,2})\.?\s+([a-zä]{3,})\.?,?\s+(\d{4})|([a-zä]{3,})\.?\s+(\d{1,2}),?\s+(\d{4})")
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_GERMAN = {"mär": "mar", "mai": "may", "okt": "oct", "dez": "dec"}


def typed_value(key: str, text: str, units: str = "mm") -> Value:
    """Give the value a text means for a key of a record.

    Lengths and times stay as they were typed; a bare number is a length in `units`.

    Raises:
        UsageError: It is not understood, or can mean two things; the message asks.
    """
    plain = text.strip()
    if key in LENGTHS:
        return _length(plain, units)
    read = next((read for keys, read in _READERS if key in keys), None)
    return read(plain) if read else plain


def typed_day(text: str) -> dt.date:
    """Read a day as people write it.

    Raises:
        UsageError: It is no day, or can be two.
    """
    plain = text.strip().lower()
    try:
        if match := _ISO.fullmatch(plain):
            return dt.date(*map(int, match.groups()))
        if match := _DOTTED.fullmatch(plain):
            return _day(match[1], match[2], match[3])
        if match := _NAMED.fullmatch(plain):
            day, month, year = (match[1], match[2], match[3]) if match[1] else (match[5], match[4], match[6])
            return _day(day, str(_MONTHS.index(_GERMAN.get(month[:3], month[:3])) + 1), year)
        if match := _SLASHED.fullmatch(plain):
            return _slashed(text, match)
    except ValueError:
        pass
    raise UsageError(say("“{text}” isn't a day. Write it as 7 Mar 2026 or 2026-03-07.", text=text.strip()[:40]))


def _slashed(text: str, match: re.Match[str]) -> dt.date:
    first, second = int(match[1]), int(match[2])
    if first <= 12 and second <= 12 and first != second:
        one, other = _day(match[1], match[2], match[3]), _day(match[2], match[1], match[3])
        raise UsageError(
            say(
                "Which day is {text}? Write it as {first} or {second}.",
                text=text.strip(),
                first=one.isoformat(),
                second=other.isoformat(),
            )
        )
    return _day(match[1], match[2], match[3]) if second <= 12 else _day(match[2], match[1], match[3])


def _day(day: str, month: str, year: str) -> dt.date:
    return dt.date(int(year), int(month), int(day))


def _length(text: str, units: str) -> str:
    written = f"{text} {units}" if re.fullmatch(r"\d+([.,]\d+)?", text) else text
    try:
        parse_length(written)
    except ValueError as error:
        raise UsageError(f"“{text[:40]}”: {error}.") from error
    return written


def _hours(text: str) -> str | float:
    try:
        hours = parse_hours(text)
    except ValueError as error:
        raise UsageError(f"“{text[:40]}”: {error}.") from error
    return hours if re.fullmatch(r"\d+([.,]\d+)?", text) else text


def _switch(text: str) -> bool:
    if text.lower() in _YES | _NO:
        return text.lower() in _YES
    raise UsageError(say("“{text}”: write yes or no.", text=text[:40]))


def _number(text: str, *, is_whole: bool) -> int | float:
    match = re.fullmatch(r"(\d+)(?:[.,](\d+))?", text.replace(" ", ""))
    if not match or (is_whole and match[2]):
        whole = say("“{text}”: write a whole number, such as 2.", text=text[:40])
        number = say("“{text}”: write a number, such as 2.", text=text[:40])
        raise UsageError(whole if is_whole else number)
    found = float(f"{match[1]}.{match[2] or 0}")
    return int(found) if found.is_integer() else found


def _whole(text: str) -> int | float:
    return _number(text, is_whole=True)


def _amount(text: str) -> int | float:
    return _number(text, is_whole=False)


def _list(text: str) -> list[str]:
    return [word.strip() for word in re.split(r"[,;\n]", text) if word.strip()]


_READERS: tuple[tuple[frozenset[str], Callable[[str], Value]], ...] = (
    (DAYS, typed_day),
    (frozenset(("hours",)), _hours),
    (SWITCHES, _switch),
    (WHOLE, _whole),
    (AMOUNTS, _amount),
    (LISTS, _list),
)


def shown_value(value: object) -> str:
    """Write a value of a record as it stands in a field."""
    if isinstance(value, bool):
        return say("yes") if value else say("no")
    if isinstance(value, list):
        return ", ".join(shown_value(one) for one in value)
    if isinstance(value, Mapping):
        return ", ".join(f"{key}: {shown_value(one)}" for key, one in value.items())
    if isinstance(value, float) and value.is_integer():
        return str(int(value))
    return value.isoformat() if isinstance(value, dt.date) else str(value)
