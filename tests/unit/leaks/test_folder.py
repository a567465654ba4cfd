"""Everything in a folder or a zip is listed, and what cannot be read is said to be so."""

import os
import zipfile

import pytest

from archgen.errors import InputError
from archgen.leaks import folder
from archgen.leaks.folder import TOO_LARGE, Entry, check_place, entries_of
from tests.leak_manners import nameless


def packed(place, **members):
    with zipfile.ZipFile(place, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in members.items():
            archive.writestr(name, content)
    return place


def test_a_folder_in_a_zip_is_listed_by_its_name(tmp_path):
    place = packed(tmp_path / "site.zip", **{"for-anna/": "", "b.txt": "quiet"})
    assert list(entries_of(place)) == [Entry("site.zip", b""), Entry("b.txt", b"quiet"), Entry("for-anna/")]


@pytest.mark.parametrize(("size", "trouble"), [(99, None), (100, None), (101, TOO_LARGE), (250, TOO_LARGE)])
def test_what_is_larger_than_can_be_read_is_said_and_never_read_in_part(tmp_path, monkeypatch, size, trouble):
    monkeypatch.setattr(folder, "LARGEST_FILE", 100)
    (tmp_path / "site").mkdir()
    (tmp_path / "site/a.txt").write_bytes(b"a" * size)
    wanted = Entry("a.txt", None if trouble else b"a" * size, None, trouble)
    assert list(entries_of(tmp_path / "site")) == [wanted]
    assert list(entries_of(packed(tmp_path / "site.zip", **{"a.txt": b"a" * size})))[1] == wanted


def test_a_folder_that_cannot_be_opened_is_said(tmp_path, monkeypatch):
    (tmp_path / "a.txt").write_bytes(b"quiet")
    (tmp_path / "shut").mkdir()
    walk = folder.os.walk

    def walk_to_shut(top, onerror):
        yield from walk(top)
        onerror(PermissionError(13, "Permission denied", str(tmp_path / "shut")))

    monkeypatch.setattr(folder.os, "walk", walk_to_shut)
    assert list(entries_of(tmp_path)) == [
        Entry("shut/"), Entry("a.txt", b"quiet"), Entry("shut", trouble="it cannot be opened (Permission denied)")
    ]  # fmt: skip


@pytest.mark.parametrize(("bit", "trouble"), [(1, "it opens only with a password"), (0, "it is packed and damaged")])
def test_what_is_packed_and_cannot_be_read_is_said(tmp_path, bit, trouble):
    place = packed(tmp_path / "site.zip", **{"a.txt": b"quiet" * 9})
    raw = bytearray(place.read_bytes())
    if bit:
        for head, at in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
            raw[raw.index(head) + at] |= bit
    else:
        raw[36] ^= 0xFF
    place.write_bytes(raw)
    assert list(entries_of(place))[1:] == [Entry("a.txt", None, None, trouble)]


def test_everything_is_listed_in_order_by_its_path(tmp_path):
    for name in ("b/2.txt", "b/1.txt", "a/c/d.txt", "z.txt", "0.txt"):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_bytes(name.encode())
    files = [Entry(name, name.encode()) for name in ("0.txt", "z.txt", "a/c/d.txt", "b/1.txt", "b/2.txt")]
    folders = [Entry("a/"), Entry("b/"), Entry("a/c/")]
    listed = list(entries_of(tmp_path))
    assert [entry for entry in listed if entry.content is not None] == files
    assert [entry for entry in listed if entry.content is None] == folders


def test_links_are_listed_with_where_they_lead_and_not_followed(tmp_path):
    outside = tmp_path / "outside"
    outside.mkdir()
    (outside / "a.txt").write_bytes(b"quiet")
    place = tmp_path / "site"
    place.mkdir()
    (place / "folder").symlink_to(outside)
    (place / "file").symlink_to("../outside/a.txt")
    (place / "nowhere").symlink_to("gone")
    assert sorted(entries_of(place), key=lambda entry: entry.name) == [
        Entry("file", b"quiet", "../outside/a.txt"),
        Entry("folder/", None, str(outside)),
        Entry("nowhere", None, "gone"),
    ]
    # Asked for by itself it is what it leads to.
    assert list(entries_of(place / "nowhere")) == [Entry("nowhere", None, "gone")]


def test_what_is_no_file_is_said(tmp_path):
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "link").symlink_to("pipe")
    trouble = "it isn't an ordinary file"
    assert list(entries_of(tmp_path)) == [Entry("link", None, "pipe", trouble), Entry("pipe", None, None, trouble)]


def test_a_name_in_another_encoding_can_be_printed(tmp_path):
    (tmp_path / os.fsdecode(b"caf\xe9.txt")).write_bytes(b"")
    (entry,) = entries_of(tmp_path)
    assert entry.name == "caf\ufffd.txt"


def test_a_place_that_is_not_there_is_refused(tmp_path):
    check_place(tmp_path)
    with pytest.raises(InputError):
        check_place(tmp_path / "gone")


def test_a_packed_file_without_a_name_is_read(tmp_path):
    (tmp_path / "site.zip").write_bytes(nameless(b"quiet"))
    assert list(entries_of(tmp_path / "site.zip"))[1:] == [Entry("", b"quiet")]
