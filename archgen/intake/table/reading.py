"""Find the table in a file: CSV in any of the ways spreadsheets write it, or a workbook."""

from collections.abc import Iterator, Sequence
from pathlib import Path

from archgen.errors import InputError
from archgen.intake.table.delimited import read_delimited
from archgen.intake.table.sheet import (
    LONGEST_CELL,
    MOST_COLUMNS,
    MOST_ROWS,
    Cell,
    ListedSheet,
    TableRow,
    cell_text,
    is_empty,
)
from archgen.intake.table.workbook import read_workbook

_MOST_BYTES = 64 * 1024 * 1024
_WORKBOOKS = (".xlsx", ".xlsm")
_DELIMITED = (".csv", ".tsv", ".txt")
# A heading row stands within the first rows, below a title and a blank row perhaps.
_LATEST_HEADINGS = 10


def read_sheet(path: Path, sheet: str | None = None) -> ListedSheet:
    """Read a table; `sheet` names one of a workbook's sheets.

    Raises:
        InputError: The file is none that can be read, or too large for a list of pieces.
    """
    try:
        if not path.is_file():  # reading from a pipe would wait for ever
            raise InputError(f"There is no file {path}.")
        size = path.stat().st_size
    except OSError as error:
        raise InputError(f"{path} can't be read ({(error.strerror or 'disk error').lower()}).") from error
    if size > _MOST_BYTES:
        raise InputError(f"{path.name} has {size / 1024**2:.0f} MB; a list of pieces has a few at most.")
    suffix = path.suffix.lower()
    if suffix in _WORKBOOKS:
        found = read_workbook(path, sheet)
    elif suffix in _DELIMITED:
        found = read_delimited(path)
    else:
        raise InputError(f"{path.name} is neither .xlsx nor .csv. Save your list as one of them and try again.")
    return _with_headings(path.name, found.rows, found.name, found.how, found.other_sheets)


def _with_headings(
    file: str, rows: Iterator[tuple[int, Sequence[Cell]]], name: str | None, how: str, others: tuple[str, ...]
) -> ListedSheet:
    headings: tuple[str, ...] = ()
    taken: list[TableRow] = []
    waiting: list[tuple[str, ...]] = []
    for number, cells in rows:
        row = tuple(_short(file, number, cell) for cell in _trimmed(cells))
        if len(row) > MOST_COLUMNS:
            raise InputError(
                f"{file}, row {number}, has more than {MOST_COLUMNS} columns; that isn't a list of pieces."
            )
        if not row:
            continue
        if number > MOST_ROWS + _LATEST_HEADINGS:
            raise InputError(f"{file} has more than {MOST_ROWS} rows; split it into several.")
        if headings:
            taken.append(TableRow(number, (row + (None,) * len(headings))[: max(len(headings), len(row))]))
        elif sum(not is_empty(cell) for cell in row) >= 2 or number > _LATEST_HEADINGS:
            headings = tuple(cell_text(cell) for cell in row)
        else:
            waiting.append(tuple(cell_text(cell) for cell in row))
    if not headings and waiting:  # a list of titles only
        headings, rest = waiting[0], waiting[1:]
        taken = [TableRow(place, cells) for place, cells in enumerate(rest, 2)]
    if not headings:
        raise InputError(f"{file} is empty.")
    return ListedSheet(name, headings, tuple(taken), how, others)


def _trimmed(cells: Sequence[Cell]) -> tuple[Cell, ...]:
    """Cut the empty cells at the end off; nothing is left of an empty row."""
    filled = [place for place, cell in enumerate(cells) if not is_empty(cell)]
    return tuple(cells[: filled[-1] + 1]) if filled else ()


def _short(file: str, row: int, cell: Cell) -> Cell:
    if isinstance(cell, str) and len(cell) > LONGEST_CELL:
        raise InputError(f"{file}, row {row}, has a cell with {len(cell)} characters; that isn't a list of pieces.")
    return cell
