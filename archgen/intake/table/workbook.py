"""Read a workbook (.xlsx): one sheet, values instead of formulas, merged cells filled with what they show.

Files come from anywhere: what is packed too tightly or says it is larger than any list is refused before it is read,
and XML with entities or outside addresses is refused by the parser (defusedxml).
"""

import re
import zipfile
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import openpyxl
from defusedxml.ElementTree import iterparse
from openpyxl.utils.cell import range_boundaries

from archgen.errors import InputError
from archgen.intake.table.delimited import RawRows
from archgen.intake.table.sheet import MOST_COLUMNS, Cell
from archgen.languages.house import say

_MOST_PARTS, _MOST_UNPACKED, _MOST_PACKING = 2_000, 256 * 1024 * 1024, 300
_MOST_MERGED = 5_000
# Row and column, from 1.
Place = tuple[int, int]
_MERGED = re.compile(r"\{[^}]*\}mergeCell$")


def read_workbook(path: Path, sheet: str | None = None) -> RawRows:
    """Read one sheet of a workbook, the first that is shown unless one is named.

    Raises:
        InputError: It is no workbook, damaged, made to do harm, or has no such sheet.
    """
    _check_parts(path)
    try:
        book = openpyxl.load_workbook(path, read_only=True, data_only=True, keep_links=False)
        names = [found.title for found in book.worksheets if found.sheet_state == "visible"]
        chosen = _chosen(names, sheet, path.name)
        page = book[chosen]
        page.reset_dimensions()  # what the file says of its own size may be anything
        merged = dict(_merged_cells(book, page))
    except InputError:
        raise
    except Exception as error:
        raise _damaged(path, error) from error
    others = tuple(name for name in names if name != chosen)
    return RawRows(chosen, _rows(book, page, merged, path), say('sheet "{sheet}"', sheet=chosen), others)


def _check_parts(path: Path) -> None:
    """Look at a workbook's table of contents before anything is unpacked."""
    try:
        with zipfile.ZipFile(path) as packed:
            parts = packed.infolist()
    except (OSError, zipfile.BadZipFile, ValueError, NotImplementedError) as error:
        raise _damaged(path, error) from error
    unpacked = sum(part.file_size for part in parts)
    is_bomb = any(part.file_size > _MOST_PACKING * max(part.compress_size, 1_000) for part in parts)
    if len(parts) > _MOST_PARTS or unpacked > _MOST_UNPACKED or is_bomb:
        raise InputError(
            say("{name} unpacks to far more than a list of pieces holds. Save it as CSV and try again.", name=path.name)
        )


def _damaged(path: Path, error: Exception) -> InputError:
    del error
    return InputError(
        say("{name} can't be read as a workbook; it may be damaged. Save it again, or as CSV.", name=path.name)
    )


def _chosen(names: list[str], wanted: str | None, file: str) -> str:
    if not names:
        raise InputError(say("{file} has no sheet that is shown.", file=file))
    if wanted is None:
        return names[0]
    found = next((name for name in names if name.casefold().strip() == wanted.casefold().strip()), None)
    if found is None:
        raise InputError(
            say(
                '{file} has no sheet "{wanted}". Its sheets: {sheets}.',
                file=file,
                wanted=wanted,
                sheets=", ".join(names[:20]),
            )
        )
    return found


def _rows(book: Any, page: Any, merged: Mapping[Place, Place], path: Path) -> Iterator[tuple[int, tuple[Cell, ...]]]:
    """Give the rows, with a merged cell's value in each of the cells it covers."""
    tops: dict[Place, Cell] = {}
    anchors: dict[int, set[int]] = {}
    covered: dict[int, dict[int, Place]] = {}
    for top, left in merged.values():
        anchors.setdefault(top, set()).add(left)
    for (row_number, column), place in merged.items():
        covered.setdefault(row_number, {})[column] = place
    try:
        rows = page.iter_rows(max_col=MOST_COLUMNS + 1, values_only=True)
        for number, cells in enumerate(rows, 1):
            if number not in covered and cells.count(None) == len(cells):
                continue  # a million of them may stand before one row at the far end
            row: list[Cell] = [_value(cell) for cell in cells]
            for column in anchors.get(number, ()):
                tops[number, column] = row[column - 1] if column <= len(row) else None
            for column, place in covered.get(number, {}).items():
                row += [None] * (column - len(row))
                row[column - 1] = tops.get(place)
            yield number, tuple(row)
    except InputError:
        raise
    except Exception as error:
        raise _damaged(path, error) from error
    finally:
        book.close()


def _value(cell: Any) -> Cell:
    if cell is None or isinstance(cell, Cell):
        return cell
    return str(cell)


def _merged_cells(book: Any, page: Any) -> Iterator[tuple[Place, Place]]:
    """Give each covered cell (row, column) with the upper left one of its merged cell; the reader leaves them empty.

    Only merges of rows count, within one column: a merged heading over a block is no value of each row.
    """
    with book._archive.open(page._worksheet_path) as source:  # the library has no public way to it
        for _, element in iterparse(source):
            if _MERGED.match(str(element.tag)):
                left, top, right, bottom = range_boundaries(element.attrib.get("ref", "A1"))
                if left == right and 1 < bottom - top + 1 <= _MOST_MERGED:
                    for row in range(top + 1, bottom + 1):
                        yield (row, left), (top, left)
            if not str(element.tag).endswith("}mergeCells"):
                element.clear()
