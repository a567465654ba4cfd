"""CSV files as spreadsheets write them."""

import pytest

from archgen.errors import InputError
from archgen.intake.table.reading import read_sheet

ROWS = [["Motif", "Where", "Note"], ["Bär", "Unterarm innen", "zwei, drei"], ["Möwe", "Wade", 'sagt "ja"']]


def written(separator, quote='"'):
    lines = [separator.join(f"{quote}{cell.replace(quote, quote * 2)}{quote}" for cell in row) for row in ROWS]
    return "\r\n".join(lines) + "\r\n"


@pytest.mark.parametrize("separator", [",", ";", "\t", "|"])
@pytest.mark.parametrize(
    ("encoding", "words"),
    [("utf-8", "UTF-8"), ("utf-8-sig", "UTF-8"), ("utf-16", "UTF-16"), ("cp1252", "Windows-1252")],
)
def test_every_encoding_with_every_separator_reads_the_same(tmp_path, separator, encoding, words):
    path = tmp_path / "list.csv"
    path.write_bytes(written(separator).encode(encoding))
    sheet = read_sheet(path)
    assert [list(sheet.headings), *(list(row.cells) for row in sheet.rows)] == ROWS
    assert [row.number for row in sheet.rows] == [2, 3]
    assert sheet.how.endswith(words)


def test_the_remark_about_the_separator_is_no_row(tmp_path):
    path = tmp_path / "list.csv"
    path.write_bytes(b"sep=;\r\nMotif;Note\r\nOwl;a, b, c, d\r\n")
    sheet = read_sheet(path)
    assert (sheet.headings, sheet.rows[0].cells, sheet.rows[0].number) == (("Motif", "Note"), ("Owl", "a, b, c, d"), 2)


def test_a_title_above_blank_rows_and_cells_of_several_lines_keep_the_numbers(tmp_path):
    path = tmp_path / "list.csv"
    path.write_text('My list,,\n,,\nMotif,Note,\n"Owl","one\ntwo",\n,,\nFern,,\n', encoding="utf-8")
    sheet = read_sheet(path)
    assert [(row.number, row.cells[0]) for row in sheet.rows] == [(4, "Owl"), (6, "Fern")]
    assert sheet.rows[0].cells[1] == "one\ntwo"


def test_a_list_of_titles_only_is_a_table(tmp_path):
    path = tmp_path / "list.csv"
    path.write_text("Motif\nOwl\nFern\n", encoding="utf-8")
    sheet = read_sheet(path)
    assert (sheet.headings, [row.cells for row in sheet.rows]) == (("Motif",), [("Owl",), ("Fern",)])


@pytest.mark.parametrize(
    ("name", "content", "said"),
    [
        ("list.csv", b"", "is empty"),
        ("list.csv", b"a\0b,c\n", "isn't a text file"),
        ("list.csv", b"\xff\xfea", "breaks off"),
        ("list.pdf", b"%PDF", "neither .xlsx nor .csv"),
        ("list.csv", b"a,b\n" + b"x" * 10_001 + b",1\n", "characters"),
        ("list.csv", b",".join([b"x"] * 300) + b"\n", "columns"),
        ("list.csv", b"a,b\n" + b"1,2\n" * 20_020, "rows"),
    ],
)
def test_what_is_no_list_of_pieces_is_refused_in_one_sentence(tmp_path, name, content, said):
    path = tmp_path / name
    path.write_bytes(content)
    with pytest.raises(InputError, match=said):
        read_sheet(path)


def test_a_file_that_is_not_there_is_named(tmp_path):
    with pytest.raises(InputError, match="There is no file"):
        read_sheet(tmp_path / "none.csv")
