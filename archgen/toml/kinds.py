"""What a value of a TOML file must be, and everything that is wrong with one that is not.

A `Table` of kinds is walked along the parsed file; every problem is noted and the walk goes on, so that one run
shows them all. Values come back converted (lengths in millimetres and so on), `None` where a problem stands.
Knows TOML, not pieces.
"""

import datetime as dt
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, Protocol

from archgen.languages.house import say, say_count, say_in, to_say
from archgen.toml.problem import Problem, hint, listed, nearest, shown
from archgen.toml.text import line_of
from archgen.values.frozen import Value

_ISO_DAY = re.compile(r"\d{4}-\d\d-\d\d")
_MOST_HOMES = 3
_DAY_EXAMPLE = "2026-03-14"


@dataclass(slots=True)
class Walk:
    """One walk through one file: where keys stand, what was found so far."""

    lines: Mapping[str, int]
    root: "Table"
    problems: list[Problem] = field(default_factory=list)

    def note(self, code: str, key: str, problem: str, remedy: str) -> None:
        """Note a problem at a dotted key."""
        said = problem[:1].upper() + problem[1:]
        self.problems.append(Problem(code, key, line_of(key, self.lines), said, remedy))

    def note_type(self, key: str, value: object, wanted: str, remedy: str) -> None:
        """Note that a value is of another type than wanted."""
        seen = f"{_type_words(value)} ({shown(value)})"
        if isinstance(value, dict):
            seen = say("a heading with lines below it")
        elif isinstance(value, bool):
            seen = _told(value)
        self.note(
            "wrong-type", key, say("{key} is {seen}, not {wanted}.", key=named(key), seen=seen, wanted=wanted), remedy
        )


class ValueKind(Protocol):
    """What a value must be."""

    def read(self, value: Any, key: str, walk: Walk) -> Any:
        """Give the value converted, or note what is wrong and give None."""


def _told(value: object) -> str:
    """Write a value for a sentence: as it would stand in the file, but for the two that are words of a program."""
    return (say("a plain no"), say("a plain yes"))[value] if isinstance(value, bool) else shown(value)


def written(key: str, value: str) -> str:
    """Write how a key would stand in the file; a value of a list stands alone."""
    name = key.rpartition(".")[2]
    return value if name.isdigit() else f"{name} = {value}"


# What fields and tables are called in a sentence, where that is more than their own name.
_WORDS = {
    "ai_system": "trained model",
    "ai_terms": "terms of the trained model",
    "allows": "what is allowed",
    "alt": "words for those who can't see it",
    "applied": "whether it went on the skin",
    "charged": "price",
    "cover": "whether it is the cover",
    "creator": "maker",
    "digital_source": "how the picture came about",
    "dpi": "dots per inch",
    "from": "what it was drawn from",
    "healing": "follow-up",
    "license": "licence",
    "likeness": "who can be recognised",
    "made_from": "what it was made from",
    "measured_x": "length measured across",
    "measured_y": "length measured along",
    "mirrored": "whether it is mirrored",
    "obtained": "day the right was given",
    "parent": "version it was made from",
    "permission": "letter or receipt",
    "publish": "whether it is for the portfolio",
    "region": "place on the body",
    "release": "photo release",
    "rights_override": "your decision to show it",
    "rights_url": "address of the terms",
    "scope": "what the release is for",
    "sterilisation": "sterilisation number",
    "taken": "day it was taken",
    "touch_up": "whether a touch-up is wanted",
    "url": "web address",
    "use": "what it was for",
    "used": "whether you drew from it",
}


def field_words(name: str) -> str:
    """Give what a field is called in a sentence."""
    return say_in("field", plain_field(name))


def plain_field(name: str) -> str:
    """Give what a field is called, in English."""
    return _WORDS.get(name, name.replace("_", " "))


def named(key: str) -> str:
    """Name a dotted key for the artist: "licence of reference 2"."""
    *tables, name = key.split(".")
    if name.isdigit() and tables:
        return say("value {number} of {list}", number=int(name) + 1, list=named(".".join(tables)))
    if not tables:
        return field_words(name)
    return say("{field} of {table}", field=field_words(name), table=table_named(".".join(tables)))


def table_named(key: str) -> str:
    """Name a table for the artist: "size", "photo 2"; "this file" for the whole."""
    if not key:
        return say("this file")
    *_, name, number = ("", *key.split("."))
    return f"{field_words(name)} {int(number) + 1}" if number.isdigit() else field_words(number)


def _without_numbers(key: str) -> str:
    return ".".join(part for part in key.split(".") if not part.isdigit())


# In this order: a date with a time is a date too, and true is a number.
_TYPE_WORDS: tuple[tuple[type, str], ...] = (
    (str, to_say("text")),
    (int, to_say("a number")),
    (float, to_say("a number")),
    (dt.datetime, to_say("a date with a time")),
    (dt.date, to_say("a date")),
    (dt.time, to_say("a time of day")),
    (list, to_say("a list")),
)


def _type_words(value: object) -> str:
    return say(next((words for kind, words in _TYPE_WORDS if isinstance(value, kind)), to_say("a value")))


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


class Text(Value, frozen=True):
    """Any text."""

    def read(self, value: Any, key: str, walk: Walk) -> str | None:
        """Give the text."""
        if isinstance(value, str):
            return value
        if isinstance(value, list | dict):
            remedy = say("Write one text in quotes: {line}.", line=written(key, '"…"'))
        else:
            remedy = say("Put it in quotes: {line}.", line=written(key, f'"{shown(value)}"'))
        walk.note_type(key, value, "text", remedy)
        return None


class Flag(Value, frozen=True):
    """True or false."""

    def read(self, value: Any, key: str, walk: Walk) -> bool | None:
        """Give the answer."""
        if isinstance(value, bool):
            return value
        said_no = str(value).strip().lower() in ("no", "false", "off", "0", "n")
        remedy = say("Write {key}, without quotes.", key=written(key, "false" if said_no else "true"))
        walk.note_type(key, value, say("yes or no"), remedy)
        return None


class Number(Value, frozen=True):
    """A number; whole ones only on request, with the least and the most allowed."""

    whole: bool = False
    least: float = float("-inf")
    most: float = float("inf")

    def read(self, value: Any, key: str, walk: Walk) -> float | None:
        """Give the number."""
        if not _is_number(value) or (self.whole and not isinstance(value, int)):
            example = value if isinstance(value, str) and value.isdecimal() else "2"
            wanted = say("a whole number") if self.whole else say("a number")
            walk.note_type(key, value, wanted, say("Write {key}, without quotes.", key=written(key, example)))
        elif value < self.least or value > self.most:
            allowed = say("Allowed: {least:g} to {most:g}.", least=self.least, most=self.most)
            walk.note("out-of-range", key, say("{key} is {value}.", key=named(key), value=shown(value)), allowed)
        else:
            number: float = value
            return number
        return None


class Day(Value, frozen=True):
    """A date; one in quotes counts when it is written as year-month-day, since it can mean nothing else."""

    def read(self, value: Any, key: str, walk: Walk) -> dt.date | None:
        """Give the date."""
        if isinstance(value, dt.date) and not isinstance(value, dt.datetime):
            return value
        if isinstance(value, str) and _ISO_DAY.fullmatch(value):
            try:
                return dt.date.fromisoformat(value)
            except ValueError:
                problem = say("{key} is {value}, a day that does not exist.", key=named(key), value=shown(value))
                walk.note("bad-date", key, problem, say("Check day and month."))
                return None
        day = value.date().isoformat() if isinstance(value, dt.datetime) else _DAY_EXAMPLE
        problem = say("{key} is {value}, not a date as archgen reads it.", key=named(key), value=_told(value))
        walk.note("bad-date", key, problem, say("Write year-month-day without quotes: {key}.", key=written(key, day)))
        return None


class Parsed(Value, frozen=True):
    """A text with a form of its own, such as a length; parse raises ValueError with what is allowed.

    Attributes:
        code: Of the finding when the form is not kept.
        numbers: Whether a bare number counts too.
    """

    code: str
    wanted: str
    parse: Callable[[Any], Any]
    example: str
    numbers: bool = False

    def read(self, value: Any, key: str, walk: Walk) -> Any:
        """Give what parse makes of it."""
        example = written(key, self.example)
        if _is_number(value) and not self.numbers:
            problem = say("{key} is {value} without quotes and unit.", key=named(key), value=shown(value))
            walk.note(self.code, key, problem, say("Write it like {example}.", example=example))
            return None
        if not isinstance(value, str) and not _is_number(value):
            walk.note_type(key, value, say(self.wanted), say("Write it like {example}.", example=example))
            return None
        try:
            return self.parse(value)
        except ValueError as error:
            walk.note(
                self.code,
                key,
                say("{key} is {value}: {error}.", key=named(key), value=_told(value), error=error),
                say("Write it like {example}.", example=example),
            )
            return None


class OneWord(Value, frozen=True):
    """One of a closed set of words."""

    allowed: tuple[str, ...]

    def read(self, value: Any, key: str, walk: Walk) -> str | None:
        """Give the word."""
        if isinstance(value, str) and value in self.allowed:
            return value
        near = nearest(value, self.allowed) if isinstance(value, str) else None
        problem = say("{key} is {said}, none of the words allowed here.", key=named(key), said=_told(value))
        walk.note(
            "unknown-word",
            key,
            problem,
            hint(near) + say("Allowed: {allowed}.", allowed=listed(self.allowed)),
        )
        return None


class Many(Value, frozen=True):
    """A list of one kind of value, or tables in double brackets; `count` when the number of values is fixed."""

    item: ValueKind
    count: int | None = None

    def read(self, value: Any, key: str, walk: Walk) -> tuple[Any, ...] | None:
        """Give the values."""
        if not isinstance(value, list):
            self._not_a_list(value, key, walk)
            return None
        if self.count is not None and len(value) != self.count:
            problem = say_count(
                "{key} has {number} value instead of {count}.",
                "{key} has {number} values instead of {count}.",
                len(value),
                key=named(key),
                count=self.count,
            )
            walk.note("wrong-type", key, problem, say("Write it like {key}.", key=written(key, self._example(None))))
            return None
        return tuple(self.item.read(item, f"{key}.{index}", walk) for index, item in enumerate(value))

    def _not_a_list(self, value: Any, key: str, walk: Walk) -> None:
        if isinstance(self.item, Table):
            remedy = say("Write it in double brackets, once for each: [[{key}]].", key=_without_numbers(key))
            walk.note(
                "wrong-type", key, say("{key} is written once, and may come several times.", key=named(key)), remedy
            )
        else:
            remedy = say("Write it in brackets: {key}.", key=written(key, self._example(value)))
            walk.note_type(key, value, say("a list"), remedy)

    def _example(self, value: Any) -> str:
        if isinstance(self.item, Number):
            return f"[{', '.join(['412', '980', '30', '40'][: self.count or 2])}]"
        return f"[{shown(value)}]" if isinstance(value, str) else '["…", "…"]'


@dataclass(frozen=True, slots=True)
class Table:
    """A table with known keys.

    Attributes:
        required: Keys that must be there, with an example of the value as it would be written.
        others: What a key that is not in fields may hold when it is a table itself, such as [printer.NAME].
    """

    fields: Mapping[str, ValueKind]
    required: Mapping[str, str] = field(default_factory=dict)
    others: ValueKind | None = None

    def read(self, value: Any, key: str, walk: Walk) -> dict[str, Any] | None:
        """Give the values by key."""
        if not isinstance(value, dict):
            self._not_a_table(value, key, walk)
            return None
        result = {}
        for name, item in value.items():
            path = f"{key}.{name}" if key else name
            kind = self.fields.get(name) or (self.others if isinstance(item, dict) else None)
            if kind is None:
                self._unknown(name, path, key, walk)
            else:
                result[name] = kind.read(item, path, walk)
        # A key written nearly right has its finding already, which names the right one.
        meant = {nearest(name, self.fields) for name in value if name not in self.fields}
        for name, example in self.required.items():
            if name not in value and name not in meant:
                problem = say("{key} has no {name}.", key=table_named(key), name=field_words(name))
                walk.note("missing-key", key, problem, say("Add {name} = {example}.", name=name, example=example))
        return result

    def _not_a_table(self, value: Any, key: str, walk: Walk) -> None:
        name = _without_numbers(key)
        if isinstance(value, list) and value and all(isinstance(item, dict) for item in value):
            problem = say("{key} is written as if there were several, but there is only one.", key=table_named(key))
            walk.note("wrong-type", key, problem, say("Write it once, in single brackets: [{name}].", name=name))
        else:
            remedy = say("Write [{name}] on a line of its own and its keys below.", name=name)
            walk.note_type(key, value, say("a heading with lines below it"), remedy)

    def _unknown(self, name: str, path: str, table: str, walk: Walk) -> None:
        near = nearest(name, self.fields)
        where = hint(near)
        if not near and table and name in walk.root.fields:
            where = say("It belongs to the file as a whole: move it up, above the first line in brackets.") + " "
        elif homes := _homes(name, walk.root):
            where = say("It belongs below {tables}.", tables=say(" or ").join(homes)) + " "
        problem = say("{name} isn't a word known in {table}.", name=shown(name), table=table_named(table))
        walk.note("unknown-key", path, problem, where + say("Keys here: {fields}.", fields=listed(self.fields)))


def _homes(name: str, root: Table) -> list[str]:
    """Give the tables in which a key has its place, as they are headed; none when it has too many."""
    homes = []
    for table, kind in root.fields.items():
        inner = kind.item if isinstance(kind, Many) else kind
        if isinstance(inner, Table) and name in inner.fields:
            homes.append(f"[[{table}]]" if isinstance(kind, Many) else f"[{table}]")
    return homes if len(homes) <= _MOST_HOMES else []


def read_table(raw: Mapping[str, Any], table: Table, lines: Mapping[str, int]) -> tuple[dict[str, Any], list[Problem]]:
    """Walk a whole file; give its converted values and every problem found."""
    walk = Walk(lines, table)
    values = table.read(raw, "", walk)
    return values or {}, walk.problems
