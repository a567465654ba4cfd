"""archgen leaks, as typed: whose things are looked for, where, and what it says."""

import json
import os
import subprocess
import sys
import zipfile

import pytest
from click.testing import CliRunner
from PIL import Image

from archgen.cli import archgen
from archgen.errors import InputError, UsageError
from tests.drawn_twins import photo, save

PIECE = (
    'title = "Owl"\npublish = true\nclient = "C-0042"\n[[ink]]\nbatch = "{batch}"\n[[photo]]\nfile = "photos/owl.jpg"\n'
)
PIECE += 'stage = "fresh"\n[release]\nstatus = "granted"\nscope = ["portfolio"]\n'
CLIENTS = '[[client]]\ncode = "C-0042"\nname = "Anna Söderqvist"\ncontact = "anna@example.org"\nnote = "{note}"\n'


def make_archive(root, *, title, note="see scar", batch="GW2-2231"):
    folder = root / "pieces/owl"
    folder.mkdir(parents=True)
    (folder / "piece.toml").write_text(PIECE.format(batch=batch), "utf-8")
    save(photo(3), folder / "photos/owl.jpg")
    (root / "clients.toml").write_text(CLIENTS.format(note=note), "utf-8")
    (root / "archive.toml").write_text(f'[archive]\ntitle = "{title}"\n', "utf-8")
    return root


@pytest.fixture(scope="module")
def root(tmp_path_factory):
    return make_archive(tmp_path_factory.mktemp("leaks") / "content", title="Back room")


@pytest.fixture(scope="module")
def out(root):
    out = root.parent / "build"
    CliRunner().invoke(archgen, ["build", "--archive", str(root), "--out", str(out)])
    return out


@pytest.fixture
def run(root, out, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)

    def ran(*arguments, archive=root):
        return CliRunner().invoke(
            archgen, ["leaks", *map(str, arguments), "--archive", str(archive), "--out", str(out)]
        )

    return ran


def page(folder, text):
    folder.mkdir(exist_ok=True)
    (folder / "index.html").write_text(f"<p>{text}</p>", "utf-8")
    return folder


def codes(result):
    return {(finding["code"], finding["file"]) for finding in json.loads(result.stdout)}


def test_it_says_what_leaked_and_where_and_ends_with_1(run, tmp_path):
    folder = page(tmp_path / "site", "for anna soderqvist")
    result = run(folder, "--format", "json")
    assert (result.exit_code, codes(result)) == (1, {("privacy.leak", f"{folder}/index.html")})
    assert "Söderqvist" in run(folder).stdout


def test_it_says_whose_archive_it_compared_with(run, root, tmp_path):
    folder = page(tmp_path / "site", "Owls and moths.")
    result = run(folder)
    assert (result.exit_code, "nothing private found" in result.stdout) == (0, True)
    assert "Back room" in result.stdout
    assert str(root) in result.stdout
    told = run(folder, "--format", "json")
    assert json.loads(told.stdout) == []
    assert "Back room" in told.stderr


def test_archives_are_never_mixed(run, tmp_path):
    other = make_archive(tmp_path / "other", title="Next door", note="left-handed twin", batch="ZZ9-1111")
    folder = page(tmp_path / "site", "left-handed twin, ZZ9-1111, see scar, GW2-2231")
    found = [finding["problem"] for finding in json.loads(run(folder, "--format", "json").stdout)]
    assert sorted("see scar" in text or "GW2-2231" in text for text in found) == [True, True]
    found = [finding["problem"] for finding in json.loads(run(folder, "--format", "json", archive=other).stdout)]
    assert sorted("twin" in text or "ZZ9-1111" in text for text in found) == [True, True]


def test_without_a_folder_its_own_portfolio_is_searched(run, out):
    result = run()
    assert result.exit_code == 0, result.output
    assert f"files in {out}/portfolio" in result.stdout


def test_without_a_folder_the_portfolio_of_another_archive_is_refused(run, tmp_path):
    other = make_archive(tmp_path / "other", title="Next door")
    result = run(archive=other)
    assert isinstance(result.exception, UsageError)
    assert str(other) in str(result.exception)


def test_a_portfolio_nobody_remembers_building_is_refused(run, out):
    (out / "cache/built-from").rename(out / "cache/away")
    try:
        assert isinstance(run().exception, UsageError)
    finally:
        (out / "cache/away").rename(out / "cache/built-from")


def test_a_zip_is_searched(run, tmp_path):
    with zipfile.ZipFile(tmp_path / "site.zip", "w") as archive:
        archive.writestr("a/b.html", "<p>see scar</p>")
    assert codes(run(tmp_path / "site.zip", "--format", "json")) == {("privacy.leak", f"{tmp_path}/site.zip/a/b.html")}


def test_what_could_not_be_looked_into_is_not_nothing(run, tmp_path):
    folder = page(tmp_path / "site", "Owls.")
    (folder / "a.pdf").write_bytes(b"%PDF-1.7 cut off")
    result = run(folder)
    assert (result.exit_code, "1 file couldn't be looked into" in result.stdout) == (1, True)
    assert "nothing private found" not in result.stdout
    assert codes(run(folder, "--format", "json")) == {("privacy.unread", f"{folder}/a.pdf")}


def test_a_picture_that_the_decoder_stumbles_over_is_named(run, tmp_path, monkeypatch):
    def stumble(*_):
        raise TypeError("Missing dimensions")

    folder = page(tmp_path / "site", "Owls.")
    save(photo(8), folder / "a.jpg")
    monkeypatch.setattr("archgen.leaks.likenesses.describe_picture", stumble)
    assert codes(run(folder, "--format", "json")) == {("privacy.unread", f"{folder}/a.jpg")}


def test_the_number_of_the_camera_is_known_from_the_private_photos(tmp_path, run):
    archive = make_archive(tmp_path / "content", title="Front room")
    exif = Image.Exif()
    exif.get_ifd(0x8769)[0xA431] = "8023771"
    photo(5).save(archive / "pieces/owl/photos/lines.jpg", exif=exif.tobytes())
    folder = page(tmp_path / "site", "Taken with camera 8023771.")
    (found,) = json.loads(run(folder, "--format", "json", archive=archive).stdout)
    assert (found["code"], "8023771" in found["problem"]) == ("privacy.leak", True)


def test_a_place_that_is_not_there_is_said(run, tmp_path):
    assert isinstance(run(tmp_path / "nowhere").exception, InputError)


def test_the_same_find_in_several_files_is_told_once_on_the_screen_and_each_to_a_program(run, tmp_path):
    folder = page(tmp_path / "site", "see scar")
    for name in ("b.html", "c.html"):
        (folder / name).write_text("<p>see scar</p>")
    assert run(folder).stdout.count("would be public here") == 1
    # However the name is broken into lines.
    assert "b.htmland2morefiles" in "".join(run(folder).stdout.split())
    assert len(codes(run(folder, "--format", "json"))) == 3


def test_findings_come_in_one_order_whatever_the_seed_of_the_hashes(root, out, tmp_path):
    """Texts are kept in sets and tables; what is printed must not depend on how Python mixes them."""
    folder = page(tmp_path / "site", "anna soderqvist see scar GW2-2231 C-0042 anna (at) example (dot) org owl.jpg")
    (folder / "b.txt").write_text("GW2-2231, see scar, C-0042")
    command = [sys.executable, "-m", "archgen", "leaks", folder, "--archive", root, "--out", out, "--format", "json"]
    said = {
        subprocess.run(command, env={**os.environ, "PYTHONHASHSEED": seed}, capture_output=True, check=False).stdout
        for seed in ("1", "2", "3")
    }
    assert len(said) == 1
    assert len(json.loads(said.pop())) > 6
