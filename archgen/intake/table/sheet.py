"""A table as it was read: its headings, and its rows with the numbers a person sees beside them."""

import datetime as dt
from dataclasses import dataclass

Cell = str | int | float | bool | dt.date | dt.datetime | dt.time | None

# Larger than any studio's list; a file beyond it is no list of pieces, or made to do harm.
MOST_ROWS, MOST_COLUMNS, LONGEST_CELL = 20_000, 200, 10_000


@dataclass(frozen=True, slots=True)
class TableRow:
    """One row: its number as the spreadsheet shows it, and a cell for each heading."""

    number: int
    cells: tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class ListedSheet:
    """A table with its headings.

    Attributes:
        name: The sheet's name; None for a file that has no sheets.
        how: How it was read, in words: "semicolons, Windows-1252".
        other_sheets: Sheets of the same file that were not read.
    """

    name: str | None
    headings: tuple[str, ...]
    rows: tuple[TableRow, ...]
    how: str
    other_sheets: tuple[str, ...] = ()


def is_empty(cell: Cell) -> bool:
    """Say whether a cell holds nothing that can be seen."""
    return cell is None or (isinstance(cell, str) and not cell.strip("\ufeff\u200b\xa0 \t\r\n"))


def cell_text(cell: Cell) -> str:
    """Write a cell as a person would read it: a number without a needless ".0", a day without its midnight."""
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, float):
        return f"{cell:.10g}"
    if isinstance(cell, dt.date | dt.time):
        return _moment_text(cell)
    return " ".join(str(cell).replace("\xa0", " ").split())


def _moment_text(cell: dt.date | dt.time) -> str:
    if isinstance(cell, dt.time):
        return cell.isoformat("minutes")
    if isinstance(cell, dt.datetime):
        return cell.date().isoformat() if cell.time() == dt.time() else cell.isoformat(" ", "minutes")
    return cell.isoformat()


def note_text(cell: Cell) -> str:
    """Write a cell whose lines matter, such as a note."""
    if not isinstance(cell, str):
        return cell_text(cell)
    return "\n".join(" ".join(line.split()) for line in cell.splitlines()).strip()
