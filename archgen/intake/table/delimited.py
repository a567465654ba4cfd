"""Read CSV as spreadsheets write it: UTF-8 with or without its mark, UTF-16, Windows-1252; commas, semicolons, tabs."""

import codecs
import csv
import io
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from archgen.errors import InputError, disk_reason
from archgen.intake.table.sheet import Cell
from archgen.languages.house import say

_SEPARATORS = {",": "commas", ";": "semicolons", "\t": "tabs", "|": "bars"}
_REMARK = re.compile(r'"?sep=([,;|\t])"?[^\n]*\n', re.IGNORECASE)
# Rows looked at to find the separator.
_LOOKED_AT = 50


@dataclass(frozen=True, slots=True)
class RawRows:
    """The rows of a file with their numbers from 1, and how they were read."""

    name: str | None
    rows: Iterator[tuple[int, tuple[Cell, ...]]]
    how: str
    other_sheets: tuple[str, ...] = ()


def read_delimited(path: Path) -> RawRows:
    """Read a CSV file.

    Raises:
        InputError: It is no text.
    """
    try:
        content = path.read_bytes()
    except OSError as error:
        raise InputError(say("{file} can't be read ({reason}).", file=path, reason=disk_reason(error))) from error
    text, encoding = _decoded(content, path.name)
    remark = _REMARK.match(text)
    if remark:  # the spreadsheet's own remark about the separator; it is no row of the list
        text = text[remark.end() :]
    separator = remark[1] if remark else _separator(text)
    return RawRows(None, _rows(text, separator, path.name), f"{_SEPARATORS[separator]}, {encoding}")


def _decoded(content: bytes, name: str) -> tuple[str, str]:
    for mark, encoding, words in (
        (codecs.BOM_UTF8, "utf-8-sig", "UTF-8"),
        (codecs.BOM_UTF16_LE, "utf-16", "UTF-16"),
        (codecs.BOM_UTF16_BE, "utf-16", "UTF-16"),
    ):
        if content.startswith(mark):
            try:
                return _lines(content.decode(encoding), name), words
            except UnicodeDecodeError as error:
                raise InputError(say("{name} is damaged: its text breaks off. Save it again.", name=name)) from error
    try:
        return _lines(content.decode("utf-8"), name), "UTF-8"
    except UnicodeDecodeError:
        # Five bytes mean nothing in Windows-1252; they become a mark that can be seen, and never stop the list.
        return _lines(content.decode("cp1252", "replace"), name), "Windows-1252"


def _lines(text: str, name: str) -> str:
    if "\0" in text:
        raise InputError(say("{name} isn't a text file. Save your list as CSV or .xlsx and try again.", name=name))
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _separator(text: str) -> str:
    """Take the separator that cuts most rows into the same number of cells, more than one."""
    best = (0, 0, ",")
    for separator in _SEPARATORS:
        rows = [row for row, _ in zip(_parsed(text, separator), range(_LOOKED_AT), strict=False) if any(row)]
        widths = [len(row) for row in rows]
        usual = max(set(widths), key=widths.count, default=1)
        rating = (widths.count(usual) if usual > 1 else 0, usual, separator)
        best = max(best, rating, key=lambda one: one[:2])
    return best[2]


def _parsed(text: str, separator: str) -> Iterator[list[str]]:
    yield from csv.reader(io.StringIO(text), delimiter=separator, skipinitialspace=True)


def _rows(text: str, separator: str, name: str) -> Iterator[tuple[int, tuple[Cell, ...]]]:
    """Give the rows, numbered as the spreadsheet numbers them: a cell of several lines is in one row."""
    try:
        for number, row in enumerate(_parsed(text, separator), 1):
            yield number, tuple(row)
    except csv.Error as error:
        raise InputError(
            say("{name} can't be read as CSV ({error}). Save it again, or as .xlsx.", name=name, error=error)
        ) from error
