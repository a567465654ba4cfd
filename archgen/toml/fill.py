"""Add keys to tables of a TOML text and leave every other character as it is; knows TOML, not records.

The text is changed with tomlkit, then read again with the standard library: unless exactly the additions are new,
nothing is given back.
"""

import tomllib
from collections.abc import Mapping
from typing import Any

import tomlkit
from tomlkit.items import AoT, Comment, SingleKey, Table, Whitespace


def fill_tables(text: str, name: str, additions: Mapping[int, Mapping[str, str]]) -> str | None:
    """Add keys to the tables ``[[name]]`` by their number (from 0), each below the keys that are there.

    A key that is there stays as it is. Gives None when the text is written in a way in which nothing can be added
    safely, such as tables in one line.
    """
    document = tomlkit.parse(text)
    tables = document.get(name)
    if not isinstance(tables, AoT):
        return None
    newline = "\r\n" if "\r\n" in text else "\n"
    wanted = tomllib.loads(text.replace("\r\n", "\n"))
    for number, keys in additions.items():
        if not 0 <= number < len(tables.body):
            return None
        table = tables.body[number]
        new = {key: value for key, value in keys.items() if key not in table}
        _add(table, new, newline)
        wanted[name][number] |= new
    filled = tomlkit.dumps(document)
    return filled if _reads_as(filled, wanted) else None


def _add(table: Table, keys: Mapping[str, str], newline: str) -> None:
    body = table.value.body
    width = _width(table)
    behind: list[Any] = []
    # Empty lines and remarks at the end belong to what follows.
    while body and isinstance(body[-1][1], Whitespace | Comment):
        behind.append(body.pop())
    for key, value in keys.items():
        item = tomlkit.string(value)
        item.trivia.trail = newline
        table.append(SingleKey(key, sep=f"{' ' * max(width - len(key), 1)}= "), item)
    body.extend(reversed(behind))


def _width(table: Table) -> int:
    """Give the column of the equals signs where they stand below each other, else 0."""
    columns = {len(key.as_string() + key.sep.partition("=")[0]) for key, _ in table.value.body if key is not None}
    return columns.pop() if len(columns) == 1 else 0


def _reads_as(text: str, wanted: Mapping[str, Any]) -> bool:
    try:
        return tomllib.loads(text.replace("\r\n", "\n")) == wanted
    except tomllib.TOMLDecodeError:
        return False
