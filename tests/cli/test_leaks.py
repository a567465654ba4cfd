"""archgen leaks, as typed."""

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
