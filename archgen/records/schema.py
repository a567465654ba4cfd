"""Turn the parsed TOML of a record or register into the model, or say everything that is wrong with it.

The model's own classes are the only description: msgspec converts a sound record at once, and when it refuses one,
the kinds derived from the same classes walk it and name every problem. Nothing here touches the disk.
"""

import datetime as dt
import re
import types
import typing
from collections.abc import Mapping
from enum import Enum
from functools import cache
from typing import Any, TypeVar

import msgspec

from archgen.languages.house import say, to_say
from archgen.records.model import Hours, Length, PieceRecord, Record
from archgen.records.typed.strictness import LISTS
from archgen.toml.kinds import Day, Flag, Many, Number, OneWord, Parsed, Table, Text, ValueKind, read_table
from archgen.toml.problem import Problem, says_something
from archgen.units import parse_hours, parse_length

R = TypeVar("R", bound=Record)

LENGTH = Parsed("bad-length", to_say("a length"), parse_length, '"62 mm"')
HOURS = Parsed(
    "bad-time", to_say('a time such as 3.5, "3h30", "3:30" or "3 h 30 min"'), parse_hours, "3.5", numbers=True
)
_SIMPLE: dict[Any, ValueKind] = {
    str: Text(),
    bool: Flag(),
    int: Number(whole=True),
    float: Number(),
    dt.date: Day(),
    Length: LENGTH,
    Hours: HOURS,
}
# How a required key would be written, for the message that it is missing.
_EXAMPLES = {
    "PieceRecord.title": '"Barn owl"',
    "Needle.code": '"1003RL"',
    "Client.code": '"C-0042"',
    "InkBatch.batch": '"GW2-2231"',
    "Stencil.file": '"stencils/owl-1.png"',
    "Photo.file": '"photos/owl-fresh.jpg"',
    "Landmark.stencil": "[412, 980]",
    "Landmark.at": "[1630, 2210]",
    "Landmark.on": '"photos/owl-fresh.jpg"',
    "RightsOverride.reason": '"…"',
    "Supply.name": '"soap"',
    "Box.code": '"3RL"',
    "Told.batch": '"GW2-2231"',
    "Told.client": '"C-0042"',
    "Decision.images": '["pieces/a/photos/1.jpg", "pieces/b/photos/2.jpg"]',
}
_DATE_EXAMPLE = "2026-03-14"


def read_piece_record(raw: Mapping[str, Any], lines: Mapping[str, int]) -> tuple[PieceRecord | None, list[Problem]]:
    """Give the record of one piece.toml, or None and every problem of its shape."""
    return read_record(raw, PieceRecord, lines)


def read_record(raw: Mapping[str, Any], model: type[R], lines: Mapping[str, int]) -> tuple[R | None, list[Problem]]:
    """Give the table as the model's class, or None and every problem of its shape.

    An empty text counts as not recorded: people copy a record and leave out what they do not know.
    """
    pruned = without_blanks(raw)
    try:
        return msgspec.convert(pruned, model, dec_hook=decode), []
    except (msgspec.ValidationError, ValueError) as error:
        _, problems = read_table(pruned, table_of(model), lines)
        # The walk knows all that msgspec checks; should it ever miss something, the record is refused all the same.
        return None, problems or [_unexplained(error)]


def without_blanks(value: Any) -> Any:
    """Leave out keys whose text is empty, or nothing that can be seen."""
    if isinstance(value, dict):
        return {
            key: without_blanks(item)
            for key, item in value.items()
            if item.__class__ is not str or says_something(item)
        }
    if isinstance(value, list) and value and isinstance(value[0], dict):
        return [without_blanks(item) for item in value]
    return value


# Words of closed sets that are read whatever their capitals and hyphens.
_WORDS = {"release": ("status",), "reference": ("likeness", "allows"), "photo": ("stage",)}


def tidy(raw: Mapping[str, Any]) -> dict[str, Any]:
    """Write single texts as lists and closed words plainly, where that can mean nothing else."""
    return {name: _tidy_table(name, value) for name, value in raw.items()}


def _tidy_table(name: str, value: Any) -> Any:
    if name not in _TIDIED:
        return value
    if isinstance(value, list):
        return [_tidy_table(name, item) for item in value]
    if not isinstance(value, dict):
        return value
    table = dict(value)
    for key in LISTS.get(name, ()):
        values = [table[key]] if isinstance(table.get(key), str) else table.get(key)
        if isinstance(values, list):
            table[key] = [one for one in values if not isinstance(one, str) or says_something(one)]
    for key in _WORDS.get(name, ()):
        if key in table:
            table[key] = _plain(table[key])
    return table


_TIDIED = LISTS.keys() | _WORDS.keys()


def _plain(value: Any) -> Any:
    if isinstance(value, list):
        return [_plain(item) for item in value]
    return re.sub(r"[\s_]+", "-", value.strip().casefold()) if isinstance(value, str) else value


def _unexplained(error: Exception) -> Problem:
    remedy = say("Compare the file with the record's description; correct or take out what was changed last.")
    del error
    return Problem("unreadable-record", "", None, say("The record does not have the form archgen reads."), remedy)


def decode(kind: type, value: Any) -> Any:
    """Make a length or a time of its text, for msgspec; raise ValueError for anything else."""
    if kind is Length and isinstance(value, str):
        return Length(parse_length(value))
    if kind is Hours and isinstance(value, str | int | float) and not isinstance(value, bool):
        return Hours(parse_hours(value))
    raise ValueError(kind.__name__)


@cache
def table_of(model: type[Record]) -> Table:
    """Describe a class of the model for the walk."""
    hints = typing.get_type_hints(model)
    fields, required = {}, {}
    for spec in msgspec.structs.fields(model):
        fields[spec.encode_name] = _kind(hints[spec.name])
        if spec.required:
            name = f"{model.__name__}.{spec.name}"
            required[spec.encode_name] = _EXAMPLES.get(name, _DATE_EXAMPLE)
    return Table(fields, required)


def _kind(hint: Any) -> ValueKind:
    if hint in _SIMPLE:
        return _SIMPLE[hint]
    arguments = typing.get_args(hint)
    if isinstance(hint, types.UnionType) or typing.get_origin(hint) is typing.Union:
        return _kind(next(argument for argument in arguments if argument is not types.NoneType))
    if typing.get_origin(hint) is tuple:
        return Many(_kind(arguments[0]), None if arguments[-1] is Ellipsis else len(arguments))
    if issubclass(hint, Enum):
        return OneWord(tuple(str(member.value) for member in hint))
    return table_of(hint)
