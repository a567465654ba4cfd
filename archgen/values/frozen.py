"""Values: what is made once and never changed, and is the same as another that holds the same.

A value can do what a frozen dataclass can, and `dataclasses.replace`, `fields` and `asdict` take it for one; but it is
msgspec's. To declare one takes a thirtieth of the time, which is a tenth of a small build, and to make or write one a
third. Not for what is kept in arrays, nor for what works something out once and keeps it, nor where a build that finds
nothing changed passes: that loads no library.
"""

import dataclasses
from functools import cache
from typing import Any

import msgspec


class _Fields:
    """The fields as `dataclasses` asks for them, worked out when it does."""

    def __get__(self, _: object, owner: type["Value"]) -> dict[str, "dataclasses.Field[Any]"]:
        return _fields_of(owner)


@cache
def _fields_of(owner: type["Value"]) -> dict[str, "dataclasses.Field[Any]"]:
    made = dataclasses.make_dataclass(owner.__name__, [(name, Any) for name in owner.__struct_fields__])
    return {field.name: field for field in dataclasses.fields(made)}


class Value(msgspec.Struct, frozen=True):
    """The base of all values."""

    __dataclass_fields__ = _Fields()
