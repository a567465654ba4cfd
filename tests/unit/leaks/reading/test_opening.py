"""Files inside files: opened, within limits, and named where they cannot be."""

import bz2
import gzip
import io
import lzma
import os
import zipfile

import pikepdf
import pytest

from archgen.isolation import child
from archgen.isolation.limits import WorkLimits
from archgen.leaks.reading import apart, packed
from archgen.leaks.reading.documents import DAMAGED, LOCKED
from archgen.leaks.reading.opening import TOO_DEEP, UNKNOWN_PACKER, ReadingLimits, disclose
from archgen.leaks.reading.packed import TOO_MUCH
from tests.leak_manners import document, jpeg_comment, nameless, picture, saved, zipped


def told(content, name="a.bin", limits=None):
    found = list(disclose(name, content, limits or ReadingLimits()))
    texts = " ".join(text for one in found for text in (*one.texts, *one.names))
    return texts, {why for one in found for why in one.unread}, {trace for one in found for trace in one.traces}


def test_files_inside_files_are_not_opened_without_end():
    content = b"x"
    for _ in range(9):
        content = gzip.compress(content, mtime=0)
    assert told(content)[1] == {TOO_DEEP}


@pytest.mark.parametrize("pack", [gzip.compress, bz2.compress, lzma.compress, lambda raw: zipped({"a": raw})])
def test_no_more_is_unpacked_than_allowed(pack):
    content = pack(b"quiet words " + b"\0" * 30_000_000)
    assert told(content, limits=ReadingLimits(unpacked=1_000_000))[1] == {TOO_MUCH}


def test_the_limit_counts_for_all_that_is_inside():
    content = zipped({str(number): bytes(400_000) for number in range(4)})
    assert told(content, limits=ReadingLimits(unpacked=1_000_000))[1] == {TOO_MUCH}


def test_a_packed_file_that_unpacks_to_itself_ends():
    inner = zipped({"a.txt": "x"})
    assert told(zipped({"a.zip": inner, "b.zip": inner}))[1] == set()


@pytest.mark.parametrize("pack", [gzip.compress, bz2.compress, lzma.compress])
def test_a_packed_file_that_ends_too_early_gives_what_it_has_and_is_named(pack):
    whole = pack(("see scar, " * 5000 + str(range(99))).encode() + bytes(range(256)) * 90)
    texts, unread, _ = told(whole[: len(whole) * 3 // 4])
    assert len(unread) == 1
    assert "see scar" in texts or pack is not gzip.compress


@pytest.mark.parametrize(
    "damage", [lambda raw: raw[:40] + b"\xff" * 20 + raw[60:], lambda raw: raw[: len(raw) // 2]], ids=["hit", "cut"]
)
def test_a_damaged_zip_is_named(damage):
    assert told(damage(zipped({"a.txt": "one thing after another " * 40})))[1]


def test_what_needs_a_password_is_named():
    content = bytearray(zipped({"a.txt": "x"}))
    for at in (content.index(b"PK\x03\x04") + 6, content.index(b"PK\x01\x02") + 8):
        content[at] |= 1
    assert told(bytes(content))[1] == {packed.LOCKED}
    pdf = document()
    stream = io.BytesIO()
    pdf.save(stream, encryption=pikepdf.Encryption(user="a", owner="b"))
    assert LOCKED in told(stream.getvalue(), "a.pdf")[1]


@pytest.mark.parametrize("head", [b"7z\xbc\xaf\x27\x1c", b"Rar!\x1a\x07\x01\0", b"\x28\xb5\x2f\xfd"])
def test_packers_that_cannot_be_opened_are_named(head):
    assert told(head + bytes(range(256)))[1] == {UNKNOWN_PACKER}


@pytest.mark.parametrize(
    "damage",
    [
        lambda raw: raw[: len(raw) // 2],
        lambda raw: raw.replace(b"startxref", b"startxxxx"),
        lambda _: b"no document at all",
        lambda _: bytes(range(256)) * 8,
        lambda _: b"%PDF-1.7\n1 0 obj << /Length 10 >> stream\n",
    ],
    ids=["cut", "no index", "a text", "bytes", "a head"],
)
def test_a_damaged_document_is_read_as_far_as_it_goes_and_named(damage):
    content = saved(document(b"(see scar) Tj"))
    texts, unread, _ = told(damage(content), "a.pdf")
    assert unread == {DAMAGED} or "see scar" in texts  # the reader mends some


def test_words_of_a_document_cut_off_are_read_all_the_same():
    content = saved(document(b"(see scar) Tj"), compress_streams=True)
    cut = content[: content.rindex(b"endstream") - 20]
    texts, unread, _ = told(cut, "a.pdf")
    assert (unread, "see scar" in texts) == ({DAMAGED}, True)


@pytest.mark.parametrize(
    "content", [b"", b"\0" * 50, b"%PDF-", b"PK\x03\x04", b"\x1f\x8b\x08", b"BZh91AY&SY", b"\xff\xd8\xff"]
)
def test_a_head_without_a_body_ends_nothing(content):
    told(content)


def test_times_of_packing_are_traces():
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w") as archive:
        archive.writestr(zipfile.ZipInfo("a.txt", (2026, 3, 14, 10, 0, 0)), "x")
    assert told(stream.getvalue())[2] == {"the time stamp of a.txt in a packed file"}
    assert told(gzip.compress(b"x", mtime=7))[2] == {"the time at which it was packed"}
    assert told(gzip.compress(b"x", mtime=0))[2] == set()


def test_a_picture_anywhere_inside_is_given_to_be_compared():
    inside = picture("JPEG")
    for content in (zipped({"a.jpg": inside}), gzip.compress(inside), jpeg_comment("x") + inside):
        assert inside in [one for found in disclose("a.bin", content) for one in found.pictures]


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such limits")
@pytest.mark.parametrize(("kind", "way", "why"), [
    *((kind, "die_of", "stops the program") for kind in ("PDF", "WEBP", "TIFF", "GIF", "AVIF", "HEIF", "BMP")),
    ("PDF", "drown_in", "too much memory"), ("PDF", "get_lost_in", "too long"),
])  # fmt: skip
def test_a_file_that_its_reader_dies_of_is_named_and_searched_as_bytes(monkeypatch, kind, way, why):
    def instead(_task, kind, limits, content, **arguments):
        return child.call(f"tests.unit.isolation.tasks:{way}", kind, limits, content, **arguments)

    monkeypatch.setattr(apart, "call", instead)
    monkeypatch.setattr(apart, "_LIMITS", WorkLimits(cpu_s=0.2, memory_bytes=300_000_000))
    content = saved(document()) if kind == "PDF" else picture(kind)
    (found,) = disclose("file", content)
    assert [why in sentence for sentence in found.unread] == [True]
    assert content in found.raw


def test_half_a_character_is_no_reason_to_leave_a_file_out():
    found, *_ = disclose("x.webp", picture("WEBP", xmp=b"a half \\ud800 of one"))
    assert not found.unread
    assert any("a half" in text for text in found.texts)


def test_a_packed_file_without_a_name_is_opened():
    assert "rested ten minutes" in told(nameless(b"rested ten minutes"))[0]


def test_a_name_of_any_bytes_in_a_document_is_no_reason_to_leave_it_out():
    pdf = document()
    pdf.Root["/Pieces"] = pikepdf.Object.parse(b"/quiet#ff#eewords")
    pdf.Root["/More"] = pikepdf.Object.parse(b"<</soft#ff#80tone 1>>")
    texts, unread, _ = told(saved(pdf))
    assert not unread
    assert all(word in texts for word in ("quiet", "words", "soft", "tone"))
