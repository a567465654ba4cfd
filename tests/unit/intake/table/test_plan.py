"""What the rows of a table become."""

import datetime as dt
import tomllib

import pytest

from archgen.errors import OutputError, UsageError
from archgen.intake.table.carry import change_of
from archgen.intake.table.clients import ClientCodes
from archgen.intake.table.headings import map_columns
from archgen.intake.table.plan import FiledBefore, TableAnswers, plan_table
from archgen.intake.table.sheet import ListedSheet, TableRow
from archgen.records.model import Client, Piece
from archgen.records.reader import read_archive
from archgen.writing.changes import carry_out, take_back
from tests.builders import make_record

ADA = Client(code="C-0007", name="Ada Example")
DAY = dt.date(2026, 1, 10)


def planned(rows, pieces=(), clients=(ADA,), folders=(), **answers):
    headings, *cells = rows
    sheet = ListedSheet(
        None, tuple(headings), tuple(TableRow(n, tuple(row)) for n, row in enumerate(cells, 2)), "commas"
    )
    codes = ClientCodes({client.code: client for client in clients})
    told = TableAnswers(**answers)
    return plan_table(sheet, map_columns(headings, {}), told, FiledBefore(pieces, folders, codes))


def moth(day=DAY, client=None):
    return Piece(id="2026-01-10-night-moth", record=make_record(title="Night moth", finished=day, client=client))


def test_a_row_becomes_a_record_with_what_it_says():
    plan = planned(
        [
            (
                "Title",
                "Date",
                "Client",
                "Where",
                "Side",
                "Size (mm)",
                "Needles",
                "Inks",
                "Hours",
                "Price",
                "Release",
                "Note",
            ),
            (
                "Owl",
                DAY,
                "ada example",
                "inner forearm",
                "L",
                "62 x 88",
                "3RL, 7RL",
                "black; white",
                3.5,
                420,
                "yes",
                "a\nb",
            ),
        ]
    )
    (row,) = plan.new
    assert (row.folder, row.notes, plan.questions, plan.clients) == ("2026-01-10-owl", "a\nb\n", (), ())
    assert tomllib.loads(row.record) == {
        "title": "Owl",
        "client": "C-0007",
        "size": {"width": "62 mm", "height": "88 mm"},
        "placement": {"region": "inner forearm", "side": "left"},
        "sitting": [{"date": DAY, "hours": 3.5}],
        "needle": [{"code": "3RL, 7RL"}],
        "ink": [{"name": "black"}, {"name": "white"}],
        "release": {"status": "granted"},
        "price": {"charged": 420},
    }


def test_what_is_not_clear_stays_as_it_stands_and_is_asked_with_its_row():
    plan = planned(
        [
            ("Title", "Date", "Where", "Side", "Width", "Needles", "Hours", "Price", "Release"),
            ("Owl", "soon", "wrist", "this", "62", "9RL?", 2, "ask", "maybe"),
        ]
    )
    record = tomllib.loads(plan.new[0].record)
    assert record["finished"] == "soon"
    assert record["placement"] == {"region": "wrist", "side": "this"}
    assert (record["size"], record["release"]) == ({"width": "62"}, {"status": "maybe"})
    assert plan.new[0].notes == "Hours: 2\n\nPrice: ask\n"
    assert [one.heading for one in plan.questions] == ["Width", "Where", "Side", "Hours", "Needles", "Release", "Price"]
    assert {one.row for one in plan.questions} == {2}


@pytest.mark.parametrize(
    ("row", "piece", "is_filed"),
    [
        (("Night  MOTH", DAY, ""), moth(), True),
        (("Night moth", dt.date(2026, 2, 1), ""), moth(), False),
        (("Night moth", None, "C-0007"), moth(client="C-0007"), True),
        (("Day moth", DAY, ""), moth(), False),
    ],
)
def test_a_row_that_is_a_piece_already_is_known_by_title_and_day_or_client(row, piece, is_filed):
    plan = planned([("Title", "Date", "Client"), row], [piece])
    assert (len(plan.filed), len(plan.new)) == ((1, 0) if is_filed else (0, 1))


def test_a_title_that_is_there_without_days_to_compare_waits_until_it_is_said_to_be_another():
    rows = [("Title", "Client"), ("Night moth", "Ada Example")]
    plan = planned(rows, [moth()])
    assert (plan.new, plan.waiting[0].row, "--own 2" in plan.waiting[0].why) == ((), 2, True)
    assert [row.title for row in planned(rows, [moth()], own=frozenset({2})).new] == ["Night moth"]


def test_rows_that_say_the_same_wait_and_rows_can_be_left_out():
    rows = [("Title", "Date"), ("Fern", DAY), ("Fern", DAY), ("Fern", dt.date(2026, 5, 1)), ("", DAY), (None, None)]
    plan = planned(rows)
    assert [(row.row, row.folder) for row in plan.new] == [(2, "2026-01-10-fern"), (4, "2026-05-01-fern")]
    assert [row.row for row in plan.waiting] == [3, 5]
    assert [row.row for row in planned(rows, without=frozenset({2})).new] == [3, 4]
    assert [row.folder for row in planned(rows, own=frozenset({3})).new][:2] == ["2026-01-10-fern", "2026-01-10-fern-2"]


def test_a_folder_that_is_there_under_other_capitals_is_not_taken():
    plan = planned([("Title",), ("Owl",)], folders=("OWL",))
    assert plan.new[0].folder == "owl-2"


def test_clients_get_the_code_of_the_register_or_a_new_one():
    plan = planned([("Title", "Client"), ("a", "Bo New"), ("b", "bo new"), ("c", "C-0007"), ("d", "C-0100"), ("e", "")])
    assert [tomllib.loads(row.record).get("client") for row in plan.new] == [
        "C-0008",
        "C-0008",
        "C-0007",
        "C-0100",
        None,
    ]
    assert [(one.code, one.name, one.rows) for one in plan.clients] == [
        ("C-0008", "Bo New", (2, 3)),
        ("C-0100", None, (5,)),
    ]


def test_a_name_that_two_clients_share_is_never_decided():
    plan = planned(
        [("Title", "Client"), ("a", "Ada Example")], clients=(ADA, Client(code="C-0009", name="Ada Example"))
    )
    assert (plan.new, "Write the client's code" in plan.waiting[0].why) == ((), True)


def test_a_table_without_a_title_or_without_a_named_row_is_refused():
    with pytest.raises(UsageError, match="Which column is the title"):
        planned([("Name", "Date"), ("Owl", DAY)])
    with pytest.raises(UsageError, match="no row 9"):
        planned([("Title",), ("Owl",)], without=frozenset({9}))


def archive(root):
    (root / "pieces").mkdir(parents=True)
    (root / "clients.toml").write_text('# mine\n[[client]]\ncode = "C-0007"\nname = "Ada Example"\n', encoding="utf-8")
    return root


def everything(root):
    return {path.relative_to(root).as_posix(): path.read_bytes() for path in sorted(root.rglob("*")) if path.is_file()}


ROWS = [("Title", "Date", "Client"), ("Owl", DAY, "Bo New"), ("Fern", DAY, "Ada Example")]


def test_all_is_filed_and_taken_back_as_one(tmp_path):
    root, kept = archive(tmp_path / "a"), tmp_path / "a-built" / "kept"
    before = everything(root)
    carry_out(root, kept, change_of(planned(ROWS), root, "list.csv"))
    read = read_archive(root)
    assert sorted(piece.title for piece in read.pieces) == ["Fern", "Owl"]
    assert (root / "clients.toml").read_text(encoding="utf-8").startswith("# mine\n")
    assert read.clients["C-0008"].name == "Bo New"
    take_back(root, kept)
    assert everything(root) == before


def test_where_one_piece_cannot_be_filed_none_is(tmp_path):
    root, kept = archive(tmp_path / "a"), tmp_path / "a-built" / "kept"
    change = change_of(planned(ROWS), root, "list.csv")
    (root / "pieces" / "2026-01-10-fern").mkdir()
    (root / "pieces" / "2026-01-10-fern" / "piece.toml").write_text('title = "Mine"\n', encoding="utf-8")
    before = everything(root)
    with pytest.raises(OutputError):
        carry_out(root, kept, change)
    assert everything(root) == before
