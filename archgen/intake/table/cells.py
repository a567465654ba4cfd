"""What a row says, as lines of a record: days, sizes, hours, prices, lists; what is not clear stays as it stands.

A value is written as the artist typed it wherever the record's own reading understands it; only what a spreadsheet
alone knows (its days, its numbers, the unit in a heading) is turned into words here.
"""

import datetime as dt
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from archgen.intake.table.headings import Column, MappedColumn
from archgen.intake.table.sheet import Cell, TableRow, cell_text, is_empty, note_text
from archgen.languages.house import say
from archgen.units import date_words

# Day 0 of a spreadsheet's own days; the numbers between are 1950 and 2100.
_DAY_ZERO = dt.date(1899, 12, 30)
_FIRST_SERIAL, _LAST_SERIAL = 18_264, 73_051
_NUMERIC_DAY = re.compile(r"(\d{1,4})[./-](\d{1,2})[./-](\d{1,4})\.?(?:[ T]\d{1,2}:\d\d(?::\d\d)?)?")
_SIZE = re.compile(
    r"(\d+(?:[.,]\d+)?)\s*(mm|cm|in|inch|inches|\")?\s*(?:[x×*]|by)\s*(\d+(?:[.,]\d+)?)\s*(mm|cm|in|inch|inches|\")?",
    re.IGNORECASE,
)
_NUMBER = re.compile(r"\d+(?:[.,]\d+)?")
_LIST = re.compile(r"\s*[,;/|\n]\s*")
_YES = frozenset(["yes", "y", "ja", "oui", "si", "sí", "sim", "ok", "true", "x", "✓", "granted"])
_NO = frozenset(["no", "n", "nein", "non", "não", "nao", "nej", "false", "refused"])


@dataclass(frozen=True, slots=True)
class RowQuestion:
    """Something of one row that is not clear, with the heading it stands under."""

    row: int
    heading: str
    text: str


@dataclass(frozen=True, slots=True)
class RowValues:
    """A row taken apart: values by what they say, in the order of the columns."""

    row: int
    values: Mapping[Column, tuple[tuple[MappedColumn, Cell], ...]]

    def first(self, column: Column) -> tuple[MappedColumn, Cell] | None:
        """Give the first filled cell of a kind."""
        return next(iter(self.values.get(column, ())), None)

    def text(self, column: Column) -> str:
        """Give the text of the first filled cell of a kind; empty where there is none."""
        found = self.first(column)
        return cell_text(found[1]) if found else ""

    def texts(self, column: Column) -> list[str]:
        """Give the texts of all cells of a kind."""
        return [cell_text(cell) for _, cell in self.values.get(column, ())]

    def notes(self) -> list[str]:
        """Give the notes, with their lines."""
        return [note_text(cell) for _, cell in self.values.get(Column.NOTE, ())]


def values_of(row: TableRow, columns: Sequence[MappedColumn]) -> RowValues:
    """Sort the cells of a row by what they say."""
    values: dict[Column, tuple[tuple[MappedColumn, Cell], ...]] = {}
    for mapped in columns:
        cell = row.cells[mapped.place] if mapped.place < len(row.cells) else None
        if mapped.column and not is_empty(cell):
            values[mapped.column] = (*values.get(mapped.column, ()), (mapped, cell))
    return RowValues(row.number, values)


def is_day_first(cells: Iterable[Cell]) -> bool | None:
    """Say from a whole column whether its typed dates have the day first; None where it never shows."""
    first = second = 0
    for cell in cells:
        match = _NUMERIC_DAY.fullmatch(cell.strip()) if isinstance(cell, str) else None
        if match and len(match[1]) <= 2:
            first += int(match[1]) > 12 >= int(match[2])
            second += int(match[2]) > 12 >= int(match[1])
    return None if bool(first) == bool(second) else first > second


def read_day(cell: Cell, day_first: bool | None) -> tuple[dt.date | str, str | None]:
    """Give the day of a cell, or the text as typed where it is none; and a question where it can be two days."""
    if isinstance(cell, dt.date):
        return cell.date() if isinstance(cell, dt.datetime) else cell, None
    text = cell_text(cell)
    number = float(text) if re.fullmatch(r"\d{5}(\.\d+)?", text) else None
    if number is not None and _FIRST_SERIAL <= number <= _LAST_SERIAL:
        return _DAY_ZERO + dt.timedelta(days=int(number)), None
    match = _NUMERIC_DAY.fullmatch(text)
    if match is None:
        return text, None  # words such as "14 March 2026" are read with the record
    if day_first is None and "." in text:  # dates with dots are written so where the day comes first
        day_first = True
    days = list(dict.fromkeys(_days(*(match[1], match[2], match[3]), day_first)))
    if len(days) == 1:
        return days[0], None
    if not days:
        return text, say('"{text}" is not a day of the calendar.', text=text)
    return (
        text,
        say(
            '"{text}" can be {first} or {second}. Say --dates day-first or month-first.',
            text=text,
            first=date_words(days[0]),
            second=date_words(days[1]),
        ),
    )


def _days(one: str, two: str, three: str, day_first: bool | None) -> Iterator[dt.date]:
    if len(one) == 4:
        yield from _day(int(one), int(two), int(three))
        return
    if len(one) > 2 or len(three) not in (2, 4):
        return
    year = int(three) if len(three) == 4 else 2000 + int(three)
    if day_first is not False:
        yield from _day(year, int(two), int(one))
    if day_first is not True:
        yield from _day(year, int(one), int(two))


def _day(year: int, month: int, day: int) -> Iterator[dt.date]:
    try:
        yield dt.date(year, month, day)
    except ValueError:
        return


def read_size(text: str, unit: str | None) -> dict[str, str] | None:
    """Read "62 x 88 mm"; None where it isn't such a pair, or without a unit."""
    match = _SIZE.fullmatch(text.strip())
    if match is None:
        return None
    behind = match[4] or match[2] or unit
    if behind is None:
        return None
    front = match[2] or behind
    return {"width": _length(match[1], front), "height": _length(match[3], behind)}


def read_length(text: str, unit: str | None) -> str:
    """Give a length as typed, with the unit of its heading where it has none."""
    return _length(text, unit) if unit and _NUMBER.fullmatch(text) else text


def _length(number: str, unit: str) -> str:
    return f"{number} {'in' if unit.lower().startswith('in') or unit == chr(34) else unit.lower()}"


def read_hours(cell: Cell) -> float | str:
    """Give hours as a number where they are one, else as typed; a spreadsheet's time of 3:30 is a length of time."""
    if isinstance(cell, bool):
        return cell_text(cell)
    if isinstance(cell, int | float):
        return _plain_number(float(cell))
    if isinstance(cell, dt.time):
        return f"{cell.hour}:{cell.minute:02}"
    text = cell_text(cell)
    return _plain_number(float(text.replace(",", "."))) if _NUMBER.fullmatch(text) else text


def _plain_number(number: float) -> float:
    return int(number) if number.is_integer() else round(number, 4)


def read_money(cell: Cell) -> float | None:
    """Give an amount; None where more than a number and a currency stands there."""
    if isinstance(cell, int | float) and not isinstance(cell, bool):
        return round(float(cell), 2)
    bare = re.sub(
        r"[€$£¥]|\b(?:eur|usd|gbp|chf|sek|kr|euros?|dollars?|pounds?)\b\.?", "", cell_text(cell).lower()
    ).strip()
    if re.fullmatch(r"\d+([.,]\d{1,2})?", bare):
        return float(bare.replace(",", "."))
    if re.fullmatch(r"\d{1,3}([.' ]\d{3})+,\d{2}", bare):
        return float(re.sub(r"[.' ]", "", bare).replace(",", "."))
    return float(re.sub(r"[,' ]", "", bare)) if re.fullmatch(r"\d{1,3}([,' ]\d{3})+\.\d{2}", bare) else None


def read_release(text: str) -> str | None:
    """Give the status of a release for a plain yes or no; None for anything else."""
    word = text.casefold().strip(" .!")
    return "granted" if word in _YES else "refused" if word in _NO else None


def split_list(texts: Iterable[str]) -> list[str]:
    """Give the words of lists, each once."""
    return list(dict.fromkeys(word for text in texts for word in _LIST.split(text) if word))
