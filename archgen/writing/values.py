"""Write values as TOML: texts, numbers, days, lists, tables in one line."""

import re
from collections.abc import Mapping
from typing import Any

import tomlkit

_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
# A list longer than this gets a line for each value, where it may.
_LONGEST_LINE = 100


def toml_value(value: Any, newline: str | None = None) -> str:
    """Write a value; with a line end given, a long list gets a line for each of its values."""
    if isinstance(value, Mapping):
        pairs = ", ".join(f"{toml_key(key)} = {toml_value(one)}" for key, one in value.items() if one is not None)
        return f"{{ {pairs} }}" if pairs else "{}"
    if isinstance(value, list | tuple):
        items = [toml_value(one) for one in value]
        line = f"[{', '.join(items)}]"
        if newline is None or len(line) <= _LONGEST_LINE:
            return line
        return newline.join(["[", *(f"    {item}," for item in items), "]"])
    return str(tomlkit.item(value).as_string())


def toml_key(key: str) -> str:
    """Write a key, in quotes where it must be."""
    return key if _BARE_KEY.fullmatch(key) else str(tomlkit.item(key).as_string())
