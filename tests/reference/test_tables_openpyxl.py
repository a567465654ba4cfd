"""Workbooks written by openpyxl, the outside check of the reader of tables, and workbooks made to do harm."""

import datetime as dt
import time
import zipfile

import openpyxl
import pytest

from archgen.errors import InputError
from archgen.intake.table.reading import read_sheet


def saved(tmp_path, *rows, change=lambda _sheet: None, title="Tattoos"):
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = title
    for row in rows:
        sheet.append(list(row))
    change(sheet)
    path = tmp_path / "list.xlsx"
    book.save(path)
    return path


def test_cells_keep_their_kind(tmp_path):
    path = saved(
        tmp_path,
        ("Title", "Date", "Time", "Price", "Yes", "Note"),
        ("Owl", dt.date(2026, 3, 14), dt.time(2, 30), 420.5, True, "two\nlines"),
    )
    (row,) = read_sheet(path).rows
    assert row.cells == ("Owl", dt.datetime.fromisoformat("2026-03-14"), dt.time(2, 30), 420.5, True, "two\nlines")


def test_days_of_the_other_calendar_are_the_same_days(tmp_path):
    path = saved(tmp_path, ("Title", "Date"), ("Owl", dt.date(2026, 3, 14)))
    book = openpyxl.load_workbook(path)
    book.epoch = openpyxl.utils.datetime.CALENDAR_MAC_1904
    book.active["B2"] = dt.date(2026, 3, 14)
    book.save(path)
    assert read_sheet(path).rows[0].cells[1] == dt.datetime.fromisoformat("2026-03-14")


def test_merged_cells_hold_in_every_row_and_empty_rows_keep_the_numbers(tmp_path):
    def merge(sheet):
        sheet.merge_cells("B3:B5")
        sheet.merge_cells("A1:C1")

    path = saved(
        tmp_path,
        ("My list",),
        ("Title", "Client", "Note"),
        ("Owl", "Ada Example", "a"),
        ("Fern", None, "b"),
        ("Moth", None, None),
        (None, None, None),
        ("Moon", None, None),
        change=merge,
    )
    sheet = read_sheet(path)
    assert [(row.number, row.cells[:2]) for row in sheet.rows] == [
        (3, ("Owl", "Ada Example")),
        (4, ("Fern", "Ada Example")),
        (5, ("Moth", "Ada Example")),
        (7, ("Moon", None)),
    ]


def test_formulas_give_their_last_value_or_nothing(tmp_path):
    path = saved(tmp_path, ("Title", "Price"), ("Owl", "=1+1"))
    assert read_sheet(path).rows[0].cells == ("Owl", None)  # never calculated by a spreadsheet


def test_the_first_sheet_that_is_shown_is_read_and_others_by_name(tmp_path):
    path = saved(tmp_path, ("Title", "Date"), ("Owl", None))
    book = openpyxl.load_workbook(path)
    hidden = book.create_sheet("Old", 0)
    hidden.sheet_state = "hidden"
    book.create_sheet("2025").append(["Title", "Date"])
    book["2025"].append(["Fern", None])
    book.save(path)
    first = read_sheet(path)
    assert (first.name, first.other_sheets, first.rows[0].cells[0]) == ("Tattoos", ("2025",), "Owl")
    assert read_sheet(path, "2025").rows[0].cells[0] == "Fern"
    with pytest.raises(InputError, match='no sheet "2024"'):
        read_sheet(path, "2024")


def rewritten(path, part, change):
    with zipfile.ZipFile(path) as packed:
        parts = {name: packed.read(name) for name in packed.namelist()}
    parts[part] = change(parts[part])
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, content in parts.items():
            packed.writestr(name, content)
    return path


SHEET = "xl/worksheets/sheet1.xml"
ENTITIES = b'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "aaaaaaaa"><!ENTITY b "&a;&a;&a;">]>'


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda content: content[: len(content) // 2], "damaged"),
        (lambda content: ENTITIES + content.replace(b"<v>0</v>", b"<v>&b;</v>"), "damaged"),
        (lambda content: content + b" " * 30_000_000, "unpacks to far more"),
    ],
)
def test_a_workbook_made_to_do_harm_ends_in_one_sentence(tmp_path, change, said):
    path = rewritten(saved(tmp_path, ("Title", "Date"), ("Owl", "x")), SHEET, change)
    with pytest.raises(InputError, match=said):
        read_sheet(path)


def far(content):
    return content.replace(b'r="2"', b'r="1048576"').replace(b"A2", b"A1048576").replace(b"B2", b"B1048576")


def test_rows_at_the_far_end_are_refused_with_values_and_passed_over_without(tmp_path):
    started = time.monotonic()
    path = rewritten(saved(tmp_path, ("Title", "Date"), ("Owl", "x")), SHEET, far)
    with pytest.raises(InputError, match="more than 20000 rows"):
        read_sheet(path)
    path = rewritten(saved(tmp_path, ("Title", "Date"), (" ", " ")), SHEET, far)
    assert read_sheet(path).rows == ()
    assert time.monotonic() - started < 20


def test_what_a_workbook_says_of_its_own_size_is_not_believed(tmp_path):
    path = saved(tmp_path, ("Title", "Date"), ("Owl", "x"))
    rewritten(path, SHEET, lambda content: content.replace(b'ref="A1:B2"', b'ref="A1:XFD1048576"'))
    assert [row.cells for row in read_sheet(path).rows] == [("Owl", "x")]


@pytest.mark.parametrize("content", [b"", b"PK\x03\x04", b"not a zip at all"])
def test_a_file_that_is_no_workbook_is_named(tmp_path, content):
    path = tmp_path / "list.xlsx"
    path.write_bytes(content)
    with pytest.raises(InputError, match="damaged"):
        read_sheet(path)
