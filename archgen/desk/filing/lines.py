"""Lines of a record as they are written and shown: tables with their keys, each value as TOML spells it."""

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import tomlkit

LineValue = str | bool | int | float | dt.date | tuple[str, ...]


@dataclass(frozen=True, slots=True)
class RecordTable:
    """One table of a record; the header is empty for the keys above all tables."""

    header: str
    entries: tuple[tuple[str, LineValue], ...]

    @property
    def text(self) -> str:
        """Write its lines with the equals signs lined up."""
        width = max((len(key) for key, _ in self.entries), default=0)
        lines = [f"{key:<{width}} = {value_text(value)}" for key, value in self.entries]
        return "\n".join(([self.header] if self.header else []) + lines)


def table(header: str, values: Mapping[str, LineValue | None]) -> RecordTable:
    """Make a table of what is said; None and empty texts are left out."""
    return RecordTable(
        header, tuple((key, value) for key, value in values.items() if value is not None and value not in ("", ()))
    )


def value_text(value: LineValue) -> str:
    """Spell a value."""
    return tomlkit.item(list(value) if isinstance(value, tuple) else value).as_string()


def record_text(tables: Iterable[RecordTable]) -> str:
    """Write a whole record."""
    return "\n\n".join(one.text for one in tables if one.entries) + "\n"
