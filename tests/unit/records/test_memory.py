"""Pieces remembered by how their folders stand: the same as read anew, or not used."""

import os

import pytest

from archgen.records import reader
from archgen.records.memory import Memory
from archgen.records.reader import read_archive
from archgen.storage import tree_state
from archgen.storage.plain_files import sealed, unsealed
from archgen.storage.tree_state import folder_states

RECORD = """title = "Owl"
client = "C-0001"
[size]
width = "62 mm"
[[sitting]]
date = 2026-03-14
hours = "3h30"
[placement]
region = "forearm-outer"
side = "left"
[[ink]]
batch = "GW-1"
[[stencil]]
file = "stencils/a.png"
from = ["references/b.jpg"]
[[stencil.landmark]]
stencil = [1, 2.5]
on = "photos/c.jpg"
at = [3, 4]
[release]
file = "release.pdf"
"""


@pytest.fixture
def root(tmp_path, monkeypatch):
    monkeypatch.setattr(tree_state, "GRAIN_NS", 0)  # what is written here is read at once
    for name, text in (("owl", RECORD), ("odd", 'title = "x"\npublish = "yes"\n'), ("broken", "title = ")):
        folder = tmp_path / "content" / "pieces" / name
        folder.mkdir(parents=True)
        (folder / "piece.toml").write_text(text, "utf-8")
    (tmp_path / "content/pieces/owl/release.pdf").write_text("signed", "utf-8")
    (tmp_path / "content/clients.toml").write_text('[[client]]\ncode = "C-0001"\n', "utf-8")
    (tmp_path / "content/inks.toml").write_text('[[batch]]\nbatch = "GW-1"\nname = "black"\n', "utf-8")
    return tmp_path / "content"


@pytest.fixture
def file(tmp_path):
    return tmp_path / "records.json"


@pytest.fixture
def anew(monkeypatch):
    """Give the folders that are read anew from here on."""
    folders, read = [], reader.list_folder
    monkeypatch.setattr(reader, "list_folder", lambda folder: folders.append(folder.name) or read(folder))
    return folders


def read(root, file, looked=None):
    memory = Memory(file)
    archive = read_archive(root, memory, looked=looked)
    memory.save()
    return archive


def test_an_archive_read_from_memory_is_the_same(root, file):
    anew = read_archive(root)
    assert anew.findings
    assert [read(root, file) for _ in range(3)] == [anew] * 3


def test_only_what_is_not_sound_is_read_again(root, file, anew):
    read(root, file)
    anew.clear()
    read(root, file)
    assert anew == ["broken", "odd"]


OWL = "pieces/owl/piece.toml"


def same_size_and_time(root):
    stamp = (root / OWL).stat()
    (root / OWL).write_text(RECORD.replace("62 mm", "63 mm"), "utf-8")
    os.utime(root / OWL, ns=(stamp.st_atime_ns, stamp.st_mtime_ns))


@pytest.mark.parametrize(
    "change",
    [
        lambda root: (root / OWL).write_text(RECORD.replace("62 mm", "63 mm"), "utf-8"),
        same_size_and_time,
        lambda root: (root / "pieces/owl/notes.md").write_text("Left-handed.", "utf-8"),
        lambda root: (root / "pieces/owl/photos").mkdir(),
        lambda root: (root / "pieces/owl/release.pdf").write_text("", "utf-8"),
        lambda root: (root / "pieces/owl/release.pdf").unlink(),
        lambda root: (root / "pieces/owl").rename(root / "pieces/barn-owl"),
        lambda root: (root / OWL).rename(root / "pieces/owl/Piece.toml"),
    ],
)
def test_whatever_changes_in_a_folder_it_is_read_again(root, file, anew, change):
    read(root, file)
    change(root)
    anew.clear()
    found = read(root, file)
    assert {"owl", "barn-owl"} & set(anew)
    assert found == read_archive(root)


@pytest.mark.parametrize(
    ("register", "text"), [("clients.toml", '[[client]]\ncode = "C-2"\n'), ("inks.toml", '[[batch]]\nbatch = "X"\n')]
)
def test_the_registers_are_asked_anew(root, file, anew, register, text):
    before = read(root, file)
    (root / register).write_text(text, "utf-8")
    anew.clear()
    after = read(root, file)
    assert "owl" not in anew
    assert {one.piece for one in set(after.findings) - set(before.findings)} == {"owl"}
    assert after == read_archive(root)


def test_a_folder_with_a_link_and_one_that_changed_just_now_are_not_remembered(root, file, anew, monkeypatch):
    (root / "pieces/owl/notes.md").symlink_to(root / "clients.toml")
    assert "owl" not in folder_states(root, "pieces", 1 << 62)
    (root / "pieces/owl/notes.md").unlink()
    monkeypatch.setattr(tree_state, "GRAIN_NS", 3_600_000_000_000)
    read(root, file)
    anew.clear()
    read(root, file)
    assert "owl" in anew


def test_a_piece_whose_paper_cannot_be_its_paper_is_looked_at_again(root, file, anew):
    (root / "pieces/owl/release.pdf").write_text("", "utf-8")
    read(root, file)
    anew.clear()
    read(root, file)
    assert "owl" in anew


def test_a_look_somebody_took_just_before_is_not_taken_again(root, file, anew, monkeypatch):
    looked = folder_states(root, "pieces", 1 << 62)
    monkeypatch.setattr("archgen.records.memory.folder_states", None)
    assert read(root, file, looked) == read(root, file, looked)
    assert anew.count("owl") == 1


@pytest.mark.parametrize("content", [b"", b"{", b"[]", b'{"a": 1}', b"\xff\xfe"])
def test_a_memory_that_cannot_be_read_is_empty(root, file, content):
    file.write_bytes(content)
    assert read(root, file) == read_archive(root)


@pytest.mark.parametrize("is_sealed", [True, False])
def test_an_entry_that_makes_no_sense_or_was_changed_is_not_used(root, file, is_sealed):
    read(root, file)
    title = b'["Owl"]' if is_sealed else b'"Own"'
    content = unsealed(file.read_bytes(), file.name).replace(b'"title":"Owl"', b'"title":' + title)
    file.write_bytes(sealed(content, file.name) if is_sealed else file.read_bytes()[:32] + content)
    assert read(root, file) == read_archive(root)


def test_another_program_reads_everything_anew(root, file, anew, monkeypatch):
    read(root, file)
    monkeypatch.setattr("archgen.records.memory.program_state", lambda: "another")
    anew.clear()
    read(root, file)
    assert "owl" in anew


def test_what_is_not_asked_for_is_forgotten(root, file):
    read(root, file)
    full = file.stat().st_size
    (root / OWL).write_text('title = ["x"]', "utf-8")
    read(root, file)
    assert file.stat().st_size < full


def test_lengths_and_hours_keep_their_kinds(root, file):
    first, second = (next(piece.record for piece in read(root, file).pieces if piece.id == "owl") for _ in range(2))
    assert type(first.size.width) is type(second.size.width)
    assert type(first.sitting[0].hours) is type(second.sitting[0].hours)
