"""Seals name every file that is not what it was; the list is that of coreutils."""

import random
import shutil
import subprocess

import pytest

from archgen.errors import InputError
from archgen.progress import Silent
from archgen.sealing.seal import compare, files_below, make_seal, read_seal, seal_text
from archgen.storage.build_folder import MARKER
from tests.conftest import outside_tool

ODD = ("two words.txt", "Größe – 1.txt", "back\\slash.txt", "line\nbreak.txt", "next\u2028line.txt", "return\r.txt")


@pytest.fixture
def root(tmp_path):
    folder = tmp_path / "archive"
    for number in range(12):
        path = folder / f"pieces/p{number % 4}/photos/{number}.jpg"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(f"picture {number}".encode() * 50)
    for name in ODD:
        (folder / name).write_text(name, encoding="utf-8")
    return folder


def seal(root):
    return make_seal(root, 2, Silent())


def test_every_file_is_sealed_but_hidden_ones_links_and_what_was_built(root, tmp_path):
    (root / ".DS_Store").write_text("x")
    (root / ".git").mkdir()
    (root / ".git/config").write_text("x")
    (root / "built").mkdir()
    (root / "built" / MARKER).write_text("x")
    (root / "built/index.html").write_text("x")
    (tmp_path / "outside.txt").write_text("x")
    (root / "link.txt").symlink_to(tmp_path / "outside.txt")
    assert len(list(files_below(root))) == 12 + len(ODD)


def test_the_list_is_read_as_it_was_written(root):
    now = seal(root)
    assert read_seal(seal_text(now)) == now.files


def test_coreutils_checks_the_list(root, tmp_path):
    program = outside_tool("sha256sum")
    (tmp_path / "seal").write_bytes(seal_text(seal(root)))
    check = [program, "--check", "--strict", "--quiet", str(tmp_path / "seal")]
    assert subprocess.run(check, cwd=root, check=False).returncode == 0
    (root / "line\nbreak.txt").write_text("other")
    assert subprocess.run(check, cwd=root, check=False, capture_output=True).returncode != 0


def test_two_hundred_changes_are_all_named(root):
    """A byte changed, one lost, one more, a file emptied, gone, moved or new: each is named, and nothing else is."""
    sealed = seal(root).files
    chance = random.Random(2026)
    for number in range(200):
        path = chance.choice(sorted(sealed))
        file, kept = root / path, (root / path).read_bytes()
        elsewhere = root / f"moved-{number}"
        how = number % 7
        expected = {"changed": (), "missing": (), "new": (), "moved": ()}
        match how:
            case 0 | 1 | 2 | 3:
                at = chance.randrange(len(kept))
                other = bytes([kept[at] ^ 1 << chance.randrange(8)])
                changed = (kept[:at] + other + kept[at + 1 :], kept[:-1], kept + b"\0", b"")[how]
                file.write_bytes(changed)
                expected["changed"] = (path,)
            case 4:
                file.unlink()
                expected["missing"] = (path,)
            case 5:
                shutil.move(file, elsewhere)
                expected["moved"] = ((path, elsewhere.name),)
            case 6:
                elsewhere.write_text(f"something else {number}")
                expected["new"] = (elsewhere.name,)
        found = compare(sealed, seal(root))
        assert {key: getattr(found, key) for key in expected} == expected, (how, path)
        assert found.is_whole is (how == 6)
        assert found.same == len(sealed) - (how != 6)
        file.write_bytes(kept)
        elsewhere.unlink(missing_ok=True)
    assert compare(sealed, seal(root)).is_whole


def test_a_copy_beside_the_file_is_new_and_nothing_moved(root):
    sealed = seal(root).files
    shutil.copy(root / "two words.txt", root / "copy.txt")
    found = compare(sealed, seal(root))
    assert (found.new, found.moved) == (("copy.txt",), ())


def test_two_equal_files_move_each_to_one_place(root):
    for name in ("a", "b"):
        (root / name).write_text("equal")
    sealed = seal(root).files
    for name in ("a", "b"):
        (root / name).rename(root / f"{name}2")
    assert compare(sealed, seal(root)).moved == (("a", "a2"), ("b", "b2"))


def test_a_file_that_cannot_be_read_is_named(root, monkeypatch):
    sealed = seal(root).files

    def refuse(path):
        if path.name == "two words.txt":
            raise OSError
        return sealed[path.relative_to(root).as_posix()]

    monkeypatch.setattr("archgen.sealing.seal.digest_file", refuse)
    found = compare(sealed, seal(root))
    assert found.unread == ("two words.txt",)
    assert found.missing == ()
    assert not found.is_whole


@pytest.mark.parametrize(
    "content", [b"", b"hello", b"0" * 64, b"g" * 64 + b"  a", b"0" * 64 + b" a", b"0" * 63 + b"  a"]
)
def test_what_is_no_list_is_refused(content):
    with pytest.raises(InputError, match="isn't a list of digests"):
        read_seal(content)
