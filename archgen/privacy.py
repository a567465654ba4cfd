"""Marks by which every field of a record, a register or the settings says itself whether it is public or private.

A mark stands in the annotation: ``note: Annotated[str | None, Private("note of a sitting")] = None``. What may leave
the studio, what is searched for in public folders and what the privacy tests plant all follow from the marks. A table's
mark speaks of the table as such: whether it may be seen that there is one, and how many; its fields have their own.
Knows annotations, not records.
"""

import dataclasses
import typing
from collections.abc import Iterator, Mapping
from enum import Enum
from functools import cache
from typing import Any, TypeVar

import msgspec

T = TypeVar("T")


class Sought(Enum):
    """How the text of a field is looked for where it must not be."""

    TEXT = "as a whole and sentence by sentence"
    TRADE = "as a whole; one word of it, such as scales, may be anybody's"
    NAME = "as a person's name: whole, reversed, each part"
    CONTACT = "as telephone number, mail address or any text, however spelled"
    CODE = "as one number or code"
    FILE = "as the name of a file, under any suffix"
    FOLDER = "as the name of a folder"
    ADDRESS = "as a web address"
    PRICE = "as a number beside a currency"
    # Words that stand on every page anyway: closed lists, styles, and the trade's own words.
    NEVER = "not at all"


@dataclasses.dataclass(frozen=True, slots=True)
class Private:
    """Never leaves the studio; `what` names it to the artist, as in "A note of a sitting would be public here"."""

    what: str
    sought: Sought = Sought.TEXT


@dataclasses.dataclass(frozen=True, slots=True)
class Public:
    """May be shown, where what it belongs to is shown; the text of a piece that is not shown is looked for too."""

    what: str
    sought: Sought = Sought.TEXT


Mark = Private | Public


class MarkedText(msgspec.Struct, frozen=True):
    """One text as it stands in a record: the class and the field it stands in, the field's mark."""

    owner: type
    name: str
    mark: Mark
    text: str


@cache
def privacy_marks(model: Any) -> Mapping[str, Mark]:
    """Give the mark of every field of a class.

    Raises:
        TypeError: A field has no mark, or more than one.
    """
    marks = {}
    for name, hint in typing.get_type_hints(model, include_extras=True).items():
        found = [mark for mark in getattr(hint, "__metadata__", ()) if isinstance(mark, Private | Public)]
        if len(found) != 1:
            raise TypeError(f"{model.__name__}.{name} does not say whether it is public or private.")
        marks[name] = found[0]
    return marks


def public_part(record: T) -> T:
    """Give a record with everything private taken out of it: the field's default is left, else None.

    A private field that must be there is None too, whatever its type says: what relies on it fails at once.
    """
    model: Any = type(record)
    part: T = model(**{name: _public_value(record, name, mark) for name, mark in privacy_marks(model).items()})
    return part


def _public_value(record: Any, name: str, mark: Mark) -> Any:
    if isinstance(mark, Private):
        return _defaults_of(record.__class__).get(name)
    value = getattr(record, name)
    if isinstance(value, tuple):
        return tuple(public_part(item) if _is_table(item) else item for item in value)
    return public_part(value) if _is_table(value) else value


def _is_table(value: Any) -> bool:
    return _is_class_of_tables(value.__class__)


@cache
def _is_class_of_tables(model: Any) -> bool:
    return issubclass(model, msgspec.Struct) or dataclasses.is_dataclass(model)


@cache
def _defaults_of(model: Any) -> Mapping[str, Any]:
    fields = msgspec.structs.fields(model) if issubclass(model, msgspec.Struct) else dataclasses.fields(model)
    unset = (msgspec.NODEFAULT, dataclasses.MISSING)
    return {field.name: field.default for field in fields if field.default not in unset}


@cache
def _marked_fields(model: Any) -> tuple[tuple[str, Mark, Any], ...]:
    """Give the name, the mark and the default of each field; of one without a default what is equal to nothing."""
    defaults = _defaults_of(model)
    return tuple((name, mark, defaults.get(name, object())) for name, mark in privacy_marks(model).items())


def marked_texts(record: Any) -> Iterator[MarkedText]:
    """Give every text of a record and of the tables in it, and every price; empty ones and mere defaults left out."""
    for name, mark, default in _marked_fields(record.__class__):
        value = getattr(record, name)
        if value == default:
            continue
        for item in value if isinstance(value, tuple) else (value,):
            if _is_table(item):
                yield from marked_texts(item)
            elif isinstance(item, str) and item.strip():
                yield MarkedText(type(record), name, mark, item)
            elif isinstance(item, int | float) and mark.sought is Sought.PRICE:
                yield MarkedText(type(record), name, mark, str(item))
