"""Lengths, hours and numbers as people write them: without a unit, two sides in one field, with a word beside them."""

import re
from collections.abc import Mapping

from archgen.languages.house import say
from archgen.records.typed.reading import Habits, LikelyAnswer, Reading, listed_choices
from archgen.records.typed.unit_words import with_short_lengths, with_short_times
from archgen.units import MM_PER_INCH, hours_words, length_words, parse_hours, parse_length

# Shorter or longer than this is seldom what a number without a unit means; common practice, no source.
_LEAST_MM, _MOST_MM = 10.0, 1000.0
_NOTHING: Mapping[str, object] = {}
_HOURS_FRACTION = re.compile(r"(?:(\d{1,2})\s+)?(\d)/([1-9]\d?)\s*(?:h\.?)?")
_HOURS_AND_MINUTES = re.compile(r"(\d{1,2})\s*h\.?\s*(?:(?:and|und|et|y|e|och)?\s*(\d{1,2})\s*(?:min\.?)?)?")
_HOURS_DECIMAL = re.compile(r"(\d{1,2}(?:[.,]\d+)?)\s*(?:h\.?)?")
_MINUTES = re.compile(r"(\d+)\s*min\.?")
# "3.30" can be three hours and a half by the clock, or a little more than three and a quarter.
_CLOCK_OR_DECIMAL = re.compile(r"(\d{1,2})[.,]([0-5]\d)")
_QUARTERS = frozenset({"00", "25", "50", "75"})
_FRACTIONS = {"¼": " 1/4", "½": " 1/2", "¾": " 3/4", "⅛": " 1/8", "⅓": " 1/3", "⅔": " 2/3", "⅜": " 3/8", "⅝": " 5/8"}
_BARE = re.compile(r"\d+(?:[.,]\d+)?")
_BETWEEN_SIDES = re.compile(r"\s*(?:[x×*]|\bby\b|\bauf\b|\bpar\b|\bpor\b|\bper\b)\s*", re.IGNORECASE)
_SIDE_WORDS = re.compile(
    r"\b(?:wide|width|high|height|tall|across|w|h|breit|hoch|large|haut|ancho|alto)\b\.?", re.IGNORECASE
)
# "each number with its unit" as people put it behind the last one only.
_UNIT_AT_END = re.compile(r"[^\d.,/\s]+\.?$")
_OTHER_SIDE = {"width": "height", "height": "width"}
_MONEY = re.compile(r"(?:[^\d\s.,-]{1,4}\s*)?(\d+)(?:[.,](\d{1,2}|-))?\s*(?:[^\d\s.,-]{1,5})?")
_WHOLE = re.compile(r"(?:v|version|ver|no|nr|number|#)?\.?\s*(\d{1,6})(?:\.0+)?", re.IGNORECASE)


def read_length(value: object, name: str, habits: Habits, beside: Mapping[str, object] = _NOTHING) -> Reading:
    """Read a length; one without a unit is taken in the archive's unit and asked about.

    Args:
        value: As typed.
        name: Of the key, "width" or another; for two sides in one field.
        habits: Give the archive's unit.
        beside: The other keys of the table.
    """
    text = _plain(value)
    sides = _BETWEEN_SIDES.split(_SIDE_WORDS.sub("", text).strip())
    if len(sides) == 2:
        return _two_sides(sides, name, habits, beside)
    found = _length(text)
    if found is not None:
        return Reading(_exactly(found), length_words(found, habits.units))
    return _without_unit(text, habits) if _BARE.fullmatch(text) else Reading()


def _plain(value: object) -> str:
    text = f"{value:g}" if isinstance(value, float) else str(value)
    for character, fraction in _FRACTIONS.items():
        text = text.replace(character, fraction)
    return text.strip()


def _length(text: str) -> float | None:
    """Give millimetres of a text with a unit, however the unit is spelled; None when there is none."""
    try:
        return parse_length(with_short_lengths(_SIDE_WORDS.sub("", text).strip()))
    except ValueError:
        return None


def _exactly(millimetres: float) -> str:
    """Write a length as a record takes it, to the thousandth of a millimetre."""
    return f"{round(millimetres, 3):.12g} mm"


def _without_unit(text: str, habits: Habits) -> Reading:
    number = float(text.replace(",", "."))
    ways = {"mm": 1.0, "cm": 10.0, "in": MM_PER_INCH}
    units = dict.fromkeys((habits.units, *ways))
    likely = [unit for unit in units if _LEAST_MM <= number * ways[unit] <= _MOST_MM] or list(units)
    if habits.units not in likely:
        likely = [habits.units, *likely]
    written = text.replace(",", ".")
    choices = tuple(LikelyAnswer(f"{written} {unit}", f"{written} {unit}") for unit in likely)
    if _length(choices[0].value) is None:
        return Reading()
    question = say("{text} without a unit: is that {likely}?", text=text, likely=choices[0].words)
    if others := choices[1:]:
        question = say(
            "{text} without a unit: is that {likely} (not {others})?",
            text=text,
            likely=choices[0].words,
            others=listed_choices(others),
        )
    return Reading(choices[0].value, choices[0].words, question, choices)


def _two_sides(sides: list[str], name: str, habits: Habits, beside: Mapping[str, object]) -> Reading:
    """Read "62 x 88 mm": the width first, as pictures and papers are written; common practice, no source."""
    unit_at_end = _UNIT_AT_END.search(sides[1])
    first = sides[0] if _UNIT_AT_END.search(sides[0]) or not unit_at_end else f"{sides[0]} {unit_at_end[0]}"
    readings = [read_length(side, name, habits) for side in (first, sides[1])]
    if any(reading.value is None for reading in readings):
        return Reading()
    width, height = readings
    own, other = (height, width) if name == "height" else (width, height)
    question = say(
        "{sides}: {width} wide and {height} high?", sides=" × ".join(sides), width=width.words, height=height.words
    )
    choices = (LikelyAnswer(own.value, own.words), LikelyAnswer(other.value, other.words))
    rest = ((_OTHER_SIDE[name], other.value),) if name in _OTHER_SIDE and beside.get(_OTHER_SIDE[name]) is None else ()
    return Reading(own.value, own.words, question, choices, rest)


def read_hours(value: object) -> Reading:
    """Read a working time."""
    text = _plain(value)
    if (match := _CLOCK_OR_DECIMAL.fullmatch(text)) and isinstance(value, str) and match[2] not in _QUARTERS:
        clock, decimal = int(match[1]) + int(match[2]) / 60, float(f"{match[1]}.{match[2]}")
        choices = (
            LikelyAnswer(f"{match[1]}:{match[2]}", hours_words(clock)),
            LikelyAnswer(decimal, hours_words(decimal)),
        )
        return Reading(choices=choices)
    text = with_short_times(text)
    hours = _hours(text)
    try:
        sure = parse_hours(hours if hours is not None else text)
    except ValueError:
        return Reading()
    return Reading(sure, hours_words(sure))


def _hours(text: str) -> float | None:
    if match := _HOURS_FRACTION.fullmatch(text):
        return int(match[1] or 0) + int(match[2]) / int(match[3])
    if match := _HOURS_AND_MINUTES.fullmatch(text):
        return int(match[1]) + int(match[2] or 0) / 60
    if match := _MINUTES.fullmatch(text):
        return int(match[1]) / 60
    if match := _HOURS_DECIMAL.fullmatch(text):
        return float(match[1].replace(",", "."))
    return None


def read_number(value: object, *, whole: bool) -> Reading:
    """Read a number in quotes, a version such as "v2", or a sum with its currency."""
    if isinstance(value, float) and value.is_integer() and whole:
        return Reading(int(value), f"{value:g}")
    if not isinstance(value, str):
        return Reading()
    if whole:
        match = _WHOLE.fullmatch(value.strip())
        return Reading(int(match[1]), match[1]) if match else Reading()
    match = _MONEY.fullmatch(value.strip())
    if match is None:
        return Reading()
    number = float(f"{match[1]}.{match[2]}") if match[2] and match[2] != "-" else float(match[1])
    return Reading(number, f"{number:g}")
