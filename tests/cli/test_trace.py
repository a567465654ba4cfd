"""archgen trace, as typed."""

import csv
import io
import json
import os
import tomllib

import pytest
from click.testing import CliRunner

from archgen.cli import archgen
from archgen.errors import ConfigError, OutputError, UsageError
from archgen.writing.changes import take_back

PIECE = """
title = "{title}"
client = "{client}"
finished = 2026-03-14
[placement]
region = "forearm-outer"
side = "left"
[[sitting]]
date = 2026-03-14
[[sitting]]
date = 2026-04-18
[[ink]]
batch = "{batch}"
use = "=1+1"
"""
INKS = """[[batch]]
batch = "GW2-2231"
name = "grey wash 2"
maker = "Brackwater"
opened = 2026-01-10
recalled = 2026-05-02
"""
CLIENTS = """[[client]]
code = "C-0042"
name = "Anna Söderqvist-Vandermeulen of the Long Harbour Road"
contact = "anna.soederqvist.vandermeulen@correspondence.harbour-road.example.org"
[[client]]
code = "C-0009"
"""
PIECES = (
    ("owl", "C-0042", "gw2 2231"),
    ("owl-two", "c42", "LOT GW2-2231, BK-1"),
    ("moth", "=C-7", "GW2-2213"),
    ("fern", "C-9", "BK-1"),
    ("reed", "C-0009", "see label photo"),
)
NOW = "1790000000"  # 21 September 2026


@pytest.fixture
def root(tmp_path):
    root = tmp_path / "content"
    for name, client, batch in PIECES:
        folder = root / "pieces" / name
        folder.mkdir(parents=True)
        (folder / "piece.toml").write_text(PIECE.format(title=name.title(), client=client, batch=batch), "utf-8")
    (root / "pieces" / "bare").mkdir()
    (root / "pieces" / "bare" / "piece.toml").write_text('title = "Bare"\n', "utf-8")
    (root / "inks.toml").write_text(INKS, "utf-8")
    (root / "clients.toml").write_text(CLIENTS, "utf-8")
    return root


@pytest.fixture
def out(tmp_path):
    return tmp_path / "build"


@pytest.fixture
def run(root, out, monkeypatch):
    monkeypatch.setenv("SOURCE_DATE_EPOCH", NOW)

    def ran(*arguments, width=80):
        typed = ["trace", *map(str, arguments), "--archive", str(root), "--out", str(out)]
        return CliRunner(env={"COLUMNS": str(width)}).invoke(archgen, typed)

    return ran


def rows_of(result):
    return list(csv.DictReader(io.StringIO(result.stdout)))


def test_json_has_the_answer_under_its_names(run):
    result = run("lot gw22231", "--format", "json")
    answer = json.loads(result.stdout)
    assert result.exit_code == 0
    assert (answer["batch"], answer["product"], answer["kind"], answer["kinds"]) == (
        "lot gw22231",
        None,
        "ink",
        ["ink"],
    )
    assert answer["recalled"] == "2026-05-02"
    assert answer["matches"][0] == {
        "piece": "owl",
        "title": "Owl",
        "client": "C-0042",
        "date": "2026-03-14",
        "dates": ["2026-03-14", "2026-04-18"],
        "placement": "Outer forearm, left",
        "kind": "ink",
        "batch": "gw2 2231",
        "written": "gw2 2231",
        "certain": True,
        "product": "grey wash 2",
        "maker": "Brackwater",
        "use": "=1+1",
        "expiry": None,
    }
    assert [(m["piece"], m["client"], m["batch"], m["written"]) for m in answer["matches"][1:]] == [
        ("owl-two", "C-0042", "GW2-2231", "LOT GW2-2231, BK-1")
    ]
    assert answer["clients"] == [
        {"client": "C-0042", "spellings": ["c42"], "pieces": ["owl", "owl-two"], "to_tell": True, "told": []}
    ]
    (near,) = answer["near"]
    assert (near["batch"], near["difference"], near["registered"], near["pieces"]) == (
        "GW2-2213", "swapped", False, ["moth"],
    )  # fmt: skip
    assert (near["uses"][0]["client"], near["uses"][0]["dates"]) == ("=C-7", ["2026-03-14", "2026-04-18"])
    assert [(bottle["batch"], bottle["kind"], bottle["opened"]) for bottle in answer["open"]] == [
        ("GW2-2231", "ink", "2026-01-10")
    ]
    assert {gap["piece"]: gap["why"] for gap in answer["unrecorded"]} == {
        "reed": 'the batch of an ink without a name reads "see label photo"',
        "bare": "no ink is recorded",
    }
    assert answer["beginnings"] == []


def test_names_are_given_only_when_asked_for(run):
    for form in ("json", "csv", "table"):
        assert "Anna" not in run("gw22231", "--format", form).stdout
        assert "Anna" in run("gw22231", "--format", form, "--names").stdout
    answer = json.loads(run("gw22231", "--format", "json", "--names").stdout)
    assert answer["clients"][0]["contact"].startswith("anna.")
    assert answer["matches"][1]["name"].startswith("Anna")
    assert (answer["near"][0]["uses"][0]["name"], answer["unrecorded"][0]["contact"]) == (None, None)


def test_csv_has_one_row_each_and_runs_nothing_in_a_spreadsheet(run):
    run("GW2-2231", "--told", "C-0042", "--how", "phone", "--by", "Tove", "--note", "fine", "--day", "2026-05-04")
    run("GW2-2231", "--told", "C-0042", "--how", "letter", "--day", "2026-05-06")
    rows = rows_of(run("GW2-2231", "--format", "csv"))
    assert [(row["list"], row["piece"], row["kind"], row["batch"], row["client"]) for row in rows] == [
        ("match", "owl", "ink", "gw2 2231", "C-0042"),
        ("match", "owl-two", "ink", "GW2-2231", "C-0042"),
        ("near", "moth", "ink", "GW2-2213", "'=C-7"),
        ("open", "", "ink", "GW2-2231", ""),
        ("unrecorded", "reed", "", "", "C-0009"),
        ("unrecorded", "bare", "", "", ""),
    ]
    assert rows[0]["use"] == "'=1+1"
    assert (rows[0]["dates"], rows[0]["product"], rows[0]["maker"], rows[0]["placement"]) == (
        "2026-03-14; 2026-04-18", "grey wash 2", "Brackwater", "Outer forearm, left",
    )  # fmt: skip
    assert (rows[0]["told"], rows[0]["told_how"], rows[0]["told_by"], rows[0]["told_note"]) == (
        "2026-05-04; 2026-05-06", "phone; letter", "Tove; ", "fine; ",
    )  # fmt: skip
    assert rows[1]["written"] == "LOT GW2-2231, BK-1"
    assert rows[3]["note"] == "opened 2026-01-10"
    assert all(row["note"] for row in rows[2:])
    assert all(None not in row for row in rows)


def test_csv_lists_numbers_that_nobody_used_and_numbers_that_begin_so(run, root):
    (root / "inks.toml").write_text(f'{INKS}[[batch]]\nbatch = "GW2-22310"\nname = "x"\n', "utf-8")
    assert [(row["list"], row["batch"], row["kind"]) for row in rows_of(run("GW2-2231", "--format", "csv"))][3:4] == [
        ("near", "GW2-22310", "ink")
    ]
    assert [(row["list"], row["batch"]) for row in rows_of(run("GW2", "--format", "csv"))][:4] == [
        ("begins", "GW2-2213"), ("begins", "gw2 2231"), ("begins", "GW2-2231"), ("begins", "GW2-22310"),
    ]  # fmt: skip


def test_every_csv_row_is_as_long_as_its_head(run):
    rows = list(csv.reader(io.StringIO(run("GW2-2231", "--format", "csv", "--names").stdout)))
    assert {len(row) for row in rows} == {len(rows[0])}
    assert rows[0][-2:] == ["name", "contact"]
    assert rows[1][-2].startswith("Anna")


@pytest.mark.parametrize("suffix", [".csv", ".json", ".pdf"])
def test_a_list_is_saved_in_the_form_its_name_says(run, tmp_path, suffix):
    target = tmp_path / f"recall{suffix}"
    assert run("GW2-2231", "--save", target).exit_code == 0
    assert target.read_bytes().startswith({".csv": b"list,", ".json": b"{", ".pdf": b"%PDF-"}[suffix])


def test_nothing_is_saved_into_the_archive_folder(run, root):
    before = {path: path.read_bytes() for path in root.rglob("*") if path.is_file()}
    assert run("GW2-2231", "--save", root / "clients.json").exit_code == 2
    assert {path: path.read_bytes() for path in root.rglob("*") if path.is_file()} == before


def test_a_file_of_another_kind_is_not_written(run, tmp_path):
    assert run("GW2-2231", "--save", tmp_path / "recall.doc").exit_code == 2
    assert not (tmp_path / "recall.doc").exists()


def test_a_number_in_no_record_ends_with_1(run):
    result = run("ZZ-99999")
    assert result.exit_code == 1
    assert "This number is in no record." in result.stdout


def test_the_beginning_of_several_numbers_lists_them(run):
    result = run("GW2")
    assert result.exit_code == 1
    assert "GW2-2231  grey wash 2, Brackwater, used on 2 pieces" in result.stdout
    assert "GW2-2213" in result.stdout


@pytest.mark.parametrize("arguments", [(), ("GW2-2231", "--product", "grey wash"), ("",), ("--product", " ")])
def test_one_number_or_one_product_is_asked_for(run, arguments):
    assert run(*arguments).exit_code == 2


def test_all_batches_of_a_product_are_traced(run):
    answer = json.loads(run("--product", "Grey Wash", "--format", "json").stdout)
    assert (answer["batch"], answer["product"]) == (None, "Grey Wash")
    assert [match["piece"] for match in answer["matches"]] == ["owl", "owl-two"]


@pytest.mark.parametrize("width", [80, 60, 40])
def test_no_word_breaks_however_narrow_the_window(run, width):
    shown = run("GW2-2231", "--names", width=width).stdout
    _, _, _, name, _, contact, *_ = CLIENTS.split('"')
    assert {*name.split(), contact, "GW2-2231", "swapped", "Brackwater"} <= set(shown.replace(",", " ").split())
    assert all(len(line) <= width for line in shown.splitlines() if len(line.split()) > 1)
    assert all(line == line.rstrip() for line in shown.splitlines())


def test_the_list_names_every_person_piece_day_and_doubt(run):
    shown = run("GW2-2231", width=200).stdout
    assert shown.splitlines()[:5] == [
        "Ink GW2-2231  read 21 Sep 2026",
        "Product: grey wash 2",
        "Maker: Brackwater",
        "Recalled: 2 May 2026",
        "Used on 2 pieces: 1 client. 1 client is still to be told.",
    ]
    for line in (
        "  C-0042  also written c42",
        "    14 Mar 2026, 18 Apr 2026  owl",
        "      Outer forearm, left; =1+1; written: LOT GW2-2231, BK-1",
        "  GW2-2213  two characters swapped, used on 1 piece",
        "    14 Mar 2026, 18 Apr 2026  =C-7  moth",
        "  14 Mar 2026, 18 Apr 2026  C-0009  reed",
        "  date not recorded  bare",
        "    opened 10 Jan 2026",
    ):
        assert line in shown.splitlines()


def test_control_characters_do_not_reach_the_terminal(run, root):
    record = PIECE.format(title="Owl", client="C\\u001b[31m", batch="GW2-2231").replace("=1+1", "\\u202efur\\u0007")
    (root / "pieces" / "owl" / "piece.toml").write_text(record, "utf-8")
    shown = run("GW2-2231").stdout
    assert {"\x1b", "\u202e", "\x07"}.isdisjoint(shown)
    assert "fur" in shown


# Who was told.


def told_in(root):
    return tomllib.loads((root / "told.toml").read_text("utf-8"))["told"]


def test_who_was_told_is_written_down_and_the_recall_is_over(run, root):
    result = run("gw22231", "--told", "c42", "--how", "phone", "--by", "Tove", "--note", "no reaction")
    assert result.exit_code == 0
    assert [{**entry, "date": entry["date"].isoformat()} for entry in told_in(root)] == [
        {
            "batch": "GW2-2231",
            "client": "C-0042",
            "date": "2026-09-21",
            "how": "phone",
            "by": "Tove",
            "note": "no reaction",
        }
    ]
    assert 'how = "phone"' in result.stdout
    assert f"{root / 'told.toml'}, lines 1 to 7" in result.stdout
    assert "archgen undo" in result.stdout
    shown = run("GW2-2231").stdout
    assert "Everybody was told." in shown
    assert "Told 21 Sep 2026, phone, by Tove: no reaction" in shown


def test_comments_stay_and_the_version_before_is_kept(run, root, out):
    before = "# told by hand\r\n[[told]]\r\nbatch = 'BK-1' # old\r\nclient = \"C-9\"\r\n\r\n# end\r\n"
    (root / "told.toml").write_bytes(before.encode())
    result = run("GW2-2231", "--told", "C-0042", "--how", "letter", "--day", "2026-05-04")
    after = (root / "told.toml").read_bytes().decode()
    assert after.startswith(before.rstrip())
    assert after.count("\n") == after.count("\r\n")
    assert [entry["client"] for entry in told_in(root)] == ["C-9", "C-0042"]
    assert result.exit_code == 0
    assert before.encode() in [path.read_bytes() for path in (out / "kept").rglob("*") if path.is_file()]
    run("GW2-2231", "--told", "C-0042", "--how", "phone", "--day", "2026-05-05")
    take_back(root, out / "kept")
    take_back(root, out / "kept")
    assert (root / "told.toml").read_bytes() == before.encode()


def test_several_clients_are_told_at_once_also_those_who_cannot_be_ruled_out(run, root):
    assert (
        run("GW2-2231", *[a for c in ("C-0042", "=C-7", "c9") for a in ("--told", c)], "--how", "phone").exit_code == 0
    )
    assert [entry["client"] for entry in told_in(root)] == ["C-0042", "=C-7", "C-0009"]
    assert {entry["batch"] for entry in told_in(root)} == {"GW2-2231"}


def test_one_entry_is_written_for_each_number_that_the_client_wears(run, root):
    run("GW2-2231, BK-1", "--told", "C-0042", "--how", "phone")
    assert sorted(entry["batch"] for entry in told_in(root)) == ["BK-1", "GW2-2231"]


def test_the_same_telling_is_written_once(run, root):
    told = ("GW2-2231", "--told", "C-0042", "--how", "phone")
    assert run(*told, "--told", "c42").exit_code == 0
    before = (root / "told.toml").read_bytes()
    assert run(*told).exit_code == 0
    assert (root / "told.toml").read_bytes() == before
    assert len(told_in(root)) == 1
    run(*told, "--note", "again")
    assert len(told_in(root)) == 2


def test_a_dry_run_shows_and_writes_nothing(run, root, out):
    result = run("GW2-2231", "--told", "C-0042", "--how", "phone", "--dry-run")
    assert 'client = "C-0042"' in result.stdout
    assert not (root / "told.toml").exists()
    assert not out.exists()


@pytest.mark.parametrize(
    "arguments",
    [
        ("--told", "C-0042"),
        ("--told", "C-0042", "--how", " "),
        ("--how", "phone"),
        ("--by", "Tove"),
        ("--note", "x"),
        ("--day", "2026-05-04"),
        ("--dry-run",),
        ("--told", "C-0042", "--how", "phone", "--save", "list.csv"),
        ("--told", "C-0042", "--how", "phone", "--day", "yesterday"),
    ],
)
def test_options_about_telling_go_together(run, root, arguments):
    assert run("GW2-2231", *arguments).exit_code == 2
    assert not (root / "told.toml").exists()


def test_a_telling_is_of_one_number(run):
    assert run("--product", "grey wash", "--told", "C-0042", "--how", "phone").exit_code == 2


@pytest.mark.parametrize(
    "arguments",
    [
        ("GW2-2231", "--told", "C-0021", "--how", "phone"),
        ("GW2-2231", "--told", "C-0042", "--told", "C-0021", "--how", "phone"),
        ("GW2-2231", "--told", "C-0042", "--how", "phone", "--day", "2026-05-01"),
        ("GW2-2231", "--told", "C-0042", "--how", "phone", "--day", "2026-09-22"),
    ],
)
def test_nobody_is_told_who_is_on_no_list_or_on_a_day_that_cannot_be(run, root, arguments):
    result = run(*arguments)
    assert isinstance(result.exception, UsageError)
    assert not (root / "told.toml").exists()


@pytest.mark.parametrize("content", ["[[told\n", "told = 5\n", 'told = [{batch = "a", client = "b"}]\n'])
def test_a_register_that_cannot_take_the_lines_is_left_alone(run, root, content):
    (root / "told.toml").write_text(content)
    assert isinstance(run("GW2-2231", "--told", "C-0042", "--how", "phone").exception, ConfigError)
    assert (root / "told.toml").read_text() == content


def test_a_link_out_of_the_archive_is_not_written_to(run, root, tmp_path):
    (tmp_path / "elsewhere.toml").write_text("")
    (root / "told.toml").symlink_to(tmp_path / "elsewhere.toml")
    assert isinstance(run("GW2-2231", "--told", "C-0042", "--how", "phone").exception, ConfigError)
    assert (tmp_path / "elsewhere.toml").read_text() == ""


@pytest.mark.skipif(os.geteuid() == 0, reason="nothing is forbidden to root")
def test_a_folder_that_may_not_be_written_to_is_told(run, root):
    root.chmod(0o500)
    assert isinstance(run("GW2-2231", "--told", "C-0042", "--how", "phone").exception, OutputError)
    root.chmod(0o700)


def test_a_telling_is_private_and_a_mistake_in_it_is_found(run, root):
    (root / "told.toml").write_text('[[told]]\nbatch = "GW2-2231"\nclient = "C-0042"\ndate = "soon"\nwhere = "shop"\n')
    assert "still to be told" in run("GW2-2231").stdout
