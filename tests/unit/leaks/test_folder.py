"""Everything in a folder or a zip is listed, and what cannot be read is said to be so."""

import zipfile

import pytest

from archgen.leaks import folder
from archgen.leaks.folder import TOO_LARGE, Entry, entries_of


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
