"""Find the table in a file: CSV in any of the ways spreadsheets write it, or a workbook."""

from collections.abc import Iterator, Sequence
from pathlib import Path

from archgen.errors import InputError, disk_reason
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
from archgen.languages.house import say

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
            raise InputError(say("There is no file {file}.", file=path))
        size = path.stat().st_size
    except OSError as error:
        raise InputError(say("{file} can't be read ({reason}).", file=path, reason=disk_reason(error))) from error
    if size > _MOST_BYTES:
        raise InputError(
            say("{name} has {size:.0f} MB; a list of pieces has a few at most.", name=path.name, size=size / 1024**2)
        )
    suffix = path.suffix.lower()
    if suffix in _WORKBOOKS:
        found = read_workbook(path, sheet)
    elif suffix in _DELIMITED:
        found = read_delimited(path)
    else:
        raise InputError(
            say("{name} is neither .xlsx nor .csv. Save your list as one of them and try again.", name=path.name)
        )
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
                say(
                    "{file}, row {number}, has more than {most} columns; that isn't a list of pieces.",
                    file=file,
                    number=number,
                    most=MOST_COLUMNS,
                )
            )
        if not row:
            continue
        if number > MOST_ROWS + _LATEST_HEADINGS:
            raise InputError(say("{file} has more than {most} rows; split it into several.", file=file, most=MOST_ROWS))
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
        raise InputError(say("{file} is empty.", file=file))
    return ListedSheet(name, headings, tuple(taken), how, others)


def _trimmed(cells: Sequence[Cell]) -> tuple[Cell, ...]:
    """Cut the empty cells at the end off; nothing is left of an empty row."""
    filled = [place for place, cell in enumerate(cells) if not is_empty(cell)]
    return tuple(cells[: filled[-1] + 1]) if filled else ()


def _short(file: str, row: int, cell: Cell) -> Cell:
    if isinstance(cell, str) and len(cell) > LONGEST_CELL:
        raise InputError(
            say(
                "{file}, row {row}, has a cell with {length} characters; that isn't a list of pieces.",
                file=file,
                row=row,
                length=len(cell),
            )
        )
    return cell
