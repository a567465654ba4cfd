"""Records and registers as they stand on the disk, key by key: where something stands that is to be taken out."""

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from archgen.errors import ConfigError, InputError
from archgen.toml.statements import Statements, Way, read_statements
from archgen.writing.change import read_before
from archgen.writing.record_text import RemoveKey


def raw_text(root: Path, file: str) -> str:
    """Give a text of the archive; empty where there is none or it cannot be read, which is a question of its own."""
    try:
        content = read_before(root, file)
        return content.decode("utf-8-sig") if content else ""
    except (ConfigError, InputError, ValueError):
        return ""


def raw_statements(root: Path, file: str) -> Statements | None:
    """Give the statements of a TOML text; None where it cannot be read."""
    try:
        return read_statements(raw_text(root, file))
    except ValueError:
        return None


def leaves(value: Any, way: Way = ()) -> Iterator[tuple[Way, Any]]:
    """Give everything that is neither a table nor a list, with the way to it."""
    if isinstance(value, dict):
        for key, one in value.items():
            yield from leaves(one, (*way, key))
    elif isinstance(value, list):
        for number, one in enumerate(value):
            yield from leaves(one, (*way, number))
    else:
        yield way, value


def tables_with(root: Path, file: str, key: str, is_meant: Callable[[str], bool]) -> tuple[RemoveKey, ...]:
    """Say how every table of an array goes in which a key says what is meant; a lone table loses the key alone."""
    read = raw_statements(root, file)
    ways = (way for way, value in leaves(read.values if read else {}) if way[-1] == key and is_meant(str(value)))
    return tuple(RemoveKey(way[:-1] if len(way) > 1 and isinstance(way[-2], int) else way) for way in ways)


def is_there(read: Statements | None, way: Way) -> bool:
    """Say whether something stands at a way."""
    return read is not None and any(found[: len(way)] == way for found, _ in leaves(read.values))
