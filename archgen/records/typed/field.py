"""One field of a record as somebody typed it: understood, or one short question with its choices.

Made for forms and for sloppy records alike; nothing here touches the disk. What decides about publication is never
guessed: there only the words of the record's description are understood.
"""

import datetime as dt
import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from archgen.languages.house import say
from archgen.records.model import PieceRecord, Record
from archgen.records.schema import HOURS, LENGTH, table_of
from archgen.records.typed import words
from archgen.records.typed.amounts import read_hours, read_length, read_number
from archgen.records.typed.days import read_day
from archgen.records.typed.doubts import without_doubt
from archgen.records.typed.reading import Habits, LikelyAnswer, Reading, listed_choices
from archgen.records.typed.strictness import is_strict
from archgen.records.vocabulary.placements import find_placement, place_within, place_words
from archgen.toml.kinds import Day, Flag, Many, Number, OneWord, Parsed, Table, Text, ValueKind, Walk
from archgen.toml.problem import says_something, shown
from archgen.toml.slips import one_slip_away
from archgen.units import date_words, hours_words, length_words

_USUAL = Habits()
_NOTHING: Mapping[str, object] = {}
# Closed words of which every other kind of list is not one: the words they are compared with tell which list it is.
_SIDES, _KINDS = ("left", "right", "centre"), ("sitting", "touch-up")
_LONGEST_CHOICES = 4


def read_field(key: str, typed: object, habits: Habits = _USUAL, beside: Mapping[str, object] = _NOTHING) -> Reading:
    """Read one field of a piece's record as typed.

    Args:
        key: Dotted, such as "size.width" or "sitting.0.date"; the numbers may be left out.
        typed: The text of a form, or a value of a TOML file.
        habits: How the rest of the archive is written: its unit, the order of its dates.
        beside: What the other keys of the same table hold.

    Raises:
        KeyError: A record has no such key.
    """
    kind = kind_at(key, PieceRecord)
    if kind is None:
        raise KeyError(key)
    if isinstance(typed, str) and not says_something(typed):
        return Reading()
    typed = _plain_of(typed, kind) if isinstance(typed, str) else typed
    if _without_numbers(key) == "placement.region" and isinstance(typed, str):
        return _read_region(typed)
    reading = read_value(kind, typed, Spot(key, is_strict(key), beside), habits)
    table = key.rpartition(".")[0]
    known = tuple((name, other) for name, other in reading.beside if kind_at(f"{table}.{name}", PieceRecord))
    return replace(reading, beside=known)


def kind_at(key: str, model: type[Record]) -> ValueKind | None:
    """Give the kind of value a dotted key holds; None when there is no such key."""
    kind: ValueKind | None = table_of(model)
    for step in key.split(".") if key else ():
        if isinstance(kind, Many):
            kind = kind.item
            if step.isdecimal():
                continue
        kind = kind.fields.get(step) if isinstance(kind, Table) else None
    return kind


def _without_numbers(key: str) -> str:
    return ".".join(step for step in key.split(".") if not step.isdecimal())


def _plain_of(typed: str, kind: ValueKind) -> Any:
    """Give the value a text of a form stands for where a record would hold no text."""
    text = typed.strip()
    if isinstance(kind, Number) and re.fullmatch(r"-?\d+", text):
        return int(text)
    if isinstance(kind, Number) and re.fullmatch(r"-?\d+[.,]\d{1,2}", text):
        return float(text.replace(",", "."))
    if isinstance(kind, Flag) and text in ("true", "false"):
        return text == "true"
    return text


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a value stands: its dotted key, whether it decides about publication, and what stands beside it."""

    key: str
    strict: bool = False
    beside: Mapping[str, object] = field(default_factory=dict)

    @property
    def name(self) -> str:
        """Give the key without its tables and numbers."""
        return next((step for step in reversed(self.key.split(".")) if not step.isdecimal()), "")


def read_value(kind: ValueKind, value: Any, spot: Spot, habits: Habits) -> Reading:
    """Read one value of a kind: as the record's description has it, else, where nothing decisive is said, loosely."""
    walk, strict = Walk({}, table_of(PieceRecord)), spot.strict
    found = kind.read(value, spot.key, walk)
    if not walk.problems and found is not None:
        return Reading(found if isinstance(kind, Day) else value, _said(kind, value, found, habits))
    reading = Reading() if strict and not isinstance(kind, Day) else _in_doubt(kind, value, spot, habits)
    if strict and reading.value is not None:  # what would be guessed elsewhere is offered here
        reading = Reading(choices=(LikelyAnswer(reading.value, reading.words),))
    if reading.value is not None:
        return reading
    return _asked(kind, value, reading.choices)


def _said(kind: ValueKind, value: Any, found: Any, habits: Habits) -> str:
    if kind is LENGTH:
        return length_words(found, habits.units)
    if kind is HOURS:
        return hours_words(found)
    if isinstance(kind, Day):
        return date_words(found)
    if isinstance(kind, Flag):
        return "yes" if value else "no"
    return ", ".join(map(str, value)) if isinstance(value, list) else str(value)


def _in_doubt(kind: ValueKind, value: Any, spot: Spot, habits: Habits) -> Reading:
    """Read a value without its words of doubt, and ask about it once where it has any; a day is only offered."""
    plain = without_doubt(value) if isinstance(value, str) and not isinstance(kind, Text | Many) else value
    if plain == value:
        return _loosely(kind, value, spot, habits)
    walk = Walk({}, table_of(PieceRecord))
    found = kind.read(plain, spot.key, walk)
    if walk.problems or found is None:
        reading = _loosely(kind, plain, spot, habits)
    else:
        reading = Reading(found if isinstance(kind, Day) else plain, _said(kind, plain, found, habits))
    if reading.value is None:
        return reading
    likely = LikelyAnswer(reading.value, reading.words)
    if isinstance(kind, Day):
        return Reading(choices=(likely,))
    # What is asked already is asked with the words of doubt in it.
    asked = reading.question.partition(": ")[2] or say("is that {words}?", words=reading.words)
    return replace(reading, question=f"{shown(value)}: {asked}", choices=reading.choices or (likely,))


def _loosely(kind: ValueKind, value: Any, spot: Spot, habits: Habits) -> Reading:
    reading = Reading()
    is_number = isinstance(value, int | float) and not isinstance(value, bool)
    if kind is LENGTH and (is_number or isinstance(value, str)):
        reading = read_length(value, spot.name, habits, spot.beside)
    elif kind is HOURS and isinstance(value, str):
        reading = read_hours(value)
    elif isinstance(kind, Day) and isinstance(value, str | dt.date):
        reading = read_day(value, habits)
    elif isinstance(kind, Flag) and (is_number or isinstance(value, str)):
        answer = words.answer_of(f"{value:g}" if is_number else value)
        reading = Reading() if answer is None else Reading(answer, yes_or_no(answer))
    elif isinstance(kind, Number):
        reading = read_number(value, whole=kind.whole)
    elif isinstance(kind, OneWord) and isinstance(value, str):
        reading = _one_word(kind, value)
    elif isinstance(kind, Text):
        reading = _text(value)
    elif isinstance(kind, Many) and isinstance(kind.item, Text) and not isinstance(value, list):
        text = value if isinstance(value, str) else _text(value).words
        items = [item.strip() for item in re.split(r"[,;\n]", text) if says_something(item)]
        reading = Reading(items, ", ".join(items)) if items else Reading()
    return reading


def _one_word(kind: OneWord, text: str) -> Reading:
    word = {_SIDES: words.side_of, _KINDS: words.kind_of}.get(kind.allowed, lambda _: None)(text)
    if word is not None:
        return Reading(word, word)
    near = one_slip_away(text, kind.allowed)
    if len(near) == 1:
        question = say("{field}: is that {near}?", field=shown(text), near=near[0])
        return Reading(near[0], near[0], question, (LikelyAnswer(near[0], near[0]),))
    return Reading()


def _text(value: object) -> Reading:
    if isinstance(value, dt.date | dt.time):
        text = value.isoformat()
    elif isinstance(value, int | float) and not isinstance(value, bool):
        text = f"{value:.12g}" if isinstance(value, float) else str(value)
    elif isinstance(value, list) and value and all(isinstance(item, str) for item in value):
        text = ", ".join(value)
    else:
        return Reading()
    return Reading(text, text)


def _read_region(text: str) -> Reading:
    found = find_placement(text)
    beside = (("side", found.side.value),) if found.side else ()
    if found.place:
        return Reading(found.place.id, place_words(found.place), beside=beside)
    choices = tuple(LikelyAnswer(place.id, place_within(place)) for place in found.choices)
    if choices:
        listed = listed_choices(choices[:_LONGEST_CHOICES])
        return Reading(question=f"{shown(text)}: {listed}?", choices=choices, beside=beside)
    return Reading(question=say("{text}: where on the body is that?", text=shown(text)), beside=beside)


def yes_or_no(answer: bool) -> str:
    """Say an answer."""
    return say("yes") if answer else say("no")


def _asked(kind: ValueKind, value: Any, choices: tuple[LikelyAnswer, ...]) -> Reading:
    """Ask about a value that is not understood; where it decides about publication, in the words a record takes."""
    word_kind = kind.item if isinstance(kind, Many) else kind
    if isinstance(word_kind, OneWord):
        choices = tuple(LikelyAnswer(word, word) for word in word_kind.allowed)
        question = f"{listed_choices(choices)}?"
    elif isinstance(kind, Flag):
        choices = (LikelyAnswer(True, yes_or_no(True)), LikelyAnswer(False, yes_or_no(False)))
        question = say("yes or no?")
    elif isinstance(kind, Day):
        question = say("is that {choices}?", choices=listed_choices(choices)) if choices else say("which day is that?")
    elif kind is LENGTH:
        question = say("how many mm, cm or in?")
    elif kind is HOURS:
        question = say("is that {choices}?", choices=listed_choices(choices)) if choices else say("how many hours?")
    elif isinstance(kind, Number):
        question = say("which number is that?")
    elif isinstance(kind, Parsed):
        question = say("is that {wanted}?", wanted=say(kind.wanted))
    else:
        question = say("what is meant?")
    return Reading(question=f"{shown(value)}: {question}", choices=choices)


def how_to_write(name: str, kind: ValueKind | None, value: Any) -> str:
    """Say how the answer to a question that lists its choices is written, without the choices again."""
    if isinstance(kind, Many):
        return say('Write {name} = ["…"], with the words that are meant.', name=name)
    near = one_slip_away(value, kind.allowed) if isinstance(kind, OneWord) and isinstance(value, str) else ()
    if len(near) == 1:
        return say('Write {name} = "{near}", if that is it.', name=name, near=near[0])
    return say('Write {name} = "…", with the word that is meant.', name=name)
