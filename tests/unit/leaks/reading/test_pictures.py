"""Pictures taken apart: what tells something is read, what should not be there is named, a plain one is clean."""

import zlib

import pytest
from PIL import Image

from archgen.leaks.reading.disclosed import Disclosed
from archgen.leaks.reading.pictures import format_of, read_picture
from tests.leak_manners import MANNERS, chunk, exif, picture, png_with, segment


def read(content):
    found = Disclosed()
    read_picture(content, format_of(content), found, 64 << 20)
    return found


@pytest.mark.parametrize("form", ["JPEG", "WEBP", "PNG", "GIF", "AVIF", "TIFF", "BMP"])
def test_a_plain_picture_is_clean(form):
    assert read(picture(form)).traces == []


@pytest.mark.parametrize("form", ["JPEG", "WEBP", "PNG", "AVIF"])
def test_data_behind_the_end_is_a_trace_and_opened(form):
    found = read(picture(form) + b"  hidden film")
    assert found.traces == ["data behind the end of the picture"]
    assert any(b"hidden film" in content for _, content in found.inside)


@pytest.mark.parametrize("form", ["JPEG", "WEBP", "PNG"])
def test_fields_of_exif_are_traces_by_their_names(form):
    made = exif("a caption")
    made[0x010F] = "Maker"
    made[40092] = "for Anna".encode("utf-16-le")
    assert read(picture(form, exif=made.tobytes())).traces == ["a description", "the camera's maker", "a comment"]


def test_a_position_is_a_trace_and_written_alike():
    made = Image.Exif()
    made.get_ifd(0x8825).update({1: "N", 2: (55.0, 36.0, 12.0), 3: "W", 4: (13.0, 0.0, 1.0)})
    found = read(picture("JPEG", exif=made.tobytes()))
    assert found.traces == ["a position (GPS)"]
    assert "position 55.6033 -13.0003" in found.texts


def test_a_serial_number_is_a_trace():
    made = Image.Exif()
    made.get_ifd(0x8769)[0xA431] = "SN-99171"
    assert "the owner's name or the serial number of the camera" in read(picture("JPEG", exif=made.tobytes())).traces


RIGHTS = (
    '<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">'
    '<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/"><dc:rights><rdf:Alt>'
    '<rdf:li xml:lang="x-default">© Tove, Tel:030 123456 Mail:a@b.example dc:x={}</rdf:li></rdf:Alt></dc:rights>{}'
    "</rdf:Description></rdf:RDF></x:xmpmeta>"
)


@pytest.mark.parametrize("form", ["WEBP", "JPEG", "PNG"])
def test_words_with_colons_in_a_notice_are_no_fields(form):
    assert read(picture_with_xmp(form, RIGHTS.format("", ""))).traces == []


@pytest.mark.parametrize("form", ["WEBP", "JPEG", "PNG"])
def test_an_unknown_field_of_xmp_is_a_trace_also_as_an_attribute(form):
    date = '<xmp:CreateDate xmlns:xmp="http://ns.adobe.com/xap/1.0/" xmp:Rating="5">2026-03-14</xmp:CreateDate>'
    found = read(picture_with_xmp(form, RIGHTS.format("", date)))
    assert found.traces == ["XMP field CreateDate", "XMP field Rating"]


def test_xmp_that_cannot_be_read_is_a_trace():
    assert read(picture("WEBP", xmp=b"<x:xmpmeta><dc:subject>see scar")).traces == ["XMP that cannot be read"]


def picture_with_xmp(form, packet):
    if form == "PNG":
        return png_with(b"iTXt", b"XML:com.adobe.xmp\0\0\0\0\0" + packet.encode())
    return picture(form, xmp=packet.encode())


@pytest.mark.parametrize("name", [name for name in MANNERS if name.startswith(("jpeg", "png", "webp", "avif", "tiff"))])
def test_a_text_in_a_picture_is_no_pixel(tmp_path, name):
    """It is read as text or as bytes, where short texts are looked for too."""
    MANNERS[name](tmp_path, 0, "kiki7")
    (path,) = tmp_path.iterdir()
    found = read(path.read_bytes())
    outside = b" ".join((*found.raw, *(content for _, content in found.inside), *(t.encode() for t in found.texts)))
    assert b"kiki7" in outside.replace(b"\0", b"")


def test_the_pixels_of_a_picture_are_no_text():
    content = picture("PNG")
    data = content[content.index(b"IDAT") + 4 : content.index(b"IEND") - 8]
    found = read(content)
    assert all(data not in part for part in found.raw)
    assert found.pixels == [content]


def test_a_thumbnail_is_given_as_a_picture():
    small = picture("JPEG")
    plain = picture("JPEG", quality=50)
    content = plain[:2] + segment(0xE1, b"Exif\0\0" + b"." * 30 + small) + plain[2:]
    assert any(inside.startswith(small) for _, inside in read(content).inside)


@pytest.mark.parametrize("cut", [20, 60, 200])
@pytest.mark.parametrize("form", ["JPEG", "WEBP", "PNG", "GIF", "AVIF", "TIFF"])
def test_a_cut_picture_ends_nothing(form, cut):
    read(picture(form, exif=exif("x").tobytes())[:cut] if form not in {"GIF", "TIFF"} else picture(form)[:cut])


def test_a_packed_text_does_not_unpack_without_end():
    content = png_with(b"zTXt", b"Comment\0\0" + zlib.compress(bytes(100_000_000)))
    assert max(len(inside) for _, inside in read(content).inside) <= 1 << 24


def test_chunks_that_lie_about_their_length_end_nothing():
    read(picture("PNG")[:33] + b"\x7f\xff\xff\xff" + chunk(b"prVt", b"x")[4:])


def test_hundreds_of_packed_parts_are_not_all_unpacked():
    packed = chunk(b"zTXt", b"Comment\0\0" + zlib.compress(bytes(1 << 20)))
    found = Disclosed()
    plain = picture("PNG")
    read_picture(plain[:33] + packed * 100 + plain[33:], "PNG", found, 3 << 20)
    assert 3 << 20 <= sum(len(content) for _, content in found.inside) <= 4 << 20
    jpegs = segment(0xE9, b"\xff\xd8\xff" * 20 + bytes(60_000))
    plain = picture("JPEG")
    found = Disclosed()
    read_picture(plain[:2] + jpegs * 20 + plain[2:], "JPEG", found, 3 << 20)
    assert 3 << 20 <= sum(len(content) for _, content in found.inside) <= 4 << 20
