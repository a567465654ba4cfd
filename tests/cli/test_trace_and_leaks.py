"""archgen trace and archgen leaks, as typed."""

import csv
import io
import json

import pytest
from click.testing import CliRunner
from PIL import Image

from archgen.cli import archgen
from archgen.errors import InputError

PIECE = """
title = "{title}"
client = "{client}"
finished = 2026-03-14
[placement]
region = "forearm-outer"
side = "left"
[[ink]]
batch = "{batch}"
use = "=1+1"
"""
INKS = '[[batch]]\nbatch = "GW2-2231"\nname = "grey wash 2"\nopened = 2026-01-10\n'
CLIENTS = '[[client]]\ncode = "C-0042"\nname = "Anna Söderqvist"\ncontact = "anna@example.org"\n'


@pytest.fixture
def root(tmp_path):
    root = tmp_path / "content"
    for name, client, batch in (("owl", "C-0042", "gw2 2231"), ("moth", "=C-7", "GW2-2213"), ("fern", "C-9", "BK-1")):
        folder = root / "pieces" / name
        folder.mkdir(parents=True)
        (folder / "piece.toml").write_text(PIECE.format(title=name.title(), client=client, batch=batch), "utf-8")
    (root / "pieces" / "bare").mkdir()
    (root / "pieces" / "bare" / "piece.toml").write_text('title = "Bare"\n', "utf-8")
    (root / "inks.toml").write_text(INKS, "utf-8")
    (root / "clients.toml").write_text(CLIENTS, "utf-8")
    return root


@pytest.fixture
def run(root):
    def ran(*arguments):
        return CliRunner().invoke(archgen, [*map(str, arguments), "--archive", str(root)])

    return ran


def test_json_has_the_answer_under_its_names(run):
    result = run("trace", "gw22231", "--format", "json")
    answer = json.loads(result.stdout)
    assert result.exit_code == 0
    assert (answer["batch"], answer["kind"]) == ("gw22231", "ink")
    (match,) = answer["matches"]
    wanted = {"piece": "owl", "client": "C-0042", "date": "2026-03-14", "placement": "Outer forearm, left"}
    assert wanted.items() <= match.items()
    assert [near["batch"] for near in answer["near"]] == ["GW2-2213"]
    assert [bottle["batch"] for bottle in answer["open"]] == ["GW2-2231"]
    assert [gap["piece"] for gap in answer["unrecorded"]] == ["bare"]


def test_names_are_given_only_when_asked_for(run):
    for form in ("json", "csv", "table"):
        assert "Anna" not in run("trace", "gw22231", "--format", form).stdout
        assert "Anna" in run("trace", "gw22231", "--format", form, "--names").stdout


def test_csv_has_one_row_each_and_runs_nothing_in_a_spreadsheet(run):
    rows = list(csv.DictReader(io.StringIO(run("trace", "GW2-2231", "--format", "csv").stdout)))
    assert [(row["list"], row["piece"]) for row in rows] == [
        ("match", "owl"), ("near", "moth"), ("open", ""), ("unrecorded", "bare")
    ]  # fmt: skip
    assert {rows[0]["use"], rows[1]["client"]} == {"'=1+1", "'=C-7"}
    assert all(None not in row for row in rows)


def test_every_csv_row_is_as_long_as_its_head(run):
    rows = list(csv.reader(io.StringIO(run("trace", "GW2-2231", "--format", "csv", "--names").stdout)))
    assert {len(row) for row in rows} == {len(rows[0])}


@pytest.mark.parametrize("suffix", [".csv", ".json", ".pdf"])
def test_a_list_is_saved_in_the_form_its_name_says(run, tmp_path, suffix):
    target = tmp_path / f"recall{suffix}"
    assert run("trace", "GW2-2231", "--save", target).exit_code == 0
    assert target.read_bytes().startswith({".csv": b"list,", ".json": b"{", ".pdf": b"%PDF-"}[suffix])


def test_nothing_is_saved_into_the_archive_folder(run, root):
    before = {path: path.read_bytes() for path in root.rglob("*") if path.is_file()}
    assert run("trace", "GW2-2231", "--save", root / "clients.json").exit_code == 2
    assert {path: path.read_bytes() for path in root.rglob("*") if path.is_file()} == before


def test_a_lot_in_no_record_ends_with_1_and_says_so(run):
    result = run("trace", "ZZ-99999")
    assert result.exit_code == 1
    assert "This number is in no record." in result.stdout


@pytest.mark.parametrize("arguments", [(), ("GW2-2231", "--product", "grey wash"), ("",)])
def test_one_number_or_one_product_is_asked_for(run, arguments):
    assert run("trace", *arguments).exit_code == 2


def test_all_lots_of_a_product_are_traced(run):
    answer = json.loads(run("trace", "--product", "Grey Wash", "--format", "json").stdout)
    assert (answer["batch"], answer["product"], [m["piece"] for m in answer["matches"]]) == (None, "Grey Wash", ["owl"])


def test_leaks_says_what_leaked_and_where_and_ends_with_1(run, tmp_path):
    folder = tmp_path / "site"
    folder.mkdir()
    (folder / "index.html").write_text("<p>for anna soderqvist</p>", "utf-8")
    result = run("leaks", folder, "--format", "json")
    assert result.exit_code == 1
    assert {(f["code"], f["file"]) for f in json.loads(result.stdout)} >= {("privacy.leak", f"{folder}/index.html")}
    assert "Söderqvist" in run("leaks", folder).stdout


def test_leaks_knows_the_number_of_the_camera_from_the_private_photos(run, root, tmp_path):
    exif = Image.Exif()
    exif.get_ifd(0x8769)[0xA431] = "8023771"
    photo = root / "pieces/owl/photos/owl.jpg"
    photo.parent.mkdir()
    Image.new("RGB", (64, 64), "tan").save(photo, exif=exif.tobytes())
    folder = tmp_path / "site"
    folder.mkdir()
    (folder / "index.html").write_text("<p>Taken with camera 8023771.</p>", "utf-8")
    (found,) = json.loads(run("leaks", folder, "--format", "json").stdout)
    assert (found["code"], "8023771" in found["problem"]) == ("privacy.leak", True)


def test_a_clean_folder_ends_with_0(run, tmp_path):
    folder = tmp_path / "site"
    folder.mkdir()
    (folder / "index.html").write_text("<p>Owls and moths.</p>", "utf-8")
    result = run("leaks", folder)
    assert (result.exit_code, "nothing private found" in result.stdout) == (0, True)
    assert json.loads(run("leaks", folder, "--format", "json").stdout) == []


def test_a_folder_that_is_not_there_is_said(run, tmp_path):
    assert isinstance(run("leaks", tmp_path / "nowhere").exception, InputError)
