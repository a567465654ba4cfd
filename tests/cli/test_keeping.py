"""archgen seal and archgen handover."""

import os
import subprocess
import time
from types import SimpleNamespace

import bagit
import pytest
from PIL import Image

from archgen.storage import cache as cache_module
from archgen.storage.build_folder import MARKER
from tests.conftest import outside_tool

PHOTO = "pieces/2026-03-14-barn-owl/references/field.png"


@pytest.fixture
def built(terminal):
    """Stand in for a build: pages, sheets and prints of three files."""
    out = terminal.root.parent / "build"
    for name in (
        "archive/index.html",
        "archive/pieces/owl.html",
        "sheets/owl.pdf",
        "reprints/owl.pdf",
        "portfolio/a.html",
    ):
        (out / name).parent.mkdir(parents=True, exist_ok=True)
        (out / name).write_text(name)
    (out / MARKER).write_text("archgen")
    (out / "archive" / ".hidden").write_text("x")
    return terminal


def test_sealing_and_verifying_say_what_changed_since(built):
    first = built.run("seal")
    assert first.code == 0, first.err
    assert "files sealed." in first.out
    assert "are as they were sealed." in built.run("seal", "--verify").out
    (built.root / PHOTO).write_bytes(b"damaged")
    ran = built.run("seal", "--verify")
    assert ran.code == 1
    assert f"changed: {PHOTO}" in ran.out
    assert "take it from another copy" in ran.out
    again = built.run("seal")
    assert "Since it was sealed last:" in again.out
    assert f"changed: {PHOTO}" in again.out
    assert built.run("seal", "--verify").code == 0


def test_new_files_do_no_harm(built):
    built.run("seal")
    (built.root / "new.txt").write_text("x")
    ran = built.run("seal", "--verify")
    assert ran.code == 0
    assert "new: new.txt" in ran.out
    assert "Since it was sealed last" not in built.run("seal").out


def test_what_is_hidden_is_said_to_be_left_out(built):
    built.run("seal")
    assert "Hidden" not in built.run("seal", "--verify").out
    (built.root / "pieces/.DS_Store").write_text("x")
    ran = built.run("seal", "--verify")
    assert ran.code == 0
    assert "Hidden, so left out: pieces/.DS_Store." in ran.out
    (built.root / ".git").mkdir()
    (built.root / ".git/config").write_text("x")
    assert "Hidden, so left out: .git, pieces/.DS_Store." in built.run("seal").out
    for number in range(4):
        (built.root / f".{number}").write_text("x")
    assert "Hidden, so left out: .git, .0, .1, .2, .3 and 1 more." in built.run("seal").out


def test_many_changes_are_counted(built):
    for number in range(50):
        (built.root / f"{number:02}.txt").write_text("x")
    built.run("seal")
    for number in range(50):
        (built.root / f"{number:02}.txt").unlink()
    out = built.run("seal", "--verify").out
    assert out.count("missing: ") == 41
    assert "missing: and 10 more" in out


def test_a_list_is_never_written_over_something_else(built, tmp_path):
    mine = tmp_path / "mine.txt"
    mine.write_text("mine")
    assert "isn't a list of digests" in built.refused(4, "seal", "--file", mine)
    assert mine.read_text() == "mine"


def test_what_lacks_is_said(terminal, tmp_path):
    assert "no results yet" in terminal.refused(2, "seal")
    assert "is not there. Seal the archive first" in terminal.refused(2, "seal", "--verify", "--file", tmp_path / "a")


def test_a_handover_is_a_bag_that_others_check(built, tmp_path):
    place = tmp_path / "bag"
    ran = built.run("handover", place)
    assert ran.code == 0, ran.err
    assert "names, contacts and notes of your clients" in ran.out
    bag = bagit.Bag(str(place))
    bag.validate()
    assert (
        subprocess.run(
            [outside_tool("sha256sum"), "--check", "--quiet", "manifest-sha256.txt"], cwd=place, check=False
        ).returncode
        == 0
    )
    assert (place / f"data/archive/{PHOTO}").read_bytes() == (built.root / PHOTO).read_bytes()
    assert (place / f"data/archive/{PHOTO}").stat().st_mtime == (built.root / PHOTO).stat().st_mtime
    for name in ("pages/index.html", "pages/pieces/owl.html", "sheets/owl.pdf", "stencils-as-pdf/owl.pdf"):
        assert (place / "data" / name).is_file()
    assert not (place / "data/portfolio").exists()
    assert not (place / "data/pages/.hidden").exists()
    plain = (place / "data/README.txt").read_text(encoding="utf-8")
    assert "Barn owl  archive/pieces/2026-03-14-barn-owl" in plain
    assert "Private: it holds names" in plain


def test_every_change_of_a_bag_is_named(built, tmp_path):
    place = tmp_path / "bag"
    built.run("handover", place)
    assert "All " in built.run("handover", place, "--verify").out
    (place / "data/sheets/owl.pdf").write_text("other")
    (place / "data/archive" / PHOTO).unlink()
    (place / "data/more.txt").write_text("x")
    (place / "bag-info.txt").write_text("Bagging-Date: 1999-01-01\n")
    ran = built.run("handover", place, "--verify")
    assert ran.code == 1
    for line in (
        "changed: bag-info.txt",
        "changed: data/sheets/owl.pdf",
        f"missing: data/archive/{PHOTO}",
        "new: data/more.txt",
    ):
        assert line in ran.out


def test_a_file_put_into_a_bag_ends_with_one(built, tmp_path):
    built.run("handover", tmp_path / "bag")
    (tmp_path / "bag/data/more.txt").write_text("x")
    assert built.run("handover", tmp_path / "bag", "--verify").code == 1


ODD = (
    *("100%0a.jpg", "a\u2028b.jpg", " ", "a\n"),  # which can't stand in the lists
    *("a\nb.jpg", "é.jpg", "e\u0301.jpg", "a\\b.jpg", "x" * 251 + ".jpg", "\u202egpj.exe", "_FF.jpg", "~", "empty"),
)


def test_files_of_odd_names_are_handed_over_whole(built, tmp_path):
    for name in ODD:
        (built.root / "pieces" / name).write_text("" if name == "empty" else name)
    (built.root / "pieces" / os.fsdecode(b"\xff.jpg")).write_text("no name")
    (built.root / "pieces" / os.fsdecode(b"\xfe")).mkdir()
    (built.root / "pieces" / os.fsdecode(b"\xfe") / "piece.toml").write_text('title = "Owl"')
    place = tmp_path / "bag"
    ran = built.run("handover", place)
    assert ran.code == 0, ran.err
    verified = built.run("handover", place, "--verify")
    assert verified.code == 0, verified.out
    pieces = place / "data/archive/pieces"
    for name in ODD[4:]:
        assert (pieces / name).read_text() == ("" if name == "empty" else name)
    for name, was in zip(("100_250a.jpg", "a_E2_80_A8b.jpg", "_20", "a_0A"), ODD, strict=False):
        assert (pieces / name).read_text() == was
    assert (pieces / "_FF.jpg_").read_text() == "no name"
    assert (pieces / "_FE/piece.toml").is_file()
    plain = (place / "data/README.txt").read_text()
    assert "archive/pieces/\\udcff.jpg is called archive/pieces/_FF.jpg_ here" in plain
    assert bagit.Bag(str(place)).validate()


@pytest.fixture
def nobody_reads(monkeypatch):
    """Let files and folders of this name be closed to everybody, as they are to those who aren't root."""
    opened, listed = open, os.scandir

    def refuse(call):
        def instead(path, *given, **named):
            if str(path).endswith("closed") and "w" not in given:
                raise PermissionError(13, "Permission denied", str(path))
            return call(path, *given, **named)

        return instead

    for where in ("builtins.open", "io.open"):
        monkeypatch.setattr(where, refuse(opened))
    monkeypatch.setattr("os.scandir", refuse(listed))


@pytest.mark.usefixtures("nobody_reads")
@pytest.mark.parametrize("existed", [False, True])
@pytest.mark.parametrize("kind", ["file", "folder"])
def test_what_cannot_be_read_is_named_and_no_half_bag_stays(built, tmp_path, kind, existed):
    closed = built.root / "pieces" / "closed"
    closed.write_text("x") if kind == "file" else closed.mkdir()
    place = tmp_path / "bag"
    if existed:
        place.mkdir()
    ran = built.run("handover", place)
    assert ran.code == 4
    assert "pieces/closed cannot be read (permission denied)." in ran.err.replace("\n", "")
    assert place.exists() is existed
    assert not list(place.glob("*"))
    sealed = built.run("seal")
    assert sealed.code == (0 if kind == "file" else 4)
    assert "closed" in sealed.out + sealed.err


@pytest.mark.usefixtures("nobody_reads")
def test_a_list_that_cannot_be_read_or_holds_nothing_is_told(built, tmp_path):
    (tmp_path / "closed").write_text("x")
    ran = built.run("seal", "--file", tmp_path / "closed")
    assert ran.code == 4
    assert "cannot be read (permission denied)" in ran.err.replace("\n", "")
    (tmp_path / "empty").write_text("")
    assert "isn't a list of digests" in built.run("seal", "--file", tmp_path / "empty", "--verify").err


@pytest.mark.parametrize("where", ["content/bag", "build/bag", "full"])
def test_a_bag_is_made_only_in_a_place_of_its_own(built, where):
    place = built.root.parent / where
    if where == "full":
        place.mkdir()
        (place / "mine").write_text("x")
    ran = built.run("handover", place)
    assert ran.code != 0
    assert "Traceback" not in ran.err
    assert not (place / "bagit.txt").exists()


def test_nothing_built_or_no_bag_is_said(terminal, tmp_path):
    assert "Build first" in terminal.refused(2, "handover", tmp_path / "bag")
    (tmp_path / "empty").mkdir()
    assert "isn't a folder that `archgen handover` made" in terminal.refused(
        4, "handover", tmp_path / "empty", "--verify"
    )


def flip(place, at):
    """Change a pixel and leave the file's time as it was."""
    before = place.stat()
    with Image.open(place) as picture:
        picture.putpixel(at, 7)
        picture.save(place)
    os.utime(place, ns=(before.st_atime_ns, before.st_mtime_ns))


def test_without_a_seal_a_picture_that_changed_without_its_time_is_asked_about_too(terminal):
    place = terminal.root / PHOTO
    os.utime(place, (1_700_000_000, 1_700_000_000))
    right = place.read_bytes()
    terminal.run("build")
    flip(place, (5, 5))
    question = "not what it was when it was read before"
    assert question in terminal.run("build").out
    assert question in terminal.run("build").out
    place.write_bytes(right)
    os.utime(place, (1_700_000_000, 1_700_000_000))
    assert question not in terminal.run("build").out
    flip(place, (6, 6))
    assert question in terminal.run("build").out
    terminal.run("seal")
    assert question not in terminal.run("build").out


@pytest.mark.parametrize("is_sealed", [False, True])
def test_what_moved_no_time_at_all_is_found_by_reading_again_and_is_right_once_sealed(terminal, monkeypatch, is_sealed):
    # A failing disk: not even the time of the file's entry moves.
    stamp = cache_module.stamp_of
    monkeypatch.setattr(cache_module, "stamp_of", lambda facts: stamp(_without_entry(facts)))
    monkeypatch.setattr(cache_module, "_AGAIN_DAYS", 0)
    place = terminal.root / PHOTO
    os.utime(place, (1_700_000_000, 1_700_000_000))
    terminal.run("build")
    content = bytearray(place.read_bytes())
    content[-1] ^= 1
    place.write_bytes(content)
    os.utime(place, (1_700_000_000, 1_700_000_000))
    if is_sealed:
        terminal.run("seal")
    said = terminal.run("build").out
    assert ("not what it was when it was read before" in said) is not is_sealed
    assert "when you sealed" not in said


def _without_entry(facts):
    kept = {name: getattr(facts, name) for name in ("st_ino", "st_size", "st_mtime_ns")}
    return SimpleNamespace(**kept, st_ctime_ns=0)


def test_a_picture_that_changed_without_its_time_is_asked_about_until_it_is_sealed_again(terminal):
    place = terminal.root / PHOTO
    terminal.run("build")
    terminal.run("seal")
    flip(place, (5, 5))
    question = "not what it was when you sealed"
    assert question in terminal.run("build").out
    assert question in terminal.run("build").out
    page = (terminal.root.parent / "build/archive/checks.html").read_text(encoding="utf-8")
    assert question in page
    terminal.run("seal")
    assert question not in terminal.run("build").out
    os.utime(place)
    with Image.open(place) as picture:
        picture.putpixel((6, 6), 9)
        picture.save(place)
    os.utime(place, (time.time() + 60, time.time() + 60))
    assert question not in terminal.run("build").out


@pytest.mark.parametrize("words", [("handover",), ("stock", "--page")])
def test_a_name_too_long_for_the_disk_is_told_in_one_sentence(built, words):
    ran = built.run(*words, "x" * 300)
    assert ran.code == 4
    assert "cannot be used (file name too long)." in ran.err.replace("\n", " ")
    assert "Traceback" not in ran.err
