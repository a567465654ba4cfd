"""archgen intake --table."""

import openpyxl
import pytest

LIST = "Motif;Date;Client;Where;Phone\r\nFern;25.04.2026;Bo New;inner calf;1\r\nMoon;03.05.2026;Bo New;wrist;2\r\n"


@pytest.fixture
def table(tmp_path):
    path = tmp_path / "list.csv"
    path.write_bytes(LIST.encode("cp1252"))
    return path


def everything(root):
    return {path.relative_to(root).as_posix(): path.read_bytes() for path in sorted(root.rglob("*")) if path.is_file()}


def test_without_write_it_only_shows_what_would_be_written(terminal, table):
    before, written = everything(terminal.root), terminal.written
    ran = terminal.run("intake", "--table", table, "--records")
    assert ran.code == 0, ran.err
    assert (everything(terminal.root), terminal.written) == (before, written)
    for words in (
        "list.csv, semicolons, UTF-8: 2 rows",
        "Phone   left out",
        "2026-04-25-fern",
        'row 3, Where: "wrist" can be inner wrist, top of the wrist.',
        'region = "inner calf"',
        "Nothing was written. --write files it.",
    ):
        assert words in ran.out


def test_it_files_all_rows_keeps_what_was_said_of_columns_and_is_taken_back_as_one(terminal, table):
    before = everything(terminal.root)
    ran = terminal.run("intake", "--table", table, "--column", "Phone=note", "--write", "--yes")
    assert ran.code == 0, ran.err
    assert ran.out.endswith("2 pieces filed from list.csv. archgen undo takes all of it back.\n")
    pieces = terminal.root / "pieces"
    assert (pieces / "2026-04-25-fern" / "notes.md").read_text(encoding="utf-8") == "1\n"
    assert 'name = "Bo New"' in (terminal.root / "clients.toml").read_text(encoding="utf-8")
    again = terminal.run("intake", "--table", table)
    assert "Phone   note" in again.out
    assert "There is nothing in it to file." in again.out
    assert terminal.run("undo", "--yes").code == 0
    assert everything(terminal.root) == before


def test_without_a_yes_nothing_is_written(terminal, table):
    before = everything(terminal.root)
    ran = terminal.run("intake", "--table", table, "--write")
    assert ran.code != 0 or "Nothing was written." in ran.out
    assert everything(terminal.root) == before


def test_a_workbook_is_read_by_the_sheet_that_is_named(terminal, tmp_path):
    book = openpyxl.Workbook()
    book.active.append(["Notes"])
    book.create_sheet("2026").append(["Title", "Date"])
    book["2026"].append(["Swift", None])
    book.save(tmp_path / "list.xlsx")
    ran = terminal.run("intake", "--table", tmp_path / "list.xlsx", "--sheet", "2026")
    assert ran.code == 0, ran.err
    assert "row 2     Swift  swift" in ran.out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--sheet", "2026", "phone"), "--sheet belongs to --table"),
        (("--column", "a=title", "phone"), "--column belongs to --table"),
        (("--table", "list.csv", "phone"), "--table files a list by itself"),
        (("--table", "none.csv"), "There is no file none.csv"),
        (("--table", "list.csv", "--without", "9"), "no row 9"),
        (("--table", "list.csv", "--column", "Motif=-"), "Which column is the title"),
    ],
)
def test_what_cannot_be_done_is_one_sentence(terminal, table, words, said):
    del table
    before = everything(terminal.root)
    ran = terminal.run("intake", *words)
    assert ran.code not in (0, 1)
    assert said in ran.err
    assert everything(terminal.root) == before
