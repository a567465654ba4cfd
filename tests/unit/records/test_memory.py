"""Records remembered by their text: the same as read anew, or not used."""

import pytest

from archgen.records.memory import Memory
from archgen.records.reader import read_archive
from archgen.toml import text as toml_text

RECORD = """title = "Owl"
[size]
width = "62 mm"
[[sitting]]
date = 2026-03-14
hours = "3h30"
[placement]
region = "forearm-outer"
side = "left"
[[stencil]]
file = "stencils/a.png"
from = ["references/b.jpg"]
[[stencil.landmark]]
stencil = [1, 2.5]
on = "photos/c.jpg"
at = [3, 4]
"""


@pytest.fixture
def root(tmp_path):
    for name, text in (("owl", RECORD), ("odd", 'title = "x"\npublish = "yes"\n'), ("broken", "title = ")):
        folder = tmp_path / "content" / "pieces" / name
        folder.mkdir(parents=True)
        (folder / "piece.toml").write_text(text, "utf-8")
    return tmp_path / "content"


@pytest.fixture
def file(tmp_path):
    return tmp_path / "records.json"


def read(root, file):
    memory = Memory(file)
    archive = read_archive(root, memory)
    memory.save()
    return archive


def test_an_archive_read_from_memory_is_the_same(root, file):
    anew = read_archive(root)
    assert anew.findings
    assert [read(root, file) for _ in range(3)] == [anew] * 3


def test_a_known_text_is_not_parsed_again(root, file, monkeypatch):
    read(root, file)
    parsed = []
    loads = toml_text.tomllib.loads
    monkeypatch.setattr(toml_text.tomllib, "loads", lambda text: parsed.append(text) or loads(text))
    read(root, file)
    assert RECORD not in parsed


def test_a_changed_text_is_read_anew(root, file):
    read(root, file)
    (root / "pieces" / "owl" / "piece.toml").write_text(RECORD.replace("62 mm", "63 mm"), "utf-8")
    (owl,) = (piece for piece in read(root, file).pieces if piece.id == "owl")
    assert owl.record.size.width == 63


def test_files_and_registers_are_looked_at_anew(root, file):
    before = read(root, file)
    (root / "pieces" / "owl" / "stencils").mkdir()
    (root / "pieces" / "owl" / "stencils" / "a.png").write_bytes(b"x")
    assert len(read(root, file).findings) < len(before.findings)


@pytest.mark.parametrize("content", [b"", b"{", b"[]", b'{"a": 1}', b"\xff\xfe"])
def test_a_memory_that_cannot_be_read_is_empty(root, file, content):
    file.write_bytes(content)
    assert read(root, file) == read_archive(root)


def test_an_entry_that_makes_no_sense_is_not_used(root, file):
    read(root, file)
    file.write_bytes(file.read_bytes().replace(b'"title":"Owl"', b'"title":["Owl"]'))
    assert read(root, file) == read_archive(root)


def test_what_is_not_asked_for_is_forgotten(root, file):
    read(root, file)
    full = file.stat().st_size
    (root / "pieces" / "owl" / "piece.toml").write_text('title = "x"', "utf-8")
    read(root, file)
    assert file.stat().st_size < full


def test_lengths_and_hours_keep_their_kinds(root, file):
    first, second = (next(piece.record for piece in read(root, file).pieces if piece.id == "owl") for _ in range(2))
    assert type(first.size.width) is type(second.size.width)
    assert type(first.sitting[0].hours) is type(second.sitting[0].hours)
